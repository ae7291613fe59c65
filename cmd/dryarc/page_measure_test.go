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

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// pageMeasure is what one page of one network takes in a browser: milliseconds of the main thread's processor time, the median of
// milliseconds that passed, and bytes of its file.
type pageMeasure struct {
	name                             string
	bytes                            int64
	first, passed                    float64 // to the first view
	pan, panPassed, zoom, zoomPassed float64 // a step
	heapMB                           float64
}

// TestPageOfLargeNetworksInABrowser prints what first view, panning and zooming take on networks of many sizes, and holds the
// page to its size and to every line being there; DRYARC_HARD=1 adds a million structures. Limits hold for processor
// time, which what else runs on the machine changes least, and twice as much is let pass for a slower one but under DRYARC_HARD=1.
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
	fmt.Fprintf(&table, "%-20s %8s %18s %16s %16s %8s\n", "page", "kB", "first view ms", "pan step ms", "zoom step ms", "heap MB")
	for _, m := range measured {
		fmt.Fprintf(&table, "%-20s %8d %8.0f (%7.0f) %6.0f (%7.0f) %6.0f (%7.0f) %8.0f\n", m.name, m.bytes/1000, m.first, m.passed, m.pan, m.panPassed, m.zoom, m.zoomPassed, m.heapMB)
	}
	t.Logf("processor time of the main thread (time that passed)\n%s", table.String())
	slower := 2.0
	if hard {
		slower = 1
	}
	for _, m := range measured {
		require.LessOrEqual(t, m.bytes, int64(8_000_000), m.name)
		require.LessOrEqual(t, m.first, slower*1500, m.name)
		require.LessOrEqual(t, max(m.pan, m.zoom), slower*50, m.name)
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
	_, err = chromedp.Call(p.ctx, performance.Enable, performance.EnableParams{TimeDomain: performance.EnableTimeDomainThreadTicks})
	require.NoError(t, err)
	before, start := p.processorMS(), time.Now()
	p.do(chromedp.Navigate(p.url))
	p.settle()
	m := pageMeasure{name: name, bytes: info.Size(), first: p.processorMS() - before, passed: float64(time.Since(start).Milliseconds())}
	m.pan, m.panPassed = p.stepMS(`['ArrowRight', 'ArrowDown', 'ArrowLeft', 'ArrowUp', 'ArrowLeft', 'ArrowRight']`)
	m.zoom, m.zoomPassed = p.stepMS(`['+', '+', '+', '+', '-', '-', '+', '+', '-', '-', '-', '-']`)
	m.heapMB = see[float64](p, `performance.memory.usedJSHeapSize / 1e6`)
	return m
}

// processorMS is the processor time that the main thread of the page has taken.
func (p *browserPage) processorMS() float64 {
	p.t.Helper()
	found, err := chromedp.Call(p.ctx, performance.GetMetrics, cdp.Empty{})
	require.NoError(p.t, err)
	for _, m := range found.Metrics {
		if m.Name == "TaskDuration" {
			return 1000 * m.Value
		}
	}
	require.Fail(p.t, "the browser tells no TaskDuration")
	return 0
}

// stepMS presses keys on the map one after the other, each when the step before it is drawn.
func (p *browserPage) stepMS(keys string) (processor, passed float64) {
	p.t.Helper()
	const count = 24
	before := p.processorMS()
	passed = see[float64](p, fmt.Sprintf(`new Promise((done) => {
		const map = document.getElementById('map'), keys = %s, took = [];
		const step = () => {
			if (took.length === %d) { done(took.sort((a, b) => a - b)[took.length / 2]); return; }
			const start = performance.now();
			map.dispatchEvent(new KeyboardEvent('keydown', { key: keys[took.length %% keys.length] }));
			requestAnimationFrame(() => setTimeout(() => { took.push(performance.now() - start); step(); }));
		};
		step();
	})`, keys, count))
	return (p.processorMS() - before) / count, passed
}
