package read

import (
	"context"
	"fmt"
	"math"
	"strconv"

	"dryarc/audit"
)

func (r *register) readLines(ctx context.Context, w *workbook) error {
	return readSheets(ctx, r, w, sheet[audit.LineRow]{
		name:    linesSheet,
		columns: lineColumns(r),
		blank:   audit.UnknownLineRow,
		faulty:  func(l *audit.LineRow) *audit.Cells { return &l.Faulty },
		keep:    r.keepLine,
		note:    func(at audit.Source, heading string) { r.cellsOfLine(at).faulty[heading] = true },
	})
}

func (r *register) keepLine(l *audit.LineRow, at audit.Source) {
	if l.Line == 0 {
		r.nameless(at, "Line", l.Faulty.Has(audit.CellCircuits))
		r.project.LinesUnnamed = true
		r.leftOut(at)
		return
	}
	if l.HighestKV < l.NominalKV {
		r.fault(at, audit.OutOfRange, "Highest voltage", strconv.FormatFloat(l.HighestKV, 'g', -1, 64),
			fmt.Sprintf("is below the nominal voltage %v", l.NominalKV))
		r.cellsOfLine(at).highestKV = l.HighestKV
		l.HighestKV, l.Faulty = math.NaN(), l.Faulty.With(audit.CellVoltage)
	}
	l.Source = at
	r.project.Lines = append(r.project.Lines, *l)
}
