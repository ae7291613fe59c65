package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// pageMeasure is what one page of one network takes in a browser: milliseconds, and bytes of its file.
type pageMeasure struct {
	name                  string
	bytes                 int64
	first, pan, zoom, one float64 // first view; a step of panning, one of zooming, and the longest of all steps
	heapMB                float64
}

// TestPageOfLargeNetworksInABrowser prints what first view, panning and zooming take on networks of many sizes, and holds the
// page to its size and to every line being there; DRYARC_HARD=1 adds a million structures. Times depend on the machine and on
// what else runs there, so that they are held to limits only under DRYARC_HARD=1.
func TestPageOfLargeNetworksInABrowser(t *testing.T) {
	folder := t.TempDir()
	linegen := filepath.Join(folder, "linegen")
	told, err := exec.Command("go", "build", "-o", linegen, "../linegen").CombinedOutput()
	require.NoError(t, err, "%s", told)
	sizes := []int{10_000, 100_000}
	hard := os.Getenv("DRYARC_HARD") != ""
	if hard {
		sizes = append(sizes, 1_000_000)
	}
	measured := []pageMeasure{measuredPage(t, "demo", demoProject)}
	for _, size := range sizes {
		project := filepath.Join(folder, strconv.Itoa(size))
		told, err := exec.Command(linegen, "--structures", strconv.Itoa(size), "--csv", project).CombinedOutput()
		require.NoError(t, err, "%s", told)
		measured = append(measured, measuredPage(t, fmt.Sprintf("%d structures", size), filepath.Join(project, "audit.yaml")))
		require.NoError(t, os.RemoveAll(project))
	}
	var table strings.Builder
	fmt.Fprintf(&table, "%-20s %10s %12s %8s %8s %10s %8s\n", "page", "kB", "first ms", "pan ms", "zoom ms", "longest ms", "heap MB")
	for _, m := range measured {
		fmt.Fprintf(&table, "%-20s %10d %12.0f %8.0f %8.0f %10.0f %8.0f\n", m.name, m.bytes/1000, m.first, m.pan, m.zoom, m.one, m.heapMB)
	}
	t.Logf("\n%s", table.String())
	for _, m := range measured {
		require.LessOrEqual(t, m.bytes, int64(8_000_000), m.name)
		if hard {
			require.LessOrEqual(t, m.first, 1500.0, m.name)
			require.LessOrEqual(t, max(m.pan, m.zoom), 50.0, m.name)
		}
	}
}

func measuredPage(t *testing.T, name, project string) pageMeasure {
	t.Helper()
	out := t.TempDir()
	stdout, stderr := &strings.Builder{}, &strings.Builder{}
	require.Equal(t, 0, run(t.Context(), []string{"audit", project, "--out", out, "--as-of", "2026-01-01", "--quiet"}, stdout, stderr), stderr)
	return measuredFile(t, name, out)
}

// measuredFile measures the page of a folder.
func measuredFile(t *testing.T, name, out string) pageMeasure {
	t.Helper()
	info, err := os.Stat(filepath.Join(out, "audit.html"))
	require.NoError(t, err)
	p := open(t, out)
	p.do(chromedp.EmulateViewport(1280, 720))
	start := time.Now()
	p.do(chromedp.Navigate(p.url))
	p.settle()
	m := pageMeasure{name: name, bytes: info.Size(), first: float64(time.Since(start).Milliseconds())}
	steps := func(keys string) (mean, longest float64) {
		both := see[[]float64](p, fmt.Sprintf(`new Promise((done) => {
			const map = document.getElementById('map'), keys = %s;
			let n = 0, all = 0, most = 0;
			const step = () => {
				if (n === 24) { done([all / n, most]); return; }
				const start = performance.now();
				map.dispatchEvent(new KeyboardEvent('keydown', { key: keys[n++ %% keys.length] }));
				requestAnimationFrame(() => setTimeout(() => { const took = performance.now() - start; all += took; most = Math.max(most, took); step(); }));
			};
			step();
		})`, keys))
		return both[0], both[1]
	}
	var longest float64
	m.pan, longest = steps(`['ArrowRight', 'ArrowDown', 'ArrowLeft', 'ArrowUp', 'ArrowLeft', 'ArrowRight']`)
	m.zoom, m.one = steps(`['+', '+', '+', '+', '-', '-', '+', '+', '-', '-', '-', '-']`)
	m.one = max(m.one, longest)
	m.heapMB = see[float64](p, `performance.memory.usedJSHeapSize / 1e6`)
	return m
}
