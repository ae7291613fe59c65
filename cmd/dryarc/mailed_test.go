package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"dryarc/report"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// A workbook is away while the numbers of a line move on by one, and comes back after a run that told so: what was decided there is of the
// structure that was decided on, and where that is not found any more of nothing, and said.
func TestAWorkbookComesBackAfterNumbersMoved(t *testing.T) {
	t.Parallel()
	renumber := func(y *year) {
		for k, tw := range y.lines[0].towers {
			tw.number = fmt.Sprint(k + 2)
		}
	}
	for name, c := range map[string]struct {
		work  func(y *year)
		found string // structure and what is decided of it
		count string
		fault bool
	}{
		"numbers moved":             {work: renumber, found: "4 accept", count: `"in_force":1,`},
		"nothing happened":          {work: func(*year) {}, found: "3 accept", count: `"in_force":1,`},
		"mended":                    {work: func(y *year) { y.lines[0].towers[2].units[0] = 14 }, count: `"settled":1,`},
		"numbers moved, and mended": {work: func(y *year) { renumber(y); y.lines[0].towers[2].units[0] = 14 }, count: `"unmatched":1,`, fault: true},
		"another is short under it": {work: func(y *year) { renumber(y); y.lines[0].towers[1].units[0] = 8 }, found: "3 , 4 accept", count: `"in_force":1,`},
		"taken down, numbers closed": {work: func(y *year) {
			y.lines[0].towers = append(y.lines[0].towers[:2], y.lines[0].towers[3:]...)
			y.lines[0].towers[2].number = "3"
		}, count: `"unmatched":1,`, fault: true},
	} {
		t.Run(name, func(t *testing.T) {
			y := yearOfOneLine(t)
			y.lines[0].towers[2].units[0] = 8
			y.write()
			y.asOf = "2026-03-01"
			y.audit(y.lines)
			mailed := filepath.Join(y.folder, "mailed.xlsx")
			book, err := excelize.OpenFile(filepath.Join(y.folder, "out", report.WorkbookFile))
			require.NoError(t, err)
			rows, err := book.GetRows("Exceptions")
			require.NoError(t, err)
			for i, heading := range rows[0] {
				if heading == "Decision" {
					cell, err := excelize.CoordinatesToCellName(i+1, 2)
					require.NoError(t, err)
					require.NoError(t, book.SetCellStr("Exceptions", cell, "accept"))
				}
			}
			require.NoError(t, book.SaveAs(mailed))
			require.NoError(t, book.Close())

			c.work(y)
			y.write()
			y.asOf = "2026-03-02"
			y.audit(y.lines)
			var out, errs bytes.Buffer
			collect := collectCommand{Project: filepath.Join(y.folder, "audit.yaml"), Workbooks: []string{mailed}, AsOf: y.asOf}
			require.NoError(t, collect.Run(surroundingsOf(context.Background(), &ending{}, &out, &errs)))
			require.Contains(t, errs.String(), "1 new, 0 replaced")
			y.asOf = "2026-03-03"
			for range 2 {
				found := ""
				for i, e := range y.audit(y.lines).Exceptions {
					if i > 0 {
						found += ", "
					}
					found += e.Structure + " "
					if e.Decision != nil {
						found += e.Decision.Decision
					}
				}
				require.Equal(t, c.found, found)
				raw, err := os.ReadFile(filepath.Join(y.folder, "out", "audit.json"))
				require.NoError(t, err)
				require.Contains(t, string(raw), c.count)
				require.Equal(t, c.fault, bytes.Contains(raw, []byte("is a decision on nothing: ")))
			}
		})
	}
}
