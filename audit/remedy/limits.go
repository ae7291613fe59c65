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

// tooLong tells whether strings are longer than the line allows, and than any that hang there.
func (b *bench) tooLong(q *ask, u, units, strings int) *block {
	limit := b.site.Line().Row.LongestStringMM
	if math.IsNaN(limit) || q.duty != audit.Suspension && q.duty != audit.Tension && q.duty != audit.Jumper {
		return nil
	}
	row := b.remade(q.members[0], u, units, strings)
	asm := b.site.Assembly(&row)
	length := asm.LengthMM()
	for i := range q.old {
		if hangs := q.old[i].LengthMM(); length <= hangs {
			return nil
		}
	}
	v := audit.AtMost(length, limit, "mm")
	if v.Outcome == audit.Meets && !math.IsNaN(length) {
		return nil
	}
	text := fmt.Sprintf("%d × %s is %.0f mm, the line allows %g mm.", units, b.unit(u).Name, length, limit)
	if math.IsNaN(length) {
		text = fmt.Sprintf("the length of %d × %s is not known, and the line allows %g mm.", units, b.unit(u).Name, limit)
	}
	return &block{check: -1, tooLong: true, margin: v.Margin, sentence: func() string { return text }}
}

// sentence says in the words of a check what is wrong with a trial.
func (b *bench) sentence(q *ask, check int, asm audit.Assembly) string {
	v := b.site.Put(check, &asm, true)
	if v.Outcome == audit.NotAssessed {
		return fmt.Sprintf("%s of %s cannot be judged: %s.", b.result.Checks[check].ID, asm.Hanging(), v.Reason)
	}
	return v.Sentence
}
