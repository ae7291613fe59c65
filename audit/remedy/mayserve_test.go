package remedy_test

import (
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// jobAt is the job of a structure; nil where it has none.
func jobAt(r *audit.Result, jobs []remedy.Job, number string) *remedy.Job {
	for i := range jobs {
		if r.Network.Number(jobs[i].Structure) == number {
			return &jobs[i]
		}
	}
	return nil
}

// 65 kN with a factor of 2 needs 130 kN, for which one string of 120 kN is too weak and two are enough, as far as the other load cases go.
// What a tension that cannot be calculated needs nobody knows.
func TestWhatMayServeIsToldBeforeALimit(t *testing.T) {
	heavy := func(cases ...audit.LoadCase) *audit.Project {
		p := sample(t)
		loaded(p, 65)
		p.Criteria.LoadCases = append(p.Criteria.LoadCases, cases...)
		stocked(p, 10, "U120B")
		return p
	}
	r, jobs := searched(t, heavy())
	job := jobAt(r, jobs, "1")
	require.Empty(t, job.StoppedBy)
	require.Equal(t, "2 strings of 10 × U120B", job.Remedies[0].To.String())

	r, jobs = searched(t, heavy(audit.LoadCase{Name: "ice", IceMM: 12.5, IceDensityKgPerM3: 900, From: audit.CalculatedTension, Factor: 1}))
	job = jobAt(r, jobs, "1")
	require.Empty(t, job.Remedies)
	require.Len(t, job.StoppedBy, 1)
	require.True(t, job.StoppedBy[0].Unjudged)
	require.Contains(t, job.StoppedBy[0].Sentence, "strength of 2 strings of 10 × U120B cannot be judged: ")
	require.Contains(t, job.StoppedBy[0].Sentence, "everyday tension or temperature of the line not stated")

	// With strings that are too short for the class whatever hangs, it is that which stops it.
	p := heavy(audit.LoadCase{Name: "ice", IceMM: 12.5, IceDensityKgPerM3: 900, From: audit.CalculatedTension, Factor: 1})
	p.Criteria.DefaultClass, p.Lines[0].LongestStringMM = basis.ClassE, 1460
	r, jobs = searched(t, p)
	stop := jobAt(r, jobs, "1").StoppedBy[0]
	require.False(t, stop.Unjudged)
	require.Equal(t, "string-too-long", r.Checks[stop.Check].ID)
}

// A stated length that cannot be read does not keep strings from hanging that are no longer than the units that hang now: 9 × U120BP are
// 1314 mm long. What the fittings of it add to a longer string is not known, so the longest string of the line is no limit that is known to bind.
func TestLengthThatCannotBeRead(t *testing.T) {
	unread := func(longestMM float64, units ...string) *audit.Project {
		p := sample(t)
		loaded(p, 20)
		p.Criteria.DefaultClass, p.Lines[0].LightningKV, p.Lines[0].LongestStringMM = basis.ClassD, 650, longestMM
		for _, row := range rowsAt(p, "3") {
			unreadable(row, audit.CellLength)
		}
		stocked(p, 10, units...)
		return p
	}
	r, jobs := searched(t, unread(2300, "U120B", "U120BP"))
	job := jobAt(r, jobs, "3")
	require.Empty(t, job.StoppedBy)
	require.Equal(t, "U120BP", job.Remedies[0].To.Unit)
	require.LessOrEqual(t, job.Remedies[0].To.UnitsPerString*146, 1460)
	require.True(t, math.IsNaN(job.Remedies[0].LengthMM), "of which the fittings stay as little known")

	r, jobs = searched(t, unread(2300, "U120B"))
	stop := jobAt(r, jobs, "3").StoppedBy[0]
	require.True(t, stop.Unjudged)
	require.False(t, stop.TooLong)
	require.Equal(t, "13 × U120B is 1898 mm without fittings; what those of 10 × U120B add cannot be told from the register, and the line allows 2300 mm.", stop.Sentence)

	// 13 are too long for 1890 mm whatever their fittings.
	r, jobs = searched(t, unread(1890, "U120B"))
	stop = jobAt(r, jobs, "3").StoppedBy[0]
	require.False(t, stop.Unjudged)
	require.Contains(t, stop.Sentence, "the line allows 1890 mm")
}

// Fewer units of which it cannot be judged whether they serve are not passed over either: what a string of 13 was tested to withstand says nothing
// of one of 11, and nothing else is in stock that could hang.
func TestFewerThatMayServe(t *testing.T) {
	p := sample(t)
	p.Criteria.DefaultClass, p.Lines[0].LightningKV, p.Lines[0].LongestStringMM = basis.ClassA, 450, 1606
	for _, row := range rowsAt(p, "3") {
		row.UnitsPerString = 13
		states(p, row, func(d *audit.DirectValues) { d.LightningKV = 1200 })
	}
	pin := *unitOf(p, "U120B")
	pin.Name, pin.Kind, pin.Stocked = "PIN", basis.Pin, true
	p.Units = append(p.Units, pin)
	r, jobs := searched(t, p)
	job := jobAt(r, jobs, "3")
	require.Empty(t, job.Remedies)
	require.True(t, job.StoppedBy[0].Unjudged, job.StoppedBy[0].Sentence)
	require.Contains(t, job.StoppedBy[0].Sentence, "of 11 × U120B cannot be judged")
}
