package read

import (
	"context"
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/geo"

	"github.com/paulmach/orb"
)

// zoneInput is the section zones of the project file.
type zoneInput struct {
	layer                          string // of GeoPackages
	crs                            string // of the positions
	files                          []string
	class, label, specificCreepage property
}

func newZoneInput() zoneInput {
	return zoneInput{class: called("class"), label: called("label"), specificCreepage: measured("specific_creepage", millimetresPerKilovolt)}
}

func (z *zoneInput) keys() section {
	return section{
		{"file", filesKey(&z.files)},
		{"layer", textKey(&z.layer)},
		{"crs", crsKey(&z.crs)},
		{"properties", section{
			{"class", propertyKey(&z.class)},
			{"label", propertyKey(&z.label)},
			{"specific_creepage", propertyKey(&z.specificCreepage)},
		}.read},
	}
}

// zoneReader reads the features of the zone files.
type zoneReader struct {
	layer
	names *zoneInput
}

// readZones reads every zone file. It is told where the structures are, to find swapped axes.
func readZones(ctx context.Context, f *half, p *audit.Project, structures extent) error {
	r := zoneReader{names: &f.zones}
	r.layer = layer{project: p, section: "zones", name: f.zones.layer, crs: f.zones.crs,
		expected: fmt.Sprintf("polygons with a pollution class a to f in %q", f.zones.class.name),
		wanted: []wantedProperty{
			{key: "class", property: f.zones.class, or: f.zones.specificCreepage, required: true}, {key: "label", property: f.zones.label},
			{key: "specific_creepage", property: f.zones.specificCreepage},
		},
		kept: func() int { return len(p.Zones) }, each: r.feature}
	if err := r.read(ctx, f, f.zones.files); err != nil {
		return err
	}
	return checkAxes(f, p, structures, r.exchanged)
}

// feature appends a zone, or leaves it out and says why.
func (r *zoneReader) feature(f *feature) error {
	at := r.source(f)
	fault := func(kind audit.FaultKind, column, value, expected string) {
		r.fault(at, kind, column, value, expected+"; the zone is left out")
	}
	if f.problem != "" {
		fault(audit.BadGeometry, "feature", f.kind, f.problem)
		return nil
	}
	figure := r.specificCreepage(f, at)
	text, _ := propertyText(f.property(r.names.class.name))
	class, known := basis.ParseClass(text)
	switch {
	case text == "" && figure > 0:
		known = true
	case text == "":
		fault(audit.MissingValue, r.names.class.name, "", "is blank, expected a pollution class a to f")
	case !known:
		fault(audit.UnknownWord, r.names.class.name, text, "is no pollution class, expected a to f")
	}
	polygons, value, err := r.polygons(f)
	if err != nil {
		fault(audit.BadGeometry, "geometry", value, err.Error())
	}
	if err != nil || !known {
		return nil
	}
	label, _ := propertyText(f.property(r.names.label.name))
	r.project.Zones = append(r.project.Zones, audit.Zone{Polygons: polygons, Class: class, SpecificCreepage: figure, Label: label, Source: at})
	return nil
}

// specificCreepage returns the figure that a zone states itself, in mm/kV; 0 where the class decides.
func (r *zoneReader) specificCreepage(f *feature, at audit.Source) float64 {
	name := r.names.specificCreepage.name
	raw := f.property(name)
	written, isNumber, given := propertyNumber(raw)
	if !given {
		return 0
	}
	in := r.names.specificCreepage.in
	value := written*in.factor + in.offset
	if len(in.names) == 0 {
		in.names = millimetresPerKilovolt.units[0].names
	}
	switch text, _ := propertyText(raw); {
	case !isNumber:
		r.fault(at, audit.NotANumber, name, text, "is not a number; the class decides")
	case value < audit.LeastSpecificCreepage || value > audit.MostSpecificCreepage:
		r.fault(at, audit.OutOfRange, name, text, outOfRange(audit.LeastSpecificCreepage, audit.MostSpecificCreepage, in).expected+"; the class decides")
	default:
		return value
	}
	return 0
}

// polygons returns the polygons of a zone, or what is wrong and what to quote of it.
func (r *zoneReader) polygons(f *feature) (polygons []geo.Polygon, value string, err error) {
	shape, err := f.placedShape()
	if err != nil {
		if value = kindOfGeometry(f.geometry); value == "" {
			value = string(f.geometry)
		}
		return nil, value, err
	}
	r.noteDimensions(f, shape)
	if polygons, err = polygonsOf(shape); polygons == nil && err == nil {
		return nil, kindOfShape(shape), fmt.Errorf("is no polygon")
	}
	r.notePositions(shape)
	return polygons, kindOfShape(shape), err
}

// checkAxes refuses structures and zones that lie far apart but would meet if the axes of one were exchanged.
func checkAxes(f *half, p *audit.Project, structures extent, zonesExchanged orb.Bound) error {
	asWritten, exchanged := math.Inf(1), apart(structures.Bound, zonesExchanged)
	for i := range p.Zones {
		for _, polygon := range p.Zones[i].Polygons {
			bound := polygon.Bound()
			asWritten = min(asWritten, apart(structures.Bound, bound))
			exchanged = min(exchanged, apart(swapped(structures.Bound), bound), apart(structures.exchanged, bound))
		}
	}
	if len(p.Zones) == 0 || asWritten <= farDegrees || exchanged > farDegrees {
		return nil
	}
	files, what := f.structures.files, "structures"
	if len(files) == 0 {
		files, what = f.routes.files, "routes"
	}
	coordinates, hint := "longitude and latitude", swapHint
	if !structures.exchanged.IsEmpty() || !zonesExchanged.IsEmpty() {
		coordinates, hint = "the two coordinates", swapMetresHint
	}
	return &InputError{File: files[0], Hint: hint,
		Message: fmt.Sprintf("its %s lie %.0f degrees from every zone of %s, but meet them with %s exchanged; the axes of one of the two files are swapped",
			what, asWritten, f.zones.files[0], coordinates)}
}
