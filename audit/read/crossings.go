package read

import (
	"context"
	"fmt"
	"strings"

	"dryarc/audit"
	"dryarc/geo"
)

// crossingInput is the section crossings of the project file.
type crossingInput struct {
	layer    string       // of GeoPackages
	crs      string       // of the positions
	encoding textEncoding // of the texts
	fileList
	kind property
	choice
}

func (c *crossingInput) keys() section {
	return append(c.fileList.keys(), section{
		{"layer", textKey(&c.layer)},
		{"crs", crsKey(&c.crs)},
		{"encoding", encodingKey(&c.encoding)},
		{"properties", section{{"kind", propertyKey(&c.kind)}}.read},
		{"only", onlyKey(&c.only)},
	}...)
}

func (c *crossingInput) wanted() []wantedProperty {
	return []wantedProperty{wantedProperty{key: "kind", required: true}.of(&c.kind, "crossing", "kind of crossing", "crossing kind", "crossing type", "type of crossing")}
}

// maxKinds is how many kinds of crossing a project may have: a span keeps what it crosses as one bit each.
const maxKinds = 63 // and one for what cannot be read

// crossingReader reads the features of the crossing files: lines and areas of one kind each.
type crossingReader struct {
	layer
	names *crossingInput
	kinds map[string]bool // in lower case
}

// readCrossings reads every crossing file. A file may hold none: that is not the same as no file.
func readCrossings(ctx context.Context, f *half, p *audit.Project) error {
	names := f.crossings // which each file may call otherwise
	r := crossingReader{names: &names, kinds: map[string]bool{}}
	r.layer = layer{project: p, section: "crossings", name: f.crossings.layer, crs: f.crossings.crs, stated: f.crossings.encoding, expected: "lines or areas with the property " + f.crossings.kind.name,
		wanted:     names.wanted(),
		choice:     f.crossings.choice,
		mayBeEmpty: true, keepsDoubtful: true, kept: func() int { return len(p.Crossings) }, each: r.feature}
	p.CrossingsGiven = len(f.crossings.files) > 0
	return r.read(ctx, f, &f.crossings.fileList)
}

// feature appends a crossing; one that says nothing at all is left out.
func (r *crossingReader) feature(f *feature) error {
	if f.problem != "" {
		r.leftOut(f, audit.BadGeometry, "feature", f.kind, f.problem)
		return nil
	}
	if len(f.bbox) == 0 && f.box().IsEmpty() && !f.says(r.names.kind.name) {
		r.leftOut(f, audit.BadGeometry, "geometry", string(f.geometry), "is empty, and the feature states no "+r.names.kind.name)
		return nil
	}
	kind, known := r.kind(f)
	crossing := audit.Crossing{Source: r.source(f)}
	r.place(f, &crossing)
	crossing.Broken = crossing.Broken || f.doubtful // it may be none
	if !known {                                     // what stands there is crossed all the same
		r.project.Crossings = append(r.project.Crossings, crossing)
		return nil
	}
	if key := strings.ToLower(kind); !r.kinds[key] {
		if len(r.kinds) == maxKinds {
			return &InputError{File: r.project.Tables[r.table].File,
				Message: fmt.Sprintf("feature %d has the kind %q, which is one more than %d kinds of crossing", f.number, kind, maxKinds),
				Hint:    "name as kind a property of few values, such as river, railway, road"}
		}
		r.kinds[key] = true
	}
	crossing.Kind = r.project.Symbols.Number(kind)
	r.project.Crossings = append(r.project.Crossings, crossing)
	return nil
}

// kind returns what kind a crossing is of; false where it does not say.
func (r *crossingReader) kind(f *feature) (string, bool) {
	kind, ok := propertyText(f.property(r.names.kind.name))
	if ok {
		kind = r.house.text(crossingList, kind)
	}
	switch at := r.source(f); {
	case !ok:
		r.fault(at, audit.UnknownWord, r.names.kind.name, kind, "is neither text nor number; whatever crosses it is not assessed")
	case kind == "":
		r.fault(at, audit.MissingValue, r.names.kind.name, "", "is blank; whatever crosses it is not assessed")
	case nothingIn(kind) != saysSomething:
		r.fault(at, audit.MissingValue, r.names.kind.name, kind, "names no kind; whatever crosses it is not assessed")
		return kind, false
	}
	return kind, ok && kind != ""
}

// place reads where a crossing lies; where that is broken the box in which it may lie stands for it.
func (r *crossingReader) place(f *feature, to *audit.Crossing) {
	broken := func(value, expected string) {
		box, what := f.mayLieIn(f.box(), f.distinct())
		where := "; in the box around it, wider by its own size on every side, what its kind asks for is not assessed"
		switch {
		case box.IsEmpty():
			where = "; where it lies cannot be told, so that what its kind asks for is not assessed anywhere"
		case what == inItsBbox:
			where = "; in its bbox what its kind asks for is not assessed"
		}
		r.fault(to.Source, audit.BadGeometry, "geometry", value, expected+where)
		to.Lines, to.Polygons, to.Broken, to.Anywhere = nil, nil, true, box.IsEmpty()
		if !to.Anywhere {
			to.Polygons = []geo.Polygon{polygonOf(box)}
		}
	}
	shape, written, err := f.placedEdges()
	if err != nil {
		broken(string(f.geometry), err.Error())
		return
	}
	r.noteDimensions(f, shape)
	r.notePositions(shape)
	if to.Lines, err = linesOf(shape); err == nil && written != nil {
		err = f.placing.lines(to.Lines, written, shape.Stride())
	}
	if err == nil {
		to.Polygons, err = f.placing.polygonsOf(shape, written)
	}
	switch {
	case err != nil:
		broken(kindOfShape(shape), err.Error())
	case to.Lines == nil && to.Polygons == nil:
		broken(kindOfShape(shape), "is neither line nor area")
	}
}
