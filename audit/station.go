package audit

import (
	"math"
	"slices"
)

// A structure is kept as a station, a course, a profile and surroundings. There are as many of each as the lines have structures, so what
// many share stands elsewhere; what only positions and zones tell stands apart, for networks that share it.

// station is what hangs at a structure, and what its line says of it.
type station struct {
	firstAssembly  uint32 // index in Network.placed
	conductorAhead Symbol
	marks          marks
	bundleAhead    uint8 // subconductors of the span ahead, 0 where not stated
}

// course is what the positions of a structure and the next tell.
type course struct {
	spanAheadM   float64 // NaN where there is no span ahead
	deviationDeg float64 // NaN at ends and where it cannot be told
	row          uint32  // index in Project.Structures
	span         uint32  // 1 + its place in Network.crossings, of the span ahead; 0 where it crosses nothing
}

// profile is what spans come to by where the sections of a line end.
type profile struct {
	weightSpanColdM float64 // NaN where it cannot be told
	rulingAheadM    float64
}

func (p *profile) equals(other *profile) bool {
	return math.Float64bits(p.weightSpanColdM) == math.Float64bits(other.weightSpanColdM) && math.Float64bits(p.rulingAheadM) == math.Float64bits(other.rulingAheadM)
}

// surroundings are the zones of a structure.
type surroundings struct {
	site      uint32  // 1 + its place in Network.sites; 0 outside every zone and near none
	nearZoneM float32 // to the nearest worse zone of the site
}

// marks are what is known of a structure as yes or no.
type marks uint16

const (
	terminal        marks = 1 << iota
	sharedPlace           // another line stands here too
	doubtful              // beside suspicious geometry
	conductorFaulty       // that of the span ahead
	bundleFaulty          // how many subconductors it has
	courseFaulty          // its spans or its end, since a structure near by is left out
	mayMiss               // a structure may be missing beside it
	circuitUnread         // one of its rows names a circuit that nobody can read
	circuitBlank          // one of its rows that may carry a phase leaves its circuit blank
	circuitOpen           // all of them do, on a line of several circuits
	teeFaulty             // a line may end here, whose voltage or that of this one cannot be read
	roomDoubted           // its own clearance is implausible at the voltage of its line; its row, which scenarios share, does not say so
)

func (st *station) is(m marks) bool { return st.marks&m != 0 }

func (st *station) mark(m marks) { st.marks |= m }

// set gives a mark, or takes it away.
func (st *station) set(m marks, is bool) {
	st.marks &^= m
	if is {
		st.marks |= m
	}
}

// spanCrosses are kinds of what a span crosses, by bit.
type spanCrosses struct {
	crossed  uint64
	mayCross uint64 // kinds of crossings, where these lie not being readable, that it may cross
}

// site is where a structure stands among the zones.
type site struct {
	zone      int32 // index in Network.Zones, −1 outside every zone
	nearZone  int32 // the nearest worse zone within the margin, −1 for none
	doubtZone int32 // a zone that leaves the class in doubt, −1 for none
	doubt     siteDoubt
}

// newStations makes room for structures of these rows, of which nothing is known yet.
func (n *Network) newStations(rows []uint32) {
	n.structures, n.profiles, n.around = make([]station, len(rows)), newProfiles(len(rows)), make([]surroundings, len(rows))
	n.newCourses(len(rows), func(i int) uint32 { return rows[i] })
}

func (n *Network) newCourses(count int, row func(i int) uint32) {
	courses := make([]course, count)
	for i := range courses {
		courses[i] = course{math.NaN(), math.NaN(), row(i), 0}
	}
	n.courses, n.chainages = courses, make([]float64, (count+chainageStep-1)/chainageStep)
}

func newProfiles(count int) []profile {
	return slices.Repeat([]profile{{math.NaN(), math.NaN()}}, count)
}

// noSite is that of a structure outside every zone and near none.
var noSite = site{zone: nowhere, nearZone: nowhere, doubtZone: nowhere}

// siteOf is where a structure stands among the zones.
func (n *Network) siteOf(structure int) site {
	at := n.around[structure].site
	if at == 0 {
		return noSite
	}
	return n.sites.get(at - 1)
}

// stand notes where a structure stands.
func (n *Network) stand(structure int, at site) {
	if at != noSite {
		n.around[structure].site = 1 + n.sites.keep(at)
	}
}

// crossedBy is what the span ahead of a structure crosses.
func (n *Network) crossedBy(structure int) spanCrosses {
	at := n.courses[structure].span
	if at == 0 {
		return spanCrosses{}
	}
	return n.crossings.get(at - 1)
}

// cross notes what the span ahead of a structure crosses.
func (n *Network) cross(structure int, by spanCrosses) {
	if by != (spanCrosses{}) {
		n.courses[structure].span = 1 + n.crossings.keep(by)
	}
}

// chainageStep is for how many structures one chainage is kept; those between are reckoned from it (a choice of this program).
const chainageStep = 16

// ChainageM is how far along its line a structure stands, in m: the lengths from structure to structure added up, also where there is no span.
func (n *Network) ChainageM(l, structure int) float64 {
	line := &n.Lines[l]
	from, chainage := line.First, 0.0
	if kept := structure - structure%chainageStep; kept > from {
		from, chainage = kept, n.chainages[kept/chainageStep]
	}
	for i := from; i < structure; i++ {
		chainage += n.aheadM(line, i)
	}
	return chainage
}

// aheadM is the length from a structure to the next in the order of its line.
func (n *Network) aheadM(line *Line, i int) float64 {
	if n.next(line, i) < 0 {
		return n.leg(i, i+1).LengthM
	}
	return n.courses[i].spanAheadM
}
