package audit

import (
	"context"
	"fmt"
	"math"
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The places of a structure: one for a circuit that hangs or stands there, one for each side of one that is held in tension.
func TestPlaces(t *testing.T) {
	type row struct {
		circuit, phase string
		duty           Duty
		side           Side
	}
	for name, c := range map[string]struct {
		rows   []row // of structure 2 of 3; the others hang circuit 1 with A, B and C
		faulty Cell  // of the first row
		want   []string
	}{
		"suspension":               {[]row{{"1", "A", Suspension, NoSide}, {"1", "B", Suspension, NoSide}}, cells, []string{"1 A,B of A,B,C, 2"}},
		"pins and posts":           {[]row{{"1", "A", Pin, NoSide}, {"1", "B", Post, NoSide}, {"1", "C", Shackle, NoSide}}, cells, []string{"1 A,B,C of A,B,C, 3"}},
		"earth wires stand apart":  {[]row{{"1", "A", Suspension, NoSide}, {"1", "B", EarthWire, NoSide}, {"1", "C", Jumper, NoSide}, {"1", "C", Guy, NoSide}}, cells, []string{"1 A of A,B,C, 1"}},
		"duty not stated counts":   {[]row{{"1", "A", DutyUnknown, NoSide}}, cells, []string{"1 A of A,B,C, 1"}},
		"tension on both sides":    {[]row{{"1", "A", Tension, Back}, {"1", "A,B", Tension, Ahead}}, cells, []string{"1 back A of A,B,C, 2 tension", "1 ahead A,B of A,B,C, 2 tension"}},
		"tension on one side":      {[]row{{"1", "A", Tension, Back}}, cells, []string{"1 back A of A,B,C, 1 tension", "1 ahead  of A,B,C, 1 tension"}},
		"a pin serves both sides":  {[]row{{"1", "A", Tension, Back}, {"1", "C", Pin, NoSide}}, cells, []string{"1 back A,C of A,B,C, 2 tension", "1 ahead C of A,B,C, 2 tension"}},
		"tension without a side":   {[]row{{"1", "A", Tension, NoSide}, {"1", "B", Tension, Back}}, cells, []string{"1 A,B of A,B,C, 2 tension unsure"}},
		"without a side, then one": {[]row{{"1", "A", Tension, Ahead}, {"1", "B", Tension, NoSide}}, cells, []string{"1 A,B of A,B,C, 2 tension unsure"}},
		"another circuit":          {[]row{{"1", "A", Suspension, NoSide}, {"2", "R", Suspension, NoSide}}, cells, []string{"1 A of A,B,C, 1", "2 R of R, 1"}},
		"only another circuit":     {[]row{{"2", "R", Suspension, NoSide}}, cells, []string{"1  of A,B,C, 0", "2 R of R, 1"}},
		"a faulty phase":           {[]row{{"1", "A", Suspension, NoSide}}, CellPhase, []string{"1 A of A,B,C, 1 faulty"}},
		"a faulty duty":            {[]row{{"1", "A", DutyUnknown, NoSide}}, CellDuty, []string{"1  of A,B,C, 0 faulty"}},
		"a faulty side":            {[]row{{"1", "A", Tension, NoSide}}, CellSide, []string{"1 A of A,B,C, 1 tension unsure faulty"}},
		"a faulty circuit":         {[]row{{"1", "A", Suspension, NoSide}}, CellCircuits, []string{"1  of A,B,C, 0 faulty"}},
		"a faulty rating":          {[]row{{"1", "A", Suspension, NoSide}}, CellRating, []string{"1 A of A,B,C, 1"}},
	} {
		s := newSketch(t)
		s.straight("L", 3)
		for _, structure := range []string{"1", "3"} {
			s.assembly("L", structure, "1", "ABC", Suspension, NoSide)
		}
		for i, r := range c.rows {
			a := s.assembly("L", "2", r.circuit, r.phase, r.duty, r.side)
			if i == 0 && c.faulty != cells {
				a.Faulty = a.Faulty.With(c.faulty)
			}
		}
		n := s.network()
		v := visitor{n: n, structure: n.Structure(0, 1)}
		v.resolve(&n.Lines[0])
		var got []string
		for _, p := range appendPlaces(nil, &n.Lines[0], &v.structure, v.assemblies) {
			text := s.p.Symbols.Text(p.Circuit) + " "
			if p.Side != NoSide {
				text += p.Side.String() + " "
			}
			text += fmt.Sprintf("%s of %s, %d", p.Present, p.Expected, p.Assemblies)
			if p.Tension {
				text += " tension"
			}
			if !p.SideKnown {
				text += " unsure"
			}
			if p.FaultyRows {
				text += " faulty"
			}
			got = append(got, text)
		}
		require.Equal(t, c.want, got, name)
	}
}

// What is registered at a structure, by duty.
func TestRegisteredByDuty(t *testing.T) {
	s := newSketch(t)
	s.straight("L", 2)
	s.straight("unlisted", 2)
	for _, d := range []Duty{Suspension, Tension, Jumper, EarthWire, EarthWire, Guy, DutyUnknown} {
		s.assembly("L", "1", "1", "", d, NoSide)
	}
	n := s.network()
	at := func(l, i int) Registered {
		v := visitor{n: n, line: l, structure: n.Structure(l, i)}
		v.resolve(&n.Lines[l])
		return v.registered(&n.Lines[l])
	}
	want := Registered{Rows: 7, CarryPhase: 4}
	want.Duties[Suspension], want.Duties[Tension], want.Duties[Jumper], want.Duties[EarthWire], want.Duties[Guy], want.Duties[DutyUnknown] = 1, 1, 1, 2, 1, 1
	require.Equal(t, want, at(0, 0))
	require.Equal(t, Registered{}, at(0, 1))
	require.Equal(t, Registered{LineUnlisted: true}, at(1, n.Lines[1].First))
	s.p.RegisterGiven = false
	require.Equal(t, Registered{LineUnlisted: true, NoRegister: true}, at(1, n.Lines[1].First))
}

// Structures of two lines are neighbours where they stand within the reach of each other, and only there.
func TestNeighboursAreThoseWithinReach(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := newSketch(t)
		lat := rapid.Float64Range(-85, 85).Draw(r, "lat")
		reach := rapid.Float64Range(0.5, 30).Draw(r, "reach")
		step := func(name string) float64 { return rapid.Float64Range(-1.2, 1.2).Draw(r, name) * reach / 111_000 }
		for i := range 4 {
			line := []string{"A", "B"}[i%2]
			s.structure(line, fmt.Sprint(i), 30+step("lon")/math.Cos(lat*math.Pi/180), lat+step("lat"))
		}
		other := rapid.Float64Range(0.5, 30).Draw(r, "reach of the other line")
		reachOf := map[Symbol]float64{s.p.Symbols.Number("A"): reach, s.p.Symbols.Number("B"): other}
		s.p.Criteria.TeeToleranceM = Stated(reach)
		s.p.Rules = []Rules{{Lines: []Symbol{s.p.Symbols.Number("B")}, Criteria: s.p.Criteria}}
		s.p.Rules[0].Criteria.TeeToleranceM = Stated(other)
		n, err := Arrange(s.p)
		require.NoError(r, err)
		lineOf := n.lineOfStructures()
		want, got := map[[2]int32]bool{}, map[[2]int32]bool{}
		for a := range n.structures {
			for b := range n.structures {
				if lineOf[a] != lineOf[b] && n.leg(a, b).LengthM <= max(reach, other, sharedWithinM) {
					want[[2]int32{int32(a), int32(b)}] = true
				}
			}
		}
		for _, p := range n.neighbours() {
			got[[2]int32{p.a, p.b}] = true
			require.Equal(r, lineOf[p.a], p.lineA)
			require.Equal(r, lineOf[p.b], p.lineB)
			require.Equal(r, n.leg(int(p.a), int(p.b)).LengthM <= sharedWithinM, p.withinShared)
			require.Equal(r, n.leg(int(p.a), int(p.b)).LengthM <= reachOf[n.Lines[p.lineA].Symbol], p.withinReachOfA)
			require.Equal(r, n.leg(int(p.a), int(p.b)).LengthM <= reachOf[n.Lines[p.lineB].Symbol], p.withinReachOfB)
		}
		require.Equal(r, want, got)
	})
}

// How the voltage spreads is told of like units alone, and where the line states the ratio of the capacitances.
func TestWhereDistributionIsTold(t *testing.T) {
	for name, change := range map[string]func(s *Subject){
		"no assembly":     func(s *Subject) { s.Assembly = nil },
		"no unit":         func(s *Subject) { s.Assembly.Unit = nil },
		"a long rod":      func(s *Subject) { s.Assembly.Unit.Kind = basis.LongRod },
		"unlike units":    func(s *Subject) { s.Assembly.Makeup = &Makeup{Parts: make([]Part, 2)} },
		"units unknown":   func(s *Subject) { s.Assembly.UnitsPerString = -1 },
		"no units":        func(s *Subject) { s.Assembly.UnitsPerString = 0 },
		"no ratio":        func(s *Subject) { s.Line.Row.CapacitanceRatio = math.NaN() },
		"a ratio below 0": func(s *Subject) { s.Line.Row.CapacitanceRatio = -1 },
	} {
		s := known(t)
		s.Line.Row.CapacitanceRatio = 0.1
		_, _, ok := s.Distribution()
		require.True(t, ok)
		change(s)
		share, efficiency, ok := s.Distribution()
		require.False(t, ok, name)
		require.Zero(t, share+efficiency, name)
	}
	s := known(t)
	s.Line.Row.CapacitanceRatio, s.Assembly.UnitsPerString = 0.1, 1
	share, efficiency, ok := s.Distribution()
	require.Equal(t, []any{1.0, 1.0, true}, []any{share, efficiency, ok}, "one unit carries all")
}

// The order in which a withstand is looked for, and the figures of each source: 9 standard discs by the table, a gap of
// 1.3 m by its formula.
func TestWhereAWithstandComesFrom(t *testing.T) {
	s := known(t)
	a, c := s.Assembly, s.Criteria
	table, ok := basis.LightningWithstand(9, 146, 255)
	require.True(t, ok)
	wet, ok := basis.WetWithstand(9, 146, 255, c.WetShare.Value)
	require.True(t, ok)
	gap, err := basis.GapLightning(1.3, c.GapFactor.Value)
	require.NoError(t, err)
	require.Equal(t, Withstand{KV: table, From: DiscTable}, a.Withstand(Lightning, 9, c))
	require.Equal(t, Withstand{KV: wet, From: DiscTable}, a.Withstand(Wet, 9, c))
	eight, _ := basis.LightningWithstand(8, 146, 255)
	require.Equal(t, eight, a.Withstand(Lightning, 8, c).KV, "of the sound ones")
	require.Equal(t, WithstandUnknown, a.Withstand(Lightning, 0, c).Reason)
	a.Direct.ArcingMM = 1314 // the length of the string
	require.Equal(t, DiscTable, a.Withstand(Lightning, 9, c).From)
	a.Direct.ArcingMM = 1300 // between horns
	require.Equal(t, Withstand{KV: basis.WithstandFromU50(gap, basis.LightningSigma), From: GapFormula, GapM: 1.3}, a.Withstand(Lightning, 9, c))
	require.Equal(t, Withstand{KV: wet, From: DiscTable, NoMore: WetAcrossHorns}, a.Withstand(Wet, 9, c))
	a.Unit.DiameterMM = 400
	require.Equal(t, Withstand{KV: basis.WithstandFromU50(gap, basis.LightningSigma), From: GapFormula, GapM: 1.3}, a.Withstand(Lightning, 9, c))
	require.Equal(t, WithstandUnknown, a.Withstand(Wet, 9, c).Reason)
	a.Unit.Kind, a.Unit.LightningKV, a.Unit.WetKV, a.UnitsPerString = basis.Composite, 610, 260, 1
	require.Equal(t, Withstand{KV: basis.WithstandFromU50(610, basis.LightningSigma), From: UnitFlashover}, a.Withstand(Lightning, 1, c))
	require.Equal(t, Withstand{KV: 0.9 * 260, From: UnitFlashover}, a.Withstand(Wet, 1, c))
	a.Unit.LightningWithstandKV, a.Unit.WetWithstandKV = 600, 250
	require.Equal(t, Withstand{KV: 600, From: UnitValue}, a.Withstand(Lightning, 1, c))
	require.Equal(t, Withstand{KV: 250, From: UnitValue}, a.Withstand(Wet, 1, c))
	a.Direct.SwitchingKV, a.Direct.ArcingMM = math.NaN(), 3200
	switching, err := basis.GapSwitching(3.2, c.GapFactor.Value)
	require.NoError(t, err)
	require.Equal(t, Withstand{KV: basis.WithstandFromU50(switching, basis.SwitchingSigma), From: GapFormula, GapM: 3.2}, a.Withstand(Switching, 1, c))
	a.Direct.LightningKV, a.Direct.SwitchingKV, a.Direct.WetKV = 650, 651, 652
	for shape, want := range []float64{650, 651, 652} {
		require.Equal(t, Withstand{KV: want, From: Tested}, a.Withstand(Shape(shape), 1, c))
	}
}

// Horns of a row that stand closer than an insulator was tested across: by hand 0.9616·1.065·530·2 = 1085.6 kV of lightning and
// 0.9232·1.25·1080·ln(1.92) = 813.0 kV of switching impulse (formulas of IEC 60071-2:2018, gap factor 1.25 from memory).
func TestHornsOnATestedInsulator(t *testing.T) {
	s := known(t)
	a, c := s.Assembly, s.Criteria
	a.Unit.Kind, a.Unit.SpacingMM, a.Unit.ArcingMM, a.UnitsPerString = basis.Composite, 3400, math.NaN(), 1
	a.Direct = UnknownDirectValues()
	a.Unit.LightningWithstandKV, a.Unit.WetSwitchingKV, a.Unit.WetWithstandKV = 1600, 1100, 700
	own := []Withstand{{KV: 1600, From: UnitValue}, {KV: 1100, From: UnitWet}, {KV: 700, From: UnitValue}}
	along := func(why string) {
		for shape, want := range own {
			require.Equal(t, want, a.Withstand(Shape(shape), 1, c), why)
		}
	}
	along("no horns")
	a.Direct.ArcingMM = 3400
	along("as far apart as it is long")
	a.Direct.ArcingMM = 2000
	require.InDelta(t, 1085.6, a.Withstand(Lightning, 1, c).KV, 0.05)
	require.InDelta(t, 813.0, a.Withstand(Switching, 1, c).KV, 0.05)
	require.Equal(t, Withstand{KV: 700, From: UnitValue, NoMore: WetAcrossHorns}, a.Withstand(Wet, 1, c))
	a.Unit.LightningWithstandKV, a.Unit.WetSwitchingKV = 1000, 700
	require.Equal(t, Withstand{KV: 1000, From: UnitValue}, a.Withstand(Lightning, 1, c), "the lower of both")
	require.Equal(t, Withstand{KV: 700, From: UnitWet}, a.Withstand(Switching, 1, c), "the lower of both")
	a.Unit.LightningWithstandKV, a.Unit.WetSwitchingKV = 1600, 1100
	a.Direct.ArcingMM = 900
	metre, err := basis.GapLightning(1, c.GapFactor.Value)
	require.NoError(t, err)
	require.Equal(t, Withstand{KV: basis.WithstandFromU50(metre, basis.LightningSigma), From: GapFormula, GapM: 0.9, NoMore: OutsideGapFormula}, a.Withstand(Lightning, 1, c), "no more than across a metre")
	a.Unit.LightningWithstandKV = 500
	require.Equal(t, Withstand{KV: 500, From: UnitValue, NoMore: OutsideGapFormula}, a.Withstand(Lightning, 1, c), "no more than without horns")
	a.Unit.LightningWithstandKV = 1600
	a.Direct.ArcingMM, a.Unit.ArcingMM = 2000, 2000
	along("as far apart as it was tested across")
	a.Direct.ArcingMM = 1990
	require.Equal(t, GapFormula, a.Withstand(Switching, 1, c).From)
	a.Unit.ArcingMM, a.UnitFaulty = math.NaN(), Cells(0).With(CellArcing)
	require.Equal(t, FaultyField, a.Withstand(Switching, 1, c).Reason, "across what it was tested cannot be read")
	a.UnitFaulty, a.Unit.SpacingMM = 0, math.NaN()
	require.Equal(t, SpacingUnknown, a.Withstand(Switching, 1, c).Reason)
	a.Direct.LightningKV, a.Direct.SwitchingKV, a.Direct.WetKV = 1500, 1050, 650
	for shape, want := range []float64{1500, 1050, 650} {
		require.Equal(t, Withstand{KV: want, From: Tested}, a.Withstand(Shape(shape), 1, c), "tested with its horns")
	}
}

// A check whose record lacks something is refused before anything runs.
func TestChecksWithoutAWholeRecordAreRefused(t *testing.T) {
	require.NoError(t, ValidateChecks([]*Check{sizing()}))
	require.Error(t, ValidateChecks([]*Check{sizing(), sizing()}), "twice")
	for name, spoil := range map[string]func(c *Check){
		"ID": func(c *Check) { c.ID = "Not a slug" }, "title": func(c *Check) { c.Title = "" }, "remedy": func(c *Check) { c.Remedy = "" },
		"formula": func(c *Check) { c.Method.Formula = "" }, "limits": func(c *Check) { c.Method.Limits = "" }, "basis": func(c *Check) { c.Basis = nil },
		"function": func(c *Check) { c.Judge = nil }, "example": func(c *Check) { c.Method.Example.Subject = nil },
	} {
		c := sizing()
		spoil(c)
		require.Error(t, ValidateChecks([]*Check{c}), name)
	}
}

// Each load case of a structure has loads of its own, though its assemblies share them.
func TestLoadsAreKeptByCase(t *testing.T) {
	s := loaded(t)
	s.p.Criteria.LoadCases = []LoadCase{{Name: "still", From: MaximumTension, Factor: 1}, {Name: "wind", WindPa: 400, From: MaximumTension, Factor: 1}}
	check := sizing()
	var swings []float64
	check.Judge = func(s *Subject, _ *Trace) Verdict {
		for i := range s.Criteria.LoadCases {
			load, _ := s.Load(&s.Criteria.LoadCases[i])
			swings = append(swings, load.WindN)
		}
		other := LoadCase{Name: "no case of the project", WindPa: 4000, From: MaximumTension, Factor: 1}
		load, _ := s.Load(&other)
		swings = append(swings, load.WindN)
		return Verdict{}
	}
	n := s.network()
	_, err := Assess(context.Background(), n, []*Check{check}, Options{Workers: 1, Lines: []string{"L"}})
	require.NoError(t, err)
	span := n.Structure(0, 0).SpanAheadM
	for i := 0; i+2 < len(swings); i += 3 {
		require.Zero(t, swings[i])
		require.InEpsilon(t, 10*swings[i+1], swings[i+2], 1e-9)
		require.Contains(t, []int{int(400 * 0.021 * span / 2), int(400 * 0.021 * span)}, int(swings[i+1]+1e-6))
	}
	require.NotEmpty(t, swings)
}

// A sheet that counts the circuits leaves no place open for one that nobody names, though its phases cannot be read.
func TestNoPlaceOfAnUnnamedCircuitWhereTheyAreCounted(t *testing.T) {
	line := &Line{RowsPlaced: 1}
	line.Row.Faulty = line.Row.Faulty.With(CellCircuits)
	line.Row.Circuits = 1
	require.Empty(t, appendPlaces(nil, line, &Structure{}, nil))
	line.Row.Circuits = -1
	require.Len(t, appendPlaces(nil, line, &Structure{}, nil), 1)
}
