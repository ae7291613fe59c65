package history

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// strings are the units of the strings on the structures 1, 2, … of an invented line L, three phases each; 10 are enough. A structure
// named otherwise than by its place has its name in names.
type strung struct {
	units []int16
	names map[int]string
	asOf  string
	// version is that of the program, which is part of each rule.
	version string
	enough  float64        // units; 10 where it is 0
	rows    map[int][]hung // in place of the three rows of a structure
	reads   audit.LineReads
	sound   bool  // strings without a defective unit are none of the check's
	broken  int16 // units of each row of these; -1 for a blank cell
}

// hung is a row of some phases; units that cannot be told are -1.
type hung struct {
	phases string // behind a stroke the side of a tension assembly
	units  int16
}

var sides = map[string]audit.Side{"back": audit.Back, "ahead": audit.Ahead, "both": audit.BothSides}

// result audits strings by an invented check short-string: 10 units are required.
func (s strung) result(t *testing.T) *audit.Result {
	t.Helper()
	nan := math.NaN()
	p := &audit.Project{Title: "Test", File: "audit.yaml", Criteria: audit.DefaultCriteria(), RegisterGiven: true}
	places := p.AddTable(audit.Table{File: "structures.geojson"})
	register := p.AddTable(audit.Table{File: "register.xlsx", Sheet: "Assemblies"})
	disc := basis.UnknownUnit()
	disc.Name = "U120B"
	p.Units, p.Makeups = []basis.Unit{disc}, []audit.Makeup{{}, {Text: "U120B", Parts: []audit.Part{{Unit: 0}}}}
	for i, units := range s.units {
		name := s.names[i+1]
		if name == "" {
			name = fmt.Sprint(i + 1)
		}
		number, err := p.Texts.Add(name)
		require.NoError(t, err)
		p.Structures.Append(audit.StructureRow{Lon: 5 + 0.004*float64(i), Lat: 60, Sequence: float64(i + 1), GroundM: nan, AttachmentM: nan, DeviationLimitDeg: nan,
			Line: p.Symbols.Number("L"), Number: number, Source: audit.Source{Table: places, Row: uint32(i + 1)}})
		if units == 0 {
			continue
		}
		rows := s.rows[i+1]
		if rows == nil {
			rows = []hung{{"A", units}, {"B", units}, {"C", units}}
		}
		for k, row := range rows {
			phase, side, sided := strings.Cut(row.phases, "/")
			duty, units := audit.Suspension, row.units
			if sided {
				duty = audit.Tension
			}
			named, _ := audit.ParsePhases(phase)
			if phase == "" {
				named = audit.EveryPhase
			}
			blank := audit.Blanks(0)
			if s.broken < 0 {
				blank = audit.BlankDefective
			}
			p.RowsRead++
			p.Assemblies.Append(audit.AssemblyRow{
				RowOwn:  audit.RowOwn{Defective: max(s.broken, 0), Side: sides[side], Line: p.Symbols.Number("L"), Number: number, Source: audit.Source{Table: register, Row: uint32(3*i + k + 2)}, Installed: audit.NoDay, Inspected: audit.NoDay},
				RowSaid: audit.RowSaid{Circuit: p.Symbols.Number("1"), Phase: p.Symbols.Number(phase), Phases: named, Makeup: 1, UnitsPerString: units, Strings: 1, Blank: blank, Duty: duty, VAngleDeg: float32(nan)},
			})

		}
	}
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 1))
	if s.asOf == "" {
		s.asOf = "2026-03-31"
	}
	r, err := audit.Assess(context.Background(), n, []*audit.Check{{
		ID: "short-string", Title: "String too short", Of: audit.OfAssembly, Basis: []basis.Clause{basis.CommonPractice}, Needs: []audit.Need{audit.NeedsUnitsPerString},
		OfLine: s.reads, Remedy: "Add units.", Method: audit.Method{Formula: "n ≥ 10", Limits: "Invented, for tests.", Example: audit.Example{Subject: func() audit.Subject { return audit.Subject{} }}},
		Concerns: func(a *audit.Subject) audit.Reason {
			if s.sound && a.Assembly.Defective == 0 {
				return audit.NoneDefective
			}
			return audit.NoReason
		},
		Judge: func(a *audit.Subject, _ *audit.Trace) audit.Verdict {
			return audit.AtLeast(float64(a.Assembly.UnitsPerString-a.Assembly.Defective), cmp.Or(s.enough, 10), "units").Saying("It is short.")
		},
	}}, audit.Options{Version: cmp.Or(s.version, "test"), AsOf: s.asOf, Workers: 1})
	require.NoError(t, err)
	return r
}

// at are the exceptions of a result on a structure.
func at(r *audit.Result, structure string) (found []int) {
	for i := range r.Exceptions {
		if r.Key(i).Structure == structure {
			found = append(found, i)
		}
	}
	return found
}
