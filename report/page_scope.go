package report

import (
	"context"
	"html/template"
	"io"

	"dryarc/audit"
)

// scopeScripts are the scripts of the page of scenarios, those that it shares with the page of an audit among them.
var scopeScripts = [...]string{"shapes", "crowd", "ground", "scope/data", "zones", "places", "map", "frame", "moving", "scope/lanes", "strip", "pointing", "scope/changes", "scope/curves", "scope/main"}

// scopeLimits are how much the page of scenarios holds. What is beyond stays out, and the page says so; scope.json has all.
type scopeLimits struct {
	structures    int // drawn, of all scenarios together
	rows          int // structures that a scenario lists
	sentences     int // of a scenario
	curves        int
	points        int // of all curves together
	zonePositions int
	places        int
	text          int // characters of one text
}

// writePage writes the page of scenarios: one file that needs nothing but a browser, and whose sentences and tables need no scripts.
func (s *Scope) writePage(ctx context.Context, w io.Writer, _ *audit.Result) error {
	return s.writeHTML(ctx, w, scopeLimits{structures: 20_000, rows: 1000, sentences: 200, curves: 300, points: 30_000, zonePositions: 60_000, places: 2000, text: 300})
}

// scopePage is the page of scenarios being written.
type scopePage struct {
	htmlPage
	scope  *Scope
	limits scopeLimits
	curves []pageCurve
	left   int // curves that the page leaves out
	// The zones of the page begin with those of today. zonesThen are those of each scenario that changes classes, nil of the others.
	zonesToday int
	zonesThen  [][]zoneThenJSON
}

// scopeView is what the template is filled with, as pageView is.
type scopeView struct {
	scopeFacts
	StyleHash, ScriptHash string
	Style                 template.CSS
	Data, Script          template.JS
}

func (s *Scope) writeHTML(ctx context.Context, w io.Writer, limits scopeLimits) error {
	t, err := template.ParseFS(pageFiles, "page/scope.html", "page/drawing.html")
	if err != nil {
		return err
	}
	style, err := joinedFiles("page/audit.css", "page/drawing.css", "page/scope.css")
	if err != nil {
		return err
	}
	script, err := pageScript(scopeScripts[:]...)
	if err != nil {
		return err
	}
	p := scopePage{scope: s, limits: limits, htmlPage: htmlPage{result: s.Today, limits: pageLimits{structures: limits.structures, zonePositions: limits.zonePositions, places: limits.places, text: limits.text}}}
	p.choose()
	p.addScopeZones()
	p.named = p.places()
	p.chooseCurves()
	data, err := p.data(ctx)
	if err != nil {
		return err
	}
	return t.Execute(w, scopeView{
		scopeFacts: p.facts(), Style: template.CSS(style), Script: template.JS(script), Data: template.JS(data),
		StyleHash: contentHash(style), ScriptHash: contentHash(script),
	})
}

func joinedFiles(names ...string) (joined string, err error) {
	for _, name := range names {
		content, err := pageFiles.ReadFile(name)
		if err != nil {
			return "", err
		}
		joined += string(content)
	}
	return joined, nil
}

// choose takes every structure where the limit allows it, else those of scenarios, as far as it goes: those that are stopped
// first, then those that need work, then the others that were kept of their lines.
func (p *scopePage) choose() {
	keep := make([]bool, p.result.Network.StructureCount())
	p.chosen = pageChoice{all: len(keep) <= p.limits.structures}
	count := 0
	mark := func(structure int) {
		if !keep[structure] && count < p.limits.structures {
			keep[structure] = true
			count++
		}
	}
	for i := 0; p.chosen.all && i < len(keep); i++ {
		keep[i] = true
	}
	for upTo := placeStopped; upTo <= placeRests; upTo++ {
		for _, s := range p.scope.Scenarios {
			for _, place := range s.places {
				if place.state <= upTo {
					mark(int(place.structure))
				}
			}
		}
	}
	p.number(keep)
}
