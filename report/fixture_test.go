package report

import (
	"context"
	"fmt"
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// Texts of the invented inputs that an output must carry as they are.
const (
	formulaText = "=HYPERLINK(\"http://example.invalid\",\"x\")"
	awkwardLine = "+N-2 <b>&\"\u00e9\""
)

// fixture is an invented project of two lines, one of them with awkward texts, and a register with gaps.
func fixture(t testing.TB) *audit.Project {
	t.Helper()
	nan := math.NaN()
	p := &audit.Project{Title: "Harbour district <A&B>", File: "audit.yaml", Criteria: audit.DefaultCriteria(), RegisterGiven: true,
		Inputs: []audit.Input{{File: "structures.geojson", SHA256: "00ff"}, {File: "register.xlsx", SHA256: "11ee"}}}
	p.Criteria.DefaultClass = basis.ClassC
	places := p.AddTable(audit.Table{File: "structures.geojson"})
	register := p.AddTable(audit.Table{File: "register.xlsx", Sheet: "Assemblies", Columns: map[string]string{"Unit": "F"}})
	sheet := p.AddTable(audit.Table{File: "register.xlsx", Sheet: "Lines"})

	disc := basis.UnknownUnit()
	disc.Name, disc.Kind, disc.CreepageMM = "U120B", basis.CapAndPin, 295
	p.Units = []basis.Unit{disc}
	p.Makeups = []audit.Makeup{{}, {Text: "U120B", Parts: []audit.Part{{Unit: 0}}}}

	text := func(s string) audit.TextAt {
		at, err := p.Texts.Add(s)
		require.NoError(t, err)
		return at
	}
	structure := func(line, number string, sequence, lon, lat float64) {
		p.Structures.Append(audit.StructureRow{Lon: lon, Lat: lat, Sequence: sequence, GroundM: 20 + sequence,
			AttachmentM: nan, DeviationLimitDeg: nan, Line: p.Symbols.Number(line), Number: text(number),
			Source: audit.Source{Table: places, Row: uint32(p.Structures.Len() + 1)}})
	}
	for i := range 6 {
		north := 0.0
		if i > 3 {
			north = 0.002 * float64(i-3) // the line turns left at the fourth structure
		}
		structure("N-1", fmt.Sprintf("%03d", i+1), float64(i+1), 5.0+0.004*float64(i), 60.123456789+north)
	}
	structure(awkwardLine, "-1", 1, 179.998, -17)
	structure(awkwardLine, formulaText, 2, -179.998, -17.001)
	p.Structures.Row(6).GroundM = nan

	row := audit.UnknownLineRow()
	row.Line, row.Name, row.HighestKV, row.Source = p.Symbols.Number("N-1"), p.Symbols.Number("Harbour tie"), 145, audit.Source{Table: sheet, Row: 2}
	p.Lines = append(p.Lines, row)

	assembly := func(line, number, phase string, duty audit.Duty, units int16) {
		named, ok := audit.ParsePhases(phase)
		require.True(t, ok, phase)
		p.RowsRead++
		p.Assemblies.Append(audit.AssemblyRow{
			RowOwn:  audit.RowOwn{Line: p.Symbols.Number(line), Number: text(number), Source: audit.Source{Table: register, Row: uint32(p.Assemblies.Len() + 2)}, Installed: audit.NoDay, Inspected: audit.NoDay},
			RowSaid: audit.RowSaid{Circuit: p.Symbols.Number("1"), Phase: p.Symbols.Number(phase), Phases: named, Makeup: 1, UnitsPerString: units, Strings: 1, Duty: duty, VAngleDeg: float32(nan)},
		})

	}
	for i := range 6 {
		duty, units := audit.Suspension, int16(10)
		if i == 0 || i == 5 {
			duty = audit.Tension
		}
		if i%2 == 1 {
			units = 9
		}
		assembly("N-1", fmt.Sprintf("%03d", i+1), "A,B,C", duty, units)
	}
	assembly(awkwardLine, formulaText, "R", audit.Tension, 9)
	assembly("N-9", "1", "A", audit.Tension, 9) // of no line
	p.Assemblies.Row(3).Strings = 2
	p.Assemblies.Row(4).UnitsPerString = -1
	p.Faults.Add(audit.Fault{Kind: audit.NotANumber, At: audit.Source{Table: register, Row: 6}, Column: "Unit", Value: formulaText, Expected: "is no number"})
	return p
}

// fixtureChecks are two invented checks: one of assemblies with figures, one of structures with words.
func fixtureChecks() []*audit.Check {
	example := audit.Example{Subject: func() audit.Subject { return audit.Subject{} }}
	return []*audit.Check{{
		ID: "short-string", Title: "String shorter than a made-up length", Of: audit.OfAssembly,
		Basis:  []basis.Clause{basis.CommonPractice, basis.Arithmetic},
		Needs:  []audit.Need{audit.NeedsUnitsPerString},
		Remedy: "Add units.",
		Method: audit.Method{Formula: "n·L ≥ 2700 mm", Limits: "Invented, for tests.", Example: example,
			Symbols: []audit.Explained{{Symbol: "L", Meaning: "creepage of a unit", Measure: "mm"}, {Symbol: "n", Meaning: "units"}}},
		Judge: func(s *audit.Subject, _ *audit.Trace) audit.Verdict {
			return audit.AtLeast(s.Assembly.CreepageMM, 2700, "mm").Saying(s.Assembly.Hanging() + " is short of 2700 mm.")
		},
	}, {
		ID: "turns", Title: "Structure at a turn", Of: audit.OfStructure, Severity: audit.Advisory,
		Basis: []basis.Clause{basis.CommonPractice}, Remedy: "=1+1 Look at it.",
		Method: audit.Method{Formula: "role = tangent", Limits: "Invented, for tests.", Example: example},
		Judge: func(s *audit.Subject, _ *audit.Trace) audit.Verdict {
			if s.Structure.Role == audit.Terminal {
				return audit.DoesNotApply(audit.AtLineEnd)
			}
			return audit.IsWord(s.Structure.Role == audit.Tangent, s.Structure.Role.String(), audit.Tangent.String()).Saying("It turns.")
		},
	}}
}

// fixtureResult audits the fixture.
func fixtureResult(t testing.TB) *audit.Result {
	t.Helper()
	return assessed(t, fixture(t), 1)
}

func assessed(t testing.TB, p *audit.Project, workers int) *audit.Result {
	t.Helper()
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, workers))
	r, err := audit.Assess(context.Background(), n, fixtureChecks(), audit.Options{Version: "0.0-test", AsOf: "2026-03-31", Workers: workers})
	require.NoError(t, err)
	return r
}
