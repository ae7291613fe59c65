package audit

import (
	"maps"
	"slices"
)

// Clone returns a copy of a project whose rows and vocabulary can be changed, and to whose figures, texts and makeups more can be added,
// to be arranged like one that has been read. What arranging does not change (layers, catalogues, the figures, texts and makeups that are
// there) is shared. Its faults are none: arranging finds anew what it leaves out, what reading found stays with the first, which the
// copy asks how a cell is faulty, and a cell that was faulty is still so, also where it was arranging that doubted it. The rows of structures are shared: what
// arranging does to them rests on these rows alone.
func (p *Project) Clone() *Project {
	c := *p
	c.Faults = p.Faults.copied()
	c.Symbols = Symbols{texts: slices.Clone(p.Symbols.texts), numbers: maps.Clone(p.Symbols.numbers)}
	c.Texts.block = slices.Clip(p.Texts.block)
	c.Assemblies = p.Assemblies.Clone()
	c.Direct, c.Restated = slices.Clip(p.Direct), slices.Clip(p.Restated)
	c.Makeups = slices.Clip(p.Makeups)
	c.Observed = maps.Clone(p.Observed)
	if p.RoutesAlone { // arranging makes them of the routes
		c.Structures = StructureRows{}
	}
	return &c
}
