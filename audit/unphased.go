package audit

import (
	"fmt"
	"slices"
)

// A register without a column Phase says the phases of a circuit by the number of its rows: one row is all of them, k rows are
// the phases of a circuit that has k. Where they are neither, nobody can tell what hangs where.

// namesNoPhase tells whether a row stands in a table that has no column for its phase.
func (p *Project) namesNoPhase(row *AssemblyRow) bool {
	return row.Phases == EveryPhase && p.Tables[row.Source.Table].WithoutPhase
}

// leavesPhase tells whether a row says nothing of its phase, in a table with a column for it or not.
func (p *Project) leavesPhase(row *AssemblyRow) bool {
	return row.Phases == EveryPhase && row.Phase == 0 || p.namesNoPhase(row)
}

// phaseRows counts the rows of one circuit at one structure that are of a register without phases.
type phaseRows struct {
	first   Source
	rows    int
	unsided int
	sided   [Ahead + 1]int
	faulty  bool // what a faulty row is cannot be told
}

// add counts a row.
func (c *phaseRows) add(row *AssemblyRow) {
	if c.rows == 0 || row.Source.Row < c.first.Row {
		c.first = row.Source
	}
	c.rows++
	c.faulty = c.faulty || row.Faulty&KeyCells != 0
	if row.Duty.HasSides() {
		for _, side := range row.Side.each() {
			c.sided[side]++
		}
	} else {
		c.unsided++
	}
}

// fits tells whether the rows are the phases of the circuit: on each side that has any, one row or one for each phase.
// Rows without sides serve both.
func (c *phaseRows) fits(phases int) bool {
	if c.unsided <= 1 && c.sided[NoSide] <= 1 && c.sided[Back] <= 1 && c.sided[Ahead] <= 1 {
		return true
	}
	tension := c.sided[NoSide] + c.sided[Back] + c.sided[Ahead]
	if tension == 0 {
		return c.unsided == phases
	}
	for _, rows := range c.sided {
		if rows > 0 && rows+c.unsided != phases {
			return false
		}
	}
	return true
}

// countPhases finds the circuits at a structure whose rows name no phase and are not one for each: a fault, after which the
// phases of these rows are unknown.
func (n *Network) countPhases(line *Line, structure int) {
	p := n.Project
	for i := range line.Circuits {
		c := &line.Circuits[i]
		count := phaseRows{faulty: n.structures[structure].is(circuitUnread)} // one more may be of this circuit
		rows := n.circuitRows(structure, c.Symbol)
		for _, r := range rows {
			if p.Assemblies.saidOf(r).Phases != EveryPhase { // most rows, which name their phase
				continue
			}
			row := p.Assemblies.At(int(r))
			if (row.Duty.CarriesPhase() || row.Duty == DutyUnknown) && p.leavesPhase(&row) {
				count.add(&row)
			}
		}
		phases := line.phasesOf(c)
		if count.rows == 0 || !count.faulty && count.fits(phases) {
			continue
		}
		if !count.faulty {
			want := "nobody says how many phases it has; each row is judged, phase-missing is not assessed"
			if phases > 0 {
				want = fmt.Sprintf("expected one row for each of its %d phases, or one for all; each row is judged, phase-missing is not assessed", phases)
			}
			p.Faults.Add(Fault{Kind: MissingValue, At: count.first, Column: "Phase",
				Expected: fmt.Sprintf("is not stated, and circuit %s has %d rows here: %s", p.Symbols.Text(c.Symbol), count.rows, want)})
		}
		for _, r := range rows {
			if row := p.Assemblies.At(int(r)); p.leavesPhase(&row) {
				row.Faulty = row.Faulty.With(CellPhase)
				p.Assemblies.Set(int(r), row)
			}
		}
	}
}

// findBlankPhases finds the rows of a structure whose phase is blank, so that they are all of the circuit, beside others of the same
// circuit, duty and side that name phases. One of the two is not so: a fault, after which the phases of the blank row are unknown.
func (n *Network) findBlankPhases(structure int) {
	p, rows := n.Project, n.AssemblyRows(structure)
	isBlank := func(r uint32) bool {
		row := p.Assemblies.saidOf(r)
		return row.Phases == EveryPhase && !row.Faulty.Has(CellPhase)
	}
	if !slices.ContainsFunc(rows, isBlank) {
		return
	}
	var naming [BothSides + 1]uint32 // 1 + the first row of a circuit and duty on each side that names phases
	for first, end := 0, 0; first < len(rows); first = end {
		clear(naming[:])
		for end = first; end < len(rows) && n.sameGroup(rows[first], rows[end]); end++ {
			if row := p.Assemblies.At(int(rows[end])); row.Phases != EveryPhase && naming[row.Side] == 0 && p.sharesPhases(&row) {
				naming[row.Side] = 1 + rows[end]
			}
		}
		for _, r := range rows[first:end] {
			if !isBlank(r) {
				continue
			}
			row := p.Assemblies.At(int(r))
			for _, first := range naming { // which are in the order of their sides, as the rows are
				if first == 0 {
					continue
				}
				named := p.Assemblies.At(int(first - 1))
				if !p.samePhase(&row, &named) {
					continue
				}
				row.Faulty = row.Faulty.With(CellPhase)
				p.Assemblies.Set(int(r), row)
				p.Faults.Add(Fault{Kind: MissingValue, At: row.Source, Column: "Phase",
					Expected: fmt.Sprintf("is blank, though %s names phases of circuit %s here: which phases this row is of is not known; it is judged, phase-missing is not assessed",
						p.rowInWords(named.Source, row.Source), p.Symbols.Text(row.Circuit))})
				break
			}
		}
	}
}

// phasesOf is how many phases a circuit has; of a line that is taken as three-phase it is three where nobody names them. 0
// where it is unknown.
func (l *Line) phasesOf(c *Circuit) int {
	switch {
	case c.Phases != EveryPhase:
		return c.Phases.Count()
	case !l.Row.System.ThreePhase():
		return 0
	}
	return usualPhases
}

// MayLackPhases tells whether a circuit may have more phases than those that the register names: they are fewer than the three of
// a three-phase line, and nobody states them.
func (l *Line) MayLackPhases(named Phases) bool {
	return l.Row.Phases == 0 && l.Row.System.ThreePhase() && named != EveryPhase && named.Count() < usualPhases && named != onePhase(plus)|onePhase(minus)
}

// usualPhases is how many phases a line has that is taken as three-phase.
const usualPhases = 3
