package read

import (
	"context"
	"errors"
	"path/filepath"
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/twpayne/go-geom"
)

// LayerLook is what a layer holds.
type LayerLook struct {
	Name       string // of it among several in its file
	Properties []LookedColumn

	Features, Points, Lines, Areas int

	System    string // of its positions as the file says it, and how they are read; empty where it says nothing
	InDegrees bool   // every position may be a longitude and a latitude
	NeedsCRS  bool   // the layer cannot be read as long as the project file names no system
	Unread    string // why it cannot be read as it is, whatever the project file says; empty where it can

	// Of a table of points whose headings do not say for certain where these are: the headings of the easting and the northing, or all that
	// may be one of them, and why the reader does not take them by itself.
	Positions []string
	Doubt     string

	// EitherWay are the headings of coordinates in degrees that do not say which is the longitude, where the figures do not tell it either;
	// empty where that is told.
	EitherWay [2]string

	// meant are the names of the properties that stand for a key of a section, as the reader finds them.
	meant map[string]map[string][]string
	at    [2]string // the headings of the coordinates of a table of points

	unordered bool // these do not say which is the easting
}

// Uses tells whether the reader takes a property for any key of a section.
func (l *LayerLook) Uses(section, property string) bool {
	for _, names := range l.meant[section] {
		if slices.Contains(names, property) {
			return true
		}
	}
	return false
}

// Meant lists the properties of the layer that the reader takes for a key of a section of the project file.
func (l *LayerLook) Meant(section, key string) []string { return l.meant[section][key] }

// Property returns a property with its values.
func (l *LayerLook) Property(name string) LookedColumn {
	for _, p := range l.Properties {
		if p.Name == name {
			return p
		}
	}
	return LookedColumn{}
}

// wantedBySection are the properties that are looked for in each section of the project file.
func wantedBySection() map[string][]wantedProperty {
	f := newProjectFile()
	return map[string][]wantedProperty{
		"structures": f.structures.wanted(), "zones": f.zones.wanted(), "routes": f.routes.wanted(), "crossings": f.crossings.wanted(), "places": f.places.wanted(),
	}
}

// layer looks at one layer of the file, by its name in a GeoPackage or its file in an archive.
func (l *Look) layer(ctx context.Context, f *half, name, member string) error {
	seen, err := l.lookAtLayer(ctx, f, name, member, "", false)
	if l.table && ctx.Err() == nil {
		if seen, err = l.asMetres(ctx, f, seen, err); err == nil {
			l.Layers = append(l.Layers, *seen)
		}
		return err
	}
	if err != nil && ctx.Err() == nil {
		// any system serves to look at what names none
		inSystem, failed := l.lookAtLayer(ctx, f, name, member, "EPSG:4326", false)
		if failed == nil {
			inSystem.NeedsCRS = true
		} else if inSystem, failed = l.lookAtLayer(ctx, f, name, member, "", true); failed == nil {
			inSystem.Unread = whyUnread(err)
		}
		if failed != nil {
			return err
		}
		seen, err = inSystem, nil
	}
	if err == nil {
		l.Layers = append(l.Layers, *seen)
	}
	return err
}

// whyUnread says why a layer cannot be read, and what helps.
func whyUnread(err error) string {
	var known *InputError
	if errors.As(err, &known) {
		return known.Message + "; " + known.Hint
	}
	return err.Error()
}

// lookAtLayer looks at a layer by a system of its positions, or whatever that is.
func (l *Look) lookAtLayer(ctx context.Context, f *half, name, member, crs string, whatever bool) (*LayerLook, error) {
	file := filepath.ToSlash(l.File)
	in, err := f.open(ctx, file)
	if err != nil {
		return nil, err
	}
	defer in.close()
	seen := &LayerLook{Name: name, InDegrees: true}
	if member != "" {
		seen.Name = member
	}
	from := &layer{project: &audit.Project{Tables: make([]audit.Table, 1)}, section: "structures", name: name, crs: crs, properties: newPropertyNames(nil, choice{})}
	if from.placing, err = newPlacing(file, from.section, crs); err != nil {
		return nil, err
	}
	from.placing.looked = whatever
	tallies := map[string]*tally{}
	var names []string
	each := func(feature *feature) error {
		seen.Features++
		for _, m := range feature.members {
			t := tallies[string(m.Name)]
			if t == nil {
				if len(names) == mostNames {
					continue
				}
				t = newTally(valid(string(m.Name)))
				tallies[t.Name] = t
				names = append(names, t.Name)
			}
			text, _ := propertyText(m.Value)
			t.note(valid(text))
		}
		seen.noteShape(feature)
		return nil
	}
	cuts := false // names, as the format does
	switch {
	case in.isGeoPackage():
		_, _, err = readPackage(ctx, in, from.placing, name, from.section, each)
	case in.isPointBook():
		if _, err = from.readPoints(f, in, each); err == nil {
			err = from.wrong
		}
	case in.isArchive():
		cuts = true
		_, _, err = from.readArchive(in, member, each)
	case in.isShapefile():
		cuts = true
		_, err = from.readShapefile(f, in, each)
	case in.isTable(), in.isParquet():
		if _, err = from.readPoints(f, in, each); err == nil {
			err = from.wrong
		}
	default:
		_, err = readFeatures(in, from.placing, textEncoding{}, each)
		from.noteText(in.text)
	}
	if err != nil {
		return nil, err
	}
	seen.at, seen.unordered = from.pointsAt, from.unordered
	if len(from.eitherWay) > 0 {
		seen.EitherWay = from.pointsAt
	}
	if l.Encoding == "" {
		l.Encoding = from.encoding
	}
	if s := from.placing.system; crs == "" && s.code != wgs84 {
		seen.System = strings.TrimPrefix(strings.Join(from.placing.understood(), "; "), "coordinates ")
	}
	for _, name := range names {
		seen.Properties = append(seen.Properties, tallies[name].LookedColumn)
	}
	seen.findMeant(names, cuts)
	return seen, nil
}

// noteShape counts a feature by its geometry.
func (l *LayerLook) noteShape(f *feature) {
	shape, err := f.shape()
	if err != nil && f.table != nil && !errors.Is(err, errEmpty) { // coordinates that a system or the sign before decimals has yet to make readable
		l.Points++
		l.InDegrees = false
		return
	}
	if errors.Is(err, errEmpty) || err != nil || shape == nil {
		return
	}
	switch shape.(type) {
	case *geom.Point, *geom.MultiPoint:
		l.Points++
	case *geom.LineString, *geom.MultiLineString:
		l.Lines++
	case *geom.Polygon, *geom.MultiPolygon:
		l.Areas++
	}
	if _, is := shape.(*geom.GeometryCollection); is {
		return
	}
	flat, stride := shape.FlatCoords(), shape.Stride()
	for i := 0; i+1 < len(flat); i += stride {
		l.InDegrees = l.InDegrees && inRange(flat[i], flat[i+1])
	}
}

// findMeant finds what the reader would find, in a format that cuts names or not.
func (l *LayerLook) findMeant(names []string, cuts bool) {
	l.meant = map[string]map[string][]string{}
	for section, wanted := range wantedBySection() {
		l.meant[section] = map[string][]string{}
		known := newPropertyNames(wanted, choice{})
		known.cuts = cuts
		for _, name := range names {
			for _, sense := range known.spelling([]byte(name)).senses {
				if w := &wanted[sense.slot]; name == w.property.name || !slices.Contains(names, w.property.name) {
					l.meant[section][w.key] = append(l.meant[section][w.key], name)
				}
			}
		}
	}
}
