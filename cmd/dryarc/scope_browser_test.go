package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// headroomOut is what the tests read of a curve in scope.json.
type headroomOut struct {
	Line, Duty, Check, Quantity string
	P10                         *float64
	Curve                       []struct{ Value, Share float64 }
}

func TestScopePageInABrowser(t *testing.T) {
	t.Parallel()
	folder, out := scopedDemo(t)
	content, err := os.ReadFile(filepath.Join(folder, "scope.json"))
	require.NoError(t, err)
	var told struct {
		Headroom  []headroomOut
		Scenarios []struct{ Headroom []headroomOut }
	}
	require.NoError(t, json.Unmarshal(content, &told))
	p := openFile(t, filepath.Join(folder, "scope.html"))
	p.do(chromedp.Navigate(p.url))
	p.settle()
	shown := func() string {
		return see[string](p, `[...document.querySelectorAll('.scenario')].filter((s) => !s.hidden).map((s) => s.querySelector('h2').textContent).join('|')`)
	}
	listed := func() string {
		return see[string](p, `document.querySelector('.scenario:not([hidden]) .listed').textContent`)
	}
	require.Equal(t, out.Scenarios[0].Name, shown(), "the first is chosen")

	p.run("choose a scenario and come back", func(t *testing.T) {
		p.do(chromedp.Click(`.beside tbody tr:nth-child(2) a`))
		p.settle()
		require.Equal(t, out.Scenarios[1].Name, shown())
		require.Equal(t, "#s-SD-132+to+220+kV", see[string](p, `location.hash`))
		require.Equal(t, out.Scenarios[1].Name, see[string](p, `document.querySelector('.choice[aria-current]').textContent`))
		require.Equal(t, out.Scenarios[1].InWords[0], see[string](p, `document.querySelector('.scenario:not([hidden]) .sentences').textContent`))
		require.True(t, strings.HasPrefix(see[string](p, `document.getElementById('line').selectedOptions[0].text`), "SD-132"))
		require.NotEmpty(t, see[string](p, `document.querySelector('#map-svg > .mark-0').getAttribute('d')`), "where no remedy serves is drawn")
		require.NotEmpty(t, see[string](p, `document.querySelector('#strip-svg .mark-1').getAttribute('d')`), "what needs work is drawn")
		require.Positive(t, see[int](p, `document.querySelectorAll('#strip-svg .stopped-band').length`))
		require.NotEmpty(t, see[string](p, `document.querySelector('#strip-svg .lack').getAttribute('d')`), "what is lacking is drawn")
		see[bool](p, `new Promise((done) => { window.addEventListener('hashchange', () => done(true), { once: true }); history.back(); })`)
		p.settle()
		require.Equal(t, out.Scenarios[0].Name, shown(), "Back goes to the scenario before")
	})
	p.run("the map draws the zones of the scenario", func(t *testing.T) {
		hatched := `[...new Set([...document.querySelectorAll('#map-svg .zones path')].map((e) => e.getAttribute('fill')))].join(' ')`
		told := func() string { return p.text("legend") }
		require.Equal(t, "url(#map-cross)", see[string](p, hatched), "every class is e in the scenario of the salt belt")
		require.Contains(t, told(), "Zones as the scenario has them:")
		p.do(chromedp.Click(`.beside tbody tr:nth-child(2) a`))
		p.settle()
		require.NotEqual(t, "url(#map-cross)", see[string](p, hatched))
		require.NotContains(t, told(), "Zones as the scenario has them:")
		p.do(chromedp.Click(`.beside tbody tr:nth-child(1) a`))
		p.settle()
	})
	p.run("links", func(t *testing.T) {
		for _, link := range []string{"#s-SD-132+to+220+kV/SD-132/T-031", "#s-SD-132%20to%20220%20kV/SD-132/T-031"} {
			p.do(chromedp.Navigate("about:blank"), chromedp.Navigate(p.url+link))
			p.settle()
			require.Equal(t, out.Scenarios[1].Name, shown())
			require.Contains(t, p.attribute("strip", "aria-valuetext"), "structure T-031, needs work, circuit 2, tension")
			require.Contains(t, p.text("facts"), "needs work; not known what serves all of it")
			require.Contains(t, see[string](p, `document.querySelector('.changes [aria-current]').textContent`), "T-031")
		}
	})
	p.run("links to what is not there say so", func(t *testing.T) {
		for link, want := range map[string]string{
			"#s-gone/SD-132":                   "The link asks for the scenario “gone”, which is not on this page.",
			"#s-SD-132+to+220+kV/gone":         "The link asks for the line “gone”, which is not on this page.",
			"#s-SD-132+to+220+kV/SD-132/T-999": "The link asks for the structure “T-999”, which is not on this page.",
			"#s-SD-132+to+220+kV/gone/T-001":   "The link asks for the line “gone”, which is not on this page.",
			"#s-SD-132+to+220+kV/SD-132/T-031": "",
			"#s-SD-132+to+220+kV/SD-132":       "",
			"#headroom":                        "",
			"":                                 "",
			"#s-SD-132+to+220+kV":              "",
			"#nothing%20has%20this":            "The link asks for the scenario “nothing has this”, which is not on this page.",
		} {
			p.do(chromedp.Navigate("about:blank"), chromedp.Navigate(p.url+link))
			p.settle()
			require.Equal(t, want, p.text("not-here"), link)
			require.Equal(t, want == "", see[bool](p, `document.getElementById('not-here').hidden`), link)
		}
		p.do(chromedp.Navigate("about:blank"), chromedp.Navigate(p.url+"#s-SD-132+to+220+kV/SD-132/T-031"))
		p.settle()
	})
	p.run("what is needed is told to its end, and counted in good grammar", func(t *testing.T) {
		require.Regexp(t, `^\d+ that no remedy serves · \d+ need work$`, p.text("shown"))
		require.NotContains(t, see[string](p, `[...document.querySelectorAll('.changes')].map((e) => e.textContent).join('|')`), " characters)", "a text is cut")
		require.NotContains(t, see[string](p, `document.getElementById('audit-data').textContent`), " characters)", "a text is cut")
	})
	p.run("the chart follows the scenario, and is named on paper", func(t *testing.T) {
		require.Equal(t, []string{out.Scenarios[1].Name, "SD-132"}, see[[]string](p, `JSON.parse(document.getElementById('curve-line').value)`))
		p.do(chromedp.Click(`.beside tbody tr:nth-child(1) a`))
		p.settle()
		require.Equal(t, out.Scenarios[0].Name, see[string](p, `JSON.parse(document.getElementById('curve-line').value)[0]`))
		p.do(chromedp.Click(`.beside tbody tr:nth-child(2) a`))
		p.settle()
		shownOf := func(ids string) string {
			return see[string](p, `[...document.querySelectorAll('`+ids+`')].filter((e) => e.checkVisibility()).map((e) => e.textContent).join('|')`)
		}
		require.Empty(t, shownOf("#curve-named"))
		require.Contains(t, shownOf(".off-paper"), "Point at the chart")
		_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		require.NoError(t, err)
		require.Regexp(t, `^SD-132, SD-132 to 220 kV, as .* rises$`, shownOf("#curve-named"))
		require.Empty(t, shownOf(".off-paper, #curve-choice"))
		require.Contains(t, see[string](p, `[...document.styleSheets[0].cssRules].flatMap((r) => [...(r.cssRules || [])]).filter((r) => r.constructor.name === 'CSSPageRule').map((r) => r.cssText).join(' ')`),
			"@bottom-left { content: \"Screening only", "each page carries the caution")
		_, err = chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: ""})
		require.NoError(t, err)
	})
	p.run("what is told of a structure lies on nothing else", func(t *testing.T) {
		p.do(chromedp.Navigate("about:blank"), chromedp.Navigate(p.url+"#s-SD-132+to+220+kV/SD-132/T-024"))
		for _, width := range []int{390, 768, 1240, 1280} {
			p.do(chromedp.EmulateViewport(int64(width), 1000))
			p.settle()
			require.Contains(t, p.text("facts"), "T-024")
			require.Empty(t, see[[]string](p, `(() => { const box = document.getElementById('facts-box'), r = box.getBoundingClientRect(), scrolls = getComputedStyle(box).overflowY === 'auto';
				const below = document.querySelector('#shown').getBoundingClientRect(), out = [...box.querySelectorAll('dd')].filter((e) => !scrolls && e.getBoundingClientRect().bottom > r.bottom + 1).map((e) => e.textContent);
				return r.bottom > below.top + 1 ? [...out, 'the box itself'] : out; })()`), "at %d pixels", width)
		}
		p.do(chromedp.EmulateViewport(1400, 1000), chromedp.Navigate("about:blank"), chromedp.Navigate(p.url+"#s-SD-132+to+220+kV/SD-132/T-031"))
		p.settle()
	})
	p.run("a row moves map and strip", func(t *testing.T) {
		p.do(chromedp.Click(`.scenario:not([hidden]) .changes tbody tr:nth-child(2) td:nth-child(3)`))
		p.settle()
		require.Equal(t, "#s-SD-132+to+220+kV/SD-132/T-002", see[string](p, `location.hash`))
		middle := see[[]float64](p, `(() => { const r = document.getElementById('map').getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2]; })()`)
		p.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, middle[0], middle[1]))
		p.settle()
		require.Contains(t, p.text("tip"), "no remedy serves: string too long")
	})
	p.run("the strip steps, and from change to change", func(t *testing.T) {
		p.press("strip", kb.Home)
		require.Equal(t, "1", p.attribute("strip", "aria-valuenow"))
		p.press("strip", kb.ArrowRight)
		require.Equal(t, "2", p.attribute("strip", "aria-valuenow"))
		p.do(chromedp.Click("#next"))
		p.settle()
		require.Contains(t, p.attribute("strip", "aria-valuetext"), "structure T-003")
	})
	p.run("filter by kind of work", func(t *testing.T) {
		choose := func(name string) {
			require.True(t, see[bool](p, fmt.Sprintf(`(() => { const s = document.querySelector('.scenario:not([hidden]) .by-kind'), o = [...s.options].find((o) => o.text.startsWith(%q));
				s.value = o ? o.value : ''; s.dispatchEvent(new Event('input', { bubbles: true })); return !!o; })()`, name)), name)
		}
		rows := see[int](p, `document.querySelectorAll('.scenario:not([hidden]) .changes tbody tr').length`)
		for name, words := range map[string]string{"Longer strings": "longer strings at", "Tension sets": "tension sets at", "Stopped by: string too long": "string too long of coupling 16 at", "No remedy serves": "no remedy serves"} {
			choose(name)
			require.Equal(t, fmt.Sprintf("%d of %d structures", numberAfter(t, out.Scenarios[1].InWords[0], words), rows), listed())
		}
		choose("All kinds")
		require.Equal(t, fmt.Sprintf("%d structures, along the lines", rows), listed())
	})
	p.run("curves are read where the pointer is", func(t *testing.T) {
		see[bool](p, `(() => { const s = document.getElementById('curve-line'); s.value = JSON.stringify(['today', 'SD-132']); s.dispatchEvent(new Event('change')); return true; })()`)
		require.Equal(t, "as highest voltage rises", see[string](p, `document.getElementById('curve-quantity').selectedOptions[0].text`))
		var drawn []headroomOut
		for _, c := range told.Headroom {
			if c.Line == "SD-132" && c.Quantity == "highest voltage" {
				drawn = append(drawn, c)
			}
		}
		require.NotEmpty(t, drawn)
		require.Equal(t, len(drawn), see[int](p, `document.querySelectorAll('.curves tbody tr:not([hidden])').length`))
		requireRead := func() {
			at, err := strconv.ParseFloat(regexp.MustCompile(`^At (\S+) kV`).FindStringSubmatch(p.text("curve-at"))[1], 64)
			require.NoError(t, err)
			for i, c := range drawn {
				share := 1.0 // the demo's assemblies all meet somewhere
				for _, point := range c.Curve {
					if point.Value < at {
						share = point.Share
					}
				}
				read := see[string](p, fmt.Sprintf(`document.querySelector('#curve-rows tr:nth-child(%d)').textContent`, i+1))
				require.Equal(t, fmt.Sprintf("%s, %s%s\u2009%%", c.Duty, c.Check, strconv.FormatFloat(math.Floor(1000*share+1e-9)/10, 'f', -1, 64)), read, "at %g", at)
				require.Contains(t, p.attribute("curve-box", "aria-valuetext"), c.Duty+", "+c.Check)
			}
		}
		requireRead()
		see[bool](p, `(document.getElementById('curve-box').scrollIntoView({ block: 'center' }), true)`)
		box := see[[]float64](p, `(() => { const r = document.getElementById('curve-box').getBoundingClientRect(); return [r.left, r.top, r.width, r.height]; })()`)
		before := p.text("curve-at")
		for _, share := range []float64{0.3, 0.55, 0.8} {
			p.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, box[0]+share*box[2], box[1]+box[3]/2))
			p.settle()
			require.NotEqual(t, before, p.text("curve-at"))
			before = p.text("curve-at")
			requireRead()
		}
		p.press("curve-box", kb.Home)
		for range 4 {
			p.press("curve-box", kb.PageUp)
			require.NotEqual(t, before, p.text("curve-at"))
			before = p.text("curve-at")
		}
		p.do(chromedp.Click("#curve-all"))
		all := len(told.Headroom)
		for _, x := range told.Scenarios {
			all += len(x.Headroom)
		}
		require.Equal(t, all, see[int](p, `document.querySelectorAll('.curves tbody tr:not([hidden])').length`))
		p.do(chromedp.Click("#curve-all"))
	})
	p.run("narrow and wide windows", func(t *testing.T) {
		for _, width := range []int{390, 520, 768, 899, 1024, 1251, 1280, 1920} {
			p.do(chromedp.EmulateViewport(int64(width), 1000))
			p.settle()
			require.LessOrEqual(t, see[int](p, `document.documentElement.scrollWidth - window.innerWidth`), 0, "the page is wider than a window of %d pixels: %v", width,
				see[[]string](p, `[...document.querySelectorAll('main *, header *')].filter((e) => e.getBoundingClientRect().right > window.innerWidth + 1 && !e.closest('svg')).map((e) => e.tagName + '#' + e.id + '.' + e.className).slice(0, 5)`))
			require.Empty(t, see[[]string](p, `[...document.querySelectorAll('.scenario:not([hidden]) .scroll, .headroom .scroll, .below > section')].filter((e) => e.scrollWidth > e.clientWidth + 1).map((e) => e.className + ' ' + e.textContent.slice(0, 40))`), "scrolls sideways at %d pixels", width)
			require.Equal(t, width <= 900, see[bool](p, `(() => { const box = document.querySelector('.scenario:not([hidden]) .sentences'), list = box.firstElementChild;
				const more = Array.from({ length: 7 }, () => list.appendChild(list.firstElementChild.cloneNode(true))), whole = box.scrollHeight <= box.clientHeight;
				for (const one of more) one.remove();
				return whole; })()`), "the sentences of a few lines are seen whole in a window of %d pixels", width)
			if width == 1920 { // in narrow windows the table is cards
				require.Empty(t, see[[]string](p, `(() => { const name = document.createRange(), out = [];
					for (const th of document.querySelectorAll('.scenario:not([hidden]) .changes thead th')) for (const word of th.textContent.matchAll(/[^\s-]+/g)) { name.setStart(th.firstChild, word.index); name.setEnd(th.firstChild, word.index + word[0].length); if (name.getClientRects().length > 1) out.push(word[0]); }
					return out; })()`), "a heading of the changes breaks within a word at %d pixels", width)
			}
			// Words of the strip and of the chart do not lie on each other.
			require.Empty(t, see[[]string](p, `['#strip-svg', '#curve-svg'].flatMap((id) => { const all = [...document.querySelectorAll(id + ' text')].map((e) => [e.textContent, e.getBoundingClientRect()]), out = [];
				all.forEach(([a, r], i) => all.slice(i + 1).forEach(([b, s]) => { if (r.left < s.right - 1 && s.left < r.right - 1 && r.top < s.bottom - 3 && s.top < r.bottom - 3) out.push(a + ' / ' + b); })); return out; })`), "at %d pixels", width)
		}
		p.do(chromedp.EmulateViewport(1400, 1000))
		p.settle()
	})
	p.run("why a curve counts nothing stands within the window", func(t *testing.T) {
		before := see[string](p, `JSON.stringify(['curve-line', 'curve-quantity'].map((id) => document.getElementById(id).value))`)
		for _, width := range []int{390, 768, 1024, 1280, 1366} {
			p.do(chromedp.EmulateViewport(int64(width), 1000))
			p.settle()
			found := see[struct {
				Reasons int
				Wide    []string
			}](p, `(() => {
				const line = document.getElementById('curve-line'), quantity = document.getElementById('curve-quantity'), sheet = document.querySelector('.curve-sheet'), out = { reasons: 0, wide: [] };
				const choose = (list, value) => { list.value = value; list.dispatchEvent(new Event('change')); };
				for (const one of [...line.options].map((o) => o.value)) {
					choose(line, one);
					for (const other of [...quantity.options].map((o) => o.value)) {
						choose(quantity, other);
						out.reasons += [...document.querySelectorAll('.readings td')].filter((e) => e.textContent.startsWith('not assessed: ')).length;
						const over = document.documentElement.scrollWidth - window.innerWidth, beside = document.querySelector('.readings').getBoundingClientRect().right - sheet.getBoundingClientRect().right;
						if (over > 0 || beside > 1) out.wide.push([one, other, over, beside].join(' '));
					}
				}
				return out;
			})()`)
			require.Positive(t, found.Reasons)
			require.Empty(t, found.Wide, "at %d pixels", width)
		}
		see[bool](p, fmt.Sprintf(`(([line, quantity]) => { for (const [id, value] of [['curve-line', line], ['curve-quantity', quantity]]) { const list = document.getElementById(id); list.value = value; list.dispatchEvent(new Event('change')); } return true; })(%s)`, before))
		p.do(chromedp.EmulateViewport(1400, 1000))
		p.settle()
	})
	p.run("on paper", func(t *testing.T) {
		printed, err := chromedp.Call(p.ctx, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: new(true)})
		require.NoError(t, err)
		require.Greater(t, len(regexp.MustCompile(`/Type\s*/Page\b`).FindAll(printed.Data, -1)), 3)
		p.settle()
	})
	p.run("light and dark have no fault of access", func(t *testing.T) {
		for _, scheme := range []string{"light", "dark"} {
			_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
				Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
			require.NoError(t, err)
			p.requireAccess(t)
		}
	})
	p.run("narrow windows have no fault of access", func(t *testing.T) {
		p.do(chromedp.EmulateViewport(390, 900))
		p.settle()
		p.requireAccess(t)
	})
}

// Names that look like markup stay text, also where they are links.
func TestScopePageOfHostileNamesInABrowser(t *testing.T) {
	t.Parallel()
	const hostile = `</script><img src=x onerror="window.broken = 1">`
	p := scopeOfRenamed(t, hostile)
	require.Equal(t, hostile+" at 170", see[string](p, `document.querySelector('.scenario h2').textContent`))
	p.do(chromedp.Click(`.beside tbody tr a`), chromedp.Click(`.sentences li a`))
	p.settle()
	require.True(t, strings.HasPrefix(see[string](p, `document.getElementById('line').selectedOptions[0].text`), hostile))
	p.press("strip", kb.Home)
	p.press("strip", kb.ArrowRight)
	require.Contains(t, see[string](p, `decodeURIComponent(location.hash)`), "/"+hostile+"/", "the address names the line")
	require.Equal(t, "undefined", see[string](p, `typeof window.broken`))
	require.Equal(t, 0, see[int](p, `document.querySelectorAll('img').length`))
}

func runQuietly(t *testing.T, args ...string) int {
	t.Helper()
	var said bytes.Buffer
	ended := run(t.Context(), args, &said, &said)
	if ended != exitDone {
		t.Log(said.String())
	}
	return ended
}

// scopeOfRenamed opens the page of a scenario named after its line, which has another name than in the demo.
func scopeOfRenamed(t *testing.T, line string) *browserPage {
	t.Helper()
	in, folder := island(t), t.TempDir()
	for _, layer := range in.layers {
		for _, f := range layer.Features {
			if f.Properties["line"] == "SD-132" {
				f.Properties["line"] = line
			}
		}
	}
	for _, sheet := range in.sheets {
		for _, row := range sheet {
			for i, cell := range row {
				if cell == "SD-132" {
					row[i] = line
				}
			}
		}
	}
	in.project = strings.ReplaceAll(in.project, "SD-132", "'"+line+"'") + "scenarios: [{name: '" + line + " at 170', lines: ['" + line + "'], set: {highest_voltage_kV: 170, lightning_level_kV: 750}}]\n"
	in.writeAll(t, folder)
	out := filepath.Join(folder, "out")
	require.Equal(t, exitDone, runQuietly(t, "scope", filepath.Join(folder, "audit.yaml"), "--headroom", "--out", out, "--as-of", "2026-01-01"))
	p := openFile(t, filepath.Join(out, "scope.html"))
	p.do(chromedp.Navigate(p.url))
	p.settle()
	return p
}

// A sentence is read from its name on the left to its end on the right though the name runs the other way, and a name
// without a place to break at stays on the page.
func TestScopePageOfNamesFromTheRightAndLongOnes(t *testing.T) {
	t.Parallel()
	p := scopeOfRenamed(t, "خط 132 الشمال")
	lefts := see[[]float64](p, `(() => { const text = document.querySelector('.sentences a').firstChild, at = (word) => { const r = document.createRange(), i = text.data.indexOf(word); r.setStart(text, i); r.setEnd(text, i + word.length); return r.getClientRects()[0].left; };
		return ['خط', ': ', ' structures'].map(at); })()`)
	require.Less(t, lefts[0], lefts[1])
	require.Less(t, lefts[1], lefts[2])

	p = scopeOfRenamed(t, strings.Repeat("L", 200))
	for _, width := range []int{390, 768, 1024, 1280, 1920} {
		p.do(chromedp.EmulateViewport(int64(width), 1000))
		p.settle()
		require.Empty(t, see[[]string](p, `[document.documentElement, ...document.querySelectorAll('main *, header *')].filter((e) => e.checkVisibility() && !e.closest('svg, .unseen, option, thead') && e.getBoundingClientRect().right > window.innerWidth + 1)
			.map((e) => e.tagName + '#' + e.id + '.' + e.className).slice(0, 5)`), "at %d pixels", width)
		require.LessOrEqual(t, see[int](p, `document.documentElement.scrollWidth - window.innerWidth`), 0, "at %d pixels", width)
	}
}
