package read

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// pointOrder counts how the coordinates under X and Y fit a projected system, as written and with the two exchanged: surveyors call the
// northing X, and most GIS the easting.
type pointOrder struct {
	near, believed struct{ written, exchanged positionCount }
	example        orb.Point
}

// nearM is how far from its central meridian the positions of a system mostly lie, in metres: a zone of 6 degrees reaches 334 km (a
// choice of this program).
const nearM = 500e3

// note counts a position.
func (o *pointOrder) note(s *system, x, y float64) {
	o.example = orb.Point{x, y}
	count := func(c *positionCount, fits bool) {
		c.total++
		if !fits {
			c.outside++
		}
	}
	meridian := (s.east[0] + s.east[1]) / 2
	for _, to := range [...]struct {
		near, believed    *positionCount
		easting, northing float64
	}{{&o.near.written, &o.believed.written, x, y}, {&o.near.exchanged, &o.believed.exchanged, y, x}} {
		believed := s.believes(to.easting, to.northing)
		count(to.believed, believed)
		count(to.near, believed && math.Abs(to.easting-meridian) <= nearM)
	}
}

// checkOrder refuses coordinates whose headings do not say which is the easting where their figures do not tell it either, or tell that
// it is the second. An order is told by the figures near the central meridian, else by those that are believed at all.
func (t *pointTable) checkOrder(l *layer) error {
	if !t.unordered || !l.placing.projected() || t.order.near.written.total == 0 {
		return nil
	}
	fits := [2]bool{!t.order.near.written.refused(), !t.order.near.exchanged.refused()}
	if fits == [2]bool{} {
		fits = [2]bool{!t.order.believed.written.refused(), !t.order.believed.exchanged.refused()}
	}
	x, y := t.headings[t.x], t.headings[t.y]
	asWritten, exchanged := fmt.Sprintf("{easting: %q, northing: %q}", x, y), fmt.Sprintf("{easting: %q, northing: %q}", y, x)
	switch fits {
	case [2]bool{true, true}:
		return &InputError{File: t.in.name, Message: fmt.Sprintf("its columns %q and %q do not say which is the easting, and either may be by figures such as [%s] in %s, so that nobody can tell where the structures stand",
			x, y, coordinates(t.order.example), l.placing.system),
			Hint: fmt.Sprintf("say it under %s in the project file: properties: %s, or %s", l.section, asWritten, exchanged)}
	case [2]bool{false, true}:
		return &InputError{File: t.in.name, Message: fmt.Sprintf("its columns %q and %q fit %s only with the northing under %q, by figures such as [%s]",
			x, y, l.placing.system, x, coordinates(t.order.example)),
			Hint: fmt.Sprintf("if that is so, say it under %s in the project file: properties: %s", l.section, exchanged)}
	case [2]bool{true, false}:
		l.notes = append(l.notes, fmt.Sprintf("%q is taken for the easting, as the figures fit %s only so", x, l.placing.system))
	}
	return nil
}
