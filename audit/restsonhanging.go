package audit

import "strconv"

// What is noted of all that hangs at a structure, of which its notes tell: how many of its rows state something. A row more that does not is
// no loss; where fewer state it than did, and than there are, it was lost.

// hangingStates tells of each of hangingFigures how many rows at a structure state it, and how many rows there are.
func (r *Result) hangingStates(structure int) (states [5]int, rows int) {
	p := r.Project
	makes := p.Carried.makes()
	for _, at := range r.Network.AssemblyRows(structure) {
		row := p.Assemblies.At(int(at))
		made, material := p.Carried.first(row.Source, makes) != 0, row.Makeup > 0
		for i, part := range p.Makeups[row.Makeup].Parts {
			unit := &p.Units[part.Unit]
			made = made || i == 0 && unit.Make != ""
			material = material && unit.Material != ""
		}
		for k, is := range [...]bool{row.Makeup > 0, made, material, row.Installed != NoDay, row.Inspected != NoDay} {
			if is {
				states[k]++
			}
		}
		rows++
	}
	return states, rows
}

// noteHanging notes what the rows at a structure state, by how many of them.
func (r *Result) noteHanging(n *note, structure int) {
	states, rows := r.hangingStates(structure)
	for count := rows; count > 0; count-- {
		set := Figures(0)
		for k, of := range states {
			if of == count {
				set |= 1 << k
			}
		}
		n.add(noteOfHanging, strconv.Itoa(count), set)
	}
}

// hangingNow is what as many rows at a structure state as did, or all of those that there are.
func (r *Result) hangingNow(then string, structure int) (stated Figures) {
	count, err := strconv.Atoi(then)
	if err != nil {
		return every
	}
	states, rows := r.hangingStates(structure)
	for k, of := range states {
		if of >= min(count, rows) {
			stated |= 1 << k
		}
	}
	return stated
}
