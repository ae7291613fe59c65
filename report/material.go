package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
)

// materialRow is what the work takes of one item, on one line or, where line is empty, on all.
type materialRow struct {
	item   string // unit or set
	name   string // type of the unit, or the set in words
	line   string
	at     int     // of the line, −1 for all
	each   float64 // NaN where not stated, and of sets
	amount         // of the jobs that are to be done
	// accepted is of the jobs that nobody is to do while a decision holds, in none of the other counts.
	accepted amount
}

// amount is how much of an item jobs take.
type amount struct {
	fit         int // the most
	remove      int // the most that is counted
	afterLook   int // to fit only if a look shows that it is needed; not in fit
	structures  int // where
	fewer       int // of fit: by so many it may be less
	removeFewer int // of remove: by so many it may be less
	uncounted   int // structures where how many are to be removed is not known
}

// price is that of what is to be fitted, NaN where it is not stated.
func (m *materialRow) price() float64 { return m.priceOf(m.fit) }

// priceAfterLook is that of what is to be fitted only if a look shows that it is needed.
func (m *materialRow) priceAfterLook() float64 { return m.priceOf(m.afterLook) }

func (m *materialRow) priceOf(count int) float64 {
	if count == 0 {
		return math.NaN()
	}
	return m.each * float64(count)
}

// notKnown says what of a row rests on counts that nobody knows.
func (m *materialRow) notKnown() string {
	return joinedLines(m.notKnownOf(&m.amount, ""), m.notKnownOf(&m.accepted, "accepted, "))
}

func (m *materialRow) notKnownOf(a *amount, of string) string {
	var words []string
	if a.fewer > 0 {
		words = append(words, fmt.Sprintf("%sto fit: %s to %s", of, grouped(a.fit-a.fewer), grouped(a.fit)))
		if price := priceRange(m.priceOf(a.fit), m.priceOf(a.fewer)); price != "" {
			words[0] += ", price " + price
		}
	}
	if a.removeFewer > 0 {
		words = append(words, fmt.Sprintf("%sto remove: %s to %s", of, grouped(a.remove-a.removeFewer), grouped(a.remove)))
	}
	if a.uncounted > 0 {
		words = append(words, fmt.Sprintf("%sto remove: count not known at %s", of, counted(a.uncounted, "structure", "structures")))
	}
	return strings.Join(words, "\n")
}

// materialRows gathers what jobs take: units before sets, by name; of each first all and then by line.
func materialRows(r *audit.Result, work []workRow) []materialRow {
	s := newMaterialSums(r)
	s.add(work)
	return s.rows()
}

type materialKey struct {
	item, name string
	line       int
}

// materialSums are what jobs take as they are gathered.
type materialSums struct {
	found  map[materialKey]*materialRow
	prices map[string]float64 // of units
}

func newMaterialSums(r *audit.Result) *materialSums {
	s := &materialSums{map[materialKey]*materialRow{}, map[string]float64{}}
	for i := range r.Project.Units {
		s.prices[r.Project.Units[i].Name] = r.Project.Units[i].Price
	}
	return s
}

func (s *materialSums) add(work []workRow) {
	for i := range work {
		w := &work[i]
		here, unsure := map[materialKey]bool{}, map[materialKey]bool{}
		note := func(item, name string, of amount, isUncounted bool) {
			for _, at := range [...]int{-1, w.job.Line} {
				k := materialKey{item, name, at}
				m := s.found[k]
				if m == nil {
					m = &materialRow{item: item, name: name, at: at, each: math.NaN()}
					if at >= 0 {
						m.line = w.line
					}
					if price, known := s.prices[name]; known && item == unitItem {
						m.each = price
					}
					s.found[k] = m
				}
				a := &m.amount
				if w.said.Aside {
					a = &m.accepted
				}
				a.fit, a.remove, a.afterLook, a.fewer, a.removeFewer = a.fit+of.fit, a.remove+of.remove, a.afterLook+of.afterLook, a.fewer+of.fewer, a.removeFewer+of.removeFewer
				if isUncounted && !unsure[k] {
					a.uncounted++
					unsure[k] = true
				}
				if !here[k] {
					a.structures++
				}
				here[k] = true
			}
		}
		for _, c := range w.fit {
			note(unitItem, c.Unit, amount{fit: c.Count, fewer: countOf(w.fewer, c.Unit)}, false)
		}
		for _, c := range w.remove {
			note(unitItem, c.Unit, amount{remove: c.Count, removeFewer: countOf(w.removeFewer, c.Unit)}, false)
		}
		for _, c := range w.afterLook.fit {
			note(unitItem, c.Unit, amount{afterLook: c.Count}, false)
		}
		for _, name := range w.uncountedTypes() {
			note(unitItem, name, amount{}, true)
		}
		for k := range w.job.Remedies {
			x := &w.job.Remedies[k]
			for i := range x.Changes {
				switch c := &x.Changes[i]; {
				case c.Sets == 0:
				case x.Unregistered || c.RowsContradict:
					note(setItem, x.To.Duty.String()+", "+c.To.String(), amount{afterLook: c.Sets}, false)
				default:
					note(setItem, x.To.Duty.String()+", "+c.To.String(), amount{fit: c.Sets}, false)
				}
			}
		}
	}
}

// rows are units before sets, by name; of each first all and then by line.
func (s *materialSums) rows() []materialRow {
	rows := make([]materialRow, 0, len(s.found))
	for _, m := range s.found {
		rows = append(rows, *m)
	}
	slices.SortFunc(rows, func(a, b materialRow) int {
		return cmp.Or(-cmp.Compare(a.item, b.item), cmp.Compare(a.name, b.name), cmp.Compare(a.at, b.at))
	})
	return rows
}

// uncountedTypes are the types of units of which nobody knows how many are to be removed, each once.
func (w *workRow) uncountedTypes() (types []string) {
	for i := range w.job.Remedies {
		x := &w.job.Remedies[i]
		for k := range x.Changes {
			for _, name := range x.Changes[k].Uncounted {
				if !slices.Contains(types, name) {
					types = append(types, name)
				}
			}
		}
	}
	return types
}

// The items of material.
const (
	unitItem = "unit"
	setItem  = "set"
)
