package remedy_test

import (
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// Of class e 16 × U120B are too long for 1460 mm, and units of coupling 20 are not looked at: what stops it says so.
func TestCouplingsThatBoundTheSearchAreTold(t *testing.T) {
	for _, other := range []bool{false, true} {
		p := sample(t)
		p.Criteria.DefaultClass, p.Lines[0].LongestStringMM = basis.ClassE, 1460
		stocked(p, 10, "U120B")
		if other {
			unit := *unitOf(p, "U120B")
			unit.Name, unit.Coupling, unit.CreepageMM = "LONG", "20", 600
			p.Units = append(p.Units, unit)
		}
		r, jobs := searched(t, p)
		stop := jobAt(r, jobs, "3").StoppedBy[0]
		require.False(t, stop.Unjudged)
		if !other {
			require.Empty(t, stop.Couplings)
			require.NotContains(t, stop.Sentence, "coupling")
			continue
		}
		require.Equal(t, []string{"16"}, stop.Couplings)
		require.Contains(t, stop.Sentence, " Sought were units of coupling 16 alone, as what hangs there has.")
	}
}

// A phase that nothing hangs in gets what the phases beside it get, where that serves: 13 × U120B in class d, although fewer of U120BP would do.
func TestOneMakeUpWhereAPhaseIsMissing(t *testing.T) {
	p := sample(t)
	p.Criteria.DefaultClass = basis.ClassD
	stocked(p, 10, "U120B", "U120BP")
	p.Assemblies.Delete(func(i int) bool {
		a := p.Assemblies.At(i)
		return p.Texts.Get(a.Number) == "3" && p.Symbols.Text(a.Phase) == "C"
	})
	p.RowsRead--
	r, jobs := searched(t, p)
	job := jobAt(r, jobs, "3")
	require.Empty(t, job.StoppedBy)
	require.Len(t, job.Remedies, 2)
	require.True(t, job.Remedies[1].Unregistered)
	require.Equal(t, "13 × U120B", job.Remedies[0].To.String())
	require.Equal(t, job.Remedies[0].To, job.Remedies[1].To)
}

// Class c at 145 kV needs 34.7·145/√3 = 2905 mm (computed): 97 units of 30 mm, more than are tried one after the other, and 194 of 15 mm, more than are
// tried at all.
func TestSoughtAreAsManyUnitsAsACheckAsksFor(t *testing.T) {
	for creepageMM, want := range map[float64]string{30: "97 × U120B", 15: ""} {
		p := sample(t)
		stocked(p, 10, "U120B")
		unitOf(p, "U120B").CreepageMM = creepageMM
		r, jobs := searched(t, p)
		job := jobAt(r, jobs, "3")
		if want == "" {
			require.Empty(t, job.Remedies)
			require.Contains(t, job.StoppedBy[0].Sentence, "150 × U120B has 2250 mm of creepage")
			require.Contains(t, job.StoppedBy[0].Sentence, " Strings of more units were not tried.")
			continue
		}
		require.Empty(t, job.StoppedBy)
		require.Equal(t, want, job.Remedies[0].To.String())
	}
}

// Strings that swing too far, and are too short for class e, give way to tension sets, which bring fittings of their own: units of any coupling are sought for those, so that where none serves what stops
// it names no coupling, and says what was sought.
func TestTensionSetsAreSoughtOfAnyCoupling(t *testing.T) {
	p := heldInDegrees(t, 10, -0.5)
	p.Criteria.DefaultClass, p.Lines[0].LongestStringMM = basis.ClassE, 1460
	stocked(p, 10, "U120B")
	unit := *unitOf(p, "U120B")
	unit.Name, unit.Coupling = "OTHER", "20"
	p.Units = append(p.Units, unit)
	_, jobs := searched(t, p)
	job := at3(t, jobs)
	require.Empty(t, job.Remedies)
	require.False(t, job.StoppedBy[0].Unjudged)
	require.Empty(t, job.StoppedBy[0].Couplings)
	require.Contains(t, job.StoppedBy[0].Sentence, " Sought were units of coupling 16, as what hangs there has, and tension sets of units of any coupling.")
}
