package audit_test

import (
	"math"
	"reflect"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// A figure that is forgotten in one of these would be stated as 0 by every row that leaves it blank.
func TestUnknownRowsStateNoFigure(t *testing.T) {
	for _, row := range []any{audit.UnknownLineRow(), audit.UnknownDirectValues(), basis.UnknownUnit(), basis.UnknownConductor()} {
		v := reflect.ValueOf(row)
		for i := range v.NumField() {
			if f := v.Field(i); f.Kind() == reflect.Float64 {
				require.True(t, math.IsNaN(f.Float()), "%T.%s", row, v.Type().Field(i).Name)
			}
		}
	}
}

// A string whose units nobody knows has no couplings, and a foreign name is no cell that cannot be read.
func TestUnknownUnitsHaveNoCouplings(t *testing.T) {
	require.Empty(t, (&Assembly{}).Couplings())
	row := AssemblyRow{Faulty: Cells(0).With(CellCircuits).With(CellPhase).With(CellUnit), Foreign: ForeignCircuit}
	require.Equal(t, Cells(0).With(CellPhase).With(CellUnit), row.Unread())
	row.Foreign |= ForeignPhase
	require.Equal(t, Cells(0).With(CellUnit), row.Unread())
}
