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
		current := line.Row.Conductor
		attachments := true
		for i := line.First; i < line.End; i++ {
			row := n.row(i)
			if row.ConductorAhead != 0 {
				current = row.ConductorAhead
			}
			n.structures[i].conductorAhead = current
			attachments = attachments && !math.IsNaN(row.AttachmentM)
		}
		line.AttachmentsKnown = attachments
	}
}
