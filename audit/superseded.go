package audit

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Superseded says which figures other inputs still state for what a line had before: for another voltage, another conductor. They are as
// little known as where they cannot be read, until they are stated anew and the row of the line does not name them any more.
type Superseded uint8

// What may be superseded.
const (
	ClearanceSuperseded Superseded = 1 << iota // the clearances that structures state for themselves
	LimitSuperseded                            // the deviation limits that structures state for themselves
	TensionSuperseded                          // the tensions that load cases give in kN, of the line's own conductor
	SlipSuperseded                             // the slip loads that assemblies state for themselves
	AllSuperseded       = ClearanceSuperseded | LimitSuperseded | TensionSuperseded | SlipSuperseded
)

// SupersededWords are the spellings of what the column Superseded figures names.
func SupersededWords() []Spelling[Superseded] {
	return []Spelling[Superseded]{
		{"clearance of structures", ClearanceSuperseded}, {"deviation limit of structures", LimitSuperseded}, {"tension of load cases", TensionSuperseded},
		{"slip load of assemblies", SlipSuperseded},
	}
}

// Has tells whether all of some figures are superseded.
func (s Superseded) Has(figures Superseded) bool { return s&figures == figures }

// String names the figures as a cell of the column does; empty for none.
func (s Superseded) String() string {
	var parts []string
	for _, w := range SupersededWords() {
		if s.Has(w.Value) {
			parts = append(parts, w.Text)
		}
	}
	return strings.Join(parts, "; ")
}

// StatesLimit tells whether a structure states a deviation limit of its own.
func (s *StructureRow) StatesLimit() bool { return !math.IsNaN(s.DeviationLimitDeg) }

// StatesClearance tells whether a structure states a clearance of its own, also of one load case.
func (p *Project) StatesClearance(s *StructureRow) bool {
	return s.Room > 0 && p.Rooms[s.Room-1].AsksClearance()
}

// supersedes tells which figures of a structure the row of its line calls superseded, of those that it states.
func (l *Line) supersedes(p *Project, s *StructureRow) (figures Superseded) {
	if l.Row.Superseded.Has(LimitSuperseded) && s.StatesLimit() {
		figures |= LimitSuperseded
	}
	if l.Row.Superseded.Has(ClearanceSuperseded) && p.StatesClearance(s) {
		figures |= ClearanceSuperseded
	}
	return figures
}

// SupersededAt tells which figures that a structure states are superseded on a line of it.
func (n *Network) SupersededAt(line, structure int) Superseded {
	row := n.row(structure)
	return n.Lines[line].supersedes(n.Project, &row)
}

// SupersededSomewhere is what rows of the sheet Lines call superseded that name no line of the layers: whichever line they are of, it is one
// without a row.
func (p *Project) SupersededSomewhere(isLine func(name Symbol) bool) Superseded {
	figures := p.SupersededUnnamed
	for i := range p.Lines {
		if !isLine(p.Lines[i].Line) {
			figures |= p.Lines[i].Superseded
		}
	}
	return figures
}

// tellSuperseded makes a fault of what the row of a line calls superseded and something else still states. Where the cell cannot be read
// that is a fault already.
func (n *Network) tellSuperseded(line *Line) {
	row, p := &line.Row, n.Project
	if row.Superseded == 0 || row.Source.Row == 0 || row.Faulty.Has(CellDeclared) {
		return
	}
	tell := func(figures Superseded, rests, until string) {
		p.Faults.Add(Fault{Kind: FigureSuperseded, At: row.Source, Column: "Superseded figures", Value: figures.String(),
			Expected: fmt.Sprintf("leaves open what rests on %s, until %s and the cell does not name it any more", rests, until)})
	}
	for _, of := range [...]struct {
		figures Superseded
		what    string
	}{{ClearanceSuperseded, "clearance"}, {LimitSuperseded, "deviation limit"}} {
		if named := n.statingSuperseded(line, of.figures); named != "" {
			tell(of.figures, fmt.Sprintf("the %s that structures of the line state for themselves (%s)", of.what, named), "it is stated anew")
		}
	}
	if row.Superseded.Has(SlipSuperseded) && n.statesSlip(line) {
		tell(SlipSuperseded, "the slip load that assemblies of the line state for themselves", "it is stated anew")
	}
	if row.Superseded.Has(TensionSuperseded) && n.criteriaOf(line).GivesTension() {
		tell(TensionSuperseded, "the tension that load cases give in kN", "they give that of the conductor of the line")
	}
}

// statingSuperseded names the first structures of a line that state a superseded figure, and counts the others; empty where none does.
func (n *Network) statingSuperseded(line *Line, figures Superseded) (named string) {
	const most = 6
	var names []string
	count := 0
	for i := line.First; i < line.End; i++ {
		if row := n.row(i); line.supersedes(n.Project, &row).Has(figures) {
			if count++; count <= most {
				names = append(names, n.Number(i))
			}
		}
	}
	if named = strings.Join(names, ", "); count > most {
		named += fmt.Sprintf(" and %d more", count-most)
	}
	return named
}

// statesSlip tells whether an assembly of a line states a slip load.
func (n *Network) statesSlip(line *Line) bool {
	for i := line.First; i < line.End; i++ {
		for _, r := range n.AssemblyRows(i) {
			if row := n.Project.Assemblies.saidOf(r); row.Direct > 0 && !math.IsNaN(n.Project.figuresAt(row.Direct).SlipKN) {
				return true
			}
		}
	}
	return false
}

// StatesSlip tells whether any assembly states a slip load.
func (p *Project) StatesSlip() bool {
	return slices.ContainsFunc(p.Direct, func(d DirectValues) bool { return !math.IsNaN(d.SlipKN) })
}

// GivesTension tells whether a load case gives a tension in kN.
func (c *Criteria) GivesTension() bool {
	for i := range c.LoadCases {
		if c.LoadCases[i].From == GivenTension {
			return true
		}
	}
	return false
}
