package remedy_test

import (
	"math"
	"slices"
	"testing"

	"dryarc/audit"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// heldInDegrees is the sample whose line states how far strings may swing in degrees, by so much more than strings of ten at structure 3 do, and no clearance. Units weigh
// 10 kg, so that longer strings swing less.
func heldInDegrees(t *testing.T, units int16, moreDeg float64) *audit.Project {
	sketch := func(units int16) *audit.Project {
		p := besideAWall(t, 5000)
		unitOf(p, "U120B").WeightKg = 10
		for _, row := range rowsAt(p, "3") {
			row.UnitsPerString = units
		}
		return p
	}
	swing, _ := swingAt3(t, sketch(10))
	p := sketch(units)
	p.Lines[0].Room.ClearanceMM, p.Lines[0].Room.WallDistanceMM, p.Lines[0].SwingLimitDeg = math.NaN(), math.NaN(), swing+moreDeg
	return p
}

// A limit in degrees is that of the string that hangs: a longer one, which swings less by its weight, mends nothing by it, one of another unit that is no longer does. Where
// no such unit is to be had tension sets hang instead.
func TestNoLongerStringMendsASwingStatedInDegrees(t *testing.T) {
	p := heldInDegrees(t, 10, -0.5)
	longer := heldInDegrees(t, 16, -0.5)
	swing, allowed := swingAt3(t, longer)
	require.Less(t, swing, allowed, "sixteen would meet what is stated")

	_, jobs := searched(t, p)
	job := at3(t, jobs)
	require.Empty(t, job.StoppedBy)
	require.Equal(t, []remedy.Move{remedy.OtherDuty, remedy.NewAssembly}, movesOf(job))

	heavy := *unitOf(p, "U120B")
	heavy.Name, heavy.WeightKg = "heavy", 20
	p.Units = append(p.Units, heavy)
	_, jobs = searched(t, p)
	job = at3(t, jobs)
	require.Equal(t, []remedy.Move{remedy.OtherUnit}, movesOf(job))
	require.Equal(t, "10 × heavy", job.Remedies[0].To.String())
	require.False(t, job.Remedies[0].Changes[0].SwingOfShorter)

	unitOf(p, "heavy").SpacingMM = 170
	_, jobs = searched(t, p)
	require.Equal(t, []remedy.Move{remedy.OtherDuty, remedy.NewAssembly}, movesOf(at3(t, jobs)))
}

// Where no tension set serves either it is said why the longer string is not proposed: for all that is known it may serve.
func TestSaysThatTheSwingLimitIsOfTheShorterString(t *testing.T) {
	p := heldInDegrees(t, 10, -0.5)
	p.Criteria.InsulatorFactor.Tension = 100
	r, jobs := searched(t, p)
	job := at3(t, jobs)
	require.Empty(t, job.Remedies)
	require.Len(t, job.StoppedBy, 1)
	require.True(t, job.StoppedBy[0].Unjudged)
	require.Equal(t, "swing", r.Checks[job.StoppedBy[0].Check].ID)
	require.Contains(t, job.StoppedBy[0].Sentence, "cannot be judged: the swing limit is stated in degrees, for the shorter string that hangs; state Arm length or Wall distance and Clearance")
}

// Where the swing meets and creepage asks for a longer string it is proposed, and said once that its swing is held against the limit of the shorter one; not where a
// clearance tells how far the longer one may swing.
func TestLongerStringsSayWhatTheirSwingIsHeldAgainst(t *testing.T) {
	p := heldInDegrees(t, 8, 5)
	_, jobs := searched(t, p)
	job := at3(t, jobs)
	require.Equal(t, []remedy.Move{remedy.MoreUnits}, movesOf(job))
	require.True(t, job.Remedies[0].Changes[0].SwingOfShorter)
	said := slices.DeleteFunc(slices.Clone(job.Trace), func(s string) bool {
		return s != "Swing was held against the limit in degrees that is stated for the shorter string which hangs; state Arm length or Wall distance and Clearance to have the longer one judged."
	})
	require.Len(t, said, 1)

	p.Lines[0].Room.ClearanceMM, p.Lines[0].Room.WallDistanceMM = 500, 5000
	_, jobs = searched(t, p)
	job = at3(t, jobs)
	require.Equal(t, []remedy.Move{remedy.MoreUnits}, movesOf(job))
	require.False(t, job.Remedies[0].Changes[0].SwingOfShorter)
}

func movesOf(j *remedy.Job) (moves []remedy.Move) {
	for i := range j.Remedies {
		moves = append(moves, j.Remedies[i].Move)
	}
	return moves
}
