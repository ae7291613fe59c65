package audit

// Unplaced are the lines and structures that rows of the register name, or may name, which stand on no structure; whatever their spelling.
type Unplaced struct {
	lines      map[string]bool
	structures map[[2]string]bool
	anywhere   *lost
	ofLine     map[string]bool // rows of it name no structure
}

// Unplaced finds them. Rows of the Lines sheet name their lines too.
func (r *Result) Unplaced() *Unplaced {
	n, p := r.Network, r.Project
	u := &Unplaced{map[string]bool{}, map[[2]string]bool{}, &n.lost, map[string]bool{}}
	placed := make([]bool, p.Assemblies.Len())
	for _, row := range n.placed {
		placed[row] = true
	}
	for i, row := range p.Assemblies.All() {
		if !placed[i] {
			line := equalKey(p.Symbols.Text(row.Line))
			u.lines[line], u.structures[[2]string{line, numberKey(p.Texts.Get(row.Number))}] = true, true
		}
	}
	for symbol := range n.lost.lines {
		u.ofLine[equalKey(p.Symbols.Text(symbol))] = true
	}
	for i := range p.Lines {
		u.lines[equalKey(p.Symbols.Text(p.Lines[i].Line))] = true
	}
	return u
}

// HasLine tells whether such rows may be of a line that the structures do not have.
func (u *Unplaced) HasLine(line string) bool {
	return u.lines[equalKey(line)] || u.ofLine[equalKey(line)] || u.anywhere.lineless > 0
}

// HasStructure tells whether such rows may be of a structure that its line does not have.
func (u *Unplaced) HasStructure(line, number string) bool {
	return u.structures[[2]string{equalKey(line), numberKey(number)}] || u.ofLine[equalKey(line)] || u.anywhere.everywhere || u.anywhere.numbers[numberKey(number)]
}
