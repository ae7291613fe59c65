package history

import (
	"cmp"
	"strconv"
	"strings"

	"dryarc/audit"
)

// Where less is required than when a decision was made, as by another criterion or zone, what it is of may meet as it hangs. That ends no decision. Whatever
// would have met what was required then does, whichever criteria changed beside, and so does what nobody can tell: a decision that ends needlessly shows its exception
// again, one that lives on hides it.

// weighed is what is observed and what is required of it, as texts of values.
type weighed struct{ observed, required string }

func weighedBy(v *audit.Verdict) weighed {
	return weighed{valueText(v.Observed), valueText(v.Required)}
}

// noFigures is of a verdict that tells none.
var noFigures = weighedBy(&audit.Verdict{})

// metBy tells whether what fell short would have met, as it is now where it meets: not where only less is required, and what hangs, no worse than then, is still
// too little for what was.
func (short weighed) metBy(v *audit.Verdict) bool {
	now := weighedBy(v)
	switch _, chain := v.Fitting(); {
	case now == noFigures, sameText(now.required, short.required):
		return true
	case sameText(now.observed, short.observed) && now.observed != unknownFigure:
		return false
	case chain: // it may be another fitting that is the weakest now
		return true
	}
	return short.enough(now.observed, short.required) || !short.enough(now.observed, short.observed) // less than then is of something else
}

// enough tells whether a figure meets another, by the side on which what fell short did; true where that cannot be told.
func (short weighed) enough(observed, required string) bool {
	var figures [4]float64
	for i, text := range [...]string{short.observed, short.required, observed, required} {
		var err error
		if figures[i], err = strconv.ParseFloat(text, 64); err != nil {
			return true
		}
	}
	if sameText(observed, required) {
		return true
	}
	return cmp.Compare(figures[2], figures[3]) != cmp.Compare(figures[0], figures[1])
}

// metByLess stands in place of a day where something met only since less was required: behind it stand the day, what was observed and what was required. Those
// of an earlier version have a hash of a rule there, or nothing.
const metByLess = "rule"

// lessMark is what metByLess is noted with.
type lessMark struct {
	day string // empty where an earlier version noted it
	weighed
}

func (m lessMark) String() string {
	return metByLess + ":" + m.day + "/" + m.observed + "/" + m.required
}

// metLess tells whether what the figures are of met only since less was required.
func (f *held) metLess() (m lessMark, is bool) {
	word, rest, _ := strings.Cut(f.met, ":")
	if parts := strings.Split(rest, "/"); len(parts) == 3 {
		m = lessMark{parts[0], weighed{parts[1], parts[2]}}
	}
	return m, word == metByLess
}

// noteLess notes that something met only since less was required; of several days that on which the most was observed.
func (d *deciding) noteLess(f *held, v *audit.Verdict) {
	now := lessMark{d.r.Run.AsOf, weighedBy(v)}
	if was, is := f.metLess(); is && was.day != "" && (was.weighed == now.weighed || f.weighed().enough(was.observed, now.observed)) {
		return
	}
	f.met, f.metIn = now.String(), projectOf(d.r)
}

func (f *held) weighed() weighed { return weighed{f.observed, f.required} }
