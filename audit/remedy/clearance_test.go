package remedy_test

import (
	"context"
	"math"
	"slices"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// besideAWall is the sample whose strings at structure 3 lack two units of ten, under a wind that swings strings by about 44°; of the
// line a clearance and fittings are stated, and a wall so far away.
func besideAWall(t *testing.T, wallMM float64) *audit.Project {
	p := sample(t)
	loaded(p, 20)
	p.Criteria.LoadCases[0].WindPa = 250
	p.Lines[0].LightningKV, p.Lines[0].FittingsMM = 450, 300
	p.Lines[0].Room.WallDistanceMM, p.Lines[0].Room.ClearanceMM = wallMM, 500
	for u := range p.Units {
		if unit := &p.Units[u]; unit.Name == "U120B" {
			unit.WeightKg, unit.WindAreaM2, unit.Stocked = 0.1, 0.03, true // so that more strings side by side swing no less
		}
	}
	for _, row := range rowsAt(p, "3") {
		row.UnitsPerString = 8
	}
	return p
}

// swingAt3 is the swing of the strings at structure 3, and how far they may, in degrees.
func swingAt3(t *testing.T, p *audit.Project) (swing, allowed float64) {
	t.Helper()
	r := audited(t, p)
	check := 0
	for r.Checks[check].ID != "swing" {
		check++
	}
	for _, d := range audit.Explain(r.Network, r.Checks[check:check+1], 0, 2) {
		if d.Verdict.Outcome == audit.Meets || d.Verdict.Outcome == audit.FallsShort {
			return d.Verdict.Observed.Number, d.Verdict.Required.Number
		}
	}
	require.Fail(t, "no string swings")
	return 0, 0
}

// A string that gets longer is held to the swing that its own length allows: ten units are refused where eight swing within their limit. Of the
// remedy that serves it is told by how much lower the conductor hangs.
func TestLongerStringsMeetTheirOwnClearance(t *testing.T) {
	swing, _ := swingAt3(t, besideAWall(t, 5000))
	wall := func(units float64) float64 { // at which strings of so many units reach their limit (the formula turned round)
		return 500 + (units*146+300)*math.Sin(swing*math.Pi/180)
	}
	short := (wall(8) + wall(10)) / 2
	p := besideAWall(t, short)
	p.Criteria.DefaultClass = basis.ClassA // eight are enough
	_, allowed := swingAt3(t, p)
	require.Less(t, swing, allowed, "eight units swing within their limit")
	require.InDelta(t, math.Asin((short-500)/(8*146+300))*180/math.Pi, allowed, 1e-9)

	_, jobs := searched(t, besideAWall(t, 5000))
	job := at3(t, jobs)
	require.Len(t, job.Remedies, 1)
	require.Equal(t, remedy.MoreUnits, job.Remedies[0].Move)
	require.Equal(t, 10, job.Remedies[0].To.UnitsPerString)
	for _, change := range job.Remedies[0].Changes {
		require.InDelta(t, 2*146, change.LowerMM, 1e-9)
		require.InDelta(t, 2*146, change.LongerMM, 1e-9)
	}

	_, jobs = searched(t, besideAWall(t, short))
	job = at3(t, jobs)
	for _, x := range job.Remedies {
		require.NotEqual(t, audit.Suspension, x.To.Duty, "%+v", x.To)
	}
}

// at3 is the job of structure 3.
func at3(t *testing.T, jobs []remedy.Job) *remedy.Job {
	t.Helper()
	for i := range jobs {
		if jobs[i].Structure == 2 {
			return &jobs[i]
		}
	}
	require.Fail(t, "structure 3 has no job")
	return nil
}

// Fittings that a stated length tells of stay where all units are new, so that the conductor hangs lower by what the units add.
func TestFittingsStayWhereTheConductorHangsLower(t *testing.T) {
	p := besideAWall(t, 5000)
	p.Direct = append(p.Direct, audit.UnknownDirectValues())
	p.Direct[0].LengthMM = 8*146 + 250
	for _, row := range rowsAt(p, "3") {
		row.Direct = 1
	}
	_, jobs := searched(t, p)
	job := at3(t, jobs)
	require.NotEmpty(t, job.Remedies[0].Changes)
	for _, change := range job.Remedies[0].Changes {
		require.InDelta(t, 2*146, change.LowerMM, 1e-9)
		require.InDelta(t, 2*146, change.LongerMM, 1e-9)
	}
}

// A second string beside each is no remedy for what swings too far, by its weight; where strength asks for it, it is not known how far it may swing where
// the fittings that are stated are of one string, in the length of its row.
func TestNoSecondStringForItsWeight(t *testing.T) {
	heavy := func(units int16) *audit.Project {
		p := besideAWall(t, 5000)
		unitOf(p, "U120B").WeightKg = 5
		for _, row := range rowsAt(p, "3") {
			row.UnitsPerString = units
		}
		return p
	}
	swing, _ := swingAt3(t, heavy(10))
	p := heavy(8)
	p.Lines[0].Room.ClearanceMM, p.Lines[0].SwingLimitDeg, p.Lines[0].LongestStringMM = math.NaN(), swing-0.01, 1460
	_, jobs := searched(t, p)
	for _, x := range at3(t, jobs).Remedies {
		require.Equal(t, 1, x.To.Strings, "%+v", x.To)
	}

	p = heavy(10)
	for _, row := range rowsAt(p, "3") {
		states(p, row, func(d *audit.DirectValues) { d.RatingKN = 5 })
	}
	_, jobs = searched(t, p)
	job := at3(t, jobs)
	require.Empty(t, job.StoppedBy)
	require.Equal(t, 3, job.Remedies[0].To.Strings)

	for _, row := range rowsAt(p, "3") {
		p.Direct[row.Direct-1].LengthMM = 10*146 + 350 // by more than the line states
	}
	r, jobs := searched(t, p)
	job = at3(t, jobs)
	require.Empty(t, job.Remedies)
	require.Equal(t, "swing", r.Checks[job.StoppedBy[0].Check].ID)
	require.Contains(t, job.StoppedBy[0].Sentence, "cannot be judged: its length with fittings is not known, since what is stated of fittings is of another number of strings")

	p = besideAWall(t, 5000)
	p.Lines[0].FittingsMM = math.NaN()
	for _, row := range rowsAt(p, "3") {
		row.UnitsPerString = 10
		states(p, row, func(d *audit.DirectValues) { d.RatingKN = 5 })
	}
	r, jobs = searched(t, p)
	for _, stop := range at3(t, jobs).StoppedBy {
		require.Equal(t, "swing", r.Checks[stop.Check].ID, "where none are stated nothing but swing rests on them: %s", stop.Sentence)
	}
}

// The conductor hangs lower by the units that are added, whatever the Length of the row is, and on longer legs of a V set by more than they get
// longer. Legs have the fittings in them: of 1168 mm of units and 300 mm of the line they are 1468 mm, and then 1760 mm:
// sqrt(1.76² − (1.468·sin 45°)²) − 1.468·cos 45° = 383.3 mm; with 250 mm in the stated length sqrt(1.71² − (1.418·sin 45°)²) − 1.418·cos 45° = 382.5 mm
// (computed).
func TestHowMuchLowerTheConductorHangs(t *testing.T) {
	vSet := func(row *audit.AssemblyRow) { row.Strings, row.Arrangement, row.VAngleDeg = 2, audit.VSet, 90 }
	for name, c := range map[string]struct {
		change     func(row *audit.AssemblyRow)
		fittingsMM float64
		want       float64
		lower      bool
	}{
		"length not readable":           {func(row *audit.AssemblyRow) { row.Faulty = row.Faulty.With(audit.CellLength) }, 300, 2 * 146, false},
		"V set":                         {vSet, 300, 383.3, false},
		"V set, fittings in its length": {func(row *audit.AssemblyRow) { vSet(row); row.Direct = 1 }, math.NaN(), 382.5, false},
		"V set, angle not known":        {func(row *audit.AssemblyRow) { row.Strings, row.Arrangement = 2, audit.VSet }, 300, 0, true},
	} {
		p := besideAWall(t, 5000)
		p.Lines[0].FittingsMM = c.fittingsMM
		p.Direct = append(p.Direct, audit.UnknownDirectValues())
		p.Direct[0].LengthMM = 8*146 + 250
		for _, row := range rowsAt(p, "3") {
			c.change(row)
		}
		_, jobs := searched(t, p)
		job := at3(t, jobs)
		require.NotEmpty(t, job.Remedies, name)
		require.NotEmpty(t, job.Remedies[0].Changes, name)
		for _, change := range job.Remedies[0].Changes {
			require.InDelta(t, c.want, change.LowerMM, 0.1, name)
			require.InDelta(t, 2*146, change.LongerMM, 1e-9, name)
			require.Equal(t, c.lower, change.Lower, name)
		}
	}
}

// Longer legs of a V set hang on the same attachments, at 2·asin(1468·sin 30°/1760) = 49.30°, and the conductor by 328.3 mm lower, where a wall that leans by
// 0.2 is nearer: (770 − 0.2·1271.3)·cos 11.31° = 505.7 mm from it, and (770 − 0.2·1599.6)·cos 11.31° = 441.3 mm then (computed).
func TestLongerLegsOfAVSetMeetTheirOwnClearance(t *testing.T) {
	vSets := func(wallMM float64) *audit.Project {
		p := besideAWall(t, wallMM)
		p.Criteria.LoadCases[0].WindPa, p.Lines[0].Room.WallLean = 100, 0.2
		for _, row := range rowsAt(p, "3") {
			row.Strings, row.Arrangement, row.VAngleDeg = 2, audit.VSet, 60
		}
		return p
	}
	p := vSets(1100)
	r, jobs := searched(t, p)
	job := at3(t, jobs)
	require.NotEmpty(t, job.Remedies)
	require.Equal(t, remedy.MoreUnits, job.Remedies[0].Move)
	require.Equal(t, 10, job.Remedies[0].To.UnitsPerString)
	done := remedy.Apply(r.Project, jobs)
	for _, row := range rowsAt(done, "3") {
		require.InDelta(t, 49.296, row.VAngleDeg, 0.001)
	}
	distance := func(p *audit.Project) float64 {
		r := audited(t, p)
		check := 0
		for r.Checks[check].ID != "v-set-clearance" {
			check++
		}
		for _, d := range audit.Explain(r.Network, r.Checks[check:check+1], 0, 2) {
			if d.Verdict.Outcome <= audit.FallsShort {
				return d.Verdict.Observed.Number
			}
		}
		return math.NaN()
	}
	require.InDelta(t, 505.7, distance(vSets(770)), 0.05)
	p = vSets(770)
	for _, row := range rowsAt(p, "3") {
		row.UnitsPerString, row.VAngleDeg = 10, 49.296
	}
	require.InDelta(t, 441.3, distance(p), 0.05)

	r, jobs = searched(t, vSets(770))
	job = at3(t, jobs)
	for _, x := range job.Remedies {
		require.NotEqual(t, audit.Suspension, x.To.Duty, "%+v", x.To)
	}
	require.NotEmpty(t, job.StoppedBy)
	require.Equal(t, "v-set-clearance", r.Checks[job.StoppedBy[0].Check].ID)

	p = vSets(1100)
	p.Lines[0].FittingsMM = math.NaN()
	_, jobs = searched(t, p)
	for _, x := range at3(t, jobs).Remedies { // whose angle is not known
		require.NotEqual(t, audit.Suspension, x.To.Duty, "%+v", x.To)
	}
}

// amongWalls states walls and clearances of the lines of a random project, and hangs a third of its single suspension strings in a V.
func amongWalls(p *audit.Project) {
	nan := math.NaN()
	for i := range p.Lines {
		k := (p.Assemblies.Len() + i) % 5
		line := &p.Lines[i]
		line.FittingsMM = []float64{300, nan, 250, 300, 150}[k]
		line.Room.WallDistanceMM, line.Room.ClearanceMM = []float64{900, 1500, 1500, nan, 2200}[k], []float64{600, 900, 800, 700, nan}[k]
		line.Room.WallLean = []float64{nan, 0.1, 0.2, nan, nan}[k]
	}
	for i := range p.Assemblies.Len() {
		if row := p.Assemblies.At(i); row.Arrangement == audit.VSet || row.Duty == audit.Suspension && row.Strings == 1 && i%3 == 0 {
			to := p.Assemblies.Row(i)
			to.Arrangement, to.Strings, to.VAngleDeg = audit.VSet, 2, []float32{50, 90, 110, 0}[i/3%4]
		}
	}
}

// What jobs say they mend is mended, and nothing new falls short, among walls and with V sets too.
func TestRandomLoopsAmongWalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := randomProject(t)
		amongWalls(p)
		r := audited(t, p.Clone())
		jobs, err := remedy.Search(context.Background(), r, remedy.Options{Workers: 1})
		require.NoError(t, err)
		requireLoop(t, r, jobs)
		requireNothingLost(t, r, jobs, false)
	})
}

// A V set of which a leg goes slack already gets the units that it lacks, which narrow it; that the leg goes slack, an advisory, is told.
func TestSlackVSetGetsItsUnits(t *testing.T) {
	p := besideAWall(t, 5000)
	for _, row := range rowsAt(p, "3") {
		row.Strings, row.Arrangement, row.VAngleDeg = 2, audit.VSet, 60
	}
	r, jobs := searched(t, p)
	job := at3(t, jobs)
	require.Empty(t, job.StoppedBy)
	require.NotEmpty(t, job.Remedies)
	require.True(t, slices.ContainsFunc(job.Open, func(o remedy.Open) bool { return r.Checks[o.Check].ID == "slack-leg" }), "%+v", job.Open)
}
