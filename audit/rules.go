package audit

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"reflect"
	"slices"

	"dryarc/audit/basis"
)

// Rules are what holds on some lines in place of what holds on the others. A line has one set of rules at most.
type Rules struct {
	Lines    []Symbol // named as the structures name them
	From     string   // who says so, in words
	Criteria Criteria // all of them, as they stand on these lines
	Keys     []string // the criteria that From states, in the order of the table
	by       []string // who of From states each of Keys, the last one; From itself where that is not told
	// Classes, where set, takes the place of each pollution class; a class that stays stands for itself. Criteria.DefaultClass
	// has it applied.
	Classes *[basis.ClassF + 1]basis.Class
	// Zones are the zones of these lines in place of those of the project, where ZonesGiven.
	Zones      []Zone
	ZonesGiven bool
}

// statedBy says who states a criterion, by its number in Keys.
func (r *Rules) statedBy(key int) string {
	if key < len(r.by) {
		return r.by[key]
	}
	return r.From
}

// States tells whether the rules state a criterion.
func (r *Rules) States(key string) bool { return slices.Contains(r.Keys, key) }

// Lay takes the criteria of the given keys from others; by says who states them.
func (r *Rules) Lay(criteria Criteria, keys []string, by string) {
	for _, k := range AllCriteria() {
		if !slices.Contains(keys, k.Key) {
			continue
		}
		k.take(&criteria, &r.Criteria)
		if number, is := k.In(&r.Criteria).(*Number); is {
			number.Clause = basis.Clause{Document: by, Tag: basis.Own}
		}
		if !r.States(k.Key) {
			r.Keys, r.by = append(r.Keys, k.Key), append(r.by, by)
		}
		r.by[slices.Index(r.Keys, k.Key)] = by
	}
}

// Change lets classes take the place of others, the default class included.
func (r *Rules) Change(classes [basis.ClassF + 1]basis.Class) {
	changed := classes
	if r.Classes != nil {
		for class, was := range r.Classes {
			changed[class] = classes[was]
		}
	}
	r.Classes = &changed
	r.Criteria.DefaultClass = classes[r.Criteria.DefaultClass]
}

// Stated lists the criteria that the rules state.
func (r *Rules) Stated() (list []InForce) {
	for _, k := range r.Criteria.List() {
		if r.States(k.Key) {
			list = append(list, k)
		}
	}
	return list
}

// MarshalJSON writes the criteria that the rules state, as Criteria does.
func (r *Rules) MarshalJSON() ([]byte, error) {
	return r.Criteria.marshal(func(k *Criterion) bool { return r.States(k.Key) })
}

// Criteria returns the criteria that hold on a line.
func (n *Network) Criteria(line int) *Criteria { return n.criteriaOf(&n.Lines[line]) }

func (n *Network) criteriaOf(l *Line) *Criteria {
	if l.rules > 0 {
		return &n.Project.Rules[l.rules-1].Criteria
	}
	return &n.Project.Criteria
}

// RulesOf returns the rules of a line, nil where those of the project hold.
func (n *Network) RulesOf(line int) *Rules {
	if at := n.Lines[line].rules; at > 0 {
		return &n.Project.Rules[at-1]
	}
	return nil
}

// takeRules gives the lines their rules, and each set of rules its zones.
func (n *Network) takeRules() {
	p := n.Project
	n.Zones = p.Zones
	of := map[Symbol]int{}
	for i := range p.Rules {
		for _, line := range p.Rules[i].Lines {
			of[line] = i + 1
		}
	}
	for i := range n.Lines {
		n.Lines[i].rules = of[n.Lines[i].Symbol]
	}
	if len(p.Rules) > 0 {
		n.Zones = slices.Clone(p.Zones)
	}
	for i := range n.Zones {
		n.Zones[i].of = i
	}
	for i := range n.Lines {
		if at := n.Lines[i].rules; at > 0 && p.Rules[at-1].changesZones(p) {
			n.Lines[i].zones = at
		}
	}
	for i := range p.Rules {
		r := &p.Rules[i]
		if !r.changesZones(p) {
			continue
		}
		for at, zone := range r.ZonesOf(p) {
			if zone.rules, zone.of = i+1, at; r.ZonesGiven {
				zone.of = nowhere
			}
			n.Zones = append(n.Zones, zone)
		}
	}
}

// ZonesOf returns the zones of the lines of the rules: their own where they are given, else those of the project in their order, as they are
// under the rules.
func (r *Rules) ZonesOf(p *Project) []Zone {
	zones := p.Zones
	if r.ZonesGiven {
		zones = r.Zones
	}
	zones = slices.Clone(zones)
	for i := range zones {
		zones[i].under(r)
	}
	return zones
}

// ZoneOfProject returns the zone of the project that a zone of the network is under rules of its own, −1 where it is none.
func (n *Network) ZoneOfProject(zone int) int { return n.Zones[zone].of }

// changesZones tells whether zones ask for something else under the rules than they do in the project.
func (r *Rules) changesZones(p *Project) bool {
	c, was := &r.Criteria, &p.Criteria
	return r.ZonesGiven || r.Classes != nil || c.CreepageBasis != was.CreepageBasis || !sameFigures(&c.OwnSpecificCreepage, &was.OwnSpecificCreepage)
}

func sameFigures(a, b *OwnCreepage) bool {
	same := a.Base == b.Base
	for class := range a.MMPerKV {
		x, y := a.MMPerKV[class], b.MMPerKV[class]
		same = same && (x == y || math.IsNaN(x) && math.IsNaN(y))
	}
	return same
}

// under makes a zone what it is under rules: a figure that it states is settled by their criteria, and its class is the one that takes
// its place, unless a figure of its own decides.
func (z *Zone) under(r *Rules) {
	if z.Stated.MMPerKV > 0 {
		class, figure, ok := z.Stated.Under(&r.Criteria)
		z.Class, z.SpecificCreepage, z.StatedBase, z.Unknown = class, figure, basis.NoBase, NoReason
		switch {
		case !ok:
			z.Unknown = ZoneFigureUnreadable
		case figure > 0:
			z.StatedBase = z.Stated.Base
		}
	}
	if r.Classes != nil && z.Unknown == NoReason && z.SpecificCreepage == 0 {
		z.Class = r.Classes[z.Class]
	}
}

// StatedFigure is a specific creepage that a zone states itself, with the class beside it, unknown for none.
type StatedFigure struct {
	Class   basis.Class
	MMPerKV float64 // on Base; 0 where the zone states none
	Base    basis.Base
}

// Under finds what the zone asks for by criteria. Where the figure is that of the class, the class decides, and the figure is 0; a class
// without a figure takes the zone's. ok is false where the two contradict each other.
func (s StatedFigure) Under(c *Criteria) (class basis.Class, mmPerKV float64, ok bool) {
	figure := basis.OnBase(s.MMPerKV, s.Base, c.CreepageBasis.Base())
	if s.Class == basis.ClassUnknown {
		return s.Class, figure, true
	}
	own := c.OwnSpecificCreepage.On(s.Base, s.Class)
	_, tabled := basis.SpecificCreepage(c.CreepageBasis, s.Class)
	switch {
	case math.IsNaN(own) && tabled && basis.IsOfClass(s.MMPerKV, s.Base, s.Class), basis.IsPrintedAlike(s.MMPerKV, own):
		return s.Class, 0, true
	case math.IsNaN(own) && !tabled:
		return s.Class, figure, true
	}
	return basis.ClassUnknown, 0, false
}

// hash writes what the criteria are on which lines, and what takes the place of classes. Zones are left out: only scenarios have some of
// their own, and a run is of the project as it stands.
func (r *Rules) hash(to io.Writer, names *Symbols) {
	criteria, err := json.Marshal(r.Criteria)
	if err != nil {
		panic("audit: criteria do not marshal: " + err.Error())
	}
	for _, line := range r.Lines {
		fmt.Fprintf(to, "%q ", names.Text(line))
	}
	fmt.Fprintf(to, "%s %q", criteria, r.Keys)
	if r.Classes != nil {
		fmt.Fprintf(to, " %v", *r.Classes)
	}
	fmt.Fprintln(to)
}

// take makes a criterion what it is in others.
func (k *Criterion) take(from, to *Criteria) {
	source, target := reflect.ValueOf(k.In(from)), reflect.ValueOf(k.In(to))
	if source.Kind() == reflect.Pointer {
		target.Elem().Set(source.Elem())
		return
	}
	for i := range source.NumField() { // of a Choice
		target.Field(i).Elem().Set(source.Field(i).Elem())
	}
}
