package audit

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"dryarc/geo"

	"github.com/paulmach/orb"
)

// exact is the structure of a line by its number.
func (j *joining) exact(line int32, number string) (int32, bool) {
	of, known := j.numbers[line]
	if !known {
		of = map[string]int32{}
		for i := j.n.Lines[line].First; i < j.n.Lines[line].End; i++ {
			if _, twice := of[j.n.Number(i)]; !twice {
				of[j.n.Number(i)] = int32(i)
			}
		}
		j.numbers[line] = of
	}
	at, found := of[number]
	return at, found
}

// named is the line that an inspection names; −1 where it names none that is known.
func (j *joining) named(in *Inspection) int32 {
	if in.Line == 0 {
		return nowhere
	}
	return j.lines[j.names.Means(in.Line)]
}

// find finds the structure at which an inspection was made.
func (j *joining) find(i int) {
	n, p := j.n, j.n.Project
	in, out := &p.Inspections.Rows[i], &n.Inspected[i]
	line := j.named(in)
	if line >= 0 && n.Lines[line].Symbol != in.Line {
		n.equal.note(Equal{Line: n.Lines[line].Symbol, What: equalLine, From: p.Symbols.Text(in.Line), To: p.Symbols.Text(n.Lines[line].Symbol)}, 1)
	}
	number := p.Texts.Get(in.Number)
	switch {
	case in.Line == 0 || in.Number == 0:
		j.nameless(i)
		return
	case line < 0:
		j.notJoined(i, NoSuchLine, "Line", p.Symbols.Text(in.Line), "is no line of the structures", j.names.unsure[in.Line])
		return
	}
	structure, both := j.structure(line, number, in.Numeric)
	if structure < 0 {
		j.notJoined(i, NoSuchStructure, "Structure", number, fmt.Sprintf("is no structure of line %q", p.Symbols.Text(n.Lines[line].Symbol)), p.whatNumber(number, both))
		return
	}
	out.Line, out.Structure = int(line), int(structure)
}

// structure finds the structure of a line by its number as the register's rows are found; −1 where there is none, or which is meant is open.
func (j *joining) structure(line int32, number string, numeric bool) (structure int32, both [2]string) {
	n := j.n
	structure, found := j.exact(line, number)
	if isDay := looksLikeDay(number); numeric || isDay && !found {
		mayBe, isOpen := j.loose.find(line, number, structure, isDay)
		switch {
		case isOpen:
			return nowhere, both
		case len(mayBe) == 1:
			structure, found = mayBe[0], true
		}
	}
	if found {
		return structure, both
	}
	structure, both = n.spelled(&j.spelled, line, number)
	if structure >= 0 {
		n.equal.note(Equal{Line: n.Lines[line].Symbol, What: equalStructure, From: number, To: n.Number(int(structure))}, 1)
	}
	return structure, both
}

// notJoined says why an inspection is not joined, once for all that have it, and where it may belong by its position.
func (j *joining) notJoined(i int, kind FaultKind, column, value, why, more string) {
	in := &j.n.Project.Inspections.Rows[i]
	j.n.Inspected[i].Why = fmt.Sprintf("%q %s", value, why)
	j.propose(i)
	if mayBe := j.mayBeAt(i); len(mayBe) > 0 && j.n.Inspected[i].Structure < 0 {
		more += "; it may be of " + j.inWords(mayBe) + ", of which it leaves open how many units are broken"
	}
	j.n.Project.Faults.Gather(Fault{Kind: kind, At: in.Source, Column: column, Value: value, Expected: why + "; the row is not joined" + more}, column+" "+value+" "+why)
}

// nameless is about an inspection that does not say at which structure it was made: one with a position is proposed for the nearest, and
// changes nothing.
func (j *joining) nameless(i int) {
	in, out := &j.n.Project.Inspections.Rows[i], &j.n.Inspected[i]
	column, unread := "Structure", InspectedStructure
	if in.Line == 0 {
		column, unread = "Line", InspectedLine
	}
	says := "is blank"
	if in.Unread.Has(unread) {
		says = "cannot be read"
	}
	out.Why = fmt.Sprintf("%s %s", column, says)
	j.propose(i)
	expected := says + "; the row is not joined"
	if j.leavesOpen(i) {
		expected += ", and where it may be of a string that was not inspected since, its defective units are not known"
	}
	j.n.Project.Faults.Gather(Fault{Kind: MissingValue, At: in.Source, Column: column, Expected: expected}, expected)
}

// leavesOpen tells whether an inspection that is not joined found something, and nobody can tell where.
func (j *joining) leavesOpen(i int) bool {
	in := &j.n.Project.Inspections.Rows[i]
	return (in.Line == 0 || in.Number == 0) && j.n.Inspected[i].State != InspectionProposed && in.foundSome() && (in.Line == 0 || j.named(in) >= 0)
}

// isPlaced tells whether it has a position.
func (in *Inspection) isPlaced() bool { return !math.IsNaN(in.Lon) && !math.IsNaN(in.Lat) }

// propose names the nearest structure of an inspection that has a position and is not joined. Nothing is judged by it.
func (j *joining) propose(i int) {
	n, p := j.n, j.n.Project
	in, out := &p.Inspections.Rows[i], &n.Inspected[i]
	if !in.isPlaced() {
		return
	}
	withinM := p.Inspections.WithinM
	found := j.near(in, 2*withinM)
	words := func(f near) string {
		return fmt.Sprintf("%s of line %s (%.0f m)", n.Number(f.structure), p.Symbols.Text(n.own(f.structure).Line), f.distanceM)
	}
	switch {
	case len(found) == 0 || found[0].distanceM > withinM:
		out.Why += fmt.Sprintf("; no structure within %g m", withinM)
	case len(found) > 1:
		out.State = InspectionProposed
		out.Why += fmt.Sprintf("; ambiguous: near %s, and %s within %g m too; write the structure into the row", words(found[0]), words(found[1]), 2*withinM)
	default:
		out.State = InspectionProposed
		out.Why += fmt.Sprintf("; nearest is %s; if it is that, write the structure into the row", words(found[0]))
	}
}

// near is a structure near an inspection.
type near struct {
	structure int
	distanceM float64
}

// near are the structures within a distance of where an inspection was made, the nearest first.
func (j *joining) near(in *Inspection, withinM float64) (found []near) {
	n := j.n
	if j.byLat == nil {
		j.byLat = make([]uint32, n.StructureCount())
		for s := range j.byLat {
			j.byLat[s] = uint32(s)
		}
		slices.SortFunc(j.byLat, func(a, b uint32) int {
			return cmp.Or(cmp.Compare(n.own(int(a)).Lat, n.own(int(b)).Lat), cmp.Compare(a, b))
		})
	}
	const shortestDegreeM = 110_000 // of latitude, a little less than any is
	at := orb.Point{in.Lon, in.Lat}
	from, _ := slices.BinarySearchFunc(j.byLat, in.Lat-withinM/shortestDegreeM, func(s uint32, lat float64) int { return cmp.Compare(n.own(int(s)).Lat, lat) })
	for _, s := range j.byLat[from:] {
		if n.own(int(s)).Lat > in.Lat+withinM/shortestDegreeM {
			break
		}
		if to := n.Position(int(s)); geo.Within(at, to, withinM) {
			found = append(found, near{int(s), geo.Inverse(at, to).LengthM})
		}
	}
	slices.SortFunc(found, func(a, b near) int {
		return cmp.Or(cmp.Compare(a.distanceM, b.distanceM), cmp.Compare(a.structure, b.structure))
	})
	return found
}

// farM is further from a structure, in metres, than anybody sees a string of it from (a choice of this program).
const farM = 2000

// isElsewhere tells whether the position of an inspection contradicts the structure that it names, and why: it is further away than a proposal may be,
// and another structure is nearer, or it is too far from any. at is that other one, and below 0 where none is.
func (j *joining) isElsewhere(in *Inspection, structure int) (at int, why string, is bool) {
	n, at := j.n, nowhere
	if !in.isPlaced() {
		return at, "", false
	}
	seen, own := orb.Point{in.Lon, in.Lat}, n.Position(structure)
	if geo.Within(seen, own, j.n.Project.Inspections.WithinM) {
		return at, "", false
	}
	distanceM := geo.Inverse(seen, own).LengthM
	if distanceM <= farM {
		found := j.near(in, distanceM)
		if len(found) == 0 || found[0].distanceM >= distanceM {
			return at, "", false
		}
		nearest := found[0]
		at = nearest.structure
		why = fmt.Sprintf(", and %.0f m from structure %s of line %s", nearest.distanceM, n.Number(nearest.structure), n.Project.Symbols.Text(n.own(nearest.structure).Line))
	}
	return at, fmt.Sprintf("is %.0f m from the structure that the row names%s", distanceM, why), true
}
