package history

import (
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/paulmach/orb"
)

// keyParts are the parts that the keys of a line's exceptions may have, empty ones among them.
type keyParts struct{ circuits, phases, sides []string }

// partsOf gathers the parts of keys of what hangs on a line.
func (d *deciding) partsOf(line int) *keyParts {
	parts, known := d.parts[line]
	if !known {
		parts = &keyParts{circuits: []string{""}, phases: []string{""}, sides: []string{""}}
		d.r.Network.EachAssembly(line, func(_ *audit.Subject, at *audit.Location) {
			key := d.r.KeyOf(0, at, 0)
			parts.circuits, parts.phases, parts.sides = addPart(parts.circuits, key.Circuit), addPart(parts.phases, key.Phase), addPart(parts.sides, key.Side)
		})
		d.parts[line] = parts
	}
	return parts
}

func addPart(to []string, part string) []string {
	if slices.Contains(to, part) {
		return to
	}
	return append(to, part)
}

// rename gives a decision on an exception that is not there the line and the structure that it is of now, and the id which the exception has under
// them, so that it is found when it comes back.
func (d *deciding) rename(decision *Decision) {
	was := *decision
	decision.Line = d.lineOfDecision(decision)
	if now, is := d.places.structures[[2]string{decision.Line, decision.Structure}]; is {
		decision.Structure = now
	}
	if was.Exception == "" || was.Line == decision.Line && was.Structure == decision.Structure {
		return
	}
	line, there := d.places.lines[decision.Line]
	if !there {
		return
	}
	held, figures := parseFigures(decision.Was)[was.Exception]
	if !figures {
		held.at = noPosition
	}
	structure := d.structureOf(line, decision.Structure, held.at)
	if structure < 0 {
		return
	}
	key, found := d.keyCalled(&was, line, structure)
	if !found {
		return
	}
	decision.Exception, decision.Structure = key.ID(), key.Structure
	parts := strings.Split(decision.Was, "; ")
	for k, part := range parts {
		if figures && figuresID(part) == was.Exception {
			held.id = decision.Exception
			parts[k] = held.String()
		}
	}
	decision.Was = strings.Join(parts, "; ")
}

// structureOf is the structure of a line that stood at a place under a number: the one that stands there, or that bears the number; -1 for none.
func (d *deciding) structureOf(line int, number string, at orb.Point) int {
	i, there := d.where.numbers.of(d.r, line)[number]
	if there && (!located(at) || mayBeMeasuredAnew(d.r.Network, line, i, at)) {
		return i
	}
	if here := d.where.ground(d.r.Network, line).at(at); located(at) && len(here) == 1 {
		return here[0]
	}
	return -1
}

// keyCalled is the key now of what had the id of a decision under its names, sought among all that may be of a structure; false where none had it.
func (d *deciding) keyCalled(was *Decision, line, structure int) (key audit.Key, found bool) {
	parts, at := d.partsOf(line), audit.AtStructure(line, structure)
	for _, to := range d.farFrom(line, structure) {
		for _, circuit := range parts.circuits {
			for _, phase := range parts.phases {
				for _, side := range parts.sides {
					key := audit.Key{Check: was.Check, Line: was.Line, Structure: was.Structure, To: to[0], Circuit: circuit, Phase: phase, Side: side}
					if key.ID() == was.Exception {
						now := d.r.KeyOf(0, &at, 0)
						key.Line, key.Structure, key.To = now.Line, now.Structure, to[1]
						return key, true
					}
				}
			}
		}
	}
	return key, false
}

// farFrom are the far structures that an exception of a structure may have, none among them: their numbers as they were and as they are.
func (d *deciding) farFrom(line, structure int) [][2]string {
	far := [][2]string{{}}
	at := audit.AtLine(line)
	name := d.r.KeyOf(0, &at, 0).Line
	for _, beside := range [...]int{structure - 1, structure + 1} {
		if l := &d.r.Network.Lines[line]; beside < l.First || beside >= l.End {
			continue
		}
		at := audit.AtStructure(line, beside)
		now := d.r.KeyOf(0, &at, 0).Structure
		far = append(far, [2]string{now, now})
		for of, number := range d.places.structures {
			if of[0] == name && number == now {
				far = append(far, [2]string{of[1], now})
			}
		}
	}
	return far
}
