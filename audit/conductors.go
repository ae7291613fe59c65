package audit

import "math"

// resolveConductors finds for each line its conductor, and for each structure that of the span ahead.
func (n *Network) resolveConductors() {
	p := n.Project
	byName := map[Symbol]int{}
	for i := range p.Conductors {
		if symbol, known := p.Symbols.Find(p.Conductors[i].Name); known {
			byName[symbol] = i
		}
	}
	for l := range n.Lines {
		line := &n.Lines[l]
		if i, known := byName[line.Row.Conductor]; known {
			line.Conductor, line.ConductorFaulty = &p.Conductors[i], FaultsOf(p.ConductorFaults, i)
		}
		current, faulty := line.Row.Conductor, line.Row.Faulty.Has(CellConductor)
		attachments := true
		for i := line.First; i < line.End; i++ {
			row := n.row(i)
			if row.ConductorAhead != 0 || row.Faulty.Has(CellConductor) {
				current, faulty = row.ConductorAhead, row.Faulty.Has(CellConductor)
			}
			n.structures[i].conductorAhead, n.structures[i].conductorFaulty = current, faulty
			attachments = attachments && (!math.IsNaN(row.AttachmentM) || row.Faulty.Has(CellAttachment))
		}
		line.AttachmentsKnown = attachments
	}
}
