package report

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/history"
	"dryarc/report/gpkg"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// decidedFixture is the fixture with a decision of each sort on its first structures: the result, and its account.
func decidedFixture(t *testing.T, csv string) (*audit.Result, *account) {
	t.Helper()
	r := assessed(t, fixture(t), 1)
	store, err := history.ParseStore([]byte(csv))
	require.NoError(t, err)
	changes := history.Alone(r)
	changes.Decided = store.Decide(r, changes)
	return r, &account{changes: changes}
}

func TestDecisionsOnThePageAndInLayers(t *testing.T) {
	r, a := decidedFixture(t, "exception,line,check,decision,until,by,reason,structure,decided,ended,was\n,N-1,short-string,accept,2026-04-20,K. Lee,\"=crew <in> spring\"\n")
	const decision, rest = "accept, in force", "until 2026-04-20; by K. Lee; =crew <in> spring; lapses within 30 days"
	closed := 0
	for i := range r.Exceptions {
		key := r.Key(i)
		require.Equal(t, key.Line == "N-1" && key.Check == "short-string", !a.changes.Decided.Open(i), key)
		if !a.changes.Decided.Open(i) {
			closed++
		}
	}
	require.Positive(t, closed)
	require.Less(t, closed, len(r.Exceptions))

	var page bytes.Buffer
	require.NoError(t, writePage(context.Background(), &page, r, a))
	plain := scripted.ReplaceAllString(page.String(), "")
	require.Contains(t, plain, "Decisions: 1 in force (1 lapses within 30 days); accepted or planned, and so not counted as open: ")
	require.Contains(t, plain, fmt.Sprintf("Open of these: %d; the rest is accepted or planned.", len(r.Exceptions)-closed))
	require.NotContains(t, pageOf(t, r), "Open of these")
	shortfalls := r.Totals()[audit.Shortfall]
	require.Contains(t, string(contentOf(t, r, a.by(writeBrief))), fmt.Sprintf("shortfalls, %d open</dt><dd>%d</dd>", shortfalls-closed, shortfalls))
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, a, generous))
	overview := fmt.Sprint(cells(t, openFile(t, saved(t, "exceptions.xlsx", b.Bytes())), overviewSheet))
	require.Contains(t, overview, fmt.Sprintf("Decisions: 1 in force (1 lapses within 30 days); accepted or planned, and so not counted as open: %d exceptions (%d shortfalls, 0 advisories, 0 notes).", closed, closed))
	require.Contains(t, overview, fmt.Sprintf("%d exceptions in %d findings of sheet Exceptions.", len(r.Exceptions), len(decidedFindings(r, a.changes.Decided, r.Findings()))))
	require.Contains(t, plain, fmt.Sprintf("%d findings of %d exceptions, worst first", len(decidedFindings(r, a.changes.Decided, r.Findings())), len(r.Exceptions)))
	require.Contains(t, plain, "Decision: "+decision+"; Decided: until 2026-04-20; by K. Lee; =crew &lt;in&gt; spring; lapses within 30 days")
	rows := strings.Split(plain, `<tr id="e-`)[1:]
	data := dataOf(t, page.String())
	require.Len(t, data.Exceptions.Closed, len(rows))
	for i, row := range rows {
		told := [2]string{data.Texts[data.Exceptions.Decision[i]], data.Texts[data.Exceptions.Decided[i]]}
		if data.Exceptions.Closed[i] == 1 {
			require.Equal(t, [2]string{decision, rest}, told)
		} else {
			require.Equal(t, [2]string{}, told)
		}
		require.Equal(t, data.Exceptions.Closed[i] == 1, strings.Contains(row, `class="closed"`), row)
	}
	require.NotContains(t, pageOf(t, r), `"decision":`, "of a project without decisions")

	kml := strings.Join(strings.Fields(string(contentOf(t, r, a.by(writeKML)))), " ")
	require.Equal(t, closed, strings.Count(kml, "<styleUrl>#decided</styleUrl>"))
	require.Equal(t, closed, strings.Count(kml, `<Data name="decision"> <value>accept</value>`))
	require.Equal(t, closed, strings.Count(kml, `<Data name="decision_status"> <value>in force</value>`))
	require.NotContains(t, string(contentOf(t, r, alone.by(writeKML))), "decided")

	in, columns := 0, 0
	for _, kind := range []exceptionKind{pointLayer, wayLayer} {
		layer := exceptionLayer(r, a.changes, unitCountsOf(t, r), kind)
		columns = len(layer.Columns)
		n := slices.IndexFunc(layer.Columns, func(c gpkg.Column) bool { return c.Name == decidedNames[0] }) + len(decidedNames)
		require.Equal(t, decidedNames, []string{layer.Columns[n-2].Name, layer.Columns[n-1].Name})
		for row := range layer.Rows {
			require.Len(t, row.Values, columns)
			if row.Values[n-2] == nil {
				require.Nil(t, row.Values[n-1])
				continue
			}
			require.Equal(t, []any{"accept", "in force"}, row.Values[n-2:n])
			in++
		}
	}
	require.Equal(t, closed, in)
	require.Len(t, exceptionLayer(r, history.Alone(r), unitCountsOf(t, r), pointLayer).Columns, columns-2)
}

// What is decided takes no place from what is open among the worst of the overview, and is grey there.
func TestWorstOfTheOverviewThatAreDecided(t *testing.T) {
	const of = "exception,line,check,decision,until,by,reason,structure,decided,ended,was\n,N-1,short-string,accept,2026-04-20,K. Lee,spring\n"
	r, a := decidedFixture(t, of)
	d := a.changes.Decided
	all := worstOfEach(r, d, len(r.Exceptions))
	open := slices.IndexFunc(all, func(i int) bool { return !d.Open(i) })
	require.Positive(t, open)
	require.False(t, slices.ContainsFunc(all[open:], d.Open), "those that are open stand first")
	require.Equal(t, all[:open], worstOfEach(r, d, open))
	require.NotEqual(t, worstOfEach(r, nil, open), worstOfEach(r, d, open), "one that is decided is among the worst")
	require.Equal(t, all[:open+1], worstOfEach(r, d, open+1))

	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, a, generous))
	book := openFile(t, saved(t, "exceptions.xlsx", b.Bytes()))
	rows := cells(t, book, overviewSheet)
	heading := slices.IndexFunc(rows, func(row []string) bool { return slices.Contains(row, "Worst exceptions of each check") })
	listed, greyed := 0, 0
	for i := heading + 2; i < len(rows) && listed < min(len(all), listedWorst); i++ {
		if len(rows[i]) < worstSeverity || rows[i][worstSeverity-1] == "" { // the rest of a row that is high
			continue
		}
		rec := recordOf(r, &r.Exceptions[all[listed]])
		require.Equal(t, rec.Severity, rows[i][worstSeverity-1])
		require.Equal(t, rec.Reason, rows[i][worstReason-1])
		for _, column := range []int{worstSeverity, worstPlace, worstReason} {
			cell, err := excelize.CoordinatesToCellName(column, i+1)
			require.NoError(t, err)
			number, err := book.GetCellStyle(overviewSheet, cell)
			require.NoError(t, err)
			style, err := book.GetStyle(number)
			require.NoError(t, err)
			require.Equal(t, !d.Open(all[listed]), strings.HasSuffix(style.Font.Color, greyText), cell)
		}
		if !d.Open(all[listed]) {
			greyed++
		}
		listed++
	}
	require.Equal(t, min(len(all), listedWorst), listed)
	require.Positive(t, greyed)
	out := decidedOut(r, d)
	require.Contains(t, fmt.Sprint(rows), counted(out[0]+out[1]+out[2], "exception is", "exceptions are")+" accepted or planned: below all others if there is room, and in grey as on Exceptions.")
	require.NotContains(t, fmt.Sprint(cells(t, openBook(t, r, generous), overviewSheet)), "accepted or planned: below")
}

// Findings whose exceptions are decided differently stand apart on the page, what was reported done first.
func TestPagePutsWhatIsReportedDoneFirst(t *testing.T) {
	r := assessed(t, fixture(t), 1)
	last := len(r.Exceptions) - 1
	id := r.ExceptionIDs()[last]
	r, a := decidedFixture(t, "exception,line,decision,structure,check,until,by,reason,decided,ended,was\n"+id+",,done\n")
	var page bytes.Buffer
	require.NoError(t, writePage(context.Background(), &page, r, a))
	data := dataOf(t, page.String())
	require.Equal(t, id, data.Texts[data.Exceptions.IDs[0]])
	require.Equal(t, "done, still there though reported done", data.Texts[data.Exceptions.Decision[0]])
	require.Equal(t, int64(0), data.Exceptions.Closed[0])
}
