package report

import (
	"context"
	"fmt"
	"io"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/report/gpkg"
)

// drawnRule is how the features of a layer are drawn for which a filter holds.
type drawnRule struct {
	label  string
	filter filter
	mark   *mark  // of a point
	line   string // colour of a line, of an area that of its border
	width  float64
	fill   string // of an area
	dashed bool
}

// filter is a condition on a column: that it holds a text, or nothing where that is empty. The zero filter always holds.
type filter struct{ column, text string }

// layerDrawing is how a layer is drawn: its rules, those below first in the drawing, and what its features are called.
type layerDrawing struct {
	what     string
	geometry string // as gpkg has it
	rules    []drawnRule
	label    string  // column; empty for none
	from     float64 // scale beyond which labels are drawn, 1 to so much
	tip      []string
}

// closedDecision is the filter of what is accepted or planned, in force. It stands alone, before those of severities.
var closedDecision = filter{"decision_status", "in force"}

// drawingOf is how a layer is drawn, by its name.
func drawingOf(layer string, decided bool) layerDrawing {
	switch layer {
	case "spans":
		return layerDrawing{what: "Spans", geometry: gpkg.MultiLineString, rules: []drawnRule{{label: "Span", line: wireInk, width: 0.4}}, tip: []string{"line", "length_m"}}
	case "zones":
		d := layerDrawing{what: "Pollution zones, the tint darker with the class", geometry: gpkg.MultiPolygon, label: "label", from: 2_000_000, tip: []string{"zone_class", "label"}}
		d.rules = append(d.rules, drawnRule{label: "Class not known", filter: filter{"zone_class", ""}, line: hatchInk, width: 0.2, fill: zoneTints[0], dashed: true})
		for c := basis.ClassA; c <= basis.ClassF; c++ {
			d.rules = append(d.rules, drawnRule{label: "Class " + c.String() + ", " + c.Name(), filter: filter{"zone_class", c.String()}, line: hatchInk, width: 0.2, fill: zoneTints[c]})
		}
		return d
	case "structures":
		rest := drawnRule{label: "No exception", filter: filter{"severity", ""}, mark: &mark{circle, wireInk, wireInk, 1.8}}
		return layerDrawing{what: "Structures by their worst exception", geometry: gpkg.Point, label: "structure", from: 25_000, tip: []string{"line", "structure", "severity", "remedy"},
			rules: append([]drawnRule{rest}, severityRules(func(d *drawnRule, m *mark) { d.mark = m })...)}
	case wayLayer.name:
		return layerDrawing{what: "Exceptions along a span, a section or a line, by severity", geometry: gpkg.MultiLineString, tip: exceptionTip,
			rules: decidedRules(decided, drawnRule{line: decidedInk, width: 0.8}, severityRules(func(d *drawnRule, m *mark) { d.line, d.width = m.stroke, 0.5+m.radius/10 }))}
	default: // of exceptions at structures, in the GeoPackage or beside the GeoJSON
		return layerDrawing{what: "Exceptions at one structure, by severity", geometry: gpkg.Point, tip: exceptionTip, // labelled by the structures, of which several may be one
			rules: decidedRules(decided, drawnRule{mark: &decidedMark}, severityRules(func(d *drawnRule, m *mark) { d.mark = m }))}
	}
}

var exceptionTip = []string{"severity", "line", "structure", "reason", "remedy"}

// severityRules draw by severity, the gravest on top.
func severityRules(draw func(*drawnRule, *mark)) (rules []drawnRule) {
	for s := audit.Note; ; s-- {
		d := drawnRule{label: sentenceCase(s.String()), filter: filter{"severity", s.String()}}
		m := severityMarks[s]
		draw(&d, &m)
		rules = append(rules, d)
		if s == audit.Shortfall {
			return rules
		}
	}
}

// decidedRules put what is accepted or planned, in force, apart.
func decidedRules(decided bool, d drawnRule, rules []drawnRule) []drawnRule {
	if !decided {
		return rules
	}
	d.label, d.filter = "Accepted or planned", closedDecision
	return append([]drawnRule{d}, rules...)
}

// stylesBeside are the names of the style files and how what each is of is drawn.
const (
	structuresStyle = "structures.qml"
	exceptionsStyle = "exceptions.qml"
	alongStyle      = "exceptions-along-lines.qml"
)

// writeStyle writes the style of a GeoJSON output, by the name of the layer that is drawn alike and the properties that it has.
func (a *account) writeStyle(layer string, properties []string) func(context.Context, io.Writer, *audit.Result) error {
	return func(_ context.Context, w io.Writer, r *audit.Result) error {
		d := drawingOf(layer, a.decisions() != nil)
		columns := make([]gpkg.Column, len(properties))
		for i, name := range properties {
			columns[i].Name = name
		}
		_, err := io.WriteString(w, d.qml(r, toldColumns(r, columns)))
		return err
	}
}

// layerStyle is the style of a layer of the GeoPackage.
func layerStyle(r *audit.Result, l *gpkg.Layer, decided bool) gpkg.Style {
	d := drawingOf(l.Name, decided)
	return gpkg.Style{Name: l.Name, Description: d.what, QML: d.qml(r, l.Columns), SLD: d.sld(l.Name)}
}

// expression is a filter as an expression over columns, with what stands before it held apart.
func (f filter) expression(decided bool) string {
	own := fmt.Sprintf("%q = '%s'", f.column, f.text)
	switch {
	case f == filter{}:
		return ""
	case f.text == "":
		return fmt.Sprintf("coalesce(%q, '') = ''", f.column)
	case f == closedDecision:
		return own + ` AND "decision" IN ('accept', 'plan')`
	case decided && f.column == "severity":
		return own + fmt.Sprintf(` AND NOT (coalesce(%q, '') = '%s' AND coalesce("decision", '') IN ('accept', 'plan'))`, closedDecision.column, closedDecision.text)
	}
	return own
}

func (d *layerDrawing) decided() bool {
	return len(d.rules) > 0 && d.rules[0].filter == closedDecision
}
