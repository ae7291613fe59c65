package audit

import (
	"fmt"
	"math"
	"slices"

	"dryarc/audit/basis"
)

// SiteReads says on what of its structure the verdict of a check on an assembly rests, beside its line, the criteria and the assembly itself as it
// is resolved there. None of them means that it may rest on anything.
type SiteReads uint8

// What is read of a structure.
const (
	ReadsLine     SiteReads = 1 << iota // nothing of the structure
	ReadsZone                           // what the zones ask for
	ReadsAltitude                       // its ground level, as far as altitude factors go by it
)

// SiteKey is what of a structure is read, in a form that is equal where it is. TestVerdictsRestOnWhatChecksSayOfTheSite holds that it
// forgets nothing.
type SiteKey struct {
	zone     zoneRead
	altitude altitudeRead
}

// zoneRead is what the zones ask of a structure; figures by their bits, since some are NaN.
type zoneRead struct {
	class                            basis.Class
	specificCreepage, lesserCreepage uint64
	statedBase                       basis.Base
	doubt                            Reason
}

// altitudeRead is what the altitude of a structure raises.
type altitudeRead struct {
	unknown          Reason
	withstand        [Wet + 1]uint64 // factor by shape; NaN where there is none
	creepage         uint64
	creepageNotKnown Reason
	errorM, level    uint64 // of a level that is known with an error, since more than the factors rests on it
}

// Reads returns what of the structure is read.
func (s *Site) Reads() *SiteKey {
	if !s.keyed {
		s.key, s.keyed = s.base.siteReads(), true
	}
	return &s.key
}

// siteReads is what of the structure of a subject is read.
func (s *Subject) siteReads() (key SiteKey) {
	st := s.Structure
	key.zone = zoneRead{st.Class, math.Float64bits(st.SpecificCreepage), math.Float64bits(st.LesserCreepage), st.StatedBase, st.Doubt}
	key.altitude.unknown = s.LacksGround()
	for shape := range key.altitude.withstand {
		ka, _, err := basis.AltitudeFactor(s.Criteria.AltitudeBasis, st.GroundM, s.Criteria.Exponent(Shape(shape)))
		if err != nil {
			ka = math.NaN()
		}
		key.altitude.withstand[shape] = math.Float64bits(ka)
	}
	key.altitude.creepageNotKnown = s.LacksCreepageAltitude()
	ka, err := basis.CreepageAltitudeFactor(st.GroundM, s.Criteria.CreepageAltitudeExponent.Value)
	if err != nil {
		ka = math.NaN()
	}
	key.altitude.creepage = math.Float64bits(ka)
	if e, _ := s.TerrainErrors(); e[1] > 0 || s.Criteria.statesErrors() {
		key.altitude.errorM, key.altitude.level = math.Float64bits(e[1]), math.Float64bits(st.GroundM)
	}
	return key
}

// As tells whether two structures are the same in what is read of them.
func (k *SiteKey) As(other *SiteKey, reads SiteReads) bool {
	return (reads&ReadsZone == 0 || k.zone == other.zone) && (reads&ReadsAltitude == 0 || k.altitude == other.altitude)
}

// LineReads returns what checks that say on what of a structure they rest read of its line, in a form that is equal where it is: all of the line
// but how it is called, which structures, circuits and how many rows it has, where its row stood and how many of its strings are as usual, where they are enough. TestVerdictsRestOnWhatChecksSayOfTheSite holds that it
// forgets nothing. It is told only of lines of one network.
func (s *Site) LineReads() string {
	l := *s.base.Line
	l.Symbol, l.First, l.End, l.Circuits, l.circuitAt, l.route, l.RowsPlaced = 0, 0, 0, nil, nil, nil, min(l.RowsPlaced, 1)
	l.Row.Line, l.Row.Name, l.Row.Source, l.Row.Set = 0, 0, Source{}, nil
	l.Usual = slices.Clone(l.Usual)
	for i := range l.Usual {
		l.Usual[i].Strings = min(l.Usual[i].Strings, enoughStrings) // whether they are enough to tell
	}
	conductors, faulty := l.Catalogue, l.CatalogueFaulty // of the network
	l.Catalogue, l.CatalogueFaulty = nil, nil
	return fmt.Sprintf("%#v %p %d %p %d", l, conductors, len(conductors), faulty, len(faulty))
}
