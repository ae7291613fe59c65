package audit

import (
	"math"

	"dryarc/audit/basis"
)

// resolveConductors finds for each line its conductor, and for each structure that of the span ahead.
func (n *Network) resolveConductors() {
	p := n.Project
	byName := map[Symbol]*basis.Conductor{}
	for i := range p.Conductors {
		if symbol, known := p.Symbols.Find(p.Conductors[i].Name); known {
			byName[symbol] = &p.Conductors[i]
		}
	}
	for l := range n.Lines {
		line := &n.Lines[l]
		line.Conductor = byName[line.Row.Conductor]
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
