package report

import (
	"context"
	"fmt"
	"io"
	"math"
	"strings"
	"sync"

	"dryarc/audit"
)

// sensitivityFile and the sheet tell which input would change most verdicts.
const (
	sensitivityFile  = "sensitivity.csv"
	sensitivitySheet = "Sensitivity"
)

// sensitivity is what the lines of a run go by, found once for all outputs.
type sensitivity struct {
	asked bool
	once  sync.Once
	rows  []audit.Sensitivity
	err   error
}

// sensitivities are found by the first output that asks.
func (a *account) sensitivities(ctx context.Context, r *audit.Result) ([]audit.Sensitivity, error) {
	s := &a.sensitivity
	s.once.Do(func() { s.rows, s.err = r.Sensitivities(ctx) })
	return s.rows, s.err
}

// sensitivityRow is a row of the sheet and of the file.
type sensitivityRow struct {
	line, input, moved, stated              string
	rests, unstated                         int
	short, meets, otherwise, changes, atTwo any // blank where nobody states the error
	checks, structures, wanted              string
}

func sensitivityRowOf(r *audit.Result, s *audit.Sensitivity) sensitivityRow {
	row := sensitivityRow{line: r.Project.Symbols.Text(r.Network.Lines[s.Line].Symbol), input: s.Move.Of().String(), rests: s.Rests, unstated: s.Unstated}
	if s.Unstated > 0 {
		row.wanted = s.Move.Of().Key()
	}
	if math.IsNaN(s.Error.Least) {
		row.stated = "not stated"
		row.short, row.meets, row.otherwise, row.changes, row.atTwo = math.NaN(), math.NaN(), math.NaN(), math.NaN(), math.NaN()
		return row
	}
	row.moved, row.stated = s.Move.String(), s.Error.String()
	row.short, row.meets, row.otherwise, row.changes, row.atTwo = s.ToFallsShort, s.ToMeets, s.Else, s.Changes(), s.AtTwo
	var checks, structures []string
	for i, count := range s.ByCheck {
		if count > 0 {
			checks = append(checks, fmt.Sprintf("%s %d", r.Checks[i].ID, count))
		}
	}
	for _, structure := range s.Structures {
		structures = append(structures, r.Network.Number(structure))
	}
	row.checks, row.structures = strings.Join(checks, ", "), strings.Join(structures, ", ")
	return row
}

// writeSensitivityCSV writes which input would change how many verdicts of each line, the moves that change most first.
func writeSensitivityCSV(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	t := newCSV(ctx, w, "line", "input", "moved", "standard_error", "verdicts", "verdicts_not_stated", "to_falls_short", "to_meets",
		"to_or_from_not_assessed", "changes", "changes_at_two", "checks", "first_structures", "wanted", "run")
	rows, err := a.sensitivities(ctx, r)
	if err != nil {
		return err
	}
	for i := range rows {
		row := sensitivityRowOf(r, &rows[i])
		t.add(row.line, row.input, row.moved, row.stated, row.rests, row.unstated, row.short, row.meets, row.otherwise, row.changes, row.atTwo,
			row.checks, row.structures, row.wanted, r.Run.ID)
	}
	return t.end()
}

// tellsSensitivity tells whether the workbook has the sheet.
func (b *book) tellsSensitivity() bool { return b.account != nil && b.account.sensitivity.asked }

// writeSensitivity writes the sheet of the same.
func (b *book) writeSensitivity(ctx context.Context) error {
	t := b.newTable(ctx, sensitivitySheet, 2, []column{
		{"Line", 12, look{wrap: true}},
		{"Input", 17, look{bold: true, wrap: true}},
		{"Moved", 20, look{wrap: true}},
		{"Standard error", 20, look{wrap: true}},
		{"Verdicts that go by it", 10, look{format: asCount}},
		{"of these not stated", 9, look{format: asCount}},
		{"Meets, would fall short", 9, look{format: asCount}},
		{"Falls short, would meet", 9, look{format: asCount}},
		{"To or from not assessed", 10, look{format: asCount}},
		{"Change in all", 8, look{format: asCount, bold: true}},
		{"Change at two σ", 8, look{format: asCount}},
		{"Checks", 24, look{wrap: true, indent: 1}},
		{"First structures", 18, look{wrap: true}},
		{"Wanted", 18, look{wrap: true, color: slateSoft}},
	})
	rows, err := b.account.sensitivities(ctx, b.result)
	if err != nil {
		return err
	}
	shown := min(len(rows), b.limits.rows)
	for i := range rows[:shown] {
		row := sensitivityRowOf(b.result, &rows[i])
		t.add(row.line, row.input, row.moved, row.stated, row.rests, row.unstated, row.short, row.meets, row.otherwise, row.changes, row.atTwo, row.checks, row.structures, row.wanted)
	}
	t.remarkCut(shown, len(rows), "rows, by line; "+sensitivityFile+" has all")
	t.remark(sensitivityMeaning)
	return t.finish()
}

// sensitivityMeaning says what the sheet counts and what it leaves as it is.
const sensitivityMeaning = "Verdicts on assemblies that would be others with an input one standard error off. Positions and heights are of each structure by itself: the figures beside each verdict are moved together, one standard error in all, " +
	"to where they bring it nearest to its limit or beyond. Borders of zones and tensions are moved all together. Ruling spans, sections, tees, what spans cross and the strings around are left as they are, zones in doubt where they are, and what near-worse-zone says, which is about borders itself. " +
	"What is wanted is the criterion that would state the rest."
