package main

import (
	"bytes"
	"fmt"
	"regexp"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// pdfPage is a page of a PDF with what it is made of, as Chromium writes it.
var pdfPage = regexp.MustCompile(`(?s)/Type /Page\n.*?endobj`)

// pagesWith prints the page with nothing visible but what a selector finds, and returns the pages on which there is text of it.
func (p *browserPage) pagesWith(t *testing.T, selector string, on paper) (pages []int) {
	t.Helper()
	see[bool](p, fmt.Sprintf(`(() => {
		const sheet = document.styleSheets[0], before = sheet.cssRules.length;
		for (const rule of ['@media print { body * { visibility: hidden !important } }', '@media print { %[1]s, %[1]s * { visibility: visible !important } }', '@page { @bottom-left { content: none } }']) sheet.insertRule(rule, sheet.cssRules.length);
		window.undo = () => { while (sheet.cssRules.length > before) sheet.deleteRule(before); };
		return true;
	})()`, selector))
	pdf, err := chromedp.Call(p.ctx, page.PrintToPDF, page.PrintToPDFParams{Landscape: new(true), PaperWidth: on.wide, PaperHeight: on.high})
	require.NoError(t, err)
	see[bool](p, `(window.undo(), true)`)
	for i, object := range pdfPage.FindAll(pdf.Data, -1) {
		if bytes.Contains(object, []byte("/Font")) {
			pages = append(pages, i+1)
		}
	}
	return pages
}

// On paper the legend of the map stands on the page of the map.
func TestLegendIsPrintedWithItsMap(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(t.Context(), []string{"audit", demoProject, "--out", out, "--as-of", "2026-03-31", "--quiet"}, &stdout, &stderr), stderr.String())
	p := open(t, out)
	p.do(chromedp.Navigate(p.url), chromedp.WaitVisible("#map-svg"))
	for _, on := range papers {
		drawn := p.pagesWith(t, "#map", on)
		require.Len(t, drawn, 1, "the map on %s", on.name)
		require.Equal(t, drawn, p.pagesWith(t, "#legend", on), "the legend on %s", on.name)
	}
}
