package remedy

import (
	"cmp"
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// mostUnits and mostStrings bound the strings that are tried (a choice of this program): more units, up to audit.MostUnitsAsked, only where a check says that it
// needs so many.
const (
	mostUnits   = 60
	mostStrings = 4
)

// ask is a question for one make-up: that of the assemblies of one circuit and duty at a structure.
type ask struct {
	circuit  audit.Symbol
	duty     audit.Duty           // to be
	members  []audit.TrialRow     // as they are to be but for their make-up
	old      []audit.Assembly     // what hangs there now, in the order of members; nil where nothing does
	models   []audit.Assembly     // what no new string may fall behind where the checks cannot judge it; of its units as many are the least
	stated   []audit.DirectValues // what the rows of members state of their strings, in their order; of a newcomer that is not asked
	staying  []staying            // what of old can stay, in its order; nil for a newcomer
	contrary [][]audit.Assembly   // what the rows of each of old say where they contradict each other of its make-up, else nil, in its order
	// contradicted is what rows state of each of old that is less than its units have by their type, in its order.
	contradicted [][]contradicted
	// said is what hangs there by all rows of each of old that state figures of their own or cannot be read, in its order.
	said     [][]audit.Assembly
	newcomer bool // no assembly of the duty hangs there
	// floor is what hangs there in another duty, which gives way: what the checks cannot judge of what comes instead is no less either; where
	// horned, arcing horns hang there, and what they are set to does not tell what withstands without them.
	floor  []audit.Assembly
	horned bool
	// unregistered tells that the register has no row of it, which is all that says that it is missing.
	unregistered bool
	move         Move // of a newcomer
	number       int  // of what is remembered of it, see memory; 0 where that is not looked up yet
	// like tells of each member whether one before it is alike but for its phase; nil where that is not known.
	like []bool
	// settled are the checks, a bit each, that let any string pass in the place of each member; nil where that is not known.
	settled []uint64
}

// answer is a make-up that serves, and what it takes.
type answer struct {
	rows          []audit.TrialRow
	to            Set
	move          Move
	beside        bool // some get strings beside those that others have already
	strange       bool // of a newcomer: its unit is not that of the line's own strings
	fit           []Count
	remove        []Count
	defective     []Count // of remove, as far as the register counts them
	gone          []bool  // by row: nothing stays of what hangs there; nil where all does
	removeUnknown bool
	atLeast       bool
	more          []Count // of fit and remove, where atLeast: so many more there may be
	sets          int     // that need fittings which are not there
	changes       int     // units to fit where strings stay, to take away too where they get shorter, else strings to hang or to hang anew
	units         int     // to fit
	price         float64
	lengthMM      float64
	from          Candidates
	// notFewer says why fewer units were passed over that the checks leave standing; nil where they do not, or it is not remembered.
	notFewer func() string
}

// block is why a unit and a number of strings do not serve.
type block struct {
	check    int // −1: the longest string of the line
	margin   float64
	tier     int  // of the units that are chosen from
	tooLong  bool // for the line
	inWords  bool // falls short by words of a check
	assessed bool
	unsure   bool // may be less than what hangs there
	mayServe bool // nothing but what is not known of it, or of where it would hang, stands against it
	byHorns  bool // falls short by arcing horns, which stay
	// ofShorter tells that a longer string meets a swing that is stated in degrees for what hangs there: other work may mend what swings too far all the same.
	ofShorter bool
	lacks     string
	sentence  func() string
	// Of a check: the member, how many units of it, and what was put to it; nil where no check was asked.
	member, units int
	of            *audit.Assembly
}

// answers lists the make-ups that serve, the best first, and what stopped the others, last of all those that may serve for all that is known.
func (b *bench) answers(q *ask) (serve []answer, blocks []block) {
	var open []block
	blocks = make([]block, 0, len(b.tiers[0]))
	if sound, ok := b.soundUnits(q); ok && !sound.isIdle() {
		serve = append(serve, sound)
	}
	for t, tier := range b.tiers {
		for _, unit := range tier {
			if !b.mayTake(q, unit) {
				continue
			}
			winsByBlank := b.winsByBlankArea(q, b.unit(unit))
			own := len(blocks)
			for strings := range b.stringsToTry(q, unit) {
				a, stopped, may := b.least(q, unit, strings, false)
				if b.bindsAny(q, unit) {
					anew, still, mayAnew := b.least(q, unit, strings, true)
					may = cmp.Or(may, mayAnew)
					if still == nil && (stopped != nil || b.better(anew, a) < 0) {
						a, stopped = anew, nil
					} else if still != nil && stopped != nil && still.assessed && !stopped.assessed {
						stopped = still
					}
				}
				if stopped != nil {
					if may != nil {
						open = append(open, *may)
					}
					if k := len(blocks); k > own && blocks[k-1].check != stopped.check {
						blocks = blocks[:own] // more strings get past it
					}
					stopped.tier = t
					blocks = append(blocks, *stopped)
					if len(open) == 0 && hopeless(blocks) {
						return serve, blocks
					}
					continue
				}
				if a.isIdle() {
					blocks = append(blocks, block{check: -1, margin: math.Inf(1), assessed: true, mayServe: true, lacks: lacksRow, sentence: func() string {
						return "Rows say different things of what hangs there; one of them is " + a.to.String() + ", which would serve."
					}})
					break
				}
				if winsByBlank {
					open = append(open, b.blankArea(unit))
					break
				}
				a.from = b.from[t]
				serve = append(serve, *a)
				if other := b.notAllShorter(q, unit, a, strings); other != nil {
					other.from = a.from
					serve = append(serve, *other)
				}
				if a.to.UnitsPerString == b.fewest(q, b.unit(unit), strings) || b.prefer[0] == audit.FewestChanges && b.fewerChange(q, unit, strings+1, a) {
					break // more strings would be more of everything
				}
			}
		}
		if len(serve) > 0 {
			break
		}
	}
	shortened, may := b.shortened(q, serve)
	if serve = append(serve, shortened...); may != nil {
		open = append(open, *may)
	}
	slices.SortFunc(serve, func(x, y answer) int { return b.better(&x, &y) })
	return serve, append(blocks, open...)
}

// fewerChange tells whether an answer changes less than any with so many strings side by side can, even if none of those that hang there is
// changed for them: more may be less where fewer strings have to be longer, and so hang anew.
func (b *bench) fewerChange(q *ask, u, strings int, a *answer) bool {
	if !q.newcomer && a.move < MoreStrings && !slices.ContainsFunc(q.old, func(a audit.Assembly) bool { return !isSetKnown(&a) }) {
		return true
	}
	hung := 0
	for i := range q.members {
		row := b.remake(q, i, u, a.to.UnitsPerString, strings, false)
		to := b.site.Assembly(&row)
		if hung += b.setsOf(&to) * to.Strings; q.stays(i, b.unit(u), false) {
			hung -= b.setsOf(&to) * q.old[i].Strings
		}
	}
	return hung > a.changes
}

// said is the move as it is said: where strings of the same units get others beside them, which others have, that.
func (a *answer) said() Move {
	if a.move == MoreUnits && a.beside {
		return MoreStrings
	}
	return a.move
}

// isCounted tells whether it is known how many units of which types hang at a place of old.
func (q *ask) isCounted(i int) bool { return q.contrary[i] == nil && isCounted(&q.old[i]) }

// isIdle tells whether an answer asks for no work: it is what one of the rows of an assembly says already.
func (a *answer) isIdle() bool { return len(a.fit)+len(a.remove)+len(a.more) == 0 && !a.removeUnknown }

// unknownCoupling is what speaks for strings of units of which it is not known whether they couple with what hangs there: that one would serve; where there are no others, that one may,
// else what stops them, whatever their coupling.
func (b *bench) unknownCoupling(q *ask, noOthers bool) (blocks []block) {
	var may []block
	for _, tier := range b.tiers {
		for _, unit := range tier {
			if b.mayTake(q, unit) || !b.mayCouple(q, unit) {
				continue
			}
			text := b.unit(unit).Name + " would serve but its coupling is not stated."
			if b.unit(unit).Coupling != "" {
				text = b.unit(unit).Name + " would serve but the coupling of what hangs there is not stated."
			}
			for strings := range b.stringsToTry(q, unit) {
				_, stopped, open := b.least(q, unit, strings, true)
				switch {
				case stopped == nil:
					return []block{{check: -1, margin: math.Inf(1), mayServe: true, sentence: func() string { return text }}}
				case !noOthers:
				case open != nil:
					may = append(may, *open)
				default:
					blocks = append(blocks, *stopped)
				}
			}
		}
	}
	return append(blocks, may...)
}

// mayCouple tells whether nothing but an unknown coupling keeps a unit from taking the place of what hangs there.
func (b *bench) mayCouple(q *ask, u int) bool {
	unit := b.unit(u)
	return !q.newcomer && fitsDuty(unit.Kind, q.duty) && fitsDuty(unit.Kind, audit.Suspension) && slices.ContainsFunc(q.old, func(a audit.Assembly) bool {
		return a.Makeup != nil && (unit.Coupling == "" || slices.Contains(a.Couplings(), ""))
	})
}

// hopeless tells that what was tried failed by words of one check, which no make-up changes.
func hopeless(blocks []block) bool {
	const enough = 3 // a choice of this program
	if len(blocks) < enough {
		return false
	}
	for _, other := range blocks {
		if other.check != blocks[0].check || !other.inWords {
			return false
		}
	}
	return true
}

// mayTake tells whether a unit can be hung: of a kind that is made for the duty, and where it joins fittings that are there, of
// their coupling.
func (b *bench) mayTake(q *ask, u int) bool {
	number := b.askOf(q)
	if number == notRemembered {
		return b.fits(q, u)
	}
	of := taking{number, u}
	may, known := b.memory.takes[of]
	if !known {
		may = b.fits(q, u)
		b.memory.takes[of] = may
	}
	return may
}

// fits is mayTake where nothing is remembered.
func (b *bench) fits(q *ask, u int) bool {
	unit := b.unit(u)
	own := slices.ContainsFunc(q.models, func(a audit.Assembly) bool { return hasUnit(&a, unit) && !a.ContradictsUnit() })
	switch {
	case own:
		return true
	case !fitsDuty(unit.Kind, q.duty):
		return false
	case q.newcomer:
		return true
	case fitsDuty(unit.Kind, audit.Suspension):
		return slices.ContainsFunc(q.old, func(a audit.Assembly) bool {
			return slices.ContainsFunc(a.Couplings(), func(c string) bool { return c != "" && unit.Coupling != "" && basis.SameCoupling(c, unit.Coupling) })
		})
	}
	return slices.ContainsFunc(q.old, func(a audit.Assembly) bool { return a.Unit != nil && a.Unit.Kind == unit.Kind })
}

// winsByBlankArea tells whether a unit that states no wind area would hang in the place of one that states more than the unit's diameter
// times its spacing, and swings in the wind of a load case. What is stated may be reckoned otherwise, and the unit would swing less only
// because it states nothing.
func (b *bench) winsByBlankArea(q *ask, unit *basis.Unit) bool {
	if q.duty != audit.Suspension || !math.IsNaN(unit.WindAreaM2) || !b.site.SwingsInWind() {
		return false
	}
	return slices.ContainsFunc(q.old, func(a audit.Assembly) bool {
		return (a.Arrangement != audit.VSet || b.site.Structure().Room.AsksClearance()) && slices.ContainsFunc(a.Units(), func(hangs *basis.Unit) bool { return hangs.WindAreaM2 > unit.WindAreaAtMostM2() })
	})
}

// blankArea is a unit that would serve but for the wind area that it does not state.
func (b *bench) blankArea(unit int) block {
	name := b.unit(unit).Name
	return block{check: -1, margin: math.Inf(1), mayServe: true, lacks: "wind area of " + name + " not stated", sentence: func() string {
		return "The wind area of " + name + " is not stated, and that of what hangs there is more than its diameter times its spacing; whether " + name + " serves cannot be judged without it."
	}}
}

func hasUnit(a *audit.Assembly, unit *basis.Unit) bool {
	return slices.ContainsFunc(a.Units(), func(u *basis.Unit) bool { return u.Name == unit.Name })
}

// isOf tells whether a string is of one kind of unit, and that is the unit; no string is of a unit that is not known.
func isOf(a *audit.Assembly, unit *basis.Unit) bool {
	return unit != nil && a.Makeup != nil && len(a.Makeup.Parts) == 1 && a.Unit.Name == unit.Name
}

// remade is a member with strings of like units, so many side by side; a V set stays one. Its fittings stay as they are rated.
func (b *bench) remade(m audit.TrialRow, u, units, strings int) audit.TrialRow {
	stated := b.site.Figures(&m)
	stay := stated.OfPlace()
	m.Changed, m.Anew, m.Restated, m.Figures = true, true, stay.AnyOfPlace(), stay
	r := &m.Row
	r.Makeup, r.UnitsPerString, r.Strings, r.Defective, r.Direct, r.Rings = b.makeup[u], int16(units), int16(strings), 0, 0, audit.RingsUnknown
	r.Blank &^= audit.BlankDefective // the units are new
	r.Installed, r.Inspected = b.site.Criteria().InsulatorFactor.HungFrom(b.network.Project.AsOf), audit.NoDay
	for _, cell := range [...]audit.Cell{audit.CellUnit, audit.CellUnitsPerString, audit.CellStrings, audit.CellDefective, audit.CellArrangement,
		audit.CellCreepage, audit.CellRating, audit.CellLength, audit.CellArcing, audit.CellTested, audit.CellTestedWet, audit.CellLimits, audit.CellRemarks} {
		r.Faulty &^= 1 << cell
	}
	switch {
	case r.Arrangement == audit.VSet:
		r.Strings = int16(2 * strings)
	case strings > 1:
		r.Arrangement = audit.Parallel
	default:
		r.Arrangement = audit.Single
	}
	return m
}

// What tryString says beside a check that stops a string.
const (
	serves      = -1
	fallsBehind = -2 // what the checks cannot judge is less than that of what hangs there
)

// soundUnits is the answer that changes nothing but the defective units.
func (b *bench) soundUnits(q *ask) (a answer, ok bool) {
	if q.newcomer || !slices.ContainsFunc(q.old, func(a audit.Assembly) bool { return a.Defective > 0 }) ||
		slices.ContainsFunc(q.old, hasMoreDefectiveThanHang) || // look first
		slices.ContainsFunc(q.staying, func(s staying) bool { return !s.alike }) { // which of the rows would be the sound one
		return a, false
	}
	a = answer{move: SoundUnits, lengthMM: math.NaN()}
	for i, m := range q.members {
		if old := &q.old[i]; old.Defective > 0 {
			m = b.repaired(m, old)
		}
		a.rows = append(a.rows, m)
		asm := b.site.Assembly(&m)
		for _, check := range b.checks {
			v := b.site.Put(check, &asm, false)
			if v.Outcome == audit.NotAssessed && q.old[i].Defective > 0 && b.site.Put(check, &q.old[i], false).Outcome == audit.FallsShort {
				continue // it falls short by its defects, and sound ones leave open what they do of all others
			}
			if !b.allows(q.circuit, check, &v, false) || b.leavesOpen(q, i, check, &v) {
				return a, false
			}
		}
		if length := asm.LengthMM(); !(length <= a.lengthMM) {
			a.lengthMM = length
		}
		if i == 0 {
			a.to = setOf(&asm)
		}
	}
	b.reckon(q, &a)
	b.leaveDefective(q, &a)
	a.from = b.fromOf(&a, b.from[0])
	return a, true
}

// fromOf is where what is to be fitted comes from: units of which the same type hangs there may be fitted though none is marked as stocked.
func (b *bench) fromOf(a *answer, from Candidates) Candidates {
	if b.marked != nil && slices.ContainsFunc(slices.Concat(a.fit, a.more), func(c Count) bool {
		return !slices.ContainsFunc(b.marked, func(u int) bool { return b.unit(u).Name == c.Unit })
	}) {
		return NotStocked
	}
	return from
}

func setOf(a *audit.Assembly) Set {
	s := Set{Duty: a.Duty, Arrangement: a.Arrangement, UnitsPerString: a.UnitsPerString, Strings: a.Strings}
	if a.Arrangement == audit.VSet && !math.IsNaN(a.VAngleDeg) {
		s.VAngleDeg = a.VAngleDeg
	}
	if a.Makeup != nil {
		s.Unit = a.Makeup.Text
	}
	return s
}

// answer is a make-up that serves.
func (b *bench) answer(q *ask, u, units, strings int, anew bool) *answer {
	a := &answer{move: q.move}
	for i := range q.members {
		a.rows, a.gone = append(a.rows, b.remake(q, i, u, units, strings, anew)), append(a.gone, !q.stays(i, b.unit(u), anew))
	}
	asm := b.site.Assembly(&a.rows[0])
	a.to, a.lengthMM = setOf(&asm), asm.LengthMM()
	a.to.Unit = b.unit(u).Name
	unit := b.unit(u)
	if !q.newcomer {
		most, alike, stays, isKnown, fewer, more := 0, true, true, true, false, false
		for i := range q.old {
			most = max(most, sideBySide(&q.old[i]))
			alike, stays, isKnown = alike && isOf(&q.old[i], unit), stays && !a.gone[i], isKnown && isSetKnown(&q.old[i])
			a.beside = a.beside || strings > sideBySide(&q.old[i])
			fewer, more = fewer || units < q.old[i].UnitsPerString, more || units > q.old[i].UnitsPerString || strings > sideBySide(&q.old[i])
		}
		switch {
		case strings > most && isKnown:
			a.move = MoreStrings
		case alike && !stays:
			a.move = NewUnits
		case alike && fewer && !more:
			a.move = FewerUnits
		case alike:
			a.move = MoreUnits
		default:
			a.move = OtherUnit
		}
	} else {
		a.strange = len(q.models) > 0 && !hasUnit(&q.models[0], unit)
	}
	b.reckon(q, a)
	b.leaveDefective(q, a)
	return a
}
