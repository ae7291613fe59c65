package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Rows that differ are told apart in what they say: a blank cell is called blank, and of the columns that one set of faulty cells
// holds only the one that cannot be read is called so.
func TestDifferencesAreWordedAsWritten(t *testing.T) {
	p := &Project{Makeups: []Makeup{{}, {Text: "U120B"}}}
	values := UnknownDirectValues()
	values.LightningKV = 650
	p.Direct = []DirectValues{values}
	first := AssemblyRow{RowOwn: RowOwn{Source: Source{Row: 2}}, RowSaid: RowSaid{Makeup: 1, UnitsPerString: 9, Strings: 1, Direct: 1}}
	later := AssemblyRow{
		RowOwn:  RowOwn{Source: Source{Row: 3}},
		RowSaid: RowSaid{UnitsPerString: 9, Strings: 1, Faulty: Cells(0).With(CellUnit).With(CellTestedWet)},
	}
	p.Faults.Add(Fault{Kind: MissingValue, At: later.Source, Column: "Unit", Expected: "is blank"})
	p.Faults.Add(Fault{Kind: NotANumber, At: later.Source, Column: "Wet withstand", Value: "abc"})
	require.Equal(t, "unit U120B there, blank here, lightning withstand 650 there, blank here, wet withstand blank there, not readable here", p.difference(&first, &later))
}

// Whatever rests on the withstand of units in series points at the fault where that withstand cannot be read.
func TestSeriesOfUnreadableWithstand(t *testing.T) {
	s := known(t)
	s.Assembly.Unit.Kind, s.Assembly.UnitsPerString = 3, 2
	require.True(t, s.Assembly.inSeries())
	require.Equal(t, SeriesNotTested, s.Assembly.Withstand(Lightning, 2, s.Criteria).Reason)
	s.Assembly.UnitFaulty = s.Assembly.UnitFaulty.With(CellTested)
	require.Equal(t, FaultyField, s.Assembly.Withstand(Lightning, 2, s.Criteria).Reason)
	require.Equal(t, FaultyField, s.Assembly.Withstand(Wet, 2, s.Criteria).Reason)
}
