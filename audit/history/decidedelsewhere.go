package history

import (
	"strings"

	"dryarc/audit"

	"github.com/paulmach/orb"
)

// findByPlace finds what a decision is of where no run that is known here had it under the id of its figures: a workbook that was away while
// structures got other numbers. An exception that stands where the figures say, and would have that id under the number of the decision, is the one.
func (d *deciding) findByPlace(decision *Decision) {
	if decision.Structure == "" || decision.Line == "" {
		return
	}
	parts, of := strings.Split(decision.Was, "; "), *decision
	for k, part := range parts {
		held, is := parseFigures(part)[figuresID(part)]
		if !is || !located(held.at) || strings.Contains(held.id, "-") || d.standsThere(decision.Line, decision.Structure, held.at) {
			continue
		}
		i := d.foundAt(held, decision)
		if i < 0 {
			continue
		}
		key := d.r.Key(i)
		of.Structure = key.Structure
		if decision.Exception == held.id {
			of.Exception, of.Check = d.ids[i], key.Check
		}
		held.id = d.ids[i]
		parts[k] = held.String()
	}
	of.Was = strings.Join(parts, "; ")
	*decision = of
}

// standsThere tells whether a number of a line stands where it stood.
func (d *deciding) standsThere(name, number string, at orb.Point) bool {
	line, there := d.places.lines[name]
	if !there {
		return false
	}
	i, there := d.where.numbers.of(d.r, line)[number]
	return there && mayBeMeasuredAnew(d.r.Network, line, i, at) && len(d.where.ground(d.r.Network, line).at(at)) < 2
}

// foundAt is the one exception of the decision's line at the place of figures that had their id under the number of the decision; -1 for none and
// for several. Other lines may share the place, so that what hangs there is not looked for among theirs.
func (d *deciding) foundAt(held held, decision *Decision) int {
	line, there := d.places.lines[decision.Line]
	if !there {
		return -1
	}
	found := -1
	for _, structure := range d.where.ground(d.r.Network, line).at(held.at) {
		at := audit.AtStructure(line, structure)
		number := d.r.KeyOf(0, &at, 0).Structure
		for _, i := range d.places.byStructure[[2]string{decision.Line, number}] {
			if !d.wasCalled(i, held.id, decision) {
				continue
			}
			if found >= 0 {
				return -1
			}
			found = i
		}
	}
	return found
}

// wasCalled tells whether an exception has an id under the structure that a decision names; its far structure may be any of its line.
func (d *deciding) wasCalled(exception int, id string, decision *Decision) bool {
	key := d.r.Key(exception)
	key.Structure = decision.Structure
	if key.To == "" {
		return key.ID() == id
	}
	for number := range d.where.numbers.of(d.r, d.places.lines[key.Line]) {
		if key.To = number; key.ID() == id {
			return true
		}
	}
	return false
}
