package audit

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// FaultKind says what is wrong with an input.
type FaultKind uint8

// The kinds of fault. Those up to FigureSuperseded are of cells and rows, the rest of geometry.
const (
	MissingValue FaultKind = iota
	NotANumber
	OutOfRange
	UnknownWord
	UnknownUnit
	NoSuchLine
	NoSuchStructure
	DuplicateRow
	BadGeometry
	NoCachedValue
	Implausible // a figure that contradicts another of its row
	FigureSuperseded
	RepeatedPosition
	RepeatedNumber
	LongSpan
	SharpTurn
	SequenceGap
	OffRoute
	faultKinds
)

var faultKindNames = [faultKinds]string{
	"missing-value", "not-a-number", "out-of-range", "unknown-word", "unknown-unit", "no-such-line",
	"no-such-structure", "duplicate-row", "bad-geometry", "no-cached-value", "implausible", "superseded",
	"repeated-position", "repeated-number", "long-span", "sharp-turn", "sequence-gap", "off-route",
}

func (k FaultKind) String() string { return faultKindNames[k] }

// A Fault is something wrong with the inputs: not with the line (that is an Exception), not with the program
// (that is an error).
type Fault struct {
	Kind     FaultKind
	At       Source
	Key      string   // of a row of a query, which its number does not tell for long: its line and structure, or what else names it
	Column   string   // heading of the column, or name of the property; empty where the whole row is meant
	Value    string   // as written
	Expected string   // what was expected, or what follows from it
	Rows     int      // rows of which it is true, of which the first is named; 0 for one
	Also     []uint32 // the numbers of the others, as far as they are kept
	Weight   Weight
	Asks     OpenWord // what the project file may say the meaning of; nothing where it may not
	// ProjectLine is the line of the project file where the figure stands that is wrong of the row; 0 where it stands in the row.
	ProjectLine int
	ProjectFile string
}

// OpenWord is a word, or a name, of a list of those that the project file knows under words.
type OpenWord struct{ List, Text string }

// Weight says whether a fault matters to a verdict.
type Weight uint8

// The weights.
const (
	Matters  Weight = iota // something may not be judged for it
	ByTheWay               // no verdict rests on it, such as a date that cannot be read
)

func (w Weight) String() string { return [...]string{"matters", "by the way"}[w] }

// Where returns where the fault stands, in the form a spreadsheet user can follow: register.xlsx!Assemblies!F12.
func (f Fault) Where(tables []Table) string {
	if f.ProjectLine > 0 {
		return fmt.Sprintf("%s line %d", f.ProjectFile, f.ProjectLine)
	}
	table := tables[f.At.Table]
	switch letter, ok := table.Columns[f.Column]; {
	case f.At.Row == 0:
		return table.String()
	case ok:
		return fmt.Sprintf("%s!%s%d", table, letter, f.At.Row)
	}
	if f.Key != "" {
		return fmt.Sprintf("%s row %d (%s)", table, f.At.Row, f.Key)
	}
	return fmt.Sprintf("%s row %d", table, f.At.Row)
}

// Message is the fault in a sentence without its place.
func (f Fault) Message() string {
	var b strings.Builder
	if f.Column != "" {
		b.WriteString(strings.ToLower(f.Column) + " ")
	}
	if f.Value != "" || f.Kind != MissingValue {
		fmt.Fprintf(&b, "%q ", f.Value)
	}
	b.WriteString(f.Expected)
	if f.Rows > 1 {
		fmt.Fprintf(&b, " (%d rows, this is the first)", f.Rows)
	}
	return b.String()
}

// keptFaults is how many faults of one kind and column are listed; beyond it they are only counted.
const keptFaults = 10_000

// FaultCount is the exact number of faults of one kind, column and weight.
type FaultCount struct {
	Kind   FaultKind
	Column string
	Weight Weight
	Count  int
	Listed int // how many of them are in the list
}

// Faults collects what is wrong with the inputs. The zero value is ready; it is not safe for concurrent use.
type Faults struct {
	list     []Fault
	counts   []FaultCount
	gathered map[gathering]int // place in list
	keyOf    func(Source) string
	before   *Faults // of the project that this one is a copy of, as they were then: they tell how a cell of its rows is faulty
}

// copied are the faults of a copy of a project: none, but those that it was copied with are known.
func (f *Faults) copied() Faults {
	if len(f.counts) == 0 {
		return Faults{before: f.before}
	}
	return Faults{before: &Faults{list: slices.Clip(f.list), counts: slices.Clone(f.counts), before: f.before}}
}

// KeepKeys gives each fault that is added from now on, until it is told none, the key of its row, which may be empty.
func (f *Faults) KeepKeys(of func(Source) string) { f.keyOf = of }

// gathering is what the rows of one gathered fault have in common.
type gathering struct {
	kind        FaultKind
	table       uint16
	column, key string
}

// Add records a fault.
func (f *Faults) Add(fault Fault) {
	i := slices.IndexFunc(f.counts, func(c FaultCount) bool {
		return c.Kind == fault.Kind && c.Column == fault.Column && c.Weight == fault.Weight
	})
	if i < 0 {
		i = len(f.counts)
		f.counts = append(f.counts, FaultCount{Kind: fault.Kind, Column: fault.Column, Weight: fault.Weight})
	}
	f.counts[i].Count++
	if f.counts[i].Listed < keptFaults {
		if f.keyOf != nil && fault.Key == "" {
			fault.Key = f.keyOf(fault.At)
		}
		f.counts[i].Listed++
		f.list = append(f.list, fault)
	}
}

// areListed tells whether every fault is, and not only counted.
func (f *Faults) areListed() bool {
	return !slices.ContainsFunc(f.counts, func(c FaultCount) bool { return c.Listed < c.Count })
}

// Gather records a fault that many rows of a table have for one and the same reason, which the key tells from others of the column:
// it is one fault, named by its first row, with the number of the rows.
func (f *Faults) Gather(fault Fault, key string) {
	g := gathering{fault.Kind, fault.At.Table, fault.Column, key}
	if i, known := f.gathered[g]; known {
		gathered := &f.list[i]
		gathered.Rows = max(gathered.Rows, 1) + 1
		if len(gathered.Also) < keptFaults {
			gathered.Also = append(gathered.Also, fault.At.Row)
		}
		return
	}
	before := len(f.list)
	f.Add(fault)
	if len(f.list) == before {
		return
	}
	if f.gathered == nil {
		f.gathered = map[gathering]int{}
	}
	g.key = strings.Clone(key) // which may be a piece of a long row
	f.gathered[g] = before
}

// Merge adds the faults that another reader collected.
func (f *Faults) Merge(other *Faults) {
	for _, fault := range other.list {
		f.Add(fault)
	}
	for _, c := range other.counts {
		if cut := c.Count - c.Listed; cut > 0 {
			i := slices.IndexFunc(f.counts, func(d FaultCount) bool { return d.Kind == c.Kind && d.Column == c.Column && d.Weight == c.Weight })
			f.counts[i].Count += cut
		}
	}
}

// Withdraw takes the faults of a column of a table back, which something else says once for all of it.
func (f *Faults) Withdraw(table uint16, column string) {
	gone := func(fault Fault) bool { return fault.At.Table == table && fault.Column == column }
	for i := range f.counts {
		c := &f.counts[i]
		if c.Column != column {
			continue
		}
		of, left := 0, 0
		for _, fault := range f.list {
			if fault.Kind == c.Kind && fault.Column == column && fault.Weight == c.Weight {
				if of++; !gone(fault) {
					left++
				}
			}
		}
		if c.Listed = left; left == 0 {
			c.Count = 0 // those that are not listed come behind those that are
		} else {
			c.Count -= of - left
		}
	}
	f.list, f.gathered = slices.DeleteFunc(f.list, gone), nil // their places are others now
	f.counts = slices.DeleteFunc(f.counts, func(c FaultCount) bool { return c.Count == 0 })
}

// List returns the listed faults in the order of the inputs.
func (f *Faults) List() []Fault {
	out := slices.Clone(f.list)
	slices.SortStableFunc(out, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.At.Table, b.At.Table), cmp.Compare(a.At.Row, b.At.Row), cmp.Compare(a.Kind, b.Kind),
			cmp.Compare(a.Column, b.Column), cmp.Compare(a.Value, b.Value))
	})
	return out
}

// Counts returns the exact counts by kind and column, ordered by kind, then column.
func (f *Faults) Counts() []FaultCount {
	out := slices.Clone(f.counts)
	slices.SortFunc(out, func(a, b FaultCount) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Column, b.Column), cmp.Compare(a.Weight, b.Weight))
	})
	return out
}

// at finds the fault of a cell among those listed, and those that the project was copied with.
func (f *Faults) at(source Source, column string) (fault Fault, found bool) {
	i := slices.IndexFunc(f.list, func(fault Fault) bool {
		return strings.EqualFold(fault.Column, column) && (fault.At == source || fault.At.Table == source.Table && slices.Contains(fault.Also, source.Row))
	})
	switch {
	case i >= 0:
		return f.list[i], true
	case f.before != nil:
		return f.before.at(source, column)
	}
	return fault, false
}

// isWhole tells whether every fault is listed with all its rows, also of those that the project was copied with.
func (f *Faults) isWhole() bool {
	return (f.before == nil || f.before.isWhole()) && len(f.list) == f.Total() && !slices.ContainsFunc(f.list, func(fault Fault) bool { return fault.Rows > 1+len(fault.Also) })
}

// Mattering is the exact number of faults that matter to a verdict.
func (f *Faults) Mattering() int {
	n := 0
	for _, c := range f.counts {
		if c.Weight == Matters {
			n += c.Count
		}
	}
	return n
}

// Total is the exact number of faults.
func (f *Faults) Total() int {
	n := 0
	for _, c := range f.counts {
		n += c.Count
	}
	return n
}
