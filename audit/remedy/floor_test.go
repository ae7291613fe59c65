package remedy_test

import (
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// A string that hangs in another duty instead is no less than what hung there, where the checks cannot judge whether less would do.
func TestAnotherDutyIsNoLessThanWhatHangs(t *testing.T) {
	noClass := func(p *audit.Project) { p.Criteria.DefaultClass = basis.Class(0) }
	for name, c := range map[string]struct {
		change func(p *audit.Project)
		want   string
	}{
		"all can be judged":  {func(p *audit.Project) { p.Lines[0].LightningKV = 550 }, "10 × U120B"},
		"no class":           {noClass, "12 × U120B"},
		"no class, too long": {func(p *audit.Project) { noClass(p); p.Lines[0].LongestStringMM = 1500 }, ""},
		"horns": {func(p *audit.Project) {
			p.Lines[0].LightningKV = 550
			for _, row := range rowsAt(p, "7") {
				states(p, row, func(d *audit.DirectValues) { d.ArcingMM = 1700 })
			}
		}, "12 × U120B"},
		"an arcing distance of the strings themselves": {func(p *audit.Project) {
			p.Lines[0].LightningKV = 550
			for _, row := range rowsAt(p, "7") {
				states(p, row, func(d *audit.DirectValues) { d.ArcingMM = 1800 })
			}
		}, "10 × U120B"},
	} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			stocked(p, 10, "U120B")
			for _, row := range rowsAt(p, "7") {
				row.Duty, row.Side, row.UnitsPerString = audit.Suspension, audit.NoSide, 12
			}
			c.change(p)
			_, jobs := searched(t, p)
			require.Len(t, jobs, 1)
			if c.want == "" {
				require.Empty(t, jobs[0].Remedies)
				require.NotEmpty(t, jobs[0].StoppedBy)
				return
			}
			require.Len(t, jobs[0].Remedies, 1)
			require.Equal(t, audit.Tension, jobs[0].Remedies[0].To.Duty)
			require.Equal(t, c.want, jobs[0].Remedies[0].To.String())
		})
	}
}
