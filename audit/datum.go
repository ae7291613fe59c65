package audit

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit/basis"
)

// Datum is what keeps most assemblies from being judged: a reason on one type of unit, on rows, structures or lines, or in the criteria, or
// what is faulty in the inputs.
type Datum struct {
	Check  int // with most of them
	Reason Reason
	Unit   string // of a reason that a unit lacks; empty where the assemblies name none
	Lines  []int  // of a reason that no unit lacks: on which it keeps any back
	Rows   int    // so many assemblies of theirs, at so many structures
	Places int
	Faulty string // what is faulty, such as unit MYSTERY, or a cell of the row of a line, where the reason is that; then Unit is empty
	Count  int    // verdicts that it keeps back
	Checks int    // of how many checks they are
}

// keptBack counts verdicts that something keeps back, by their checks.
type keptBack []int

func (h keptBack) total() (n int) {
	for _, count := range h {
		n += count
	}
	return n
}

func (h keptBack) fill(d *Datum) {
	d.Count, d.Check, d.Checks = h.total(), 0, 0
	for i, n := range h {
		if n > 0 {
			d.Checks++
		}
		if n > h[d.Check] {
			d.Check = i
		}
	}
}

// heldBy are verdicts by what keeps them back.
type heldBy[K comparable] map[K]keptBack

func (b heldBy[K]) add(key K, check, checks, n int) {
	if b[key] == nil {
		b[key] = make(keptBack, checks)
	}
	b[key][check] += n
}

// largest is what keeps most back, the first in order of equals.
func largest[K cmp.Ordered](b heldBy[K]) (most K, found bool) {
	for _, key := range slices.Sorted(maps.Keys(b)) {
		if !found || b[key].total() > b[most].total() {
			most, found = key, true
		}
	}
	return most, found
}

// DatumThatJudgesMost finds the one for which most would follow: what is faulty that keeps most verdicts on assemblies back, or the reason
// that keeps most back; where that is of units, on the one that most of these hang on. A reason does not count on assemblies whose unit nobody
// knows, since stating it would judge none of them, nor one that no datum mends. Count is 0 where there is none.
func (r *Result) DatumThatJudgesMost(ctx context.Context) (most Datum, err error) {
	reasons := heldBy[Reason]{}
	for i, c := range r.Coverage {
		for _, reason := range c.Reasons {
			if r.Checks[i].Of == OfAssembly && reason.Outcome == NotAssessed && reason.Reason.AskedBy() == "" && (reason.Reason == FaultyField || lackedBy[reason.Reason].of != LackedByNothing) {
				reasons.add(reason.Reason, i, len(r.Checks), reason.Count)
			}
		}
	}
	if len(reasons) == 0 {
		return most, nil
	}
	faulty, err := r.heldByFaults(ctx, reasons)
	if err != nil {
		return most, err
	}
	delete(reasons, FaultyField)
	if what, found := largest(faulty); found {
		most = Datum{Reason: FaultyField, Faulty: what}
		faulty[what].fill(&most)
	}
	reason, found := largest(reasons)
	if !found || reasons[reason].total() <= most.Count {
		return most, nil
	}
	if lackedBy[reason].of != LackedByUnit {
		held, err := r.heldBeyondUnits(ctx, reason, reasons[reason])
		if err == nil && held.Count > most.Count {
			most = held
		}
		return most, err
	}
	units, err := r.heldByUnits(ctx, reason, reasons[reason])
	if err != nil {
		return most, err
	}
	if unit, found := largest(units); found && units[unit].total() > most.Count {
		most = Datum{Reason: reason, Unit: unit}
		units[unit].fill(&most)
	}
	return most, nil
}

// heldByFaults counts the verdicts on assemblies that something faulty keeps back, by what that is, and takes what stands for other reasons
// on assemblies of an unknown unit away from these.
func (r *Result) heldByFaults(ctx context.Context, reasons heldBy[Reason]) (heldBy[string], error) {
	if reasons[FaultyField] == nil {
		return nil, nil
	}
	named, ofLines := r.Project.faultyRows(), r.faultyLines()
	found, hidden := make([]heldBy[string], len(r.Network.Lines)), make([]heldBy[Reason], len(r.Network.Lines))
	err := r.eachHeld(ctx, func(check int) bool {
		return slices.ContainsFunc(r.Coverage[check].Reasons, func(x ReasonCount) bool { return x.Outcome == NotAssessed })
	}, func(line int, s *Structure, a *Assembly) bool {
		return a.Faulty != 0 || a.UnitFaulty != 0 || ofLines[line] != "" && r.isFaultyByLine(line, s, a)
	}, func(line, _, check int, a *Assembly, reason Reason) {
		if found[line] == nil {
			found[line], hidden[line] = heldBy[string]{}, heldBy[Reason]{}
		}
		what := named[a.Source]
		if what == "" && a.UnitFaulty != 0 && a.Unit != nil {
			what = "unit " + a.Unit.Name
		}
		if a.Faulty == 0 && a.UnitFaulty == 0 {
			what = ofLines[line]
		}
		switch {
		case reason == FaultyField && what != "":
			found[line].add(what, check, len(r.Checks), 1)
		case reason != FaultyField && a.Faulty.Has(CellUnit):
			hidden[line].add(reason, check, len(r.Checks), 1)
		}
	})
	all := heldBy[string]{}
	for line := range found {
		for what, counts := range found[line] {
			for check, n := range counts {
				all.add(what, check, len(r.Checks), n)
			}
		}
		for reason, counts := range hidden[line] {
			for check, n := range counts {
				if reasons[reason] != nil {
					reasons.add(reason, check, len(r.Checks), -n)
				}
			}
		}
	}
	return all, err
}

// heldByUnits counts the verdicts that a reason keeps back on assemblies whose unit is not one that nobody knows, by their units.
func (r *Result) heldByUnits(ctx context.Context, reason Reason, of keptBack) (heldBy[string], error) {
	found := make([]heldBy[*basis.Unit], len(r.Network.Lines))
	err := r.eachHeldBy(ctx, reason, of, func(line, _, check int, a *Assembly) {
		if found[line] == nil {
			found[line] = heldBy[*basis.Unit]{}
		}
		found[line].add(a.Unit, check, len(r.Checks), 1)
	})
	all := heldBy[string]{}
	for line := range found {
		for unit, counts := range found[line] {
			name := ""
			if unit != nil {
				name = unit.Name
			}
			for check, n := range counts {
				all.add(name, check, len(r.Checks), n)
			}
		}
	}
	if named, some := largest(all); some && named == "" && len(all) > 1 { // a type of unit says more than none
		delete(all, "")
	}
	return all, err
}

// heldBeyondUnits counts the verdicts that a reason which no unit lacks keeps back on assemblies whose unit is not one that nobody knows, and on how
// many of these, at how many structures and on which lines it does.
func (r *Result) heldBeyondUnits(ctx context.Context, reason Reason, of keptBack) (Datum, error) {
	type held struct {
		counts       keptBack
		rows, places int
		structure    int
		row          Source
	}
	found := make([]held, len(r.Network.Lines))
	err := r.eachHeldBy(ctx, reason, of, func(line, structure, check int, a *Assembly) {
		h := &found[line]
		if h.counts == nil {
			h.counts, h.structure = make(keptBack, len(r.Checks)), -1
		}
		if h.counts[check]++; h.structure != structure {
			h.places++
		}
		if h.structure != structure || h.row != a.Source {
			h.rows++
		}
		h.structure, h.row = structure, a.Source
	})
	d, all := Datum{Reason: reason}, make(keptBack, len(r.Checks))
	for line := range found {
		h := &found[line]
		if h.counts == nil {
			continue
		}
		d.Lines, d.Rows, d.Places = append(d.Lines, line), d.Rows+h.rows, d.Places+h.places
		for check, n := range h.counts {
			all[check] += n
		}
	}
	all.fill(&d)
	return d, err
}

// eachHeld tells of each verdict on some assemblies by some checks that is not assessed though the project asks for it, lines beside each other.
// What it tells of is reused.
func (r *Result) eachHeld(ctx context.Context, by func(check int) bool, of func(line int, s *Structure, a *Assembly) bool, tell func(line, structure, check int, a *Assembly, reason Reason)) error {
	var checks []int
	for i, c := range r.Checks {
		if c.Of == OfAssembly && by(i) {
			checks = append(checks, i)
		}
	}
	return r.Network.eachLine(ctx, r.workers, func(line int) bool { return r.Lines[line].Assessed }, func(line int) {
		r.heldOn(line, checks, of, tell)
	})
}

// heldOn is eachHeld on one line.
func (r *Result) heldOn(line int, checks []int, of func(line int, s *Structure, a *Assembly) bool, tell func(line, structure, check int, a *Assembly, reason Reason)) {
	site := r.Network.NewSite(line, r.Checks, "what is not assessed")
	var a Assembly
	for i := r.Network.Lines[line].First; i < r.Network.Lines[line].End; i++ {
		site.MoveTo(i)
		for _, row := range r.Network.AssemblyRows(i) {
			a = site.Assembly(&TrialRow{At: int(row), Row: r.Project.Assemblies.At(int(row))})
			if !of(line, site.Structure(), &a) {
				continue
			}
			for _, check := range checks {
				if v := site.Put(check, &a, false); v.Outcome == NotAssessed && v.Reason.AskedBy() == "" {
					tell(line, i, check, &a, v.Reason)
				}
			}
		}
	}
}

// eachHeldBy tells of each verdict on assemblies whose unit is not one that nobody knows that a reason keeps back, by the checks of which it
// keeps any. On a line where it keeps back all verdicts of a check, or none, as its coverage tells, these are not sought again. What it tells of is reused.
func (r *Result) eachHeldBy(ctx context.Context, reason Reason, of keptBack, tell func(line, structure, check int, a *Assembly)) error {
	return r.Network.eachLine(ctx, r.workers, func(line int) bool { return r.Lines[line].Assessed }, func(line int) {
		var all, some []int
		for check, n := range of {
			if n == 0 {
				continue
			}
			switch c := &r.Lines[line].Coverage[check]; {
			case len(r.Network.repeats) > 0: // the coverage has what is worst of a row and those that repeat it
				some = append(some, check)
			case c.heldBy(reason) == 0:
			case c.heldBy(reason) == c.Meets+c.FallsShort+c.NotApplicable+c.NotAssessed:
				all = append(all, check)
			default:
				some = append(some, check)
			}
		}
		if len(some) == 0 {
			r.eachOf(line, all, tell)
			return
		}
		r.heldOn(line, append(all, some...), func(_ int, _ *Structure, a *Assembly) bool { return !a.Faulty.Has(CellUnit) }, func(line, structure, check int, a *Assembly, is Reason) {
			if is == reason {
				tell(line, structure, check, a)
			}
		})
	})
}

// heldBy counts the verdicts that are not assessed for a reason.
func (c *Coverage) heldBy(reason Reason) int {
	for _, r := range c.Reasons {
		if r.Outcome == NotAssessed && r.Reason == reason {
			return r.Count
		}
	}
	return 0
}

// eachOf tells of every assembly of a line whose unit is not one that nobody knows, once for each check.
func (r *Result) eachOf(line int, checks []int, tell func(line, structure, check int, a *Assembly)) {
	if len(checks) == 0 {
		return
	}
	var alike alikeStrings[Assembly]
	for i := r.Network.Lines[line].First; i < r.Network.Lines[line].End; i++ {
		for _, row := range r.Network.AssemblyRows(i) {
			a := r.Network.assemblyLike(&alike, row)
			if a.Faulty.Has(CellUnit) {
				continue
			}
			for _, check := range checks {
				tell(line, i, check, a)
			}
		}
	}
}

// faultyRows says of rows what is faulty in them, such as unit MYSTERY: of the faults of a row the one that holds for most.
func (p *Project) faultyRows() map[Source]string {
	rows, weight := map[Source]string{}, map[Source]int{}
	for _, f := range p.Faults.List() {
		if f.Weight != Matters || f.Column == "" || f.At.Row == 0 {
			continue
		}
		what := strings.TrimSpace(strings.ToLower(f.Column) + " " + cmp.Or(f.Asks.Text, f.Value))
		for k := range len(f.Also) + 1 {
			at := f.At
			if k > 0 {
				at.Row = f.Also[k-1]
			}
			if f.Rows >= weight[at] {
				rows[at], weight[at] = what, f.Rows
			}
		}
	}
	return rows
}

// faultyLines says of each line what is faulty in its row of the sheet Lines, empty for nothing: the cell, or how many there are.
func (r *Result) faultyLines() []string {
	texts := make([]string, len(r.Network.Lines))
	for l := range texts {
		line := &r.Network.Lines[l]
		if line.Row.Faulty == 0 || line.Row.Source == (Source{}) {
			continue
		}
		var columns []string
		for i := range r.Project.Faults.list {
			f := &r.Project.Faults.list[i]
			if f.Weight != Matters || f.Column == "" || f.At.Row == 0 || !f.isOf(line.Row.Source) || slices.Contains(columns, f.Column) {
				continue
			}
			columns = append(columns, f.Column)
			texts[l] = strings.TrimSpace(f.Column+" "+f.Value) + " of line " + r.Project.Symbols.Text(line.Symbol)
		}
		if len(columns) > 1 {
			texts[l] = "row of line " + r.Project.Symbols.Text(line.Symbol) + " on the sheet Lines (" + strconv.Itoa(len(columns)) + " cells)"
		}
	}
	return texts
}

// isFaultyByLine tells whether what is faulty for an assembly can be nothing but the row of its line: neither its own row nor that of its unit, of its
// structure, of what stands beside that, or of its conductor.
func (r *Result) isFaultyByLine(line int, s *Structure, a *Assembly) bool {
	return a.Faulty == 0 && a.UnitFaulty == 0 && s.Faulty == 0 && !s.CourseFaulty && !s.HeightsFaulty && !s.TeeFaulty &&
		!s.ConductorFaulty && r.Network.Lines[line].ConductorFaulty == 0
}
