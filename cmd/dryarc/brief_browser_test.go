package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// paper is a size of paper in inches.
type paper struct {
	name       string
	wide, high float64
}

var papers = []paper{{"A4", 210 / 25.4, 297 / 25.4}, {"Letter", 8.5, 11}}

// pagesOf is how many pages a PDF has, as Chromium writes it.
func pagesOf(pdf []byte) int {
	return len(regexp.MustCompile(`/Type\s*/Page\b[^s]`).FindAll(pdf, -1))
}

// The brief prints on two pages of A4 and of Letter, whatever the names, and nothing in it lies on anything else or is cut off.
func TestBriefPrintsOnTwoPages(t *testing.T) {
	t.Parallel()
	projects := map[string]string{"demo": demoProject, "long names": longNames(t)}
	if cases := os.Getenv("DRYARC_CASES"); cases != "" {
		projects["real case"] = filepath.Join(cases, "andes", "audit.yaml")
	}
	for name, project := range projects {
		t.Run(name, func(t *testing.T) {
			out := t.TempDir()
			var stdout, stderr bytes.Buffer
			require.Equal(t, exitDone, run(t.Context(), []string{"audit", project, "--out", out, "--as-of", "2026-03-31", "--also", "brief", "--quiet"}, &stdout, &stderr), stderr.String())
			p := openFile(t, filepath.Join(out, "brief.html"))
			p.do(chromedp.Navigate(p.url), chromedp.WaitReady("main"))
			for _, on := range papers {
				background := true
				pdf, err := chromedp.Call(p.ctx, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: on.wide, PaperHeight: on.high, PrintBackground: &background})
				require.NoError(t, err)
				require.Equal(t, 2, pagesOf(pdf.Data), on.name)
				if folder := os.Getenv("DRYARC_BRIEF"); folder != "" { // to look at
					require.NoError(t, os.WriteFile(filepath.Join(folder, strings.ReplaceAll(name, " ", "-")+"-"+on.name+".pdf"), pdf.Data, 0o666))
				}
			}
			p.requireSheets(t)
			require.Zero(t, see[int](p, `document.scripts.length`))
			for _, media := range []string{"print", ""} {
				_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: media})
				require.NoError(t, err)
				p.run("access, media "+media, func(t *testing.T) { p.requireAccess(t) })
			}
			p.do(chromedp.EmulateViewport(390, 844))
			require.LessOrEqual(t, see[int](p, `document.documentElement.scrollWidth`), 390, "on a phone")
			require.Empty(t, see[[]string](p, `(() => {`+boxesApart+`return wrong; })()`), "on a phone")
		})
	}
}

// requireSheets holds of the sheets as they are printed that each box lies in its sheet, holds what is in it, and lies on no other; and of the map
// that no text lies on another.
func (p *browserPage) requireSheets(t *testing.T) {
	t.Helper()
	_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	require.NoError(t, err)
	require.Empty(t, see[[]string](p, `(() => {`+boxesApart+`
		const map = document.querySelector('.map > svg').getBoundingClientRect();
		if (map.height < 180) wrong.push('the map is ' + map.height + ' px high');
		for (const text of document.querySelectorAll('.map text')) {
			const b = text.getBoundingClientRect();
			if (b.left < map.left - 0.5 || b.right > map.right + 0.5 || b.top < map.top - 0.5 || b.bottom > map.bottom + 0.5) wrong.push(name(text) + ' leaves the map');
		}
		return wrong;
	})()`))
	_, err = chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: ""})
	require.NoError(t, err)
}

// boxesApart notes under wrong which boxes lie on others, leave their sheet or are too small for what is in them.
const boxesApart = `
		const wrong = [], name = (e) => (e.className.baseVal ?? e.className) + ' ' + e.textContent.trim().slice(0, 40);
		const apart = (list, slack) => list.forEach((a, i) => list.slice(i + 1).forEach((b) => {
			const x = a.getBoundingClientRect(), y = b.getBoundingClientRect();
			if (Math.min(x.right, y.right) - Math.max(x.left, y.left) > slack && Math.min(x.bottom, y.bottom) - Math.max(x.top, y.top) > slack) wrong.push(name(a) + ' lies on ' + name(b));
		}));
		for (const sheet of document.querySelectorAll('.sheet')) {
			const s = sheet.getBoundingClientRect(), boxes = [...sheet.querySelectorAll(':scope > .box')];
			apart(boxes, 0.5);
			for (const box of boxes) {
				const b = box.getBoundingClientRect();
				if (b.bottom > s.bottom + 0.5 || b.right > s.right + 0.5 || b.left < s.left - 0.5) wrong.push(name(box) + ' leaves its sheet');
				if (box.scrollWidth > box.clientWidth + 1 || box.scrollHeight > box.clientHeight + 1) wrong.push(name(box) + ' is larger than its room');
			}
		}
		apart([...document.querySelectorAll('.map text')], 0.8);
		apart([...document.querySelectorAll('tbody td, tbody th')], 0.5);
`

// longNames is a project whose title, lines and structures have names as long as any that people write, with blanks and without.
func longNames(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	lines := []string{
		"Circuit number four of the northern interconnector from the hydro station above the second reservoir to the transformer yard by the old harbour",
		strings.Repeat("NORTHERNINTERCONNECTOR", 5),
		strings.Repeat("北部連系送電線", 9),
		"Interconnexion à 220 kV du poste de répartition de Saint-Étienne-du-Rouvray au poste client de la société d'électrolyse",
	}
	var features []string
	var register, facts strings.Builder
	register.WriteString("Line,Structure,Duty,Unit,Units per string\n")
	facts.WriteString("Line,Nominal voltage (kV),Phases,Circuits\n")
	for i, line := range lines {
		fmt.Fprintf(&facts, "%q,220,ABC,1\n", line)
		for k := range 30 {
			structure := fmt.Sprintf("tower with two crossarms, number %d of the section behind the river", k+1)
			properties, err := json.Marshal(map[string]any{"line": line, "structure": structure, "sequence": k, "ground_m": 10})
			require.NoError(t, err)
			features = append(features, fmt.Sprintf(`{"type": "Feature", "properties": %s, "geometry": {"type": "Point", "coordinates": [%g, %g]}}`,
				properties, 5+0.004*float64(k), 60+0.02*float64(i)+0.001*float64(k%3)))
			duty, units := "suspension", 4+k%9
			if k%10 == 9 {
				duty = "tension"
			}
			fmt.Fprintf(&register, "%q,%q,%s,U120B,%d\n", line, structure, duty, units)
		}
	}
	project := "title: " + strings.Repeat("Screening of the insulators of all lines of the northern district and of those it shares with others, ", 3) + "\n" +
		"structures: {file: structures.geojson}\nregister: {file: [assemblies.csv, lines.csv]}\ncriteria: {default_class: d, deviation_limit_deg: 2}\n"
	for name, content := range map[string]string{"audit.yaml": project, "assemblies.csv": register.String(), "lines.csv": facts.String(),
		"structures.geojson": `{"type": "FeatureCollection", "features": [` + strings.Join(features, ",") + `]}`} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(content), 0o666))
	}
	return filepath.Join(folder, "audit.yaml")
}
