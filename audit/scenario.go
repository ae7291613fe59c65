package audit

import (
	"fmt"
	"slices"

	"dryarc/audit/basis"
	"dryarc/geo"
)

// Scenario is a project that differs from the one that was read in what holds of some lines.
type Scenario struct {
	Name     string
	Lines    []Symbol  // it is about these, named as the structures name them
	Sheet    []LineRow // the rows of the Lines sheet as they are in it
	Rules    []Rules   // as they are in it
	Set      []Setting // what it sets in the rows of its lines
	Criteria []InForce // those that it states
	Faults   []Fault   // what it sets that contradicts itself or what it leaves, as reading a sheet would find it
	// Classes says in words how it changes the classes of pollution; empty where it does not.
	Classes string
	Notes   []string // what it leaves as it is although its words might be read otherwise, and what it takes
}

// WorseByOne is how a scenario says that every class of pollution is one worse.
const WorseByOne = "worse by 1"

// SetColumns are the columns of a row of the Lines sheet that a scenario sets.
type SetColumns struct {
	Scenario string
	Columns  map[string]bool // by heading, without a unit
	Left     Cells           // of the faulty cells of the row, those that are so only since what stood there went with what the scenario replaces
	Taken    map[string]bool // by heading, without a unit: the columns of which that went, so that they are not known
}

// lacks is why a faulty cell of a row leaves something open.
func (l *LineRow) lacks(c Cell) Reason {
	if l.Set != nil && l.Set.Left.Has(c) {
		return LineFigureSuperseded
	}
	return FaultyField
}

// SourceOf is where what a row says in a column comes from: a scenario where that sets it, else the project.
func (l *LineRow) SourceOf(column string) basis.Clause {
	if l.Set != nil && l.Set.Columns[column] {
		return basis.Clause{Document: fmt.Sprintf("scenario %q", l.Set.Scenario), Tag: basis.Own}
	}
	return basis.OwnFigure
}

// Setting is a figure or a word that a scenario sets in the Lines sheet.
type Setting struct {
	Column, Value string
	ProjectLine   int // of the project file
}

// Under returns the project as it is in a scenario, to be arranged and audited like any other. The project must not have been arranged
// before, since what arranging doubts rests on what a scenario changes.
func (p *Project) Under(s *Scenario) *Project {
	c := p.Clone()
	c.Lines, c.Rules = slices.Clone(s.Sheet), s.Rules
	c.Lost, c.Routes = slices.Clone(p.Lost), slices.Clone(p.Routes)
	return c
}

// Pristine returns a copy of a project that has been read, which stays as it is while that one is arranged. What is prepared of zones is
// from then on kept for both and for every scenario, where one has rules: without any all stand in the zones of today.
func (p *Project) Pristine() *Project {
	if slices.ContainsFunc(p.Scenarios, func(s Scenario) bool { return len(s.Rules) > 0 }) {
		p.outlines = &geo.Outlines{}
	}
	return p.Under(&Scenario{Sheet: p.Lines, Rules: p.Rules})
}
