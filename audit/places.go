package audit

import "math"

// resolveAtStructure fills what a row leaves to its structure and circuit: the one side of a tension assembly where the
// line or the circuit ends, and the phases of a row that names none.
func resolveAtStructure(a *Assembly, line *Line, s *Structure) {
	for i := range line.Circuits {
		c := &line.Circuits[i]
		if c.Symbol != a.Circuit {
			continue
		}
		a.CircuitEnds = s.Role != Terminal && c.endsAt(s.Index)
		if a.Phases == EveryPhase {
			a.Phases = c.Phases
		}
		if a.Duty.HasSides() && a.Side == NoSide && !a.Faulty.Has(CellSide) {
			if sides := sidesOf(s, c); len(sides) == 1 {
				a.Side = sides[0]
			}
		}
	}
}

// endsAt tells whether a circuit ends at a structure although another circuit of the line goes on.
func (c *Circuit) endsAt(structure int) bool {
	return c.EndsFirst && structure == c.First || c.EndsLast && structure == c.Last
}

var bothSides = [...]Side{Back, Ahead}

// sidesOf lists the sides on which a circuit has spans at a structure: at a line end or where the circuit ends those with a span of it,
// elsewhere both.
func sidesOf(s *Structure, c *Circuit) []Side {
	if s.Role != Terminal && !c.endsAt(s.Index) {
		return bothSides[:]
	}
	sides := bothSides[:]
	if math.IsNaN(s.SpanAheadM) || c.EndsLast && s.Index == c.Last {
		sides = sides[:1]
	}
	if math.IsNaN(s.SpanBackM) || c.EndsFirst && s.Index == c.First {
		sides = sides[1:]
	}
	return sides
}

// appendPlaces lists the places of a structure: for each circuit expected or registered there one place, or one for each
// side where the circuit has tension assemblies whose sides are known. A line end needs its line side only.
// Assemblies without sides (suspension, pin, post, shackle) serve both sides.
func appendPlaces(places []Place, line *Line, s *Structure, assemblies []Assembly) []Place {
	for i := range line.Circuits {
		c := &line.Circuits[i]
		p := Place{Circuit: c.Symbol, Expected: c.Phases, SideKnown: true}
		var unsided Phases
		var sided [Ahead + 1]Phases
		for k := range assemblies {
			a := &assemblies[k]
			if a.Faulty.Has(CellDuty) || a.Faulty.Has(CellPhase) || a.Faulty.Has(CellCircuits) || a.Faulty.Has(CellSide) {
				p.FaultyRows = true
			}
			if a.Circuit != c.Symbol || (!a.Duty.CarriesPhase() && a.Duty != DutyUnknown) {
				continue
			}
			p.Assemblies++
			if a.Duty.HasSides() {
				p.Tension = true
				p.SideKnown = p.SideKnown && a.Side != NoSide
				sided[a.Side] |= a.Phases
			} else {
				unsided |= a.Phases
			}
		}
		if p.Assemblies == 0 && (s.Index < c.First || s.Index > c.Last) {
			continue
		}
		sides := sidesOf(s, c)
		if !p.Tension || !p.SideKnown || len(sides) == 0 {
			p.Present = unsided | sided[NoSide] | sided[Back] | sided[Ahead]
			places = append(places, p)
			continue
		}
		for _, side := range sides {
			p.Side, p.Present = side, unsided|sided[side]
			places = append(places, p)
		}
	}
	return places
}
