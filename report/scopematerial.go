package report

import (
	"fmt"
	"math"

	scenarios "dryarc/audit/scope"
)

// scopeMaterial is what a scenario takes of one type of unit, or of sets.
type scopeMaterial struct {
	item, name          string
	stocked             bool
	fit, remove, reuse  int
	afterLook, fewer    int // to fit only if a look asks for it, not in fit; and by how much less fit may be
	uncounted           int // structures where how many are to be removed is not known
	notKnown            string
	atLeast             int // structures where more may be to fit, since what sizes strings could not be judged in full
	structures          int
	each, price, spared float64 // NaN where not stated
	priceAfterLook      float64 // NaN where not stated
}

// addMaterial gathers what the work takes. Units that it takes down somewhere may serve elsewhere, but those that the register counts as
// defective.
func (s *ScopeOf) addMaterial(l *scenarios.Look, sums *materialSums) {
	down := map[string]int{}
	for i := range l.Jobs {
		for k := range l.Jobs[i].Remedies {
			x := &l.Jobs[i].Remedies[k]
			for _, c := range x.Remove {
				down[c.Unit] += c.Count
			}
			for at := range x.Changes {
				for _, c := range x.Changes[at].Defective {
					down[c.Unit] -= c.Count
				}
			}
		}
	}
	atLeast := map[string]int{} // structures by unit
	for i := range l.Jobs {
		seen := map[string]bool{}
		for _, x := range sizedInPart(l.Then, &l.Jobs[i]) {
			for _, c := range x.Fit {
				if !seen[c.Unit] {
					seen[c.Unit] = true
					atLeast[c.Unit]++
				}
			}
		}
	}
	stocked := map[string]bool{}
	for i := range l.Then.Project.Units {
		stocked[l.Then.Project.Units[i].Name] = l.Then.Project.Units[i].Stocked
	}
	for _, m := range sums.rows() {
		if m.at >= 0 {
			continue
		}
		out := scopeMaterial{item: m.item, name: m.name, fit: m.fit, remove: m.remove, afterLook: m.afterLook, fewer: m.fewer, uncounted: m.uncounted, notKnown: m.notKnown(),
			structures: m.structures, each: m.each, price: m.price(), spared: math.NaN(), priceAfterLook: m.priceAfterLook()}
		if m.item == unitItem {
			out.stocked = stocked[m.name]
			if out.atLeast = atLeast[m.name]; out.atLeast > 0 {
				out.notKnown = joinedLines(fmt.Sprintf("to fit: at least so many, what sizes strings could not be judged in full at %s", counted(out.atLeast, "structure", "structures")), out.notKnown)
			}
			if out.reuse = min(m.fit, down[m.name]); out.reuse > 0 {
				out.spared = m.each * float64(out.reuse)
			}
		}
		s.material = append(s.material, out)
	}
}
