package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// browserPage is a page of dryarc open in a browser, and what the browser said of it.
type browserPage struct {
	t        *testing.T
	ctx      context.Context
	url      string
	console  []string
	requests []string
}

// open opens audit.html of a folder in a browser of its own. Where there is no browser the test is skipped.
func open(t *testing.T, folder string) *browserPage {
	t.Helper()
	return openFile(t, filepath.Join(folder, "audit.html"))
}

// openFile opens a page as open does.
func openFile(t *testing.T, file string) *browserPage {
	t.Helper()
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if found, err := exec.LookPath(name); err == nil && path == "" {
			path = found
		}
	}
	if path == "" {
		require.NotEqual(t, "true", os.Getenv("CI"), "chromium must be installed under CI")
		t.Skip("chromium is not installed, the page is not tried in a browser")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.UserDataDir(t.TempDir()))
	ctx, cancel := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	p := &browserPage{t: t, ctx: ctx, url: "file://" + filepath.ToSlash(file)}
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(1400, 1000)), "the first call starts the browser, which ends with its context")
	_, err := chromedp.Call(ctx, network.Enable, network.EnableParams{})
	require.NoError(t, err)
	done := make(chan struct{})
	console, requests := chromedp.Console(ctx), chromedp.Events(ctx, network.RequestWillBeSent)
	go func() {
		defer close(done)
		for m, err := range console {
			if err != nil {
				return
			}
			p.console = append(p.console, fmt.Sprint(m))
		}
	}()
	asked := make(chan struct{})
	go func() {
		defer close(asked)
		for e, err := range requests {
			if err != nil {
				return
			}
			p.requests = append(p.requests, e.Request.URL)
		}
	}()
	t.Cleanup(func() {
		cancel()
		<-done
		<-asked
		require.Empty(t, p.console, "the browser must have nothing to say")
		for _, url := range p.requests {
			require.True(t, strings.HasPrefix(url, p.url), "the page asked for %s", url)
		}
		require.NotEmpty(t, p.requests)
	})
	return p
}

func (p *browserPage) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, time.Minute)
	defer cancel()
	require.NoError(p.t, chromedp.Do(ctx, steps...))
}

// see evaluates an expression in the page.
func see[T any](p *browserPage, expression string) T {
	p.t.Helper()
	value, err := chromedp.Run(p.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	require.NoError(p.t, err, expression)
	return value
}

// run runs a part of a test on the page.
func (p *browserPage) run(name string, part func(t *testing.T)) {
	whole := p.t
	defer func() { p.t = whole }()
	whole.Run(name, func(t *testing.T) {
		p.t = t
		part(t)
	})
}

// settle waits until what was asked for is drawn.
func (p *browserPage) settle() {
	p.t.Helper()
	see[bool](p, `new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))`)
}

func (p *browserPage) text(id string) string {
	p.t.Helper()
	return see[string](p, fmt.Sprintf("document.getElementById(%q).textContent", id))
}

func (p *browserPage) attribute(id, name string) string {
	p.t.Helper()
	return see[string](p, fmt.Sprintf("String(document.getElementById(%q).getAttribute(%q))", id, name))
}

// press sends a key to an element as a keyboard does.
func (p *browserPage) press(id, keys string) {
	p.t.Helper()
	p.do(chromedp.Focus("#"+id), chromedp.KeyEvent(keys))
	p.settle()
}

func TestPageInABrowser(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	result := auditInto(t, demoProject, out)
	byCheck := map[string]int{}
	found := worstOfFindings(result)
	for _, e := range found {
		byCheck[e.Check]++
	}
	p := open(t, out)
	p.do(chromedp.Navigate(p.url))
	p.settle()
	all := fmt.Sprintf("%d findings", len(found))
	whole := fmt.Sprintf("%s of %d exceptions", all, len(result.Exceptions))
	require.Equal(t, whole, p.text("shown"))
	require.NotEmpty(t, see[string](p, `document.querySelector('#map-svg .route:not(.aside):not(.stretch)').getAttribute('d')`), "lines are drawn")
	require.NotEmpty(t, see[string](p, `document.querySelector('#map-svg > .mark-0').getAttribute('d')`), "shortfalls are drawn")

	p.run("filter by check", func(t *testing.T) {
		see[bool](p, `(() => { const s = document.getElementById('check'); s.value = [...s.options].find((o) => o.text.startsWith('Creepage of the string')).value;
			s.dispatchEvent(new Event('input', { bubbles: true })); return true; })()`)
		require.Equal(t, fmt.Sprintf("%d of %s", byCheck["creepage"], all), p.text("shown"))
		require.Equal(t, byCheck["creepage"], see[int](p, `document.getElementById('rows').children.length`))
		see[bool](p, `(() => { const s = document.getElementById('check'); s.value = ''; s.dispatchEvent(new Event('input', { bubbles: true })); return true; })()`)
		require.Equal(t, whole, p.text("shown"))
	})
	p.run("filter by severity", func(t *testing.T) {
		p.do(chromedp.Click(`input[name=severity][value="0"]`))
		require.NotContains(t, p.text("rows"), "shortfall")
		require.Contains(t, p.text("shown"), " of "+all)
		p.do(chromedp.Click(`input[name=severity][value="0"]`))
		require.Equal(t, whole, p.text("shown"))
	})
	p.run("filter by state", func(t *testing.T) {
		for state, count := range map[string]string{"0": whole, "1": "0 of " + all, "": whole} {
			see[bool](p, fmt.Sprintf(`(() => { const s = document.getElementById('state'); s.value = %q; s.dispatchEvent(new Event('input', { bubbles: true })); return true; })()`, state))
			require.Equal(t, count, p.text("shown"), "in a first run all is new")
		}
		see[bool](p, `(() => { const s = document.getElementById('state'); s.value = ''; s.dispatchEvent(new Event('input', { bubbles: true })); return true; })()`)
	})
	p.run("search", func(t *testing.T) {
		p.do(chromedp.SendKeys("#words", "tension-at-tee 23"))
		require.Equal(t, fmt.Sprintf("%d of %s", byCheck["tension-at-tee"], all), p.text("shown"))
		p.do(chromedp.SendKeys("#words", " nowhere"))
		require.Equal(t, "0 of "+all, p.text("shown"))
		see[bool](p, `(() => { const w = document.getElementById('words'); w.value = ''; return w.dispatchEvent(new Event('input', { bubbles: true })); })()`)
		require.Equal(t, whole, p.text("shown"))
	})
	p.run("sort", func(t *testing.T) {
		p.do(chromedp.Click(`th[data-key=place] button`))
		require.Equal(t, "ascending", see[string](p, `document.querySelector('th[data-key=place]').getAttribute('aria-sort')`))
		see[bool](p, `(() => { const s = document.getElementById('sort'); s.value = 'margin'; return s.dispatchEvent(new Event('input', { bubbles: true })); })()`)
		require.Contains(t, see[string](p, `document.querySelector('#rows td:nth-child(4)').textContent`), "margin −100.0 %", "where all is missing")
		require.Empty(t, see[string](p, `document.querySelector('th[aria-sort]') ? 'a heading' : ''`), "no heading stands for the order by margin")
		p.do(chromedp.Click(`th[data-key=order] button`))
		require.Equal(t, "1", see[string](p, `document.querySelector('#rows td').textContent`))
	})
	p.run("a row moves map and strip", func(t *testing.T) {
		e := found[4]
		p.do(chromedp.Click(`#rows tr:nth-child(5) td:nth-child(4)`))
		p.settle()
		require.Equal(t, "#e-"+e.ID, see[string](p, `location.hash`))
		require.Equal(t, "5", see[string](p, `document.querySelector('#rows [aria-current] td').textContent`))
		require.Contains(t, p.attribute("strip", "aria-valuetext"), "structure "+e.Structure)
		require.Contains(t, p.text("facts"), e.Reason)
		require.True(t, strings.HasPrefix(see[string](p, `document.getElementById('line').selectedOptions[0].text`), e.Line))
	})
	p.run("a click on the map chooses", func(t *testing.T) {
		e := found[4] // the row before this brought it to the middle of the map
		middle := see[[]float64](p, `(() => { const map = document.getElementById('map'); map.scrollIntoView({ block: 'center' }); const r = map.getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2]; })()`)
		p.do(chromedp.MouseClickXY(middle[0], middle[1]), chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, middle[0], middle[1]))
		p.settle()
		require.Equal(t, "#structure/"+url.PathEscape(e.Line)+"/"+url.PathEscape(e.Structure), see[string](p, `location.hash`))
		require.False(t, see[bool](p, `document.getElementById('tip').hidden`), "the pointer stands on a structure")
		require.Contains(t, p.text("tip"), e.Structure)
	})
	p.run("the strip steps from structure to structure", func(t *testing.T) {
		last := p.attribute("strip", "aria-valuemax")
		p.press("strip", kb.Home)
		require.Equal(t, "1", p.attribute("strip", "aria-valuenow"))
		p.press("strip", kb.ArrowRight)
		require.Equal(t, "2", p.attribute("strip", "aria-valuenow"))
		p.press("strip", kb.ArrowLeft)
		require.Equal(t, "1", p.attribute("strip", "aria-valuenow"))
		p.press("strip", kb.End)
		require.Equal(t, last, p.attribute("strip", "aria-valuenow"))
	})
	p.run("the map answers to the keyboard", func(t *testing.T) {
		route := `document.querySelector('#map-svg .route.chosen-line').getAttribute('d')`
		before := see[string](p, route)
		p.press("map", kb.ArrowRight)
		moved := see[string](p, route)
		require.NotEqual(t, before, moved)
		p.press("map", "-")
		require.NotEqual(t, moved, see[string](p, route))
	})
	p.run("links", func(t *testing.T) {
		p.do(chromedp.Navigate(p.url + "#DF-220/6%2F2"))
		p.settle()
		require.Contains(t, p.attribute("strip", "aria-valuetext"), "structure 6/2")
		p.do(chromedp.Navigate(p.url + "#e-" + found[2].ID))
		p.settle()
		require.Equal(t, "3", see[string](p, `document.querySelector('#rows [aria-current] td').textContent`))
	})
	p.run("narrow and wide windows leave the sentences room", func(t *testing.T) {
		for _, width := range []int64{390, 430, 520, 768, 1001, 1024, 1100, 1251, 1280, 1920} {
			p.do(chromedp.EmulateViewport(width, 1000))
			p.settle()
			require.LessOrEqual(t, see[int](p, `document.documentElement.scrollWidth - window.innerWidth`), 0, "the page is wider than a window of %d pixels: %v", width,
				see[[]string](p, `[...document.querySelectorAll('main *, header *')].filter((e) => e.getBoundingClientRect().right > window.innerWidth + 1 && !e.closest('svg')).map((e) => e.tagName + '#' + e.id + '.' + e.className).slice(0, 5)`))
			require.LessOrEqual(t, see[int](p, `(() => { const box = document.getElementById('scroll'); return box.scrollWidth - box.clientWidth; })()`), 0, "the table scrolls sideways at %d pixels", width)
			rems := see[float64](p, `document.querySelector('#rows td:nth-child(4)').getBoundingClientRect().width / parseFloat(getComputedStyle(document.documentElement).fontSize)`)
			require.GreaterOrEqual(t, rems, min(24, float64(width)/16-5), "the sentence at %d pixels", width)
		}
		p.do(chromedp.EmulateViewport(1280, 1000))
		p.settle()
		require.Empty(t, see[[]string](p, `(() => { const name = document.createRange(), out = [];
			for (const th of document.querySelectorAll('.keyed th')) for (const word of th.textContent.matchAll(/[^\s-]+/g)) { name.setStart(th.firstChild, word.index); name.setEnd(th.firstChild, word.index + word[0].length); if (name.getClientRects().length > 1) out.push(word[0]); }
			return document.querySelectorAll('.keyed th').length ? out : ['no criteria']; })()`), "a name of a criterion breaks within a word")
		p.do(chromedp.EmulateViewport(1400, 1000))
		p.settle()
	})
	p.run("job sheets", func(t *testing.T) {
		var found struct {
			Jobs []struct{ Line, Structure string }
		}
		raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(raw, &found))
		require.NotEmpty(t, found.Jobs)
		first := found.Jobs[0]
		p.do(chromedp.Navigate(p.url+"#"+url.PathEscape(first.Line)+"/"+url.PathEscape(first.Structure)), chromedp.Click("#sheet-one"))
		p.settle()
		require.Equal(t, 1, see[int](p, `document.querySelectorAll('.sheet').length`))
		require.Contains(t, p.text("sheets-list"), first.Structure)
		require.Equal(t, "none", see[string](p, `getComputedStyle(document.querySelector('main')).display`), "the sheets stand alone")
		p.requireAccess(t)
		p.do(chromedp.Click("#sheets-back"))
		require.NotEqual(t, "none", see[string](p, `getComputedStyle(document.querySelector('main')).display`))
		p.do(chromedp.Click("#sheets-all"))
		p.settle()
		require.Equal(t, len(found.Jobs), see[int](p, `document.querySelectorAll('.sheet').length`))
		printed, err := chromedp.Call(p.ctx, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: new(true)})
		require.NoError(t, err)
		require.Equal(t, len(found.Jobs), len(regexp.MustCompile(`/Type\s*/Page\b`).FindAll(printed.Data, -1)), "a sheet of paper for each job")
		p.do(chromedp.Click("#sheets-back"))
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
}

// requireAccess lets axe-core look at the page, where DRYARC_AXE names its file.
func (p *browserPage) requireAccess(t *testing.T) {
	t.Helper()
	path := os.Getenv("DRYARC_AXE")
	if path == "" {
		require.NotEqual(t, "true", os.Getenv("CI"), "DRYARC_AXE must name axe.min.js under CI")
		t.Skip("DRYARC_AXE does not name axe.min.js, the page is not looked at for faults of access")
	}
	axe, err := os.ReadFile(path)
	require.NoError(t, err)
	see[bool](p, string(axe)+"; true")
	found := see[[]string](p, `axe.run({ resultTypes: ['violations'] }).then((r) => r.violations.filter((v) => ['serious', 'critical', 'moderate'].includes(v.impact))
		.map((v) => v.id + ': ' + v.help + ' ' + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join(' | ')))`)
	require.Empty(t, found)
}

// Text of inputs that looks like markup or script stays text.
func TestPageOfHostileInputsInABrowser(t *testing.T) {
	t.Parallel()
	folder, out := t.TempDir(), t.TempDir()
	hostile := []string{`</script><script>window.broken = 1</script>`, `"><img src=x onerror="window.broken = 1">`, "שלום <b>", "🗼 \u202Ex\u2028", strings.Repeat("long ", 190)}
	var features []string
	for i, text := range hostile {
		for k := range 3 {
			properties, err := json.Marshal(map[string]any{"line": text, "structure": fmt.Sprintf("%s %d", text, k), "sequence": k, "ground_m": 10})
			require.NoError(t, err)
			features = append(features, fmt.Sprintf(`{"type": "Feature", "properties": %s, "geometry": {"type": "Point", "coordinates": [%g, %g]}}`,
				properties, 5+0.003*float64(k), 60+0.01*float64(i)+0.002*float64(k*k)))
		}
	}
	project := filepath.Join(folder, "audit.yaml")
	require.NoError(t, os.WriteFile(filepath.Join(folder, "s.geojson"), []byte(`{"type": "FeatureCollection", "features": [`+strings.Join(features, ",")+`]}`), 0o666))
	book := excelize.NewFile()
	require.NoError(t, book.SetSheetName("Sheet1", "Assemblies"))
	require.NoError(t, book.SetSheetRow("Assemblies", "A1", &[]string{"Line", "Structure", "Duty", "Unit", "Units per string"}))
	for i, text := range hostile[:4] {
		require.NoError(t, book.SetSheetRow("Assemblies", fmt.Sprintf("A%d", i+2), &[]string{text, text + " 0", "suspension", "U70BL", "9"}))
	}
	require.NoError(t, book.SaveAs(filepath.Join(folder, "register.xlsx")))
	require.NoError(t, os.WriteFile(project, []byte("title: '</title><script>window.broken = 1</script>'\nstructures: {file: s.geojson}\nregister: {file: register.xlsx}\n"), 0o666))
	result := auditInto(t, project, out)
	require.NotEmpty(t, result.Exceptions)

	p := open(t, out)
	p.do(chromedp.Navigate(p.url))
	p.settle()
	p.do(chromedp.Click(`#rows tr td:nth-child(4)`))
	for range len(hostile) {
		see[bool](p, `(() => { const s = document.getElementById('line'); s.selectedIndex = (s.selectedIndex + 1) % s.options.length; s.dispatchEvent(new Event('change')); return true; })()`)
		p.press("strip", kb.Home)
		p.press("strip", kb.ArrowRight)
	}
	require.Equal(t, "undefined", see[string](p, `typeof window.broken`))
	require.Equal(t, "</title><script>window.broken = 1</script>", see[string](p, `document.querySelector('h1').textContent`))
	require.Equal(t, 0, see[int](p, `document.querySelectorAll('img').length`))
	require.Contains(t, see[string](p, `document.getElementById('line').textContent`), "… (")
}

// The page of the real case opens and pans without making anybody wait; how long it takes is told, not required.
func TestAndesPageInABrowser(t *testing.T) {
	t.Parallel()
	folder := andesCase(t)
	out := t.TempDir()
	result := auditInto(t, filepath.Join(folder, "audit.yaml"), out)
	info, err := os.Stat(filepath.Join(out, "audit.html"))
	require.NoError(t, err)
	require.Less(t, info.Size(), int64(6_000_000))

	p := open(t, out)
	start := time.Now()
	p.do(chromedp.Navigate(p.url))
	p.settle()
	opened := time.Since(start)
	require.Regexp(t, fmt.Sprintf(`^%d findings( of \S+ exceptions)?, rows 1 to 200$`, len(worstOfFindings(result))), p.text("shown"))
	step := func(key string) float64 {
		return see[float64](p, fmt.Sprintf(`new Promise((done) => {
			const map = document.getElementById('map'), start = performance.now();
			let n = 0;
			const step = () => {
				if (n++ === 20) { done((performance.now() - start) / 20); return; }
				map.dispatchEvent(new KeyboardEvent('keydown', { key: %q }));
				requestAnimationFrame(() => setTimeout(step));
			};
			step();
		})`, key))
	}
	t.Logf("page of %d kB, first view after %d ms, pan step %.0f ms, zoom step %.0f ms", info.Size()/1000, opened.Milliseconds(), step("ArrowRight"), step("+"))
	p.do(chromedp.Click("#page-on"))
	require.Equal(t, "201", see[string](p, `document.querySelector('#rows td').textContent`))
	p.requireAccess(t)
}
