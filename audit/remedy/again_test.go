package remedy_test

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// requireSameAgain holds that an audit of what has changed, with the rest taken from the first audit, finds what an audit of
// everything finds. It returns how many exceptions that is.
func requireSameAgain(t require.TestingT, r *audit.Result, p *audit.Project) int {
	ctx := context.Background()
	like := likeBefore(t, r, p.Clone())
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(ctx, n, 1))
	whole, err := audit.Assess(ctx, n, checks.All(), audit.Options{})
	require.NoError(t, err)
	for _, line := range like.of {
		requireSameOnLine(t, whole, like.result, line)
	}
	lines := make([]int, len(n.Lines))
	for i := range lines {
		lines[i] = i
	}
	found, err := r.Reassess(ctx, n, lines, 2, func(e *audit.Exception) bool { return e.Verdict.Outcome == audit.FallsShort })
	require.NoError(t, err)
	wanted := slices.DeleteFunc(whole.Exceptions, func(e audit.Exception) bool { return e.Structure < 0 || e.To >= 0 })
	slices.SortStableFunc(wanted, func(a, b audit.Exception) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Structure, b.Structure))
	})
	require.Len(t, found, len(wanted))
	for i := range wanted {
		require.Equal(t, fmt.Sprintf("%+v", wanted[i]), fmt.Sprintf("%+v", *found[i]))
	}
	return len(found)
}

// before is an audit of a changed project whose network is arranged from that before the change, and the lines that are others.
type before struct {
	of     []int
	result *audit.Result
}

func likeBefore(t require.TestingT, r *audit.Result, p *audit.Project) before {
	var lines []int
	for l := range r.Network.Lines {
		for i := range p.Assemblies.Len() {
			row := p.Assemblies.Row(i)
			if row.Line == r.Network.Lines[l].Symbol && (i >= r.Project.Assemblies.Len() || !row.Equals(r.Project.Assemblies.At(i))) {
				lines = append(lines, l)
				break
			}
		}
	}
	n, err := audit.ArrangeLike(p, r.Network, lines)
	require.NoError(t, err)
	require.NoError(t, audit.DeriveLike(context.Background(), n, r.Network, 1))
	result, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{})
	require.NoError(t, err)
	return before{lines, result}
}

// requireSameOnLine holds that two audits find the same on a line.
func requireSameOnLine(t require.TestingT, a, b *audit.Result, line int) {
	found := func(r *audit.Result) (words []string) {
		for i := range r.Exceptions {
			if r.Exceptions[i].Line == line {
				words = append(words, fmt.Sprintf("%+v", r.Exceptions[i]))
			}
		}
		return append(words, fmt.Sprintf("%+v", r.Lines[line].Coverage))
	}
	require.Equal(t, found(a), found(b))
}

// What the proof judges again is all that the work can change: on random networks with their jobs done, and with a row that is
// otherwise than it was.
func TestJudgedAgainIsAllThatChanges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := audited(t, randomProject(t))
		jobs, err := remedy.Search(context.Background(), r, remedy.Options{Advisories: often(t, "advisories too", 30)})
		require.NoError(t, err)
		requireSameAgain(t, r, remedy.ApplyInPlace(r.Project, jobs))
		for range 4 {
			p := r.Project.Clone()
			for range rapid.IntRange(1, 2).Draw(t, "rows") {
				changeRow(t, p)
			}
			requireSameAgain(t, r, p)
		}
	})
}

// changeRow makes one row of a register another, or adds one like it.
func changeRow(t *rapid.T, p *audit.Project) {
	if p.Assemblies.Len() == 0 {
		return
	}
	row := p.Assemblies.Row(rapid.IntRange(0, p.Assemblies.Len()-1).Draw(t, "row"))
	switch rapid.IntRange(0, 6).Draw(t, "change") {
	case 0:
		row.UnitsPerString = int16(rapid.IntRange(4, 14).Draw(t, "units"))
	case 1:
		row.Duty, row.Side = choose(t, "duty", audit.Suspension, audit.Tension, audit.Jumper), choose(t, "side", audit.NoSide, audit.Back, audit.BothSides)
	case 2:
		row.Strings, row.Arrangement = 2, audit.Parallel
	case 3:
		row.Phases, _ = audit.ParsePhases(choose(t, "phase", "A", "B", "C"))
	case 4:
		row.Circuit = p.Symbols.Number(choose(t, "circuit", "1", "2"))
	case 5:
		row.Faulty = row.Faulty.With(choose(t, "cell", audit.CellUnit, audit.CellDuty, audit.CellPhase, audit.CellCreepage))
	default:
		added := *row
		added.UnitsPerString += int16(rapid.IntRange(0, 1).Draw(t, "more"))
		added.Side = choose(t, "side", audit.NoSide, audit.Ahead)
		added.Source.Row = uint32(p.Assemblies.Len() + 2)
		p.Assemblies.Append(added)
		p.RowsRead++
	}
}

func TestJudgedAgainOfProjects(t *testing.T) {
	paths := []string{filepath.Join("..", "..", "testdata", "demo", "audit.yaml")}
	if cases := os.Getenv("DRYARC_CASES"); cases != "" {
		paths = append(paths, filepath.Join(cases, "andes", "audit.yaml"))
	}
	for _, path := range paths {
		r := audited(t, readProject(t, path))
		jobs, err := remedy.Search(context.Background(), r, remedy.Options{Workers: 2})
		require.NoError(t, err)
		require.Positive(t, requireSameAgain(t, r, remedy.ApplyInPlace(r.Project, jobs)))
	}
}

// Where a string is the odd one among those around it, what hangs there is judged again as one of those changes, the farthest that
// it is compared with.
func TestJudgedAgainBesideTheOddOne(t *testing.T) {
	p := sample(t)
	for _, number := range [...]string{"1", "7"} {
		for _, row := range rowsAt(p, number) {
			row.Duty, row.Side = audit.Suspension, audit.NoSide
		}
	}
	for _, row := range rowsAt(p, "3") {
		row.UnitsPerString = 9
	}
	r := audited(t, p)
	odd := func(e audit.Exception) bool {
		return r.Checks[e.Check].ID == "odd-one-out" && r.Network.Number(e.Structure) == "3"
	}
	require.True(t, slices.ContainsFunc(r.Exceptions, odd))
	changed := r.Project.Clone()
	for _, row := range rowsAt(changed, "6") {
		row.UnitsPerString = 11
	}
	require.False(t, slices.ContainsFunc(audited(t, changed.Clone()).Exceptions, odd))
	requireSameAgain(t, r, changed)
}

// A verdict on trial that is taken from a row alike but for its phase is the one that the check gives.
func TestAlikeRowsHaveTheSameVerdicts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := audited(t, randomProject(t))
		for line := range r.Network.Lines {
			requireJudgedEach(t, r, line)
		}
		requireAssessedEach(t, r)
	})
	r := audited(t, readProject(t, filepath.Join("..", "..", "testdata", "demo", "audit.yaml")))
	for line := range r.Network.Lines {
		requireJudgedEach(t, r, line)
	}
	requireAssessedEach(t, r)
}

// requireAssessedEach holds every verdict of an audit against a derivation of its own.
func requireAssessedEach(t require.TestingT, r *audit.Result) {
	var mutex sync.Mutex
	all := map[string]string{}
	spot := func(check *audit.Check, at audit.Location) string { return fmt.Sprintf("%s %+v", check.ID, at) }
	_, err := audit.Assess(context.Background(), r.Network, r.Checks, audit.Options{Workers: 2, Each: func(check int, at audit.Location, v audit.Verdict) {
		mutex.Lock()
		defer mutex.Unlock()
		all[spot(r.Checks[check], at)] = fmt.Sprintf("%+v", v)
	}})
	require.NoError(t, err)
	for line := range r.Network.Lines {
		for i := r.Network.Lines[line].First; i < r.Network.Lines[line].End; i++ {
			for _, d := range audit.Explain(r.Network, r.Checks, line, i) {
				require.Equal(t, fmt.Sprintf("%+v", d.Verdict), all[spot(d.Check, d.At)], "%s", d.Check.ID)
			}
		}
	}
}

func requireJudgedEach(t require.TestingT, r *audit.Result, line int) {
	site := r.Network.NewSite(line, r.Checks, "a test")
	for i := r.Network.Lines[line].First; i < r.Network.Lines[line].End; i++ {
		site.MoveTo(i)
		rows := site.Rows()
		for _, changed := range [...]bool{false, true} {
			if changed && len(rows) > 1 {
				rows[1].Changed = true
				rows[1].Row.UnitsPerString++
			}
			site.Judge(rows, func(check int, of *audit.Subject, _ *audit.Location, v audit.Verdict) {
				require.Equal(t, fmt.Sprintf("%+v", r.Checks[check].Run(*of, nil)), fmt.Sprintf("%+v", v))
			})
		}
	}
}
