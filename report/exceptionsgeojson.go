package report

import (
	"context"
	"io"
	"iter"

	"dryarc/audit"

	"github.com/twpayne/go-geom/encoding/geojson"
)

// exceptionFeature is one exception as the GIS reads it.
type exceptionFeature struct {
	Type       string            `json:"type"`
	Geometry   *geojson.Geometry `json:"geometry"`
	Properties record            `json:"properties"`
}

// writeExceptions writes every exception as a feature: a Point at its structure, a LineString along its spans or its
// line. The properties are those of audit.json.
func writeExceptions(ctx context.Context, w io.Writer, r *audit.Result) error {
	s := newCollection(ctx, w, r)
	list(s, "features", exceptionFeatures(s, r))
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

func exceptionFeatures(s *jsonStream, r *audit.Result) iter.Seq[exceptionFeature] {
	return func(yield func(exceptionFeature) bool) {
		for i := range r.Exceptions {
			e := &r.Exceptions[i]
			geometry, err := geometryOf(routeOf(r, e))
			if err != nil {
				s.fail(err)
				return
			}
			rec := recordOf(r, e)
			rec.ID = r.ExceptionIDs()[i]
			if !yield(exceptionFeature{"Feature", geometry, rec}) {
				return
			}
		}
	}
}
