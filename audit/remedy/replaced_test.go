package remedy

import (
	"math"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

func TestRowsWithTheWorkDone(t *testing.T) {
	p := &audit.Project{}
	remark, err := p.Texts.Add("two sheds broken")
	require.NoError(t, err)
	before := audit.AssemblyRow{
		RowOwn:  audit.RowOwn{Defective: -1, Remarks: remark, Installed: 100, Inspected: 200},
		RowSaid: audit.RowSaid{Makeup: 1, UnitsPerString: 9, Strings: 1, VAngleDeg: float32(math.NaN())},
	}

	as := before
	as.Defective, as.Arrangement = 0, audit.Single
	require.True(t, before.Equals(asDone(p, &before, as, false)), "nothing of it changes")

	for name, change := range map[string]func(*audit.AssemblyRow){
		"other strings":    func(r *audit.AssemblyRow) { r.Strings = 2 },
		"more units":       func(r *audit.AssemblyRow) { r.UnitsPerString = 10 },
		"another unit":     func(r *audit.AssemblyRow) { r.Makeup = 2 },
		"another duty":     func(r *audit.AssemblyRow) { r.Duty = audit.Tension },
		"no stated figure": func(r *audit.AssemblyRow) { r.Direct = 3 },
	} {
		as := before
		change(&as)
		as.Installed = audit.NoDay
		done := asDone(p, &before, as, true)
		require.Equal(t, [2]audit.Day{audit.NoDay, audit.NoDay}, [2]audit.Day{done.Installed, done.Inspected}, name)
		require.Equal(t, "replaced; of what hung before: two sheds broken", p.Texts.Get(done.Remarks), name)
		require.True(t, as.Equals(asDone(p, &before, as, false)), "%s, with units that stay", name)
		as.Installed = 300
		require.Equal(t, audit.Day(300), asDone(p, &before, as, true).Installed, "%s, judged as of a day", name)
	}
}
