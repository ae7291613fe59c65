package main

import (
	"cmp"
	"fmt"
	"io"
	"maps"
	"path"
	"slices"
	"text/tabwriter"
)

// tell prints what became of the mutants and whether enough were killed.
func tell(w io.Writer, o options, results []result, known equivalents, all []*mutant) bool {
	results = slices.Clone(results)
	slices.SortStableFunc(results, func(a, b result) int {
		return cmp.Or(cmp.Compare(a.file.shown, b.file.shown), cmp.Compare(a.line, b.line), cmp.Compare(a.key(), b.key()))
	})
	var equivalent, killed int
	fmt.Fprintln(w, "\nSurvived:")
	for _, r := range results {
		_, is := known[r.key()]
		switch {
		case r.killed:
			killed++
		case is:
			equivalent++
		case r.reached == 0:
			fmt.Fprintf(w, "%s\t[no test reaches it]\n", r)
		default:
			fmt.Fprintf(w, "%s\t[%d tests reach it]\n", r, r.reached)
		}
	}
	tellEquivalents(w, results, known, all)
	tellTable(w, "package", results, known, func(r result) string { return path.Dir(r.file.shown) })
	tellTable(w, "operator", results, known, func(r result) string { return r.operator })
	judged := len(results) - equivalent
	share := 100.0
	if judged > 0 {
		share = 100 * float64(killed) / float64(judged)
	}
	fmt.Fprintf(w, "\n%d killed, %d survived, %d make no difference: %.1f %% of %d killed, %g %% asked for\n",
		killed, judged-killed, equivalent, share, judged, o.atLeast)
	return share >= o.atLeast
}

// tellEquivalents lists the known survivors, and what of the list of them does not hold any more.
func tellEquivalents(w io.Writer, results []result, known equivalents, all []*mutant) {
	fmt.Fprintln(w, "\nSurvived and make no difference:")
	for _, r := range results {
		if reason, is := known[r.key()]; is && !r.killed {
			fmt.Fprintf(w, "%s\t%s\n", r, reason)
		}
	}
	there := map[string]bool{}
	for _, m := range all {
		there[m.key()] = true
	}
	fmt.Fprintln(w, "\nKnown to make no difference, but killed or not there any more:")
	for _, r := range results {
		if _, is := known[r.key()]; is && r.killed {
			fmt.Fprintf(w, "%s\tkilled by %s\n", r, r.by)
		}
	}
	for _, key := range slices.Sorted(maps.Keys(known)) {
		if !there[key] {
			fmt.Fprintf(w, "%s\tno such change\n", key)
		}
	}
}

// tellTable counts the mutants by a word of each.
func tellTable(w io.Writer, title string, results []result, known equivalents, of func(result) string) {
	type count struct{ killed, survived, equivalent int }
	counts := map[string]*count{}
	for _, r := range results {
		c := counts[of(r)]
		if c == nil {
			c = &count{}
			counts[of(r)] = c
		}
		_, is := known[r.key()]
		switch {
		case r.killed:
			c.killed++
		case is:
			c.equivalent++
		default:
			c.survived++
		}
	}
	fmt.Fprintln(w)
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(table, "%s\tkilled\tsurvived\tno difference\n", title)
	for _, word := range slices.Sorted(maps.Keys(counts)) {
		c := counts[word]
		fmt.Fprintf(table, "%s\t%d\t%d\t%d\n", word, c.killed, c.survived, c.equivalent)
	}
	_ = table.Flush() // it writes to stdout, whose failure nobody could be told
}
