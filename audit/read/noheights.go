package read

import (
	"fmt"
	"math"

	"dryarc/audit"
)

// fewestHeights is how many structures a line or a layer must have before heights that are all 0 are none (a choice of this program).
const fewestHeights = 3

// heights counts the ground levels of a line, or of all lines.
type heights struct {
	first         audit.Source // of those that are 0
	stated, zeros int
	elsewhere     bool // than in the geometry stands one that is 0
	areNone       bool
}

func (h *heights) note(row *audit.StructureRow, fromPoint bool) {
	if row.Faulty.Has(audit.CellGround) || math.IsNaN(row.GroundM) {
		return
	}
	if h.stated++; row.GroundM != 0 {
		return
	}
	if h.zeros == 0 {
		h.first = row.Source
	}
	h.zeros++
	h.elsewhere = h.elsewhere || !fromPoint
}

func (h *heights) none() bool { return h.zeros == h.stated && h.zeros >= fewestHeights }

// doubtHeights makes unknown the ground levels of a line, or of all lines, that are all 0: layers that hold no heights are often kept as
// if they did. Heights of points that nobody stated are left blank by that, those of a property faulty.
func (r *structureReader) doubtHeights() {
	if r.heights.none() {
		r.sayNoHeights(&r.heights, "of all structures")
		for _, h := range r.heightsOf {
			h.areNone = true
		}
	}
	for i, row := range r.project.Structures.All() {
		h := r.heightsOf[row.Line]
		if h == nil || h.zeros < h.stated || !h.areNone && !h.none() {
			continue
		}
		if !h.areNone {
			h.areNone = true
			r.sayNoHeights(h, fmt.Sprintf("of all structures of line %q", r.project.Symbols.Text(row.Line)))
		}
		if row.GroundM != 0 {
			continue
		}
		row.GroundM = math.NaN()
		if h.elsewhere {
			row.Faulty = row.Faulty.With(audit.CellGround)
		}
		r.project.Structures.Set(i, row)
	}
}

func (r *structureReader) sayNoHeights(h *heights, of string) {
	column := "geometry"
	if h.elsewhere {
		column = r.names.groundM.name
	}
	r.project.Faults.Add(audit.Fault{Kind: audit.Implausible, At: h.first, Column: column, Value: "0", Rows: h.zeros,
		Expected: fmt.Sprintf("is the height %s, expected their ground levels; they are taken as not known", of)})
}
