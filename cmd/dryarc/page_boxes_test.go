package main

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// overlapping lists pairs of elements whose boxes lie on each other by more than a pixel, as a browser lays them out.
const overlapping = `(selector) => {
	const all = [...document.querySelectorAll(selector)].map((e) => ({ words: e.textContent, box: e.getBoundingClientRect() })).filter(({ box }) => box.width > 0);
	const out = all.length ? [] : ['nothing there'];
	all.forEach(({ words, box: a }, i) => all.slice(i + 1).forEach(({ words: other, box: b }) => {
		if (a.left < b.right - 1 && a.right - 1 > b.left && a.top < b.bottom - 3 && a.bottom - 3 > b.top) out.push(words + ' on ' + other);
	}));
	return out;
}`

// Nothing that is written on map and strip lies on anything else written there, on a phone, a laptop and a large screen.
func TestDrawingsHaveRoomInABrowser(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	auditInto(t, demoProject, out)
	p := open(t, out)
	for _, size := range [][2]int64{{390, 844}, {1280, 720}, {1920, 1080}} {
		p.run(fmt.Sprintf("%d by %d", size[0], size[1]), func(t *testing.T) {
			p.do(chromedp.EmulateViewport(size[0], size[1]), chromedp.Navigate("about:blank"), chromedp.Navigate(p.url+"#SD-132/T-040"))
			p.settle()
			require.GreaterOrEqual(t, see[float64](p, `document.getElementById('map').getBoundingClientRect().height / innerHeight`), 0.499, "the map has half the height of the view")
			require.Empty(t, see[[]string](p, fmt.Sprintf(`(%s)('#strip-svg text')`, overlapping)))
			for range 6 {
				require.Empty(t, see[[]string](p, fmt.Sprintf(`(%s)('#map-svg > g:not(.zones) text:not([transform])')`, overlapping)))
				require.True(t, see[bool](p, `(() => { const frame = document.querySelector('#map-svg .frame').getBoundingClientRect();
					return [...document.querySelectorAll('#map-svg .scale')].every((e) => e.getBoundingClientRect().top > frame.bottom - 1); })()`), "scale and north stand below the map")
				p.press("map", "-")
			}
			require.True(t, see[bool](p, `document.getElementById('legend').getBoundingClientRect().top >= document.getElementById('map').getBoundingClientRect().bottom - 1`), "the legend stands below the map")
			require.True(t, see[bool](p, `document.querySelector('.strip-head').getBoundingClientRect().top >= document.querySelector('.map-foot').getBoundingClientRect().bottom - 1`), "the strip stands below the map")
		})
	}
}
