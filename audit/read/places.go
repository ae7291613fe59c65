package read

import (
	"context"
	"fmt"
	"math"

	"dryarc/audit"
)

// placeInput is the section places of the project file.
type placeInput struct {
	layer    string       // of GeoPackages
	crs      string       // of the positions
	encoding textEncoding // of the texts
	decimal  decimalSign  // of the numbers of tables of text
	fileList
	points     pointNames // of tables of points
	name, rank property
	choice
}

func (p *placeInput) keys() section {
	return append(p.fileList.keys(), section{
		{"layer", textKey(&p.layer)},
		{"crs", crsKey(&p.crs)},
		{"encoding", encodingKey(&p.encoding)},
		{"decimal", decimalKey(&p.decimal)},
		{"properties", append(section{{"name", propertyKey(&p.name)}, {"rank", propertyKey(&p.rank)}}, p.points.keys()...).read},
		{"only", onlyKey(&p.only)},
	}...)
}

func (p *placeInput) wanted() []wantedProperty {
	return []wantedProperty{
		wantedProperty{key: "name", required: true, idle: true}.of(&p.name, "place", "place name", "name of place", "locality"),
		wantedProperty{key: "rank", idle: true}.of(&p.rank, "importance rank"),
	}
}

// placeReader reads the features of the place files: points with a name, by which people find their way on the maps.
type placeReader struct {
	layer
	names *placeInput
}

// readPlaces reads every place file. Nothing is judged from places, so that all their faults are by the way.
func readPlaces(ctx context.Context, f *half, p *audit.Project) error {
	names := f.places // which each file may call otherwise
	r := placeReader{names: &names}
	r.layer = layer{project: p, section: "places", name: f.places.layer, crs: f.places.crs, stated: f.places.encoding, decimal: f.places.decimal, pointNames: &names.points,
		expected: "points with the property " + f.places.name.name, wanted: names.wanted(), choice: f.places.choice, idle: true,
		kept: func() int { return len(p.Places) }, each: r.feature}
	err := r.read(ctx, f, &f.places.fileList)
	if err == nil {
		r.noteEitherWay()
	}
	return err
}

// feature appends a place, or leaves the feature out and says why.
func (r *placeReader) feature(f *feature) error {
	if f.problem != "" {
		r.leftOut(f, audit.BadGeometry, "feature", f.kind, f.problem)
		return nil
	}
	name, named := r.required(f, r.names.name.name, func(text string) string { return text })
	at, placed := r.point(f)
	if !named || !placed {
		return nil
	}
	r.project.Places = append(r.project.Places, audit.NamedPlace{
		Name: r.project.Symbols.Number(name), Lon: at[0], Lat: at[1], Rank: r.rank(f), Source: r.source(f)})
	return nil
}

// rank returns how far behind others a place stands, NaN where it does not say.
func (r *placeReader) rank(f *feature) float64 {
	raw := f.property(r.names.rank.name)
	rank, isNumber, given := propertyNumber(raw)
	switch {
	case !given:
		return math.NaN()
	case !isNumber:
		text, _ := propertyText(raw)
		r.fault(r.source(f), audit.NotANumber, r.names.rank.name, text, "is not a number; the place stands behind those with a rank")
		return math.NaN()
	}
	return rank
}

// noteEitherWay says of tables that do not tell which of their coordinates is the longitude for which it is taken.
func (r *placeReader) noteEitherWay() {
	for _, e := range r.eitherWay {
		r.project.Faults.Add(audit.Fault{Kind: audit.Implausible, At: audit.Source{Table: e.table}, Column: e.x, Value: coordinates(e.example), Weight: audit.ByTheWay,
			Expected: fmt.Sprintf("may be longitude or latitude, and so may %q; it is taken for the longitude, unless the project file says otherwise under places: properties: {longitude: …, latitude: …}", e.y)})
	}
}
