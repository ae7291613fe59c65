package audit

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"dryarc/audit/basis"
)

// WatchList names makes and generations that a project keeps an eye on. There is no default: without it nothing is looked for.
type WatchList []WatchRule

// WatchRule is one entry: what all that it states is true of is on the list.
type WatchRule struct {
	Unit     string `json:"unit,omitempty"`     // type of a unit
	Make     string `json:"make,omitempty"`     // of the units, or of the assembly
	Material string `json:"material,omitempty"` // of a unit
	From     int    `json:"installed_from,omitempty"`
	Until    int    `json:"installed_until,omitempty"` // years, both included; 0 where it is not stated
	Note     string `json:"note"`                      // the project's words
}

// MostWatched is how many entries a watch list may have (a choice of this program).
const MostWatched = 64

// String is what an entry names, without its note.
func (r *WatchRule) String() string {
	var parts []string
	for _, of := range [...]struct{ name, text string }{{"unit", r.Unit}, {"make", r.Make}, {"material", r.Material}} {
		if of.text != "" {
			parts = append(parts, of.name+" "+of.text)
		}
	}
	if r.From > 0 {
		parts = append(parts, fmt.Sprintf("installed from %d", r.From))
	}
	if r.Until > 0 {
		parts = append(parts, fmt.Sprintf("installed until %d", r.Until))
	}
	return strings.Join(parts, ", ")
}

// ruleSet is a set of entries by their places in the list.
type ruleSet uint64

func (s ruleSet) has(i int) bool { return s&(1<<i) != 0 }

// Watched is what of the watch list hangs at a structure. Nothing is known while nobody asks.
type Watched struct {
	Listed  int32 // assemblies that are on it
	Unknown int32 // the others of which that is not known
	is, may ruleSet
}

// WatchedBy is a number of assemblies that are on the list by one of its entries.
func WatchedBy(listed int32, entry int) Watched { return Watched{Listed: listed, is: 1 << entry} }

// NotesOf are the notes of the entries that something at a structure is on, in the order of the list.
func (w *Watched) NotesOf(list WatchList) (notes []string) {
	for i := range list {
		if w.is.has(i) {
			notes = append(notes, list[i].Note)
		}
	}
	return notes
}

// EntriesOf are what these entries name.
func (w *Watched) EntriesOf(list WatchList) (entries []string) {
	for i := range list {
		if w.is.has(i) {
			entries = append(entries, list[i].String())
		}
	}
	return entries
}

// answer is whether something is so; what is not known is neither.
type answer uint8

const (
	isNot answer = iota // the least counts where all must be
	mayBe
	itIs
)

// saysOf tells whether what is stated is a name, whatever the case of its letters and its blanks; of what is not stated it may be.
func saysOf(name, stated string) answer {
	plain := func(text string) string { return strings.Join(strings.Fields(text), " ") }
	switch {
	case plain(stated) == "":
		return mayBe
	case strings.EqualFold(plain(name), plain(stated)):
		return itIs
	}
	return isNot
}

// watchedName is a make taken apart, so that names are compared whatever their case, accents, blanks and signs.
type watchedName struct {
	letters string   // all letters and digits
	words   []string // they make up
}

func watchedNameOf(text string) *watchedName {
	words := strings.FieldsFunc(strings.ToLower(WithoutAccents(text)), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	return &watchedName{strings.Join(words, ""), words}
}

// twoLetters are how letters with an umlaut are written without one.
var twoLetters = strings.NewReplacer("ae", "a", "oe", "o", "ue", "u", "ß", "ss")

// isMake tells whether a stated make is that of an entry. One that has all words of the other and more, as that of a firm with its legal form or of two firms, may be,
// and so may one that is otherwise written with an umlaut alone.
func (n *watchedName) isMake(stated *watchedName) answer {
	within := func(some, all []string) bool {
		return !slices.ContainsFunc(some, func(word string) bool { return !slices.Contains(all, word) })
	}
	switch {
	case stated.letters == n.letters && n.letters != "":
		return itIs
	case within(n.words, stated.words), within(stated.words, n.words), twoLetters.Replace(n.letters) == twoLetters.Replace(stated.letters):
		return mayBe
	}
	return isNot
}

// isOf tells whether a stated material is that of an entry: silicone rubber is silicone, and silicone may be silicone rubber.
func isOf(material, stated string) answer {
	words, of := strings.Fields(strings.ToLower(material)), strings.Fields(strings.ToLower(stated))
	within := func(some, all []string) bool {
		return !slices.ContainsFunc(some, func(word string) bool { return !slices.Contains(all, word) })
	}
	switch {
	case len(of) > 0 && within(words, of):
		return itIs
	case within(of, words):
		return mayBe
	}
	return isNot
}

// watchedUnit is what is known of a unit that a watch list may ask for; empty texts are not known.
type watchedUnit struct {
	name, material string
	maker          *watchedName
}

// watchedUnits tells what is known of the units of a string, of which there is none where the makeup is not known; maker is what its row says of
// its make. Where row and unit name different makes, which it is is not known.
func (v *visitor) watchedUnits(units []*basis.Unit, maker string) []watchedUnit {
	ofRow := v.makeNamed(maker)
	if len(units) == 0 {
		return []watchedUnit{{maker: ofRow}}
	}
	known := make([]watchedUnit, len(units))
	for i, unit := range units {
		known[i] = watchedUnit{unit.Name, unit.Material, v.makeNamed(cmp.Or(maker, unit.Make))}
		if maker != "" && v.makeNamed(unit.Make).isMake(ofRow) == isNot {
			known[i].maker = v.makeNamed("")
		}
	}
	return known
}

// makeNamed is a make taken apart, once.
func (v *visitor) makeNamed(text string) *watchedName {
	if v.makes == nil {
		v.makes = map[string]*watchedName{}
	}
	name := v.makes[text]
	if name == nil {
		name = watchedNameOf(text)
		v.makes[text] = name
	}
	return name
}

// isOn tells whether one of the units of a string is what an entry names: all that the entry states has to be so. year tells whether its day of installation is.
func (v *visitor) isOn(r *WatchRule, units []watchedUnit, year answer) (best answer) {
	for _, unit := range units {
		all := year
		if r.Material != "" {
			all = min(all, isOf(r.Material, unit.material))
		}
		if r.Unit != "" {
			all = min(all, saysOf(r.Unit, unit.name))
		}
		if r.Make != "" {
			all = min(all, v.makeNamed(r.Make).isMake(unit.maker))
		}
		best = max(best, all)
	}
	return best
}

// isOfYear tells whether a date is of the years of an entry. One that has not been says nothing.
func (r *WatchRule) isOfYear(installed, asOf Day) answer {
	switch {
	case r.From == 0 && r.Until == 0:
		return itIs
	case installed == NoDay || asOf != NoDay && asOf != 0 && installed.isBeyond(asOf):
		return mayBe
	}
	first, last := installed.Between()
	until := cmp.Or(r.Until, mostYear)
	switch {
	case last.Year() < r.From || first.Year() > until:
		return isNot
	case first.Year() < r.From || last.Year() > until:
		return mayBe
	}
	return itIs
}

// isOfNew tells whether what is newly hung, on the day of the audit or later, is of the years of an entry.
func (r *WatchRule) isOfNew(asOf Day) answer {
	switch {
	case r.From == 0 && r.Until == 0:
		return itIs
	case asOf == NoDay || asOf == 0:
		return mayBe
	}
	_, last := asOf.Between()
	switch year := last.Year(); {
	case r.Until > 0 && r.Until < year:
		return isNot
	case r.Until > 0 || r.From > year:
		return mayBe
	}
	return itIs
}

// mostYear is beyond all years that are read.
const mostYear = 9999

// watched tells what of a watch list hangs at the structure at hand.
func (v *visitor) watched(list WatchList) (w Watched) {
	n, p := v.n, v.n.Project
	makes := p.Carried.makes()
	makerOf := func(of Source) Symbol { return p.Carried.first(of, makes) }
	for i := range v.assemblies {
		a := &v.assemblies[i]
		var are, may ruleSet
		note := func(units []watchedUnit, year func(r *WatchRule) answer) {
			for k := range list {
				switch v.isOn(&list[k], units, year(&list[k])) {
				case itIs:
					are |= 1 << k
				case mayBe:
					may |= 1 << k
				}
			}
		}
		stays, anew := v.hungAnew(a)
		if anew { // of what is newly hung nobody says the make
			note(v.watchedUnits(a.Units(), ""), func(r *WatchRule) answer { return r.isOfNew(p.AsOf) })
		}
		if stays {
			at := uint32(a.Row)
			rows := []uint32{at}
			if k, paired := slices.BinarySearchFunc(n.pairs, at, func(of pair, row uint32) int { return cmp.Compare(of.first, row) }); paired {
				rows = append(rows, n.pairs[k].second)
			}
			for _, one := range rows {
				row := p.Assemblies.At(int(one))
				maker := makerOf(row.Source)
				if len(rows) == 1 {
					maker = n.lessWhatRepeatsDeny(v.structure.Index, one, &row, maker, makerOf)
				}
				var units []*basis.Unit
				if row.Makeup != 0 && !a.Faulty.Has(CellUnit) && !row.Faulty.Has(CellUnit) {
					if units = a.Units(); anew {
						units = p.unitsIn(row.Makeup)
					}
				}
				note(v.watchedUnits(units, p.Symbols.Text(maker)), func(r *WatchRule) answer { return r.isOfYear(row.Installed, p.AsOf) })
			}
		}
		w.is, w.may = w.is|are, w.may|may
		switch {
		case are != 0:
			w.Listed++
		case may != 0:
			w.Unknown++
		}
	}
	return w
}

// hungAnew tells whether anything of an assembly is newly hung on trial, and whether anything stays of what the register has there.
func (v *visitor) hungAnew(a *Assembly) (stays, anew bool) {
	if a.Row < 0 {
		return false, true
	}
	i := slices.IndexFunc(v.trial, func(t TrialRow) bool { return t.At == a.Row && t.Changed })
	return i < 0 || !v.trial[i].Anew, i >= 0
}

// unitsIn are the units of a makeup.
func (p *Project) unitsIn(makeup uint32) (units []*basis.Unit) {
	for _, part := range p.Makeups[makeup].Parts {
		units = append(units, &p.Units[part.Unit])
	}
	return units
}

// watchedNowhere are the entries of the project's watch list that nothing on the assessed lines is, or may be, on.
func (r *Result) watchedNowhere() (entries []string) {
	list := r.Project.Criteria.WatchList
	var met ruleSet
	for l := range r.Lines {
		if own := r.Network.RulesOf(l); own == nil || !own.States("watch_list") {
			met |= r.Lines[l].watched
		}
	}
	for i := range list {
		if !met.has(i) {
			entries = append(entries, list[i].String())
		}
	}
	return entries
}

// asksMakes tells whether a watch list of the project names a make.
func (r *Result) asksMakes() bool {
	names := func(c *Criteria) bool {
		return slices.ContainsFunc(c.WatchList, func(rule WatchRule) bool { return rule.Make != "" })
	}
	return names(&r.Project.Criteria) || slices.ContainsFunc(r.Project.Rules, func(own Rules) bool { return names(&own.Criteria) })
}

// AsksWatchList is asked for by a watch list.
var AsksWatchList = Need{"watch list", ofAnything, func(s *Subject) Reason {
	if len(s.Criteria.WatchList) == 0 {
		return NoWatchList
	}
	return NoReason
}}
