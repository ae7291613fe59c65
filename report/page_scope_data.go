package report

import (
	"context"
	"encoding/json"
	"iter"
	"math"
	"net/url"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// The data of the page of scenarios as its scripts read it, see page/scope/data.js.
type (
	scopePageJSON struct {
		Texts      []string       `json:"texts"`
		Classes    []classJSON    `json:"classes"`
		All        bool           `json:"all"`
		Lines      lineJSON       `json:"lines"`
		Structures structureJSON  `json:"structures"`
		Zones      []zoneJSON     `json:"zones"`
		ZonesToday int            `json:"zonesToday"` // the first so many are those of today
		Places     *placesJSON    `json:"places,omitempty"`
		Scenarios  []scenarioJSON `json:"scenarios"`
		Curves     []curveJSON    `json:"curves"`
	}
	scenarioJSON struct {
		Name   string      `json:"name"`
		Link   string      `json:"link"` // its fragment
		Routes []routeJSON `json:"routes"`
		// Zones as they are on its lines, in the order of drawing; null where they are as today.
		Zones []zoneThenJSON `json:"zones"`
		// By structure of its lines that the page draws.
		At         pageColumn `json:"at"`    // structure on the page, differences
		State      pageColumn `json:"state"` // placeState
		Class      pageColumn `json:"class"`
		Site       pageColumn `json:"site"`       // text, 0 where the scenario leaves classes alone
		UnitsNow   pageColumn `json:"unitsNow"`   // of one string
		UnitsThen  pageColumn `json:"unitsThen"`  // needed
		LengthNow  pageColumn `json:"lengthNow"`  // of it, mm
		LengthThen pageColumn `json:"lengthThen"` // needed, mm
		Longer     pageColumn `json:"longer"`     // text, in mm
		Lower      pageColumn `json:"lower"`      // text, mm
		Hangs      pageColumn `json:"hangs"`      // text
		Needed     pageColumn `json:"needed"`     // text
		Fit        pageColumn `json:"fit"`        // text
		NotKnown   pageColumn `json:"notKnown"`   // text: what of remedies cannot be judged where no limit stops any
		IfLook     pageColumn `json:"ifLook"`     // text: to fit only if a look asks for it
		Stop       pageColumn `json:"stop"`       // text: limits
		Why        pageColumn `json:"why"`        // text: what stops it, what stays open
		Wrong      pageColumn `json:"wrong"`      // text
	}
	routeJSON struct {
		Line    int64  `json:"line"` // on the page
		KV      number `json:"kv"`   // highest voltage
		Longest number `json:"longest"`
		Drawn   int    `json:"drawn"`
	}
)

// data is the JSON of the page, written as that of the page of an audit.
func (p *scopePage) data(ctx context.Context) ([]byte, error) {
	t := newTexts(p.limits.text)
	out := scopePageJSON{All: p.chosen.all, Zones: []zoneJSON{}, Scenarios: []scenarioJSON{}, Curves: []curveJSON{}}
	for c := basis.ClassUnknown; c <= basis.ClassF; c++ {
		out.Classes = append(out.Classes, classJSON{classLetter(c), c.Name()})
	}
	p.addLines(&out.Lines, t)
	ground := groundColumns{htmlPage: &p.htmlPage, out: &out.Structures, texts: t, reference: math.NaN()}
	var s audit.Structure
	for k, l := range p.chosen.lines {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for _, i := range p.chosen.structures[k] {
			s = p.result.Network.Structure(l, i)
			ground.add(&s)
			out.Structures.Assembly.add(t.number(installedAt(p.result, &audit.Location{Structure: i, Assembly: -1})))
		}
	}
	ground.finish()
	for i, s := range p.scope.Scenarios {
		scenario := p.scenario(s, t)
		scenario.Zones = p.zonesThen[i]
		out.Scenarios = append(out.Scenarios, scenario)
	}
	out.ZonesToday = p.zonesToday
	for i := range p.zones.zones {
		out.Zones = append(out.Zones, zoneOf(&p.zones.zones[i], t))
	}
	for i := range p.curves {
		out.Curves = append(out.Curves, p.curves[i].data(t))
	}
	out.Places = p.named.data(p.result.Project, t)
	out.Texts = t.list
	return json.Marshal(out)
}

// linkOf is the fragment by which a scenario is linked to: its name, so that it stays the same whatever other scenarios there are.
func linkOf(name string) string { return "s-" + url.QueryEscape(name) }

func (p *scopePage) scenario(s *ScopeOf, t *texts) scenarioJSON {
	out := scenarioJSON{Name: p.cut(s.scenario.Name), Link: linkOf(s.scenario.Name), Routes: []routeJSON{}}
	next, done := iter.Pull2(s.kept.each())
	defer done()
	at, change, more := next()
	changeOf := func(place *scopePlace) *scopeChange { // of one after the other
		for more && at < int(place.change) {
			at, change, more = next()
		}
		if more && at == int(place.change) {
			return change
		}
		return &scopeChange{longerMM: math.NaN()}
	}
	for i := range s.routes {
		r := &s.routes[i]
		before := len(out.At)
		for k := r.first; k < r.end; k++ {
			if place := &s.places[k]; p.chosen.at(int(place.structure)) >= 0 {
				p.addPlace(&out, place, changeOf(place), t)
			}
		}
		if drawn := len(out.At) - before; drawn > 0 {
			out.Routes = append(out.Routes, routeJSON{int64(p.chosen.lineAt[r.line]), number(r.highestKV), number(r.longestMM), drawn})
		}
	}
	out.At.toDifferences()
	return out
}

func (p *scopePage) addPlace(out *scenarioJSON, place *scopePlace, c *scopeChange, t *texts) {
	out.At.add(int64(p.chosen.at(int(place.structure))))
	out.State.add(int64(place.state))
	out.Class.add(int64(place.class))
	out.Site.add(t.number(place.site))
	out.UnitsNow.addFigure(countFigure(place.unitsNow), 1)
	out.UnitsThen.addFigure(countFigure(place.unitsThen), 1)
	out.LengthNow.addFigure(float64(place.lengthNow), 1)
	out.LengthThen.addFigure(float64(place.lengthThenMM), 1)
	out.Longer.add(t.number(c.longerInWords()))
	out.Lower.add(t.number(lowerInWords(c)))
	out.Hangs.add(t.whole(c.hangs))
	out.Needed.add(t.whole(c.toHang))
	out.Fit.add(t.whole(c.fit))
	out.IfLook.add(t.whole(c.ifLook))
	notKnown := ""
	if c.isNotKnown() {
		notKnown = limitInWords(joined(c.notKnown))
	}
	out.NotKnown.add(t.number(notKnown))
	out.Stop.add(t.number(joined(limitsOf(c))))
	out.Why.add(t.whole(joinedLines(c.stoppedBy, c.open)))
	out.Wrong.add(t.whole(c.wrong))
}

// limitsOf are the limits that no remedy gets past at a structure, each once.
func limitsOf(c *scopeChange) (limits []string) {
	seen := map[string]bool{}
	for _, limit := range c.stops {
		if !seen[limit] {
			seen[limit] = true
			limits = append(limits, limitInWords(limit))
		}
	}
	return limits
}

// countFigure is a count, NaN where it is not known.
func countFigure(n int16) float64 {
	if n < 0 {
		return math.NaN()
	}
	return float64(n)
}
