package report

import (
	"context"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"html/template"
	"io"
	"regexp"
	"strings"

	"dryarc/audit"
	"dryarc/audit/history"
)

//go:embed page
var pageFiles embed.FS

// pageScripts are the scripts of the page, in the order in which they build on each other.
var pageScripts = [...]string{"shapes", "crowd", "ground", "data", "zones", "places", "map", "frame", "moving", "lanes", "strip", "pointing", "search", "table", "cohorts", "jobs", "main"}

// pageLimits are how much the page holds. What is beyond stays out, and the page says so; the other outputs hold all.
type pageLimits struct {
	structures    int // beyond it those of exceptions are kept, what stands beside them, and whole lines as far as there is room
	exceptions    int
	jobs          int
	rows          int // of the table that is readable without scripts
	zonePositions int // beyond it borders are simplified
	routes        int // positions of routes, where not every structure is there; beyond it routes are simplified
	places        int // beyond it the least important names stay out
	text          int // characters of one text
}

// writePage writes the page: one file that needs nothing but a browser, and whose essentials need no scripts.
func writePage(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	return writeHTML(ctx, w, r, a, pageLimits{structures: 50_000, exceptions: 20_000, jobs: 1200, rows: 400, zonePositions: 45_000, routes: 20_000, places: 2000, text: pageText})
}

// htmlPage is the page being written.
type htmlPage struct {
	result  *audit.Result
	limits  pageLimits
	chosen  pageChoice
	zones   zoneShapes
	named   pagePlaces
	routes  *lineRoutes // nil where every structure is there
	jobs    []workRow   // in the order of doing
	counts  jobCounts
	work    map[int]*workRow // by structure
	changes *history.Changes
	trend   []history.Point
	wholeAt string // which output has every structure
	cohorts []audit.Cohort

	open []bySeverity // open exceptions of each line of the network
}

// pageView is what the template is filled with. Text of inputs is escaped by the template, save that the style, the
// scripts and the data go in as they are: the first two are ours, and the data is JSON without any < or >.
type pageView struct {
	pageFacts
	Still                 stillMap
	StyleHash, ScriptHash string
	Style                 template.CSS
	Data, Script          template.JS
}

func writeHTML(ctx context.Context, w io.Writer, r *audit.Result, a *account, limits pageLimits) error {
	markup, err := joinedFiles("page/audit.html", "page/drawing.html")
	if err != nil {
		return err
	}
	t, err := template.New("audit.html").Parse(lean(markup, ""))
	if err != nil {
		return err
	}
	style, err := joinedFiles("page/audit.css", "page/drawing.css", "page/findings.css")
	if err != nil {
		return err
	}
	style = leanStyle(style)
	script, err := pageScript(pageScripts[:]...)
	if err != nil {
		return err
	}
	h := htmlPage{result: r, limits: limits, work: map[int]*workRow{}, changes: a.since(r), wholeAt: a.allStructures()}
	h.trend = a.runs().trend(r, h.changes)
	h.jobs = a.rows(r)
	h.counts = countRows(r, h.jobs)
	for i := range h.jobs {
		h.work[h.jobs[i].job.Structure] = &h.jobs[i]
	}
	h.open = openByLine(r, h.changes.Decided)
	h.choose()
	if !h.chosen.all {
		h.routes = h.lineRoutes(h.limits.routes)
	}
	h.zones, h.named = h.zoneShapes(), h.places()
	h.cohorts = a.cohortsOf(r)
	facts := h.facts()
	if err := h.addFirst(ctx, &facts.firstFacts); err != nil {
		return err
	}
	data := func(w io.Writer) error { return h.writeData(ctx, w) }
	return t.Execute(&dataWriter{w, data}, pageView{
		pageFacts: facts, Still: h.still(), Style: template.CSS(style), Script: template.JS(script), Data: dataMark,
		StyleHash: contentHash(style), ScriptHash: contentHash(script),
	})
}

// dataMark stands in the template for the data. No text of inputs gets there like this, since its < is escaped.
const dataMark = "<data of the page>"

// dataWriter writes a page, and the data where the template has its mark: when nothing else of the page is worked on, and no more of it at
// once than a member.
type dataWriter struct {
	io.Writer
	data func(io.Writer) error
}

func (d *dataWriter) Write(b []byte) (int, error) {
	if string(b) == dataMark {
		return len(b), d.data(d.Writer)
	}
	return d.Writer.Write(b)
}

// pageScript joins scripts into one that leaves no names behind.
func pageScript(names ...string) (string, error) {
	var b strings.Builder
	b.WriteString("(() => {\n'use strict';\n")
	for _, name := range names {
		script, err := pageFiles.ReadFile("page/" + name + ".js")
		if err != nil {
			return "", err
		}
		b.WriteString(lean(string(script), ";,{"))
	}
	b.WriteString("})();\n")
	return b.String(), nil
}

// lean leaves out of a script or markup what only people read who change it: indents, lines that are nothing but a comment, and the end of a line after any of
// some marks. Neither has texts that run over several lines.
func lean(content, marks string) string {
	const blanks = " \t"
	var b strings.Builder
	for line := range strings.Lines(content) {
		line = strings.TrimLeft(line, blanks)
		text, whole := strings.CutSuffix(line, "\n")
		text = strings.TrimRight(text, blanks)
		switch {
		case text == "" && whole || strings.HasPrefix(line, "//"):
		case whole && strings.ContainsAny(text[len(text)-1:], marks) && !strings.Contains(text, "//"): // which may begin a comment
			b.WriteString(text)
		default:
			b.WriteString(line)
		}
	}
	return b.String()
}

var (
	styleComment = regexp.MustCompile(`(?s)/\*.*?\*/`)
	// styleBlanks finds what stands in quotes, so that nothing is found within, and the marks of a style with the blanks around them.
	styleBlanks = regexp.MustCompile(`'[^']*'|"[^"]*"|;?\s*\}\s*|\s*[{;,]\s*|:\s+`)
)

// leanStyle leaves out of a style comments and the blanks that part nothing.
func leanStyle(content string) string {
	return styleBlanks.ReplaceAllStringFunc(strings.TrimSpace(styleComment.ReplaceAllString(content, "")), func(found string) string {
		switch {
		case found[0] == '\'' || found[0] == '"':
			return found
		case strings.Contains(found, "}"):
			return "}"
		}
		return strings.TrimSpace(found)
	})
}

// contentHash names a style or script in the content security policy, so that a browser runs no other.
func contentHash(content string) string {
	sum := sha256.Sum256([]byte(content))
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}
