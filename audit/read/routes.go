package read

import (
	"context"

	"dryarc/audit"

	"github.com/paulmach/orb"
)

// routeInput is the section routes of the project file.
type routeInput struct {
	layer    string       // of GeoPackages
	crs      string       // of the positions
	encoding textEncoding // of the texts
	fileList
	line property
	choice
}

func (r *routeInput) keys() section {
	return append(r.fileList.keys(), section{
		{"layer", textKey(&r.layer)},
		{"crs", crsKey(&r.crs)},
		{"encoding", encodingKey(&r.encoding)},
		{"properties", section{{"line", propertyKey(&r.line)}}.read},
		{"only", onlyKey(&r.only)},
	}...)
}

func (r *routeInput) wanted() []wantedProperty {
	return []wantedProperty{wantedProperty{key: "line", required: true}.of(&r.line, linePropertyNames()...)}
}

// routeReader reads the features of the route files; several of one line are parts of its course.
type routeReader struct {
	layer
	names  *routeInput
	extent orb.Bound
}

// readRoutes reads every route file and returns where the routes are.
func readRoutes(ctx context.Context, f *half, p *audit.Project) (extent, error) {
	names := f.routes // which each file may call otherwise
	r := routeReader{names: &names, extent: nothing()}
	r.layer = layer{project: p, section: "routes", name: f.routes.layer, crs: f.routes.crs, stated: f.routes.encoding, expected: "lines with the property " + f.routes.line.name,
		wanted: names.wanted(),
		choice: f.routes.choice,
		kept:   func() int { return len(p.Routes) }, each: r.feature}
	p.RoutesAlone = len(f.structures.files) == 0
	err := r.read(ctx, f, &f.routes.fileList)
	return extent{r.extent, r.exchanged, nil}, err
}

// feature appends a route for each line the feature belongs to, or leaves it out and says why.
func (r *routeReader) feature(f *feature) error {
	if f.problem != "" {
		r.leftOut(f, audit.BadGeometry, "feature", f.kind, f.problem)
		return nil
	}
	lines, linesFit := r.lines(f, r.names.line.name)
	parts, placed := r.course(f)
	r.project.RoutesUnnamed = r.project.RoutesUnnamed || !linesFit
	if !linesFit || !placed {
		return nil
	}
	for _, part := range parts {
		for _, at := range part {
			r.extent = r.extent.Extend(at)
		}
	}
	for _, line := range lines {
		r.project.Routes = append(r.project.Routes, audit.Route{Line: r.project.Symbols.Number(line), Parts: parts, Source: r.source(f)})
	}
	return nil
}

func (r *routeReader) course(f *feature) ([][]orb.Point, bool) {
	shape, err := f.placedShape()
	if err != nil {
		r.leftOut(f, audit.BadGeometry, "geometry", string(f.geometry), err.Error())
		return nil, false
	}
	r.noteDimensions(f, shape)
	r.notePositions(shape)
	parts, err := linesOf(shape)
	switch {
	case err != nil:
		r.leftOut(f, audit.BadGeometry, "geometry", kindOfShape(shape), err.Error())
	case parts == nil:
		r.leftOut(f, audit.BadGeometry, "geometry", kindOfShape(shape), "is no line")
	}
	return parts, parts != nil
}
