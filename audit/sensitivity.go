package audit

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// Move is by what the values of an input are off in one judgement of a line.
type Move uint8

// The moves. Errors that are of each structure by itself are moved verdict by verdict to where they bring it towards its limit and beyond; errors
// that are common to a line are moved all together, to one side and to the other.
const (
	PositionsOff Move = iota
	RasterLevelsOff
	StatedHeightsOff
	BordersOutwards
	BordersInwards
	TensionsUp
	TensionsDown
	moves
)

var moveOf = [moves]Uncertain{OfPositions, OfRasterLevels, OfStatedHeights, OfZoneBorders, OfZoneBorders, OfTensions, OfTensions}

// Of is the input that is off.
func (m Move) Of() Uncertain { return moveOf[m] }

var moveNames = [moves]string{
	"each verdict's own to its worse or better side", "each verdict's own to its worse or better side", "each verdict's own to its worse or better side",
	"all borders to where more is asked", "all borders to where less is asked", "all up", "all down",
}

func (m Move) String() string { return moveNames[m] }

// mostExamples is how many structures are named where verdicts change.
const mostExamples = 5

// Sensitivity is how many verdicts on assemblies of a line would be others if an input were off by its standard error, or by two.
type Sensitivity struct {
	Line  int
	Move  Move
	Error StandardError // Least NaN where nobody states it: then the rest counts nothing but Rests
	// Rests counts the verdicts that go by the input: of checks that it moves, that meet, fall short or, but for what the project does not ask for,
	// cannot be assessed.
	Rests int
	// Unstated counts those of Rests that go by a figure of the input whose error nobody states.
	Unstated              int
	ToFallsShort, ToMeets int // that meet, or fall short as built alone, and would fall short, and the other way round
	Else                  int // that would be, or no longer be, not assessed or not applicable
	AtTwo                 int // of all that change where the input is off by two standard errors
	ByCheck               []int
	Structures            []int // the first of the line with a verdict that changes at one
}

// Changes counts the verdicts that change at one standard error.
func (s *Sensitivity) Changes() int { return s.ToFallsShort + s.ToMeets + s.Else }

// Sensitivities judges the assessed lines with each input off by what is stated of its error, and tells what would change: by line, and of each
// the moves that change most before others. Inputs whose error nobody states stand last. It fails only when ctx ends.
func (r *Result) Sensitivities(ctx context.Context) ([]Sensitivity, error) {
	n := r.Network
	u := NewUncertainty(n)
	found := make([][]Sensitivity, len(n.Lines))
	err := n.eachLine(ctx, max(r.workers, 1), func(line int) bool { return r.Lines[line].Assessed }, func(line int) {
		l := lineSensitivity{u: u, r: r, line: line, rasters: map[uint16]bool{}}
		found[line] = l.judge(ctx)
	})
	if err != nil {
		return nil, err
	}
	return slices.Concat(found...), ctx.Err()
}

// lineSensitivity judges the verdicts of one line.
type lineSensitivity struct {
	u       *Uncertainty
	r       *Result
	line    int
	moves   [moves]Sensitivity
	rasters map[uint16]bool
	heard   []heardMoves // of the structure at hand
	kinds   rowKinds
}

// heardMoves is what became of an assembly, and of all that are alike at its structure.
type heardMoves struct {
	of    heardOf
	moved []movedVerdict
}

// movedVerdict is what becomes of a verdict under the moves, at one and at two standard errors.
type movedVerdict struct {
	check    int
	base     Outcome
	rests    [moves]bool
	unstated [moves]bool
	at       [moves][2]Outcome
}

func (l *lineSensitivity) judge(ctx context.Context) (rows []Sensitivity) {
	n := l.r.Network
	for m := range moves {
		l.moves[m] = Sensitivity{Line: l.line, Move: m, ByCheck: make([]int, len(l.r.Checks))}
	}
	v := visitor{n: n, line: l.line}
	base := v.base()
	for i := base.Line.First; i < base.Line.End && ctx.Err() == nil; i++ {
		l.heard = l.heard[:0]
		var steps [2]*zoneSteps // by borders, by the position
		v.visitStructure(base, i, func(kind SubjectKind, s Subject, at Location) {
			if kind != OfAssembly {
				return
			}
			for _, verdict := range l.movedAt(&s, &at, &steps) {
				l.count(&verdict, i)
			}
		})
		if number := n.said(i).Terrain; number != 0 {
			l.rasters[number] = true
		}
	}
	for m := range moves {
		row := &l.moves[m]
		if row.Rests == 0 {
			continue
		}
		row.Error = n.standardError(m.Of(), base.Criteria, l.rasters)
		if math.IsNaN(row.Error.Least) && m > 0 && moveOf[m-1] == m.Of() {
			continue // of what nobody states one row will do
		}
		rows = append(rows, *row)
	}
	slices.SortStableFunc(rows, func(a, b Sensitivity) int {
		return cmp.Or(compareStated(&a, &b), cmp.Compare(b.Changes(), a.Changes()), cmp.Compare(b.AtTwo, a.AtTwo), cmp.Compare(a.Move, b.Move))
	})
	return rows
}

func compareStated(a, b *Sensitivity) int {
	switch x, y := math.IsNaN(a.Error.Least), math.IsNaN(b.Error.Least); {
	case x == y:
		return 0
	case y:
		return -1
	}
	return 1
}

// count adds a verdict to the moves.
func (l *lineSensitivity) count(verdict *movedVerdict, structure int) {
	for m := range moves {
		if !verdict.rests[m] {
			continue
		}
		row := &l.moves[m]
		row.Rests++
		if verdict.unstated[m] {
			row.Unstated++
		}
		if verdict.at[m][1] != verdict.base {
			row.AtTwo++
		}
		becomes := verdict.at[m][0]
		switch {
		case becomes == verdict.base:
			continue
		case verdict.base != NotAssessed && becomes == FallsShort:
			row.ToFallsShort++
		case verdict.base == FallsShort && becomes == Meets:
			row.ToMeets++
		default:
			row.Else++
		}
		row.ByCheck[verdict.check]++
		if k := len(row.Structures); k < mostExamples && (k == 0 || row.Structures[k-1] != structure) {
			row.Structures = append(row.Structures, structure)
		}
	}
}

// movedAt is what becomes of the verdicts on an assembly.
func (l *lineSensitivity) movedAt(s *Subject, at *Location, steps *[2]*zoneSteps) (moved []movedVerdict) {
	of, alike := l.r.Network.heardOf(&l.kinds, s, at)
	if alike {
		for i := range l.heard {
			if l.heard[i].of == of {
				return l.heard[i].moved
			}
		}
	}
	for i, check := range l.r.Checks {
		if check.Of != OfAssembly || check.Errs == 0 {
			continue
		}
		v, _ := check.try(s, nil)
		if v.Outcome == NotApplicable && v.Reason != AsBuiltFallsShort || v.Outcome == NotAssessed && v.Reason.AskedBy() != "" {
			continue
		}
		moved = append(moved, l.moved(i, s, &v, steps))
	}
	if alike {
		l.heard = append(l.heard, heardMoves{of, moved})
	}
	return moved
}

// moved is what becomes of one verdict.
func (l *lineSensitivity) moved(check int, s *Subject, v *Verdict, steps *[2]*zoneSteps) (out movedVerdict) {
	m := l.r.Checks[check].mover(s, v)
	movers := m.check.movers(s, v)
	out.check, out.base = check, v.Outcome
	for move := range moves {
		out.at[move] = [2]Outcome{v.Outcome, v.Outcome}
	}
	rests, unstated := inputsBeside(s, m.check.Errs, len(l.r.Network.Zones) > 0)
	for move := range moves {
		out.rests[move], out.unstated[move] = rests[move.Of()], unstated[move.Of()]
	}
	for k := range 2 {
		sigmas := float64(k + 1)
		for _, move := range [...]Move{PositionsOff, RasterLevelsOff, StatedHeightsOff} {
			_, out.at[move][k], _ = m.towards(movers, move.Of(), sigmas)
		}
		if share := m.errors[offTension]; share > 0 {
			for i, sign := range bothSigns {
				var by off
				by[offTension] = sign * sigmas * share
				at := m.at(&by)
				out.at[TensionsUp+Move(i)][k] = m.becomes(&at)
			}
		}
	}
	if m.check.Errs&ErrsZone != 0 {
		l.moveZones(&m, &out, steps)
	}
	return out
}

// towards is what becomes of a verdict where the figures of an input are off by so many standard errors, to where they bring a part of it towards its
// limit and beyond: a part by which the outcome is another, where there is one. moves is false where they move none.
func (m *mover) towards(parts []mover, input Uncertain, sigmas float64) (by off, becomes Outcome, moves bool) {
	if math.IsNaN(distanceOf(&m.verdict)) {
		return m.alone(input, sigmas)
	}
	becomes = m.verdict.Outcome
	for i := range parts {
		to, any := parts[i].offBy(input, sigmas)
		if !any {
			continue
		}
		if !moves {
			by, moves = to, true
		}
		if of := parts[i].at(&to); of.Outcome == becomes {
			continue
		}
		at := m.at(&to)
		if then := m.becomes(&at); then != becomes {
			return to, then, true
		}
	}
	return by, becomes, moves
}

// alone is what becomes of a verdict that has no distance from a limit where one figure of an input is off by so many standard errors: one by which
// the outcome is another, where there is one.
func (m *mover) alone(input Uncertain, sigmas float64) (by off, becomes Outcome, moves bool) {
	becomes = m.verdict.Outcome
	if _, reason := m.check.lacksNeed(m.base); reason != NoReason { // which no figure beside it gives
		return by, becomes, false
	}
	for i, e := range m.errors {
		if e == 0 || m.of[i] != input {
			continue
		}
		for _, sign := range bothSigns {
			var to off
			to[i] = sign * sigmas * e
			at := m.at(&to)
			if then := m.becomes(&at); then != becomes {
				return to, then, true
			}
		}
	}
	return by, becomes, false
}

// becomes is the outcome that counts for a verdict: no change where the string falls short as built, now or then, which is counted of its own check,
// unless it then falls short without its defective units alone.
func (m *mover) becomes(v *Verdict) Outcome {
	if v.Reason == AsBuiltFallsShort || m.verdict.Reason == AsBuiltFallsShort && v.Outcome == Meets {
		return m.verdict.Outcome
	}
	return v.Outcome
}

// moveZones finds what becomes of a verdict where the borders of zones are off, and where its structure stands elsewhere among them.
func (l *lineSensitivity) moveZones(m *mover, out *movedVerdict, known *[2]*zoneSteps) {
	c := m.base.Criteria
	for i, accuracy := range [...]Number{c.ZoneAccuracyM, c.PositionAccuracyM} {
		sigmaM := zeroIfNone(accuracy.Value)
		if sigmaM == 0 {
			continue
		}
		if known[i] == nil {
			steps := l.u.borders.around(m.base.Structure, sigmaM)
			known[i] = &steps
		}
		for k := range 2 {
			more, anyMore := known[i].atMore(float64(k+1) * sigmaM)
			less, anyLess := known[i].atLess(float64(k+1) * sigmaM)
			for side, to := range [...]struct {
				move Move
				step zoneStep
				any  bool
			}{{BordersOutwards, more, anyMore}, {BordersInwards, less, anyLess}} {
				if !to.any {
					continue
				}
				there := l.u.inZone(m, to.step.zone)
				outcome := m.becomes(&there)
				switch {
				case i == 0:
					out.at[to.move][k] = outcome
				case outcome != out.base && (side == 0 || out.at[PositionsOff][k] == out.base):
					out.at[PositionsOff][k] = outcome
				}
			}
		}
	}
}
