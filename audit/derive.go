package audit

import (
	"context"
	"math"

	"dryarc/geo"
)

// Derive finds what geometry tells: per line the ends, spans, chainages, deviations, pollution zones, crossings and
// weight spans, then over the whole network the tees, shared structures and lines that run on. Suspicious geometry
// becomes faults of the project. workers is how many lines are worked on at a time. It fails only when ctx ends.
func Derive(ctx context.Context, n *Network, workers int) error {
	n.resolveConductors()
	layers := n.prepareLayers()
	faults := make([][]Fault, len(n.Lines))
	err := n.eachLine(ctx, workers, everyLine, func(i int) {
		n.deriveLine(i, layers)
		faults[i] = n.suspect(&n.Lines[i])
	})
	if err != nil {
		return err
	}
	for _, found := range faults {
		for _, fault := range found {
			n.Project.Faults.Add(fault)
		}
	}
	n.suspectZones(&layers.zones[0])
	n.markLost()
	n.missAtStrays()
	n.markNetwork()
	return nil
}

// layers are the areas and barriers of the project, prepared for look-up.
type layers struct {
	zones    []zoneAreas // by the rules under which they stand
	barriers *geo.Barriers
	broken   *geo.Barriers // boxes in which crossings may lie
	kinds    []uint64      // bit of each crossing's kind
	mayCross uint64        // kinds of crossings that may lie anywhere
}

func (n *Network) prepareLayers() layers {
	p := n.Project
	in := layers{zones: make([]zoneAreas, len(p.Rules)+1), kinds: make([]uint64, len(p.Crossings))}
	for rules := range in.zones {
		in.zones[rules] = n.prepareZones(rules)
	}
	var barriers, broken []geo.Barrier
	for i, crossing := range p.Crossings {
		kind := p.Symbols.Text(crossing.Kind)
		if crossing.Kind == 0 {
			kind = UnreadableKind
		}
		in.kinds[i] = n.kindBit(kind)
		barrier := geo.Barrier{Lines: crossing.Lines, Polygons: crossing.Polygons, Key: i}
		switch {
		case crossing.Anywhere:
			in.mayCross |= in.kinds[i]
		case crossing.Broken:
			broken = append(broken, barrier)
		default:
			barriers = append(barriers, barrier)
		}
	}
	in.barriers, in.broken = geo.NewBarriers(barriers), geo.NewBarriers(broken)
	return in
}

func (n *Network) deriveLine(l int, in layers) {
	line := &n.Lines[l]
	var chainage float64
	arriving := math.NaN()
	if line.Closed {
		arriving = n.leg(line.End-1, line.First).AzimuthIn
	}
	for i := line.First; i < line.End; i++ {
		st := &n.structures[i]
		here := n.Position(i)
		st.terminal = n.endsHere(line, i)
		n.lookUpZone(line, st, here, &in.zones[line.zones])
		st.chainageM = chainage
		next := n.next(line, i)
		if next < 0 {
			arriving = math.NaN()
			if i+1 < line.End {
				chainage += n.leg(i, i+1).LengthM
			}
			continue
		}
		leg := n.leg(i, next)
		st.spanAheadM = leg.LengthM
		st.deviationDeg = geo.Deviation(arriving, leg.AzimuthOut)
		chainage += leg.LengthM
		arriving = leg.AzimuthIn
		in.barriers.Crossed(here, n.Position(next), func(key int) { st.crossed |= in.kinds[key] })
		st.mayCross = in.mayCross
		in.broken.Crossed(here, n.Position(next), func(key int) { st.mayCross |= in.kinds[key] })
	}
	n.deriveProfile(l)
	line.Usual = n.usualStrings(l)
}
