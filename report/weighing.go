package report

import (
	"fmt"
	"math"
	"strings"

	"dryarc/audit/remedy"
)

// What the criterion priority makes of a job, for the sheet Work, work.csv, audit.json and the page. All of it is blank where the
// project states no weights.

// factorNames are the names of the factors that the project states, in their order; nil where it states none.
func factorNames(rows []workRow) (names []string) {
	if len(rows) == 0 || !rows[0].why.Weighed {
		return nil
	}
	for i := range rows[0].why.Consequence.Factors {
		names = append(names, rows[0].why.Consequence.Factors[i].Name)
	}
	return names
}

// factorValues are the factors of a job as cells, NaN for one that is not known.
func factorValues(why *remedy.Rank) (values []any) {
	for i := range why.Consequence.Factors {
		values = append(values, why.Consequence.Factors[i].Value)
	}
	return values
}

// factorsFor says what the factors of a job are for: "crossings: railway; voltage: 132 kV".
func factorsFor(why *remedy.Rank) string {
	var words []string
	for i := range why.Consequence.Factors {
		if f := &why.Consequence.Factors[i]; f.Of != "" {
			words = append(words, f.Name+": "+strings.TrimSpace(f.Of))
		}
	}
	return strings.Join(words, "; ")
}

// notKnown says what of a score is not known, and so left out of it.
func notKnown(why *remedy.Rank) string {
	words := why.Consequence.Unknown()
	if why.Check >= 0 && why.Weighed && unknown(why.Counts) {
		words = append(words, "how far it falls short, which is no figure: the whole counts")
	}
	return strings.Join(words, "; ")
}

// weighingInWords is the score of a job with all that makes it; empty where nothing is weighed.
func weighingInWords(why *remedy.Rank) string {
	if !why.Weighed || why.Check < 0 {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "Score %.4g", why.Score)
	times := " = "
	for i := range why.Consequence.Factors {
		f := &why.Consequence.Factors[i]
		if unknown(f.Value) {
			continue
		}
		fmt.Fprintf(&b, "%s%s %.4g", times, f.Name, f.Value)
		if f.Of != "" {
			fmt.Fprintf(&b, " (%s)", strings.TrimSpace(f.Of))
		}
		times = " × "
	}
	if !unknown(why.Counts) {
		fmt.Fprintf(&b, " × short by %.4g", why.Counts)
	}
	if c := &why.Consequence; c.Band != "" {
		fmt.Fprintf(&b, "; consequence %.2f of the mean, %s", c.OfMean, c.Band)
	}
	if text := notKnown(why); text != "" {
		b.WriteString("; not known: " + text)
	}
	return b.String() + "."
}

// score is that of a job, NaN of one that is for no exception of its own.
func (w *workRow) score() float64 {
	if w.why.Check < 0 {
		return math.NaN()
	}
	return w.why.Score
}
