package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// cohortProject is a line of 60 structures in class c, a string of nine units on each: 30 of Vell, 20 of Hale, and of 10 nobody states make, year and condition.
func cohortProject(t *testing.T) (file string) {
	folder := t.TempDir()
	structures, register := "line,structure,sequence,lon,lat\n", "Line,Structure,Phase,Duty,Unit,Units per string,Defective units,Installed,Make\n"
	for i := range 60 {
		structures += fmt.Sprintf("L,%d,%d,%g,60\n", i, i, 5+0.003*float64(i))
		said := []string{fmt.Sprint(i % 3 / 2), fmt.Sprint(1990 + i%10), "Vell"}
		switch {
		case i >= 50:
			said = []string{"", "", ""}
		case i >= 30:
			said[0], said[2] = "0", "Hale <works>"
		}
		register += fmt.Sprintf("L,%d,A,suspension,U70BL,9,%s\n", i, strings.Join(said, ","))
	}
	file = filepath.Join(folder, "audit.yaml")
	for name, text := range map[string]string{"s.csv": structures, "Assemblies.csv": register,
		"audit.yaml": "structures: {file: s.csv}\nregister: {file: Assemblies.csv, carry: [Make]}\ncriteria: {default_class: c, cohort_years: 5}\n"} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o666))
	}
	return file
}

func TestCohortsOfThePageInABrowser(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	auditInto(t, cohortProject(t), out)
	p := open(t, out)
	p.do(chromedp.Navigate(p.url + "#cohorts-heading"))
	p.settle()
	rows := func() []string {
		return see[[]string](p, `[...document.querySelectorAll('.cohorts tbody tr')].filter((row) => !row.hidden).map((row) => [...row.cells].map((cell) => cell.textContent).join(' | '))`)
	}
	hale1, hale2 := "Hale <works> | U70BL | 1990–1994 | c | 90 | 90 | 0 | 0.0 | 0.0 to 40.9", "Hale <works> | U70BL | 1995–1999 | c | 90 | 90 | 0 | 0.0 | 0.0 to 40.9"
	vell1, vell2 := "Vell | U70BL | 1990–1994 | c | 135 | 135 | 5 | 37.0 | 15.9 to 83.8", "Vell | U70BL | 1995–1999 | c | 135 | 135 | 5 | 37.0 | 15.9 to 83.8"
	none := "not stated | U70BL | not stated | c | 90 | 0 | 0 | fewer than 30: no rate | "
	sheet := []string{hale1, hale2, vell1, vell2, none}
	require.Equal(t, sheet, rows())
	require.Less(t, see[float64](p, `Math.abs(document.getElementById('cohorts-heading').getBoundingClientRect().top)`), 1000.0, "the link leads there")
	require.True(t, see[bool](p, `document.getElementById('not-here').hidden`))

	heading := func(column int) string { return fmt.Sprintf(`.cohorts th:nth-child(%d) button`, column) }
	sorted := func() string {
		return see[string](p, `[...document.querySelectorAll('.cohorts th')].map((th) => th.getAttribute('aria-sort') || '').join('')`)
	}
	p.do(chromedp.Click(heading(8)))
	require.Equal(t, []string{hale1, hale2, vell1, vell2, none}, rows())
	require.Equal(t, "ascending", sorted())
	p.do(chromedp.Click(heading(8)))
	require.Equal(t, []string{vell1, vell2, hale1, hale2, none}, rows(), "what is not said stands last whichever way")
	require.Equal(t, "descending", sorted())
	p.do(chromedp.Click(heading(8)))
	require.Equal(t, sheet, rows(), "a third time: as the sheet has it")
	require.Empty(t, sorted())
	p.do(chromedp.Click(heading(5)), chromedp.Click(heading(5)))
	require.Equal(t, []string{vell1, vell2, hale1, hale2, none}, rows(), "by number, not by letter")

	p.do(chromedp.SendKeys("#cohort-words", "VELL 1995"))
	require.Equal(t, []string{vell2}, rows())
	require.Equal(t, "1 of 5 cohorts", p.text("cohorts-told"))
	p.do(chromedp.Click(heading(1)))
	require.Equal(t, []string{vell2}, rows(), "sorting shows nothing that is not looked for")
	see[bool](p, `(() => { const w = document.getElementById('cohort-words'); w.value = '"class d"'; return w.dispatchEvent(new Event('input', { bubbles: true })); })()`)
	require.Empty(t, rows())
	see[bool](p, `(() => { const w = document.getElementById('cohort-words'); w.value = ''; return w.dispatchEvent(new Event('input', { bubbles: true })); })()`)
	require.Len(t, rows(), 5)
	require.Equal(t, "5 cohorts", p.text("cohorts-told"))

	p.do(chromedp.EmulateViewport(390, 900))
	p.settle()
	require.LessOrEqual(t, see[int](p, `document.documentElement.scrollWidth - window.innerWidth`), 0, "the table scrolls in its box, and not the page")
	require.Less(t, see[float64](p, `document.querySelector('.cohorts tbody tr').getBoundingClientRect().height`), 80.0, "no word of a row breaks")
	p.do(chromedp.EmulateViewport(1400, 1000))
	p.run("light, dark and on paper", func(t *testing.T) {
		_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		require.NoError(t, err)
		require.Equal(t, []string{"none", "none", "visible"}, see[[]string](p, `[getComputedStyle(document.getElementById('cohort-words')).display, getComputedStyle(document.querySelector('.cohorts th button')).display, getComputedStyle(document.querySelector('.cohorts .scroll')).overflowX]`))
		require.Equal(t, "Make", see[string](p, `document.querySelector('.cohorts th').innerText.trim()`))
		for _, scheme := range []string{"light", "dark"} {
			_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
				Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
			require.NoError(t, err)
			p.requireAccess(t)
		}
	})
}
