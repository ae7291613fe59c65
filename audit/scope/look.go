package scope

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"dryarc/audit"
	"dryarc/audit/remedy"
)

// Options are what a run over scenarios is told.
type Options struct {
	Names    []string // of the scenarios; none means all
	Workers  int      // lines worked on at a time; less than 1 means 1
	Starting func(name string)
	// Judged, where set, is told each look once its scenario is judged, before remedies are searched: what that begins may go on beside the
	// search, until the look is taken.
	Judged func(*Look)
	// Each, where set, is told every verdict of every scenario on the lines that are judged again.
	Each func(check int, at audit.Location, v audit.Verdict)
}

// Look is one scenario, judged.
type Look struct {
	Scenario *audit.Scenario
	Today    *audit.Result
	Then     *audit.Result // of the lines that are judged again; the structures of both are the same, in the same order
	Chosen   []bool        // by line of the network: the scenario is about it
	Jobs     []remedy.Job  // on the lines that the scenario is about
	Due      []remedy.Job  // today, on lines that any of the scenarios of the run may tell on, of the same units to choose from
	New      []int         // in the exceptions of Then: those that Today does not have, or has as milder ones
	Mended   []int         // in the exceptions of Today: those that met, or no longer apply, in the scenario
	Unjudged []int         // in the exceptions of Today: those that cannot be judged in the scenario, or of which it is not known
	Lacking  []uint32      // by structure: verdicts that the project asks for and that could not be judged in the scenario
}

// UnknownScenario is the error of a run that is asked for a scenario the project file does not have.
type UnknownScenario struct{ Name string }

func (e *UnknownScenario) Error() string {
	return fmt.Sprintf("scenario %q is no scenario of the project file", e.Name)
}

// Choose returns the scenarios of some names, all where there are none.
func Choose(p *audit.Project, names []string) (list []*audit.Scenario, err error) {
	for i := range p.Scenarios {
		if len(names) == 0 {
			list = append(list, &p.Scenarios[i])
		}
	}
	for _, name := range names {
		before := len(list)
		for i := range p.Scenarios {
			if p.Scenarios[i].Name == name {
				list = append(list, &p.Scenarios[i])
			}
		}
		if len(list) == before {
			return nil, &UnknownScenario{Name: name}
		}
	}
	return list, nil
}

// Run looks at scenarios one after the other and hands each look over before the next is judged, so that only one is held beside today's
// result: of the next no more than its network, which is arranged while remedies are searched. pristine is the project as it was read, before
// it was arranged for today.
func Run(ctx context.Context, pristine *audit.Project, today *audit.Result, o Options, take func(*Look) error) error {
	list, err := Choose(pristine, o.Names)
	if err != nil || len(list) == 0 {
		return err
	}
	due, err := remedy.Search(ctx, today, remedy.Options{Workers: o.Workers, Buy: true, Lines: touched(today.Network, list)})
	if err != nil {
		return err
	}
	before := newTodays(today)
	ctx, stop := context.WithCancel(ctx)
	arranging := begin(ctx, pristine, today.Network, list[0], o.Workers)
	defer func() {
		stop()
		arranging.Wait()
	}()
	for i, scenario := range list {
		if o.Starting != nil {
			o.Starting(scenario.Name)
		}
		arranging.Wait()
		look, err := judge(ctx, arranging, before, scenario, o)
		if err == nil {
			look.Due = due
			if i+1 < len(list) {
				arranging = begin(ctx, pristine, today.Network, list[i+1], o.Workers)
			}
			err = look.search(ctx, o)
		}
		if err != nil {
			return fmt.Errorf("scenario %q: %w", scenario.Name, err)
		}
		if err := take(look); err != nil {
			return err
		}
	}
	return nil
}

// arranging is the network of a scenario, to be waited for.
type arranging struct {
	sync.WaitGroup
	network *audit.Network
	err     error
}

// begin begins to arrange and derive the network of a scenario.
func begin(ctx context.Context, pristine *audit.Project, today *audit.Network, scenario *audit.Scenario, workers int) *arranging {
	var a arranging
	a.Go(func() {
		if a.network, a.err = today.Under(pristine, scenario); a.err == nil {
			a.err = audit.DeriveLike(ctx, a.network, today, workers)
		}
	})
	return &a
}

// judge judges a scenario whose network is there, and finds what differs from today.
func judge(ctx context.Context, arranged *arranging, today *todays, scenario *audit.Scenario, o Options) (l *Look, err error) {
	n := arranged.network
	if arranged.err != nil {
		return nil, arranged.err
	}
	l = &Look{Scenario: scenario, Today: today.Result, Chosen: chosen(n, scenario)}
	options := audit.Options{Version: today.Run.Version, AsOf: today.Run.AsOf, Workers: o.Workers, Each: o.Each, Before: today.Result}
	for i := range n.Lines {
		if touches(l.Chosen, i, n, today.Network) {
			options.Lines = append(options.Lines, n.Project.Symbols.Text(n.Lines[i].Symbol))
		}
	}
	open := make([]bool, len(today.Exceptions)) // each of one line, and no line is judged by two at a time
	l.Lacking = make([]uint32, n.StructureCount())
	options.Unjudged = func(check int, at audit.Location, why audit.Reason) {
		today.mark(open, n.Project, check, &at)
		l.noteLacking(&at, why)
	}
	if l.Then, err = audit.Assess(ctx, n, today.Checks, options); err != nil {
		return nil, err
	}
	l.compare(today, open)
	l.Scenario = l.told()
	return l, nil
}

// search searches for remedies on the lines that the scenario is about.
func (l *Look) search(ctx context.Context, o Options) error {
	if o.Judged != nil {
		o.Judged(l)
	}
	jobs, err := remedy.Search(ctx, l.Then, remedy.Options{Workers: o.Workers, Buy: true})
	if err != nil {
		return err
	}
	l.Jobs = slices.DeleteFunc(jobs, func(j remedy.Job) bool { return !l.Chosen[j.Line] })
	return nil
}

// chosen are the lines of a network that any of some scenarios is about.
func chosen(n *audit.Network, scenarios ...*audit.Scenario) []bool {
	about := map[audit.Symbol]bool{}
	for _, scenario := range scenarios {
		for _, line := range scenario.Lines {
			about[line] = true
		}
	}
	lines := make([]bool, len(n.Lines))
	for i := range n.Lines {
		lines[i] = about[n.Lines[i].Symbol]
	}
	return lines
}

// touched are the lines of today's network that scenarios may tell on.
func touched(today *audit.Network, scenarios []*audit.Scenario) []bool {
	about := chosen(today, scenarios...)
	lines := slices.Clone(about)
	for i := range lines {
		lines[i] = touches(about, i, today)
	}
	return lines
}

// touches tells whether what is about some lines may tell on another: it is one of them, or one of them comes near it in any of some networks, so that it may be a
// tee or go on under another name.
func touches(about []bool, line int, networks ...*audit.Network) bool {
	if about[line] {
		return true
	}
	for other, is := range about {
		if is && slices.ContainsFunc(networks, func(n *audit.Network) bool { return n.Beside(line, other) }) {
			return true
		}
	}
	return false
}
