package main

import (
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// The page has no fault of access whatever it shows, and whatever people see who look at it: each state in one or two of the four looks, of which the next has
// others, and with DRYARC_HARD=1 in all.
func TestAccessInEveryStateInABrowser(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	auditInto(t, demoProject, out)
	p := open(t, out)
	p.do(chromedp.EmulateViewport(1280, 720))
	for i, state := range []struct {
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
		for k, look := range []struct {
			name    string
			feature *emulation.MediaFeature
		}{
			{"light", &emulation.MediaFeature{Name: "prefers-color-scheme", Value: "light"}}, {"dark", &emulation.MediaFeature{Name: "prefers-color-scheme", Value: "dark"}},
			{"forced colours", &emulation.MediaFeature{Name: "forced-colors", Value: "active"}}, {"on paper", nil},
		} {
			if !hard() && (i+k)%4 != 0 {
				continue
			}
			if look.feature == nil {
				p.onPaper(func() { p.run(state.name+", "+look.name, p.requireAccess) })
				continue
			}
			p.emulate("", look.feature)
			p.run(state.name+", "+look.name, p.requireAccess)
		}
	}
}
