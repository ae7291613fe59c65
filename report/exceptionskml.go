package report

import (
	"context"
	"encoding/xml"
	"fmt"
	"html"
	"io"
	"strings"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/paulmach/orb"
	geom "github.com/twpayne/go-geom"
)

// The parts of a KML document (OGC 07-147r2) that the exceptions need.
type (
	kmlStyle struct {
		XMLName xml.Name  `xml:"Style"`
		ID      string    `xml:"id,attr"`
		Icon    kmlIcon   `xml:"IconStyle"`
		Label   kmlScale  `xml:"LabelStyle"`
		Line    kmlStroke `xml:"LineStyle"`
	}
	kmlIcon struct {
		Color string  `xml:"color"`
		Scale float64 `xml:"scale"`
	}
	kmlScale struct {
		Scale float64 `xml:"scale"`
	}
	kmlStroke struct {
		Color string  `xml:"color"`
		Width float64 `xml:"width"`
	}
	placemark struct {
		XMLName     xml.Name     `xml:"Placemark"`
		Name        string       `xml:"name"`
		Description string       `xml:"description"`
		Style       string       `xml:"styleUrl"`
		Data        []kmlData    `xml:"ExtendedData>Data"`
		Point       *kmlCoords   `xml:"Point"`
		Lines       *kmlManyWays `xml:"MultiGeometry"`
	}
	kmlData struct {
		Name  string `xml:"name,attr"`
		Value string `xml:"value"`
	}
	kmlCoords struct {
		Coordinates string `xml:"coordinates"`
	}
	kmlManyWays struct {
		Ways []kmlCoords `xml:"LineString"`
	}
)

// severityStyles are the colours of the workbook as KML writes them, aabbggrr, and the size of the mark.
var severityStyles = [...]struct {
	color string
	scale float64
}{
	audit.Shortfall: {"ff084b8a", 1.1},
	audit.Advisory:  {"ff41a4d9", 0.9},
	audit.Note:      {"ff807060", 0.8},
}

// What is accepted or planned is grey and small.
const (
	decidedStyle = "decided"
	decidedColor = "ff9e948a"
)

// writeKML writes a placemark for every exception, in a folder for each severity and check, and in a last folder one for every job.
func writeKML(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	changes, rows := a.since(r), a.rows(r)
	k := &kmlWriter{ctx: ctx, encoder: xml.NewEncoder(w)}
	k.encoder.Indent("", " ")
	k.token(xml.ProcInst{Target: "xml", Inst: []byte(`version="1.0" encoding="UTF-8"`)})
	k.open("kml", xml.Attr{Name: xml.Name{Local: "xmlns"}, Value: "http://www.opengis.net/kml/2.2"})
	k.open("Document")
	k.element("name", plainText(r.Project.Title))
	k.element("description", fmt.Sprintf("Run %s, as of %s. %s", r.Run.ID, r.Run.AsOf, Caution))
	for severity, style := range severityStyles {
		k.encode(kmlStyle{ID: audit.Severity(severity).String(), Icon: kmlIcon{style.color, style.scale}, Label: kmlScale{0},
			Line: kmlStroke{style.color, 3}})
	}
	taken := kmlNames
	if changes.Decided != nil {
		k.encode(kmlStyle{ID: decidedStyle, Icon: kmlIcon{decidedColor, 0.8}, Label: kmlScale{0}, Line: kmlStroke{decidedColor, 2}})
		taken = append(taken[:len(taken):len(taken)], decidedNames...)
	}
	names := exceptionTextNames(r, taken...)
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		if i == 0 || !sameFolder(e, &r.Exceptions[i-1]) {
			if i > 0 {
				k.shut("Folder")
			}
			k.open("Folder")
			k.element("name", e.Verdict.Severity.String()+": "+r.Checks[e.Check].Title)
		}
		k.encode(placemarkOf(r, changes, i, names))
	}
	if len(r.Exceptions) > 0 {
		k.shut("Folder")
	}
	k.jobs(r, rows)
	k.shut("Document")
	k.shut("kml")
	k.keep(k.encoder.Close())
	return k.err
}

// jobs writes the folder of the structures with work, in the order of doing.
func (k *kmlWriter) jobs(r *audit.Result, rows []workRow) {
	if len(rows) == 0 {
		return
	}
	k.open("Folder")
	k.element("name", "work, in the order of doing")
	works := structureWorks(r, rows)
	for i := range rows {
		w, at := &rows[i], works[rows[i].job.Structure]
		mark := placemark{Name: plainText(fmt.Sprintf("%d. %s, %s", w.rank, w.line, w.structure)), Style: "#" + w.why.Severity.String(),
			Description: html.EscapeString(plainText(w.findings + "\n" + at.remedy))}
		if w.said.Aside {
			mark.Style = "#" + decidedStyle
		}
		for _, d := range []kmlData{{"rank", fmt.Sprint(w.rank)}, {"severity", at.severity}, {"findings", fmt.Sprint(at.findings)}, {"line", w.line}, {"structure", w.structure},
			{"remedy", at.remedy}, {"fit", w.fitInWords()}, {"remove", w.removeInWords()}} {
			if d.Value != "" {
				mark.Data = append(mark.Data, kmlData{d.Name, plainText(d.Value)})
			}
		}
		for n, text := range at.decided {
			if text != "" {
				mark.Data = append(mark.Data, kmlData{workDecisionNames[n], plainText(text)})
			}
		}
		if point, ok := shapeOf([]orb.Point{r.Network.Position(w.job.Structure)}).(*geom.Point); ok {
			mark.Point = &kmlCoords{kmlPositions(point.FlatCoords())}
		}
		k.encode(mark)
	}
	k.shut("Folder")
}

func sameFolder(a, b *audit.Exception) bool {
	return a.Check == b.Check && a.Verdict.Severity == b.Verdict.Severity
}

// kmlNames are the names of the data of a placemark, which a name that is carried through does not take.
var kmlNames = []string{"check", "severity", "line", "structure", "structure_to", "circuit", "phase", "side", "observed", "required", "state", "first seen", "hangs", "read from"}

func placemarkOf(r *audit.Result, c *history.Changes, exception int, names []string) placemark {
	e, rec := &r.Exceptions[exception], toldOf(r, c, exception)
	name := rec.Line
	for _, part := range []string{rec.Structure, rec.StructureTo} {
		if part != "" {
			name += ", " + part
		}
	}
	mark := placemark{Name: plainText(name), Style: "#" + rec.Severity,
		// A description is read as HTML, so what is text must be escaped once more.
		Description: html.EscapeString(plainText(rec.Reason + "\n" + rec.Remedy))}
	data := []kmlData{{"check", rec.Check}, {"severity", rec.Severity}, {"line", rec.Line}, {"structure", rec.Structure},
		{"structure_to", rec.StructureTo}, {"circuit", rec.Circuit}, {"phase", rec.Phase}, {"side", rec.Side},
		{"observed", figureText(e.Verdict.Observed)}, {"required", figureText(e.Verdict.Required)}, {"state", rec.State}, {"first seen", rec.FirstSeen}, {"hangs", installedOf(r, e)},
		{"read from", rec.At.String()}}
	if decision := decidedTexts(c.Decided.Of(exception)); c.Decided != nil {
		data = append(data, kmlData{decidedNames[0], decision[0]}, kmlData{decidedNames[1], decision[1]})
		if !c.Decided.Open(exception) {
			mark.Style = "#" + decidedStyle
		}
	}
	for i, text := range exceptionTexts(r, e) {
		data = append(data, kmlData{names[i], text})
	}
	for _, d := range data {
		if d.Value != "" {
			mark.Data = append(mark.Data, kmlData{plainText(d.Name), plainText(d.Value)})
		}
	}
	switch g := shapeOf(routeOf(r, e)).(type) {
	case *geom.Point:
		mark.Point = &kmlCoords{kmlPositions(g.FlatCoords())}
	case *geom.LineString:
		mark.Lines = &kmlManyWays{[]kmlCoords{{kmlPositions(g.FlatCoords())}}}
	case *geom.MultiLineString:
		mark.Lines = &kmlManyWays{}
		for i := range g.NumLineStrings() {
			mark.Lines.Ways = append(mark.Lines.Ways, kmlCoords{kmlPositions(g.LineString(i).FlatCoords())})
		}
	}
	return mark
}

// figureText is a figure as text, empty where it is not known.
func figureText(v audit.Value) string {
	if v.Word == "" && unknown(v.Number) {
		return ""
	}
	return Value(v)
}

func kmlPositions(flat []float64) string {
	var b strings.Builder
	for i := 0; i+1 < len(flat); i += 2 {
		if i > 0 {
			b.WriteByte(' ')
		}
		fmt.Fprintf(&b, "%.9f,%.9f", flat[i], flat[i+1])
	}
	return b.String()
}

// kmlWriter writes elements one after another. The first error stays.
type kmlWriter struct {
	ctx     context.Context
	encoder *xml.Encoder
	err     error
}

func (k *kmlWriter) keep(err error) {
	if k.err == nil {
		k.err = err
	}
}

func (k *kmlWriter) token(t xml.Token) {
	if k.err == nil {
		k.err = k.encoder.EncodeToken(t)
	}
}

func (k *kmlWriter) open(name string, attributes ...xml.Attr) {
	k.token(xml.StartElement{Name: xml.Name{Local: name}, Attr: attributes})
}

func (k *kmlWriter) shut(name string) { k.token(xml.EndElement{Name: xml.Name{Local: name}}) }

func (k *kmlWriter) element(name, text string) {
	if k.err == nil {
		k.err = k.encoder.EncodeElement(text, xml.StartElement{Name: xml.Name{Local: name}})
	}
}

func (k *kmlWriter) encode(value any) {
	if k.err == nil {
		k.err = k.ctx.Err()
	}
	if k.err == nil {
		k.err = k.encoder.Encode(value)
	}
}
