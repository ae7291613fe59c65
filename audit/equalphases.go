package audit

import (
	"fmt"
	"slices"
)

// phaseFamilies are the sets of names that the phases of a three-phase line go by (common practice).
var phaseFamilies = [...]string{"A,B,C", "R,Y,B", "R,S,T", "U,V,W", "L1,L2,L3", "1,2,3", "red,yellow,blue", "red,white,blue", "top,middle,bottom", "left,centre,right"}

// colourLetters are the colours of phases and the letters that stand for them.
var colourLetters = [...][2]string{{"red", "R"}, {"yellow", "Y"}, {"blue", "B"}, {"white", "W"}}

// matchPhases gives the rows of a line the names that it has for its phases where they have others that say the same: red for R,
// and a whole set such as L1,L2,L3, which is all of the circuit whatever each is called. Of other names it makes one fault: which
// phases their rows are of is then not known.
func (n *Network) matchPhases(line *Line) {
	phases := line.Row.Phases
	stated := phases != 0
	if !stated {
		if phases = n.lettersOfColours(line); phases == 0 {
			return
		}
	}
	p := n.Project
	foreign, first := 0, AssemblyRow{}
	for structure := line.First; structure < line.End; structure++ {
		for _, r := range n.AssemblyRows(structure) {
			if said := p.Assemblies.saidOf(r); said.Phases&^phases == 0 || said.Phases == EveryPhase || said.Faulty.Has(CellPhase) {
				continue
			}
			row := p.Assemblies.At(int(r))
			to := inNamesOf(phases, row.Phases)
			switch {
			case to != 0:
				n.equal.note(Equal{Line: line.Symbol, What: "phases", From: row.Phases.String(), To: to.String()}, 1)
				row.Phases = to
				p.Assemblies.Set(int(r), row)
			case stated && row.Duty != EarthWire && row.Duty != Guy:
				row.Faulty, row.Foreign = row.Faulty.With(CellPhase), row.Foreign|ForeignPhase
				p.Assemblies.Set(int(r), row)
				if foreign++; foreign == 1 || row.Source.Before(first.Source) {
					first = row
				}
			}
		}
	}
	if foreign == 0 {
		return
	}
	written := p.Symbols.Text(first.Phase)
	if written == "" {
		written = first.Phases.String()
	}
	p.Faults.Add(Fault{Kind: UnknownWord, At: first.Source, Column: "Phase", Value: written, Rows: foreign, Asks: OpenWord{"Phase", written},
		Expected: fmt.Sprintf("names no phases of line %q, which are %s by the sheet Lines; which its rows are of is not known, say so in the project file: words: {Phase: {%q: …}}",
			p.Symbols.Text(line.Symbol), phases, written)})
}

// inNamesOf are some phases by the names that a line has for its own; 0 where that cannot be told.
func inNamesOf(line, phases Phases) Phases {
	if to := inOtherColours(line, phases); to != 0 && to&^line == 0 && to.Count() == phases.Count() {
		return to
	}
	if isFamily(line) && isFamily(phases) {
		return line
	}
	return 0
}

func isFamily(phases Phases) bool {
	return slices.ContainsFunc(phaseFamilies[:], func(names string) bool {
		family, ok := ParsePhases(names)
		return ok && family == phases
	})
}

// inOtherColours writes colours as letters on a line whose phases are letters, and letters as colours where they are colours. A
// line is of colours where one of its phases is red.
func inOtherColours(line, phases Phases) (to Phases) {
	letters := line&onePhase("R") != 0
	if !letters && line&onePhase("red") == 0 {
		return 0
	}
	for _, pair := range colourLetters {
		colour, letter := onePhase(pair[0]), onePhase(pair[1])
		if phases&(colour|letter) == 0 {
			continue
		}
		phases &^= colour | letter
		if letters {
			to |= letter
		} else {
			to |= colour
		}
	}
	if phases != 0 {
		return 0
	}
	return to
}

// lettersOfColours are the letters of a line whose rows name phases by letters and by colours, where nobody states its phases; 0 where
// they do not.
func (n *Network) lettersOfColours(line *Line) Phases {
	var named Phases
	for structure := line.First; structure < line.End; structure++ {
		for _, r := range n.AssemblyRows(structure) {
			if row := n.Project.Assemblies.saidOf(r); row.Phases != EveryPhase && !row.Faulty.Has(CellPhase) {
				named |= row.Phases
			}
		}
	}
	colours := onePhase("red") | onePhase("yellow") | onePhase("blue") | onePhase("white")
	if named&onePhase("R") == 0 || named&colours == 0 {
		return 0
	}
	letters := named &^ colours
	for _, pair := range colourLetters {
		if named&onePhase(pair[0]) != 0 {
			letters |= onePhase(pair[1])
		}
	}
	return letters
}
