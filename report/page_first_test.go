package report

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/stretchr/testify/require"
)

func firstOf(t *testing.T, r *audit.Result) firstFacts { return firstOfAccount(t, r, &account{}) }

func firstOfAccount(t *testing.T, r *audit.Result, a *account) firstFacts {
	t.Helper()
	h := htmlPage{result: r, limits: pageLimits{structures: 1000, exceptions: 1000, rows: 100, text: 300}, work: map[int]*workRow{}, changes: a.since(r), jobs: a.rows(r)}
	for i := range h.jobs {
		h.work[h.jobs[i].job.Structure] = &h.jobs[i]
	}
	h.counts = countRows(r, h.jobs)
	h.choose()
	var f firstFacts
	require.NoError(t, h.addFirst(context.Background(), &f))
	return f
}

func TestFirstFactsCountWhatTheRunFound(t *testing.T) {
	r := fixtureResult(t)
	f := firstOf(t, r)
	sum, totals := 0, r.Totals()
	for _, bar := range append(f.Bars, f.MoreBars...) {
		require.NotEmpty(t, bar.Parts)
		for _, part := range bar.Parts {
			n := 0
			for i := range r.Exceptions {
				if e := &r.Exceptions[i]; e.Check == bar.Check && int(e.Verdict.Severity) == part.Mark {
					n++
				}
			}
			require.Equal(t, grouped(n), part.Count, bar.Title)
			require.Contains(t, severityNames[part.Mark], part.Name)
			sum += n
		}
	}
	shortfalls := func(bar checkBar) (n int) {
		for i := range r.Exceptions {
			if e := &r.Exceptions[i]; e.Check == bar.Check && e.Verdict.Severity == audit.Shortfall {
				n++
			}
		}
		return n
	}
	require.True(t, slices.IsSortedFunc(append(f.Bars, f.MoreBars...), func(a, b checkBar) int { return shortfalls(b) - shortfalls(a) }), "most shortfalls first")
	require.Equal(t, len(r.Exceptions), sum, "each exception is in a bar")
	require.Contains(t, f.Headline, counted(totals[audit.Shortfall], "shortfall", "shortfalls"))
	structures := map[int]bool{}
	for i := range r.Exceptions {
		if r.Exceptions[i].Structure >= 0 {
			structures[r.Exceptions[i].Structure] = true
		}
	}
	require.Contains(t, f.Headline, fmt.Sprintf("at %d of ", len(structures)))
	lacking := 0
	for _, c := range r.Coverage {
		lacking += c.Lacking()
	}
	require.True(t, strings.HasPrefix(f.WhyJudged, fmt.Sprintf("Not judged: %s, for ", counted(lacking, "verdict", "verdicts"))), f.WhyJudged)
}

func TestLinesAreRankedByOpenExceptions(t *testing.T) {
	r := fixtureResult(t)
	f := firstOf(t, r)
	ranked := append(f.Ranked, f.MoreRanked...)
	require.NotEmpty(t, ranked)
	counts := exceptionsByLine(r)
	with := 0
	for l := range counts {
		if counts[l].total() > 0 {
			with++
		}
	}
	require.Len(t, ranked, with)
	last := 1e9
	for _, line := range ranked {
		for l := range r.Network.Lines {
			if r.Project.Symbols.Text(r.Network.Lines[l].Symbol) != line.Line {
				continue
			}
			of := r.Network.Lines[l].End - r.Network.Lines[l].First
			per := 100 * float64(counts[l].total()) / float64(of)
			require.Equal(t, tenth(per), line.Per100)
			require.LessOrEqual(t, per, last)
			last = per
		}
	}
}

// The marks of a small strip stand where the exceptions are: of the invented line at each fiftieth structure.
func TestSmallStripMarksWhereExceptionsAre(t *testing.T) {
	f := firstOf(t, assessed(t, longLine(t, 100), 1))
	require.Len(t, f.Ranked, 1)
	require.Equal(t, "2.0", f.Ranked[0].Per100)
	require.Equal(t, "2 on 100 structures", f.Ranked[0].InWords)
	require.Equal(t, "M50 1v8M152 1v8", f.Ranked[0].Shortfalls+f.Ranked[0].Advisories, "at 25 and 75 of 99 spans, in steps of 2")
}

func TestPageWithoutExceptionsSaysSoFirst(t *testing.T) {
	r := assessed(t, longLine(t, 3), 1)
	require.Empty(t, r.Exceptions)
	f := firstOf(t, r)
	require.Equal(t, "No exception.", f.Headline)
	require.Equal(t, "Nothing was found in what could be judged; all was judged that the project asks for.", f.NoWork)
	unjudged := fixtureResult(t)
	unjudged.Exceptions = nil
	require.Equal(t, "first comes what could not be judged, "+percentText(100-unjudged.AssessedPercent())+" of what the project asks for.", whatNext(unjudged))
	require.Contains(t, firstOf(t, unjudged).Headline, "No exception in what could be judged")
	require.Empty(t, f.Bars)
	require.Contains(t, f.Unranked, "1 line has no open exception, which is not the same as meeting")
}

// Where not all was judged, nothing on the page says more than that no exception is in what was.
func TestPageWithoutExceptionsOfALineThatIsNotJudged(t *testing.T) {
	r := assessed(t, longLine(t, 3), 1)
	require.Empty(t, r.Exceptions)
	r.Coverage[0].NotAssessed += 3
	r.Coverage[0].Reasons = append(r.Coverage[0].Reasons, audit.ReasonCount{Outcome: audit.NotAssessed, Reason: audit.FaultyField, Count: 3})
	f := firstOf(t, r)
	require.Equal(t, "No exception in what could be judged: "+percentText(r.AssessedPercent())+".", f.Headline)
	page := pageOf(t, r)
	require.NotContains(t, page, "No exception.<")
	require.Equal(t, 3, strings.Count(page, f.Headline), "in the headline, the checks and the table")
	require.Contains(t, page, `<a href="#why-heading">What would judge most</a>`)
}

// What was decided, however long its reason, stands behind the work.
func TestFirstJobsTellTheWorkBeforeItsDecision(t *testing.T) {
	w := workRow{toHang: "9 × U120B (more units)", said: history.WorkDecision{Of: 1, Planned: 1, By: "MK", Reason: "a long reason"}}
	require.Contains(t, w.said.String(), "a long reason")
	require.Equal(t, "9 × U120B (more units) ("+w.said.String()+")", w.workFirst(nil))
	w.said = history.WorkDecision{}
	require.Equal(t, "9 × U120B (more units)", w.workFirst(nil))
}

var elementAsked = regexp.MustCompile(`byId\('([a-z-]+)'\)`)

// A page without exceptions has each element that its scripts ask for, so that they run to their end.
func TestPageWithoutExceptionsHasWhatItsScriptsAskFor(t *testing.T) {
	r := assessed(t, longLine(t, 3), 1)
	require.Empty(t, r.Exceptions)
	page := pageOf(t, r)
	plain := scripted.ReplaceAllString(page, "")
	asked := elementAsked.FindAllStringSubmatch(page, -1)
	require.Greater(t, len(asked), 50)
	for _, name := range asked {
		if name[1] != "audit-data" {
			require.Contains(t, plain, fmt.Sprintf(`id="%s"`, name[1]))
		}
	}
}

// What the page tells first stands in it without scripts, and its links lead to rows of its table.
func TestWhatStandsFirstNeedsNoScripts(t *testing.T) {
	plain := scripted.ReplaceAllString(pageOf(t, fixtureResult(t)), "")
	for _, part := range []string{"What to do first", "Open exceptions by check", "Open exceptions per 100 structures", "could be judged</h2>"} {
		require.Contains(t, plain, part)
	}
	for _, link := range regexp.MustCompile(`href="#(e-[^"]+)"`).FindAllStringSubmatch(plain, -1) {
		require.Contains(t, plain, fmt.Sprintf(`<tr id="%s"`, link[1]))
	}
}

func TestLeanLeavesOutCommentsAndIndents(t *testing.T) {
	require.Equal(t, "const a = 'b // c';\nf(a); // stays;\ng({a: 1,});h()\ni()\n", lean("// what\nconst a = 'b // c';\n\n  // more\n  f(a); // stays;\n g({\n\t\ta: 1,\n  });\nh()\ni()\n", ";,{"))
	require.Equal(t, "<p>\na,\n<b>", lean("<p>\n  a,\n   <b>", ""))
	for content, want := range map[string]string{
		"/* all of it's */\na, b > c:hover d:not(.e) { f: g h; }\n\n  i { j: k } /* more */\n":   "a,b > c:hover d:not(.e){f:g h}i{j:k}",
		"@media (max-width: 700px) {\n  a::before { content: '; → { '; font: \"B, c\", d }\n}\n": "@media (max-width:700px){a::before{content:'; → { ';font:\"B, c\",d}}",
		"a { width: calc(1px + (2% - 3px)); --b: #fff; }":                                        "a{width:calc(1px + (2% - 3px));--b:#fff}",
	} {
		require.Equal(t, want, leanStyle(content))
	}
}

// Without colour, as on grey paper, severities are told apart by how bars and strips are drawn: filled, outlined, dashed; above the line, long and short below.
func TestSeveritiesAreToldApartWithoutColour(t *testing.T) {
	style, err := pageFiles.ReadFile("page/findings.css")
	require.NoError(t, err)
	colours := regexp.MustCompile(`var\(--(?:short|advise|note)\)`)
	drawn := map[string]string{}
	for part, rule := range map[string]string{"0": `\.part-0 \{ ([^}]*)\}`, "1": `\.part-1 \{ ([^}]*)\}`, "2": `\.bar \.part-2 \{ ([^}]*)\}`} {
		found := regexp.MustCompile(rule).FindSubmatch(style)
		require.NotNil(t, found, rule)
		drawn[part] = colours.ReplaceAllString(string(found[1]), "ink")
	}
	require.Contains(t, drawn["0"], "fill: ink")
	require.NotContains(t, drawn["1"], "fill: ink")
	require.NotContains(t, drawn["1"], "dasharray")
	require.Contains(t, drawn["2"], "dasharray")
	var strip smallStrip
	strip[0][1], strip[1][1], strip[2][1] = true, true, true
	require.Equal(t, []string{"M2 1v8", "M2 10v5", "M2 10v2"}, []string{strip.path(0), strip.path(1), strip.path(2)})
	require.Contains(t, pageOf(t, fixtureResult(t)), "below it advisories (long) and notes (short).")
}
