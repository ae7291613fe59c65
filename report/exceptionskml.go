package report

import (
	"archive/zip"
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
		Color string   `xml:"color"`
		Scale float64  `xml:"scale"`
		Icon  *kmlHref `xml:"Icon"`
	}
	kmlHref struct {
		Href string `xml:"href"`
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

// What is accepted or planned is grey and small.
const decidedStyle = "decided"

// kmlMarks are the marks by the ids of their styles, and the scale at which the mark and its label are drawn.
func kmlMarks(decided bool) (marks []kmlMark) {
	for severity, m := range severityMarks {
		marks = append(marks, kmlMark{audit.Severity(severity).String(), m, [...]float64{1.1, 0.9, 0.8}[severity], [...]float64{0.8, 0.7, 0}[severity]})
	}
	if decided {
		marks = append(marks, kmlMark{decidedStyle, decidedMark, 0.8, 0})
	}
	return marks
}

type kmlMark struct {
	id           string
	mark         mark
	scale, label float64
}

// style is how placemarks of a mark are drawn. Without icons of its own a program takes its own, in the colour of the mark.
func (m *kmlMark) style(icons string) kmlStyle {
	c := rgb(m.mark.stroke)
	color := fmt.Sprintf("ff%02x%02x%02x", c.B, c.G, c.R) // as KML writes it, aabbggrr
	icon := kmlIcon{color, m.scale, nil}
	if icons != "" {
		icon = kmlIcon{"ffffffff", m.scale, &kmlHref{icons + m.id + ".png"}}
	}
	return kmlStyle{ID: m.id, Icon: icon, Label: kmlScale{m.label}, Line: kmlStroke{color, 3}}
}

// mostPlacemarks is how many exceptions, and how many jobs, are placemarks: a phone shows no more. What is beyond stays out, and the document says so.
const mostPlacemarks = 20_000

// writeKML writes a placemark for every exception up to a limit, in a folder for each severity and check, and in a last folder one for every job.
func writeKML(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	return writePlacemarks(ctx, w, r, a, "", mostPlacemarks)
}

// writeKMZ writes the same with icons of its own, packed into one file, which is what goes to a phone.
func writeKMZ(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	const icons, pixels = "marks/", 64
	pack := zip.NewWriter(w)
	part := func(name string) (io.Writer, error) { // without a moment, so that the same run gives the same bytes
		return pack.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate})
	}
	document, err := part("doc.kml")
	if err != nil {
		return err
	}
	if err := writePlacemarks(ctx, document, r, a, icons, mostPlacemarks); err != nil {
		return err
	}
	for _, m := range kmlMarks(a.decisions() != nil) {
		picture, err := m.mark.picture(pixels)
		if err != nil {
			return err
		}
		file, err := part(icons + m.id + ".png")
		if err != nil {
			return err
		}
		if _, err := file.Write(picture); err != nil {
			return err
		}
	}
	return pack.Close()
}

// writePlacemarks writes the placemarks, with the icons of a folder where one is named.
func writePlacemarks(ctx context.Context, w io.Writer, r *audit.Result, a *account, icons string, most int) error {
	changes, rows := a.since(r), a.rows(r)
	shown, jobs := min(len(r.Exceptions), most), min(len(rows), most)
	k := &kmlWriter{ctx: ctx, encoder: xml.NewEncoder(w)}
	k.encoder.Indent("", " ")
	k.token(xml.ProcInst{Target: "xml", Inst: []byte(`version="1.0" encoding="UTF-8"`)})
	k.open("kml", xml.Attr{Name: xml.Name{Local: "xmlns"}, Value: "http://www.opengis.net/kml/2.2"})
	k.open("Document")
	k.element("name", plainText(r.Project.Title))
	k.element("description", fmt.Sprintf("Run %s, as of %s. %s%s", r.Run.ID, r.Run.AsOf, Caution, cutPlacemarks(shown, len(r.Exceptions), jobs, len(rows))))
	for _, m := range kmlMarks(changes.Decided != nil) {
		k.encode(m.style(icons))
	}
	taken := kmlNames
	if changes.Decided != nil {
		taken = append(taken[:len(taken):len(taken)], decidedNames...)
	}
	names := exceptionTextNames(r, taken...)
	for i := range shown {
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
	if shown > 0 {
		k.shut("Folder")
	}
	k.jobs(r, rows, jobs)
	k.shut("Document")
	k.shut("kml")
	k.keep(k.encoder.Close())
	return k.err
}

// cutPlacemarks says of which exceptions and jobs there are placemarks; nothing where of all.
func cutPlacemarks(shown, exceptions, jobs, work int) (text string) {
	if shown < exceptions {
		text = fmt.Sprintf(" The worst %s of %s exceptions; exceptions.geojson and audit.json have all.", grouped(shown), grouped(exceptions))
	}
	if jobs < work {
		text += fmt.Sprintf(" The first %s of %s jobs; audit.json has all.", grouped(jobs), grouped(work))
	}
	return text
}

// jobs writes the folder of the structures with work, so many in the order of doing.
func (k *kmlWriter) jobs(r *audit.Result, rows []workRow, most int) {
	if len(rows) == 0 {
		return
	}
	k.open("Folder")
	k.element("name", "work, in the order of doing")
	works := structureWorks(r, rows)
	for i := range rows[:most] {
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
