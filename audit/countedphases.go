package audit

import (
	"fmt"
	"slices"
)

// doubtPhaseCounts finds the circuits of a line whose phases are all called 3, or 1, 2 and 3 but at each structure by one of these:
// that may be a phase of this name, or how many phases the row is of. Which is not known: one fault for the line. A phase that cannot be
// read may be a 3, of any circuit where that cannot be read either.
func (n *Network) doubtPhaseCounts(line *Line) {
	p := n.Project
	three := onePhase("3")
	counts := onePhase("1") | onePhase("2") | three
	if !slices.ContainsFunc(n.placedOn(line), func(r uint32) bool {
		row := p.Assemblies.saidOf(r)
		return row.Faulty.Has(CellPhase) || row.Phases != EveryPhase && row.Phases&three != 0
	}) {
		return
	}
	named, known := map[Symbol]Phases{}, map[Symbol]bool{} // by circuit; known by more than a number that may be a count
	open, openToAny := map[Symbol]bool{}, false            // whether a row may name 3
	for structure := line.First; structure < line.End; structure++ {
		here := map[Symbol]Phases{}
		for _, r := range n.AssemblyRows(structure) {
			row := p.Assemblies.saidOf(r)
			switch may := row.Faulty.Has(CellPhase) || row.Phases == three; {
			case may && row.Faulty.Has(CellCircuits):
				openToAny = true
			case may:
				open[row.Circuit] = true
			}
			if row.Phases == EveryPhase || row.Faulty&phaseCells != 0 {
				continue
			}
			here[row.Circuit] |= row.Phases
			named[row.Circuit] |= row.Phases
			if row.Phases&^counts != 0 || here[row.Circuit].Count() > 1 {
				known[row.Circuit] = true
			}
		}
	}
	doubted, first := 0, AssemblyRow{}
	for structure := line.First; structure < line.End; structure++ {
		for _, r := range n.AssemblyRows(structure) {
			said := p.Assemblies.saidOf(r)
			if said.Phases == EveryPhase || said.Faulty&phaseCells != 0 || known[said.Circuit] || !open[said.Circuit] && !openToAny && named[said.Circuit]&three == 0 {
				continue
			}
			row := p.Assemblies.At(int(r))
			row.Faulty, row.Foreign = row.Faulty.With(CellPhase), row.Foreign|ForeignPhase
			p.Assemblies.Set(int(r), row)
			if doubted++; doubted == 1 || row.Source.Before(first.Source) {
				first = row
			}
		}
	}
	if doubted == 0 {
		return
	}
	p.Faults.Add(Fault{Kind: UnknownWord, At: first.Source, Column: "Phase", Value: first.Phases.String(), Rows: doubted, Asks: OpenWord{"Phase", first.Phases.String()},
		Expected: fmt.Sprintf("is a number, and no structure of line %q names another phase beside it: it may name a phase or say how many there are; which is not known, say what it means in the project file, "+
			"such as words: {Phase: {\"3\": \"A,B,C\"}}", p.Symbols.Text(line.Symbol))})
}
