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
	if l.Faulty.Has(audit.CellDeclared) { // which of them it names is not known
		l.Superseded = audit.AllSuperseded
	}
	if l.Line == 0 {
		r.nameless(at, "Line", l.Faulty.Has(audit.CellCircuits))
		r.project.LinesUnnamed = true
		r.project.SupersededUnnamed |= l.Superseded
		r.leftOut(at)
		return
	}
	if l.HighestKV < l.NominalKV {
		fault := belowNominal(l)
		r.fault(at, fault.Kind, fault.Column, fault.Value, fault.Expected)
		r.cellsOfLine(at).highestKV = l.HighestKV
		l.HighestKV, l.Faulty = math.NaN(), l.Faulty.With(audit.CellVoltage)
	}
	l.Source = at
	r.project.Lines = append(r.project.Lines, *l)
}

// belowNominal is the fault of a row whose highest voltage is below its nominal one.
func belowNominal(l *audit.LineRow) audit.Fault {
	return audit.Fault{Kind: audit.OutOfRange, At: l.Source, Column: "Highest voltage", Value: strconv.FormatFloat(l.HighestKV, 'g', -1, 64),
		Expected: fmt.Sprintf("is below the nominal voltage %v", l.NominalKV)}
}
