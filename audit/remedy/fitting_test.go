package remedy_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// fittedAt gives a row ratings of clamp, yoke, and ball and socket.
func fittedAt(p *audit.Project, row *audit.AssemblyRow, kN audit.Ratings) {
	direct := audit.UnknownDirectValues()
	direct.FittingsKN = kN
	p.Direct = append(p.Direct, direct)
	row.Direct = uint32(len(p.Direct))
}

// Stronger units mend no yoke: the search says what it is that stops it, and offers none. 30 kN on the yoke by 2.5 needs 75 kN, more where the
// span rises (computed).
func TestNoUnitMendsAFitting(t *testing.T) {
	unknown := math.NaN()
	for name, c := range map[string]struct {
		kN     audit.Ratings
		change func(p *audit.Project)
		want   string // to hang; else stop
		stop   string
	}{
		"yoke": {audit.Ratings{unknown, 70, unknown}, func(*audit.Project) {}, "", "No units mend it: the yoke is rated 70 kN and needs 75.08 kN. Stronger ones, of that or more, are needed on 3 assemblies."},
		"yoke, where units are too weak as well": {audit.Ratings{unknown, 70, unknown}, func(p *audit.Project) {
			unitOf(p, "U120B").RatingKN = 50
		}, "", "No units mend it: the yoke is rated 70 kN and needs "},
		"clamp": {audit.Ratings{70, unknown, unknown}, func(*audit.Project) {}, "", "No units mend it: the clamp is rated 70 kN and needs 75.08 kN. Stronger ones, of that or more, are needed on 3 assemblies, one for each subconductor."},
		"clamp and yoke": {audit.Ratings{70, 72, unknown}, func(*audit.Project) {}, "", "No units mend it: the clamp is rated 70 kN and needs 75.08 kN. Stronger ones, of that or more, are needed on 3 assemblies, one for each subconductor. " +
			"The yoke is too weak as well: it is rated 72 kN and needs 75.08 kN. Stronger ones, of that or more, are needed on 3 assemblies."},
		"all of them": {audit.Ratings{71, 70, 60}, func(*audit.Project) {}, "", "No units mend it: the ball and socket is rated 60 kN and needs 75.08 kN. Stronger ones, of that or more, are needed on 3 assemblies, in each string. " +
			"The yoke is too weak as well: it is rated 70 kN and needs 75.08 kN. Stronger ones, of that or more, are needed on 3 assemblies. The clamp is too weak as well: it is rated 71 kN and needs 75.08 kN. Stronger ones, of that or more, are needed on 3 assemblies, one for each subconductor."},
		"clamp and arcing horns": {audit.Ratings{70, unknown, unknown}, func(p *audit.Project) {
			for i := range p.Lines {
				p.Lines[i].LightningKV = 650
			}
			for _, row := range rowsAt(p, "1") {
				p.Direct[row.Direct-1].ArcingMM = 1000
			}
		}, "", "on 3 assemblies, one for each subconductor. 10 × U120B withstands 543 kV of lightning impulse"},
		"ball and socket that needs more with a string broken": {audit.Ratings{unknown, unknown, 30}, func(p *audit.Project) {
			p.Criteria.InsulatorFactor.Fitting, p.Criteria.InsulatorFactor.FittingOneStringBroken = 4.4, 3.1
			for _, row := range rowsAt(p, "1") {
				row.Strings, row.Arrangement = 2, audit.Parallel
			}
		}, "", "No units mend it: the ball and socket is rated 30 kN and needs 93.1"},
		"ball and socket, which more strings spare": {audit.Ratings{unknown, unknown, 70}, func(*audit.Project) {}, "2 strings of 10 × U120B", ""},
		"ball and socket, and a yoke that bears it": {audit.Ratings{unknown, 76, 70}, func(*audit.Project) {}, "2 strings of 10 × U120B", ""},
		"units too weak, and fittings that are not": {audit.Ratings{80, 80, 80}, func(p *audit.Project) {
			p.Criteria.InsulatorFactor.Tension = 4.5 // 135 kN
		}, "2 strings of 10 × U120B", ""},
	} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			loaded(p, 30)
			p.Criteria.InsulatorFactor.Fitting, p.Criteria.InsulatorFactor.FittingOneStringBroken = 2.5, 1.5
			for _, row := range rowsAt(p, "1") {
				fittedAt(p, row, c.kN)
			}
			c.change(p)
			r, jobs := searched(t, p)
			require.NotEmpty(t, jobs)
			job := jobs[0]
			require.Equal(t, "1", r.Network.Number(job.Structure))
			if c.want == "" {
				require.Empty(t, job.Remedies)
				require.Contains(t, job.StoppedBy[0].Sentence, c.stop)
				require.Equal(t, strings.Count(c.stop, "as well"), strings.Count(job.StoppedBy[0].Sentence, "as well"))
				require.Equal(t, "fitting-strength", r.Checks[job.StoppedBy[0].Check].ID)
				return
			}
			require.Empty(t, job.StoppedBy)
			require.Equal(t, c.want, job.Remedies[0].To.String())
			with := remedy.Apply(r.Project, jobs)
			for i := range with.Assemblies.Len() {
				if row := with.Assemblies.At(i); with.Texts.Get(row.Number) == "1" {
					require.Equal(t, bitsOf(c.kN), bitsOf(with.Figures(&row).FittingsKN), "fittings stay")
				}
			}
		})
	}
}

func bitsOf(kN audit.Ratings) audit.FigureBits {
	d := audit.DirectValues{FittingsKN: kN}
	return d.Bits()
}

// Where units of another material need less, they serve. 30 kN by 4.5 is 135 kN, by 3.5 it is 105 kN (computed).
func TestUnitsOfAnotherMaterialServe(t *testing.T) {
	p := sample(t)
	loaded(p, 30)
	p.Criteria.InsulatorFactor.Tension = 4.5
	p.Criteria.InsulatorFactor.By = []audit.ExactFactor{{For: []audit.FactorOf{audit.TensionFactor}, Materials: []string{"glass"}, Factor: 3.5, Basis: "a study"}}
	glass := *unitOf(p, "U120B")
	glass.Name, glass.Material, glass.Stocked = "G120", "glass", true
	unitOf(p, "U120B").Material = "porcelain"
	p.Units = append(p.Units, glass)
	_, jobs := searched(t, p)
	require.NotEmpty(t, jobs)
	require.Equal(t, "10 × G120", jobs[0].Remedies[0].To.String())
}

// Work is done on the day of the audit or later, so that no factor for what was installed before is for it: 60 kN by 2 serve where 135 kN by 4.5 fall
// short (computed). By a factor for what a later year brings it meets by each, since when it is done nobody knows.
func TestWorkIsOfTheDayOfTheAuditOrLater(t *testing.T) {
	before := func(year int) audit.ExactFactor {
		return audit.ExactFactor{For: []audit.FactorOf{audit.TensionFactor}, InstalledBefore: year, Factor: 4.5, Basis: "a study"}
	}
	for name, c := range map[string]struct {
		asOf      audit.Day
		by        []audit.ExactFactor
		serves    string
		installed audit.Day
	}{
		"before the day of the audit":      {audit.DayOf("2026-06-30"), []audit.ExactFactor{before(1985)}, "10 × N130", audit.DayOf("2026-06-30")},
		"the year of the audit":            {audit.DayOf("2026-01-01"), []audit.ExactFactor{before(2026)}, "10 × N130", audit.DayOf("2026-01-01")},
		"from years gone on":               {audit.DayOf("2026-06-30"), []audit.ExactFactor{before(1985), {For: before(1).For, InstalledFrom: 2020, Factor: 4.5, Basis: "a study"}}, "10 × N140", audit.DayOf("2026-06-30")},
		"the year after":                   {audit.DayOf("2026-06-30"), []audit.ExactFactor{before(2027)}, "10 × N140", audit.NoDay},
		"the day of the audit is not said": {0, []audit.ExactFactor{before(1985)}, "10 × N140", audit.NoDay},
	} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			loaded(p, 30)
			p.AsOf, p.Criteria.InsulatorFactor.By = c.asOf, c.by
			for i := range p.Assemblies.Len() {
				p.Assemblies.Row(i).Installed = audit.YearOf(1970)
			}
			for _, row := range rowsAt(p, "1") {
				row.Installed = audit.YearOf(1970)
			}
			for _, kN := range []float64{130, 140} {
				other := *unitOf(p, "U120B")
				other.Name, other.RatingKN, other.Stocked = fmt.Sprintf("N%g", kN), kN, true
				p.Units = append(p.Units, other)
			}
			_, jobs := searched(t, p)
			require.NotEmpty(t, jobs)
			require.Equal(t, c.serves, jobs[0].Remedies[0].To.String())
			done := remedy.Apply(p, jobs[:1])
			found := false
			for i := range done.Assemblies.Len() {
				row := done.Assemblies.At(i)
				if row.Equals(p.Assemblies.At(i)) {
					continue
				}
				found = true
				require.Equal(t, c.installed, row.Installed)
			}
			require.True(t, found)
		})
	}
}
