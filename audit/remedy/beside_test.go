package remedy_test

import (
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// A phase that is missing gets a string of what is in stock, unlike those beside it: the note that this brings is named.
func TestANoteThatTheWorkBringsIsNamed(t *testing.T) {
	p := sample(t)
	for u := range p.Units {
		p.Units[u].Stocked = false
	}
	stocked(p, 10, "U160BL")
	row := rowsAt(p, "3")[0]
	number := row.Number
	p.Assemblies.Delete(func(i int) bool {
		return p.Assemblies.At(i).Number == number && p.Assemblies.At(i).Phases == row.Phases
	})
	p.RowsRead = p.Assemblies.Len()
	r, jobs := searched(t, p)
	require.Len(t, jobs, 1)
	require.Len(t, jobs[0].Remedies, 1)
	require.Equal(t, "U160BL", jobs[0].Remedies[0].To.Unit)
	at := slices.IndexFunc(jobs[0].Open, func(o remedy.Open) bool { return o.Brought })
	require.GreaterOrEqual(t, at, 0)
	require.Equal(t, "odd-one-out", r.Checks[jobs[0].Open[at].Check].ID)
	require.Contains(t, jobs[0].Trace[len(jobs[0].Trace)-1], "The work brings this note: ")
	require.Empty(t, jobs[0].AlsoMends)
}

// In class b 8 × 295 mm are enough for an end (computed from IEC TS 60815-1:2008), where the line hangs from ten: an end that stays shorter is
// named.
func TestAnAdvisoryThatStandsIsNamed(t *testing.T) {
	for name, c := range map[string]struct {
		units [3]int16
		hangs string
	}{
		"all phases alike": {[3]int16{7, 7, 7}, "8 × U120B"},
		"unlike phases":    {[3]int16{7, 9, 7}, "9 × U120B"},
	} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			stocked(p, 10, "U120B")
			p.Criteria.DefaultClass = basis.ClassB
			for i, row := range rowsAt(p, "7") {
				row.UnitsPerString = c.units[i]
			}
			r, jobs := searched(t, p)
			require.Len(t, jobs, 1)
			require.Equal(t, c.hangs, jobs[0].Remedies[0].To.String())
			named := 0
			for _, o := range jobs[0].Open {
				if r.Checks[o.Check].ID == "tension-fewer-units" {
					require.Equal(t, audit.NoReason, o.Reason)
					named++
				}
			}
			require.Equal(t, 1, named)
			require.Contains(t, jobs[0].Trace[len(jobs[0].Trace)-1], "The work leaves this advisory: ")
		})
	}
}

// By itself the work at 4 leaves its strings unlike those around it, at 2, 3, 5 and 6; with the section divided at 3 there are too few around it to
// tell.
func TestWhatAnEarlierProofToldIsForgotten(t *testing.T) {
	for name, c := range map[string]struct {
		limitKM float64
		brings  bool
	}{"the section as it is": {2, true}, "the section divided": {1.2, false}} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			for u := range p.Units {
				p.Units[u].Stocked = false
			}
			stocked(p, 10, "U120BP")
			for i := range p.Structures.Len() {
				p.Structures.Row(i).Lat = 50
			}
			p.Structures.Row(2).Lat += 0.000036 // 3 turns, those beside it by half as much
			at4 := rowsAt(p, "4")[0].Number
			p.Assemblies.Delete(func(i int) bool {
				a := p.Assemblies.At(i)
				return a.Number == at4 && (a.Duty == audit.Jumper || a.Side == audit.Ahead)
			})
			p.RowsRead = p.Assemblies.Len()
			for i, row := range rowsAt(p, "4") {
				row.Duty, row.Side, row.UnitsPerString = audit.Suspension, audit.NoSide, [...]int16{8, 7, 9}[i] // nothing to compare with today
			}
			p.Lines[0].SectionLimitKM = c.limitKM
			r, jobs := searched(t, p)
			isHere := func(structure int) bool { return r.Network.Number(structure) == "4" }
			isNote := func(check int) bool { return r.Checks[check].ID == "odd-one-out" }
			at := slices.IndexFunc(jobs, func(j remedy.Job) bool { return isHere(j.Structure) })
			require.GreaterOrEqual(t, at, 0)
			require.Equal(t, "9 × U120BP", jobs[at].Remedies[0].To.String())
			after := audited(t, remedy.Apply(r.Project, jobs))
			require.Equal(t, c.brings, slices.ContainsFunc(after.Exceptions, func(e audit.Exception) bool { return isNote(e.Check) && isHere(e.Structure) }))
			require.Equal(t, c.brings, slices.ContainsFunc(jobs[at].Open, func(o remedy.Open) bool { return isNote(o.Check) }))
			require.Equal(t, c.brings, slices.ContainsFunc(jobs[at].Trace, func(text string) bool { return strings.HasPrefix(text, "The work brings this note: ") }))
		})
	}
}

// Class c at Um 145 kV needs 34.7·145/√3 = 2904.9 mm by the edition of 2008 and 20·145 = 2900 mm by that of 1986 (published; computed), ten discs of 290 mm: where the project
// states neither, ten leave an advisory of the shortfall that the work is for, which is told as such.
func TestAShortfallThatBecomesAnAdvisoryIsToldAsOne(t *testing.T) {
	for name, c := range map[string]struct {
		creepageMM float64
		hangs      string
		want       []remedy.Open
	}{
		"by one edition alone": {290, "10 × U120B", []remedy.Open{{Exception: 0, Advisory: true}}},
		"by both":              {295, "10 × U120B", nil},
	} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			stocked(p, 10, "U120B")
			p.Criteria.DefaultClass = basis.ClassC
			for u := range p.Units {
				if p.Units[u].Name == "U120B" {
					p.Units[u].CreepageMM = c.creepageMM
				}
			}
			for _, row := range rowsAt(p, "3") {
				row.UnitsPerString = 9
			}
			r, jobs := searched(t, p)
			at := slices.IndexFunc(jobs, func(j remedy.Job) bool { return r.Network.Number(j.Structure) == "3" })
			require.GreaterOrEqual(t, at, 0)
			require.Equal(t, c.hangs, jobs[at].Remedies[0].To.String())
			var open []remedy.Open
			for _, o := range jobs[at].Open {
				if r.Checks[o.Check].ID == "creepage" {
					open = append(open, remedy.Open{Exception: min(o.Exception, 0), Advisory: o.Advisory})
				}
			}
			require.Equal(t, c.want, slices.Compact(open))
		})
	}
}
