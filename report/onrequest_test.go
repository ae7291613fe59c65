package report

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/xml"
	"fmt"
	"html"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

func contentOf(t *testing.T, r *audit.Result, write func(context.Context, io.Writer, *audit.Result) error) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write(context.Background(), &b, r))
	return b.Bytes()
}

func TestOutputsOnRequest(t *testing.T) {
	dir := t.TempDir()
	r := fixtureResult(t)
	written(t, dir, r)
	plain := filesIn(t, dir)
	written(t, dir, r, Also()...)
	for _, o := range onRequest(alone) {
		require.NotContains(t, plain, o.name)
		require.Contains(t, filesIn(t, dir), o.name)
	}

	old := read(t, dir, "exceptions.csv")
	written(t, dir, r, "kml")
	require.Equal(t, old, read(t, dir, "exceptions.csv"), "what a run does not write stays")
}

func TestUnknownOutputsAreNamed(t *testing.T) {
	dir := t.TempDir()
	_, err := Write(context.Background(), dir, fixtureResult(t), nil, How{Also: []string{"kml", "shp"}})
	var unknown *UnknownOutput
	require.ErrorAs(t, err, &unknown)
	require.Equal(t, "shp", unknown.Name)
	require.EqualError(t, err, `output "shp" is none of `+strings.Join(Also(), ", "))
	require.Empty(t, filesIn(t, dir))
}

// audit.json takes its name last, whatever is asked for, and an output is written once.
func TestChosenOutputs(t *testing.T) {
	list, err := chosen(alone, []string{"kml", "gpkg", "kml"})
	require.NoError(t, err)
	var names []string
	for _, o := range list {
		names = append(names, o.name)
	}
	require.Equal(t, "audit.json", names[len(names)-1])
	require.Equal(t, 1, strings.Count(strings.Join(names, " "), "exceptions.kml"))
	require.Len(t, list, len(outputs(alone))+3, "placemarks are two files")
}

func csvRows(t *testing.T, content []byte) [][]string {
	t.Helper()
	require.True(t, utf8.Valid(content))
	require.Equal(t, bytes.Count(content, []byte("\n")), bytes.Count(content, []byte("\r\n")), "lines end in CR LF")
	rows, err := csv.NewReader(bytes.NewReader(content)).ReadAll()
	require.NoError(t, err)
	return rows
}

func TestExceptionsCSV(t *testing.T) {
	r := fixtureResult(t)
	rows := csvRows(t, contentOf(t, r, alone.by(writeExceptionsCSV)))
	require.Len(t, rows, 1+len(r.Exceptions))
	require.Equal(t, []string{r.ExceptionIDs()[0], "short-string", "shortfall", "'" + awkwardLine, "'" + formulaText, "", "1", "R", "", "2655", "2700", "mm"}, rows[1][:12])
	require.InDelta(t, 2655.0/2700-1, number64(t, rows[1][12]), 1e-15)
	require.Equal(t, []string{"9 × U120B is short of 2700 mm.", "Add units.", "new", r.Run.AsOf, "-179.998", "-17.001", "register.xlsx", "Assemblies", "8", "", "", "", r.Run.ID}, rows[1][13:])
	require.Equal(t, []string{"angle", "tangent", "", ""}, rows[5][9:13])
	require.Equal(t, "'=1+1 Look at it.", rows[5][14])
}

func TestGuarded(t *testing.T) {
	for text, want := range map[string]string{"=1": "'=1", "+1": "'+1", "-1": "'-1", "@a": "'@a", "\ta": "'\ta", "a=1": "a=1", "": "", "'=1": "'=1", " =1": " =1",
		"\r=1": "'\r=1", "\ufeff=1": "'\ufeff=1", "＝1": "'＝1", "＋1": "'＋1", "－1": "'－1", "＠a": "'＠a", "a＝1": "a＝1"} {
		require.Equal(t, want, guarded(text))
	}
	var b strings.Builder
	table := newCSV(context.Background(), &b, "a", "b")
	table.add("x;=1", `say "no"`)
	table.add("x\ty", "x\ny")
	table.add("plain", -1.5)
	require.NoError(t, table.end())
	require.Equal(t, "a,b\r\n\"x;=1\",\"say \"\"no\"\"\"\r\n\"x\ty\",\"x\ny\"\r\nplain,-1.5\r\n", b.String())
	require.Equal(t, "-0.5", csvField(-0.5), "a number is no text")
	require.Empty(t, csvField(math.NaN()))
}

// What the schedule says of the demo project stands in the file and the sheet alike.
func TestRequirements(t *testing.T) {
	r := judged(t, demo(t))
	rows := csvRows(t, contentOf(t, r, writeRequirementsCSV))
	require.Len(t, rows, 1+r.Network.StructureCount())
	sheet := cells(t, openBook(t, r, generous), structuresSheet)
	require.Len(t, sheet, len(rows))
	place, at := map[string]int{}, map[string]int{}
	for i, name := range rows[0] {
		place[name] = i
	}
	for i, name := range sheet[0] {
		at[name] = i
	}
	// Numbers stand in the cells with fewer decimals or as many; words are the same.
	same := map[string]string{"line": "Line", "structure": "Structure", "role": "Role", "requires": "Duty required", "zone_class": "Pollution class", "unit": "Reference unit",
		"units": "Units required", "governing_check": "Governing check", "strings": "Strings required", "units_installed": "Units installed", "other_strings": "Other strings installed",
		"chainage_m": "Chainage (m)", "creepage_mm": "Creepage required (mm)", "length_mm": "String length (mm)", "rating_kn": "Rating required (kN)"}
	short := 0
	for i := range rows[1:] {
		row, shown := rows[i+1], sheet[i+1]
		for name, heading := range same {
			want, got := row[place[name]], shown[at[heading]]
			if x, err := strconv.ParseFloat(want, 64); err == nil && name != "structure" {
				require.InDelta(t, x, number64(t, got), 1e-4, heading)
			} else {
				require.Equal(t, strings.TrimPrefix(want, "'"), got, heading)
			}
		}
		for name, heading := range map[string]string{"level_assumed": "Level assumed", "unit_assumed": "Unit assumed"} {
			require.Equal(t, map[string]string{"true": "yes", "false": ""}[row[place[name]]], shown[at[heading]], heading)
		}
		needed := r.Network.Structure(lineNamed(r, row[0]), i)                                         // the lines follow each other
		if duty := row[place["requires"]]; duty != audit.Pin.String() && duty != audit.Post.String() { // these are counted in their own kind
			require.Equal(t, requiredDuty(r, &needed), duty)
		}
		if has, needs := row[place["units_installed"]], row[place["units"]]; has != "" && needs != "" && number64(t, has) < number64(t, needs) {
			short++
		}
	}
	require.Positive(t, short, "the demo register has strings that are too short")
}

func lineNamed(r *audit.Result, name string) int {
	for l := range r.Network.Lines {
		if r.Project.Symbols.Text(r.Network.Lines[l].Symbol) == name {
			return l
		}
	}
	return -1
}

type kmlDocument struct {
	Folders []struct {
		Name  string `xml:"name"`
		Marks []struct {
			Name        string   `xml:"name"`
			Description string   `xml:"description"`
			Style       string   `xml:"styleUrl"`
			Point       string   `xml:"Point>coordinates"`
			Ways        []string `xml:"MultiGeometry>LineString>coordinates"`
			Data        []struct {
				Name  string `xml:"name,attr"`
				Value string `xml:"value"`
			} `xml:"ExtendedData>Data"`
		} `xml:"Placemark"`
	} `xml:"Document>Folder"`
	Styles []struct {
		ID string `xml:"id,attr"`
	} `xml:"Document>Style"`
}

func TestKML(t *testing.T) {
	r := fixtureResult(t)
	whole := r.Exceptions[len(r.Exceptions)-1]
	whole.Structure, whole.To = -1, -1
	across := r.Exceptions[0]
	across.Structure, across.To = 0, 1
	r.Exceptions = append(r.Exceptions, whole, across)
	var got kmlDocument
	require.NoError(t, xml.Unmarshal(contentOf(t, r, alone.by(writeKML)), &got))
	require.Len(t, got.Styles, 3)
	require.Len(t, got.Folders, 3, "the last one follows another severity again")
	require.Equal(t, "shortfall: String shorter than a made-up length", got.Folders[0].Name)
	first := got.Folders[0].Marks[0]
	require.Equal(t, awkwardLine+", "+formulaText, first.Name)
	require.Equal(t, "#shortfall", first.Style)
	require.Equal(t, "-179.998000000,-17.001000000", first.Point)
	require.Equal(t, "2655 mm", first.Data[6].Value)
	marks := got.Folders[1].Marks
	require.Len(t, marks[len(marks)-1].Ways, 1)
	require.Len(t, strings.Fields(marks[len(marks)-1].Ways[0]), 6, "a whole line")
	require.Len(t, got.Folders[2].Marks[0].Ways, 2, "cut at the 180th meridian")
}

// hostiles are texts that must pass through every output as text.
var hostiles = []string{"=1+1", "+1", "-1", "@SUM(A1)", "\t=1", `"quoted", 'text'`, "<script>alert(1)</script>", "]]>&amp;", "\u202eright to left", "😀",
	"a\x00b\x1b", "a\xffb", "two\r\nlines", strings.Repeat("long ", 8000), "'; DROP TABLE structures; --", "%s%d", "#fragment/?x"}

// hostileResult is the fixture with hostile texts wherever an input has text.
func hostileResult(t *testing.T) *audit.Result {
	t.Helper()
	p := fixture(t)
	for i := range p.Structures.Len() {
		at, err := p.Texts.Add(hostiles[i])
		require.NoError(t, err)
		p.Structures.Row(i).Number = at
	}
	for i := range 7 {
		p.Assemblies.Row(i).Number = p.Structures.At(i).Number
		p.Assemblies.Row(i).Phase = p.Symbols.Number(hostiles[i+8])
		p.Assemblies.Row(i).Circuit = p.Symbols.Number(hostiles[i+8])
	}
	p.Assemblies.Row(6).Number = p.Structures.At(7).Number
	p.Lines[0].Name = p.Symbols.Number(hostiles[6])
	p.Title = strings.Join(hostiles, " ")
	p.Zones = append(p.Zones, audit.Zone{Label: hostiles[6]})
	for _, heading := range []string{"=1+1", "@SUM(1)", "\tA", "Owner\u0085"} {
		p.Carried.Add(p.Assemblies.Row(6).Source, heading, p.Symbols.Number("owner\u009b1m"))
	}
	r := assessed(t, p, 1)
	require.NotEmpty(t, r.Exceptions)
	for i := range r.Exceptions {
		r.Exceptions[i].Verdict.Sentence = hostiles[i%len(hostiles)]
	}
	r.Exceptions[0].Verdict.Sentence = hostiles[6]
	return r
}

// isC1 tells whether a character is one of the control characters beyond ASCII.
func isC1(r rune) bool { return r >= 0x80 && r < 0xA0 }

func TestHostileTextStaysText(t *testing.T) {
	r := hostileResult(t)
	list, err := chosen(alone, Also())
	require.NoError(t, err)
	for _, o := range list {
		t.Run(o.name, func(t *testing.T) {
			first := contentOf(t, r, o.write)
			require.True(t, bytes.Equal(first, contentOf(t, r, o.write)), "two writes differ")
			switch {
			case strings.HasSuffix(o.name, ".kml"):
				require.NoError(t, xml.Unmarshal(first, new(kmlDocument)))
				require.Equal(t, -1, bytes.IndexFunc(first, isC1))
				require.NotContains(t, string(first), "<script")
				require.Contains(t, string(first), "&amp;lt;script&amp;gt;", "a description is HTML")
			case strings.HasSuffix(o.name, ".html"):
				require.NotContains(t, string(first), hostiles[6])
				require.Equal(t, -1, bytes.IndexFunc(first, isC1))
			case strings.HasSuffix(o.name, ".csv"):
				require.Equal(t, -1, bytes.IndexFunc(first, isC1))
				for _, row := range csvRows(t, first) {
					for _, field := range row {
						if strings.ContainsAny(field[:min(1, len(field))], "=+@\t") {
							t.Errorf("a spreadsheet may take %q for a formula", field)
						}
					}
				}
			case strings.HasSuffix(o.name, ".xlsx"):
				for name, part := range xmlParts(t, first) {
					require.NoError(t, xml.Unmarshal([]byte(part), new(struct{})), name)
					require.True(t, o.name == remediedFile || strings.IndexFunc(part, isC1) < 0, name)
				}
			}
		})
	}
}

func TestSuspects(t *testing.T) {
	r := fixtureResult(t)
	coverage := func(meets, short int) audit.Coverage {
		return audit.Coverage{Meets: meets, FallsShort: short, NotAssessed: 50}
	}
	r.Lines[0].Coverage = []audit.Coverage{coverage(2, 8), coverage(1, 8)}
	r.Lines[1].Coverage = []audit.Coverage{coverage(1, 9), coverage(10, 90)}
	require.Equal(t, []suspect{{1, 1, 90, 100}, {1, 0, 9, 10}}, suspects(r), "exactly 80 % and fewer than ten are none")
	require.Equal(t, "Line N-1: 90 of 100 fail turns: look at the line's data first.", suspects(r)[0].inWords(r, asWritten))
	note := *r.Checks[1]
	note.Severity = audit.Note
	was := r.Checks[1]
	r.Checks[1] = &note
	require.Equal(t, []suspect{{1, 0, 9, 10}}, suspects(r), "a whole line may be of one make or age")
	r.Checks[1] = was
	var overview strings.Builder
	for _, row := range cells(t, openBook(t, r, generous), overviewSheet) {
		fmt.Fprintln(&overview, strings.Join(row, " "))
	}
	const strongest = "Line N-1: 90 of 100 fail turns: look at the line's data first. Line N-1: 9 of 10 fail short-string: look at the line's data first."
	for _, sentence := range suspectsInWords(r, asWritten) {
		require.Contains(t, overview.String(), sentence)
	}
	require.Equal(t, strongest, strings.Join(suspectsInWords(r, asWritten), " "))
	var terminal strings.Builder
	Summary(&terminal, r, nil, alone.since(r), "out")
	require.Contains(t, terminal.String(), "likely mistakes in the data of a line: "+strings.TrimSuffix(strongest, ".")+"\n")
	for below, write := range map[string]func(context.Context, io.Writer, *audit.Result) error{"What to do first": alone.by(writePage), "What first": alone.by(writeBrief)} {
		content := strings.NewReplacer("<strong>", "", "</strong>", "").Replace(html.UnescapeString(string(contentOf(t, r, write))))
		head, _, found := strings.Cut(content, ">"+below)
		require.True(t, found, below)
		require.Contains(t, head, "Likely mistakes in the data of a line. "+strongest+"</p>", "above "+below)
	}
	_, decoded := auditJSON(t, r)
	require.Equal(t, map[string]any{"line": "N-1", "check": "turns", "falls_short": 90.0, "judged": 100.0, "in_words": "Line N-1: 90 of 100 fail turns: look at the line's data first."},
		decoded["run"].(map[string]any)["suspects"].([]any)[0])
	r.Lines[0].Coverage = []audit.Coverage{coverage(0, 12), coverage(0, 11)}
	texts := suspectsInWords(r, asWritten)
	require.Equal(t, "So of 1 more, which audit.json lists.", texts[len(texts)-1])
}

func TestChartsDrawWhatIsThere(t *testing.T) {
	r := fixtureResult(t)
	b := &book{result: r}
	require.Equal(t, []chartRow{{"short-string", []float64{4, 0, 0}}, {"turns", []float64{0, 1, 0}}}, b.exceptionsChart().rows)
	// 45 of 2700 mm are missing four times, which is 1.67 % (computed).
	margins := b.marginsChart()
	require.Equal(t, chartRow{"more than 1 to 2 %", []float64{4, 0, 0}}, margins.rows[1])
	require.Contains(t, margins.title, "open exceptions fall short (4 of 5 with a margin)")
	require.Equal(t, []chartRow{{awkwardLine, []float64{100}}, {"N-1", []float64{100 * 4.0 / 9}}}, b.fallingShortChart().rows)
	// Of 2 structures one has an exception, of 6 four have, one of which is an advisory (computed).
	require.Equal(t, []chartRow{{"N-1", []float64{50, 100 / 6.0, 0}}, {awkwardLine, []float64{50, 0, 0}}}, b.densityChart().rows)
}

// alone is the account of a run with no jobs and nothing to compare with.
var alone = &account{}

// listed is a list of outputs that is known before anything is written.
func listed(list []output) func(folder) ([]output, error) {
	return func(folder) ([]output, error) { return list, nil }
}
