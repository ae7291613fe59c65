package checks_test

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// What moves the conductor away from what it is too near goes by that and by the state of the legs: a wider V lifts it towards the crossarm, and
// a weight moves nothing while both legs are taut.
func TestAdviceGoesByWhatGoverns(t *testing.T) {
	v := func(deg, wallMM float64) func(s *audit.Subject) {
		return func(s *audit.Subject) { s.Assembly.VAngleDeg, s.Structure.Room.WallDistanceMM = deg, wallMM }
	}
	for name, c := range map[string]struct {
		check, begins string
		change        func(s *audit.Subject)
	}{
		"wall, one leg slack":     {"v-set-clearance", "Too near the wall with one leg slack: open the V wider", v(40, 1400)},
		"wall, both legs taut":    {"v-set-clearance", "Too near the wall with both legs taut: move the attachments", v(60, 1100)},
		"crossarm, both taut":     {"v-set-clearance", "Too near the crossarm with both legs taut: take longer legs or a narrower V", v(120, 9000)},
		"crossarm, one leg slack": {"v-set-clearance", "Too near the crossarm with one leg slack: hang weights", func(s *audit.Subject) { v(40, 9000)(s); s.Criteria.LoadCases[0].WindPa = 2000 }},
		"lifted": {"v-set-clearance", "Lifted by its load: hang weights", func(s *audit.Subject) {
			v(120, 9000)(s)
			s.Structure.HeightBackM, s.Structure.HeightAheadM = 60, 60
			s.Criteria.LoadCases[0].WindPa = 0
		}},
		"swings too far": {"swing", "Install tension assemblies or a V set", func(*audit.Subject) {}},
		"at rest, crossarm": {"swing", "Too near the crossarm at rest: take a longer string", func(s *audit.Subject) {
			s.Assembly.Direct.LengthMM, s.Structure.Room.WallDistanceMM, s.Structure.Room.ClearanceMM = 1800, 9000, 2000
			discsOf(s.Assembly, 12)
		}},
		"at rest, wall": {"swing", "Too near the wall at rest: move the attachment", func(s *audit.Subject) {
			s.Assembly.Direct.LengthMM, s.Structure.Room.WallDistanceMM, s.Structure.Room.ClearanceMM = 1800, 1000, 1200
			discsOf(s.Assembly, 12)
		}},
	} {
		t.Run(name, func(t *testing.T) {
			check, s := example(t, c.check)
			c.change(&s)
			verdict := check.Run(s, nil)
			require.Equal(t, audit.FallsShort, verdict.Outcome)
			advice := check.RemedyFor(&verdict)
			require.Contains(t, check.Remedies(), advice)
			require.Truef(t, len(advice) > len(c.begins) && advice[:len(c.begins)] == c.begins, "%s\n%s", verdict.Sentence, advice)
		})
	}
}
