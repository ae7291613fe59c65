package report

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/headroom"
	scenarios "dryarc/audit/scope"

	"github.com/stretchr/testify/require"
)

// lookedAt are scenarios of a project judged by the invented checks, each about one line and with its Um at 245 kV.
func lookedAt(t *testing.T, p *audit.Project, names ...string) *Scope {
	t.Helper()
	for _, name := range names {
		sheet := append([]audit.LineRow{}, p.Lines...)
		sheet[0].HighestKV = 245
		p.Scenarios = append(p.Scenarios, audit.Scenario{Name: name, Lines: []audit.Symbol{p.Lines[0].Line}, Sheet: sheet, Rules: p.Rules, Set: []audit.Setting{{Column: "Highest voltage (kV)", Value: "245"}}})
	}
	pristine := p.Pristine()
	s := &Scope{Today: assessed(t, p, 1)}
	judged := func(l *scenarios.Look) { s.Scenarios = append(s.Scenarios, NewScopeOf(l, DueToday{})) }
	require.NoError(t, scenarios.Run(context.Background(), pristine, s.Today, scenarios.Options{Workers: 1, Judged: judged}, func(l *scenarios.Look) error {
		s.Scenarios[len(s.Scenarios)-1].AddJobs(l, false)
		return nil
	}))
	return s
}

func scopePageOf(t *testing.T, s *Scope, change ...func(*scopeLimits)) string {
	t.Helper()
	var b bytes.Buffer
	if len(change) == 0 {
		require.NoError(t, s.writePage(context.Background(), &b, s.Today))
		return b.String()
	}
	limits := scopeLimits{structures: 1000, rows: 1000, sentences: 100, curves: 100, points: 1000, zonePositions: 1000, text: 300}
	change[0](&limits)
	require.NoError(t, s.writeHTML(context.Background(), &b, limits))
	return b.String()
}

func scopeDataOf(t *testing.T, page string) (data scopePageJSON) {
	t.Helper()
	raw, _, found := strings.Cut(after(t, page, `<script type="application/json" id="audit-data">`), "</script>")
	require.True(t, found)
	require.NoError(t, json.Unmarshal([]byte(raw), &data))
	return data
}

// number is written as null where it is not known; NaN stands for it when it is read.
func (n *number) UnmarshalJSON(raw []byte) error {
	value := math.NaN()
	if string(raw) != "null" {
		if err := json.Unmarshal(raw, &value); err != nil {
			return err
		}
	}
	*n = number(value)
	return nil
}

func TestScopePageTellsTheEssentialsWithoutScripts(t *testing.T) {
	s := lookedAt(t, fixture(t), "at <245> kV")
	of := s.Scenarios[0]
	require.NotZero(t, of.kept.count)
	page := scopePageOf(t, s)
	plain := strings.ReplaceAll(scripted.ReplaceAllString(page, ""), "&#39;", "'")
	for _, part := range []string{"Harbour district &lt;A&amp;B&gt;", s.Today.Run.AsOf, s.Today.Run.ID, Caution, "at &lt;245&gt; kV", "Highest voltage (kV) is 245",
		strings.NewReplacer("<", "&lt;", ">", "&gt;").Replace(of.perLine[0].inWords(of)), "What stops it", "Material"} {
		require.Contains(t, plain, part)
	}
	require.Equal(t, of.kept.count, strings.Count(plain, "<tr data-at="))
	for _, c := range of.kept.each() {
		require.Contains(t, plain, "<bdi>"+c.structure+"</bdi></a>")
	}
	require.NotContains(t, plain, "Headroom", "nobody asked for it")
}

func TestScopePageAsksNothingOfANetwork(t *testing.T) {
	page := scopePageOf(t, lookedAt(t, fixture(t), "at 245 kV"))
	data := regexp.MustCompile(`(?s)<script type="application/json".*?</script>`)
	for _, found := range reachesOut.FindAllString(data.ReplaceAllString(page, ""), -1) {
		require.Contains(t, []string{"url(#", "data-"}, found[:min(len(found), 5)], found)
	}
	style, _, _ := strings.Cut(after(t, page, "<style>"), "</style>")
	script, _, _ := strings.Cut(after(t, page, "</script>\n<script>"), "</script>")
	policy := strings.NewReplacer("&#43;", "+").Replace(page)
	require.Contains(t, page, `content="default-src 'none'; style-src 'unsafe-inline' '`)
	require.Contains(t, policy, "'"+contentHash(style)+"'")
	require.Contains(t, policy, "'"+contentHash(script)+"'")
}

// Text of inputs stays text, in the tables, the links and the data.
func TestScopePageEscapesHostileText(t *testing.T) {
	for _, text := range []string{"</script><img src=x onerror=alert(1)>", "<!-- <script>", `"><img src=x onerror=alert(1)>`, "' onfocus='alert(1)", "\u2028\u2029", "שלום 5", "{{.Title}}", "javascript:alert(1)", "a/b #c?d=%41+e", "\x00\x07bell"} {
		t.Run(text, func(t *testing.T) {
			p := fixture(t)
			p.Title = text
			line := p.Symbols.Number(text)
			for i := range 6 {
				at, err := p.Texts.Add(fmt.Sprintf("%s %d", text, i))
				require.NoError(t, err)
				p.Structures.Row(i).Number, p.Structures.Row(i).Line = at, line
				p.Assemblies.Row(i).Line, p.Assemblies.Row(i).Number = line, at
			}
			p.Lines[0].Line, p.Lines[0].Name, p.Units[0].Name = line, line, text
			s := lookedAt(t, p, text)
			require.NotZero(t, s.Scenarios[0].kept.count)
			page := scopePageOf(t, s)
			require.Equal(t, 2, strings.Count(page, "<script"), "the data and the scripts, and no more")
			require.Equal(t, 2, strings.Count(page, "</script"))
			for _, tag := range []string{"<img", "<!--", "\u2028", "\x00", " onfocus=", " onerror=alert(1)>", `href="javascript`} {
				require.NotContains(t, scriptless(page), tag)
			}
			require.Equal(t, cutText(text, 300), scopeDataOf(t, page).Scenarios[0].Name)
			link, err := url.QueryUnescape(strings.TrimPrefix(scopeDataOf(t, page).Scenarios[0].Link, "s-"))
			require.NoError(t, err)
			require.Equal(t, text, link)
		})
	}
}

// The data tell of every structure of the scenario's line what the sentences count.
func TestScopePageDataAgreeWithTheSentences(t *testing.T) {
	s := lookedAt(t, fixture(t), "at 245 kV")
	of, data := s.Scenarios[0], scopeDataOf(t, scopePageOf(t, s))
	require.True(t, data.All)
	require.Len(t, data.Structures.Number, s.Today.Network.StructureCount())
	drawn := data.Scenarios[0]
	require.Len(t, drawn.Routes, 1)
	require.Equal(t, of.perLine[0].structures, drawn.Routes[0].Drawn)
	require.Len(t, drawn.At, drawn.Routes[0].Drawn)
	var states [len(placeStates)]int
	for i, state := range drawn.State {
		states[state]++
		require.Equal(t, state <= int64(placeNeedsWork), data.Texts[drawn.Needed[i]]+data.Texts[drawn.Stop[i]] != "")
	}
	said := of.said[0]
	require.Equal(t, of.perLine[0].stopped, states[placeStopped])
	require.Equal(t, of.perLine[0].needing-said.both, states[placeNeedsWork])
	require.Equal(t, said.notJudged+said.beyond, states[placeOpen])
	require.Equal(t, said.rest-said.notJudged, states[placeRests])
}

// Beyond its limits the page says exactly what it leaves out.
func TestScopePageAboveItsLimits(t *testing.T) {
	s := lookedAt(t, longLine(t, 400), "at 245 kV")
	of := s.Scenarios[0]
	require.Equal(t, 8, of.kept.count)
	page := scopePageOf(t, s, func(l *scopeLimits) { l.structures, l.rows = 50, 5 })
	data := scopeDataOf(t, page)
	require.False(t, data.All)
	require.Len(t, data.Structures.Number, 50)
	states := map[int64]int{}
	for _, state := range data.Scenarios[0].State {
		states[state]++
	}
	require.Equal(t, 8, states[int64(placeNeedsWork)]+states[int64(placeStopped)], "what needs something is drawn before the rest")
	require.Contains(t, page, "Map and strip hold 50 of 400 structures")
	require.Contains(t, page, "The table lists the first 5 of 8 structures that need something")
	require.Equal(t, 5, strings.Count(page, "<tr data-at="))
	require.NotContains(t, scopePageOf(t, s), "Map and strip hold")
}

// Of lines with more structures than the page has room for the ends are kept, what is stopped or needs work as far as it goes, and some between.
func TestPlacesOfALongLine(t *testing.T) {
	p := longLine(t, 400)
	p.Scenarios = []audit.Scenario{{Name: "x", Lines: []audit.Symbol{p.Lines[0].Line}, Sheet: p.Lines, Rules: p.Rules}}
	pristine := p.Pristine()
	today := assessed(t, p, 1)
	require.NoError(t, scenarios.Run(context.Background(), pristine, today, scenarios.Options{Workers: 1}, func(l *scenarios.Look) error {
		for most, want := range map[int]int{400: 400, 100: 8 + 2 + 9, 5: 5 + 2} {
			s := NewScopeOf(l, DueToday{}).addJobs(l, false, most)
			states := map[placeState]int{}
			for _, place := range s.places {
				states[place.state]++
			}
			require.Len(t, s.places, want, "%d: %v", most, states)
			require.Equal(t, min(8, most), states[placeStopped]+states[placeNeedsWork])
			require.EqualValues(t, []int32{0, 399}, []int32{s.places[0].structure, s.places[len(s.places)-1].structure})
			require.Equal(t, []int{0, want, want, 400}, []int{s.routes[0].first, s.routes[0].end, s.routes[0].drawn, s.routes[0].structures})
		}
		return nil
	}))
}

// A page without scenarios has the curves alone, and says how many it leaves out.
func TestScopePageOfHeadroom(t *testing.T) {
	r := fixtureResult(t)
	curve := func(line int) headroom.Curve {
		return headroom.Curve{Line: line, Duty: audit.Suspension, NowLow: 145, NowHigh: 145, To: math.Inf(1), Counted: 4, NotAssessed: 1, Already: 1,
			Steps: []headroom.Step{{Value: 158.40006, Assemblies: 1}, {Value: 200, Assemblies: 1}}, Marks: []headroom.Mark{{Name: "Um 170 kV", Value: 170}}, First: []headroom.Failing{{Structure: 0, Value: math.Inf(-1), Assemblies: 1}}}
	}
	s := &Scope{Today: r, WithHeadroom: true, Headroom: []headroom.Curve{curve(0), curve(1), {Line: 0, Duty: audit.Tension, NotAssessed: 7}}}
	page := scopePageOf(t, s)
	require.Equal(t, 3, strings.Count(page, "<tr data-curve="))
	for _, cell := range []string{"145 kV", "<td class=\"number\" data-is=\"All meet up to\">nowhere</td>", "<td class=\"number\" data-is=\"Half short above\">158.4</td>", "Um 170 kV (170 kV): 50.0 %", "1 not assessed", "7 not assessed"} {
		require.Contains(t, page, cell)
	}
	require.NotContains(t, scripted.ReplaceAllString(page, ""), "NaN")
	require.NotContains(t, page, `id="scenarios"`)
	data := scopeDataOf(t, page)
	require.Equal(t, []float64{158.40006, 200}, data.Curves[0].Values)
	require.Equal(t, []int{1, 1}, data.Curves[0].Falls)
	require.True(t, math.IsNaN(float64(data.Curves[0].To)))

	page = scopePageOf(t, s, func(l *scopeLimits) { l.curves = 1 })
	require.Contains(t, page, "1 curve of 3 are on this page")
}

func TestFlooredFiguresAreNotAbove(t *testing.T) {
	for x, want := range map[float64]string{158.40006: "158.4", 127.69999: "127.69", 0.123456: "0.12345", 0: "0", 98765.9: "98765", 123456: "1.2345e+05", math.Inf(1): "to the end"} {
		require.Equal(t, want, untilInWords(x))
	}
}
