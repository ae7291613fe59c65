package read

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
)

// A column that says which rows are of things that no longer stand, or do not stand yet, is not read unless the project file says so.
// Where one has such words and nobody has answered what they mean, that is said: all its rows count as there.

// statusHeadings are what columns of that kind are called, goneWords what they say of what is not there (common practice).
var (
	statusHeadings = []string{"status", "condition", "state", "lifecycle", "estado", "etat", "zustand", "stato", "statut", "life cycle"}
	goneWords      = []string{"removed", "planned", "retired", "abandoned", "proposed", "decommissioned", "dismantled", "future", "demolished", "scrapped", "disused",
		"retirado", "desmontado", "planificado", "proyectado", "abandonado", "geplant", "demontiert", "ausser betrieb", "depose", "projete", "abandonne", "dismesso", "rimosso"}
)

// unreadStatus is a column of that kind with what its rows say.
type unreadStatus struct {
	index   int
	heading string
	values  []string
	gone    int // rows that say that it is not there
	first   audit.Source
	value   string // of the first
}

// NamesStatus tells whether a heading may say of what stands below it that it tells which rows are there: by all its words or by the last.
func NamesStatus(heading string) bool {
	words := headingWords(heading)
	return len(words) > 0 && (slices.Contains(statusHeadings, strings.Join(words, " ")) || slices.Contains(statusHeadings, words[len(words)-1]))
}

// findStatus finds the columns of an Assemblies sheet whose words may say that rows are of nothing that hangs.
func (s *sheetReader[R]) findStatus() {
	if s.name != assembliesSheet {
		return
	}
	for _, o := range s.shape.others {
		answered := slices.Contains(s.shape.only, o.index) || slices.Contains(s.shape.carried, o.index)
		if !answered && NamesStatus(o.heading) {
			s.status = append(s.status, unreadStatus{index: o.index, heading: o.heading})
		}
	}
}

// noteStatus notes what a row says there.
func (s *sheetReader[R]) noteStatus(at audit.Source) {
	const most = 6 // values that are named (a choice of this program)
	for i := range s.status {
		u := &s.status[i]
		text := s.other(u.index)
		if text == "" {
			continue
		}
		if text = excerpt(text); len(u.values) < most && !slices.Contains(u.values, text) {
			u.values = append(u.values, strings.Clone(text))
		}
		key := wordKey(withoutAccents(text))
		if !slices.ContainsFunc(goneWords, func(word string) bool { return wordKey(word) == key }) {
			continue
		}
		if u.gone++; u.gone == 1 {
			u.first, u.value = at, strings.Clone(text)
		}
	}
}

// sayStatus makes a fault and an assumption of each such column.
func (s *sheetReader[R]) sayStatus() {
	for _, u := range s.status {
		if u.gone == 0 {
			continue
		}
		var values []string
		for _, value := range u.values {
			values = append(values, strconv.Quote(value))
		}
		p := s.register.project
		p.Unread = append(p.Unread, fmt.Sprintf("The column %q of %s with values such as %s is not read; all rows count as there.", u.heading, p.Tables[s.found.table], strings.Join(values, ", ")))
		p.Faults.Add(audit.Fault{Kind: audit.UnknownWord, At: u.first, Column: u.heading, Value: u.value, Rows: u.gone,
			Expected: fmt.Sprintf("may say that nothing hangs there, and the column is not read, so all rows count as there; say in the project file which are read, by only: {%q: […]}, or that it says nothing of that, by carry: [%q]", u.heading, u.heading)})
	}
}
