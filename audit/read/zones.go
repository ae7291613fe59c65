package read

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sync"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/geo"

	"github.com/paulmach/orb"
)

// zoneInput is the section zones of the project file.
type zoneInput struct {
	layer    string       // of GeoPackages
	crs      string       // of the positions
	encoding textEncoding // of the texts
	fileList
	class, label, specificCreepage property
	creepageBase                   property
	base                           basis.Base // of the figures of features that state none
	choice
}

func newZoneInput() zoneInput {
	return zoneInput{class: called("class"), label: called("label"), specificCreepage: measured("specific_creepage", millimetresPerKilovolt),
		creepageBase: called("specific_creepage_base")}
}

func (z *zoneInput) keys() section {
	return append(z.fileList.keys(), section{
		{"layer", textKey(&z.layer)},
		{"crs", crsKey(&z.crs)},
		{"encoding", encodingKey(&z.encoding)},
		{"properties", section{
			{"class", propertyKey(&z.class)},
			{"label", propertyKey(&z.label)},
			{"specific_creepage", propertyKey(&z.specificCreepage)},
			{"specific_creepage_base", propertyKey(&z.creepageBase)},
		}.read},
		{"specific_creepage_base", baseKey(&z.base)},
		{"only", onlyKey(&z.only)},
	}...)
}

// zoneReader reads the features of the zone files.
type zoneReader struct {
	layer
	names    *zoneInput
	criteria *audit.Criteria
}

// readZones reads every zone file. It is told where the structures are, to find swapped axes.
func readZones(ctx context.Context, f *half, in *zoneInput, p *audit.Project, structures extent) error {
	exchanged, err := readZoneFiles(ctx, f, in, p)
	if err != nil {
		return err
	}
	return checkAxes(f, in, p, structures, exchanged)
}

// readZoneFiles reads every zone file and returns the box around the projected ones, easting and northing exchanged.
func readZoneFiles(ctx context.Context, f *half, in *zoneInput, p *audit.Project) (exchanged orb.Bound, err error) {
	names := *in // which each file may call otherwise
	r := &zoneReader{names: &names, criteria: &f.criteria}
	r.layer = layer{project: p, section: "zones", name: in.layer, crs: in.crs, stated: in.encoding,
		expected: fmt.Sprintf("polygons with a pollution class a to f in %q", in.class.name),
		wanted:   names.wanted(), choice: in.choice,
		keepsDoubtful: true,
		kept:          r.placed, each: r.feature}
	err = r.read(ctx, f, &in.fileList)
	return r.exchanged, err
}

// zonesBeside are the zones of the project while they are read beside the layers before them, into a project whose first tables are kept free for those.
type zonesBeside struct {
	half
	p         audit.Project
	exchanged orb.Bound
	err       error
	reading   sync.WaitGroup
}

func (z *zonesBeside) start(ctx context.Context, f *half) {
	z.projectFile = f.projectFile
	z.p.Tables = make([]audit.Table, len(f.structures.files)+len(f.terrain.files())+len(f.routes.files))
	z.reading.Go(func() { z.exchanged, z.err = readZoneFiles(ctx, &z.half, &z.zones, &z.p) })
}

// end adds them to the project once they are read, and looks for swapped axes.
func (z *zonesBeside) end(f *half, p *audit.Project, structures extent) error {
	z.reading.Wait()
	copy(z.p.Tables, p.Tables)
	p.Tables, p.Zones = z.p.Tables, z.p.Zones
	p.Inputs = append(p.Inputs, z.p.Inputs...)
	p.Faults.Merge(&z.p.Faults)
	f.understood = append(f.understood, z.understood...)
	if z.err != nil {
		return z.err
	}
	return checkAxes(f, &f.zones, p, structures, z.exchanged)
}

// placed counts the zones of which it is known where they lie, or near where.
func (r *zoneReader) placed() (count int) {
	for i := range r.project.Zones {
		if !r.project.Zones[i].Anywhere {
			count++
		}
	}
	return count
}

// saysNothing tells whether a feature has no geometry and nothing that makes a zone of it.
func (r *zoneReader) saysNothing(f *feature) bool {
	if len(f.bbox) > 0 || f.problem != "" && f.kind != "" {
		return false
	}
	for _, p := range [...]property{r.names.class, r.names.specificCreepage, r.names.creepageBase, r.names.label} {
		if text, plain := propertyText(f.property(p.name)); text != "" || !plain {
			return false
		}
	}
	_, err := f.shape() // last, since it takes the time
	return errors.Is(err, errEmpty)
}

func (z *zoneInput) wanted() []wantedProperty {
	return []wantedProperty{
		wantedProperty{key: "class", or: &z.specificCreepage, required: true}.of(&z.class, "pollution level", "pollution class", "pollution", "pollution severity",
			"site pollution severity", "site pollution severity class", "SPS", "SPS class", "severity",
			"contaminación", "nivel de contaminación", "grado de contaminación", "polución", "nivel de polución", "poluição", "nível de poluição", "niveau de pollution",
			"Verschmutzungsklasse", "Verschmutzungsgrad"),
		wantedProperty{key: "label", idle: true}.of(&z.label, "zone", "zone name"),
		wantedProperty{key: "specific_creepage"}.of(&z.specificCreepage),
		wantedProperty{key: "specific_creepage_base"}.of(&z.creepageBase),
	}
}

// feature appends the zones of a feature: one of its sound areas, and one of what is broken.
func (r *zoneReader) feature(f *feature) error {
	at := r.source(f)
	var asked asking
	switch {
	case r.saysNothing(f) && f.problem != "":
		r.fault(at, audit.BadGeometry, "feature", f.kind, f.problem+zoneIsOut)
		return nil
	case r.saysNothing(f):
		r.fault(at, audit.BadGeometry, "geometry", string(f.geometry), "is empty, and the feature states neither class nor label"+zoneIsOut)
		return nil
	case f.problem == "":
		asked = r.asks(f, at)
	default:
		asked.unknown = audit.ZoneClassUnreadable
		r.fault(at, audit.BadGeometry, "feature", f.kind, f.problem+notAssessed)
	}
	area := r.area(f, at)
	label, _ := propertyText(f.property(r.names.label.name))
	zone := audit.Zone{Class: asked.class, SpecificCreepage: asked.specificCreepage, StatedBase: asked.base, Unknown: asked.unknown, Stated: asked.stated, Label: label, Source: at}
	zone.Broken = f.doubtful // it can only make the one in force doubtful
	if zone.Polygons = area.sound; len(area.sound) > 0 {
		r.project.Zones = append(r.project.Zones, zone)
	}
	if zone.Polygons, zone.Broken = area.boxes, true; len(area.boxes) > 0 {
		r.project.Zones = append(r.project.Zones, zone)
	}
	if area.anywhere {
		zone.Polygons, zone.Anywhere = []geo.Polygon{polygonOf(wholeEarth)}, true
		r.project.Zones = append(r.project.Zones, zone)
	}
	return nil
}

// checkAxes refuses structures and zones that lie far apart but would meet if the axes of one were exchanged.
func checkAxes(f *half, in *zoneInput, p *audit.Project, structures extent, zonesExchanged orb.Bound) error {
	asWritten, exchanged := math.Inf(1), apart(structures.Bound, zonesExchanged)
	for i := range p.Zones {
		if p.Zones[i].Anywhere {
			continue
		}
		for _, polygon := range p.Zones[i].Polygons {
			bound := polygon.Bound()
			asWritten = min(asWritten, apart(structures.Bound, bound))
			exchanged = min(exchanged, apart(swapped(structures.Bound), bound), apart(structures.exchanged, bound))
		}
	}
	if len(structures.eitherWay) > 0 { // which says it of the tables themselves, with what to write
		return nil
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
			what, asWritten, in.files[0], coordinates)}
}
