package history

import (
	"slices"
	"strings"
)

// What was decided of one row whose phases are parted among several now, or of several that are joined in one.

// noteSaid notes what stands of which exceptions, by the ids that they had when it was decided.
func (d *deciding) noteSaid(decisions []Decision) {
	d.said, d.extents = map[string][]Said{}, map[string]holds{}
	if len(d.places.joined) == 0 {
		return
	}
	for i := range decisions {
		if !decisions[i].stands() {
			continue
		}
		for id, held := range parseFigures(decisions[i].Was) {
			d.said[id] = append(d.said[id], decisions[i].Said)
			d.extents[id] |= held.of.phases
		}
	}
}

// joinsOthers tells whether an exception is of several that were, of which not all were decided alike: then nothing that was decided of one is
// of all.
func (d *deciding) joinsOthers(id string, said Said) bool {
	return slices.ContainsFunc(d.places.joined[id], func(other string) bool {
		return !slices.ContainsFunc(d.said[other], func(s Said) bool { return s.agrees(said) })
	})
}

// followParts follows a decision, and where what it is of is parted makes one more of each further part, on the same figures.
func (d *deciding) followParts(decision *Decision) (more []Decision) {
	then := decision.Exception
	d.follow(decision)
	if len(d.places.parted) == 0 {
		return nil
	}
	if others := d.places.parted[decision.Exception]; then != decision.Exception {
		for _, other := range others {
			part := *decision
			part.Exception, part.Was = other, strings.ReplaceAll(decision.Was, decision.Exception+" ", other+" ")
			more = append(more, part)
		}
	}
	if decision.Exception != "" {
		return more
	}
	for _, figures := range strings.Split(decision.Was, "; ") {
		for _, other := range d.places.parted[figuresID(figures)] {
			_, rest, _ := strings.Cut(figures, " ")
			if _, there := parseFigures(decision.Was)[other]; !there {
				decision.Was += "; " + other + " " + rest
			}
		}
	}
	return more
}
