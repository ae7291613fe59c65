package audit

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"dryarc/audit/basis"
	"dryarc/geo"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// straight adds a line of structures 1, 2, … along a parallel at 50° N with spans of about 358 m.
func (s *sketch) straight(line string, structures int) {
	for i := range structures {
		s.structure(line, fmt.Sprint(i+1), 10+0.005*float64(i), 50)
	}
}

func (n *Network) at(t *testing.T, line, number string) Structure {
	t.Helper()
	for l := range n.Lines {
		for i := n.Lines[l].First; i < n.Lines[l].End; i++ {
			s := n.Structure(l, i)
			if n.Project.Symbols.Text(n.Lines[l].Symbol) == line && n.Project.Texts.Get(s.Number) == number {
				return s
			}
		}
	}
	require.Fail(t, "no such structure", "%s %s", line, number)
	return Structure{}
}

// longOver makes the span from 4 to 5 long, across something of a kind, and lays a river across the span before.
func longOver(s *sketch, kind string) {
	for i := 4; i < 8; i++ {
		s.p.Structures.Row(i).Lon += 0.03
	}
	across := func(lon float64) [][]orb.Point { return [][]orb.Point{{{lon, 49.9}, {lon, 50.1}}} }
	s.p.Crossings = []Crossing{{Kind: s.p.Symbols.Number("river"), Lines: across((s.p.Structures.At(2).Lon + s.p.Structures.At(3).Lon) / 2)}, {Lines: across(s.p.Structures.At(4).Lon - 0.01)}}
	if kind != "" {
		s.p.Crossings[1].Kind = s.p.Symbols.Number(kind)
	}
}

func TestSuspicionsAreFaultsAndMakeDeviationsDoubtful(t *testing.T) {
	for _, c := range []struct {
		name     string
		change   func(s *sketch)
		want     []string
		doubtful []string
	}{
		{"nothing suspicious", func(*sketch) {}, nil, nil},
		{"a position twice", func(s *sketch) { s.p.Structures.Row(3).Lon = s.p.Structures.At(2).Lon },
			[]string{`structures.geojson row 4 repeated-position: structure "4" of line "L" stands where structure "3" stands`}, []string{"2", "3", "4", "5"}},
		{"a long span", func(s *sketch) {
			for i := 4; i < 8; i++ {
				s.p.Structures.Row(i).Lon += 0.03
			}
		}, []string{`structures.geojson row 4 long-span: span "2509 m" from structure "4" to "5" of line "L" is longer than 2000 m; a structure may be missing; where none is, state long_span`},
			[]string{"4", "5"}},
		{"a long span declared so", func(s *sketch) {
			for i := 4; i < 8; i++ {
				s.p.Structures.Row(i).Lon += 0.03
			}
			s.p.Structures.Row(3).LongSpan = true
		}, nil, nil},
		{"a long span, the one behind declared so", func(s *sketch) {
			for i := 4; i < 8; i++ {
				s.p.Structures.Row(i).Lon += 0.03
			}
			s.p.Structures.Row(2).LongSpan, s.p.Structures.Row(4).LongSpan = true, true
			s.p.Structures.Row(3).Faulty = s.p.Structures.At(3).Faulty.With(CellLimits)
		}, []string{`structures.geojson row 4 long-span: span "2509 m" from structure "4" to "5" of line "L" is longer than 2000 m; a structure may be missing; where none is, state long_span`},
			[]string{"4", "5"}},
		{"a long span over a river", func(s *sketch) { longOver(s, "River") }, nil, nil},
		{"a long span over a valley", func(s *sketch) { longOver(s, "valley") }, nil, nil},
		{"a long span over a road", func(s *sketch) { longOver(s, "road") },
			[]string{`structures.geojson row 4 long-span: span "2509 m" from structure "4" to "5" of line "L" is longer than 2000 m; a structure may be missing; where none is, state long_span`},
			[]string{"4", "5"}},
		{"a long span over nobody knows what", func(s *sketch) { longOver(s, "") },
			[]string{`structures.geojson row 4 long-span: span "2509 m" from structure "4" to "5" of line "L" is longer than 2000 m; a structure may be missing; where none is, state long_span`},
			[]string{"4", "5"}},
		{"two out of order", func(s *sketch) {
			a, b := s.p.Structures.Row(3), s.p.Structures.Row(4)
			a.Lon, b.Lon = b.Lon, a.Lon
		}, []string{
			`structures.geojson row 4 sharp-turn: deviation "180.0°" at structure "4" of line "L" is more than 120°; the order of the structures may be wrong`,
			`structures.geojson row 5 sharp-turn: deviation "180.0°" at structure "5" of line "L" is more than 120°; the order of the structures may be wrong`,
		}, []string{"3", "4", "5", "6"}},
		{"a gap in the sequence", func(s *sketch) {
			for i := 4; i < 8; i++ {
				s.p.Structures.Row(i).Sequence += 2
			}
		}, []string{`structures.geojson row 5 sequence-gap: sequence "6" follows 3 on line "L"; structures may be missing`}, []string{"4", "5"}},
		{"far off the route", func(s *sketch) {
			s.p.Routes = []Route{{Line: s.p.Symbols.Number("L"), Parts: [][]orb.Point{{{10, 50}, {10.035, 50}}}}}
			s.p.Structures.Row(3).Lat += 0.001
		}, []string{`structures.geojson row 4 off-route: structure "4" of line "L" stands 111 m off its route, expected at most 50 m`}, []string{"3", "4", "5"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newSketch(t)
			s.straight("L", 8)
			c.change(s)
			n := s.network()
			require.Equal(t, c.want, normalTurns(s.faults()))
			var doubtful []string
			for i := range n.StructureCount() {
				if st := n.Structure(0, i); st.Doubtful {
					doubtful = append(doubtful, n.Project.Texts.Get(st.Number))
				}
			}
			require.Equal(t, c.doubtful, doubtful)
		})
	}
}

// normalTurns writes a turn back on itself without its sign, which rounding decides.
func normalTurns(texts []string) (out []string) {
	for _, text := range texts {
		out = append(out, strings.ReplaceAll(text, `"-180.0°"`, `"180.0°"`))
	}
	return out
}

func TestLinesThatShareStructuresAndLinesThatRunOn(t *testing.T) {
	s := newSketch(t)
	s.straight("A", 4)
	for i := range 3 { // goes on where A ends, as one line under two names
		s.structure("B", fmt.Sprint(i+1), 10.015+0.005*float64(i), 50)
	}
	for i := range 3 { // stands on the first three structures of A
		s.structure("C", fmt.Sprint(i+1), 10+0.005*float64(i), 50.000001)
	}
	n := s.network()
	require.Equal(t, "B", s.p.Symbols.Text(n.at(t, "A", "4").RunsOn))
	require.Equal(t, "A", s.p.Symbols.Text(n.at(t, "B", "1").RunsOn))
	require.Zero(t, n.at(t, "A", "1").RunsOn, "C ends at the same place but runs the same way")
	require.True(t, n.at(t, "A", "2").Shared)
	require.False(t, n.at(t, "B", "2").Shared)
	require.Equal(t, Tangent, n.at(t, "A", "3").Role, "C ends there but shares the structure before too: no tee")
	require.Equal(t, []SharedLine{{1, 1}, {2, 3}}, n.SharesWith(0))
}

func TestDeclaredRoles(t *testing.T) {
	s := newSketch(t)
	s.straight("L", 10)
	s.p.Structures.Row(3).Role, s.p.Structures.Row(4).Role = CableEnd, CableEnd
	s.p.Structures.Row(7).Role = Transposition
	s.p.Structures.Row(9).Role = Gantry
	n := s.network()
	require.Equal(t, Terminal, n.at(t, "L", "4").Role)
	require.True(t, math.IsNaN(n.at(t, "L", "4").SpanAheadM), "a cable gap is no span")
	require.True(t, math.IsNaN(n.at(t, "L", "5").SpanBackM))
	require.Greater(t, n.ChainageM(0, n.at(t, "L", "5").Index), n.ChainageM(0, n.at(t, "L", "4").Index)+300, "chainage runs on along the cable")
	require.Equal(t, "the phases change places", n.at(t, "L", "8").Changes)
	require.Equal(t, "a slack span leads to a gantry", n.at(t, "L", "9").Changes)
	structure := n.at(t, "L", "9")
	require.True(t, n.HeldAsRequired(0)(structure.Index))
	var cut []int
	for _, section := range n.Sections(0, n.HeldAsRequired(0)) {
		cut = append(cut, section.Last)
		require.InDelta(t, section.LengthM/float64(section.Spans), section.RulingM, 0.01, "equal spans are their own ruling span")
	}
	require.Equal(t, []int{3, 7, 8, 9}, cut)
}

func TestConductorChanges(t *testing.T) {
	s := newSketch(t)
	s.straight("L", 6)
	s.line("L").Conductor = s.p.Symbols.Number("Wolf")
	s.p.Structures.Row(2).ConductorAhead = s.p.Symbols.Number("Lynx")
	n := s.network()
	require.Equal(t, "the conductor changes from Wolf to Lynx", n.at(t, "L", "3").Changes)
	require.Empty(t, n.at(t, "L", "4").Changes, "the conductor named last goes on")
}

func TestLineThatGoesOnBeyondTheExtract(t *testing.T) {
	s := newSketch(t)
	s.straight("L", 4)
	row := s.line("L")
	row.Conductor, row.ColdTensionKN = s.p.Symbols.Number("Wolf"), 20
	s.p.Conductors = basis.Conductors()
	for i := range s.p.Structures.Len() {
		s.p.Structures.Row(i).GroundM = 100
	}
	s.p.Structures.Row(3).Continues = true
	n := s.network()
	first, last := n.at(t, "L", "1"), n.at(t, "L", "4")
	require.Equal(t, Terminal, first.Role)
	require.InDelta(t, first.SpanAheadM/2, first.WeightSpanColdM, 1e-6, "the share of the one span, on level ground")
	require.Equal(t, RoleUnknown, last.Role)
	require.True(t, math.IsNaN(last.WeightSpanColdM), "half of it hangs on a span that is not known")
	subject := Subject{Criteria: &s.p.Criteria, Line: &n.Lines[0], Structure: &last}
	require.Equal(t, BeyondExtract, subject.Lacks(NeedsWeightSpan))
}

func TestClosedRouteHasNoEnd(t *testing.T) {
	s := newSketch(t)
	ring := []orb.Point{{10, 50}, {10.01, 50}, {10.01, 50.01}, {10, 50.01}, {10, 50}}
	s.p.Routes, s.p.RoutesAlone = []Route{{Line: s.p.Symbols.Number("ring"), Parts: [][]orb.Point{ring}}}, true
	n := s.network()
	require.Equal(t, 4, n.StructureCount())
	turns, length := 0.0, 0.0
	for i := range 4 {
		st := n.Structure(0, i)
		require.NotEqual(t, Terminal, st.Role)
		turns += st.DeviationDeg
		length += st.SpanAheadM
	}
	require.InDelta(t, -360, turns, 0.02, "a loop to the left turns once round, less the excess of its area")
	last := n.Structure(0, 3)
	require.InDelta(t, length, n.ChainageM(0, 3)+last.SpanAheadM, 1e-6)

	points := newSketch(t)
	for i, p := range ring {
		points.structure("L", fmt.Sprint(i+1), p[0], p[1])
	}
	n = points.network()
	require.Equal(t, Terminal, n.Structure(0, 0).Role, "points whose first and last stand at one place keep two terminals")
	require.Equal(t, Terminal, n.Structure(0, 4).Role)
}

func TestCrossingsMarkBothEndsOfTheSpan(t *testing.T) {
	s := newSketch(t)
	s.straight("L", 6)
	s.p.CrossingsGiven = true
	s.p.Criteria.CrossingRules = []CrossingRule{{Kind: "River", Double: true}, {Kind: "railway", Double: true, Tension: true}}
	wide := []float64{10.006, 49.99, 10.0145, 49.99, 10.0145, 50.01, 10.006, 50.01, 10.006, 49.99} // over spans 2–3 and 3–4
	s.p.Crossings = []Crossing{
		{Kind: s.p.Symbols.Number("river"), Polygons: []geo.Polygon{{Flat: wide, Ends: []int{10}}}},
		{Kind: s.p.Symbols.Number("railway"), Lines: [][]orb.Point{{{10.0225, 49.99}, {10.0225, 50.01}}}},
		{Kind: s.p.Symbols.Number("canal"), Lines: [][]orb.Point{{{10.001, 49.99}, {10.001, 50.01}}}},
	}
	n := s.network()
	require.Equal(t, []string{"river"}, n.Crossed(1))
	require.Equal(t, Asked{Kinds: []string{"canal"}, Unruled: "canal"}, n.at(t, "L", "1").Ahead)
	require.Equal(t, Asked{Kinds: []string{"river"}, Double: "river"}, n.at(t, "L", "2").Ahead)
	require.Equal(t, Asked{Kinds: []string{"river"}, Double: "river"}, n.at(t, "L", "3").Ahead)
	require.Equal(t, Asked{Kinds: []string{"river"}, Double: "river"}, n.at(t, "L", "4").Back)
	require.Equal(t, Asked{}, n.at(t, "L", "4").Ahead)
	require.Equal(t, Asked{Kinds: []string{"railway"}, Double: "railway", Tension: "railway"}, n.at(t, "L", "5").Ahead)
	require.Equal(t, Asked{Kinds: []string{"railway"}, Double: "railway", Tension: "railway"}, n.at(t, "L", "6").Back)

	s.p.Criteria.LongSpanM = Stated(300)
	require.Equal(t, Asked{Kinds: []string{LongSpanKind}, Double: LongSpanKind}, n.at(t, "L", "4").Ahead)
}

func TestCircuitThatEndsOnTheWay(t *testing.T) {
	s := newSketch(t)
	s.straight("L", 8)
	for i := range 8 {
		s.assembly("L", fmt.Sprint(i+1), "1", "ABC", Suspension, NoSide)
		if i < 4 {
			s.assembly("L", fmt.Sprint(i+1), "2", "ABC", Suspension, NoSide)
		}
	}
	n := s.network()
	require.False(t, n.Lines[0].Circuits[0].EndsLast)
	require.True(t, n.Lines[0].Circuits[1].EndsLast)
	structure := n.at(t, "L", "4")
	require.Equal(t, []Side{Back}, sidesOf(&structure, &n.Lines[0].Circuits[1]))
	require.Equal(t, []Side{Back, Ahead}, sidesOf(&structure, &n.Lines[0].Circuits[0]))
}

func TestNeighboursAcrossTheAntimeridianAndNearThePole(t *testing.T) {
	for _, c := range []struct {
		name           string
		lon, lat, side float64 // a step to the side that is 0.3 m there, in degrees
	}{
		{"antimeridian", 179.9999999, -17, 0.000003},
		{"88° north", 25, 88, 0.00008},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newSketch(t)
			s.structure("A", "1", c.lon-0.01, c.lat)
			s.structure("A", "2", c.lon, c.lat)
			s.structure("A", "3", c.lon, c.lat+0.01)
			lon := c.lon + c.side
			if lon > 180 {
				lon -= 360
			}
			s.structure("T", "1", lon, c.lat)
			s.structure("T", "2", lon, c.lat-0.01)
			require.Equal(t, Tee, s.network().at(t, "A", "2").Role)
		})
	}
}

func TestZoneNearBy(t *testing.T) {
	s := newSketch(t)
	s.straight("L", 3)
	s.p.Criteria.DefaultClass = basis.ClassB
	s.p.Criteria.ZoneMarginM = Stated(200)
	strip := []float64{10.0005, 50.001, 10.02, 50.001, 10.02, 50.01, 10.0005, 50.01, 10.0005, 50.001}
	s.p.Zones = []Zone{
		{Class: basis.ClassD, Polygons: []geo.Polygon{{Flat: strip, Ends: []int{10}}}},
		{SpecificCreepage: 60, Polygons: []geo.Polygon{{Flat: []float64{10.0095, 49.9995, 10.02, 49.9995, 10.02, 50.0005, 10.0095, 50.0005, 10.0095, 49.9995}, Ends: []int{10}}}},
	}
	n := s.network()
	second, third := n.at(t, "L", "2"), n.at(t, "L", "3")
	require.Equal(t, basis.ClassB, second.Class)
	require.Equal(t, basis.ClassD, second.Worse.Class)
	require.InDelta(t, 111.2, second.Worse.DistanceM, 0.2, "0.001° of latitude at 50° north")
	require.Equal(t, 60.0, third.SpecificCreepage, "a zone with a figure of its own")
	require.True(t, math.IsNaN(third.Worse.DistanceM))
}

// The weight spans of a whole line, the shares of its ends included, add up to its length: every metre of conductor
// hangs somewhere. On a straight level line each weight span is the wind span.
func TestWeightSpansAddUp(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := newSketch(t)
		count := rapid.IntRange(2, 12).Draw(r, "structures")
		level := rapid.Bool().Draw(r, "level")
		lon := 10.0
		for i := range count {
			row := s.structure("L", fmt.Sprint(i), lon, 50)
			lon += rapid.Float64Range(0.001, 0.008).Draw(r, "step")
			row.GroundM = 500
			if !level {
				row.GroundM = rapid.Float64Range(0.5, 100).Draw(r, "ground")
			}
			row.AttachmentM = 20
		}
		n := s.network()
		constant := rapid.Float64Range(500, 4000).Draw(r, "constant")
		length, sum := 0.0, 0.0
		for i := range count {
			st := n.Structure(0, i)
			if !math.IsNaN(st.SpanAheadM) {
				length += st.SpanAheadM
			}
			weight := st.WeightSpanM(constant)
			sum += weight
			if level {
				require.InEpsilon(t, st.WindSpanM, weight, 1e-9)
			}
		}
		require.InEpsilon(t, length, sum, 1e-9)
	})
}

// Of several cases that are marked for uplift the one that lifts most is judged, whatever their order; one without its tension
// leaves the weight span unknown. A valley of 26.5 m between spans of about 300 m (computed: everyday 15 kN hangs, 28.02 kN lifts).
func TestUpliftIsJudgedByTheWorstCase(t *testing.T) {
	weight := func(cold float64, cases ...LoadCase) float64 {
		s := newSketch(t)
		s.p.Conductors = basis.Conductors()
		for i, lon := range []float64{10, 10.0027, 10.0054} {
			s.structure("L", string(rune('1'+i)), lon, 0).GroundM = []float64{26.5, 0, 26.5}[i]
		}
		line := s.line("L")
		line.Conductor, line.EverydayTensionKN, line.ColdTensionKN = s.p.Symbols.Number("Drake"), 15, cold
		s.p.Criteria.LoadCases = cases
		return s.network().Structure(0, 1).WeightSpanColdM
	}
	everyday, frost := LoadCase{Name: "everyday", From: EverydayTension, Uplift: true}, LoadCase{Name: "cold", From: ColdTension, Uplift: true}
	require.Positive(t, weight(28.02, everyday))
	alone := weight(28.02, frost)
	require.Negative(t, alone)
	require.Equal(t, alone, weight(28.02, everyday, frost))
	require.Equal(t, alone, weight(28.02, frost, everyday))
	require.True(t, math.IsNaN(weight(math.NaN(), everyday, frost)))
	require.True(t, math.IsNaN(weight(math.NaN(), frost, everyday)))
	given := LoadCase{Name: "given", From: GivenTension, TensionKN: 28.02, Uplift: true}
	require.InDelta(t, alone, weight(math.NaN(), frost, given), 1e-9, "what lifts already lifts whatever the case that lacks its tension")
}

// Where the register has no row of a circuit beyond a structure and another goes on for less than it takes to tell, the circuit may end there.
func TestWhereACircuitMayEnd(t *testing.T) {
	line := Line{Circuits: []Circuit{{Symbol: 1}}}
	for name, c := range map[string]struct {
		circuit Circuit
		at      int
		want    [2]bool // ends, may end
	}{
		"within":           {Circuit{First: 0, Last: 4, MayLast: 6}, 3, [2]bool{}},
		"its last rows":    {Circuit{First: 0, Last: 4, MayLast: 6}, 4, [2]bool{false, true}},
		"its first rows":   {Circuit{First: 2, Last: 9, MayFirst: 0, MayLast: 9}, 2, [2]bool{false, true}},
		"as far as all":    {Circuit{First: 0, Last: 4, MayLast: 4}, 4, [2]bool{}},
		"ends for certain": {Circuit{First: 0, Last: 4, MayLast: 4, EndsLast: true}, 4, [2]bool{true, false}},
	} {
		c.circuit.Symbol = 1
		line.Circuits[0] = c.circuit
		line.circuitAt = map[Symbol]int{1: 0}
		a, s := Assembly{Circuit: 1}, Structure{Index: c.at, Role: Tangent}
		resolveAtStructure(&a, &line, &s)
		require.Equal(t, c.want, [2]bool{a.CircuitEnds, a.CircuitMayEnd}, name)
	}
}
