package audit

import (
	"context"
	"math"
	"slices"
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// sketch builds a small project by hand: what a reader would have filled in.
type sketch struct {
	*testing.T
	p *Project
}

func newSketch(t *testing.T) *sketch {
	p := &Project{Criteria: DefaultCriteria(), RegisterGiven: true, Makeups: []Makeup{{}}}
	p.AddTable(Table{File: "structures.geojson"})
	p.AddTable(Table{File: "register.xlsx", Sheet: "Assemblies", Columns: map[string]string{"Structure": "B", "Line": "A"}})
	p.AddTable(Table{File: "register.xlsx", Sheet: "Lines"})
	disc := basis.UnknownUnit()
	disc.Name, disc.Kind, disc.CreepageMM = "disc", basis.CapAndPin, 295
	p.Units = []basis.Unit{disc}
	p.Makeups = append(p.Makeups, Makeup{Text: "disc", Parts: []Part{{Unit: 0}}})
	return &sketch{t, p}
}

// structure adds a structure; its place in the sequence is the order of the calls.
func (s *sketch) structure(line, number string, lon, lat float64) *StructureRow {
	text, err := s.p.Texts.Add(number)
	require.NoError(s, err)
	s.p.Structures.Append(StructureRow{
		Line: s.p.Symbols.Number(line), Number: text, Lon: lon, Lat: lat, Sequence: float64(s.p.Structures.Len()),
		GroundM: math.NaN(), AttachmentM: math.NaN(), DeviationLimitDeg: math.NaN(), Source: Source{0, uint32(s.p.Structures.Len() + 1)},
	})
	return s.p.Structures.Row(s.p.Structures.Len() - 1)
}

func (s *sketch) line(name string) *LineRow {
	row := UnknownLineRow()
	row.Line, row.Source = s.p.Symbols.Number(name), Source{2, uint32(len(s.p.Lines) + 2)}
	s.p.Lines = append(s.p.Lines, row)
	return &s.p.Lines[len(s.p.Lines)-1]
}

func (s *sketch) assembly(line, number, circuit, phase string, duty Duty, side Side) *AssemblyRow {
	text, err := s.p.Texts.Add(number)
	require.NoError(s, err)
	named := EveryPhase
	if phase != "" {
		var ok bool
		named, ok = ParsePhases(phase)
		require.True(s, ok, phase)
	}
	s.p.Assemblies.Append(AssemblyRow{
		RowOwn:  RowOwn{Line: s.p.Symbols.Number(line), Number: text, Side: side, Source: Source{1, uint32(s.p.Assemblies.Len() + 2)}},
		RowSaid: RowSaid{Circuit: s.p.Symbols.Number(circuit), Phase: s.p.Symbols.Number(phase), Phases: named, Duty: duty, Makeup: 1, UnitsPerString: 9, Strings: 1},
	})

	s.p.RowsRead++
	return s.p.Assemblies.Row(s.p.Assemblies.Len() - 1)
}

func (s *sketch) network() *Network {
	n, err := Arrange(s.p)
	require.NoError(s, err)
	require.NoError(s, Derive(context.Background(), n, 2))
	return n
}

func (s *sketch) faults() (texts []string) {
	for _, f := range s.p.Faults.List() {
		texts = append(texts, f.Where(s.p.Tables)+" "+f.Kind.String()+": "+f.Message())
	}
	return texts
}

func (n *Network) numbers(line int) (numbers []string) {
	for i := n.Lines[line].First; i < n.Lines[line].End; i++ {
		numbers = append(numbers, n.Project.Texts.Get(n.Structure(line, i).Number))
	}
	return numbers
}

func TestStructuresStandInSequence(t *testing.T) {
	s := newSketch(t)
	s.structure("L", "3", 10.02, 50).Sequence = 3
	s.structure("L", "1", 10.00, 50).Sequence = 1
	s.structure("L", "2", 10.01, 50).Sequence = 2
	n := s.network()
	require.Equal(t, []string{"1", "2", "3"}, n.numbers(0))
	require.Equal(t, BySequence, n.Lines[0].Ordering)
}

func TestWithoutSequenceStructuresStandInNaturalOrder(t *testing.T) {
	s := newSketch(t)
	for _, number := range []string{"7/10", "13", "12A", "7/2", "12"} {
		s.structure("L", number, 10, 50).Sequence = math.NaN()
	}
	n := s.network()
	require.Equal(t, []string{"7/2", "7/10", "12", "12A", "13"}, n.numbers(0))
	require.Equal(t, ByNumber, n.Lines[0].Ordering)
}

func TestEveryRowIsPlacedOrLeftOut(t *testing.T) {
	s := newSketch(t)
	s.structure("L", "1", 10, 50)
	s.structure("L", "2", 10.01, 50)
	s.assembly("L", "1", "1", "A", Tension, Ahead)
	s.assembly("L", "9", "1", "A", Suspension, NoSide)
	s.assembly("M", "1", "1", "A", Suspension, NoSide)
	s.assembly("L", "1", "1", "ABC", Tension, Ahead) // names A and B again, and C
	s.assembly("L", "1", "1", "AB", Tension, Ahead)  // names nothing else
	s.assembly("L", "1", "1", "B", Tension, Ahead)
	s.assembly("L", "1", "1", "A", Tension, Back)  // another side
	s.assembly("L", "1", "2", "A", Tension, Ahead) // another circuit
	s.assembly("L", "1", "1", "", EarthWire, NoSide)
	s.assembly("L", "1", "1", "", EarthWire, NoSide) // two earth wires are no duplicates
	n := s.network()
	require.Equal(t, 10, s.p.RowsRead)
	require.Equal(t, 7, n.RowsPlaced)
	require.Equal(t, 3, n.RowsLeftOut)
	require.Equal(t, []string{
		`register.xlsx!Assemblies!B3 no-such-structure: structure "9" is no structure of line "L"; the row is left out`,
		`register.xlsx!Assemblies!A4 no-such-line: line "M" is no line of the structures; the row is left out`,
		`register.xlsx!Assemblies row 5 duplicate-row: phase "ABC" names a phase that row 2 names too for this circuit, side and duty, and others that no such row names: which phases this row is of is not known; it is judged, phase-missing is not assessed`,
		`register.xlsx!Assemblies!B6 duplicate-row: structure "1" has another row for this circuit, phase, side and duty, which is used; the row is left out`,
	}, s.faults())
}

func TestTees(t *testing.T) {
	const nearM = 0.000004 // degrees, about 0.3 m
	build := func(t *testing.T, change func(s *sketch)) *Network {
		s := newSketch(t)
		for i, number := range []string{"1", "2", "3"} {
			s.structure("through", number, 10+0.01*float64(i), 50)
		}
		s.structure("tap", "1", 10.01+nearM, 50)
		s.structure("tap", "2", 10.01, 50.01)
		s.line("through").NominalKV = 132
		s.line("tap").NominalKV = 132
		change(s)
		return s.network()
	}
	role := func(n *Network) Role {
		line := slices.IndexFunc(n.Lines, func(l Line) bool { return n.Project.Symbols.Text(l.Symbol) == "through" })
		return n.Structure(line, n.Lines[line].First+1).Role
	}
	t.Run("another line of the same voltage ends", func(t *testing.T) {
		require.Equal(t, Tee, role(build(t, func(*sketch) {})))
	})
	t.Run("a voltage is unknown", func(t *testing.T) {
		require.Equal(t, Tee, role(build(t, func(s *sketch) { s.p.Lines[1].NominalKV = math.NaN() })))
	})
	t.Run("another voltage", func(t *testing.T) {
		require.Equal(t, Tangent, role(build(t, func(s *sketch) { s.p.Lines[1].NominalKV = 33 })))
	})
	t.Run("farther than the tolerance", func(t *testing.T) {
		require.Equal(t, Tangent, role(build(t, func(s *sketch) { s.p.Structures.Row(3).Lon = 10.01 + 3*nearM })))
	})
	t.Run("the lines share structures", func(t *testing.T) {
		require.Equal(t, Tangent, role(build(t, func(s *sketch) { s.p.Structures.Row(4).Lon, s.p.Structures.Row(4).Lat = 10.02, 50 })))
	})
	t.Run("the tap goes on", func(t *testing.T) {
		require.Equal(t, Tangent, role(build(t, func(s *sketch) { s.p.Structures.Row(3).Continues = true })))
	})
}

func TestHighestVoltageComesFromTheSheetElseFromTheNominalVoltage(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name             string
		nominal, highest float64
		system           System
		creepage         float64
		want             float64 // phase to earth, kV
		why              Reason
	}{
		{"stated", 132, 145, Earthed, nan, 145 / math.Sqrt(3), NoReason},
		{"from IEC 60038 (value from memory)", 132, nan, Earthed, nan, 145 / math.Sqrt(3), NoReason},
		{"none standard", 131, nan, Earthed, nan, nan, VoltageNotStandard},
		{"nothing stated", nan, nan, Earthed, nan, nan, VoltageUnknown},
		{"low voltage", 0.4, nan, Earthed, nan, nan, LowVoltage},
		{"direct current", 500, nan, DirectCurrent, nan, nan, NoDirectCreepage},
		{"direct current, voltage stated", 500, nan, DirectCurrent, 515, nan, NoDirectCreepage},
		{"railway, from EN 50163", 15, nan, SinglePhaseRailway, nan, 17.25, NoReason},
		{"railway, from EN 50163", 25, nan, SinglePhaseRailway, nan, 27.5, NoReason},
		{"railway, its highest voltage stated", 25, 29, SinglePhaseRailway, nan, 29, NoReason},
		{"railway, its creepage voltage stated", 25, nan, SinglePhaseRailway, 55, 55, NoReason},
		{"railway, none standard", 20, nan, SinglePhaseRailway, nan, nan, VoltageNotStandard},
		{"railway, nothing stated", nan, nan, SinglePhaseRailway, nan, nan, VoltageUnknown},
		{"direct-current railway", 3, nan, DirectRailway, nan, nan, NoDirectCreepage},
		{"isolated neutral", 33, 36, Isolated, nan, nan, NeutralVoltageNotStated},
		{"resonant neutral", 33, 36, Resonant, nan, nan, NeutralVoltageNotStated},
		{"isolated neutral, voltage stated", 33, 36, Isolated, 36, 36, NoReason},
		{"system not stated", 33, 36, SystemUnknown, nan, 36 / math.Sqrt(3), NoReason},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newSketch(t)
			s.structure("L", "1", 10, 50)
			row := s.line("L")
			row.NominalKV, row.HighestKV, row.System, row.CreepageKV = c.nominal, c.highest, c.system, c.creepage
			line := s.network().Lines[0]
			require.Equal(t, c.why, line.NoVoltage)
			require.Equal(t, math.IsNaN(c.want), math.IsNaN(line.PhaseToEarthKV))
			if !math.IsNaN(c.want) {
				require.InDelta(t, c.want, line.PhaseToEarthKV, 1e-12)
			}
		})
	}
}
