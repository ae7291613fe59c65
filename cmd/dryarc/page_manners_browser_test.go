package main

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// textOnText lists pieces of text outside the drawings that lie on others, or on map or strip, by more than two pixels.
const textOnText = `(() => {
	const boxes = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), range = document.createRange(), clipping = '.clipped, .ranked li > :first-child, .facts, .scroll';
	while (walk.nextNode()) {
		const node = walk.currentNode, e = node.parentElement;
		if (!node.data.trim() || e.closest('svg, script, style, noscript, option, .unseen, .skip, .aside-heading') || !e.checkVisibility({ contentVisibilityAuto: true })) continue;
		if (e.closest('th') && getComputedStyle(e.closest('th')).position === 'sticky') continue; // rows pass below it
		const clips = [];
		for (let at = e.closest(clipping); at; at = at.parentElement.closest(clipping)) if (getComputedStyle(at).overflowY !== 'visible') clips.push(at.getBoundingClientRect());
		range.selectNodeContents(node);
		for (const b of range.getClientRects()) {
			const box = clips.reduce((a, c) => ({ left: Math.max(a.left, c.left), right: Math.min(a.right, c.right), top: Math.max(a.top, c.top), bottom: Math.min(a.bottom, c.bottom) }), b);
			if (box.right - box.left > 1 && box.bottom > box.top) boxes.push({ node, words: node.data.trim().slice(0, 40), left: box.left, right: box.right, top: box.top, bottom: box.bottom });
		}
	}
	for (const id of ['map', 'strip']) {
		const b = document.getElementById(id).getBoundingClientRect();
		if (b.height) boxes.push({ node: id, words: id, left: b.left, right: b.right, top: b.top, bottom: b.bottom });
	}
	boxes.sort((a, b) => a.top - b.top);
	const out = boxes.length > 20 ? [] : ['hardly any text'];
	boxes.forEach((a, i) => {
		for (let k = i + 1; k < boxes.length && boxes[k].top < a.bottom - 2; k++) {
			const b = boxes[k];
			if (a.node !== b.node && Math.min(a.right, b.right) - Math.max(a.left, b.left) > 2 && Math.min(a.bottom, b.bottom) - b.top > 2) out.push(a.words + ' | ' + b.words);
		}
	});
	return out;
})()`

// onPaper lets the page lay itself out as on A4 across, and takes that back.
func (p *browserPage) onPaper(part func()) {
	p.t.Helper()
	const a4Across = 1039 // CSS pixels between the margins
	p.do(chromedp.EmulateViewport(a4Across, 710))
	p.emulate("print")
	see[bool](p, `dispatchEvent(new Event('beforeprint'))`)
	p.settle()
	part()
	see[bool](p, `dispatchEvent(new Event('afterprint'))`)
	p.emulate("")
}

func TestPrintedPageInABrowser(t *testing.T) {
	t.Parallel()
	projects := map[string]string{"demo": demoProject}
	if cases := os.Getenv("DRYARC_CASES"); cases != "" {
		projects["real case"] = filepath.Join(cases, "andes", "audit.yaml")
	}
	for name, project := range projects {
		t.Run(name, func(t *testing.T) {
			out := t.TempDir()
			auditInto(t, project, out)
			p := open(t, out)
			p.do(chromedp.EmulateViewport(1280, 720), chromedp.Navigate(p.url))
			p.settle()
			folded := see[int](p, `document.querySelectorAll('.first details:not([open])').length`)
			require.Positive(t, folded)
			p.onPaper(func() {
				require.Empty(t, see[[]string](p, textOnText))
				require.Empty(t, see[[]string](p, widerThanWindow))
				require.Empty(t, see[[]string](p, fmt.Sprintf(`(%s)('#strip-svg text')`, overlapping)))
				require.Empty(t, see[[]string](p, fmt.Sprintf(`(%s)('#map-svg > g:not(.zones) text:not([transform])')`, overlapping)))
				require.Empty(t, see[[]string](p, `[...document.querySelectorAll('.first li')].filter((li) => !li.checkVisibility({ contentVisibilityAuto: true }) || li.getBoundingClientRect().height < 8).map((li) => li.textContent)`), "what is folded on the screen is open on paper")
				require.InDelta(t, 1036.0/470, see[float64](p, `(() => { const b = document.getElementById('map-svg').getBoundingClientRect(); return b.width / b.height; })()`), 0.01, "the map fills its room")
				if name == "demo" { // every row of the table is on paper, and looking at those of the real case takes half a minute
					p.run("access", func(t *testing.T) { p.requireAccess(t) })
				}
			})
			require.Equal(t, folded, see[int](p, `document.querySelectorAll('.first details:not([open])').length`), "paper leaves the screen as it was")
		})
	}
}

func TestPageWithoutScriptsInABrowser(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	result := auditInto(t, demoProject, out)
	p := open(t, out)
	scripts := func(off bool) {
		_, err := chromedp.Call(p.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: off})
		require.NoError(t, err)
	}
	scripts(true)
	p.do(chromedp.EmulateViewport(390, 844), chromedp.Navigate(p.url))
	scripts(false)
	require.Positive(t, see[float64](p, `document.querySelector('.still svg').getBoundingClientRect().height`))
	require.NotEmpty(t, see[string](p, `document.querySelector('.still .route').getAttribute('d')`))
	require.Positive(t, see[int](p, `document.querySelectorAll('.still use').length`))
	require.Contains(t, see[string](p, `document.querySelector('.still').textContent`), "SD-132")
	require.True(t, see[bool](p, `document.getElementById('drawing').hidden`), "what needs scripts is not shown")
	require.Equal(t, len(worstOfFindings(result)), see[int](p, `document.querySelectorAll('#rows tr').length`))
	require.Empty(t, see[[]string](p, widerThanWindow))
	p.run("access", func(t *testing.T) { p.requireAccess(t) })
	p.do(chromedp.Navigate(p.url))
	p.settle()
	require.Zero(t, see[int](p, `document.querySelectorAll('.still').length`), "where scripts run the still map is not there")
}

// touches sends fingers to the page as a screen does.
func (p *browserPage) touches(kind input.DispatchTouchEventType, fingers ...[2]float64) {
	p.t.Helper()
	points := []*input.TouchPoint{}
	for i, at := range fingers {
		points = append(points, &input.TouchPoint{X: at[0], Y: at[1], ID: new(float64(i))})
	}
	_, err := chromedp.Call(p.ctx, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
	require.NoError(p.t, err)
	p.settle()
}

func TestFingersInABrowser(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	auditInto(t, demoProject, out)
	p := open(t, out)
	p.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile))
	_, err := chromedp.Call(p.ctx, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true, MaxTouchPoints: 2})
	require.NoError(t, err)
	p.do(chromedp.Navigate(p.url))
	p.settle()
	middle := func(id string) (x, y float64) {
		at := see[[]float64](p, fmt.Sprintf(`(() => { const e = document.getElementById(%q); e.scrollIntoView({ block: 'center' }); const b = e.getBoundingClientRect(); return [b.left + b.width / 2, b.top + b.height / 2]; })()`, id))
		p.settle()
		return at[0], at[1]
	}
	const drawnMap = `document.getElementById('map-svg').innerHTML`
	for _, id := range []string{"map", "strip"} {
		p.run("one finger on the "+id+" scrolls the page", func(t *testing.T) {
			x, y := middle(id)
			scrolled, drawn, address := see[float64](p, `scrollY`), see[string](p, drawnMap), see[string](p, `location.hash`)
			p.touches(input.DispatchTouchEventTypeTouchStart, [2]float64{x, y + 70})
			for i := range 10 {
				p.touches(input.DispatchTouchEventTypeTouchMove, [2]float64{x, y + 70 - 14*float64(i+1)})
			}
			p.touches(input.DispatchTouchEventTypeTouchEnd)
			require.Greater(t, see[float64](p, `scrollY`), scrolled+60)
			require.Equal(t, drawn, see[string](p, drawnMap))
			require.Equal(t, address, see[string](p, `location.hash`), "nothing is chosen by scrolling")
		})
	}
	p.run("two fingers move and stretch the map, not the page", func(t *testing.T) {
		x, y := middle("map")
		scrolled, drawn := see[float64](p, `scrollY`), see[string](p, drawnMap)
		p.touches(input.DispatchTouchEventTypeTouchStart, [2]float64{x - 40, y}, [2]float64{x + 40, y})
		for i := range 8 {
			away := 40 + 6*float64(i)
			p.touches(input.DispatchTouchEventTypeTouchMove, [2]float64{x - away, y + 3*float64(i)}, [2]float64{x + away, y + 3*float64(i)})
		}
		p.touches(input.DispatchTouchEventTypeTouchEnd)
		require.NotEqual(t, drawn, see[string](p, drawnMap))
		require.Equal(t, []float64{scrolled, 1}, see[[]float64](p, `[scrollY, visualViewport.scale]`))
	})
	p.run("every target is large enough", func(t *testing.T) {
		require.True(t, see[bool](p, `matchMedia('(pointer: coarse)').matches`))
		require.Empty(t, see[[]string](p, `[...document.querySelectorAll('button, select, summary, label, input[type=search], .skip')].filter((e) => e.checkVisibility()).map((e) => [e, e.getBoundingClientRect()])
			.filter(([, box]) => box.height < 43.5 || box.width < 43.5).map(([e, box]) => e.outerHTML.slice(0, 80) + ' ' + box.width + ' by ' + box.height)`))
	})
}
