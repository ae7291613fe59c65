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
	require.Empty(t, (&audit.Assembly{}).Couplings())
	row := audit.AssemblyRow{
		RowSaid: audit.RowSaid{Faulty: audit.Cells(0).With(audit.CellCircuits).With(audit.CellPhase).With(audit.CellUnit), Foreign: audit.ForeignCircuit},
	}
	require.Equal(t, audit.Cells(0).With(audit.CellPhase).With(audit.CellUnit), row.Unread())
	row.Foreign |= audit.ForeignPhase
	require.Equal(t, audit.Cells(0).With(audit.CellUnit), row.Unread())
}
