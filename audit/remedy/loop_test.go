package remedy_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// audited audits a project in memory.
func audited(t require.TestingT, p *audit.Project) *audit.Result {
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 2))
	r, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{Version: "test", AsOf: "2026-01-01", Workers: 2})
	require.NoError(t, err)
	return r
}

func readProject(t testing.TB, path string) *audit.Project {
	t.Helper()
	p, err := read.Project(context.Background(), path)
	require.NoError(t, err)
	return p
}

// place is what exceptions before and after the work are matched by: phases and rows change with it.
type place struct {
	check           string
	line, structure string
	circuit         string
}

func placeOf(r *audit.Result, e *audit.Exception) place {
	number := ""
	if e.Structure >= 0 {
		number = r.Network.Number(e.Structure)
	}
	return place{r.Checks[e.Check].ID, r.Project.Symbols.Text(r.Network.Lines[e.Line].Symbol), number, r.Project.Symbols.Text(e.Circuit)}
}

// requireLoop holds that what jobs say they mend is mended, and that nothing new of weight appears. It returns how many
// shortfalls there were and are.
func requireLoop(t require.TestingT, r *audit.Result, jobs []remedy.Job) (before, after int) {
	again := audited(t, remedy.Apply(r.Project, jobs))
	open := map[place]bool{} // falls short already, or is named as open
	was := map[place]audit.Severity{}
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		at := placeOf(r, e)
		if s, ok := was[at]; !ok || e.Verdict.Severity < s {
			was[at] = e.Verdict.Severity
		}
		if e.Verdict.Severity == audit.Shortfall {
			before++
			open[at] = true
		}
	}
	for i := range jobs {
		for _, x := range jobs[i].Exceptions {
			delete(open, placeOf(r, &r.Exceptions[x]))
		}
	}
	named := map[place]bool{}
	for i := range jobs {
		for _, o := range jobs[i].Open {
			if o.Exception >= 0 {
				open[placeOf(r, &r.Exceptions[o.Exception])] = true
			}
			named[placeOf(r, &audit.Exception{Check: o.Check, Location: audit.Location{Line: jobs[i].Line, Structure: jobs[i].Structure, Circuit: o.Circuit}})] = true
		}
	}
	for i := range again.Exceptions {
		e := &again.Exceptions[i]
		at := placeOf(again, e)
		switch e.Verdict.Severity {
		case audit.Note:
		case audit.Shortfall:
			after++
			require.True(t, open[at], "%v: %s", at, e.Verdict.Sentence)
		default:
			_, fell := was[at]
			require.True(t, fell || named[at], "new: %v: %s", at, e.Verdict.Sentence)
		}
	}
	return before, after
}

func TestDemoLoop(t *testing.T) {
	r := audited(t, readProject(t, filepath.Join("..", "..", "testdata", "demo", "audit.yaml")))
	jobs, err := remedy.Search(context.Background(), r, remedy.Options{Workers: 2})
	require.NoError(t, err)
	show(r, jobs)
	before, after := requireLoop(t, r, jobs)
	fmt.Println(before, after)
}

func show(r *audit.Result, jobs []remedy.Job) {
	if os.Getenv("DRYARC_SHOW") == "" {
		return
	}
	for _, j := range jobs {
		fmt.Printf("%s %s %s\n", r.Project.Symbols.Text(r.Network.Lines[j.Line].Symbol), r.Network.Number(j.Structure), j.Candidates)
		for _, i := range j.Exceptions {
			fmt.Println("   ", r.Checks[r.Exceptions[i].Check].ID, r.Exceptions[i].Verdict.Sentence)
		}
		for _, x := range j.Remedies {
			fmt.Printf("   -> %s %v %s %s: from %s to %v, fit %v remove %v price %g length %g\n", x.Duty, x.Sides, x.Phases, x.Move, x.From, x.To, x.Fit, x.Remove, x.Price, x.LengthMM)
		}
		for _, x := range j.Alternatives {
			fmt.Printf("   or %d %s: to %v, fit %v price %g length %g\n", x.Remedy, x.Move, x.To, x.Fit, x.Price, x.LengthMM)
		}
		for _, x := range j.StoppedBy {
			fmt.Printf("   !! %s: %s\n", x.Duty, x.Sentence)
		}
		for _, x := range j.Open {
			fmt.Printf("   ?? %s %d %s\n", r.Checks[x.Check].ID, x.Exception, x.Reason)
		}
		for _, x := range j.Trace {
			fmt.Println("   #", x)
		}
	}
}

func TestAndesLoop(t *testing.T) {
	cases := os.Getenv("DRYARC_CASES")
	if cases == "" {
		require.NotEqual(t, "true", os.Getenv("CI"), "DRYARC_CASES must be set under CI")
		t.Skip("DRYARC_CASES is not set, the real case is skipped")
	}
	r := audited(t, readProject(t, filepath.Join(cases, "andes", "audit.yaml")))
	jobs, err := remedy.Search(context.Background(), r, remedy.Options{Workers: 2})
	require.NoError(t, err)
	show(r, jobs)
	before, after := requireLoop(t, r, jobs)
	fmt.Println(before, after)
}
