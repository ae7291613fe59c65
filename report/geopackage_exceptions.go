package report

import (
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/history"
	"dryarc/report/gpkg"

	geom "github.com/twpayne/go-geom"
)

// exceptionKind is one of the two layers of exceptions, since a layer holds one type of geometry, or all of them for formats whose layers
// may hold several.
type exceptionKind struct{ name, description, geometry string }

var (
	pointLayer = exceptionKind{"exceptions_at_structures", "Exceptions at one structure", gpkg.Point}
	wayLayer   = exceptionKind{"exceptions_along_lines", "Exceptions along a span, a section or a line", gpkg.MultiLineString}
	everyLayer = exceptionKind{"exceptions", "Every exception", ""}
)

// isPlace tells whether an exception is drawn at one place. One whose position is not known goes by what it is of.
func isPlace(e *audit.Exception, shape geom.T) bool {
	if shape == nil {
		return e.Structure >= 0 && e.To < 0
	}
	_, point := shape.(*geom.Point)
	return point
}

// unitsAt are the units that are needed where an exception is; those that are there are of its own assembly, where it is of one, and not
// known where that hangs on other units.
func unitsAt(r *audit.Result, e *audit.Exception, units []unitCount) unitCount {
	if e.Structure < 0 {
		return unitCount{math.NaN(), math.NaN(), ""}
	}
	count := units[e.Structure]
	if e.Assembly >= 0 {
		count.installed = math.NaN()
		a := r.Network.Assembly(uint32(e.Assembly))
		if a.Unit != nil && a.Unit.Name == count.unit && len(a.Makeup.Parts) == 1 && a.UnitsPerString >= 0 {
			count.installed = float64(a.UnitsPerString)
		}
	}
	return count
}

// severityRank is 1 for the gravest severity, nothing for none.
func severityRank(severity string) any {
	for s := audit.Shortfall; s <= audit.Note; s++ {
		if s.String() == severity {
			return int64(s) + 1
		}
	}
	return nil
}

// bareNumber is a figure as a number, NaN for a word.
func bareNumber(v audit.Value) float64 {
	if v.Word != "" {
		return math.NaN()
	}
	return v.Number
}

// exceptionLink leads to an exception on the page.
func exceptionLink(id string) string { return pageFile + "#e-" + id }

// exceptionLayer has the exceptions whose shape is that of a kind, worst first.
func exceptionLayer(r *audit.Result, c *history.Changes, units []unitCount, kind exceptionKind) gpkg.Layer {
	layer := gpkg.Layer{
		Name: kind.name, Description: kind.description + ", worst first, run " + r.Run.ID, Geometry: kind.geometry,
		Columns: []gpkg.Column{{Name: "check", Type: gpkg.Text}, {Name: "severity", Type: gpkg.Text}, {Name: "line", Type: gpkg.Text},
			{Name: "structure", Type: gpkg.Text}, {Name: "structure_to", Type: gpkg.Text}, {Name: "circuit", Type: gpkg.Text},
			{Name: "phase", Type: gpkg.Text}, {Name: "side", Type: gpkg.Text}, {Name: "observed", Type: gpkg.Text}, {Name: "required", Type: gpkg.Text},
			{Name: "measure", Type: gpkg.Text}, {Name: "margin", Type: gpkg.Real}, {Name: "reason", Type: gpkg.Text}, {Name: "remedy", Type: gpkg.Text},
			{Name: "state", Type: gpkg.Text}, {Name: "first_seen", Type: gpkg.Text},
			{Name: "hangs", Type: gpkg.Text}, {Name: "read_from", Type: gpkg.Text},
			{Name: "installed", Type: gpkg.Text}, {Name: "inspected", Type: gpkg.Text}, {Name: "remarks", Type: gpkg.Text}},
		Rows: func(yield func(gpkg.Row) bool) {
			for i := range r.Exceptions {
				e := &r.Exceptions[i]
				shape := shapeOf(routeOf(r, e))
				if kind != everyLayer && isPlace(e, shape) != (kind.geometry == gpkg.Point) {
					continue
				}
				rec, count := toldOf(r, c, i), unitsAt(r, e, units)
				values := []any{rec.Check, rec.Severity, rec.Line, rec.Structure, rec.StructureTo, rec.Circuit, rec.Phase, rec.Side,
					bareFigure(e.Verdict.Observed), bareFigure(e.Verdict.Required), rec.Measure, float64(rec.Margin), rec.Reason, rec.Remedy, rec.State, rec.FirstSeen,
					installedOf(r, e), rec.At.String()}
				installedOn, inspected, remarks := ownTexts(r, e)
				values = append(values, installedOn, inspected, remarks)
				if c.Decided != nil {
					texts := decidedTexts(c.Decided.Of(i))
					values = append(values, texts[0], texts[1])
				}
				for _, text := range carriedBy(r, e) {
					values = append(values, text)
				}
				values = append(values, rec.ID, severityRank(rec.Severity), bareNumber(e.Verdict.Observed), bareNumber(e.Verdict.Required), 100*e.Verdict.Margin,
					whole(count.required), whole(count.installed), count.unit, exceptionLink(rec.ID))
				for k, value := range values {
					if text, ok := value.(string); ok {
						values[k] = orNull(plainText(text))
					}
				}
				if kind == wayLayer {
					shape = manyWays(shape)
				}
				if !yield(gpkg.Row{Geometry: shape, Values: values}) {
					return
				}
			}
		},
	}
	if c.Decided != nil {
		for _, name := range decidedNames {
			layer.Columns = append(layer.Columns, gpkg.Column{Name: name, Type: gpkg.Text})
		}
	}
	ours := []gpkg.Column{{Name: "id", Type: gpkg.Text}, {Name: "severity_rank", Type: gpkg.Integer}, {Name: "observed_value", Type: gpkg.Real},
		{Name: "required_value", Type: gpkg.Real}, {Name: "margin_percent", Type: gpkg.Real}, {Name: "units_required", Type: gpkg.Integer},
		{Name: "units_installed", Type: gpkg.Integer}, {Name: "reference_unit", Type: gpkg.Text}, {Name: "link", Type: gpkg.Text}}
	taken := []string{"fid", "geom", "geometry", "bbox"}
	for _, c := range slices.Concat(layer.Columns, ours) {
		taken = append(taken, c.Name)
	}
	for _, name := range exceptionCarriedNames(r, taken...) {
		layer.Columns = append(layer.Columns, gpkg.Column{Name: plainText(name), Type: gpkg.Text})
	}
	layer.Columns = append(layer.Columns, ours...)
	return layer
}
