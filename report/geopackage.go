package report

import (
	"context"
	"io"
	"iter"
	"math"
	"slices"
	"strings"
	"time"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/report/gpkg"

	"github.com/paulmach/orb"
	geom "github.com/twpayne/go-geom"
)

// writeGeoPackage writes the layers structures, spans, exceptions (those at one structure, and those along a span, a section or a
// line) and zones, each with its style, and a table of the run. Its dates are the date of the audit.
func writeGeoPackage(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	day, err := time.Parse(time.DateOnly, r.Run.AsOf)
	if err != nil {
		day = time.Unix(0, 0)
	}
	units, err := unitsByStructure(ctx, r)
	if err != nil {
		return err
	}
	return gpkg.Write(ctx, w, scratchFolder(w), day, layersOf(r, a, units))
}

// layersOf are the layers with what people are told of their columns, and how they are drawn.
func layersOf(r *audit.Result, a *account, units []unitCount) []gpkg.Layer {
	layers := []gpkg.Layer{structureLayer(r, a, units), spanLayer(r), exceptionLayer(r, a.since(r), units, pointLayer),
		exceptionLayer(r, a.since(r), units, wayLayer), zoneLayer(r), runLayer(r)}
	for i := range layers {
		layers[i].Columns = toldColumns(r, layers[i].Columns)
		if layers[i].Geometry != gpkg.NoGeometry {
			layers[i].Style = layerStyle(r, &layers[i], a.decisions() != nil)
		}
	}
	return layers
}

// unitCount is how many units a structure needs in a string, or of posts, and has.
type unitCount struct {
	required, installed float64 // NaN where not known
	unit                string  // in which they are counted
}

// unitsByStructure counts them for the structures of the lines that were assessed of which schedules tell; those of the others are not known.
func unitsByStructure(ctx context.Context, r *audit.Result) ([]unitCount, error) {
	out := slices.Repeat([]unitCount{{math.NaN(), math.NaN(), ""}}, r.Network.StructureCount())
	schedules, err := r.Schedules(ctx)
	if err != nil {
		return nil, err
	}
	for l := range schedules {
		line := &r.Network.Lines[l]
		for i := line.First; i < line.End; i++ {
			if schedules[l].Of(i-line.First) != nil {
				q := requirementOf(r, l, i-line.First, &schedules[l])
				out[i] = unitCount{q.units, q.installedUnits, q.unit}
			}
		}
	}
	return out, nil
}

// whole is a count as a whole number, nothing where it is not known.
func whole(count float64) any {
	if unknown(count) {
		return nil
	}
	return int64(count)
}

func structureLayer(r *audit.Result, a *account, units []unitCount) gpkg.Layer {
	d := a.decisions()
	layer := gpkg.Layer{
		Name: "structures", Description: "Every structure of every line, run " + r.Run.ID, Geometry: gpkg.Point,
		Columns: []gpkg.Column{{Name: "line", Type: gpkg.Text}, {Name: "structure", Type: gpkg.Text}, {Name: "chainage_m", Type: gpkg.Real},
			{Name: "span_back_m", Type: gpkg.Real}, {Name: "span_ahead_m", Type: gpkg.Real}, {Name: "deviation_deg", Type: gpkg.Real},
			{Name: "role", Type: gpkg.Text}, {Name: "family", Type: gpkg.Text}, {Name: "requires", Type: gpkg.Text},
			{Name: "zone_class", Type: gpkg.Text}, {Name: "ground_m", Type: gpkg.Real}, {Name: "exceptions", Type: gpkg.Integer},
			{Name: "wind_span_m", Type: gpkg.Real}, {Name: "weight_span_cold_m", Type: gpkg.Real}, {Name: "doubtful", Type: gpkg.Boolean},
			{Name: "severity", Type: gpkg.Text}, {Name: "findings", Type: gpkg.Integer}, {Name: "work_rank", Type: gpkg.Integer}, {Name: "remedy", Type: gpkg.Text}},
		Rows: func(yield func(gpkg.Row) bool) {
			counts, works := exceptionsByStructure(r), structureWorks(r, a.rows(r))
			for s := range structures(r) {
				rec := structureRecordOf(r, &s)
				var exceptions, findings, rank any
				if r.Lines[s.Line].Assessed {
					exceptions, findings = int64(counts[s.Index]), int64(0)
				}
				work := works[s.Index]
				if work == nil {
					work = &structureWork{}
				} else {
					findings = int64(work.findings)
				}
				if work.rank > 0 {
					rank = int64(work.rank)
				}
				values := []any{plainText(rec.Line), plainText(rec.Structure),
					r.Network.ChainageM(s.Line, s.Index), s.SpanBackM, s.SpanAheadM, s.DeviationDeg, orNull(string(rec.Role)), orNull(string(rec.Family)),
					orNull(string(rec.Requires)), orNull(string(rec.ZoneClass)), s.GroundM, exceptions, s.WindSpanM, s.WeightSpanColdM, s.Doubtful,
					orNull(work.severity), findings, rank, orNull(plainText(work.remedy))}
				if rec.level.from != "" {
					values = append(values, plainText(rec.level.from), rec.level.errorM)
				}
				if d != nil {
					for _, text := range work.decided {
						values = append(values, orNull(plainText(text)))
					}
				}
				count := units[s.Index]
				values = append(values, severityRank(work.severity), whole(count.required), whole(count.installed), orNull(plainText(count.unit)), pageAddress(rec.Line, rec.Structure))
				if !yield(gpkg.Row{Geometry: shapeOf([]orb.Point{s.Position}), Values: values}) {
					return
				}
			}
		},
	}
	if tellsLevels(r) {
		layer.Columns = append(layer.Columns, gpkg.Column{Name: levelNames[0], Type: gpkg.Text}, gpkg.Column{Name: levelNames[1], Type: gpkg.Real})
	}
	if d != nil {
		for _, name := range workDecisionNames {
			layer.Columns = append(layer.Columns, gpkg.Column{Name: name, Type: gpkg.Text})
		}
	}
	layer.Columns = append(layer.Columns, gpkg.Column{Name: "severity_rank", Type: gpkg.Integer}, gpkg.Column{Name: "units_required", Type: gpkg.Integer},
		gpkg.Column{Name: "units_installed", Type: gpkg.Integer}, gpkg.Column{Name: "reference_unit", Type: gpkg.Text}, gpkg.Column{Name: "link", Type: gpkg.Text})
	return layer
}

// structures lists the structures of all lines.
func structures(r *audit.Result) iter.Seq[audit.Structure] {
	return func(yield func(audit.Structure) bool) {
		for l := range r.Network.Lines {
			for i := r.Network.Lines[l].First; i < r.Network.Lines[l].End; i++ {
				if !yield(r.Network.Structure(l, i)) {
					return
				}
			}
		}
	}
}

func spanLayer(r *audit.Result) gpkg.Layer {
	return gpkg.Layer{
		Name: "spans", Description: "Every span of every line, run " + r.Run.ID, Geometry: gpkg.MultiLineString,
		Columns: []gpkg.Column{{Name: "line", Type: gpkg.Text}, {Name: "structure", Type: gpkg.Text}, {Name: "structure_to", Type: gpkg.Text},
			{Name: "length_m", Type: gpkg.Real}, {Name: "slope", Type: gpkg.Real}, {Name: "crosses", Type: gpkg.Text}},
		Rows: func(yield func(gpkg.Row) bool) {
			for s := range structures(r) {
				line := &r.Network.Lines[s.Line]
				next := s.Index + 1
				if next == line.End && line.Closed {
					next = line.First
				}
				if unknown(s.SpanAheadM) || next == line.End {
					continue
				}
				far := r.Network.Structure(s.Line, next)
				if !yield(gpkg.Row{Geometry: manyWays(shapeOf([]orb.Point{s.Position, far.Position})), Values: []any{
					plainText(r.Project.Symbols.Text(line.Symbol)), plainText(r.Project.Texts.Get(s.Number)), plainText(r.Project.Texts.Get(far.Number)),
					s.SpanAheadM, r.Network.ChordSlope(s.Line, s.Index), orNull(strings.Join(r.Network.Crossed(s.Index), ", "))}}) {
					return
				}
			}
		},
	}
}

// manyWays makes a way one of many, since a layer holds one type of geometry and a span may be cut at the 180th meridian.
func manyWays(shape geom.T) geom.T {
	if way, single := shape.(*geom.LineString); single {
		return geom.NewMultiLineStringFlat(geom.XY, way.FlatCoords(), []int{len(way.FlatCoords())})
	}
	return shape
}

// zoneLayer has the zones of the project. What one asks for is in it where it is the same on all lines.
func zoneLayer(r *audit.Result) gpkg.Layer {
	return gpkg.Layer{
		Name: "zones", Description: "Pollution zones, run " + r.Run.ID, Geometry: gpkg.MultiPolygon,
		Columns: []gpkg.Column{{Name: "zone_class", Type: gpkg.Text}, {Name: "specific_creepage_mm_per_kv", Type: gpkg.Real},
			{Name: "label", Type: gpkg.Text}, {Name: "read_from", Type: gpkg.Text}},
		Rows: func(yield func(gpkg.Row) bool) {
			least, most := r.Network.ZoneAsks()
			for i := range r.Project.Zones {
				zone := &r.Project.Zones[i]
				class, specific := zone.Class, least[i]
				if zone.InDoubt() {
					class = basis.ClassUnknown
				}
				if zone.InDoubt() || least[i] != most[i] {
					specific = math.NaN()
				}
				at := originOf(r.Project, zone.Source)
				if !yield(gpkg.Row{Geometry: areasOf(zone), Values: []any{orNull(classLetter(class)), specific, orNull(plainText(zone.Label)), at.String()}}) {
					return
				}
			}
		},
	}
}

// areasOf is the area of a zone as one shape.
func areasOf(zone *audit.Zone) geom.T {
	var flat []float64
	ends := make([][]int, len(zone.Polygons))
	for i, p := range zone.Polygons {
		for _, end := range p.Ends {
			ends[i] = append(ends[i], len(flat)+end)
		}
		flat = append(flat, p.Flat...)
	}
	return geom.NewMultiPolygonFlat(geom.XY, flat, ends)
}

// runLayer is a table of what the layers come from.
func runLayer(r *audit.Result) gpkg.Layer {
	return gpkg.Layer{
		Name: "run", Description: "How the layers came about",
		Columns: []gpkg.Column{{Name: "name", Type: gpkg.Text}, {Name: "value", Type: gpkg.Text}},
		Rows: func(yield func(gpkg.Row) bool) {
			for _, pair := range [][2]string{{"run", r.Run.ID}, {"version", r.Run.Version}, {"as_of", r.Run.AsOf}, {"title", r.Project.Title}, {"caution", Caution}} {
				if !yield(gpkg.Row{Values: []any{pair[0], plainText(pair[1])}}) {
					return
				}
			}
		},
	}
}

// bareFigure is a figure without its measure, empty where it is not known.
func bareFigure(v audit.Value) string {
	v.Measure = ""
	return figureText(v)
}

// orNull is a text, or nothing where it is empty.
func orNull(text string) any {
	if text == "" {
		return nil
	}
	return text
}
