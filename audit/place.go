package audit

// Place is one circuit at one structure; where the circuit has tension assemblies there, it is one side of it.
type Place struct {
	Circuit     Symbol
	Side        Side   // NoSide where no side is meant
	Expected    Phases // of the circuit
	Present     Phases // that hang here
	Mixed       Phases // that hang in suspension, on a pin or a post and in tension too, but not in tension on this side
	Held        Phases // of Present, those that a tension or shackle assembly whose phase is no fault holds on this side
	Unsure      Phases // of Present, those of no row but such as have a faulty phase
	Tension     bool   // the circuit has tension assemblies at this structure
	SideKnown   bool   // every tension assembly of the circuit says its side
	Beyond      bool   // the circuit has no row here nor beyond, though it hardly ends so near the end of another
	Assemblies  int    // of the circuit at this structure
	FaultyRows  bool   // a row of the structure has a faulty circuit, phase, duty or side, or a lost row may stand here
	CircuitOpen bool   // no row of the structure names its circuit, and they may be of another or of all
	SidesUnsure bool   // it is the duty, the circuit or the side: whether the circuit has sides here is not known
}

// appendPlaces lists the places of a structure: for each circuit expected or registered there one place, or one for each
// side where the circuit has tension assemblies whose sides are known. A line end needs its line side only.
// Assemblies without sides (suspension, pin, post, shackle) serve both sides, but for a phase that also hangs in tension
// here: its conductor is cut, and what takes no one-sided pull holds neither end of it.
func appendPlaces(places []Place, line *Line, s *Structure, assemblies []Assembly) []Place {
	if line.Row.Faulty.Has(CellCircuits) && line.Row.Circuits < 0 && line.RowsPlaced > 0 { // there may be one of which the register has no row
		places = append(places, Place{Expected: EveryPhase, SideKnown: true, FaultyRows: true, SidesUnsure: true})
	}
	faultyRows, sidesUnsure := s.RowsLost, false
	for k := range assemblies {
		faulty := assemblies[k].Faulty
		sidesUnsure = sidesUnsure || faulty.Has(CellDuty) || faulty.Has(CellCircuits) || faulty.Has(CellSide)
		faultyRows = faultyRows || sidesUnsure || faulty.Has(CellPhase)
	}
	next := 0 // of the assemblies, which are in the order of their circuits
	for i := range line.Circuits {
		c := &line.Circuits[i]
		for next < len(assemblies) && line.circuitIndex(assemblies[next].Circuit) < i {
			next++
		}
		p := Place{Circuit: c.Symbol, Expected: c.Phases, SideKnown: true, FaultyRows: faultyRows, SidesUnsure: sidesUnsure, CircuitOpen: s.CircuitOpen, Beyond: s.Index < c.First || s.Index > c.Last}
		var unsided, yielding Phases // without sides, and of them on what takes no one-sided pull
		var sided [Ahead + 1]Phases
		var sure [Ahead + 1]Phases // by side, of rows whose phase is no fault
		var held [Ahead + 1]Phases // of these, on what takes a one-sided pull
		for ; next < len(assemblies) && assemblies[next].Circuit == c.Symbol; next++ {
			a := &assemblies[next]
			if a.Faulty.Has(CellDuty) || a.Faulty.Has(CellCircuits) {
				continue // what it would hold is not known
			}
			if !a.Duty.CarriesPhase() && a.Duty != DutyUnknown {
				continue
			}
			p.Assemblies++
			if !a.Faulty.Has(CellPhase) {
				for _, side := range a.sideHeld().each() {
					sure[side] |= a.Phases
					if a.Duty.HasSides() || a.Duty == Shackle {
						held[side] |= a.Phases
					}
				}
			}
			if a.Duty.HasSides() {
				p.Tension = true
				p.SideKnown = p.SideKnown && a.Side != NoSide
				for _, side := range a.Side.each() {
					sided[side] |= a.Phases
				}
			} else {
				unsided |= a.Phases
				if a.Duty != Shackle {
					yielding |= a.Phases
				}
			}
		}
		if p.Assemblies == 0 && !p.FaultyRows && (s.Index < c.MayFirst || s.Index > c.MayLast) {
			continue
		}
		sides := sidesOf(s, c)
		if !p.Tension || !p.SideKnown || len(sides) == 0 {
			p.Present = unsided | sided[NoSide] | sided[Back] | sided[Ahead]
			p.Held = held[NoSide] | held[Back] | held[Ahead]
			p.Unsure = p.Present &^ (sure[NoSide] | sure[Back] | sure[Ahead])
			places = append(places, p)
			continue
		}
		for _, side := range sides {
			p.Side, p.Present, p.Held = side, unsided|sided[side], held[NoSide]|held[side]
			p.Mixed = yielding & (sided[Back] | sided[Ahead]) &^ sided[side]
			p.Unsure = p.Present &^ (sure[NoSide] | sure[side])
			places = append(places, p)
		}
	}
	return places
}

// sideHeld is the side on which an assembly holds its phases, NoSide where that is both, or not known.
func (a *Assembly) sideHeld() Side {
	if a.Duty.HasSides() {
		return a.Side
	}
	return NoSide
}
