package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// A tension assembly that is said to be V is not judged as if its strings were parallel, intact or with one broken. 28 kN with a factor
// of 2 ask for 56 kN (computed), which the strings of 30 kN would bear side by side and each by itself would not.
func TestOverlayOfATensionAssemblyInV(t *testing.T) {
	for _, angle := range []float32{0, 160} {
		b := newBase(t)
		row := b.rows(9)[0]
		row.Strings, row.Arrangement, row.VAngleDeg = 2, audit.VSet, angle
		row.Direct = b.direct(func(d *audit.DirectValues) { d.RatingKN = 30 })
		for _, check := range []string{"strength", "strength-one-string-broken"} {
			v := b.verdict(check, 9, "A")
			require.Equal(t, audit.NotAssessed, v.Outcome, check)
			require.Equal(t, audit.TensionInV, v.Reason, check)
		}
		row.Arrangement = audit.Parallel
		require.Equal(t, audit.Meets, b.verdict("strength", 9, "A").Outcome)
		require.Equal(t, audit.FallsShort, b.verdict("strength-one-string-broken", 9, "A").Outcome)
	}
}

// Tensions of a line that contradict each other, or the strength of its conductor, are a fault, and what rests on them is not assessed;
// the bounds themselves are believed. Panther has 91 kN (see the catalogue of conductors).
func TestOverlaysOfTensionsThatContradict(t *testing.T) {
	for name, c := range map[string]struct {
		maximum, cold, everyday float64
		column                  string
		strength, uplift        audit.Outcome // of a tension assembly under maximum tension; of uplift in the cold case
	}{
		"sound":                            {28, 24, 18, "", audit.Meets, audit.Meets},
		"all alike":                        {24, 24, 24, "", audit.Meets, audit.Meets},
		"maximum below everyday":           {15, 24, 18, "Maximum tension", audit.NotAssessed, audit.Meets},
		"cold below everyday":              {28, 12, 18, "Cold tension", audit.Meets, audit.NotAssessed},
		"maximum above the rated strength": {280, 24, 18, "Maximum tension", audit.NotAssessed, audit.Meets},
		"everyday not stated":              {15, 12, math.NaN(), "", audit.Meets, audit.Meets},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase(t)
			l := &b.Lines[0]
			l.Source = audit.Source{Table: 2, Row: 2}
			l.MaximumTensionKN, l.ColdTensionKN, l.EverydayTensionKN = c.maximum, c.cold, c.everyday
			r := b.run()
			var found []string
			for _, fault := range r.Project.Faults.List() {
				if fault.Kind == audit.Implausible {
					found = append(found, fault.Column)
				}
			}
			if c.column == "" {
				require.Empty(t, found)
			} else {
				require.Equal(t, []string{c.column}, found)
			}
			outcome := func(check string, structure int) audit.Outcome {
				b := newBase(t)
				l := &b.Lines[0]
				l.MaximumTensionKN, l.ColdTensionKN, l.EverydayTensionKN = c.maximum, c.cold, c.everyday
				v := b.verdict(check, structure, "A")
				if v.Outcome == audit.NotAssessed {
					require.Equal(t, audit.FaultyField, v.Reason)
				}
				return v.Outcome
			}
			require.Equal(t, c.strength, outcome("strength", 9))
			require.Equal(t, c.uplift, outcome("tension-at-uplift", 3))
		})
	}
}

// At 0.4 kV without a highest voltage a phase has one conductor where nobody says how many; where Um may reach 300 kV nobody knows:
// 287 kV, which IEC 60038 does not list, has a Um of 300 kV or more (computed from the shares of its list).
func TestOverlayOfBundlesByTheNominalVoltage(t *testing.T) {
	for nominal, want := range map[float64]audit.Reason{0.4: audit.NoReason, 46: audit.NoReason, 239: audit.NoReason, 287: audit.SubconductorsNotStated, 310: audit.SubconductorsNotStated, math.NaN(): audit.SubconductorsNotStated} {
		b := newBase(t)
		l := &b.Lines[0]
		l.NominalKV, l.HighestKV, l.Subconductors = nominal, math.NaN(), -1
		require.Equal(t, want, b.verdict("strength", 9, "A").Reason, "%g kV", nominal)
	}
}

// Where the pull at the support is stated, what swings a string is the horizontal tension that goes with it: the pull that it makes on
// this structure is the one stated. A ground level that is not known leaves it not assessed.
func TestOverlayOfSwingByThePullAtTheSupport(t *testing.T) {
	swingAt := func(groundM float64, stated basis.StatedTension) audit.Verdict {
		b := newBase(t)
		b.Criteria.StatedTension = stated
		b.Structures.Row(2).GroundM = groundM
		return b.verdict("swing", 3, "A")
	}
	for _, groundM := range []float64{92, 100} {
		horizontal, atSupport := swingAt(groundM, basis.Horizontal), swingAt(groundM, basis.AtSupport)
		require.NotEqual(t, horizontal.Observed.Number, atSupport.Observed.Number, "%g m", groundM)
	}
	b := newBase(t)
	b.Criteria.StatedTension = basis.AtSupport
	_, subjects := b.ofPhaseA("swing", 3)
	load, _, _, reason := subjects[0].TightestSwing()
	require.Equal(t, audit.NoReason, reason)
	require.Equal(t, 28.0, load.StatedKN)
	st := subjects[0].Structure
	x := basis.FromLowPoint(st.SpanBackM, st.HeightM-st.HeightBackM, load.ConstantM)
	require.InDelta(t, 28, basis.TensionAtSupport(load.TensionKN, x, load.ConstantM), 1e-6, "the spans are alike and level")
	require.Equal(t, audit.NotAssessed, swingAt(math.NaN(), basis.AtSupport).Outcome)
}

// What is known of the weight of a mixed string counts: 8 units of 6 kg and one that states none.
func TestOverlayOfAMixedStringOfPartlyKnownWeight(t *testing.T) {
	b := newBase(t)
	b.unit("U120B").WeightKg, b.unit("U70BL").WeightKg = 6, math.NaN()
	b.rows(3)[0].Makeup = b.makeup("8×U120B + 1×U70BL", b.of("U120B", 8), b.of("U70BL", 1))
	v, subjects := b.ofPhaseA("strength", 3)
	require.Len(t, v, 1)
	require.InDelta(t, 8*6*basis.Gravity, subjects[0].Assembly.StringWeightN(), 1e-9)
	weight, _, _ := subjects[0].StringLoadsN(audit.Load{Case: &b.Criteria.LoadCases[0], Conductor: &b.Conductors[0]})
	require.InDelta(t, 8*6*basis.Gravity, weight, 1e-9)
	require.Equal(t, "U70BL", subjects[0].Assembly.Unweighed()[0].Name)
}

// The weight of a post: upright the foot bears all of it, horizontal half of it bends. 40 kg are 392.3 N (computed).
func TestOverlayOfTheWeightOfAPost(t *testing.T) {
	bearing := func(mounting audit.Mounting, weightKg float64) audit.PostBearing {
		b := newBase(t)
		b.pinAt(3, audit.Post, basis.Post)
		row := b.rows(3)[0]
		row.Mounting = mounting
		unit := &b.Units[b.Makeups[row.Makeup].Parts[0].Unit]
		unit.CantileverKN, unit.CompressionKN, unit.RatingKN, unit.WeightKg = 100, 100, 100, weightKg
		_, subjects := b.ofPhaseA("strength", 3)
		bears, reason := subjects[0].PostBearing(0)
		require.Equal(t, audit.NoReason, reason)
		return bears
	}
	for mounting, part := range map[audit.Mounting]func(p audit.PostBearing) (kN, added float64){
		audit.Upright:    func(p audit.PostBearing) (float64, float64) { return p.Push.KN, 0.3923 },
		audit.Horizontal: func(p audit.PostBearing) (float64, float64) { return p.Bend.KN, 0.3923 / 2 },
	} {
		without, _ := part(bearing(mounting, math.NaN()))
		with, added := part(bearing(mounting, 40))
		require.InDelta(t, added, with-without, 1e-4, mounting.String())
	}
}
