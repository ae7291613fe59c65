//go:build unix

package main

import (
	"fmt"
	"runtime"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// The cases of BenchmarkScope are what they are called: all that is to be mended on a line has a remedy, longer strings at another voltage, but where none is
// long enough.
func TestCasesOfScenarios(t *testing.T) {
	const structures = 10 * perLine // one line for each scenario
	for _, c := range scopeCases(structures) {
		p, err := read.Project(t.Context(), c.project(t, structures))
		require.NoError(t, err)
		require.Zero(t, p.Faults.Total())
		pristine := p.Pristine()
		for k := range 2 {
			t.Run(fmt.Sprintf("%s, scenario %d", c.name, k), func(t *testing.T) {
				n, err := audit.Arrange(pristine.Under(&pristine.Scenarios[k]))
				require.NoError(t, err)
				require.NoError(t, audit.Derive(t.Context(), n, runtime.NumCPU()))
				r, err := audit.Assess(t.Context(), n, checks.All(), audit.Options{Workers: runtime.NumCPU()})
				require.NoError(t, err)
				jobs, err := remedy.Search(t.Context(), r, remedy.Options{Workers: runtime.NumCPU()})
				require.NoError(t, err)
				var onLine []remedy.Job
				for i := range jobs {
					if c.name == "few" || jobs[i].Line == k {
						onLine = append(onLine, jobs[i])
					}
				}
				switch {
				case c.name == "few":
					require.Less(t, len(onLine), structures/10)
				case k == 0:
					require.Len(t, onLine, perLine)
				}
				require.NotEmpty(t, onLine)
				for i := range onLine {
					if c.name == "stopped" && k == 0 {
						require.Empty(t, onLine[i].Remedies)
						continue
					}
					require.Empty(t, onLine[i].StoppedBy)
					require.NotEmpty(t, onLine[i].Remedies)
					require.True(t, c.name == "few" || k == 1 || onLine[i].Remedies[0].To.UnitsPerString > 10, onLine[i].Remedies[0].To)
				}
			})
		}
	}
}
