package audit

import "slices"

// held tells whether the register holds every phase of a circuit in tension on both sides of a structure. Where it does not, and
// no phase is known to run through, the register leaves open whether it does, and unsure says why.
func (n *Network) held(c *Circuit, structure int) (held bool, unsure Reason) {
	var sided [Ahead + 1]Phases // those that a readable row names
	var through Phases
	rows, faulty := 0, false
	for _, r := range n.rowsMayBeOf(structure, c.Symbol) {
		row := n.Project.Assemblies.saidOf(r)
		open := row.Faulty&KeyCells != 0
		if row.Circuit != c.Symbol && !row.Faulty.Has(CellCircuits) || !row.Duty.CarriesPhase() && !(open && row.Duty == DutyUnknown) {
			continue
		}
		rows++
		faulty = faulty || open
		switch {
		case open:
		case row.Duty != Tension:
			through |= row.Phases
		default:
			for _, side := range n.Project.Assemblies.ownOf(r).Side.each() {
				sided[side] |= row.Phases
			}
		}
	}
	all := func(phases Phases) bool { return c.Phases&^phases == 0 }
	switch {
	case all(sided[Back]) && all(sided[Ahead]):
		return true, NoReason
	case faulty: // which may be what holds a phase
		return false, FaultyField
	case c.Phases&through&^(sided[Back]|sided[Ahead]|sided[NoSide]) != 0:
		return false, NoReason
	case rows == 0:
		return false, NothingRegisteredHere
	case all(sided[Back]|sided[NoSide]) && all(sided[Ahead]|sided[NoSide]):
		return false, SideNotStated
	}
	return false, PhaseNotHeld
}

// SectionsAsRegistered are the sections of a line as the register has them, those of each circuit where they differ.
func (n *Network) SectionsAsRegistered(line int) []Section {
	l := &n.Lines[line]
	if len(l.Circuits) == 0 {
		return n.Sections(line, func(int) bool { return false })
	}
	first := n.sectionsOf(line, &l.Circuits[0])
	all, differ := first, false
	for i := 1; i < len(l.Circuits); i++ {
		own := n.sectionsOf(line, &l.Circuits[i])
		differ = differ || !slices.EqualFunc(first, own, func(a, b Section) bool {
			return a.First == b.First && a.Last == b.Last && a.Unsure == b.Unsure && a.SurelyM == b.SurelyM
		})
		all = append(all, own...)
	}
	if differ {
		return all
	}
	for k := range first {
		first[k].Circuit = 0
	}
	return first
}

// sectionsOf are the sections of one circuit, from where it begins to where it ends.
func (n *Network) sectionsOf(line int, c *Circuit) []Section {
	sections := n.Sections(line, func(i int) bool {
		held, _ := n.held(c, i)
		return held || c.endsAt(i)
	})
	sections = slices.DeleteFunc(sections, func(s Section) bool { return c.EndsFirst && s.Last <= c.First || c.EndsLast && s.First >= c.Last })
	for k := range sections {
		s := &sections[k]
		s.Circuit = c.Symbol
		part, i := 0.0, s.First
		for range s.Spans {
			part += n.courses[i].spanAheadM
			s.SurelyM = max(s.SurelyM, part)
			i = n.next(&n.Lines[line], i)
			if _, unsure := n.held(c, i); unsure != NoReason && i != s.Last {
				s.Unsure, part = max(s.Unsure, unsure), 0
			}
		}
	}
	return sections
}

// cutAsRegistered tells whether the spans before and after a structure have tensions of their own: no circuit there, as far as is
// known, runs through in suspension.
func (n *Network) cutAsRegistered(line *Line, structure int) bool {
	cut := false
	for i := range line.Circuits {
		c := &line.Circuits[i]
		switch held, unsure := n.held(c, structure); {
		case held:
			cut = true
		case unsure == NothingRegisteredHere:
		case unsure == NoReason, !n.hasTension(c, structure):
			return false
		default:
			cut = true
		}
	}
	return cut
}

// hasTension tells whether the register has a tension assembly of a circuit at a structure.
func (n *Network) hasTension(c *Circuit, structure int) bool {
	return slices.ContainsFunc(n.rowsMayBeOf(structure, c.Symbol), func(r uint32) bool {
		row := n.Project.Assemblies.saidOf(r)
		return (row.Circuit == c.Symbol || row.Faulty.Has(CellCircuits)) && row.Duty == Tension
	})
}
