package audit

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// repeat is a row of the register that is left out, since others name each phase of it, and that differs from one of them: what hangs
// there is one of the two, and every check judges both.
type repeat struct{ first, row uint32 } // in Project.Assemblies

// leaveOutDuplicates keeps one of the rows that name one phase of one line, structure, circuit, side and duty: that of the fewest phases, and
// of like ones the first. The second of a pair is counted as placed.
func (n *Network) leaveOutDuplicates() {
	kept := n.placed[:0]
	var d duplicates
	n.takePairs()
	for line := range n.Lines {
		l := &n.Lines[line]
		if n.isTaken(line) {
			n.takeFaults(ofRepeats, line)
			for i := l.First; i < l.End; i++ {
				rows := n.AssemblyRows(i)
				n.structures[i].firstAssembly = uint32(len(kept))
				kept = append(kept, rows...)
			}
			n.leftOut = append(n.leftOut, n.like.leftOutOf(l.First, l.End)...)
			continue
		}
		before, pairsBefore, listed := len(kept), len(n.pairs), len(n.Project.Faults.list)
		sidesStated := n.statesSides(l)
		d.byYears = n.criteriaOf(l).InsulatorFactor.asksInstalled()
		for i := l.First; i < l.End; i++ {
			n.countPhases(l, i)
			n.findBlankPhases(i)
			pairs := len(n.pairs)
			if !sidesStated {
				n.findPairs(l, i)
			}
			d.paired = n.pairs[pairs:]
			rows := n.AssemblyRows(i)
			n.structures[i].firstAssembly = uint32(len(kept))
			for len(rows) > 0 {
				next := 1
				for next < len(rows) && n.sameGroup(rows[0], rows[next]) {
					next++
				}
				kept = d.keep(n, kept, rows[:next])
				rows = rows[next:]
				for _, row := range d.later {
					n.leftOut = append(n.leftOut, leftOut{int32(i), row})
				}
			}
		}
		l.RowsPlaced = len(kept) - before + len(n.pairs) - pairsBefore
		n.found(ofRepeats, line, listed)
	}
	n.placed = kept
	slices.SortFunc(n.pairs, func(a, b pair) int { return cmp.Compare(a.first, b.first) })
	n.RowsPlaced = n.rowsOf(n.withSeconds(kept))
	n.countCrowds()
	slices.SortFunc(n.repeats, func(a, b repeat) int { return cmp.Or(cmp.Compare(a.first, b.first), cmp.Compare(a.row, b.row)) })
}

// withSeconds adds to rows those that are the second of a pair.
func (n *Network) withSeconds(rows []uint32) []uint32 {
	if len(n.pairs) == 0 {
		return rows
	}
	rows = slices.Clone(rows)
	for _, p := range n.pairs {
		rows = append(rows, p.second)
	}
	return rows
}

// sameGroup tells whether two rows are of one circuit and duty, of which one may repeat the other.
func (n *Network) sameGroup(a, b uint32) bool {
	x, y := n.Project.Assemblies.saidOf(a), n.Project.Assemblies.saidOf(b)
	return x.Circuit == y.Circuit && x.Duty == y.Duty
}

// KeyCells are the cells that tell one assembly from another at a structure.
const KeyCells = Cells(1<<CellPhase | 1<<CellCircuits | 1<<CellDuty | 1<<CellSide)

// duplicates finds which rows of a group repeat others. Its slices are reused.
type duplicates struct {
	first, later []uint32
	paired       []pair // at the structure at hand
	byYears      bool   // a factor goes by when what hangs on the line was installed
}

// keep appends the rows of one group but those of which others name each phase, and makes a fault of each of these. Of a row that shares
// some of its phases with others and has more, it is not known which phases it is of: it stays, with a fault, and answers for none of them.
// Which are which does not depend on the order of the register, but for rows that name the same.
func (d *duplicates) keep(n *Network, kept, rows []uint32) []uint32 {
	p := n.Project
	d.later = d.later[:0]
	if len(d.paired) == 0 && p.areApart(rows) {
		return append(kept, rows...)
	}
	d.first = append(d.first[:0], rows...)
	slices.SortFunc(d.first, func(a, b uint32) int {
		x, y := p.Assemblies.At(int(a)), p.Assemblies.At(int(b))
		return cmp.Or(narrowerFirst(&x, &y), unreadFirst(&x, &y), cmp.Compare(a, b))
	})
	firsts := d.first[:0]
	for _, r := range d.first {
		if isSecond(d.paired, r) {
			d.later = append(d.later, r)
			continue
		}
		row := p.Assemblies.At(int(r))
		repeats := ""
		different := false
		if p.doubtShared(r, firsts) {
			continue
		}
		for _, f := range firsts {
			first := p.Assemblies.At(int(f))
			if !p.samePhase(&first, &row) {
				continue
			}
			which := "an earlier"
			if f > r {
				which = "another"
			}
			if difference := p.difference(&first, &row); difference != "" {
				n.repeats = append(n.repeats, repeat{first: f, row: r})
				repeats, different = fmt.Sprintf("has %s row for this circuit, phase, side and duty (%s), which differs: %s; each check judges both and the worse verdict stands; this row is left out",
					which, p.rowInWords(first.Source, row.Source), difference), true
				continue
			}
			held := ""
			switch {
			case p.Inspections != nil && datedOtherwise(&first, &row):
				n.repeats = append(n.repeats, repeat{first: f, row: r})
				held = "; what inspections say is held against the days of both"
			case d.byYears && (first.Installed != row.Installed || first.Faulty.Has(CellRemarks) != row.Faulty.Has(CellRemarks)):
				n.repeats = append(n.repeats, repeat{first: f, row: r})
				held = "; it was installed on another day, by which an insulator factor goes, so that each check judges both and the worse verdict stands"
			}
			if !different {
				repeats = fmt.Sprintf("has %s row for this circuit, phase, side and duty, which is used; the row is left out%s", which, held)
			}
		}
		if repeats == "" {
			if p.sharesPhases(&row) { // of which there are as many as phases and sides, and no more
				firsts = append(firsts, r)
			}
			continue
		}
		if row.Duty == Tension && row.Side == NoSide {
			repeats += "; if the two are a set each way, state their sides"
		}
		d.later = append(d.later, r)
		p.Faults.Add(Fault{Kind: DuplicateRow, At: row.Source, Column: "Structure", Value: string(p.Texts.bytes(row.Number)), Expected: repeats})
	}
	slices.Sort(d.later)
	for _, r := range rows {
		if _, left := slices.BinarySearch(d.later, r); !left {
			kept = append(kept, r)
		}
	}
	return kept
}

// areApart tells that no two of some rows name a phase on a side in common, as most do not.
func (p *Project) areApart(rows []uint32) bool {
	var named [BothSides]Phases // by side
	for _, r := range rows {
		phases := p.Assemblies.saidOf(r).Phases
		for _, side := range p.Assemblies.ownOf(r).Side.each() {
			if named[side]&phases != 0 {
				return false
			}
			named[side] |= phases
		}
	}
	return true
}

// datedOtherwise tells whether two rows differ in days that inspections are held against. Days that cannot be read are noted with remarks.
func datedOtherwise(a, b *AssemblyRow) bool {
	return a.Installed != b.Installed || a.Inspected != b.Inspected || a.Faulty.Has(CellRemarks) != b.Faulty.Has(CellRemarks)
}

// narrowerFirst orders rows by how many phases they name; of like ones those of both sides come first, which others cannot make up for.
func narrowerFirst(a, b *AssemblyRow) int {
	oneSide := func(r *AssemblyRow) int {
		if r.Side == BothSides {
			return 0
		}
		return 1
	}
	return cmp.Or(cmp.Compare(a.Phases.Count(), b.Phases.Count()), cmp.Compare(a.Phases, b.Phases), cmp.Compare(oneSide(a), oneSide(b)))
}

// unreadFirst puts a row of which a cell cannot be read before others that name the same phases, whichever comes first in the register: the one that
// is kept is what other structures are compared with.
func unreadFirst(a, b *AssemblyRow) int {
	readable := func(r *AssemblyRow) int {
		if r.Faulty&^(KeyCells|1<<CellRemarks) != 0 {
			return 0
		}
		return 1
	}
	return cmp.Compare(readable(a), readable(b))
}

// doubtShared makes a fault of a row that shares phases with rows that are kept, and has others that none of them names: which phases it
// is of is not known.
func (p *Project) doubtShared(r uint32, kept []uint32) bool {
	row := p.Assemblies.At(int(r))
	var named [BothSides]Phases // by side
	with, shared := Source{}, false
	for _, k := range kept {
		other := p.Assemblies.At(int(k))
		if !p.samePhase(&other, &row) {
			continue
		}
		if !shared {
			with, shared = other.Source, true
		}
		for _, side := range other.Side.each() {
			named[side] |= other.Phases
		}
	}
	rest := Phases(0)
	for _, side := range row.Side.each() {
		rest |= row.Phases &^ named[side]
	}
	if !shared || rest == 0 {
		return false
	}
	doubted := p.Assemblies.Row(int(r))
	doubted.Faulty, doubted.Foreign = row.Faulty.With(CellPhase), row.Foreign|ForeignPhase
	p.Faults.Add(Fault{Kind: DuplicateRow, At: row.Source, Column: "Phase", Value: p.Symbols.Text(row.Phase),
		Expected: fmt.Sprintf("names a phase that %s names too for this circuit, side and duty, and others that no such row names: which phases this row is of is not known; it is judged, phase-missing is not assessed",
			p.rowInWords(with, row.Source))})
	return true
}

// samePhase tells whether two rows of a group name a phase on a side in common. What a faulty cell would have said is not
// known, two earth wires share no phase, and rows of a register without phases are a phase each.
func (p *Project) samePhase(a, b *AssemblyRow) bool {
	if p.leavesPhase(a) && p.leavesPhase(b) { // a phase each, as in a register without phases
		return false
	}
	return a.Side.Serves(b.Side) && a.Phases&b.Phases != 0 && p.sharesPhases(a) && p.sharesPhases(b)
}

// sharesPhases tells whether a row may share a phase with another.
func (p *Project) sharesPhases(r *AssemblyRow) bool {
	return r.Faulty&KeyCells == 0 && r.Phases != 0 && (r.Duty.CarriesPhase() || r.Phases != EveryPhase) && !p.namesNoPhase(r)
}

// repeatsOf lists the rows that repeat one and differ from it.
func (n *Network) repeatsOf(row uint32) []repeat {
	from, _ := slices.BinarySearchFunc(n.repeats, row, func(r repeat, want uint32) int { return cmp.Compare(r.first, want) })
	to := from
	for to < len(n.repeats) && n.repeats[to].first == row {
		to++
	}
	return n.repeats[from:to]
}

// rowInWords names a row, with its table where that is another than the reader's.
func (p *Project) rowInWords(of, from Source) string {
	if of.Table == from.Table {
		return fmt.Sprintf("row %d", of.Row)
	}
	return fmt.Sprintf("%s row %d", p.Tables[of.Table], of.Row)
}

// difference says in words how two rows differ in what a check may judge; empty where they do not.
func (p *Project) difference(first, later *AssemblyRow) string {
	var found []string
	differ := func(what string, cell Cell, a, b string) {
		a, b = p.asWritten(first, what, cell, a), p.asWritten(later, what, cell, b)
		if a != b {
			found = append(found, fmt.Sprintf("%s %s there, %s here", what, a, b))
		}
	}
	count := func(v int16) string {
		if v < 0 {
			return "blank"
		}
		return fmt.Sprint(v)
	}
	figure := func(v float64) string {
		if math.IsNaN(v) || v == 0 {
			return "blank"
		}
		return fmt.Sprintf("%g", v)
	}
	differ("arrangement", CellArrangement, cmp.Or(first.Arrangement, Single).String(), cmp.Or(later.Arrangement, Single).String())
	differ("V angle", CellArrangement, figure(float64(first.VAngleDeg)), figure(float64(later.VAngleDeg)))
	differ("mounting", CellMounting, cmp.Or(first.Mounting.String(), "blank"), cmp.Or(later.Mounting.String(), "blank"))
	differ("grading rings", CellMounting, cmp.Or(first.Rings.String(), "blank"), cmp.Or(later.Rings.String(), "blank"))
	unit := func(r *AssemblyRow) string { return cmp.Or(p.Makeups[r.Makeup].Text, "blank") }
	differ("unit", CellUnit, unit(first), unit(later))
	differ("units per string", CellUnitsPerString, count(first.UnitsPerString), count(later.UnitsPerString))
	differ("strings", CellStrings, count(first.Strings), count(later.Strings))
	differ("defective units", CellDefective, count(first.Defective), count(later.Defective))
	a, b := p.directOf(first), p.directOf(later)
	for _, v := range [...]struct {
		what string
		cell Cell
		a, b float64
	}{
		{"creepage", CellCreepage, a.CreepageMM, b.CreepageMM}, {"rating", CellRating, a.RatingKN, b.RatingKN},
		{"length", CellLength, a.LengthMM, b.LengthMM}, {"arcing", CellArcing, a.ArcingMM, b.ArcingMM},
		{"lightning withstand", CellTested, a.LightningKV, b.LightningKV}, {"switching withstand", CellLimits, a.SwitchingKV, b.SwitchingKV},
		{"wet withstand", CellTestedWet, a.WetKV, b.WetKV}, {"wet switching withstand", CellLimits, a.WetSwitchingKV, b.WetSwitchingKV},
		{"slip load", CellAttachment, a.SlipKN, b.SlipKN}, {"clamp rating", CellMounting, a.FittingsKN[Clamp], b.FittingsKN[Clamp]},
		{"yoke rating", CellMounting, a.FittingsKN[Yoke], b.FittingsKN[Yoke]}, {"ball and socket rating", CellMounting, a.FittingsKN[BallAndSocket], b.FittingsKN[BallAndSocket]},
	} {
		differ(v.what, v.cell, figure(v.a), figure(v.b))
	}
	return strings.Join(found, ", ")
}

// asWritten is the text of a cell of a row: as it was read, blank where it is, said to be unknown, which no blank is, else not readable. A set of
// faulty cells holds several columns as one; which of them is faulty, and how, the faults tell.
func (p *Project) asWritten(row *AssemblyRow, column string, cell Cell, read string) string {
	if !row.Faulty.Has(cell) {
		return read
	}
	switch fault, found := p.Faults.at(row.Source, column); {
	case found && fault.Kind == MissingValue && fault.Value == "":
		return "blank"
	case found && fault.Kind == MissingValue:
		return "unknown"
	case found, !p.Faults.isWhole():
		return "not readable"
	}
	return read
}

// directOf are the figures that a row states of its own.
func (p *Project) directOf(row *AssemblyRow) DirectValues { return p.directAt(row.Direct) }

func (p *Project) directAt(direct uint32) DirectValues {
	if figures := p.figuresAt(direct); figures != nil {
		return *figures
	}
	return UnknownDirectValues()
}

// Figures are the figures that a row states of its own, nil where it states none.
func (p *Project) Figures(row *AssemblyRow) *DirectValues { return p.figuresAt(row.Direct) }

func (p *Project) figuresAt(direct uint32) *DirectValues {
	switch at := int(direct) - 1; {
	case at < 0:
		return nil
	case at < len(p.Direct):
		return &p.Direct[at]
	default:
		return &p.Restated[at-len(p.Direct)]
	}
}

// AddFigures keeps what a row states in place of what was read, and returns what its Direct then is. Rows that follow each other mostly state
// the same, which is kept once.
func (p *Project) AddFigures(figures DirectValues) uint32 {
	if last := len(p.Restated) - 1; last >= 0 && p.Restated[last].Bits() == figures.Bits() {
		return uint32(len(p.Direct) + len(p.Restated))
	}
	p.Restated = append(p.Restated, figures)
	return uint32(len(p.Direct) + len(p.Restated))
}
