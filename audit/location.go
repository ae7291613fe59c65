package audit

import "cmp"

// Location says where a subject is: what an exception, an error of a check and a derivation are about.
type Location struct {
	Line      int // in Network.Lines
	Structure int // in the network; −1 where the whole line is meant
	To        int // the far structure of a span or a section, else −1
	Assembly  int // in Project.Assemblies, else −1
	Circuit   Symbol
	Phase     Symbol // as written
	Side      Side
}

// AtLine is the location of a whole line.
func AtLine(line int) Location { return AtStructure(line, nowhere) }

// AtStructure is the location of a structure of a line.
func AtStructure(line, structure int) Location {
	return Location{Line: line, Structure: structure, To: nowhere, Assembly: nowhere}
}

// compareLocations orders locations along the lines, so that no two of one check are equal but those of one location.
func (n *Network) compareLocations(a, b *Location) int {
	return cmp.Or(n.comparePlaces(a, b), cmp.Compare(a.Assembly, b.Assembly))
}

// comparePlaces orders locations by what the inputs say of them, whatever the order of their rows.
func (n *Network) comparePlaces(a, b *Location) int {
	// Most are told apart by what is compared first.
	if c := cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Structure, b.Structure), cmp.Compare(a.To, b.To)); c != 0 {
		return c
	}
	return cmp.Or(n.compareSymbols(a.Circuit, b.Circuit), cmp.Compare(a.Side, b.Side), n.compareSymbols(a.Phase, b.Phase))
}

// compareSymbols orders symbols by their texts.
func (n *Network) compareSymbols(a, b Symbol) int {
	if a == b {
		return 0
	}
	return NaturalCompare(n.Project.Symbols.Text(a), n.Project.Symbols.Text(b))
}
