package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// emulate lets the browser take the page for what people see who ask for that: a scheme, forced colours, a finger, paper.
func (p *browserPage) emulate(media string, features ...*emulation.MediaFeature) {
	p.t.Helper()
	_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: media, Features: features})
	require.NoError(p.t, err)
	p.settle()
}

func (p *browserPage) touch(on bool) {
	p.t.Helper()
	_, err := chromedp.Call(p.ctx, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: on})
	require.NoError(p.t, err)
}

// choose sets a field of the filters as a person does.
func (p *browserPage) choose(id, value string) {
	p.t.Helper()
	see[bool](p, fmt.Sprintf(`(() => { const field = document.getElementById(%q); field.value = %q; return field.dispatchEvent(new Event('input', { bubbles: true })); })()`, id, value))
	p.settle()
}

// widerThanWindow names what reaches beyond the window, but for the figures of cohorts, which are moved within a box of their own that does not.
const widerThanWindow = `[...document.querySelectorAll('header *, main *')].filter((e) => e.getBoundingClientRect().right > document.documentElement.clientWidth + 1 && !e.closest('svg') && !e.closest('.unseen') && !e.closest('.cohorts .scroll > *'))
	.map((e) => e.tagName + '#' + e.id + '.' + e.className).slice(0, 5)`

func TestFindingsInABrowser(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	result := auditInto(t, demoProject, out)
	byCheck := map[string]int{}
	found := worstOfFindings(result)
	for _, e := range found {
		byCheck[e.Check]++
	}
	all := fmt.Sprintf("%d findings", len(found))
	whole := fmt.Sprintf("%s of %d exceptions", all, len(result.Exceptions))
	p := open(t, out)
	p.do(chromedp.EmulateViewport(1280, 720), chromedp.Navigate(p.url))
	p.settle()

	p.run("the first view tells what is wrong, what to do, and the first finding", func(t *testing.T) {
		for _, part := range []string{".headline", ".jobs li:nth-child(5)", "#bars li:nth-child(7)", ".ranked li:nth-child(4)", ".why"} {
			require.LessOrEqual(t, see[float64](p, fmt.Sprintf(`document.querySelector(%q).getBoundingClientRect().bottom`, part)), 720.0, part)
		}
		require.Equal(t, "", see[string](p, `location.hash`), "choosing at first leaves the address alone")
		require.Contains(t, p.text("facts"), found[0].Reason)
		require.Equal(t, "1", see[string](p, `document.querySelector('#rows [aria-current] td').textContent`))
		order := see[[]float64](p, `['.verdict strong', '.verdict .remedy', '#facts > :not(.wide)'].map((part) => document.querySelector('#facts').querySelector(part.replace('#facts > ', ':scope > ')).getBoundingClientRect().top)`)
		require.IsIncreasing(t, order, "the verdict, what mends it, then figures")
		p.requireAccess(t)
	})
	p.run("sentence and remedy have room at every width", func(t *testing.T) {
		for _, size := range [][2]int64{{390, 844}, {700, 900}, {701, 900}, {768, 1024}, {1024, 768}, {1250, 800}, {1251, 800}, {1280, 720}, {1366, 768}, {1920, 1080}} {
			p.do(chromedp.EmulateViewport(size[0], size[1]))
			p.settle()
			require.Empty(t, see[[]string](p, widerThanWindow), "at %d pixels", size[0])
			rems := see[float64](p, `document.querySelector('#rows td:nth-child(4)').clientWidth / parseFloat(getComputedStyle(document.documentElement).fontSize)`)
			least := 24.0
			if size[0] <= 700 {
				least = float64(size[0])/16 - 3
			}
			require.GreaterOrEqual(t, rems, least, "the sentence at %d pixels", size[0])
			require.NotEmpty(t, see[string](p, `document.querySelector('#rows td:nth-child(4) .remedy').textContent`))
			card := see[bool](p, `getComputedStyle(document.querySelector('#rows tr')).display === 'grid' && getComputedStyle(document.querySelector('.exceptions thead')).display === 'none'`)
			require.Equal(t, size[0] <= 700, card, "cards at %d pixels", size[0])
			stacked := see[bool](p, `document.getElementById('table').getBoundingClientRect().top >= document.getElementById('drawing').getBoundingClientRect().bottom - 1`)
			require.Equal(t, size[0] <= 1250, stacked, "stacked at %d pixels", size[0])
		}
		p.do(chromedp.EmulateViewport(1280, 720))
		p.settle()
	})
	p.run("a bar filters and takes that back, by pointer and by key", func(t *testing.T) {
		creepage := `#bars li[data-check="` + see[string](p, `[...document.querySelectorAll('#bars li')].find((li) => li.textContent.includes('Creepage of the string')).dataset.check`) + `"] button`
		p.do(chromedp.Click(creepage))
		p.settle()
		require.Equal(t, fmt.Sprintf("%d of %s", byCheck["creepage"], all), p.text("shown"))
		require.Contains(t, p.text("left"), fmt.Sprintf("%d findings left.", byCheck["creepage"]))
		require.Equal(t, byCheck["creepage"], see[int](p, `[...document.querySelectorAll('#rows .code')].filter((code) => code.textContent === 'creepage').length`))
		require.Equal(t, "true", see[string](p, `document.querySelector('`+creepage+`').getAttribute('aria-pressed')`))
		p.requireAccess(t)
		p.do(chromedp.Focus(creepage), chromedp.KeyEvent(kb.Enter))
		p.settle()
		require.Equal(t, whole, p.text("shown"))
	})
	p.run("nothing found says so and leads back", func(t *testing.T) {
		p.choose("words", "nowhere at all")
		require.Equal(t, "0 of "+all, p.text("shown"))
		require.Contains(t, p.text("nothing"), "Nothing found.")
		require.True(t, see[bool](p, `document.getElementById('csv').disabled`))
		p.requireAccess(t)
		p.do(chromedp.Click("#nothing button"))
		p.settle()
		require.Equal(t, whole, p.text("shown"))
		require.Equal(t, "table", see[string](p, `document.activeElement.id`), "the focus stays where the button was")
		require.Equal(t, whole, p.text("told"))
	})
	p.run("a structure without exceptions is found and chosen", func(t *testing.T) {
		with := map[string]bool{}
		for _, e := range result.Exceptions {
			with[e.Line+" "+e.Structure] = true
		}
		without := ""
		for i := 10; i < 60 && without == ""; i++ {
			if number := fmt.Sprintf("T-%03d", i); !with["SD-132 "+number] {
				without = number
			}
		}
		p.choose("words", "SD-132 "+without)
		require.Contains(t, p.text("nothing"), "see the structures above")
		require.Equal(t, "1 structure without exceptions:", p.text("places-told"))
		p.do(chromedp.Click("#places a"))
		p.settle()
		require.Equal(t, "#structure/SD-132/"+without, see[string](p, `location.hash`))
		require.Contains(t, p.text("facts"), "None. What could not be judged")
		p.do(chromedp.Click("#clear"))
		p.settle()
		require.Equal(t, whole, p.text("shown"))
	})
	p.run("back returns to the choice before, and a link to nothing says so", func(t *testing.T) {
		for _, row := range []string{"2", "4"} {
			p.do(chromedp.Click(`#rows tr:nth-child(` + row + `) td:nth-child(4)`))
			p.settle()
		}
		require.Equal(t, "#e-"+found[3].ID, see[string](p, `location.hash`))
		see[bool](p, `new Promise((done) => { addEventListener('hashchange', () => done(true), { once: true }); history.back(); })`)
		p.settle()
		require.Equal(t, "#e-"+found[1].ID, see[string](p, `location.hash`))
		require.Contains(t, p.text("facts"), found[1].Reason)
		see[bool](p, `new Promise((done) => { addEventListener('hashchange', () => done(true), { once: true }); location.hash = 'e-0123456789ab'; })`)
		require.Contains(t, p.text("not-here"), "The exception of the link is not on this page")
		require.False(t, see[bool](p, `document.getElementById('not-here').hidden`))
		p.requireAccess(t)
		p.do(chromedp.Click(`#rows tr td:nth-child(4)`))
		p.settle()
		require.True(t, see[bool](p, `document.getElementById('not-here').hidden`))
	})
	p.run("what is left goes into a file of values", func(t *testing.T) {
		folder := t.TempDir()
		_, err := chromedp.Call(p.ctx, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{Behavior: browser.SetDownloadBehaviorBehaviorAllow, DownloadPath: folder})
		require.NoError(t, err)
		p.choose("state", "0")
		p.choose("words", "creepage")
		left := see[int](p, `document.querySelectorAll('#rows tr').length`)
		p.do(chromedp.Click("#csv"))
		file := filepath.Join(folder, "findings-"+result.Run.ID+".csv")
		for range 100 {
			p.settle()
			if _, err := os.Stat(file); err == nil {
				break
			}
		}
		rows, err := os.ReadFile(file)
		require.NoError(t, err)
		require.Equal(t, left+1, strings.Count(string(rows), "\r\n"), "a heading and a row each")
		p.do(chromedp.Click("#clear"))
		p.settle()
	})
	p.run("targets of a finger are large enough", func(t *testing.T) {
		p.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile))
		p.touch(true)
		defer p.touch(false)
		p.settle()
		require.True(t, see[bool](p, `matchMedia('(pointer: coarse)').matches`))
		require.Empty(t, see[[]string](p, `[...document.querySelectorAll('.first :is(a, button, summary), #table :is(button, select, summary, label, td a, input[type=search])')]
			.filter((e) => e.checkVisibility()).map((e) => [e, e.getBoundingClientRect()]).filter(([, box]) => box.height < 44 - .5 || box.width < 24).map(([e, box]) => e.outerHTML.slice(0, 80) + ' ' + box.height).slice(0, 5)`))
		p.requireAccess(t)
		p.do(chromedp.EmulateViewport(1280, 720))
		p.settle()
	})
	p.run("dark, forced colours and paper", func(t *testing.T) {
		for _, feature := range []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}, {Name: "forced-colors", Value: "active"}} {
			p.emulate("", feature)
			p.requireAccess(t)
		}
		p.do(chromedp.Click("#rows tr td:nth-child(4)"))
		p.settle()
		p.emulate("print")
		require.Equal(t, "none", see[string](p, `getComputedStyle(document.querySelector('.row-tools')).display`))
		require.Empty(t, see[[]string](p, `[...document.querySelectorAll('.first > section')].flatMap((a, i, all) => all.slice(i + 1).map((b) => [a.getBoundingClientRect(), b.getBoundingClientRect()]))
			.filter(([a, b]) => a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1).map(([a]) => String(a.top))`), "what stands first lies on nothing")
		p.emulate("")
	})
}
