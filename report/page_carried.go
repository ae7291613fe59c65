package report

import (
	"slices"
	"strings"

	"dryarc/audit"
)

// carried are the dates, the remarks and what is carried through of the findings, a column for each that has any text.
func (h *htmlPage) carried(t *texts) []carriedJSON {
	columns := []carriedJSON{}
	for _, name := range h.carriedNames() {
		columns = append(columns, carriedJSON{Name: h.cut(name)})
	}
	any := make([]bool, len(columns))
	for _, f := range h.findingsShown() {
		for i, text := range textsOfFinding(h.result, &f) {
			any[i] = any[i] || text != ""
			columns[i].Values.add(t.number(text))
		}
	}
	kept := columns[:0]
	for i, c := range columns {
		if any[i] {
			kept = append(kept, c)
		}
	}
	return kept
}

// textsOfFinding are the texts of all exceptions of a finding: of each column the different ones.
func textsOfFinding(r *audit.Result, f *audit.Finding) []string {
	var different [][]string
	for k, i := range f.Exceptions {
		texts := exceptionTexts(r, &r.Exceptions[i])
		if k == 0 {
			different = make([][]string, len(texts))
		}
		for c, text := range texts {
			if text != "" && !slices.Contains(different[c], text) {
				different[c] = append(different[c], text)
			}
		}
	}
	out := make([]string, len(different))
	for c := range different {
		out[c] = joined(different[c])
	}
	return out
}

// carriedInWords tells those of some texts that are not blank, with their names.
func carriedInWords(names, texts []string) string {
	var parts []string
	for i, text := range texts {
		if text != "" {
			parts = append(parts, names[i]+": "+text)
		}
	}
	return strings.Join(parts, "; ")
}
