package report

import (
	"fmt"
	"math"
)

// mostMargin is the share beyond which a margin says nothing to people: what is observed or required is all but nothing.
const mostMargin = 10.0

// shownMargin is a margin as people are shown it in a column of figures: blank (NaN) beyond ±1000 %, which
// marginInWords says in words. audit.json and the layers keep the figure.
func shownMargin(margin float64) float64 {
	if math.Abs(margin) > mostMargin {
		return math.NaN()
	}
	return margin
}

// marginInWords is the same in a sentence; empty where there is no margin.
func marginInWords(margin float64) string {
	switch {
	case !unknown(shownMargin(margin)):
		return fmt.Sprintf("%+.1f %%", 100*margin)
	case margin > mostMargin:
		return fmt.Sprintf("more than %g %%", 100*mostMargin)
	case margin < -mostMargin:
		return fmt.Sprintf("less than −%g %%", 100*mostMargin)
	}
	return ""
}
