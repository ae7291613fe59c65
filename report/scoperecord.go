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
	assumptions []assumptionRecord
	coverage    kept[scopeCoverage]
	exceptions  *spool // as audit.json has them
	ids         *spool // three lists: those of exceptions that are new, those of today's that are mended, those that cannot be judged any more
	jobs        *spool
	features    *spool            // a point for each structure that needs something
	changes     []scopeChange     // while they are told
	kept        kept[scopeChange] // the first of them
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
}

// scopeStaying are the structures of a line that no class is worse for.
type scopeStaying struct {
	Line       string   `json:"line"`
	Structures []string `json:"structures"`
}

// NewScopeOf tells a scenario once it is judged.
//
// Where keep is set the network of the scenario is kept, so that its register can be written.
func NewScopeOf(l *scenarios.Look, keep bool) *ScopeOf {
	r := l.Then
	s := &ScopeOf{scenario: l.Scenario, exceptions: newSpool(), ids: newSpool(), jobs: newSpool(), features: newSpool()}
	if keep {
		s.look = l
	}
	for i := range l.Chosen {
		if l.Chosen[i] {
			s.lines = append(s.lines, r.Project.Symbols.Text(r.Network.Lines[i].Symbol))
		}
	}
	for _, x := range l.Scenario.Set {
		s.assumptions = append(s.assumptions, assumptionRecord{fmt.Sprintf("%s is %s on these lines (the project's own figure, by scenario %q).", x.Column, x.Value, l.Scenario.Name), s.lines})
	}
	for _, a := range r.Run.Assumptions {
		s.assumptions = append(s.assumptions, assumptionRecord{a.Text, names(r.Project, a.Lines)})
	}
	ids := r.ExceptionIDs()
	var spooling sync.WaitGroup // of the exceptions, of which there are most, beside all else
	spooling.Go(func() { s.addExceptions(l, ids) })
	lines := s.addCoverage(l)
	for rec := range jobRecords(r, l.Jobs, nil) {
		s.jobs.add(rec)
	}
	work := workRows(r, l.Jobs, nil)
	s.addMaterial(l, work)
	s.addChanges(l, work)
	s.addLines(l, lines)
	s.addSaid(l)
	s.addPlaces(l, mostPlaces)
	s.addStaying(l)
	for i := range s.changes {
		if s.features.err == nil {
			var f scopeFeature
			f, s.features.err = s.changes[i].feature(s.scenario.Name)
			s.features.add(f)
		}
	}
	s.jobs.close()
	s.features.close()
	spooling.Wait()
	s.allChanges = len(s.changes)
	s.kept = newKept((*packing).change)
	for i := range s.changes[:min(len(s.changes), mostChanges)] {
		s.kept.add(&s.changes[i])
	}
	s.kept.close()
	s.changes = nil
	return s
}

// addExceptions spools the exceptions.
func (s *ScopeOf) addExceptions(l *scenarios.Look, ids []string) {
	r := l.Then
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
