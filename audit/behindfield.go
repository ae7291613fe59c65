package audit

import "slices"

// rowsBehind are the rows by which the assemblies of a structure are judged, and what tells other faults that leave it open.
type rowsBehind struct {
	at       []Source
	twice    map[nameIn]bool // names of which a later row may say something else
	nameless map[string]bool // columns whose blank leaves open what a row is of, which may be of these
}

// nameIn is a name in a column of that heading.
type nameIn struct{ column, name string }

// isBehindField tells which faults may be why a field that something at a structure needs is faulty: those of the structure, of the two beside
// it, of what hangs there, of its units, of its line and of the conductors of its spans, those that are told once for all rows of the line, and those of
// rows that may be any of these, since they do not say which.
func (n *Network) isBehindField(line *Line, structure int) func(f *Fault) bool {
	b := n.rowsBehind(line, structure)
	return func(f *Fault) bool {
		return slices.ContainsFunc(b.at, f.isOf) ||
			f.Kind == DuplicateRow && b.twice[nameIn{f.Column, f.Value}] ||
			(f.Kind == MissingValue || f.Kind == NoCachedValue) && b.nameless[f.Column] ||
			f.Rows > 1+len(f.Also) && n.isOfLine(line, f.At)
	}
}

// isOfLine tells whether a row of assemblies of a line stood at a place.
func (n *Network) isOfLine(line *Line, at Source) bool {
	return slices.ContainsFunc(n.judgedRows(line), func(r uint32) bool { return n.Project.Assemblies.At(int(r)).Source == at })
}

func (n *Network) rowsBehind(line *Line, structure int) rowsBehind {
	p := n.Project
	b := rowsBehind{at: []Source{n.Source(structure)}, twice: map[nameIn]bool{}, nameless: map[string]bool{}}
	b.addSheets(n, line)
	previous := n.previous(line, structure)
	for _, beside := range [...]int{previous, n.next(line, structure)} {
		if beside >= 0 {
			b.at = append(b.at, n.Source(beside))
		}
	}
	for _, i := range [...]int{previous, structure} {
		if i >= 0 {
			b.addConductor(n, n.structures[i].conductorAhead)
		}
	}
	for _, placed := range n.AssemblyRows(structure) {
		rows := []uint32{placed}
		for _, repeat := range n.repeatsOf(placed) {
			rows = append(rows, repeat.row)
		}
		for _, r := range rows {
			row := p.Assemblies.At(int(r))
			b.at = append(b.at, row.Source)
			if o := p.Observed[r]; o != nil {
				for _, i := range o.Of {
					b.at = append(b.at, p.Inspections.Rows[i].Source)
				}
			}
			for _, part := range p.Makeups[row.Makeup].Parts {
				b.addUnit(p, part.Unit)
			}
		}
	}
	if (len(p.Lost) > 0 || len(n.lost.doubted) > 0) && n.mayHaveLost(line, structure) {
		b.nameless["Line"], b.nameless["Structure"] = true, true
	}
	return b
}

// addSheets adds the rows of the sheet Lines that are of a line, or may be.
func (b *rowsBehind) addSheets(n *Network, line *Line) {
	p, named := n.Project, false
	for i := range p.Lines {
		if p.Lines[i].Line == line.Symbol {
			named = true
			b.at = append(b.at, p.Lines[i].Source)
		}
	}
	b.twice[nameIn{"Line", p.Symbols.Text(line.Symbol)}] = named
	if !named && p.LinesUnnamed {
		b.nameless["Line"] = true
	}
	b.addConductor(n, line.Row.Conductor)
}

func (b *rowsBehind) addConductor(n *Network, name Symbol) {
	i, known := n.conductors[name]
	if !known || name == 0 {
		return
	}
	b.addNamed("Conductor", n.Project.Conductors[i].Name, SourceOf(n.Project.ConductorRows, int(i)), FaultsOf(n.Project.ConductorFaults, int(i)))
}

func (b *rowsBehind) addUnit(p *Project, i int) {
	b.addNamed("Unit", p.Units[i].Name, SourceOf(p.UnitRows, i), FaultsOf(p.UnitFaults, i))
}

// addNamed adds the row of something that the register names, if it has one.
func (b *rowsBehind) addNamed(column, name string, at Source, faulty Cells) {
	if at.Row > 0 {
		b.at = append(b.at, at)
	}
	b.twice[nameIn{column, name}] = true
	if faulty == EveryCell {
		b.nameless[column] = true
	}
}
