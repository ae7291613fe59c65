package checks_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

func stepOf(t *testing.T, trace audit.Trace, symbol string) audit.Step {
	i := slices.IndexFunc(trace.Steps, func(step audit.Step) bool { return step.Symbol == symbol })
	require.GreaterOrEqual(t, i, 0, symbol)
	return trace.Steps[i]
}

// The working of a withstand shows the figures that were read and put in: the rows of the disc table, the distance and the factor
// of a gap.
func TestWithstandIsWorkedFromWhatWasRead(t *testing.T) {
	_, s := example(t, "wet-withstand")
	var trace audit.Trace
	checks.ByID("wet-withstand").Run(s, &trace)
	require.Equal(t, audit.Figure(490, "kV"), stepOf(t, trace, "U_wet").Result)
	require.Contains(t, stepOf(t, trace, "U_wet").Meaning, "row 12")
	require.Equal(t, 0.9, stepOf(t, trace, "U_w").Inputs[0].Value.Number)

	_, s = example(t, "lightning-withstand")
	s.Assembly.Unit.SpacingMM, s.Assembly.UnitsPerString = 170, 10 // 11.64 discs
	trace = audit.Trace{}
	checks.ByID("lightning-withstand").Run(s, &trace)
	require.Contains(t, stepOf(t, trace, "U_50n").Meaning, "interpolated on length between row 11 (1015 kV) and row 12 (1105 kV)")
	require.InDelta(t, 1015+0.643836*90, stepOf(t, trace, "U_50n").Result.Number, 0.01) // 1700/146 − 11 = 0.643836 (computed)

	_, s = example(t, "switching-withstand")
	trace = audit.Trace{}
	checks.ByID("switching-withstand").Run(s, &trace)
	step := stepOf(t, trace, "U_w")
	require.Equal(t, "0.9232·K·1080·ln(0.46·d + 1)", step.Formula)
	require.Equal(t, []audit.Operand{{Symbol: "d", Value: audit.Figure(3.2, "m")}, {Symbol: "K", Value: audit.Figure(1.25, "")}}, step.Inputs)
	require.Equal(t, "(1-1.28*0.06)*K*1080*LN(0.46*d+1)", step.Sheet)
	s.Line.Row.LightningKV = 1425
	trace = audit.Trace{}
	checks.ByID("lightning-withstand").Run(s, &trace)
	require.Equal(t, "0.9616·(0.74 + 0.26·K)·530·d", stepOf(t, trace, "U_w").Formula)
}

// Wet verdicts by the disc table with less than 2.5 % either way say that printed tables differ by as much (a second printed series
// is 5 to 10 kV lower); tested values say nothing of the kind.
func TestWetVerdictsWithinTheDifferenceOfTables(t *testing.T) {
	check := checks.ByID("wet-withstand")
	for _, c := range []struct {
		levelKV float64 // 12 discs withstand 441 kV wet
		outcome audit.Outcome
		within  bool
	}{{440, audit.Meets, true}, {431, audit.Meets, true}, {430, audit.Meets, false}, {442, audit.FallsShort, true}, {452, audit.FallsShort, true}, {453, audit.FallsShort, false}} {
		_, s := example(t, "wet-withstand")
		s.Line.WetKV = c.levelKV
		v := check.Run(s, nil)
		require.Equal(t, c.outcome, v.Outcome, "%g kV", c.levelKV)
		require.Equal(t, audit.Advisory, v.Severity)
		require.Equal(t, c.within, v.Reason == audit.WithinPrintedTables, "%g kV", c.levelKV)
		require.Equal(t, c.within && c.outcome == audit.FallsShort, strings.Contains(v.Sentence, "within the difference of printed tables"))
		s.Assembly.Direct.WetKV = 441
		require.Equal(t, audit.NoReason, check.Run(s, nil).Reason)
	}
	require.Equal(t, 0.025, basis.PrintedTablesApart)
}

// The tested values of one unit are not those of a string of several, and it is said that they are not used.
func TestTestedValuesOfOneUnitAreNotUsedInSilence(t *testing.T) {
	check, s := example(t, "wet-withstand")
	s.Assembly.Unit.WetKV = 50
	var trace audit.Trace
	check.Run(s, &trace)
	require.Contains(t, stepOf(t, trace, "U_w").Meaning, "; the tested value of one unit, 50 kV, is not used for a string of 12")
	s.Assembly.Unit.DiameterMM = 400 // outside the table
	require.Equal(t, audit.UnitTestedAlone, check.Run(s, nil).Reason)
	s.Assembly.Unit.WetKV = math.NaN()
	require.Equal(t, audit.WithstandUnknown, check.Run(s, nil).Reason)
}

// A voltage that is in no list is not called unstated, and one that cannot be read is called faulty.
func TestWhyTheVoltageOfAPinIsNotKnown(t *testing.T) {
	for _, c := range []struct {
		nominalKV float64
		faulty    audit.Cells
		want      audit.Reason
	}{{27, 0, audit.VoltageNotStandard}, {math.NaN(), 0, audit.VoltageUnknown}, {math.NaN(), audit.Cells(0).With(audit.CellVoltage), audit.FaultyField}} {
		for _, id := range []string{"pin-voltage", "shackle-voltage"} {
			check, s := example(t, id)
			s.Line.Row.NominalKV, s.Line.HighestKV, s.Line.Row.Faulty = c.nominalKV, math.NaN(), c.faulty
			v := check.Run(s, nil)
			if id == "shackle-voltage" && c.nominalKV == 27 {
				require.Equal(t, audit.FallsShort, v.Outcome, "27 kV is no low voltage, in whatever list")
				continue
			}
			require.Equal(t, c.want, v.Reason, id)
		}
	}
}

// A line of low voltage has no highest one, and pins serve it; a voltage cell that cannot be read leaves open what it is. Pins and shackles of earth wires and guys stand no
// voltage of the line.
func TestPinsOfLowVoltageAndThoseOfEarthWires(t *testing.T) {
	check, s := example(t, "pin-voltage")
	s.Line.Row.NominalKV, s.Line.HighestKV = 0.4, math.NaN()
	var trace audit.Trace
	v := check.Run(s, &trace)
	require.Equal(t, audit.Meets, v.Outcome)
	require.Equal(t, 1.0, v.Observed.Number)
	require.Equal(t, "the most that low voltage is, for which no highest voltage is stated", stepOf(t, trace, "U_m").Meaning)
	s.Line.Row.NominalKV = 1.001
	require.Equal(t, audit.VoltageNotStandard, check.Run(s, nil).Reason)
	s.Line.Row.NominalKV, s.Line.Row.Faulty = 0.4, audit.Cells(0).With(audit.CellVoltage)
	require.Equal(t, audit.FaultyField, check.Run(s, nil).Reason)
	for _, duty := range []audit.Duty{audit.EarthWire, audit.Guy} {
		for id, kind := range map[string]basis.Kind{"pin-voltage": basis.Pin, "shackle-voltage": basis.Shackle} {
			b := newBase(t)
			b.pinAt(3, audit.Pin, kind)
			require.Equal(t, audit.FallsShort, b.verdict(id, 3, "A").Outcome)
			b.rows(3)[0].Duty = duty
			require.Equal(t, audit.CarriesNoPhase, b.verdict(id, 3, "A").Reason, "%s %s", id, duty)
		}
	}
}
