package read

import (
	"fmt"

	"dryarc/audit"
	"dryarc/geo"

	"github.com/paulmach/orb"
)

// Under X and Y most GIS write longitude and latitude, and others the latitude first. Where the figures fit either way, what else the
// project says of where its lines are may tell: its zones, crossings and routes, and structures of other files.

// eitherDegrees is a table of points in degrees whose headings do not say which is the longitude, and whose figures do not either.
type eitherDegrees struct {
	file    string
	x, y    string // the headings
	example orb.Point
	table   uint16
}

// noteDegrees counts a position in degrees.
func (o *pointOrder) noteDegrees(x, y float64) {
	o.example = orb.Point{x, y}
	o.believed.written.note(x, y)
	o.believed.exchanged.note(y, x)
}

// checkDegreesOrder takes note of a table whose headings do not say which of two angles is the longitude where their figures do not tell
// it either, and refuses one where they tell that it is the second.
func (t *pointTable) checkDegreesOrder(l *layer) error {
	written, exchanged := &t.order.believed.written, &t.order.believed.exchanged
	if !t.unordered || t.lettered || written.total == 0 {
		return nil
	}
	x, y := t.headings[t.x], t.headings[t.y]
	of := eitherDegrees{file: t.in.name, x: x, y: y, example: t.order.example, table: l.table}
	switch fits := [2]bool{!written.refused(), !exchanged.refused()}; fits {
	case [2]bool{true, true}:
		l.eitherWay = append(l.eitherWay, of)
	case [2]bool{true, false}:
		l.notes = append(l.notes, fmt.Sprintf("%q is taken for the longitude, as the figures are longitude and latitude only so", x))
	case [2]bool{false, true}:
		return of.second("are longitude and latitude", l.section)
	}
	return nil
}

// second refuses a table that fits only with the latitude first.
func (e *eitherDegrees) second(why, section string) error {
	return &InputError{File: e.file, Message: fmt.Sprintf("its columns %q and %q %s only with the latitude under %q, by figures such as [%s]", e.x, e.y, why, e.x, coordinates(e.example)),
		Hint: fmt.Sprintf("if that is so, say it under %s in the project file: properties: {longitude: %q, latitude: %q}", section, e.y, e.x)}
}

// checkDegrees asks of each of some tables which of its columns is the longitude, where nothing else of the project tells.
func (f *half) checkDegrees(p *audit.Project, either []eitherDegrees) error {
	var trouble problems
	for i := range either {
		e := &either[i]
		written, exchanged := apartFromOthers(p, either, e.table)
		switch {
		case tellsOrder(written, exchanged):
			f.noteOrder(e)
		case tellsOrder(exchanged, written):
			trouble.add(e.second("lie among zones, crossings, routes or structures of other files", "structures"))
		default:
			trouble.add(&InputError{File: e.file, Message: fmt.Sprintf("its columns %q and %q do not say which is the longitude, and either may be by figures such as [%s], so that nobody can tell where the structures stand",
				e.x, e.y, coordinates(e.example)),
				Hint: fmt.Sprintf("say it under structures in the project file: properties: {longitude: %q, latitude: %q}, or {longitude: %q, latitude: %q}", e.x, e.y, e.y, e.x)})
		}
	}
	return trouble.err()
}

// tellsOrder tells whether structures lie among other things, or near them, and with their coordinates the other way round far from them.
func tellsOrder(one, other float64) bool {
	return one == 0 && other > apartDegrees || one <= apartDegrees && other > farDegrees
}

// noteOrder says with what was understood of a table which of its columns is the longitude, and why.
func (f *half) noteOrder(e *eitherDegrees) {
	for i := range f.understood {
		if u := &f.understood[i]; u.Number == e.table {
			u.Notes = append(u.Notes, fmt.Sprintf("%q is taken for the longitude, as the structures lie among what else the project has only so", e.x))
		}
	}
}

// apartFromOthers is how far the structures of a table lie from the nearest of what else tells where the lines are, as they are written and
// with longitude and latitude exchanged, in degrees.
func apartFromOthers(p *audit.Project, either []eitherDegrees, table uint16) (written, exchanged float64) {
	box := nothing()
	for _, row := range p.Structures.All() {
		if row.Source.Table == table {
			box = box.Extend(orb.Point{row.Lon, row.Lat})
		}
	}
	written, exchanged = farAway, farAway
	see := func(other orb.Bound) {
		written, exchanged = min(written, apart(box, other)), min(exchanged, apart(swapped(box), other))
	}
	for i := range p.Zones {
		if !p.Zones[i].Broken && !p.Zones[i].Anywhere {
			see(boundOf(nothing(), p.Zones[i].Polygons, nil))
		}
	}
	for i := range p.Crossings {
		if !p.Crossings[i].Broken {
			see(boundOf(nothing(), p.Crossings[i].Polygons, p.Crossings[i].Lines))
		}
	}
	for i := range p.Routes {
		see(boundOf(nothing(), []geo.Polygon(nil), p.Routes[i].Parts))
	}
	for _, of := range structureBoxes(p) {
		if !isEither(either, of.table) {
			see(of.Bound)
		}
	}
	return written, exchanged
}

// farAway is farther than anything on earth, in degrees.
const farAway = 1000

func isEither(either []eitherDegrees, table uint16) bool {
	for i := range either {
		if either[i].table == table {
			return true
		}
	}
	return false
}
