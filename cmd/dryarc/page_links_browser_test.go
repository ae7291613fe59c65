package main

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// inView tells whether what is chosen begins in the window.
const inView = `(() => { const top = document.getElementById('chosen').getBoundingClientRect().top; return top >= -1 && top < innerHeight / 2; })()`

// A link to a finding or a structure, opened or followed on the page, shows it; and no chosen finding is wider than the screen.
func TestLinksBringWhatTheyNameIntoView(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	found := worstOfFindings(auditInto(t, demoProject, out))
	p := open(t, out)
	for _, size := range [][2]int64{{1366, 768}, {768, 1024}, {390, 844}} {
		for _, link := range []string{"e-" + found[2].ID, "e-" + found[len(found)-1].ID, "SD-132/T-012"} {
			p.run(fmt.Sprintf("%s at %d", link, size[0]), func(t *testing.T) {
				p.do(chromedp.EmulateViewport(size[0], size[1]), chromedp.Navigate("about:blank"), chromedp.Navigate(p.url+"#"+link))
				p.settle()
				require.True(t, see[bool](p, inView))
			})
		}
		p.run(fmt.Sprintf("the first job at %d", size[0]), func(t *testing.T) {
			see[bool](p, `new Promise((done) => { scrollTo(0, 0); addEventListener('hashchange', () => done(true), { once: true }); document.querySelector('.jobs a').click(); })`)
			p.settle()
			require.True(t, see[bool](p, inView))
		})
	}
	p.run("no chosen finding is wider than a telephone", func(t *testing.T) {
		require.Empty(t, see[[]string](p, fmt.Sprintf(`Array.from({ length: %d }, () => { document.getElementById('next').click(); return document.documentElement.scrollWidth > 390 ? location.hash : ''; }).filter(Boolean).slice(0, 5)`, len(found))))
	})
}
