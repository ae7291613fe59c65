package remedy_test

import (
	"math"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// What falls short of one phase is mended by what is judged of it after the work, though another phase cannot be judged today: a unit without a rating
// answers nothing.
func TestWhatIsJudgedOfAPhaseIsJudgedAfterTheWork(t *testing.T) {
	for name, spoil := range map[string]bool{"all are judged": false, "the rating of one phase cannot be read": true} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			loaded(p, 30)
			rows := rowsAt(p, "1")
			require.Greater(t, len(rows), 1)
			if last := rows[len(rows)-1]; spoil {
				last.Faulty = last.Faulty.With(audit.CellRating)
			}
			for _, c := range []struct {
				name      string
				kN, price float64
			}{{"cheap", math.NaN(), 1}, {"strong", 210, 50}} {
				other := *unitOf(p, "U120B")
				other.Name, other.RatingKN, other.Price, other.Stocked = c.name, c.kN, c.price, true
				p.Units = append(p.Units, other)
			}
			p.Criteria.InsulatorFactor.Tension = 4.5
			_, jobs := searched(t, p)
			require.NotEmpty(t, jobs)
			require.NotEmpty(t, jobs[0].Remedies)
			require.Equal(t, "10 × strong", jobs[0].Remedies[0].To.String())
		})
	}
}
