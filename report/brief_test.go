package report

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"dryarc/audit/history"

	"github.com/stretchr/testify/require"
)

// What the brief says is what the other outputs say.
func TestBriefAgreesWithTheOthers(t *testing.T) {
	r, jobs := demoJobs(t)
	a := &account{jobs: jobs}
	b := briefOf(r, a)
	text := string(contentOf(t, r, a.by(writeBrief)))
	totals := r.Totals()
	for i, n := range totals {
		require.Equal(t, grouped(n), b.Severities[i].Count)
	}
	require.Contains(t, text, Caution)
	require.Contains(t, text, ", run "+r.Run.ID+", as of "+r.Run.AsOf)
	require.NotContains(t, text, "<script")
	require.NotRegexp(t, `style="`, text, "the policy allows the sheet alone")
	require.Len(t, b.Rows, briefWorst)
	for i, e := range worstOfEach(r, nil, briefWorst) {
		require.Equal(t, exceptionLink(r.ExceptionIDs()[e]), b.Rows[i].Link)
		f := findingsWith(r, nil, []int{e})[e]
		require.Equal(t, f.Sentence(r), b.Rows[i].Wrong)
	}
	rows := a.rows(r)
	first := 0
	for first < len(rows) && len(rows[first].job.Remedies) == 0 {
		first++
	}
	require.Equal(t, []any{rows[first].rank, rows[first].line, rows[first].structure}, []any{b.Jobs[0].Rank, b.Jobs[0].Line, b.Jobs[0].Structure})
	require.Equal(t, len(b.Map.Routes), 4)
	var letters []string
	for _, l := range b.Map.Labels {
		require.NotRegexp(t, `^\d+$`, l.Text, "the worst have their numbers on the second sheet alone")
		if l.Kind == "letter" {
			letters = append(letters, l.Text)
		}
	}
	require.Equal(t, strings.Fields("A B C D"), letters)
	for i, job := range b.Jobs {
		require.Equal(t, letters[i], job.Letter, "the map has the letters of the jobs")
	}
	sheet1, sheet2, _ := strings.Cut(text, `aria-labelledby="worst"`)
	require.Contains(t, sheet1, "A to D: the jobs above.")
	require.NotContains(t, sheet1, "overleaf")
	require.Contains(t, sheet2, `<th scope="row">10</th>`)
}

// The brief names the phases and sides of a finding as all outputs do, and says of how many its sentence is the worst.
func TestBriefNamesFindings(t *testing.T) {
	r, jobs := demoJobs(t)
	details := map[string]briefRow{}
	for _, row := range briefOf(r, &account{jobs: jobs}).Rows {
		details[row.Line+", "+row.Structure+", "+r.Checks[r.Exceptions[slices.Index(r.ExceptionIDs(), strings.TrimPrefix(row.Link, pageFile+"#e-"))].Check].ID] = row
	}
	require.Equal(t, "circuit 1, phase A,B,C", details["SD-132, T-038, swing"].Detail)
	require.Equal(t, "circuit 1, phase R,Y,B", details["DF-220, 5/1, double-at-crossing"].Detail)
	require.Contains(t, details["DF-220, 5/1, double-at-crossing"].Wrong, " This is the worst of 3; how many units phase R has is not known.")
	var overview strings.Builder
	for _, row := range cells(t, openBook(t, r, generous), overviewSheet) {
		fmt.Fprintln(&overview, strings.Join(row, " "))
	}
	require.Contains(t, overview.String(), " This is the worst of 3; how many units phase R has is not known.")
}

// Of nothing the brief says so, and never that all is well.
func TestBriefOfNothingFound(t *testing.T) {
	r := fixtureResult(t)
	r.Exceptions = nil
	text := string(contentOf(t, r, alone.by(writeBrief)))
	require.Contains(t, text, "Nothing open was found in what could be judged.")
	require.Contains(t, text, "not assessed, which is not the same as meeting")
	require.NotContains(t, text, "<table")
}

// What is accepted or planned is neither in the answer nor a mark on the map.
func TestBriefCountsWhatIsOpen(t *testing.T) {
	const of = "exception,line,check,decision,until,by,reason,structure,decided,ended,was\n,N-1,short-string,accept,2026-04-20,K. Lee,spring\n"
	r, a := decidedFixture(t, of)
	open := 0
	for i := range r.Exceptions {
		if a.changes.Decided.Open(i) {
			open++
		}
	}
	require.Less(t, open, len(r.Exceptions))
	before, after := rankedLines(r, history.Alone(r).Decided), rankedLines(r, a.changes.Decided)
	count := func(lines []lineRank) (n int) {
		for i := range lines {
			n += lines[i].open.total()
		}
		return n
	}
	require.Equal(t, []int{len(r.Exceptions), open}, []int{count(before), count(after)})
	whole, part := briefOf(r, alone), briefOf(r, a)
	require.NotEqual(t, whole.Answer, part.Answer)
	require.Contains(t, part.Decisions, "1 in force")
}

// A text is never reckoned lower than it is set: of the widest of the fonts, DejaVu Sans, the widths of some lines were measured in Chromium.
func TestTextsAreReckonedOnTheHighSide(t *testing.T) {
	for text, ems := range map[string]float64{
		"the quick brown fox jumps over the lazy dog": 22.27,
		"SCREENING ONLY": 8.75,
		"1234567890":     6.36,
		"mmmmmmmmmm":     9.74,
	} {
		require.Greater(t, emsOf(text), ems, text)
	}
	require.Equal(t, 1, linesIn("short", 10, 100))
	require.Equal(t, 3, linesIn("a\nb\nc", 10, 100))
	require.GreaterOrEqual(t, linesIn(strings.Repeat("x", 400), 10, 100), 400*6/283, "a long word is broken")
}

// A label stands where nothing else does, and within the map.
func TestLabelsKeepApart(t *testing.T) {
	taken := placed{within: box2{0, 0, 60, 40}}
	var all []box2
	for range 40 {
		b, found := taken.near(30, 20, 6, 3)
		require.True(t, found)
		for _, o := range all {
			require.False(t, b.meets(o))
		}
		require.True(t, b.x0 >= 0 && b.y0 >= 0 && b.x1 <= 60 && b.y1 <= 40)
		taken.add(b)
		all = append(all, b)
	}
	_, found := (&placed{within: box2{0, 0, 2, 2}}).near(1, 1, 6, 3)
	require.False(t, found)
	require.Regexp(t, regexp.MustCompile(`^M[\d.]+ [\d.]+v1\.2h[\d.]+v-1\.2$`), briefOf(fixtureResult(t), alone).Map.Bar)
}

// What is to be done does not say again what is wrong.
func TestBriefSaysNothingTwice(t *testing.T) {
	r, jobs := demoJobs(t)
	again := 0
	rows := (&account{jobs: jobs}).rows(r)
	for _, row := range briefOf(r, &account{jobs: jobs}).Rows {
		require.NotContains(t, row.Do, row.Wrong)
		require.NotContains(t, row.Do, "  ")
		for i := range rows {
			if rows[i].line == row.Line && rows[i].structure == row.Structure && strings.Contains(rows[i].workInWords(r), row.Wrong) {
				again++
			}
		}
	}
	require.Positive(t, again, "the work of the demo says it again")
	require.Equal(t, "Look first. Enter it.", withoutSentence("Look first. It is not there. Enter it.", "It is not there."))
	require.Equal(t, "Look first.", withoutSentence("Look first. It is not there.", "It is not there."))
	require.Equal(t, "Look first.", withoutSentence("Look first.", ""))
}
