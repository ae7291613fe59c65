package audit

import (
	"maps"
	"slices"
)

// Clone returns a copy of a project whose rows, makeups and vocabulary can be changed, as one that has been read and not yet
// arranged. Inputs that nothing changes (layers, catalogues) are shared. Its faults are none: what arranging finds it finds
// again, and what reading found stays with the first; the cells that were faulty are still so.
func (p *Project) Clone() *Project {
	c := *p
	c.Faults = Faults{}
	c.Symbols = Symbols{texts: slices.Clone(p.Symbols.texts), numbers: maps.Clone(p.Symbols.numbers)}
	c.Texts.block = slices.Clip(p.Texts.block)
	c.Assemblies = slices.Clone(p.Assemblies)
	c.Direct = slices.Clip(p.Direct)
	c.Makeups = slices.Clip(p.Makeups)
	if p.RoutesAlone { // arranging makes them of the routes
		c.Structures = nil
	}
	return &c
}
