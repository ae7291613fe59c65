package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// rightward is a project whose lines, structures, circuits, units and places have names from the right, with figures in them and beside them.
func rightward(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	var features []string
	register, facts := strings.Builder{}, strings.Builder{}
	register.WriteString("Line,Structure,Circuit,Duty,Unit,Units per string,Remarks\n")
	facts.WriteString("Line,Nominal voltage (kV),Phases\n")
	for i, line := range []string{"קו 132 צפון", "خط الساحل 220", "Line 7 דרום"} {
		fmt.Fprintf(&facts, "%s,132,ABC\n", line)
		for k := range 12 {
			structure := fmt.Sprintf("%d/ב", k+1)
			properties, err := json.Marshal(map[string]any{"line": line, "structure": structure, "sequence": k, "ground_m": 10})
			require.NoError(t, err)
			features = append(features, fmt.Sprintf(`{"type": "Feature", "properties": %s, "geometry": {"type": "Point", "coordinates": [%g, %g]}}`,
				properties, 35+0.004*float64(k), 32+0.02*float64(i)+0.001*float64(k%3*(i/2)))) // the last line turns
			fmt.Fprintf(&register, "%s,%s,מעגל 1,suspension,מבודד 120,%d,ראה 5\n", line, structure, 5+k%9)
		}
	}
	for name, content := range map[string]string{
		"audit.yaml": "title: T\nstructures: {file: s.geojson}\nplaces: {file: p.geojson}\n" +
			"register: {file: [assemblies.csv, lines.csv, units.csv]}\ncriteria: {default_class: d, deviation_limit_deg: 2}\n",
		"s.geojson":      `{"type": "FeatureCollection", "features": [` + strings.Join(features, ",") + `]}`,
		"p.geojson":      `{"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {"name": "כפר 7"}, "geometry": {"type": "Point", "coordinates": [35.01, 32.01]}}]}`,
		"assemblies.csv": register.String(), "lines.csv": facts.String(),
		"units.csv": "Unit,Kind,Rating (kN),Spacing (mm),Creepage (mm),Stocked\nמבודד 120,cap-and-pin,120,146,295,yes\n",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(content), 0o666))
	}
	return filepath.Join(folder, "audit.yaml")
}

// outOfOrder lists words and figures outside isolated names that stand left of the one before them on their line of text, and how many were looked at.
const outOfOrder = `((selector) => {
	const wrong = [], range = document.createRange();
	let looked = 0;
	for (const whole of document.querySelectorAll(selector)) {
		if (!whole.checkVisibility()) continue;
		const walk = document.createTreeWalker(whole, NodeFilter.SHOW_TEXT);
		let before = null;
		while (walk.nextNode()) {
			const node = walk.currentNode;
			if (node.parentElement.closest('bdi, .unseen, svg')) continue;
			const plain = node.data.replace(/\u2068[^\u2069]*\u2069/g, (name) => ' '.repeat(name.length));
			for (const word of plain.matchAll(/[A-Za-z0-9×.,:;]+/g)) {
				range.setStart(node, word.index); range.setEnd(node, word.index + word[0].length);
				const b = range.getClientRects()[0];
				if (!b) continue;
				if (before && Math.abs(b.top - before.top) < 3 && b.left < before.right - 1) wrong.push(before.word + ' then ' + word[0] + ' in ' + whole.textContent.slice(0, 80));
				before = { top: b.top, right: b.right, word: word[0] };
				looked++;
			}
		}
	}
	return looked > 20 ? wrong : ['hardly any words: ' + looked];
})`

// Whatever the names in them do, sentences of brief and page stand in their order from left to right.
func TestNamesFromTheRightKeepTheOrderOfSentences(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(t.Context(), []string{"audit", rightward(t), "--out", out, "--as-of", "2026-03-31", "--also", "brief", "--quiet"}, &stdout, &stderr), stderr.String())
	brief := openFile(t, filepath.Join(out, "brief.html"))
	brief.do(chromedp.EmulateViewport(1000, 1400), chromedp.Navigate(brief.url), chromedp.WaitReady("main"))
	for _, selector := range []string{".answer p, .jobs li", "tbody td"} {
		require.Empty(t, see[[]string](brief, outOfOrder+fmt.Sprintf("(%q)", selector)), "%s of the brief", selector)
	}
	require.Equal(t, []string{"כפר 7"}, see[[]string](brief, `[...document.querySelectorAll('.map text.place')].map((e) => e.textContent)`))
	brief.requireSheets(t)

	p := open(t, out)
	p.do(chromedp.EmulateViewport(1280, 720), chromedp.Navigate(p.url))
	p.settle()
	for _, selector := range []string{"#rows td", "#facts dd"} {
		require.Empty(t, see[[]string](p, outOfOrder+fmt.Sprintf("(%q)", selector)), "%s of the page", selector)
	}
	p.do(chromedp.Navigate(p.url + "#work-sheets"))
	p.settle()
	require.Empty(t, see[[]string](p, outOfOrder+`('.sheet li, .sheet p')`), "job sheets")
}
