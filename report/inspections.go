package report

import (
	"context"
	"fmt"
	"io"
	"iter"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"dryarc/audit"
)

// What the outputs tell of inspections.

const inspectionsSheet = "Inspections"

// inspectionCounts count what became of inspections.
type inspectionCounts struct {
	Read      int `json:"read"`
	Joined    int `json:"joined"`
	Deciding  int `json:"deciding"` // of those that are joined: a verdict rests on its count
	Proposed  int `json:"proposed"` // by position, which changes no verdict
	NotJoined int `json:"not_joined"`
	Loose     int `json:"broken_not_joined,omitempty"` // of those not joined, and of the proposed: with broken units
}

// countInspections counts them; nil where the project names none.
func countInspections(n *audit.Network) *inspectionCounts {
	if n.Project.Inspections == nil {
		return nil
	}
	c := &inspectionCounts{Read: len(n.Inspected)}
	for i := range n.Inspected {
		in := &n.Inspected[i]
		switch {
		case in.State.IsJoined():
			c.Joined++
		case in.State == audit.InspectionProposed:
			c.Proposed++
		default:
			c.NotJoined++
		}
		if !in.State.IsJoined() && n.Project.Inspections.Rows[i].Broken > 0 {
			c.Loose++
		}
		if in.Decides {
			c.Deciding++
		}
	}
	return c
}

func (c *inspectionCounts) inWords() string {
	loose := ""
	if c.Loose > 0 {
		loose = fmt.Sprintf("; %s with broken units not joined, of which nothing is judged but what they leave open", counted(c.Loose, "row", "rows"))
	}
	return fmt.Sprintf("inspections: %s read = %s joined + %s proposed + %s not joined; %s of them decide", grouped(c.Read), grouped(c.Joined), grouped(c.Proposed), grouped(c.NotJoined), grouped(c.Deciding)) + loose
}

// InspectionsInWords tells how many inspections were joined, and of each that was not why, the first of many.
func InspectionsInWords(n *audit.Network) (lines []string) {
	const most = 20 // a choice of this program
	c := countInspections(n)
	if c == nil {
		return nil
	}
	lines = append(lines, c.inWords())
	for i := range n.Inspected {
		if n.Inspected[i].State.IsJoined() {
			continue
		}
		if len(lines) > most {
			return append(lines, fmt.Sprintf("  and %s more, see the sheet %s of an audit", grouped(c.Proposed+c.NotJoined-most), inspectionsSheet))
		}
		at := originOf(n.Project, n.Project.Inspections.Rows[i].Source)
		lines = append(lines, Visible(fmt.Sprintf("  %s: %s, %s", &at, n.Inspected[i].State, n.Inspected[i].Why)))
	}
	return lines
}

// inspectionRecord is an inspection as programs read it.
type inspectionRecord struct {
	Inspection string  `json:"inspection"`
	Date       string  `json:"date"`
	Method     string  `json:"method"`
	Line       string  `json:"line"`
	Structure  string  `json:"structure"`
	Circuit    string  `json:"circuit"`
	Phase      string  `json:"phase"`
	Side       string  `json:"side"`
	String     *int16  `json:"string"`
	Seen       *int16  `json:"units_seen"`
	Broken     *int16  `json:"units_broken"`
	Flashed    *int16  `json:"units_flashed"`
	Confidence number  `json:"confidence"`
	Inspector  string  `json:"inspector"`
	Photo      string  `json:"photo"`
	Remark     string  `json:"remark"`
	State      string  `json:"state"`
	Rows       int     `json:"rows"`
	Decides    bool    `json:"decides"`
	Why        string  `json:"why"`
	At         *origin `json:"at"`
}

func inspectionRecordOf(n *audit.Network, i int) inspectionRecord {
	p, out := n.Project, &n.Inspected[i]
	in := &p.Inspections.Rows[i]
	count := func(v int16) *int16 {
		if v < 0 {
			return nil
		}
		return &v
	}
	at := originOf(p, in.Source)
	rec := inspectionRecord{Inspection: p.Texts.Get(in.Name), Date: in.Date.String(), Method: p.Texts.Get(in.Method), Line: p.Symbols.Text(in.Line), Structure: p.Texts.Get(in.Number),
		Circuit: p.Symbols.Text(in.Circuit), Phase: p.Symbols.Text(in.Phase), Side: in.Side.String(), String: count(in.String), Seen: count(in.UnitsSeen), Broken: count(in.Broken), Flashed: count(in.Flashed),
		Confidence: number(in.Confidence), Inspector: p.Texts.Get(in.Inspector), Photo: p.Texts.Get(in.Photo), Remark: p.Texts.Get(in.Remark),
		State: out.State.String(), Rows: out.Rows, Decides: out.Decides, Why: out.Why, At: &at}
	if out.Structure >= 0 {
		rec.Line, rec.Structure = p.Symbols.Text(n.Lines[out.Line].Symbol), n.Number(out.Structure)
	}
	return rec
}

func inspectionRecords(n *audit.Network) iter.Seq[inspectionRecord] {
	return func(yield func(inspectionRecord) bool) {
		for i := range n.Inspected {
			if !yield(inspectionRecordOf(n, i)) {
				return
			}
		}
	}
}

// writeInspections writes the sheet of inspections, in the order of the inputs.
func (b *book) writeInspections(ctx context.Context) error {
	n := b.result.Network
	t := b.newTable(ctx, inspectionsSheet, 2, []column{
		{"Inspection", 12, look{bold: true, wrap: true}},
		{"Date", 10, look{}},
		{"What became of it", 16, look{wrap: true}},
		{"Decides", 7, look{}},
		{"Line", 9.5, look{wrap: true}},
		{"Structure", 8, look{bold: true}},
		{"Page", 7.5, look{color: blue}},
		{"Circuit", 6, look{}},
		{"Phase", 6, look{wrap: true}},
		{"Side", 6, look{}},
		{"String", 6, look{}},
		{"Units seen", 7, look{format: asCount}},
		{"Units broken", 7, look{format: asCount}},
		{"Units flashed", 7, look{format: asCount}},
		{"Confidence", 9, look{format: asHundred}},
		{"Why not joined", 34, look{wrap: true, indent: 1}},
		{"Method", 12, look{wrap: true}},
		{"Inspector", 12, look{wrap: true}},
		{"Photo", 16, look{color: blue}},
		{"Remark", 24, look{wrap: true}},
		{"Read from", 21, look{wrap: true, indent: 1, color: slateSoft}},
	})
	shown := min(len(n.Inspected), b.limits.rows)
	for i := range shown {
		rec := inspectionRecordOf(n, i)
		var page any
		if n.Inspected[i].Structure >= 0 {
			page = pageLink(rec.Line, rec.Structure)
		}
		decides := ""
		if rec.Decides {
			decides = "yes"
		}
		figure := func(v *int16) any {
			if v == nil {
				return nil
			}
			return int(*v)
		}
		var confidence any
		if !math.IsNaN(float64(rec.Confidence)) {
			confidence = float64(rec.Confidence)
		}
		t.add(rec.Inspection, rec.Date, rec.State, decides, rec.Line, rec.Structure, page, rec.Circuit, rec.Phase, rec.Side, figure(rec.String), figure(rec.Seen), figure(rec.Broken), figure(rec.Flashed),
			confidence, rec.Why, rec.Method, rec.Inspector, photoCell(rec.Photo), rec.Remark, rec.At.String())
	}
	t.remarkCut(shown, len(n.Inspected), "inspections, the first; audit.json has all")
	return t.finish()
}

// photoCell is a cell that opens a photo where its address may be followed, else its text.
func photoCell(photo string) any {
	if photo = strings.TrimSpace(photo); !audit.IsLink(photo) || utf8.RuneCountInString(photoAddress(photo)) > longestFormulaText || strings.Contains(photo, `"`) || underscored(photo) != photo {
		return photo
	}
	shown := photo
	if utf8.RuneCountInString(shown) > longestLinkText {
		shown = "…" + string([]rune(shown)[utf8.RuneCountInString(shown)-longestLinkText+1:])
	}
	return computed{fmt.Sprintf(`HYPERLINK("%s","%s")`, photoAddress(photo), shown), shown}
}

// photoAddress is a photo that may be followed as a link has it: in a path # is a letter of the name, where a web address has it before a place
// within, and \ is the / of Windows.
func photoAddress(photo string) string {
	photo = strings.ReplaceAll(photo, `\`, "/")
	if scheme, _, _ := strings.Cut(photo, "/"); strings.HasSuffix(scheme, ":") {
		return photo
	}
	return strings.ReplaceAll(photo, "#", "%23")
}

// inspectionColumns are what an exception carries of the inspection that decides, and takenByInspections stands behind one whose name is taken.
var inspectionColumns = [...]string{"Inspection", "Photo"}

const takenByInspections = " (inspections)"

// inspectionNames are the names of what an exception carries of the inspection that decides, beside others that are taken; none where the project
// has no inspections.
func inspectionNames(r *audit.Result, taken ...string) []string {
	if r.Project.Inspections == nil {
		return nil
	}
	names := slices.Clone(inspectionColumns[:])
	for i := range names {
		for slices.ContainsFunc(taken, func(other string) bool { return strings.EqualFold(names[i], other) }) {
			names[i] += takenByInspections
		}
	}
	return names
}

// inspectionTexts are the texts of inspectionNames of an exception.
func inspectionTexts(r *audit.Result, e *audit.Exception) []string {
	if r.Project.Inspections == nil {
		return nil
	}
	i := decidingInspection(r, e)
	if i < 0 {
		return []string{"", ""}
	}
	return []string{r.Project.InspectionInWords(i), strings.TrimSpace(r.Project.Texts.Get(r.Project.Inspections.Rows[i].Photo))}
}

// decidingInspection is the inspection by whose count the assembly of an exception is judged; −1 where none is.
func decidingInspection(r *audit.Result, e *audit.Exception) int {
	if e.Assembly < 0 {
		return -1
	}
	if o := r.Project.Observed[uint32(e.Assembly)]; o != nil {
		return o.Deciding
	}
	return -1
}

// photosOf are the photos of a finding that may be followed, one in a line.
func photosOf(r *audit.Result, f *audit.Finding) string {
	var photos []string
	for _, i := range f.Exceptions {
		if k := decidingInspection(r, &r.Exceptions[i]); k >= 0 {
			if photo := strings.TrimSpace(r.Project.Texts.Get(r.Project.Inspections.Rows[k].Photo)); audit.IsLink(photo) && cutText(photo, pageText) == photo && !slices.Contains(photos, photoAddress(photo)) {
				photos = append(photos, photoAddress(photo))
			}
		}
	}
	return strings.Join(photos, "\n")
}

// explainInspections tells what inspections say of a structure, and what counts of it.
func explainInspections(w io.Writer, n *audit.Network, structure int) {
	p := n.Project
	for i := range n.Inspected {
		in, out := &p.Inspections.Rows[i], &n.Inspected[i]
		if out.Structure != structure {
			continue
		}
		var said []string
		tell := func(what, value string) {
			if value != "" {
				said = append(said, what+value)
			}
		}
		count := func(v int16) string {
			if v < 0 {
				return ""
			}
			return fmt.Sprint(v)
		}
		tell("circuit ", p.Symbols.Text(in.Circuit))
		tell("phase ", p.Symbols.Text(in.Phase))
		tell("", in.Side.String())
		tell("string ", count(in.String))
		tell("units seen ", count(in.UnitsSeen))
		tell("broken ", count(in.Broken))
		tell("flashed ", count(in.Flashed))
		tell("by ", p.Texts.Get(in.Inspector))
		tell("photo ", p.Texts.Get(in.Photo))
		tell("", p.Texts.Get(in.Remark))
		state := out.State.String()
		if out.Decides {
			state += ", decides"
		}
		if out.Why != "" {
			state += ", " + out.Why
		}
		fmt.Fprintf(w, "%s: %s: %s\n", Visible(p.InspectionInWords(i)), Visible(strings.Join(said, ", ")), Visible(state))
	}
}
