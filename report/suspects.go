package report

import (
	"cmp"
	"fmt"
	"slices"

	"dryarc/audit"
)

// suspect is a check that nearly a whole line fails: more likely a mistake in the line's data than so many in the field.
type suspect struct{ line, check, short, judged int }

// A line is suspect from this many judged subjects, and beyond this share of them that fall short.
const (
	suspectJudged  = 10
	suspectPercent = 80
)

// suspects lists the lines and checks whose exceptions want a look at the line's data first, most exceptions first.
func suspects(r *audit.Result) (found []suspect) {
	for l := range r.Lines {
		for i, c := range r.Lines[l].Coverage {
			if judged, _ := c.Assessed(); judged >= suspectJudged && 100*c.FallsShort > suspectPercent*judged {
				found = append(found, suspect{l, i, c.FallsShort, judged})
			}
		}
	}
	slices.SortStableFunc(found, func(a, b suspect) int { return cmp.Compare(b.short, a.short) })
	return found
}

// inWords says which line and check are suspect.
func (s suspect) inWords(r *audit.Result) string {
	return fmt.Sprintf("Line %s: %s of %s fail %s: look at the line's data first.",
		r.Project.Symbols.Text(r.Network.Lines[s.line].Symbol), grouped(s.short), grouped(s.judged), r.Checks[s.check].ID)
}
