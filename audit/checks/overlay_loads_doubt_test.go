package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"

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

// At 0.4 kV without a highest voltage a phase has one conductor where nobody says how many; from 300 kV up nobody knows.
func TestOverlayOfBundlesByTheNominalVoltage(t *testing.T) {
	for nominal, want := range map[float64]audit.Reason{0.4: audit.NoReason, 46: audit.NoReason, 310: audit.SubconductorsNotStated, math.NaN(): audit.SubconductorsNotStated} {
		b := newBase(t)
		l := &b.Lines[0]
		l.NominalKV, l.HighestKV, l.Subconductors = nominal, math.NaN(), -1
		require.Equal(t, want, b.verdict("strength", 9, "A").Reason, "%g kV", nominal)
	}
}
