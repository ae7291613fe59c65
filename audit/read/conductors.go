package read

import (
	"context"
	"fmt"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// conductor is a row of a Conductors sheet.
type conductor struct {
	basis.Conductor
	faulty audit.Cells
	stated audit.Figures
}

// readConductors reads a Conductors sheet: a row adds a conductor or, cell by cell, overrides one of the catalogue.
func (r *register) readConductors(ctx context.Context, w *workbook) error {
	return readSheets(ctx, r, w, sheet[conductor]{
		name:    conductorsSheet,
		columns: conductorColumns(r),
		blank:   func() conductor { return conductor{Conductor: basis.UnknownConductor()} },
		faulty:  func(c *conductor) *audit.Cells { return &c.faulty },
		keep:    r.keepConductor,
	})
}

// startConductor reads the name, which is the first column, and starts from the catalogue's figures if it has it.
func (r *register) startConductor(c *conductor, cell string, _ unitOfMeasure) *trouble {
	cell = r.house().text(conductorList, cell)
	if i, known := r.conductors[nameKey(cell)]; known && i < len(r.catalogueConductors) { // not from an earlier row of the register
		c.Conductor = r.catalogueConductors[i]
	}
	c.Name = strings.Clone(Composed(cell))
	return nil
}

func (r *register) keepConductor(c *conductor, at audit.Source) {
	key := nameKey(c.Name)
	if key == "" {
		r.nameless(at, "Conductor", c.faulty.Has(audit.CellConductor))
		r.conductorUnnamed = true
		r.leftOut(at)
		return
	}
	r.doubtConductor(c, at)
	if first, twice := r.conductorRows[key]; twice {
		r.project.ConductorTwice(r.conductors[key], audit.Twin[basis.Conductor]{Row: c.Conductor, Faulty: c.faulty, At: at}, first)
		r.leftOut(at)
		return
	}
	r.conductorRows[key] = audit.Twin[basis.Conductor]{Row: c.Conductor, Faulty: c.faulty, At: at}
	r.project.Tables[at.Table].Used++
	i, known := r.conductors[key]
	if !known {
		r.conductors[key] = len(r.project.Conductors)
		r.project.ConductorFaults = audit.WithFaultsOf(r.project.ConductorFaults, len(r.project.Conductors), c.faulty)
		r.project.ConductorRows = audit.WithSourceOf(r.project.ConductorRows, len(r.project.Conductors), at)
		r.project.ConductorsStated = audit.WithFiguresOf(r.project.ConductorsStated, len(r.project.Conductors), c.stated)
		r.project.Conductors = append(r.project.Conductors, c.Conductor)
		return
	}
	was := &r.project.Conductors[i]
	if !same(c.MassKgPerM, was.MassKgPerM) || !same(c.DiameterMM, was.DiameterMM) {
		c.Clause = basis.Clause{}
	}
	if !same(c.RatedStrengthKN, was.RatedStrengthKN) {
		c.StrengthClause, c.Edition = basis.Clause{}, ""
	}
	*was = c.Conductor
	r.project.ConductorFaults = audit.WithFaultsOf(r.project.ConductorFaults, i, c.faulty)
	r.project.ConductorRows = audit.WithSourceOf(r.project.ConductorRows, i, at)
	r.project.ConductorsStated = audit.WithFiguresOf(r.project.ConductorsStated, i, c.stated)
}

// nameConductors writes the conductors of lines and structures as the catalogue or the sheet does, whatever their
// case and spaces; one that neither has is a fault.
func nameConductors(p *audit.Project, ahead property) {
	names := map[string]string{}
	for i := range p.Conductors {
		names[nameKey(p.Conductors[i].Name)] = p.Conductors[i].Name
	}
	find := func(written audit.Symbol, at audit.Source, column string, faulty *audit.Cells) audit.Symbol {
		text := p.Symbols.Text(written)
		if name, known := names[nameKey(text)]; known {
			return p.Symbols.Number(name)
		}
		expected := "is no conductor of the catalogue or of the Conductors sheet"
		if close := near(text, conductorNames(p.Conductors)); close != "" {
			expected += fmt.Sprintf(", perhaps %q", close)
		}
		p.Faults.Add(audit.Fault{Kind: audit.UnknownWord, At: at, Column: column, Value: excerpt(text), Expected: expected})
		*faulty = faulty.With(audit.CellConductor)
		return written
	}
	for i := range p.Lines {
		if l := &p.Lines[i]; l.Conductor != 0 {
			l.Conductor = find(l.Conductor, l.Source, "Conductor", &l.Faulty)
		}
	}
	for i, s := range p.Structures.All() {
		if s.ConductorAhead != 0 {
			s.ConductorAhead = find(s.ConductorAhead, s.Source, ahead.name, &s.Faulty)
			p.Structures.Set(i, s)
		}
	}
}

func conductorNames(conductors []basis.Conductor) []string {
	names := make([]string, len(conductors))
	for i := range conductors {
		names[i] = conductors[i].Name
	}
	return names
}
