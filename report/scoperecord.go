package report

import (
	"fmt"
	"slices"
	"sync"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/headroom"
	scenarios "dryarc/audit/scope"
)

// ScopeOf is one scenario as the outputs tell it. It holds nothing of the network in which the scenario was judged.
type ScopeOf struct {
	Headroom []headroom.Curve // how far its lines are from falling short in it, where Scope.WithHeadroom; lines and structures are those of today

	scenario    *audit.Scenario
	lines       []string // that it is about, in the order of the network
	judged      []string // these, and those beside them that are judged again
	assumptions []assumptionRecord
	coverage    kept[scopeCoverage]
	exceptions  *spool  // as audit.json has them
	fresh       []uint8 // by bit, which of them are new
	mended      []int32 // of today's
	unjudged    []int32 // of today's
	jobs        *spool
	features    *spool            // a point for each structure that needs something
	kept        kept[scopeChange] // the first of what these need
	allChanges  int
	material    []scopeMaterial
	stops       []scopeStop
	perLine     []scopeLine
	staying     []scopeStaying // where every class is to be one worse
	notes       []string       // what the scenario leaves as it is, takes and brings

	look *scenarios.Look // where the register is to be written, else nil

	said   []lineSaid // as perLine: what its sentence tells beside it
	routes []scopeRoute
	places []scopePlace

	telling  sync.WaitGroup // of what is told beside the search of remedies
	verdicts []lineVerdicts // by line of the network, while it is told
	due      DueToday
}

// scopeStaying are the structures of a line that no class is worse for.
type scopeStaying struct {
	Line       string   `json:"line"`
	Structures []string `json:"structures"`
}

// NewScopeOf begins to tell a scenario that is judged: what it found, beside whoever searches remedies then. AddJobs ends it. due is the same for all scenarios of a run.
func NewScopeOf(l *scenarios.Look, due DueToday) *ScopeOf {
	r := l.Then
	s := &ScopeOf{due: due, scenario: l.Scenario, exceptions: newSpool(), jobs: newSpool(), features: newSpool()}
	s.telling.Go(func() { s.addExceptions(l) })
	s.telling.Go(func() { s.verdicts = s.addCoverage(l) })
	for i := range l.Chosen {
		name := r.Project.Symbols.Text(r.Network.Lines[i].Symbol)
		if l.Chosen[i] {
			s.lines = append(s.lines, name)
		}
		if r.Lines[i].Assessed {
			s.judged = append(s.judged, name)
		}
	}
	for _, x := range l.Scenario.Set {
		s.assumptions = append(s.assumptions, assumptionRecord{fmt.Sprintf("%s is %s on these lines (the project's own figure, by scenario %q).", x.Column, x.Value, l.Scenario.Name), s.lines})
	}
	for _, a := range r.Run.Assumptions {
		s.assumptions = append(s.assumptions, assumptionRecord{a.Text, names(r.Project, a.Lines)})
	}
	s.addStaying(l)
	return s
}

// AddJobs tells the remedies of the scenario, and waits until all of it is told.
//
// Where keep is set the network of the scenario is kept, so that its register can be written.
func (s *ScopeOf) AddJobs(l *scenarios.Look, keep bool) *ScopeOf {
	return s.addJobs(l, keep, mostPlaces)
}

func (s *ScopeOf) addJobs(l *scenarios.Look, keep bool, mostPlaces int) *ScopeOf {
	if keep {
		s.look = l
	}
	order := orderedJobs(l.Then, l.Jobs, nil)
	s.telling.Go(func() {
		for rec := range recordsOf(l.Then, l.Jobs, order) {
			s.jobs.add(rec)
		}
		s.jobs.close()
	})
	s.addWork(l, order, mostPlaces)
	s.telling.Wait()
	next := 0
	for line := range l.Chosen {
		if l.Chosen[line] {
			s.perLine[next].lineVerdicts = s.verdicts[line]
			next++
		}
	}
	s.verdicts = nil
	return s
}

// addExceptions spools the exceptions.
func (s *ScopeOf) addExceptions(l *scenarios.Look) {
	r := l.Then
	ids := r.ExceptionIDs()
	var e scopeException
	for i := range r.Exceptions {
		e = scopeException{recordOf(r, &r.Exceptions[i]), !l.Chosen[r.Exceptions[i].Line]}
		e.ID = ids[i]
		s.exceptions.add(&e)
	}
	s.exceptions.close()
}

// addStaying lists the structures whose class stays although every class is to be one worse.
func (s *ScopeOf) addStaying(l *scenarios.Look) {
	s.notes = slices.Clone(l.Scenario.Notes)
	if l.Scenario.Classes != audit.WorseByOne {
		return
	}
	n := l.Today.Network
	for line := range l.Chosen {
		if !l.Chosen[line] {
			continue
		}
		byDefault := n.Criteria(line).DefaultClass
		for _, c := range l.Scenario.Criteria {
			if c.Key == "default_class" {
				byDefault, _ = basis.ParseClass(c.Value)
			}
		}
		x := scopeStaying{Line: l.Today.Project.Symbols.Text(n.Lines[line].Symbol)}
		for i := n.Lines[line].First; i < n.Lines[line].End; i++ {
			at := n.Structure(line, i)
			class := at.Class
			if at.Zone < 0 {
				class = byDefault
			}
			if class >= basis.ClassE {
				x.Structures = append(x.Structures, n.Number(i))
			}
		}
		if len(x.Structures) > 0 {
			s.staying = append(s.staying, x)
			s.notes = append(s.notes, fmt.Sprintf("Class e stays e at %s of %s, since no worse class has a figure: %s.", counted(len(x.Structures), "structure", "structures"), x.Line, enumerated(x.Structures, 20)))
		}
	}
}

// assumedBeside are the assumptions of a scenario that today's result does not make of the same lines; those of no lines are of all that are judged.
func (s *ScopeOf) assumedBeside(today *audit.Result) (list []assumptionRecord) {
	made := map[string][]string{} // by text, the lines
	for _, a := range today.Run.Assumptions {
		lines := names(today.Project, a.Lines)
		if lines == nil {
			lines = s.judged
		}
		made[a.Text] = append(made[a.Text], lines...)
	}
	for _, a := range s.assumptions[len(s.scenario.Set):] { // what it sets somebody stated
		lines := a.Lines
		if lines == nil {
			lines = s.judged
		}
		if slices.ContainsFunc(lines, func(line string) bool { return !slices.Contains(made[a.Text], line) }) {
			list = append(list, assumptionRecord{a.Text, lines})
		}
	}
	return list
}

// changesInWords says what a scenario changes, a line of text each.
func (s *ScopeOf) changesInWords() (list []string) {
	for _, x := range s.scenario.Set {
		list = append(list, fmt.Sprintf("%s is %s", x.Column, x.Value))
	}
	for _, c := range s.scenario.Criteria {
		list = append(list, fmt.Sprintf("criterion %s is %s", c.Key, c.Shown()))
	}
	if s.scenario.Classes != "" {
		list = append(list, "pollution classes: "+s.scenario.Classes)
	}
	return list
}
