package audit

import (
	"fmt"
	"math"
	"strconv"

	"dryarc/audit/basis"
)

// steepSpan is a span that rises as no ground does from one tower to the next; riseM is less than 0 where it falls.
type steepSpan struct {
	from, to int
	riseM    float64
}

// doubtLevels makes unknown the ground levels that those beside them contradict, and levels of exactly 0 on a line of which all others are high.
func (n *Network) doubtLevels() {
	for l := range n.Lines {
		line := &n.Lines[l]
		n.doubtZeroLevels(line)
		n.doubtSteepSpans(line)
	}
}

// doubtZeroLevels takes a level of exactly 0 for a mark of no value where every other level of the line is above basis.ShoreM.
func (n *Network) doubtZeroLevels(line *Line) {
	zeros, others := 0, 0
	for i := line.First; i < line.End; i++ {
		switch level := n.own(i).GroundM; {
		case level == 0:
			zeros++
		case level <= basis.ShoreM:
			return
		case !math.IsNaN(level):
			others++
		}
	}
	if zeros == 0 || others == 0 {
		return
	}
	for i := line.First; i < line.End; i++ {
		if n.own(i).GroundM == 0 {
			n.doubtLevelAt(i, fmt.Sprintf("is implausible, every other level of line %q is above %g m; 0 is taken for a mark of no value", n.Project.Symbols.Text(line.Symbol), basis.ShoreM))
		}
	}
}

// doubtSteepSpans finds spans that rise as none does. A level that is too high or too low on every side is the one that is wrong, most of all one
// with a span on both; else which of the two is wrong nobody can tell, so neither is used.
func (n *Network) doubtSteepSpans(line *Line) {
	var steep []steepSpan
	for i := line.First; i < line.End; i++ {
		next := n.next(line, i)
		if next < 0 || next == i {
			continue
		}
		riseM := n.own(next).GroundM - n.own(i).GroundM
		if basis.MayBeTooSteep(riseM) && basis.IsTooSteep(riseM, n.leg(i, next).LengthM) {
			steep = append(steep, steepSpan{i, next, riseM})
		}
	}
	if len(steep) == 0 {
		return
	}
	type sides struct {
		count        int
		sumM, sizesM float64 // of the rises to a structure, and of their sizes
	}
	of := map[int]sides{}
	note := func(i int, riseM float64) {
		s := of[i]
		of[i] = sides{s.count + 1, s.sumM + riseM, s.sizesM + math.Abs(riseM)}
	}
	for _, s := range steep {
		note(s.from, -s.riseM)
		note(s.to, s.riseM)
	}
	// standsOut is on how many sides a structure is too high, or too low, on all of them; 0 else.
	standsOut := func(i int) int {
		known := 0
		for _, beside := range [...]int{n.previous(line, i), n.next(line, i)} {
			if beside >= 0 && !math.IsNaN(n.own(beside).GroundM) {
				known++
			}
		}
		if s := of[i]; s.count == known && math.Abs(s.sumM) == s.sizesM {
			return s.count
		}
		return 0
	}
	wrong := map[int]steepSpan{}
	for _, s := range steep {
		from, to := standsOut(s.from), standsOut(s.to)
		if from >= to {
			wrong[s.from] = s
		}
		if to >= from {
			wrong[s.to] = s
		}
	}
	for i := line.First; i < line.End && len(wrong) > 0; i++ {
		s, is := wrong[i]
		if !is {
			continue
		}
		n.doubtLevelAt(i, fmt.Sprintf("is implausible: from structure %q to %q of line %q the ground rises %.0f m within %.0f m; one of the two is taken to be wrong",
			n.Number(s.from), n.Number(s.to), n.Project.Symbols.Text(line.Symbol), s.riseM, n.leg(s.from, s.to).LengthM))
	}
}

// doubtLevelAt makes the ground level of a structure unknown.
func (n *Network) doubtLevelAt(structure int, expected string) {
	p := n.Project
	at := int(n.courses[structure].row)
	row := p.Structures.At(at)
	p.Faults.Add(Fault{Kind: Implausible, At: row.Source, Column: "ground level", Value: strconv.FormatFloat(row.GroundM, 'f', -1, 64), Expected: expected})
	row.GroundM, row.Terrain, row.ByZero, row.Faulty = math.NaN(), 0, false, row.Faulty.With(CellGround)
	p.Structures.Set(at, row)
}
