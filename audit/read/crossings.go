package read

import (
	"context"
	"fmt"
	"strings"

	"dryarc/audit"
)

// crossingInput is the section crossings of the project file.
type crossingInput struct {
	layer string // of GeoPackages
	crs   string // of the positions
	files []string
	kind  property
	choice
}

func (c *crossingInput) keys() section {
	return section{
		{"file", filesKey(&c.files)},
		{"layer", textKey(&c.layer)},
		{"crs", crsKey(&c.crs)},
		{"properties", section{{"kind", propertyKey(&c.kind)}}.read},
		{"only", onlyKey(&c.only)},
	}
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
	r.layer = layer{project: p, section: "crossings", name: f.crossings.layer, crs: f.crossings.crs, expected: "lines or areas with the property " + f.crossings.kind.name,
		wanted:     []wantedProperty{wantedProperty{key: "kind", required: true}.of(&names.kind, "crossing", "kind of crossing", "crossing kind", "crossing type", "type of crossing")},
		choice:     f.crossings.choice,
		mayBeEmpty: true, kept: func() int { return len(p.Crossings) }, each: r.feature}
	p.CrossingsGiven = len(f.crossings.files) > 0
	return r.read(ctx, f, f.crossings.files)
}

// feature appends a crossing, or leaves it out and says why.
func (r *crossingReader) feature(f *feature) error {
	if f.problem != "" {
		r.leftOut(f, audit.BadGeometry, "feature", f.kind, f.problem)
		return nil
	}
	kind, known := r.kind(f)
	crossing := audit.Crossing{Source: r.source(f)}
	placed := r.place(f, &crossing)
	if !placed {
		return nil
	}
	if !known { // what stands there is crossed all the same
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
	}
	return kind, ok && kind != ""
}

func (r *crossingReader) place(f *feature, to *audit.Crossing) bool {
	shape, err := f.placedShape()
	if err != nil {
		r.leftOut(f, audit.BadGeometry, "geometry", string(f.geometry), err.Error())
		return false
	}
	r.noteDimensions(f, shape)
	r.notePositions(shape)
	if to.Lines, err = linesOf(shape); err == nil {
		to.Polygons, err = polygonsOf(shape)
	}
	switch {
	case err != nil:
		r.leftOut(f, audit.BadGeometry, "geometry", kindOfShape(shape), err.Error())
		return false
	case to.Lines == nil && to.Polygons == nil:
		r.leftOut(f, audit.BadGeometry, "geometry", kindOfShape(shape), "is neither line nor area")
		return false
	}
	return true
}
