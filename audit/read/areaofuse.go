package read

import (
	"fmt"
	"math"

	"dryarc/audit"

	"github.com/paulmach/orb"
)

// Positions are transformed far beyond the area that a projected system is made for, as whole countries are mapped in one zone. But where
// they lie far outside it, they are mostly those of another system, and nothing else would tell.

// useArea is where positions of a system are expected. The zero value expects them everywhere.
type useArea struct {
	bounded     bool
	meridianDeg float64 // the central one
	eastingM    float64 // there
	north       bool    // northings are counted from the equator, so that it is made for the north of it
	south       bool    // or from so far south of it that none of the south is below 0
}

// How far from the central meridian of their system positions are expected, in degrees and in metres: what is beyond both lies outside. On
// the equator 6 degrees are 668 km; the west of Norway, which is mapped in the zone of 15 degrees east, lies 570 km from it. How far
// beyond the equator, in degrees: whole countries that it crosses are mapped in a zone of one side, which reaches to 6 degrees there.
// All three are choices of this program.
const (
	offMeridianDeg = 6
	offMeridianM   = 600e3
	offEquatorDeg  = 8
)

// originNacional is the one system of a family that is made for more than that: for all of Colombia with its sea.
const originNacional = 9377

func (g *family) useArea(meridianDeg, eastingM float64) useArea {
	fromEquator := g.latitude == 0
	return useArea{bounded: g.first != originNacional, meridianDeg: meridianDeg, eastingM: eastingM,
		north: fromEquator && g.northing == 0, south: fromEquator && g.northing == 10e6}
}

// offside are the features of a file that lie outside the area of use of its system, by their first positions.
type offside struct {
	total             int
	meridian, equator offsideFeatures
}

// offsideFeatures are those on one side, with the first of them.
type offsideFeatures struct {
	count  int
	row    uint32
	at     orb.Point // as it is written
	lonLat orb.Point
	offDeg float64
}

func (o *offsideFeatures) note(row uint32, at, lonLat orb.Point, offDeg float64) {
	if o.count == 0 {
		*o = offsideFeatures{0, row, at, lonLat, offDeg}
	}
	o.count++
}

// noteUse takes note of a feature outside the area of use.
func (p *placing) noteUse(at orb.Point, lon, lat float64) {
	use := &p.system.use
	if !use.bounded {
		return
	}
	p.offside.total++
	off := math.Abs(math.Remainder(lon-use.meridianDeg, 360))
	if off > offMeridianDeg && math.Abs(at[0]-use.eastingM) > offMeridianM {
		p.offside.meridian.note(p.row, at, orb.Point{lon, lat}, off)
	}
	if use.north && lat < -offEquatorDeg || use.south && lat > offEquatorDeg {
		p.offside.equator.note(p.row, at, orb.Point{lon, lat}, math.Abs(lat))
	}
}

// checkUse refuses a file most of whose features lie far from the central meridian of its system.
func (p *placing) checkUse() error {
	o := &p.offside.meridian
	if 2*o.count <= p.offside.total {
		return nil
	}
	return &InputError{File: p.file, Message: fmt.Sprintf("%d of %d features lie far outside the area that %s is made for, such as [%s], which in it is %.0f degrees from its central meridian, at %s",
		o.count, p.offside.total, p.system, coordinates(o.at), o.offDeg, degreesOf(o.lonLat)),
		Hint: fmt.Sprintf("find out which system the positions are in: it may be another zone, or a map projection such as EPSG:%d, and write it under %s in the project file; if they are in this one, convert them: %s",
			webMercator, p.section, convertCommand(p.file, fmt.Sprintf("-s_srs %s ", p.system)))}
}

// faultsOfUse says of a file that is read, once, that some of its features lie outside the area of use of its system.
func (l *layer) faultsOfUse() {
	p := l.placing
	say := func(o *offsideFeatures, expected string) {
		if o.count > 0 {
			l.project.Faults.Add(audit.Fault{Kind: audit.Implausible, At: audit.Source{Table: l.table, Row: o.row}, Column: "geometry", Value: coordinates(o.at), Rows: o.count, Weight: audit.ByTheWay,
				Expected: fmt.Sprintf("lies at %s, %s", degreesOf(o.lonLat), expected)})
		}
	}
	say(&p.offside.meridian, fmt.Sprintf("%.0f degrees from the central meridian of %s, far outside the area that it is made for; it is read as it stands, but may be of another zone or system",
		p.offside.meridian.offDeg, p.system))
	side, other := "south", "north"
	if p.system.use.south {
		side, other = other, side
	}
	say(&p.offside.equator, fmt.Sprintf("%.0f degrees %s of the equator, where %s is made for the %s of it; it is read as it stands, but may be of the zone for the %s",
		p.offside.equator.offDeg, side, p.system, other, side))
}

// degreesOf words a longitude and latitude for people.
func degreesOf(at orb.Point) string {
	return fmt.Sprintf("longitude %.2f, latitude %.2f", at[0], at[1])
}
