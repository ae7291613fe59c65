package report

import (
	"cmp"
	"math"
	"slices"

	"dryarc/audit"
)

// zoneThenJSON is a zone as it is on the lines of a scenario that changes classes.
type zoneThenJSON struct {
	At       int    `json:"at"` // among the zones of the page
	Class    int    `json:"class"`
	Specific number `json:"specific"`
}

// addScopeZones takes the zones of today and, of scenarios with a zones file of their own, those of that file, which are drawn as fine as
// there is room for all of them.
func (p *scopePage) addScopeZones() {
	r := p.result
	p.zones = zoneShapes{index: slices.Repeat([]int{-1}, len(r.Project.Zones))}
	p.zonesThen = make([][]zoneThenJSON, len(p.scope.Scenarios))
	bound, known := p.bound()
	if !known {
		return
	}
	p.addZones(&p.zones, bound)
	p.zonesToday = len(p.zones.zones)
	for i, s := range p.scope.Scenarios {
		rules := rulesOfClasses(s.scenario)
		if rules == nil {
			continue
		}
		then := rules.ZonesOf(r.Project)
		var drawn []int // of then
		at := make([]int, len(then))
		for k := range then {
			switch {
			case !rules.ZonesGiven:
				at[k] = p.zones.index[k]
			case isNear(&then[k], bound, &p.zones.room):
				at[k] = len(p.zones.zones)
				p.zones.add(&then[k], bound)
			default:
				at[k] = -1
			}
			if at[k] >= 0 {
				drawn = append(drawn, k)
			}
		}
		asks := func(k int) float64 {
			switch z := &then[k]; {
			case z.InDoubt():
				return math.NaN() // below all others
			case z.SpecificCreepage > 0:
				return z.SpecificCreepage
			default:
				return rules.Criteria.SpecificCreepage(z.Class)
			}
		}
		slices.SortStableFunc(drawn, func(a, b int) int { return cmp.Compare(asks(a), asks(b)) })
		p.zonesThen[i] = []zoneThenJSON{}
		for _, k := range drawn {
			z := zoneOfPage(&then[k])
			p.zonesThen[i] = append(p.zonesThen[i], zoneThenJSON{at[k], int(z.Class), z.Specific})
		}
	}
	p.zones.draw(bound, p.limits.zonePositions)
}

// rulesOfClasses are the rules by which a scenario changes the classes of its lines, nil where it leaves them.
func rulesOfClasses(s *audit.Scenario) *audit.Rules {
	for i := range s.Rules {
		r := &s.Rules[i]
		if (r.Classes != nil || r.ZonesGiven) && slices.ContainsFunc(r.Lines, func(line audit.Symbol) bool { return slices.Contains(s.Lines, line) }) {
			return r
		}
	}
	return nil
}
