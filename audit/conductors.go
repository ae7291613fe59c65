package audit

import (
	"fmt"
	"math"
	"slices"

	"dryarc/audit/basis"
)

// Carried is what a span carries as far as that is not what its line states; the zero value is the line's own conductor in the
// line's own bundle.
type Carried struct {
	Conductor     int32 // 1 + index in Line.Catalogue, −1 for one that the catalogue does not have
	Subconductors uint8
	// Faulty and BundleFaulty tell that which conductor it is, or how many, cannot be read.
	Faulty, BundleFaulty bool
}

// resolveConductors finds for each line its conductor, and for each structure that of the span ahead and its bundle.
func (n *Network) resolveConductors() {
	p := n.Project
	n.conductors = map[Symbol]int32{}
	for i := range p.Conductors {
		if symbol, known := p.Symbols.Find(p.Conductors[i].Name); known {
			n.conductors[symbol] = int32(i)
		}
	}
	for l := range n.Lines {
		line := &n.Lines[l]
		line.Catalogue, line.CatalogueFaulty = p.Conductors, p.ConductorFaults
		if i, known := n.conductors[line.Row.Conductor]; known {
			line.Conductor, line.ConductorFaulty = &p.Conductors[i], FaultsOf(p.ConductorFaults, int(i))
		}
		n.doubtTensions(line)
		conductor, conductorUnread := line.Row.Conductor, line.Row.Faulty.Has(CellConductor)
		bundle, bundleUnread := uint8(max(line.Row.Subconductors, 0)), line.Row.Faulty.Has(CellStrings)
		for i := line.First; i < line.End; i++ {
			row, st := n.said(i), &n.structures[i]
			if row.ConductorAhead != 0 || row.Faulty.Has(CellConductor) {
				conductor, conductorUnread = row.ConductorAhead, row.Faulty.Has(CellConductor)
			}
			if row.statesBundle() {
				bundle, bundleUnread = row.SubconductorsAhead, row.Faulty.Has(CellStrings)
			}
			st.conductorAhead, st.bundleAhead = conductor, bundle
			st.set(conductorFaulty, conductorUnread)
			st.set(bundleFaulty, bundleUnread)
			line.AttachmentsStated = line.AttachmentsStated || !math.IsNaN(row.AttachmentM) || row.Faulty.Has(CellAttachment)
			line.GroundStated = line.GroundStated || !math.IsNaN(n.own(i).GroundM) || row.Faulty.Has(CellGround) || len(n.Project.Terrain) > 0
		}
	}
}

// carriesKnown tells whether the conductor of a line is known, or that of a span of it.
func (n *Network) carriesKnown(line *Line) bool {
	return line.Conductor != nil || slices.ContainsFunc(n.structures[line.First:line.End], func(st station) bool {
		_, known := n.conductors[st.conductorAhead]
		return known
	})
}

// statesBundle tells whether a structure says how many subconductors the spans ahead carry, readable or not.
func (r *saidStructure) statesBundle() bool {
	return r.SubconductorsAhead != 0 || r.Faulty.Has(CellStrings)
}

// carried is what the span ahead of a structure carries.
func (n *Network) carried(line *Line, i int) Carried {
	st := &n.structures[i]
	c := Carried{Faulty: st.is(conductorFaulty), BundleFaulty: st.is(bundleFaulty)}
	if st.conductorAhead != line.Row.Conductor {
		c.Conductor = nowhere
		if at, known := n.conductors[st.conductorAhead]; known {
			c.Conductor = at + 1
		}
	}
	if int(st.bundleAhead) != max(line.Row.Subconductors, 0) {
		c.Subconductors = st.bundleAhead
	}
	return c
}

// bundle is the number of subconductors of a phase, 0 where nobody states it; below 300 kV that is one, which is listed as an
// assumption.
func (l *Line) bundle(stated int) int {
	if stated < 1 && !l.mayHaveBundles() {
		return 1
	}
	return max(stated, 0)
}

// mayHaveBundles tells whether a phase may have more than one conductor by the highest voltage, else by the highest that may go with
// the nominal one; where these contradict each other, by either.
func (l *Line) mayHaveBundles() bool {
	if l.oneConductor {
		return false
	}
	if math.IsNaN(l.HighestKV) && !l.Row.Faulty.Has(CellVoltage) {
		return basis.NominalMayHaveBundles(l.Row.NominalKV)
	}
	return basis.MayHaveBundles(l.HighestKV)
}

// bundleUnknown is why nobody can tell how many subconductors a span has that states none.
func (l *Line) bundleUnknown() Reason {
	if math.IsNaN(l.HighestKV) && l.Row.Faulty.Has(CellVoltage) {
		return FaultyField
	}
	return SubconductorsNotStated
}

// changesBundle says in words that the bundle behind a structure is of another size than the one ahead; unstated where the size of
// one of them is not known.
func (l *Line) changesBundle(behind, ahead uint8) (what string, unstated Reason) {
	before, after := l.bundle(int(behind)), l.bundle(int(ahead))
	switch {
	case before == after:
		return "", NoReason
	case before == 0 || after == 0:
		return "", l.bundleUnknown()
	}
	return fmt.Sprintf("the bundle changes from %d to %d subconductors", before, after), NoReason
}

// wire is what spans carry that load one assembly.
type wire struct {
	*basis.Conductor
	faulty        Cells // of the row of the conductor
	other         bool  // not the line's conductor
	subconductors int
	noBundle      Reason // why the number of subconductors is not known
}

// wire finds what the span on one side of a structure carries; on no side, what its spans carry alike.
func (l *Line) wire(s *Structure, side Side) (w wire, reason Reason) {
	back, ahead := s.CarriesBack, s.CarriesAhead
	if side == Back || side != Ahead && math.IsNaN(s.SpanAheadM) && !math.IsNaN(s.SpanBackM) {
		ahead = back
	} else if side == Ahead || math.IsNaN(s.SpanBackM) {
		back = ahead
	}
	switch {
	case l.Row.Faulty.Has(CellConductor) || back.Faulty || ahead.Faulty:
		return w, FaultyField
	case back.Conductor != ahead.Conductor:
		return w, SpansDiffer
	}
	w = wire{Conductor: l.Conductor, faulty: l.ConductorFaulty}
	if back.Conductor != 0 {
		w.Conductor, w.other = nil, true
		if at := int(back.Conductor) - 1; at >= 0 && at < len(l.Catalogue) {
			w.Conductor, w.faulty = &l.Catalogue[at], FaultsOf(l.CatalogueFaulty, at)
		}
	}
	w.subconductors, w.noBundle = l.alike(back, ahead)
	return w, NoReason
}

// alike is the number of subconductors that two spans both have.
func (l *Line) alike(back, ahead Carried) (subconductors int, reason Reason) {
	size := func(c Carried) int {
		if c.Subconductors > 0 {
			return int(c.Subconductors)
		}
		return l.bundle(l.Row.Subconductors)
	}
	ofLine := back.Subconductors == 0 || ahead.Subconductors == 0
	switch before, after := size(back), size(ahead); {
	case back.BundleFaulty || ahead.BundleFaulty, ofLine && l.Row.Faulty.Has(CellStrings):
		return 0, FaultyField
	case before == 0 || after == 0:
		return 0, l.bundleUnknown()
	case before != after:
		return 0, SpansDiffer
	default:
		return before, NoReason
	}
}
