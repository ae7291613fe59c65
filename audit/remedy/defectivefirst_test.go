package remedy_test

import (
	"fmt"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// What is taken away from a string are its defective units first, and no sound unit is fitted where none of them is left.
func TestDefectiveUnitsComeDownFirst(t *testing.T) {
	for name, c := range map[string]struct {
		units, defective int16
		want             string
	}{
		"one over, one defective":   {12, 1, "11 × U120B [] [{U120B 3}]"},
		"one over, three defective": {12, 3, "9 × U120B [] [{U120B 9}]"},
		"three over, one defective": {14, 1, "11 × U120B [] [{U120B 9}]"},
		"one over, six defective":   {12, 6, "7 × U120B [{U120B 3}] [{U120B 18}]"},
		"none over, five defective": {11, 5, "11 × U120B [{U120B 15}] [{U120B 15}]"},
	} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			stocked(p, 10, "U120B")
			p.Criteria.DefaultClass = basis.ClassA
			p.Lines[0].LightningKV, p.Lines[0].LongestStringMM = 450, 1606
			for _, row := range rowsAt(p, "3") {
				row.UnitsPerString, row.Defective = c.units, c.defective
			}
			_, jobs := searched(t, p)
			require.Len(t, jobs, 1)
			require.Len(t, jobs[0].Remedies, 1)
			x := &jobs[0].Remedies[0]
			require.Equal(t, c.want, fmt.Sprintf("%s %v %v", x.To, x.Fit, x.Remove))
			require.Equal(t, c.units > 11, x.Changes[0].DefectiveFirst)
			defective := 0
			for i := range x.Changes {
				for _, d := range x.Changes[i].Defective {
					defective += d.Count
				}
			}
			require.Equal(t, 3*int(c.defective), defective)
		})
	}
}

// Sound units take the place of defective ones where others are in stock and theirs is not, and the job says so.
func TestSoundUnitsThatAreNotInStock(t *testing.T) {
	p := sample(t)
	stocked(p, 10, "U120BP")
	rowsAt(p, "3")[2].Defective = 2
	_, jobs := searched(t, p)
	require.Len(t, jobs, 1)
	require.Len(t, jobs[0].Remedies, 1)
	x := &jobs[0].Remedies[0]
	require.Equal(t, remedy.SoundUnits, x.Move)
	require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 2}}, x.Fit)
	require.Equal(t, x.Fit, x.Remove)
	require.Equal(t, remedy.NotStocked, jobs[0].Candidates)
	rowsAt(p, "3")[2].Defective, rowsAt(p, "3")[2].UnitsPerString = 0, 9
	_, jobs = searched(t, p)
	require.Equal(t, remedy.Stocked, jobs[0].Candidates)
	require.Equal(t, "U120BP", jobs[0].Remedies[0].To.Unit)
	rowsAt(p, "3")[2].Defective = 2
	_, jobs = searched(t, p)
	x = &jobs[0].Remedies[0]
	require.Equal(t, "U120BP", x.To.Unit)
	require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 9}}, x.Changes[2].Remove)
	require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 2}}, x.Changes[2].Defective)
}

// A row is said to get what it gets.
func TestARowIsLabelledByWhatHappens(t *testing.T) {
	p := sample(t)
	stocked(p, 10, "U120B")
	p.Criteria.DefaultClass = basis.ClassA
	p.Lines[0].LightningKV, p.Lines[0].LongestStringMM = 450, 1606
	at := rowsAt(p, "3")
	at[0].UnitsPerString, at[1].UnitsPerString, at[2].UnitsPerString = 13, 11, 13
	_, jobs := searched(t, p)
	require.Len(t, jobs, 1)
	x := &jobs[0].Remedies[0]
	require.Equal(t, remedy.FewerUnits, x.Move)
	require.Equal(t, "11 × U120B [] [{U120B 4}]", fmt.Sprintf("%s %v %v", x.To, x.Fit, x.Remove))
	for i := range x.Changes {
		require.Equal(t, remedy.FewerUnits, x.Changes[i].Move)
	}

	p = sample(t)
	stocked(p, 10, "U120B")
	loaded(p, 70)
	for i := range p.Assemblies.Len() { // but for two phases at the end, which bear less than they have to
		p.Assemblies.Row(i).Strings, p.Assemblies.Row(i).Arrangement = 2, audit.Parallel
	}
	for _, row := range rowsAt(p, "7")[1:] {
		row.Strings, row.Arrangement = 1, audit.Single
	}
	_, jobs = searched(t, p)
	require.Len(t, jobs, 1)
	x = &jobs[0].Remedies[0]
	require.Equal(t, "2 strings of 10 × U120B [{U120B 20}] []", fmt.Sprintf("%s %v %v", x.To, x.Fit, x.Remove))
	require.Equal(t, remedy.MoreStrings, x.Move)
	for i := range x.Changes {
		require.Equal(t, remedy.MoreStrings, x.Changes[i].Move)
	}
}
