package report

import (
	"context"
	"io"
	"iter"
	"slices"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/twpayne/go-geom/encoding/geojson"
)

// exceptionFeature is one exception as the GIS reads it.
type exceptionFeature struct {
	geometry   *geojson.Geometry
	properties exceptionProperties
}

func (f *exceptionFeature) appendJSON(b []byte) []byte {
	b = appendValue(append(b, `{"type":"Feature","geometry":`...), f.geometry)
	b = f.properties.appendJSON(append(b, `,"properties":`...))
	return append(b, '}')
}

// exceptionProperties are the members of audit.json, the dates and remarks of the row, and what is carried through.
type exceptionProperties struct {
	record
	own     [3]string // installed, inspected, remarks
	names   []string
	texts   []string
	decided [2]string // what was decided and what it is worth; where the project keeps decisions
	keeps   bool
}

// appendJSON appends the members of the record, then the others.
func (p *exceptionProperties) appendJSON(b []byte) []byte {
	b = appendCarried(p.record.appendMembers(b), ownNames, p.own[:])
	if p.keeps {
		b = appendCarried(b, decidedNames, p.decided[:])
	}
	return append(appendCarried(b, p.names, p.texts), '}')
}

// ownNames are the members that stand in the row itself.
var ownNames = []string{"installed", "inspected", "remarks"}

// writeExceptions writes every exception as a feature: a Point at its structure, a LineString along its spans or its
// line. The properties are those of audit.json.
func writeExceptions(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	s := newCollection(ctx, w, r)
	list(s, "features", exceptionFeatures(s, r, a.since(r)))
	return s.end()
}

// newCollection begins a FeatureCollection. The run's id and date, and the caution, are foreign members.
func newCollection(ctx context.Context, w io.Writer, r *audit.Result) *jsonStream {
	s := newJSONStream(ctx, w)
	s.member("type", "FeatureCollection")
	s.member("run", r.Run.ID)
	s.member("as_of", r.Run.AsOf)
	s.member("caution", Caution)
	return s
}

// exceptionMembers are the members of an exception, which a name that is carried through does not take.
var exceptionMembers = []string{"id", "check", "severity", "line", "structure", "structure_to", "circuit", "phase", "side", "observed", "required", "measure", "margin",
	"reason", "remedy", "state", "first_seen", "at", "installed", "inspected", "remarks"}

func exceptionFeatures(s *jsonStream, r *audit.Result, c *history.Changes) iter.Seq[*exceptionFeature] {
	return func(yield func(*exceptionFeature) bool) {
		var f exceptionFeature // each is overwritten by the next
		names := exceptionCarriedNames(r, slices.Concat(decidedNames, exceptionMembers)...)
		for i := range r.Exceptions {
			e := &r.Exceptions[i]
			geometry, err := geometryOf(routeOf(r, e))
			if err != nil {
				s.fail(err)
				return
			}
			properties := exceptionProperties{record: toldOf(r, c, i), names: names, texts: carriedBy(r, e)}
			properties.keeps, properties.decided = c.Decided != nil, decidedTexts(c.Decided.Of(i))
			properties.own[0], properties.own[1], properties.own[2] = ownTexts(r, e)
			f = exceptionFeature{geometry, properties}
			if !yield(&f) {
				return
			}
		}
	}
}
