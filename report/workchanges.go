package report

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/remedy"
)

// changesInWords says what one remedy does: a paragraph for the phases and sides on which the same is to be done, none for those on which
// nothing is. Units to change are said for each of them where they are told of each, else for all.
func changesInWords(x *remedy.Remedy) (out []string) {
	type group struct {
		action string
		phases audit.Phases
		sides  []audit.Side
		first  *remedy.Change
		more   bool
	}
	var groups []group
	for i := range x.Changes {
		c := &x.Changes[i]
		next := group{actionInWords(c, ""), c.Phases, c.Sides, c, false}
		if k := slices.IndexFunc(groups, func(g group) bool { return g.action == next.action && slices.Equal(g.sides, next.sides) }); k >= 0 {
			groups[k].phases, groups[k].more = groups[k].phases|c.Phases, true
			continue
		}
		groups = append(groups, next)
	}
	for i := 0; i < len(groups); i++ {
		for k := len(groups) - 1; k > i; k-- { // the same on another side
			if groups[i].action == groups[k].action && groups[i].phases == groups[k].phases {
				groups[i].sides, groups[i].more = append(slices.Clone(groups[i].sides), groups[k].sides...), true
				groups = slices.Delete(groups, k, k+1)
			}
		}
		slices.Sort(groups[i].sides)
		if groups[i].more {
			groups[i].action = actionInWords(groups[i].first, " on each")
		}
		out = append(out, namedPhases(groups[i].phases)+sidesInWords(groups[i].sides)+": "+groups[i].action)
	}
	return out
}

func namedPhases(phases audit.Phases) string {
	if phases != audit.EveryPhase && phases.Count() == 1 {
		return "phase " + phasesInWords(phases)
	}
	return "phases " + phasesInWords(phases)
}

// actionInWords says what is done to one row, or on each of several phases and sides, and what of it rests on what is not known.
func actionInWords(c *remedy.Change, each string) string {
	text := c.To.String()
	if c.Move == remedy.SoundUnits {
		text = "change " + countsInWords(c.Fit)
		if c.AtLeast {
			text = "change " + rangesInWords(withMore(c.Fit, c.More), c.More)
		}
		text += each
	}
	text += " (" + c.Move.String() + ")"
	if c.LowerMM > 0 {
		text += fmt.Sprintf("; conductor hangs %.0f mm lower", c.LowerMM)
	}
	if c.Lower {
		text += "; conductor hangs lower"
	}
	if c.SwingOfShorter {
		text += "; its swing is held against the limit stated for the shorter string"
	}
	if c.DefectiveFirst {
		text += "; of what comes down the defective units are the first"
	}
	if c.SideUnknown {
		text += "; side not stated, "
		if len(c.Sides) > 1 {
			text += "both sides assumed"
		} else {
			text += "one side assumed"
		}
	}
	switch {
	case c.Unlike != nil:
		n := fmt.Sprint(c.Unlike.Most)
		if c.Unlike.Least < c.Unlike.Most {
			n = fmt.Sprintf("%d to %s", c.Unlike.Least, n)
		}
		text = lookWhichUnit + ": " + text + "; " + n + " in all, of the types of those that are"
	case c.AtLeast:
		text += "; what is known of the defective units leaves open how many there are in all: up to " + countsInWords(c.More) + " more to change, as a look at each string shows"
	}
	if c.RowsContradict {
		text = lookWhichRow + ": " + text
	}
	switch {
	case c.CountUnknown && len(c.Fewer) == 0:
		text += "; where it is not known what hangs all of it comes down, and how many units that is stays to be counted"
	case c.CountUnknown:
		text += fmt.Sprintf("; count not known: %s to fit there, what is to be removed is not known", rangesInWords(c.Fit, c.Fewer))
	}
	return text
}

// rangesInWords lists units by type, each from how many to how many.
func rangesInWords(counts, fewer []remedy.Count) string {
	words := make([]string, len(counts))
	for i, c := range counts {
		words[i] = fmt.Sprintf("%d × %s", c.Count, c.Unit)
		if less := countOf(fewer, c.Unit); less > 0 {
			words[i] = fmt.Sprintf("%d to %s", c.Count-less, words[i])
		}
	}
	return strings.Join(words, ", ")
}

func countOf(counts []remedy.Count, unit string) int {
	for _, c := range counts {
		if c.Unit == unit {
			return c.Count
		}
	}
	return 0
}

// uncounted names the phases of one remedy of which nobody knows how many units hang there; empty for none.
func uncounted(x *remedy.Remedy) string {
	var phases audit.Phases
	found := false
	for i := range x.Changes {
		if x.Changes[i].CountUnknown {
			phases, found = phases|x.Changes[i].Phases, true
		}
	}
	if !found {
		return ""
	}
	return namedPhases(phases)
}
