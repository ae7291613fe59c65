package report

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// What is open of lines and checks, and in which order lines stand, is the same on the sheets Lines and Overview, on the page, in the brief and on the
// terminal. Accepted and planned exceptions are in the column that counts all.
func TestOpenExceptionsAreTheSameEverywhere(t *testing.T) {
	r, a := decidedDemo(t)
	type figures struct {
		open        [3]int
		all, of     int
		per, inPage string
	}
	want, byCheck, open := map[string]*figures{}, map[int]int{}, [3]int{}
	for l := range r.Network.Lines {
		line := &r.Network.Lines[l]
		want[r.Project.Symbols.Text(line.Symbol)] = &figures{of: line.End - line.First}
	}
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		of := want[r.Key(i).Line]
		of.all++
		if a.changes.Decided.Open(i) {
			of.open[e.Verdict.Severity]++
			open[e.Verdict.Severity]++
			byCheck[e.Check]++
		}
	}
	sum := func(n [3]int) int { return n[0] + n[1] + n[2] }
	decided := 0
	for _, of := range want {
		decided += of.all - sum(of.open)
		of.per = tenth(100 * float64(sum(of.open)) / float64(of.of))
		of.inPage = fmt.Sprintf("%d on %d structures", sum(of.open), of.of)
	}
	require.Greater(t, decided, 3, "of these the figures would differ")

	book := openBookOf(t, r, a, generous)
	rows := cells(t, book, linesSheet)
	at := func(row []string, heading string) string {
		column := slices.Index(rows[0], heading)
		require.GreaterOrEqual(t, column, 0, heading)
		return row[column]
	}
	var order []string
	for _, row := range rows[1 : 1+len(want)] {
		of := want[row[0]]
		require.NotNil(t, of, row[0])
		order = append(order, row[0])
		require.Equal(t, of.per, tenth(number64(t, at(row, "Open per 100 structures"))), row[0])
		for severity, heading := range [...]string{"Open shortfalls", "Open advisories", "Open notes"} {
			require.Equal(t, float64(of.open[severity]), number64(t, at(row, heading)), "%s: %s", row[0], heading)
		}
		require.Equal(t, float64(of.all), number64(t, at(row, "Exceptions in all")), row[0])
	}

	overview := cells(t, book, overviewSheet)
	table := func(heading string, column int) [][]string {
		from := slices.IndexFunc(overview, func(row []string) bool { return len(row) > column && row[column] == heading })
		require.GreaterOrEqual(t, from, 0, heading)
		return overview[from+2:]
	}
	for i, row := range table("Lines by open exceptions per 100 structures", lineColumn-1)[:len(order)] {
		of := want[order[i]]
		require.Equal(t, order[i], row[lineColumn-1])
		told := [3]int{}
		for severity := range told {
			told[severity] = int(number64(t, row[lineColumn+1+severity]))
		}
		require.Equal(t, of.open, told, order[i])
		require.Equal(t, of.per, tenth(number64(t, row[lineColumn])))
	}
	for severity, row := range table("How far open exceptions fall short", lineColumn-1)[:3] {
		require.Equal(t, float64(open[severity]), number64(t, row[rightEnd-1]), audit.Severity(severity))
	}
	for _, row := range table("Open exceptions by check", firstColumn-1)[:min(len(byCheck), chartRows)] {
		check := slices.IndexFunc(r.Checks, func(c *audit.Check) bool { return c.ID == row[0] })
		require.Equal(t, float64(byCheck[check]), number64(t, row[meetsColumn-1])+number64(t, row[meetsColumn])+number64(t, row[meetsColumn+1]), row[0])
	}

	f := firstOfAccount(t, r, a)
	for i, line := range append(f.Ranked, f.MoreRanked...) {
		require.Equal(t, []string{order[i], want[order[i]].per, want[order[i]].inPage}, []string{line.Line, line.Per100, line.InWords})
	}
	bars := append(f.Bars, f.MoreBars...)
	require.Len(t, bars, len(byCheck))
	for _, bar := range bars {
		n := 0
		for _, part := range bar.Parts {
			n += int(number64(t, part.Count))
		}
		require.Equal(t, byCheck[bar.Check], n, bar.Title)
	}
	require.Contains(t, f.NotInBars, fmt.Sprintf("%d exceptions accepted or planned", decided))
	data := dataOf(t, string(contentOf(t, r, a.by(writePage))))
	for i, name := range data.Lines.Name {
		told := [3]int{int(data.Lines.Shortfalls[i]), int(data.Lines.Advisories[i]), int(data.Lines.Notes[i])}
		require.Equal(t, want[data.Texts[name]].open, told, "what the map tells of a line")
	}

	worst := want[order[0]]
	said := fmt.Sprintf("%s, %d exceptions open on %d structures", order[0], sum(worst.open), worst.of)
	require.Contains(t, briefOf(r, a).Worst, said)
	var b strings.Builder
	Summary(&b, r, a.jobs, a.changes, "out")
	require.Contains(t, b.String(), "worst line: "+said)
}
