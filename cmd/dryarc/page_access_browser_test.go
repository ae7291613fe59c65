package main

import (
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// The page has no fault of access whatever it shows, and whatever people see who look at it.
func TestAccessInEveryStateInABrowser(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	auditInto(t, demoProject, out)
	p := open(t, out)
	p.do(chromedp.EmulateViewport(1280, 720))
	for _, state := range []struct {
		name string
		make func()
	}{
		{"an exception chosen", func() {}},
		{"a structure without exceptions chosen", func() {
			see[bool](p, `new Promise((done) => { addEventListener('hashchange', () => done(true), { once: true }); location.hash = 'SD-132/T-001'; })`)
		}},
		{"filtered", func() { p.choose("words", "creepage") }},
		{"nothing found", func() { p.choose("words", "nowhere at all") }},
		{"a link to nothing", func() {
			see[bool](p, `new Promise((done) => { addEventListener('hashchange', () => done(true), { once: true }); location.hash = 'e-0123456789ab'; })`)
		}},
		{"job sheets", func() {
			see[bool](p, `new Promise((done) => { addEventListener('hashchange', () => done(true), { once: true }); location.hash = 'work-sheets'; })`)
		}},
	} {
		p.do(chromedp.Navigate("about:blank"), chromedp.Navigate(p.url))
		p.settle()
		state.make()
		p.settle()
		for look, feature := range map[string]*emulation.MediaFeature{
			"light": {Name: "prefers-color-scheme", Value: "light"}, "dark": {Name: "prefers-color-scheme", Value: "dark"}, "forced colours": {Name: "forced-colors", Value: "active"},
		} {
			p.emulate("", feature)
			p.run(state.name+", "+look, p.requireAccess)
		}
		p.onPaper(func() { p.run(state.name+", on paper", p.requireAccess) })
	}
}
