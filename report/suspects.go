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
			if r.Checks[i].Severity == audit.Note { // what a whole line may be in truth, such as of one make or age
				continue
			}
			if judged, _ := c.Assessed(); judged >= suspectJudged && 100*c.FallsShort > suspectPercent*judged {
				found = append(found, suspect{l, i, c.FallsShort, judged})
			}
		}
	}
	slices.SortStableFunc(found, func(a, b suspect) int { return cmp.Compare(b.short, a.short) })
	return found
}

// lookAtData stands above what suspectsInWords says.
const lookAtData = "Likely mistakes in the data of a line"

// listedSuspects is how many lines people are told of whose data want a look.
const listedSuspects = 3

// suspectsInWords says which lines' data want a look before anything else, a sentence for each of the first and one for how many more there are. All
// outputs say it in these words; named is how one shows the name of a line.
func suspectsInWords(r *audit.Result, named func(string) string) (texts []string) {
	found := suspects(r)
	for _, s := range found[:min(len(found), listedSuspects)] {
		texts = append(texts, s.inWords(r, named))
	}
	if more := len(found) - len(texts); more > 0 {
		texts = append(texts, fmt.Sprintf("So of %s more, which audit.json lists.", grouped(more)))
	}
	return texts
}

// inWords says which line and check are suspect.
func (s suspect) inWords(r *audit.Result, named func(string) string) string {
	return fmt.Sprintf("Line %s: %s of %s fail %s: look at the line's data first.",
		named(r.Project.Symbols.Text(r.Network.Lines[s.line].Symbol)), grouped(s.short), grouped(s.judged), r.Checks[s.check].ID)
}

// asWritten shows a name as the inputs have it.
func asWritten(name string) string { return name }

// suspectRecord is a suspect for programs, with the same in words.
type suspectRecord struct {
	Line       string `json:"line"`
	Check      string `json:"check"`
	FallsShort int    `json:"falls_short"`
	Judged     int    `json:"judged"`
	InWords    string `json:"in_words"`
}

func suspectRecords(r *audit.Result) []suspectRecord {
	records := []suspectRecord{}
	for _, s := range suspects(r) {
		records = append(records, suspectRecord{r.Project.Symbols.Text(r.Network.Lines[s.line].Symbol), r.Checks[s.check].ID, s.short, s.judged, s.inWords(r, asWritten)})
	}
	return records
}
