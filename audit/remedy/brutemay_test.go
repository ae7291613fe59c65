package remedy

import (
	"fmt"

	"dryarc/audit"
)

// BruteMay looks at every unit, number and number of strings where the search says that a limit stops it. It returns how many assemblies it
// looked at, and what it found that no check is known to stop.
func BruteMay(r *audit.Result) (asks int, may string) {
	s := newStock(r, Options{})
	for _, list := range worklists(r, audit.Shortfall) {
		b := s.benchOf(r, list.line, Options{})
		for k, structure := range list.structures {
			b.site = b.first
			b.site.MoveTo(structure)
			goals := b.look()
			b.job = &Job{Line: list.line, Structure: structure, Exceptions: list.exceptions[k]}
			for _, circuit := range b.circuitsOf(goals) {
				for _, duty := range b.duties(circuit, goals) {
					q, _ := b.askFor(circuit, duty)
					if len(q.members) == 0 {
						continue
					}
					serve, blocks := b.answers(&q)
					b.stop(&q, blocks)
					if len(serve) > 0 || len(blocks) == 0 || b.job.StoppedBy[len(b.job.StoppedBy)-1].Unjudged {
						continue
					}
					asks++
					if may = b.mayOf(&q); may != "" {
						return asks, may + ", and the search says: " + b.job.StoppedBy[len(b.job.StoppedBy)-1].Sentence
					}
				}
			}
		}
	}
	return asks, ""
}

// mayOf finds a string that nothing stops but what cannot be judged.
func (b *bench) mayOf(q *ask) string {
	for _, tier := range b.tiers {
		for _, u := range tier {
			if !b.mayTake(q, u) || b.winsByBlankArea(q, b.unit(u)) {
				continue
			}
			for strings := range b.stringsToTry(q, u) {
				for units := b.fewest(q, b.unit(u), strings); units <= mostUnits && (units == 1 || b.unit(u).Kind.HasUnitCount()); units++ {
					for _, anew := range [...]bool{false, true} {
						if why := b.mayStand(q, u, units, strings, anew); why != "" {
							return fmt.Sprintf("%d strings of %d × %s, anew %v: %s", strings, units, b.unit(u).Name, anew, why)
						}
					}
				}
			}
		}
	}
	return ""
}

// mayStand says what cannot be judged of a string where that is all that stops it.
func (b *bench) mayStand(q *ask, u, units, strings int, anew bool) (open string) {
	isOwn := b.isOwn(q, b.unit(u), units, strings, anew)
	for i := range q.members {
		row := b.remake(q, i, u, units, strings, anew)
		asm := b.site.Assembly(&row)
		if behind, _ := b.behind(q, &asm, isOwn, audit.RestsOnCreepage|audit.RestsOnLength); behind != "" {
			return ""
		}
		for _, check := range b.checks {
			v := b.site.Put(check, &asm, false)
			switch {
			case !b.stops(q, i, check, &v, b.unit(u), strings, anew):
			case v.Outcome == audit.FallsShort:
				return ""
			default:
				open = b.result.Checks[check].ID
			}
		}
	}
	if long := b.tooLong(q, u, units, strings, anew); long != nil {
		if !long.mayServe {
			return ""
		}
		open += " length"
	}
	return open
}
