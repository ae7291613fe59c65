package read

import (
	"fmt"
	"math"

	"github.com/go-spatial/proj/core"
	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"
)

// placing takes the positions of one file to WGS 84. Heights stay what they are, metres.
type placing struct {
	file, section string
	system        *system
	keyed         bool // the project file names the system
	looked        bool // the file is only looked at, whatever its system

	positions positionCount // features by their first misfit, of a projected system
	degrees   int           // of those outside
	misfit    orb.Point
	elsewhere *orb.Point // a position where the system's datum is not taken as WGS 84
	written   orb.Bound  // around the positions of a projected system, as they stand in the file
	row       uint32     // of the feature at hand
	added     int        // positions on edges
	offside   offside    // features far from where their system is made for
}

// projected tells whether positions are eastings and northings.
func (p *placing) projected() bool { return p.system.project != nil }

// position returns the longitude and latitude of an easting and northing; ok is false where it is not believed.
func (p *placing) position(easting, northing float64) (lon, lat float64, ok bool) {
	if !p.system.believes(easting, northing) {
		return 0, 0, false
	}
	at, err := p.system.project.Inverse(&core.CoordXY{X: easting, Y: northing})
	if err != nil {
		return 0, 0, false
	}
	lon, lat = at.Lam*180/math.Pi, at.Phi*180/math.Pi
	p.written = p.written.Extend(orb.Point{easting, northing})
	return lon, lat, inRange(lon, lat)
}

// believes tells whether a position is within the limits of the system. One that looks like degrees is not, but in the
// systems in which it lies where people do.
func (s *system) believes(easting, northing float64) bool {
	return easting >= s.east[0] && easting <= s.east[1] && northing >= s.north[0] && northing <= s.north[1] && (s.origin || !inRange(easting, northing))
}

// shape takes every position of a geometry to WGS 84, in place. The error says which cannot be.
func (p *placing) shape(shape geom.T) error {
	if !p.projected() {
		if len(p.system.elsewhere) > 0 {
			p.passAll(shape)
		}
		return nil
	}
	if _, is := shape.(*geom.GeometryCollection); is || len(shape.FlatCoords()) < 2 {
		return nil // nobody takes a collection, which has no positions of its own, nor an empty ring
	}
	flat, stride := shape.FlatCoords(), shape.Stride()
	first := orb.Point{flat[0], flat[1]}
	for i := 0; i+1 < len(flat); i += stride {
		lon, lat, ok := p.position(flat[i], flat[i+1])
		if !ok {
			return p.outside(orb.Point{flat[i], flat[i+1]})
		}
		flat[i], flat[i+1] = lon, lat
	}
	p.inside(first)
	p.noteUse(first, flat[0], flat[1])
	return nil
}

// inside counts a feature by its first position as it is written. One that may be in degrees is believed for itself; if
// there are many, the file is not.
func (p *placing) inside(at orb.Point) {
	p.positions.total++
	if inRange(at[0], at[1]) {
		p.misfit = at
		p.positions.outside++
		p.degrees++
	}
}

// outside counts a feature with a position that is not believed and says what is wrong with it.
func (p *placing) outside(at orb.Point) error {
	if !isPosition(at[0], at[1]) {
		return fmt.Errorf("has the position %s, expected numbers", coordinates(at))
	}
	p.misfit = at
	p.positions.total++
	p.positions.outside++
	if inRange(at[0], at[1]) {
		p.degrees++
		return fmt.Errorf("has the position %s, which is in degrees, expected easting and northing of %s in metres", coordinates(at), p.system)
	}
	if p.system.believes(at[1], at[0]) {
		p.positions.swappable++
	}
	return fmt.Errorf("has the position %s, which is out of the range of %s, expected %s", coordinates(at), p.system, p.system.limits())
}

// check refuses a file whose positions are no eastings and northings of its system, or lie where that is not taken as WGS 84. A few that
// are no positions are faults of their features.
func (p *placing) check() error {
	if p.elsewhere != nil {
		return &InputError{File: p.file, Message: fmt.Sprintf("has positions such as [%s], where %s is not taken as WGS 84, as another transformation than in the rest of its area is in force there", coordinates(*p.elsewhere), p.system),
			Hint: "convert it, and take out crs if the project file has it: " + convertCommand(p.file, fmt.Sprintf("-s_srs EPSG:%d ", p.system.code))}
	}
	if !p.positions.refused() {
		return p.checkUse()
	}
	message := fmt.Sprintf("%d of %d features have positions ", p.positions.outside, p.positions.total)
	hint := "find out which system its positions are in; longitude and latitude of WGS 84 need no crs"
	switch {
	case 2*p.degrees > p.positions.outside:
		message += fmt.Sprintf("in degrees, such as [%s], expected easting and northing of %s in metres", coordinates(p.misfit), p.system)
	case 2*p.positions.swappable > p.positions.outside:
		message += fmt.Sprintf("out of the range of %s, such as [%s], but in it with the two exchanged; easting and northing are swapped", p.system, coordinates(p.misfit))
		hint = swapMetresHint
	default:
		message += fmt.Sprintf("out of the range of %s, such as [%s], expected %s", p.system, coordinates(p.misfit), p.system.limits())
	}
	return &InputError{File: p.file, Message: message, Hint: hint}
}

const swapMetresHint = "exchange the two coordinates; the easting is first, then the northing, whatever order the system has for its axes"

// pass notes a longitude and latitude where the datum of the system is not taken as WGS 84.
func (p *placing) pass(lon, lat float64) {
	for _, area := range p.system.elsewhere {
		if at := (orb.Point{lon, lat}); area.Contains(at) {
			p.elsewhere = &at
		}
	}
}

// passAll does so with every position of a geometry.
func (p *placing) passAll(shape geom.T) {
	if _, is := shape.(*geom.GeometryCollection); is {
		return // nobody takes one
	}
	flat, stride := shape.FlatCoords(), shape.Stride()
	for i := 0; i+1 < len(flat); i += stride {
		p.pass(flat[i], flat[i+1])
	}
}

// exchanged is the box around the positions if easting and northing were exchanged in the file; around nothing where
// they are longitude and latitude, or cannot be exchanged.
func (p *placing) exchanged() orb.Bound {
	box := nothing()
	if !p.projected() || p.written.IsEmpty() {
		return box
	}
	for _, corner := range [...]orb.Point{p.written.Min, {p.written.Min[0], p.written.Max[1]}, {p.written.Max[0], p.written.Min[1]}, p.written.Max} {
		if lon, lat, ok := p.position(corner[1], corner[0]); ok {
			box = box.Extend(orb.Point{lon, lat})
		}
	}
	return box
}

// understood says how the positions were understood; nothing where they are plainly WGS 84.
func (p *placing) understood() (notes []string) {
	if p.system.code == wgs84 {
		return nil
	}
	note := fmt.Sprintf("coordinates %s, taken as WGS 84", p.system)
	if p.projected() {
		note = fmt.Sprintf("coordinates %s, transformed to WGS 84", p.system)
	}
	if p.system.datumM > 0 {
		note += fmt.Sprintf(", with which its datum agrees within %g m", p.system.datumM)
	}
	return []string{note}
}

// placedPosition is position in WGS 84.
func (f *feature) placedPosition() (position [3]float64, count int, ok bool) {
	position, count, ok = f.position()
	if !ok || !f.placing.projected() {
		if ok {
			f.placing.pass(position[0], position[1])
		}
		return position, count, ok
	}
	written := orb.Point{position[0], position[1]}
	if position[0], position[1], ok = f.placing.position(written[0], written[1]); ok {
		f.placing.inside(written)
		f.placing.noteUse(written, position[0], position[1])
	}
	return position, count, ok
}

// placedShape is shape in WGS 84.
func (f *feature) placedShape() (geom.T, error) {
	shape, err := f.shape()
	if err == nil {
		err = f.placing.shape(shape)
	}
	if err != nil {
		return nil, err
	}
	return shape, nil
}
