package audit

import (
	"math"
	"slices"
	"testing"

	"dryarc/audit/basis"
	"dryarc/geo"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A line along the equator, where a degree of longitude is π/180 of the semi-major axis of WGS 84, 111 319.4908 m:
// spans of 333.9585, 222.6390 and 445.2780 m. Panther (0.974 kg/m) at 20 kN has a catenary constant of
// 20 000/(0.974·9.80665) = 2093.8731 m; weight spans by x = L/2 − C·asinh(h/(2C·sinh(L/2C))), ruling span by √(ΣL³/ΣL) of
// the section up to the tension structure 3 (all computed outside the program).
func TestEveryFieldOfStructuresByHand(t *testing.T) {
	s := newSketch(t)
	c := &s.p.Criteria
	c.DeviationLimitDeg, c.PinDeviationLimitDeg, c.LongSpanM = Stated(4), Stated(7), Stated(440)
	c.CrossingRules = []CrossingRule{{Kind: "river", Double: true}, {Kind: "railway", Tension: true, Double: true}}
	c.DefaultClass, c.ZoneMarginM = basis.ClassC, Stated(200)
	s.p.Conductors = basis.Conductors()
	for i, lon := range []float64{10, 10.003, 10.005, 10.009} {
		row := s.structure("L", string(rune('1'+i)), lon, 0)
		row.GroundM, row.AttachmentM = []float64{100, 85, 90, 110}[i], []float64{20, 15, 20, 20}[i]
	}
	s.p.Structures.Row(1).DeviationLimitDeg, s.p.Structures.Row(1).Duty = 5, Suspension
	s.p.Structures.Row(2).Faulty = s.p.Structures.At(2).Faulty.With(CellDuty)
	s.structure("T", "1", 10.005, 0)
	s.structure("T", "2", 10.005, 0.003)
	line := s.line("L")
	line.Conductor, line.ColdTensionKN, line.NominalKV, line.DeviationLimitDeg = s.p.Symbols.Number("Panther"), 20, 132, 3
	s.line("T").NominalKV = 132
	s.assembly("L", "3", "1", "A", Tension, Back)
	s.assembly("L", "3", "1", "A", Tension, Ahead)
	at := func(lon float64) [][]orb.Point { return [][]orb.Point{{{lon, -1}, {lon, 1}}} }
	s.p.Crossings = []Crossing{{Kind: s.p.Symbols.Number("river"), Lines: at(10.001)}, {Kind: s.p.Symbols.Number("pipeline"), Lines: at(10.002)},
		{Kind: s.p.Symbols.Number("railway"), Lines: at(10.004)}}
	// Class e from 10.0105° on, 0.0015° or 166.9792 m beyond structure 4; class d around structure 1.
	box := func(west, east float64) []geo.Polygon {
		return []geo.Polygon{{Flat: []float64{west, -0.01, east, -0.01, east, 0.01, west, 0.01, west, -0.01}, Ends: []int{10}}}
	}
	s.p.Zones = []Zone{{Class: basis.ClassE, Polygons: box(10.0105, 10.02)}, {Class: basis.ClassD, Polygons: box(9.99, 10.001)}}
	n := s.network()

	nan := math.NaN()
	l, tap := s.p.Symbols.Number("L"), s.p.Symbols.Number("T")
	firstSpan := Asked{Kinds: []string{"river", "pipeline"}, Double: "river", Unruled: "pipeline"}
	secondSpan := Asked{Kinds: []string{"railway"}, Double: "railway", Tension: "railway"}
	thirdSpan := Asked{Kinds: []string{LongSpanKind}, Double: LongSpanKind}
	nowhereNear := WorseZone{DistanceM: nan}
	want := []Structure{
		{Position: orb.Point{10, 0}, GroundM: 100, AttachmentM: 20, SpanBackM: nan, SpanAheadM: 333.958472, DeviationDeg: nan, Role: Terminal, Family: TerminalFamily,
			WindSpanM: 166.979236, HeightBackM: nan, HeightM: 120, HeightAheadM: 100, RulingBackM: nan, RulingAheadM: 294.523689,
			WeightSpanColdM: 292.169040, Ahead: firstSpan, Class: basis.ClassD, Zone: 1, SpecificCreepage: 43.3, Worse: nowhereNear, DeviationLimitDeg: 3, PinLimitDeg: 7},
		{Position: orb.Point{10.003, 0}, GroundM: 85, AttachmentM: 15, SpanBackM: 333.958472, SpanAheadM: 222.638982, Declared: Suspension,
			WindSpanM: 278.298727, HeightBackM: 120, HeightM: 100, HeightAheadM: 110, RulingBackM: 294.523689, RulingAheadM: 294.523689,
			WeightSpanColdM: 59.136849, Back: firstSpan, Ahead: secondSpan, Class: basis.ClassC, Zone: nowhere, SpecificCreepage: 34.7, Role: Tangent, Family: TangentFamily,
			Worse: nowhereNear, DeviationLimitDeg: 5, PinLimitDeg: 5}, // class d ends 0.002° or 222.6 m from here
		{Position: orb.Point{10.005, 0}, GroundM: 90, AttachmentM: 20, SpanBackM: 222.638982, SpanAheadM: 445.277963, TeeOf: tap, Shared: true,
			WindSpanM: 333.958472, HeightBackM: 100, HeightM: 110, HeightAheadM: 130, RulingBackM: 294.523689, RulingAheadM: 445.277963,
			WeightSpanColdM: 334.091031, Back: secondSpan, Ahead: thirdSpan, Class: basis.ClassC, Zone: nowhere, SpecificCreepage: 34.7, Role: Tee, Family: TangentFamily,
			Worse: nowhereNear, DeviationLimitDeg: 3, PinLimitDeg: 7, Faulty: s.p.Structures.At(2).Faulty},
		{Position: orb.Point{10.009, 0}, GroundM: 110, AttachmentM: 20, SpanBackM: 445.277963, SpanAheadM: nan, DeviationDeg: nan,
			WindSpanM: 222.638982, HeightBackM: 110, HeightM: 130, HeightAheadM: nan, RulingBackM: 445.277963, RulingAheadM: nan,
			WeightSpanColdM: 316.478496, Back: thirdSpan, Class: basis.ClassC, Zone: nowhere, SpecificCreepage: 34.7, Role: Terminal, Family: TerminalFamily,
			Worse: WorseZone{basis.ClassE, 53.7, 166.979236, NoReason, basis.NoBase}, DeviationLimitDeg: 3, PinLimitDeg: 7},
	}
	chainagesM := []float64{0, 333.958472, 556.597454, 1001.875417}
	for i := range want {
		require.InDelta(t, chainagesM[i], n.ChainageM(0, i), 1e-6)
		got := n.Structure(0, i)
		w := &want[i]
		w.DoubtfulZone = nowhere // no zone here is in doubt
		w.Index, w.LimitStated, w.Source, w.Number = i, true, s.p.Structures.At(i).Source, s.p.Structures.At(i).Number
		require.InDelta(t, zeroIfNone(w.Worse.DistanceM), zeroIfNone(got.Worse.DistanceM), 0.01)
		require.Equal(t, math.IsNaN(w.Worse.DistanceM), math.IsNaN(got.Worse.DistanceM))
		w.Worse, w.Room = got.Worse, UnknownRoom()
		requireAlike(t, *w, got, "structure "+string(rune('1'+i)))
	}
	require.Equal(t, l, n.Lines[0].Symbol)
	require.Equal(t, []string{"river", "pipeline"}, n.Crossed(0))
	require.InDelta(t, math.Atan2(20, 333.958472)*180/math.Pi, -n.ChordSlope(0, 0), 1e-6)
	require.True(t, math.IsNaN(n.ChordSlope(0, 3)))
	require.Equal(t, []Section{{First: 0, Last: 2, LengthM: 556.597454, Spans: 2, RulingM: 294.523689, Unsure: NothingRegisteredHere, SurelyM: 333.958472}, {First: 2, Last: 3, LengthM: 445.277963, Spans: 1, RulingM: 445.277963, SurelyM: 445.277963}},
		rounded(n.SectionsAsRegistered(0)))
	require.Equal(t, 0, Longest(n.SectionsAsRegistered(0)).First, "the longest comes first")
	require.Equal(t, 0, Longest([]Section{{First: 7, LengthM: 1}, {First: 0, LengthM: 2}, {First: 8, LengthM: 1}}).First)
	require.Zero(t, Longest(nil))
}

// rounded writes sections to the micrometre.
func rounded(sections []Section) []Section {
	for i := range sections {
		s := &sections[i]
		s.LengthM, s.RulingM = math.Round(s.LengthM*1e6)/1e6, math.Round(s.RulingM*1e6)/1e6
		s.SurelyM = math.Round(s.SurelyM*1e6) / 1e6
	}
	return sections
}

// A string of 8 discs of 295 mm and 2 of 430 mm: 3220 mm of creepage, 8·146 + 2·170 = 1508 mm long, as strong as its
// weaker unit, two strings of it weighing 2·(8·5 + 2·9)·9.80665 = 1137.571 N (arithmetic, computed).
func TestEveryFieldOfAssembliesByHand(t *testing.T) {
	s := newSketch(t)
	s.straight("L", 3)
	fog, rod := basis.UnknownUnit(), basis.UnknownUnit()
	disc := &s.p.Units[0]
	disc.SpacingMM, disc.RatingKN, disc.WeightKg, disc.WindAreaM2, disc.AverageDiameterMM, disc.Coupling = 146, 120, 5, 0.03, 200, "16"
	fog.Name, fog.Kind, fog.CreepageMM, fog.SpacingMM, fog.RatingKN, fog.WeightKg, fog.WindAreaM2, fog.AverageDiameterMM, fog.Coupling = "fog", basis.CapAndPin, 430, 170, 160, 9, 0.04, 310, "20"
	rod.Name, rod.Kind, rod.CreepageMM, rod.ArcingMM = "rod", basis.LongRod, 3000, 1200
	s.p.Units = append(s.p.Units, fog, rod)
	s.p.Makeups = append(s.p.Makeups, Makeup{Text: "mixed", Parts: []Part{{Unit: 0, Count: 8}, {Unit: 1, Count: 2}}}, Makeup{Text: "rod", Parts: []Part{{Unit: 2}}})
	mixed := s.assembly("L", "2", "1", "A", Suspension, NoSide)
	mixed.Makeup, mixed.UnitsPerString, mixed.Strings, mixed.Defective, mixed.Arrangement, mixed.VAngleDeg = 2, 10, 2, 3, VSet, 90
	long := s.assembly("L", "2", "1", "B", Suspension, NoSide)
	long.Makeup, long.UnitsPerString, long.Direct = 3, 1, 1
	stated := UnknownDirectValues()
	stated.CreepageMM, stated.RatingKN, stated.LengthMM, stated.ArcingMM = 2900, 100, 1300, 1100
	unknown := s.assembly("L", "2", "1", "C", Suspension, NoSide)
	unknown.Makeup, unknown.UnitsPerString, unknown.Strings = 0, -1, -1
	uncounted := s.assembly("L", "3", "1", "A", Tension, NoSide)
	uncounted.UnitsPerString = -1
	s.p.Direct = append(s.p.Direct, stated)
	n := s.network()

	a, b, c, d := n.Assembly(0), n.Assembly(1), n.Assembly(2), n.Assembly(3)
	require.Equal(t, []float64{3220, 1508, 120, 310, 90}, []float64{a.CreepageMM, a.LengthMM(), a.RatingKN(), a.AverageDiameterMM(), a.VAngleDeg})
	require.InDelta(t, 1137.5714, a.WeightN(), 1e-4)
	require.InDelta(t, 2*(8*0.03+2*0.04), a.windAreaM2(), 1e-12)
	require.Equal(t, 3220-2*430-295.0, a.SoundCreepageMM(), "the two longest and one more of the three defective units")
	require.Equal(t, []string{"16", "20"}, a.Couplings())
	require.Empty(t, new(Assembly).Couplings(), "of an unknown make-up")
	require.Equal(t, "2 strings of 8 × disc + 2 × fog", a.Hanging())
	require.Equal(t, []any{"disc", 10, 2, 3, VSet, false, NoSide, Suspension, 0}, []any{a.Unit.Name, a.UnitsPerString, a.Strings, a.Defective, a.Arrangement, a.CreepageStated, a.Side, a.Duty, a.Row})
	a.Defective = 99
	require.Zero(t, a.SoundCreepageMM(), "more defective than the string has units")
	a.Defective = 2
	require.Equal(t, 3220-2*430.0, a.SoundCreepageMM())
	criteria := DefaultCriteria()
	a.Direct.LightningKV = 1000
	require.InDelta(t, 1000*(1508-2*170.0)/1508, a.Withstand(Lightning, 8, &criteria).KV, 1e-9, "without the two longest")
	a.CreepageMM, a.CreepageStated = 3000, true
	require.InDelta(t, 3000*(3220-2*430.0)/3220, a.SoundCreepageMM(), 1e-9, "what the row states is shared out by the creepage of the units")
	a.units = slices.Clone(a.units)
	a.units[a.Makeup.Parts[1].Unit].CreepageMM = math.NaN()
	require.True(t, math.IsNaN(a.SoundCreepageMM()), "of unlike units nobody knows which have what")

	require.Equal(t, []any{2900.0, 1300.0, 100.0, 1100.0, true, "1 × rod"}, []any{b.CreepageMM, b.LengthMM(), b.RatingKN(), b.ArcingMM(), b.CreepageStated, b.Hanging()})
	b.Direct = UnknownDirectValues()
	require.Equal(t, 1200.0, b.ArcingMM(), "of the rod itself")
	require.True(t, math.IsNaN(b.RatingKN()), "the rod states none")
	b.Defective = 1
	require.Zero(t, b.SoundCreepageMM(), "a long rod with a defect has failed")

	for _, figure := range []float64{c.CreepageMM, c.LengthMM(), c.RatingKN(), c.WeightN(), c.windAreaM2(), c.AverageDiameterMM(), c.VAngleDeg, c.ArcingMM(),
		d.CreepageMM, d.LengthMM(), d.WeightN()} {
		require.True(t, math.IsNaN(figure))
	}
	require.Equal(t, []string{"unit not known", "? × disc"}, []string{c.Hanging(), d.Hanging()})
	c.UnitsPerString = 4
	require.Equal(t, "4 × unit not known", c.Hanging())
	require.Nil(t, c.Unit)

	end := n.Structure(0, 2)
	resolveAtStructure(&d, &n.Lines[0], &end)
	require.Equal(t, Back, d.Side, "at the last structure a tension assembly has but one side")
	d.Side, d.Faulty = NoSide, d.Faulty.With(CellSide)
	resolveAtStructure(&d, &n.Lines[0], &end)
	require.Equal(t, NoSide, d.Side, "an unreadable side stays unknown")
	middle := n.Structure(0, 1)
	d.Faulty = Cells(0)
	resolveAtStructure(&d, &n.Lines[0], &middle)
	require.Equal(t, NoSide, d.Side, "on the way it may be either")
}
