package report

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"
	"dryarc/geo"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func pageOf(t testing.TB, r *audit.Result) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, writePage(context.Background(), &b, r, nil))
	return b.String()
}

func cutPageOf(t *testing.T, r *audit.Result, limits pageLimits) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, writeHTML(context.Background(), &b, r, nil, limits))
	return b.String()
}

func (c *pageColumn) UnmarshalJSON(raw []byte) error {
	var parts []any
	if err := json.Unmarshal(raw, &parts); err != nil {
		return err
	}
	for _, part := range parts {
		count, figure := 1, fmt.Sprint(part)
		if run, isRun := part.(string); isRun {
			before, of, _ := strings.Cut(run, "*")
			n, err := strconv.Atoi(before)
			if err != nil {
				return err
			}
			count, figure = n, of
		} else if x, isNumber := part.(float64); isNumber {
			figure = strconv.FormatFloat(x, 'f', -1, 64)
		}
		n := int64(noFigure)
		if figure != "null" && figure != "<nil>" {
			var err error
			if n, err = strconv.ParseInt(figure, 10, 64); err != nil {
				return err
			}
		}
		for range count {
			c.add(n)
		}
	}
	return nil
}

// dataOf reads the data that the scripts of a page read.
func dataOf(t *testing.T, page string) pageJSON {
	t.Helper()
	_, rest, found := strings.Cut(page, `<script type="application/json" id="audit-data">`)
	require.True(t, found)
	raw, _, found := strings.Cut(rest, "</script>")
	require.True(t, found)
	var data pageJSON
	require.NoError(t, json.Unmarshal([]byte(raw), &data))
	return data
}

// What is written member by member is what encoding/json makes of the whole.
func TestDataMemberByMember(t *testing.T) {
	for name, data := range map[string]pageJSON{
		"nothing": {},
		"what is left out where it is empty": {Texts: []string{"</script>&\u2028"}, Zones: []zoneJSON{}, Hashed: map[string][2]int{},
			Lines: lineJSON{KV: pageColumn{noFigure, 1100}, Notes: pageColumn{}}},
		"all": {All: true, Places: &placesJSON{}, Routes: &lineRouteJSON{}, Hashed: map[string][2]int{"#<": {1, -1}}, JobsInAll: 3,
			Lines: lineJSON{Notes: pageColumn{0}}, Structures: structureJSON{Level: pageColumn{2}}, Jobs: []jobJSON{{}}},
	} {
		whole, err := json.Marshal(data)
		require.NoError(t, err)
		var written strings.Builder
		require.NoError(t, writeMembers(&written, reflect.ValueOf(data)))
		require.Equal(t, string(whole), written.String(), name)
	}
}

var scripted = regexp.MustCompile(`(?s)<script.*?</script>|<style>.*?</style>`)

func TestPageTellsTheEssentialsWithoutScripts(t *testing.T) {
	r := fixtureResult(t)
	plain := scripted.ReplaceAllString(pageOf(t, r), "")
	for _, part := range []string{
		"Harbour district &lt;A&amp;B&gt;", r.Run.AsOf, r.Run.ID, Caution, percentText(r.AssessedPercent()),
		"What was judged", "Assumptions", "&lt;b&gt;&amp;", "8 register rows read, 7 placed, 1 left out", "not-a-number in Unit",
	} {
		require.Contains(t, plain, part)
	}
	require.Equal(t, len(r.Exceptions), strings.Count(plain, `<tr id="e-`))
	for i := range r.Exceptions {
		require.Contains(t, plain, fmt.Sprintf(`<tr id="e-%s">`, r.ExceptionIDs()[i]))
	}
	for i, n := range r.Totals() {
		require.Regexp(t, fmt.Sprintf(`%ss?</dt><dd>%d</dd>`, strings.TrimSuffix(audit.Severity(i).String(), "y"), n), strings.ReplaceAll(plain, "advisories", "advisor"))
	}
	for _, a := range r.Run.Assumptions {
		require.Contains(t, strings.ReplaceAll(plain, "&#39;", "'"), a.Text)
	}
}

func TestPageIsTheSameForTheSameResult(t *testing.T) {
	one, eight := pageOf(t, assessed(t, fixture(t), 1)), pageOf(t, assessed(t, fixture(t), 8))
	require.Equal(t, one, eight)
	require.Equal(t, one, pageOf(t, assessed(t, fixture(t), 1)))
}

var reachesOut = regexp.MustCompile(`(?i)\b(src|srcset|action|data)\s*=|href\s*=\s*["']?[^#"' ]|url\(\s*["']?[^#"')]|@import|\bfetch\(|XMLHttpRequest|WebSocket|sendBeacon|importScripts|\bimport\(`)

func TestPageAsksNothingOfANetwork(t *testing.T) {
	page := pageOf(t, fixtureResult(t))
	data := regexp.MustCompile(`(?s)<script type="application/json".*?</script>`)
	for _, found := range reachesOut.FindAllString(data.ReplaceAllString(page, ""), -1) {
		require.Equal(t, "url(#", found[:min(len(found), 5)], "the page must refer to nothing but itself")
	}
	require.Contains(t, page, `content="default-src 'none'; style-src 'unsafe-inline' '`)
	style, _, _ := strings.Cut(after(t, page, "<style>"), "</style>")
	script, _, _ := strings.Cut(after(t, page, "</script>\n<script>"), "</script>")
	policy := strings.NewReplacer("&#43;", "+").Replace(page)
	require.Contains(t, policy, "'"+contentHash(style)+"'", "the policy must name the style that stands in the page")
	require.Contains(t, policy, "'"+contentHash(script)+"'", "the policy must name the script that stands in the page")
}

func after(t *testing.T, text, mark string) string {
	t.Helper()
	_, rest, found := strings.Cut(text, mark)
	require.True(t, found, mark)
	return rest
}

func TestPageEscapesHostileText(t *testing.T) {
	hostile := []string{
		"</script><script>alert(1)</script>", "<!-- <script>", `"><img src=x onerror=alert(1)>`, "' onfocus='alert(1)", "]]>\u2028\u2029", "\u202Egnirts",
		"שלום 5", "🗼🗼", "{{.Title}}", "${alert(1)}", "javascript:alert(1)", "\x00\x07bell", "\xff\xfe",
	}
	for _, text := range hostile {
		t.Run(text, func(t *testing.T) {
			p := fixture(t)
			p.Title = text
			line := p.Symbols.Number(text)
			for i := range p.Structures.Len() {
				at, err := p.Texts.Add(fmt.Sprintf("%s %d", text, i))
				require.NoError(t, err)
				p.Structures.Row(i).Number = at
				if i < 6 {
					p.Structures.Row(i).Line = line
				}
			}
			for i := range 6 {
				p.Assemblies.Row(i).Line, p.Assemblies.Row(i).Number = line, p.Structures.At(i).Number
			}
			p.Units[0].Name = text
			p.Zones = []audit.Zone{square(basis.ClassD, text, 5, 60.12, 0.01)}
			r := assessed(t, p, 1)
			require.NotEmpty(t, r.Exceptions)
			page := pageOf(t, r)
			require.Equal(t, 2, strings.Count(page, "<script"), "the data and the scripts, and no more")
			require.Equal(t, 2, strings.Count(page, "</script"))
			for _, tag := range []string{"<img", "<!--", "\u2028", "\x00", " onfocus=", " onerror=alert(1)>"} {
				require.NotContains(t, scriptless(page), tag)
			}
			require.Contains(t, dataOf(t, page).Texts, cutText(text, 300))
		})
	}
}

// scriptless is a page without our own style and scripts, and with its escaped text left out.
func scriptless(page string) string {
	page = regexp.MustCompile(`(?s)<style>.*?</style>|<script>.*?</script>`).ReplaceAllString(page, "")
	return regexp.MustCompile(`(?s)>[^<]*<`).ReplaceAllString(page, "><")
}

func TestPageCutsLongText(t *testing.T) {
	p := fixture(t)
	p.Title = strings.Repeat("ü", 40_000)
	page := pageOf(t, assessed(t, p, 1))
	require.NotContains(t, page, strings.Repeat("ü", 301))
	require.Contains(t, page, strings.Repeat("ü", 300)+"… (40\u202F000 characters)")
}

// Sentences of the program are read to their end, with what a verdict leaves out.
func TestPageHasSentencesWhole(t *testing.T) {
	p := fixture(t)
	r := assessed(t, p, 1)
	require.NotEmpty(t, r.Exceptions)
	jobs, err := remedy.Search(context.Background(), r, remedy.Options{Workers: 1})
	require.NoError(t, err)
	for i := range r.Exceptions {
		r.Exceptions[i].Verdict.Sentence = strings.Repeat("what is left out, ", 25) + "to its end."
	}
	var b bytes.Buffer
	require.NoError(t, writePage(context.Background(), &b, r, &account{jobs: jobs}))
	page := b.String()
	require.Contains(t, page, "what is left out, to its end.")
	onSheet := 0
	data := dataOf(t, page)
	for _, job := range data.Jobs {
		for _, n := range job.Findings {
			if text := data.Texts[n]; strings.Contains(text, "what is left out") {
				onSheet++
				require.Contains(t, text, "to its end.")
			}
		}
	}
	require.Positive(t, onSheet, "on the sheet of its job too")
}

func TestCutText(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", ""}, {"abc", "abc"}, {"abcd", "abc… (4 characters)"}, {"äöü", "äöü"}, {"äöüß", "äöü… (4 characters)"}, {"🗼🗼🗼", "🗼🗼🗼"},
		{"a\x01b", "a\uFFFDb"}, {"a\u0085", "a\uFFFD"}, {"\xff", "\uFFFD"}, {"a\nb", "a\nb"},
	} {
		require.Equal(t, c.want, cutText(c.text, 3), "%q", c.text)
	}
}

func TestDifferences(t *testing.T) {
	var c pageColumn
	for _, x := range []float64{5, math.NaN(), 7.4, math.Inf(1), -3} {
		c.addFigure(x, 0.5)
	}
	c.toDifferences()
	raw, err := json.Marshal(c)
	require.NoError(t, err)
	require.Equal(t, "[10,null,5,null,-21]", string(raw), "what is unknown does not count")
}

// Long columns are written in runs, and read as they were.
func TestColumnsInRuns(t *testing.T) {
	long := make(pageColumn, inRuns)
	long[3], long[inRuns-1] = noFigure, 7
	for i := 20; i < 30; i++ {
		long[i] = noFigure
	}
	for name, c := range map[string]struct {
		column pageColumn
		want   string
	}{
		"short": {pageColumn{1, 1, 1, 1, 1, noFigure}, "[1,1,1,1,1,null]"},
		"long":  {long, `[0,0,0,null,"16*0","10*null","225*0",7]`},
	} {
		t.Run(name, func(t *testing.T) {
			raw, err := json.Marshal(c.column)
			require.NoError(t, err)
			require.Equal(t, c.want, string(raw))
			var back pageColumn
			require.NoError(t, json.Unmarshal(raw, &back))
			require.Equal(t, c.column, back)
		})
	}
}

func total(c pageColumn) (sums []float64) {
	last := int64(0)
	for _, n := range c {
		if n == noFigure {
			sums = append(sums, math.NaN())
			continue
		}
		last += n
		sums = append(sums, float64(last))
	}
	return sums
}

func TestPageDataHoldsEveryStructureAndException(t *testing.T) {
	r := fixtureResult(t)
	data := dataOf(t, pageOf(t, r))
	require.True(t, data.All)
	n := r.Network.StructureCount()
	lon, lat := total(data.Structures.Lon), total(data.Structures.Lat)
	require.Len(t, lon, n)
	at := 0
	for l := range r.Network.Lines {
		line := &r.Network.Lines[l]
		require.Equal(t, r.Project.Symbols.Text(line.Symbol), data.Texts[data.Lines.Name[l]])
		require.EqualValues(t, line.End-line.First, data.Lines.Count[l])
		for i := line.First; i < line.End; i++ {
			s := r.Network.Structure(l, i)
			require.Equal(t, r.Project.Texts.Get(s.Number), data.Texts[data.Structures.Number[at]])
			require.InDelta(t, 0, math.Remainder(lon[at]*1e-6-s.Position[0], 360), 1e-6)
			require.InDelta(t, s.Position[1], lat[at]*1e-6, 1e-6)
			require.Equal(t, unknown(s.GroundM), data.Structures.Ground[at] == noFigure)
			at++
		}
	}
	require.Len(t, data.Exceptions.At, len(r.Exceptions))
	for i := range r.Exceptions {
		require.Equal(t, r.Exceptions[i].Verdict.Sentence, data.Texts[data.Exceptions.Sentence[i]])
		require.EqualValues(t, r.Exceptions[i].Structure, data.Exceptions.At[i])
	}
}

// The second line of the fixture crosses the 180th meridian; on the page its longitudes go on beyond it.
func TestPageDoesNotTearALineAtTheMeridian(t *testing.T) {
	p := fixture(t)
	var kept audit.StructureRows
	for i, row := range p.Structures.All() {
		if i >= 6 {
			kept.Append(row)
		}
	}
	p.Structures = kept
	r := assessed(t, p, 1)
	lon := total(dataOf(t, pageOf(t, r)).Structures.Lon)
	require.Len(t, lon, 2)
	require.InDelta(t, 0.004, math.Abs(lon[1]-lon[0])*1e-6, 1e-6)
}

// longLine is an invented line of many structures, every fiftieth with a short string.
func longLine(t *testing.T, count int) *audit.Project {
	t.Helper()
	p := fixture(t)
	p.Structures, p.Assemblies, p.RowsRead = audit.StructureRows{}, audit.AssemblyRows{}, 0
	for i := range count {
		at, err := p.Texts.Add(fmt.Sprint(i + 1))
		require.NoError(t, err)
		p.Structures.Append(audit.StructureRow{Lon: 5 + 0.003*float64(i), Lat: 60, Sequence: float64(i), GroundM: 10, AttachmentM: math.NaN(),
			DeviationLimitDeg: math.NaN(), Line: p.Symbols.Number("N-1"), Number: at})
		units := int16(10)
		if i%50 == 25 {
			units = 8
		}
		p.RowsRead++
		p.Assemblies.Append(audit.AssemblyRow{
			RowOwn:  audit.RowOwn{Line: p.Symbols.Number("N-1"), Number: at},
			RowSaid: audit.RowSaid{Circuit: p.Symbols.Number("1"), Phases: audit.EveryPhase, Makeup: 1, UnitsPerString: units, Strings: 1, Duty: audit.Suspension, VAngleDeg: float32(math.NaN())},
		})

	}
	return p
}

func TestPageAboveItsLimitsKeepsWhereExceptionsStand(t *testing.T) {
	r := assessed(t, longLine(t, 2000), 1)
	require.Len(t, r.Exceptions, 40)
	page := cutPageOf(t, r, pageLimits{structures: 100, exceptions: 30, rows: 10, zonePositions: 100, text: 300})
	data := dataOf(t, page)
	require.False(t, data.All)
	require.Len(t, data.Exceptions.At, 30)
	require.LessOrEqual(t, len(data.Structures.Number), 102)
	for i := range data.Exceptions.At {
		structure := data.Texts[data.Structures.Number[data.Exceptions.At[i]]]
		require.Equal(t, structureNumber(r, r.Exceptions[i].Structure), structure)
	}
	require.Equal(t, "1", data.Texts[data.Structures.Number[0]], "the line keeps its ends")
	require.Equal(t, "2000", data.Texts[data.Structures.Number[len(data.Structures.Number)-1]])
	require.Contains(t, page, "This page holds the worst 30 of 40 exceptions.")
	require.Regexp(t, `Map and strip hold \d+ of 2.000 structures`, page)
	require.Contains(t, page, "the worst 10 of 40 findings of 40 exceptions")
	require.Equal(t, 10, strings.Count(page, `<tr id="e-`))

	few := dataOf(t, cutPageOf(t, r, pageLimits{structures: 20, exceptions: 30, rows: 10, zonePositions: 100, text: 300}))
	require.Len(t, few.Exceptions.At, 18, "as many as have their structures within the limit, and the two ends")
	require.Len(t, few.Structures.Number, 20)
}

func TestPageIsCompact(t *testing.T) {
	empty, long := len(pageOf(t, assessed(t, longLine(t, 2), 1))), len(pageOf(t, assessed(t, longLine(t, 5000), 1)))
	require.Less(t, (long-empty)/5000, 150, "bytes a structure, exceptions included")
	require.Less(t, empty, 155_000)
}

func square(class basis.Class, label string, lon, lat, half float64) audit.Zone {
	flat := []float64{lon - half, lat - half, lon + half, lat - half, lon + half, lat + half, lon - half, lat + half, lon - half, lat - half}
	return audit.Zone{Class: class, Label: label, Polygons: []geo.Polygon{{Flat: flat, Ends: []int{len(flat)}}}}
}

func TestPageZones(t *testing.T) {
	p := longLine(t, 20)
	p.Zones = []audit.Zone{square(basis.ClassE, "inner", 5, 60, 0.01), square(basis.ClassC, "far away", -60, 10, 1), square(basis.ClassD, "outer", 5, 60, 0.02)}
	var round []float64
	for i := range 2001 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 2000)
		round = append(round, 5.03+0.02*cos, 60+0.02*sin)
	}
	p.Zones = append(p.Zones, audit.Zone{SpecificCreepage: 40, Label: "round", Polygons: []geo.Polygon{{Flat: round, Ends: []int{len(round)}}}})
	r := assessed(t, p, 1)

	data := dataOf(t, pageOf(t, r))
	var labels []string
	for _, z := range data.Zones {
		labels = append(labels, data.Texts[z.Label])
	}
	require.Equal(t, []string{"round", "outer", "inner"}, labels, "the worst lies on top, and what is far from the lines stays out")
	require.Len(t, data.Zones[0].Rings[0], 2*2001)
	require.Equal(t, "inner", data.Texts[data.Zones[data.Structures.Zone[0]].Label])

	page := cutPageOf(t, r, pageLimits{structures: 100, exceptions: 30, rows: 10, zonePositions: 200, text: 300})
	simple := total(every(dataOf(t, page).Zones[0].Rings[0], 2))
	require.Less(t, len(simple), 200)
	require.Contains(t, page, "Borders of zones are drawn coarser than they were judged")
	for _, lon := range simple {
		require.InDelta(t, 5.03, lon*1e-6, 0.0205)
	}
}

func every(c pageColumn, nth int) (out pageColumn) {
	for i := 0; i < len(c); i += nth {
		out = append(out, c[i])
	}
	return out
}

func TestNearLongitude(t *testing.T) {
	for _, c := range [][3]float64{{-179, 179, 181}, {179, -179, -181}, {10, 20, 10}, {190, 0, -170}} {
		require.InDelta(t, c[2], nearLongitude(c[0], c[1]), 1e-12)
	}
}

// The strip shows the string that is worst off, judged by the check itself; without any string it still says what is needed.
func TestCreepageOfAStructure(t *testing.T) {
	p := longLine(t, 4)
	p.Assemblies.Row(1).UnitsPerString = 9
	p.Assemblies.Delete(func(i int) bool { return i >= 3 })
	p.Assemblies.Append(p.Assemblies.At(0))
	p.Assemblies.Row(2).UnitsPerString = -1
	p.Assemblies.Row(3).UnitsPerString, p.Assemblies.Row(3).Phases = 8, 1
	p.Assemblies.Row(0).Phases = 2
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 1))
	check := fixtureChecks()[0]
	check.ID = creepageID
	judge := newCreepageOf(&audit.Result{Network: n, Project: p, Checks: []*audit.Check{check}})
	for i, want := range []creepage{
		{8 * 295, 2700, audit.NoReason}, {9 * 295, 2700, audit.NoReason}, {math.NaN(), 2700, audit.UnitsNotStated}, {math.NaN(), 2700, audit.NoReason},
	} {
		s := n.Structure(0, i)
		got, _ := judge.worst(0, &s)
		require.Equal(t, fmt.Sprint(want), fmt.Sprint(got), "structure %d", i+1)
	}
	s := n.Structure(0, 3)
	none, _ := newCreepageOf(&audit.Result{Network: n, Project: p}).worst(0, &s)
	require.True(t, math.IsNaN(none.requiredMM), "an audit without the check has no figures")
}

func TestPageOfAnAuditWithoutExceptionsOrPositions(t *testing.T) {
	p := longLine(t, 3)
	for i := range p.Structures.Len() {
		p.Structures.Row(i).Lon, p.Structures.Row(i).Lat = math.NaN(), math.NaN()
	}
	p.Zones = []audit.Zone{square(basis.ClassE, "zone", 5, 60, 0.01)}
	r := assessed(t, p, 1)
	r.Exceptions = nil
	page := pageOf(t, r)
	require.Contains(t, page, "No exception.")
	require.Empty(t, dataOf(t, page).Zones)
	bound, known := (&htmlPage{result: r}).bound()
	require.False(t, known)
	require.Equal(t, orb.Bound{}, bound)
}
