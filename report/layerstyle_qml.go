package report

import (
	"encoding/xml"
	"fmt"
	"strconv"

	"dryarc/audit"
	"dryarc/report/gpkg"
)

// The parts of a style file of QGIS that the layers need.
type (
	qmlDocument struct {
		XMLName    xml.Name    `xml:"qgis"`
		Version    string      `xml:"version,attr"`
		Categories string      `xml:"styleCategories,attr"`
		Labels     int         `xml:"labelsEnabled,attr"`
		Renderer   qmlRenderer `xml:"renderer-v2"`
		Labeling   *qmlLabels  `xml:"labeling"`
		Aliases    []qmlAlias  `xml:"aliases>alias"`
		Tip        string      `xml:"mapTip"`
		Geometry   int         `xml:"layerGeometryType"`
	}
	qmlRenderer struct {
		Type    string      `xml:"type,attr"`
		Levels  int         `xml:"symbollevels,attr"`
		Raster  int         `xml:"forceraster,attr"`
		Rules   qmlRules    `xml:"rules"`
		Symbols []qmlSymbol `xml:"symbols>symbol"`
	}
	qmlRules struct {
		Key   string    `xml:"key,attr"`
		Rules []qmlRule `xml:"rule"`
	}
	qmlRule struct {
		Key    string `xml:"key,attr"`
		Symbol string `xml:"symbol,attr"`
		Label  string `xml:"label,attr"`
		Filter string `xml:"filter,attr,omitempty"`
	}
	qmlSymbol struct {
		Type  string   `xml:"type,attr"`
		Name  string   `xml:"name,attr"`
		Alpha string   `xml:"alpha,attr"`
		Clip  int      `xml:"clip_to_extent,attr"`
		Layer qmlLayer `xml:"layer"`
	}
	qmlLayer struct {
		Class   string    `xml:"class,attr"`
		Pass    int       `xml:"pass,attr"`
		Enabled int       `xml:"enabled,attr"`
		Locked  int       `xml:"locked,attr"`
		Props   []qmlProp `xml:"prop"`
	}
	qmlProp struct {
		Key   string `xml:"k,attr"`
		Value string `xml:"v,attr"`
	}
	qmlLabels struct {
		Type     string      `xml:"type,attr"`
		Settings qmlSettings `xml:"settings"`
	}
	qmlSettings struct {
		Text      qmlText      `xml:"text-style"`
		Placement qmlPlacement `xml:"placement"`
		Rendering qmlRendering `xml:"rendering"`
	}
	qmlText struct {
		Field      string    `xml:"fieldName,attr"`
		Expression int       `xml:"isExpression,attr"`
		Size       string    `xml:"fontSize,attr"`
		SizeUnit   string    `xml:"fontSizeUnit,attr"`
		Family     string    `xml:"fontFamily,attr"`
		Color      string    `xml:"textColor,attr"`
		Buffer     qmlBuffer `xml:"text-buffer"`
	}
	qmlBuffer struct {
		Draw  int    `xml:"bufferDraw,attr"`
		Size  string `xml:"bufferSize,attr"`
		Units string `xml:"bufferSizeUnits,attr"`
		Color string `xml:"bufferColor,attr"`
	}
	qmlPlacement struct {
		Kind  int    `xml:"placement,attr"`
		Dist  string `xml:"dist,attr"`
		Units string `xml:"distUnits,attr"`
	}
	qmlRendering struct {
		Obstacle int    `xml:"obstacle,attr"` // that other labels keep off: 0, since marks of several layers lie on each other
		ByScale  int    `xml:"scaleVisibility,attr"`
		Nearest  string `xml:"scaleMin,attr"`
		Farthest string `xml:"scaleMax,attr"`
	}
	qmlAlias struct {
		Field string `xml:"field,attr"`
		Index int    `xml:"index,attr"`
		Name  string `xml:"name,attr"`
	}
)

// qmlPlacements are how labels stand about a point, and in an area, as QGIS numbers them.
const (
	aroundPoint = 6
	inArea      = 1
)

// qml is the drawing as a style file of QGIS, with the headings of columns.
func (d *layerDrawing) qml(r *audit.Result, columns []gpkg.Column) string {
	kinds := map[string]struct {
		symbol string
		number int
	}{gpkg.Point: {"marker", 0}, gpkg.MultiLineString: {"line", 1}, gpkg.MultiPolygon: {"fill", 2}}
	kind := kinds[d.geometry]
	doc := qmlDocument{Version: "3.22.0", Categories: "Symbology|Labeling|MapTips|Fields", Geometry: kind.number,
		Renderer: qmlRenderer{Type: "RuleRenderer", Levels: 1, Rules: qmlRules{Key: "all"}}}
	for i := range d.rules {
		rule := &d.rules[i]
		name := strconv.Itoa(i)
		of := qmlRule{Key: "rule" + name, Symbol: name, Label: rule.label, Filter: rule.filter.expression(d.decided())}
		doc.Renderer.Rules.Rules = append(doc.Renderer.Rules.Rules, of)
		class, props := rule.qmlProps()
		doc.Renderer.Symbols = append(doc.Renderer.Symbols, qmlSymbol{Type: kind.symbol, Name: name, Alpha: "1", Clip: 1,
			Layer: qmlLayer{Class: class, Pass: i, Enabled: 1, Props: props}})
	}
	if d.label != "" {
		doc.Labels = 1
		placement := qmlPlacement{aroundPoint, "1.2", "MM"}
		if d.geometry == gpkg.MultiPolygon {
			placement.Kind = inArea
		}
		doc.Labeling = &qmlLabels{"simple", qmlSettings{
			Text: qmlText{Field: d.label, Size: "8", SizeUnit: "Point", Family: fontFamily, Color: qmlColor(ink),
				Buffer: qmlBuffer{1, "0.8", "MM", qmlColor(sheetWhite)}},
			Placement: placement, Rendering: qmlRendering{0, 1, "0", strconv.FormatFloat(d.from, 'f', -1, 64)}}}
	}
	for i, c := range columns {
		doc.Aliases = append(doc.Aliases, qmlAlias{c.Name, i, c.Title})
	}
	for _, field := range d.tip {
		doc.Tip += fmt.Sprintf("<p><b>%s</b>: [%% \"%s\" %%]</p>", columnTexts[field].title, field)
	}
	text, err := xml.MarshalIndent(doc, "", " ")
	if err != nil {
		panic(err) // of types that can always be written
	}
	return "<!DOCTYPE qgis PUBLIC 'http://mrcc.com/qgis.dtd' 'SYSTEM'>\n<!-- " + "Run " + r.Run.ID + ", as of " + r.Run.AsOf + ". Screening only. -->\n" + string(text) + "\n"
}

// qmlProps is the symbol of a rule: its class and its properties.
func (d *drawnRule) qmlProps() (class string, props []qmlProp) {
	millimetres := func(x float64) string { return strconv.FormatFloat(x, 'f', 2, 64) }
	switch dash := map[bool]string{true: "dash", false: "solid"}[d.dashed]; {
	case d.mark != nil:
		return "SimpleMarker", []qmlProp{{"name", [...]string{"triangle", "diamond", "circle"}[d.mark.shape]}, {"color", qmlColor(d.mark.fill)},
			{"outline_color", qmlColor(d.mark.stroke)}, {"outline_width", "0.4"}, {"outline_width_unit", "MM"}, {"size", millimetres(0.6 * d.mark.radius)}, {"size_unit", "MM"}}
	case d.fill != "":
		return "SimpleFill", []qmlProp{{"color", qmlColor(d.fill)}, {"style", "solid"}, {"outline_color", qmlColor(d.line)}, {"outline_style", dash},
			{"outline_width", millimetres(d.width)}, {"outline_width_unit", "MM"}}
	}
	return "SimpleLine", []qmlProp{{"line_color", qmlColor(d.line)}, {"line_style", "solid"}, {"line_width", millimetres(d.width)}, {"line_width_unit", "MM"},
		{"capstyle", "round"}, {"joinstyle", "round"}}
}

func qmlColor(digits string) string {
	c := rgb(digits)
	return fmt.Sprintf("%d,%d,%d,%d", c.R, c.G, c.B, c.A)
}
