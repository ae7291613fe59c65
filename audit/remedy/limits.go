package remedy

import (
	"cmp"
	"fmt"
	"math"

	"dryarc/audit"
)

// inWords tells that a verdict is in words, so that no number of units changes it.
func inWords(v *audit.Verdict) bool {
	return math.IsNaN(v.Observed.Number) || math.IsNaN(v.Required.Number)
}

// behind says in what a string of other units is less than the best of those it is measured by, where the checks cannot judge that;
// empty where it is not. noUnits tells that no number of units changes it.
func (b *bench) behind(q *ask, asm *audit.Assembly, sizesOpen bool) (text string, noUnits bool) {
	less := func(what, measure string, figure func(a *audit.Assembly) float64) string {
		most := math.NaN()
		for i := range q.models {
			if its := figure(&q.models[i]); !(its <= most) && !math.IsNaN(its) {
				most = its
			}
		}
		switch mine := figure(asm); {
		case math.IsNaN(most):
			return fmt.Sprintf("nothing tells how much %s is needed, since neither the checks nor what hangs there can", what)
		case !(mine >= most):
			return fmt.Sprintf("%s has %.0f %s of %s, what hangs there or on the line %.0f, and the checks cannot judge whether less would do", asm.Hanging(), mine, measure, what, most)
		}
		return ""
	}
	if !b.site.Loaded(asm) {
		text = less("rating", "kN", func(a *audit.Assembly) float64 {
			if q.duty == audit.Pin || q.duty == audit.Post || q.duty == audit.Shackle {
				return a.CantileverKN()
			}
			return a.RatingKN() * float64(max(sideBySide(a), 1))
		})
	}
	if text != "" || !sizesOpen {
		return text, true
	}
	creepage := less("creepage", "mm", func(a *audit.Assembly) float64 { return a.CreepageMM })
	return cmp.Or(creepage, less("length", "mm", (*audit.Assembly).LengthMM)), false
}

// tooLong tells whether strings of some units would be longer than the line allows: on any member that then is longer than it is now, or
// where nothing of the kind hangs yet.
func (b *bench) tooLong(q *ask, u, units, strings int) *block {
	limit := b.site.Line().Row.LongestStringMM
	if math.IsNaN(limit) || q.duty != audit.Suspension && q.duty != audit.Tension && q.duty != audit.Jumper {
		return nil
	}
	row := b.remade(q.members[0], u, units, strings)
	asm := b.site.Assembly(&row)
	own := asm.LengthMM()
	length := own
	if len(q.old) > 0 && !q.newcomer {
		length = 0
		for i := range q.old {
			hangs := q.old[i].LengthMM()
			if after := own + fittingsMM(&q.old[i]); !(after <= hangs) && !(after <= length) {
				length = after
			}
		}
	}
	v := audit.AtMost(length, limit, "mm")
	if v.Outcome == audit.Meets && !math.IsNaN(length) {
		return nil
	}
	text := fmt.Sprintf("%d × %s is %.0f mm, the line allows %g mm.", units, b.unit(u).Name, length, limit)
	switch {
	case math.IsNaN(length):
		text = fmt.Sprintf("the length of %d × %s is not known, and the line allows %g mm.", units, b.unit(u).Name, limit)
	case length > own:
		text = fmt.Sprintf("%d × %s is %.0f mm with the fittings that the stated length tells of, the line allows %g mm.", units, b.unit(u).Name, length, limit)
	}
	return &block{check: -1, margin: v.Margin, sentence: func() string { return text }}
}

// fittingsMM is by how much the stated length of a string is longer than its units, 0 where none is stated.
func fittingsMM(a *audit.Assembly) float64 {
	if math.IsNaN(a.Direct.LengthMM) {
		return 0
	}
	units := *a
	units.Direct.LengthMM = math.NaN()
	if body := units.LengthMM(); !math.IsNaN(body) {
		return math.Max(a.Direct.LengthMM-body, 0)
	}
	return math.NaN()
}

// sentence says in the words of a check what is wrong with a trial.
func (b *bench) sentence(q *ask, check int, asm audit.Assembly) string {
	v := b.site.Put(check, &asm, true)
	if v.Outcome == audit.NotAssessed {
		return fmt.Sprintf("%s of %s cannot be judged: %s.", b.result.Checks[check].ID, asm.Hanging(), v.Reason)
	}
	return v.Sentence
}
