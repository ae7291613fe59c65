package checks_test

import (
	"context"
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// ofPhaseA is what a check says of the assemblies of phase A at a structure, from 1 on: at a tension structure back and ahead.
func (b *base) ofPhaseA(check string, structure int) (verdicts []string, subjects []audit.Subject) {
	n, err := audit.Arrange(b.Project)
	require.NoError(b.t, err)
	require.NoError(b.t, audit.Derive(context.Background(), n, 1))
	for _, d := range audit.Explain(n, []*audit.Check{checks.ByID(check)}, 0, structure-1) {
		if d.Subject.Assembly.Phases == phasesOf(b.t, "A") {
			verdicts, subjects = append(verdicts, inShort(d.Verdict)), append(subjects, d.Subject)
			requireOneMeaning(b.t, d.Trace)
		}
	}
	return verdicts, subjects
}

func (b *base) says(check string, structure int) string {
	verdicts, _ := b.ofPhaseA(check, structure)
	return verdicts[0]
}

const (
	spansDiffer    = "not assessed: the two spans carry different conductors or bundles"
	otherConductor = "not assessed: a span carries another conductor than the line's, and the load case does not give its tension"
	faultyField    = "not assessed: a field it needs is faulty, see Faults"
	noAttachment   = "not assessed: attachment height unknown beside others that the line states"
	groundUnknown  = "not assessed: ground level unknown"
	nothingChanges = "not applicable: nothing changes here"
	oneConductor   = "not assessed: subconductors of the line not stated; from 300 kV up one is not taken for granted"
)

// From structure 5 on the line carries twin Zebra. A share of 0.4 of the rated strengths is 35.868 kN of Panther (89.67 kN) and
// 52.12 kN of Zebra (130.3 kN), times 2 in a bundle; a factor of 2 asks for twice that. Where tensions are horizontal, cosh(150.56/3755) adds 0.08 % (computed).
func TestEachSideHasItsOwnConductor(t *testing.T) {
	zebraAhead := func(b *base) {
		b.Criteria.StatedTension = basis.AtSupport
		b.Structures.Row(4).ConductorAhead = b.Symbols.Number("Zebra")
	}
	twinAhead := func(b *base) { b.Structures.Row(4).SubconductorsAhead = 2 }
	case_ := func(c audit.LoadCase) func(b *base) {
		c.Name, c.Factor = "case", 1
		return func(b *base) { b.Criteria.LoadCases = []audit.LoadCase{c} }
	}
	share := case_(audit.LoadCase{From: audit.ShareOfStrength, Share: 0.4})
	given := case_(audit.LoadCase{From: audit.GivenTension, TensionKN: 25})
	for name, c := range map[string]struct {
		change []func(b *base)
		want   []string // of structure 5, back and ahead
		last   string   // of structure 9
	}{
		"the line's alone":            {[]func(*base){share}, []string{"meets 120/71.794", "meets 120/71.794"}, "meets 120/71.794"},
		"share":                       {[]func(*base){zebraAhead, share}, []string{"meets 120/71.736", "meets 120/104.24"}, "meets 120/104.24"},
		"share, twin":                 {[]func(*base){zebraAhead, share, twinAhead}, []string{"meets 120/71.736", "shortfall 120/208.48"}, "shortfall 120/208.48"},
		"given":                       {[]func(*base){zebraAhead, given}, []string{"meets 120/50", "meets 120/50"}, "meets 120/50"},
		"given, twin":                 {[]func(*base){zebraAhead, given, twinAhead}, []string{"meets 120/50", "meets 120/100"}, "meets 120/100"},
		"maximum is the line's":       {[]func(*base){zebraAhead}, []string{"meets 120/56", otherConductor}, otherConductor},
		"calculated is the line's":    {[]func(*base){zebraAhead, case_(audit.LoadCase{From: audit.CalculatedTension, TemperatureC: audit.Stated(-5)})}, nil, otherConductor},
		"twin of the line's":          {[]func(*base){zebraAhead, func(b *base) { b.Structures.Row(4).ConductorAhead = 0 }, twinAhead}, []string{"meets 120/56", "meets 120/112"}, "meets 120/112"},
		"single again at structure 7": {[]func(*base){zebraAhead, given, twinAhead, func(b *base) { b.Structures.Row(6).SubconductorsAhead = 1 }}, []string{"meets 120/50", "meets 120/100"}, "meets 120/50"},
		"bundle unreadable": {[]func(*base){zebraAhead, given, func(b *base) {
			b.Structures.Row(4).Faulty = b.Structures.At(4).Faulty.With(audit.CellStrings)
		}}, []string{"meets 120/50", faultyField}, faultyField},
		"conductor unreadable": {[]func(*base){given, func(b *base) {
			b.Criteria.StatedTension = basis.AtSupport
			b.Structures.Row(4).Faulty = b.Structures.At(4).Faulty.With(audit.CellConductor)
		}}, []string{"meets 120/50", faultyField}, faultyField},
		"bundle not stated, 420 kV": {[]func(*base){zebraAhead, given, twinAhead, func(b *base) {
			b.Lines[0].NominalKV, b.Lines[0].HighestKV, b.Lines[0].Subconductors = 400, 420, -1
		}}, []string{oneConductor, "meets 120/100"}, "meets 120/100"},
		"mass unreadable": {[]func(*base){zebraAhead, given, func(b *base) {
			b.ConductorFaults = make([]audit.Cells, len(b.Conductors))
			for i := range b.Conductors {
				if b.Conductors[i].Name == "Zebra" {
					b.ConductorFaults[i] = audit.Cells(0).With(audit.CellWeight)
				}
			}
		}}, []string{"meets 120/50", faultyField}, faultyField},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase(t)
			for _, change := range c.change {
				change(b)
			}
			verdicts, _ := b.ofPhaseA("strength", 5)
			if c.want != nil {
				require.Equal(t, c.want, verdicts)
			}
			require.Equal(t, c.last, b.says("strength", 9))
		})
	}
}

// A suspension string between spans of one other conductor is judged with that; between unlike ones it is not assessed, and whether
// it may hang there is the affair of tension-at-change. Zebra: 1.621 kg/m, 28.62 mm; the string weighs nine units (statics,
// computed).
func TestSuspensionBetweenSpansOfAnotherConductor(t *testing.T) {
	b := newBase(t)
	b.unit("U120B").WeightKg = 5
	b.Structures.Row(4).ConductorAhead, b.Structures.Row(4).SubconductorsAhead = b.Symbols.Number("Zebra"), 2
	b.Criteria.LoadCases = []audit.LoadCase{{Name: "wind", WindPa: 300, From: audit.GivenTension, TensionKN: 40, Factor: 1}}
	verdicts, subjects := b.ofPhaseA("strength", 7)
	s := subjects[0]
	span, own := s.Structure.SpanBackM, s.Assembly.StringWeightN()
	require.InDelta(t, 301, span, 1)
	across, down := 2*span*300*0.02862, 2*span*1.621*basis.Gravity
	pull, reason := s.WorstPull(0)
	require.Equal(t, audit.NoReason, reason)
	turn := 2 * 2 * 40e3 * math.Sin(math.Abs(s.Structure.DeviationDeg)/2*math.Pi/180)
	require.InEpsilon(t, math.Hypot(across+turn, down+own)/1000, pull.KN, 1e-6)
	require.Contains(t, verdicts[0], "meets 120/")
	require.Equal(t, 9*5*basis.Gravity, own)
	require.NotContains(t, b.says("swing", 7), "not assessed")
	require.NotContains(t, b.says("tension-at-uplift", 7), "meets", "the cold tension is the line's")

	b.Structures.Row(5).ConductorAhead = b.Symbols.Number("Panther")
	require.Equal(t, spansDiffer, b.says("strength", 6))
	require.Equal(t, spansDiffer, b.says("swing", 6))
	require.Equal(t, spansDiffer, b.says("tension-at-uplift", 6))
	b.Structures.Row(5).ConductorAhead, b.Structures.Row(5).SubconductorsAhead = 0, 1
	require.Equal(t, spansDiffer, b.says("strength", 6))
	require.Equal(t, "shortfall suspension/tension", b.says("tension-at-change", 6))
}

// A change of the bundle is one like that of the conductor.
func TestChangeOfTheBundle(t *testing.T) {
	for name, c := range map[string]struct {
		change     func(b *base)
		want, says string
	}{
		"stated":           {func(b *base) { b.Structures.Row(2).SubconductorsAhead = 2 }, "shortfall suspension/tension", "the bundle changes from 1 to 2 subconductors"},
		"as before":        {func(b *base) { b.Structures.Row(2).SubconductorsAhead = 1 }, nothingChanges, ""},
		"the line's blank": {func(b *base) { b.Lines[0].Subconductors, b.Structures.Row(2).SubconductorsAhead = -1, 2 }, "shortfall suspension/tension", "from 1 to 2"},
		"blank, one":       {func(b *base) { b.Lines[0].Subconductors, b.Structures.Row(2).SubconductorsAhead = -1, 1 }, nothingChanges, ""},
		"blank at 420 kV": {func(b *base) {
			b.Lines[0].NominalKV, b.Lines[0].HighestKV, b.Lines[0].Subconductors, b.Structures.Row(2).SubconductorsAhead = 400, 420, -1, 2
		}, oneConductor, ""},
		"unreadable": {func(b *base) { b.Structures.Row(2).Faulty = b.Structures.At(2).Faulty.With(audit.CellStrings) }, faultyField, ""},
		"unreadable before": {func(b *base) {
			b.Structures.Row(1).Faulty, b.Structures.Row(2).SubconductorsAhead = audit.Cells(0).With(audit.CellStrings), 1
		}, faultyField, ""},
		"unreadable all along": {func(b *base) {
			b.Lines[0].Faulty, b.Lines[0].Subconductors = audit.Cells(0).With(audit.CellStrings), -1
		}, nothingChanges, ""},
		"the conductor likewise": {func(b *base) {
			b.Structures.Row(2).ConductorAhead, b.Structures.Row(2).SubconductorsAhead = b.Symbols.Number("Zebra"), 2
		}, "shortfall suspension/tension", "from Panther to Zebra"},
	} {
		b := newBase(t)
		c.change(b)
		verdicts, subjects := b.ofPhaseA("tension-at-change", 3)
		require.Equal(t, c.want, verdicts[0], name)
		require.Contains(t, subjects[0].Structure.Changes, c.says, name)
	}
}

// An attachment height left blank beside others leaves open what rests on the height of its structure, and nothing else; a line
// without any is judged by its ground levels.
func TestAttachmentHeightsLeftBlank(t *testing.T) {
	blank := func(b *base) { b.Structures.Row(3).AttachmentM = math.NaN() }
	for name, c := range map[string]struct {
		change func(b *base)
		uplift string // of structure 3 and 4, both beside the blank
		swing  string
	}{
		"blank":        {blank, noAttachment, noAttachment},
		"unreadable":   {func(b *base) { blank(b); b.Structures.Row(3).Faulty = audit.Cells(0).With(audit.CellAttachment) }, faultyField, faultyField},
		"ground blank": {func(b *base) { b.Structures.Row(3).GroundM = math.NaN() }, groundUnknown, groundUnknown},
	} {
		b := newBase(t)
		c.change(b)
		for _, structure := range []int{3, 4} {
			require.Equal(t, c.uplift, b.says("tension-at-uplift", structure), name)
			require.Equal(t, c.swing, b.says("swing", structure), name)
		}
		for _, structure := range []int{2, 6, 7} {
			require.Contains(t, b.says("tension-at-uplift", structure), "meets", name)
			require.Contains(t, b.says("swing", structure), "meets", name)
		}
		// of the tension structure beside it, only the side of that span
		verdicts, _ := b.ofPhaseA("strength", 5)
		require.Equal(t, []string{c.uplift, "meets 120/56.074"}, verdicts, name)
		for _, row := range b.rows(5) {
			row.Direct = b.direct(func(d *audit.DirectValues) { d.RatingKN = 50 })
		}
		verdicts, _ = b.ofPhaseA("strength", 5)
		want := "shortfall 50/56"
		if name == "unreadable" {
			want = faultyField
		}
		require.Equal(t, []string{want, "shortfall 50/56.074"}, verdicts, "%s: short by the horizontal tension alone", name)
	}
	b := newBase(t)
	for i := range b.Structures.Len() {
		b.Structures.Row(i).AttachmentM = math.NaN()
	}
	require.Equal(t, "meets 301.12/0: attachment heights not stated, taken as equal above ground", b.says("tension-at-uplift", 3))
	for i := range b.Structures.Len() {
		b.Structures.Row(i).GroundM = math.NaN()
	}
	require.Equal(t, groundUnknown, b.says("tension-at-uplift", 3))
	verdicts, _ := b.ofPhaseA("strength", 5)
	require.Equal(t, []string{"meets 120/56", "meets 120/56"}, verdicts, "without any ground level by the horizontal tension")
}
