package report

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"testing"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/stretchr/testify/require"
)

// twoNights are the fixture as of one day, and as of the next with a string mended, one worse, a third too short and the figure of one
// lost, with what changed.
func twoNights(t *testing.T) (*audit.Result, *account) {
	t.Helper()
	first := fixtureResult(t)
	var file bytes.Buffer
	require.NoError(t, JSON(context.Background(), &file, first, nil, nil, nil))
	earlier, err := history.Read(&file)
	require.NoError(t, err)

	p := fixture(t)
	p.Assemblies.Row(1).UnitsPerString = 10 // 9
	p.Assemblies.Row(2).UnitsPerString = 8  // 10
	p.Assemblies.Row(3).UnitsPerString = 7  // 9
	p.Assemblies.Row(5).UnitsPerString = -1 // 9
	r := assessed(t, p, 1)
	r.Run.AsOf = "2026-04-01"
	changes, err := history.Compare(context.Background(), r, earlier, false)
	require.NoError(t, err)
	return r, &account{changes: changes, log: parseLog([]byte(logOf(t, "", first)))}
}

func TestOutputsTellWhatChanged(t *testing.T) {
	r, a := twoNights(t)
	const says = "since 31 March 2026: 1 new, 1 worse, 1 cleared, 1 not judged any more, only because data were lost"
	require.Equal(t, says, headline(a.changes))

	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, a, generous))
	path := saved(t, "exceptions.xlsx", b.Bytes())
	file := openFile(t, path)
	states, days := map[string]int{}, map[string]int{}
	for _, row := range cells(t, file, exceptionsSheet)[1:] {
		states[row[1]]++
		days[row[17]]++
	}
	require.Equal(t, map[string]int{"new": 1, "worse": 1, "standing": 2}, states)
	require.Equal(t, map[string]int{"2026-03-31": 3, "2026-04-01": 1}, days)
	gone := cells(t, file, clearedSheet)
	require.Equal(t, []string{"meets", "shortfall", "N-1", "002"}, gone[1][:4])
	require.Equal(t, []string{"9 × U120B is short of 2700 mm.", "now 2950, required 2700 mm", "2655", "2700", "mm"}, gone[1][9:14])
	require.Equal(t, []string{"not assessed", "shortfall", "N-1", "006"}, gone[2][:4])
	require.Contains(t, fmt.Sprint(gone[3:]), "1 exception is cleared. What is not assessed any more (1) is not cleared: a datum was lost, and nobody can tell.")
	overview, err := file.GetCellValue(overviewSheet, "A3")
	require.NoError(t, err)
	require.Equal(t, sentenceCase(says)+".", overview)
	rows := cells(t, file, overviewSheet)
	require.Contains(t, fmt.Sprint(rows), "From run to run")

	page := string(contentOf(t, r, a.by(writePage)))
	require.Contains(t, page, `</strong> S`+says[1:]+`.</p>`)
	require.Contains(t, page, "2 runs. Shortfalls: 4, then 3; advisories: 1, then 1.")
	data := dataOf(t, page)
	require.Len(t, data.Exceptions.State, 4)

	csv := csvRows(t, contentOf(t, r, a.by(writeExceptionsCSV)))
	require.Equal(t, []string{"state", "first_seen"}, csv[0][15:17])
	require.Equal(t, []string{"worse", "2026-03-31"}, csv[1][15:17])
	log := csvRows(t, contentOf(t, r, a.by(writeHistory)))
	require.Equal(t, []string{"2026-04-01", "N-1", "all", "6", "2", "1", "0", "1", "1", "0"}, log[4][:10])
	require.Equal(t, 1, a.changes.Counts().Cleared(), "one count for the headline and the log")
}

// A run that repeats one compares with what that one compared with, as its audit.json has it, and writes the same bytes.
func TestRepeatedComparison(t *testing.T) {
	r, a := twoNights(t)
	write := func(changes *history.Changes) []byte {
		var b bytes.Buffer
		require.NoError(t, JSON(context.Background(), &b, r, nil, changes, nil))
		return b.Bytes()
	}
	once := write(a.changes)
	earlier, err := history.Read(bytes.NewReader(once))
	require.NoError(t, err)
	again, err := history.Compare(context.Background(), r, earlier, false)
	require.NoError(t, err)
	require.Equal(t, string(once), string(write(again)))

	named, err := history.Compare(context.Background(), r, earlier, true)
	require.NoError(t, err)
	require.Equal(t, len(r.Exceptions), named.Counts().ByState[history.Standing], "one that is named is compared with whatever its date")
	require.Zero(t, named.Counts().Cleared())
}

// Outputs of a run with nothing to compare with say so.
func TestOutputsOfAFirstRun(t *testing.T) {
	r := fixtureResult(t)
	page := string(contentOf(t, r, func(ctx context.Context, w io.Writer, r *audit.Result) error { return writePage(ctx, w, r, nil) }))
	require.Contains(t, page, "First run: there is no earlier one to compare with.")
	require.NotContains(t, page, "From run to run")
	require.Equal(t, "There was no earlier run to compare with.", cells(t, openBook(t, r, generous), clearedSheet)[2][0])
}
