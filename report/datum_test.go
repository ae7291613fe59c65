package report

import (
	"context"
	"math"
	"slices"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// A unit that nobody knows is the datum that judges most where it keeps most back, and is named; what such assemblies lack beside it would
// judge none of them, and does not count.
func TestUnknownUnitIsTheDatum(t *testing.T) {
	before, err := judged(t, demo(t)).DatumThatJudgesMost(context.Background())
	require.NoError(t, err)
	require.Empty(t, before.Faulty)

	p := demo(t)
	for i := range p.Assemblies.Len() {
		row := p.Assemblies.Row(i)
		row.Makeup, row.Faulty = 0, row.Faulty.With(audit.CellUnit)
		p.Faults.Gather(audit.Fault{Kind: audit.UnknownUnit, At: row.Source, Column: "Unit", Value: "MYSTERY", Expected: "is no unit"}, "word mystery")
	}
	r := judged(t, p)
	datum, err := r.DatumThatJudgesMost(context.Background())
	require.NoError(t, err)
	require.Equal(t, "unit MYSTERY", datum.Faulty)
	require.Equal(t, audit.FaultyField, datum.Reason)
	faulty := 0
	for i, c := range r.Coverage {
		for _, reason := range c.Reasons {
			if r.Checks[i].Of == audit.OfAssembly && reason.Outcome == audit.NotAssessed && reason.Reason == audit.FaultyField {
				faulty += reason.Count
			}
		}
	}
	require.Positive(t, faulty)
	require.Greater(t, 2*datum.Count, faulty, "nearly all that is held back by faulty fields")
	require.Greater(t, datum.Count, before.Count)
	require.Contains(t, pageOf(t, r), "The datum that would judge most: unit MYSTERY, which is faulty: it keeps back")
}

// A figure in the row of a line that cannot be read competes with what else keeps verdicts back, and is named with its line. What an assembly lacks by
// its own row is not put down to it.
func TestFaultyFigureOfALineIsTheDatum(t *testing.T) {
	p := demo(t)
	at := slices.IndexFunc(p.Lines, func(l audit.LineRow) bool { return p.Symbols.Text(l.Line) == "SD-132" })
	row := &p.Lines[at]
	row.HighestKV, row.NominalKV, row.Faulty = math.NaN(), math.NaN(), row.Faulty.With(audit.CellVoltage)
	p.Faults.Add(audit.Fault{Kind: audit.NotANumber, At: row.Source, Column: "Nominal voltage (kV)", Value: "13x2", Expected: "is no number"})
	r := judged(t, p)
	datum, err := r.DatumThatJudgesMost(context.Background())
	require.NoError(t, err)
	require.Equal(t, "Nominal voltage (kV) 13x2 of line SD-132", datum.Faulty)
	before, err := judged(t, demo(t)).DatumThatJudgesMost(context.Background())
	require.NoError(t, err)
	require.Greater(t, datum.Count, before.Count, "what would judge most without it")
	held := 0
	for l := range r.Lines {
		for i, c := range r.Lines[l].Coverage {
			for _, reason := range c.Reasons {
				if r.Checks[i].Of == audit.OfAssembly && r.Project.Symbols.Text(r.Network.Lines[l].Symbol) == "SD-132" && reason.Outcome == audit.NotAssessed && reason.Reason == audit.FaultyField {
					held += reason.Count
				}
			}
		}
	}
	require.LessOrEqual(t, datum.Count, held)
	require.Contains(t, pageOf(t, r), "The datum that would judge most: Nominal voltage (kV) 13x2 of line SD-132, which is faulty: it keeps back")

	p = demo(t)
	row = &p.Lines[at]
	row.HighestKV, row.NominalKV, row.Faulty = math.NaN(), math.NaN(), row.Faulty.With(audit.CellVoltage)
	for _, column := range []string{"Nominal voltage (kV)", "Highest voltage (kV)"} {
		p.Faults.Add(audit.Fault{Kind: audit.NotANumber, At: row.Source, Column: column, Value: "13x2", Expected: "is no number"})
	}
	datum, err = judged(t, p).DatumThatJudgesMost(context.Background())
	require.NoError(t, err)
	require.Equal(t, "row of line SD-132 on the sheet Lines (2 cells)", datum.Faulty)
}

// A datum of lines, rows, structures or criteria is named by its column or key and by whose it is, not by a unit that hangs there, and its count is that
// of all verdicts which it keeps back: stated on these lines, none is kept back for want of it.
func TestDatumIsNamedByWhatLacksIt(t *testing.T) {
	kept := func(r *audit.Result, reason audit.Reason) (n int) {
		for i, c := range r.Coverage {
			for _, x := range c.Reasons {
				if r.Checks[i].Of == audit.OfAssembly && x.Outcome == audit.NotAssessed && x.Reason == reason {
					n += x.Count
				}
			}
		}
		return n
	}
	singlePhase := func(names ...string) func(p *audit.Project) {
		return func(p *audit.Project) {
			for i := range p.Lines {
				if len(names) == 0 || slices.Contains(names, p.Symbols.Text(p.Lines[i].Line)) {
					p.Lines[i].System, p.Lines[i].CreepageKV = audit.SinglePhase, math.NaN()
				}
			}
		}
	}
	for _, c := range []struct {
		name   string
		change func(p *audit.Project)
		reason audit.Reason
		said   string
	}{
		{"of all lines", singlePhase(), audit.NeutralNotEarthed, "Creepage voltage (kV) of 4 lines (neutral not earthed or single-phase, and no creepage voltage stated): "},
		{"of one line", singlePhase("SD-132"), audit.NeutralNotEarthed, "Creepage voltage (kV) of line SD-132 (neutral not earthed or single-phase, and no creepage voltage stated): "},
		{"of two lines", singlePhase("SD-132", "DP-33"), audit.NeutralNotEarthed, "Creepage voltage (kV) of lines DP-33 and SD-132 (neutral"},
		{"of rows", func(p *audit.Project) {
			for i := range p.Assemblies.Len() {
				p.Assemblies.Row(i).UnitsPerString = -1
			}
		}, audit.UnitsNotStated, "Units per string of "},
		{"of criteria", func(p *audit.Project) { p.Criteria.DefaultClass = 0 }, audit.NoClass, "default_class in the project file, for "},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := demo(t)
			p.Assemblies.Delete(func(i int) bool { return p.Assemblies.At(i).Faulty.Has(audit.CellUnit) }) // of which no other datum judges anything
			c.change(p)
			r := judged(t, p)
			datum, err := r.DatumThatJudgesMost(context.Background())
			require.NoError(t, err)
			require.Equal(t, c.reason, datum.Reason)
			require.Empty(t, datum.Unit)
			require.Equal(t, kept(r, c.reason), datum.Count)
			require.Contains(t, datumInWords(r, &datum), "The datum that would judge most: "+c.said)
		})
	}

	p := demo(t)
	singlePhase()(p)
	for i := range p.Lines {
		p.Lines[i].CreepageKV = 20
	}
	require.Zero(t, kept(judged(t, p), audit.NeutralNotEarthed))
}
