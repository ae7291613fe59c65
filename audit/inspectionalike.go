package audit

import (
	"slices"
	"strings"
)

// An inspection that names a line or a structure that nobody has may be of one whose name is like it. It is not joined by that; broken units that it
// found leave open how many these have.

// likeNames finds such structures by names.
type likeNames struct {
	lines      map[string][]int32           // by the digits of their names; nil until somebody asks
	structures map[int32]map[string][]int32 // by line and the digits of their numbers
}

// digitsOf are the numbers in a name, without zeros before them; empty where there is none.
func digitsOf(name string) string {
	numbers := strings.FieldsFunc(name, func(r rune) bool { return r < '0' || r > '9' })
	for i := range numbers {
		numbers[i] = strings.TrimLeft(numbers[i], "0")
	}
	return strings.Join(numbers, ".")
}

// mayBeAt are the structures that an inspection of broken units may be of though no line or structure has the names that it gives: those that a number
// may mean, or else those of the same digits. It has none where it leaves out a name, or was proposed by its position.
func (j *joining) mayBeAt(i int) (found []int32) {
	p := j.n.Project
	in, out := &p.Inspections.Rows[i], &j.n.Inspected[i]
	if out.State == InspectionProposed || in.Line == 0 || in.Number == 0 || !in.foundSome() {
		return nil
	}
	lines := []int32{j.named(in)}
	if lines[0] < 0 {
		lines = j.linesLike(p.Symbols.Text(in.Line))
	}
	number := p.Texts.Get(in.Number)
	for _, line := range lines {
		var here []int32
		add := func(structure int32) {
			if structure >= 0 && !slices.Contains(here, structure) {
				here = append(here, structure)
			}
		}
		if structure, known := j.exact(line, number); known {
			add(structure)
		}
		structure, both := j.n.spelled(&j.spelled, line, number)
		add(structure)
		for _, other := range both {
			if structure, known := j.exact(line, other); known {
				add(structure)
			}
		}
		if isDay := looksLikeDay(number); in.Numeric || isDay {
			mayBe, _ := j.loose.find(line, number, nowhere, isDay)
			for _, structure := range mayBe {
				add(structure)
			}
		}
		if len(here) == 0 {
			here = j.structuresLike(line, number)
		}
		found = append(found, here...)
	}
	return found
}

// linesLike are the lines whose names have the digits of a name.
func (j *joining) linesLike(name string) []int32 {
	if j.alike.lines == nil {
		j.alike.lines = map[string][]int32{}
		for l := range j.n.Lines {
			if digits := digitsOf(j.n.Project.Symbols.Text(j.n.Lines[l].Symbol)); digits != "" {
				j.alike.lines[digits] = append(j.alike.lines[digits], int32(l))
			}
		}
	}
	return j.alike.lines[digitsOf(name)]
}

// structuresLike are the structures of a line whose numbers have the digits of a number.
func (j *joining) structuresLike(line int32, number string) []int32 {
	of, known := j.alike.structures[line]
	if !known {
		of = map[string][]int32{}
		for i := j.n.Lines[line].First; i < j.n.Lines[line].End; i++ {
			if digits := digitsOf(j.n.Number(i)); digits != "" {
				of[digits] = append(of[digits], int32(i))
			}
		}
		if j.alike.structures == nil {
			j.alike.structures = map[int32]map[string][]int32{}
		}
		j.alike.structures[line] = of
	}
	return of[digitsOf(number)]
}

// inWords names structures, the first of many.
func (j *joining) inWords(structures []int32) string {
	const most = 3
	var names []string
	for _, s := range structures[:min(len(structures), most)] {
		names = append(names, j.n.Number(int(s))+" of line "+j.n.Project.Symbols.Text(j.n.own(int(s)).Line))
	}
	if len(structures) > most {
		names = append(names, "another")
	}
	return strings.Join(names, " or ")
}
