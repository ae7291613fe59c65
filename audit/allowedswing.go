package audit

import (
	"cmp"
	"math"
	"slices"

	"dryarc/audit/basis"
)

// AllowedSwing is how far a suspension string may swing in one load case: the least of what the line states and what the clearance allows
// a string of its length. Unknown figures are NaN.
type AllowedSwing struct {
	Deg       float64 // the least of those known
	StatedDeg float64 // of the Lines sheet
	WallDeg   float64 // by the clearance from the body or a wall
	ArmDeg    float64 // by the clearance from the crossarm above
	// Lacks is why it may be less than Deg, or is not known; NoReason where it is known. What swings farther falls short all the same.
	Lacks Reason

	WholeLength
	UnderArmMM          float64 // the length by which the crossarm allows less, of those that the string may have
	WallMM, ClearanceMM float64
	ByArmLength         bool // WallMM is the arm length: the wall is no farther
}

// AtRest tells whether the string does not keep the clearance even where it hangs straight down.
func (a *AllowedSwing) AtRest() bool { return a.Deg < 0 }

// WholeLength is the length of a string with its fittings, as far as it is known.
type WholeLength struct {
	LengthMM, FittingsMM float64 // NaN if unknown; FittingsMM is what is added to that of its units, 0 where the row's Length has them in it
	ShortestMM           float64 // the least that the string may be: less than LengthMM where the row's Length may have the fittings in it
	WithoutFittings      bool    // LengthMM is that of the units alone, as far as that is known: the string is no shorter
	FittingsContradict   bool    // LengthMM is the row's, which is beyond that of its units, but less than theirs and the line's fittings
}

// MayBeLonger tells whether the string may be longer than LengthMM.
func (l *WholeLength) MayBeLonger() bool { return l.WithoutFittings || l.FittingsContradict }

// AllowedSwing finds how far the subject's string may swing in a load case. Where both a swing limit and a clearance are stated the lesser
// holds; where no clearance of the case is stated the swing limit alone does. A clearance without what it is reckoned by leaves the swing
// unknown, and so do figures that contradict each other or cannot be read.
func (s *Subject) AllowedSwing(c *LoadCase) AllowedSwing {
	nan, row, room := math.NaN(), &s.Line.Row, &s.Structure.Room
	a := AllowedSwing{Deg: nan, StatedDeg: nan, WallDeg: nan, ArmDeg: nan, WholeLength: WholeLength{LengthMM: nan, ShortestMM: nan}, WallMM: nan, ClearanceMM: nan}
	if stated := inCase(c.Name, row.SwingLimitDeg, row.SwingLimitsDeg); isStated(stated) {
		a.StatedDeg, a.Deg = stated, stated
	}
	if s.namesOtherCases(row.SwingLimitsDeg) || s.namesOtherCases(room.ClearancesMM) {
		a.Lacks = LoadCaseNotNamed
		return a
	}
	missing := ClearanceNotStated
	if clearance := room.clearanceIn(c); isStated(clearance) {
		if room.wallContradictsArm() {
			a.Lacks = RoomContradicts
			return a
		}
		a.ClearanceMM = clearance
		missing = s.setGeometry(&a, room)
	}
	if !isStated(a.StatedDeg) || missing != ClearanceNotStated {
		a.Lacks = missing
	}
	return a
}

// setGeometry finds what a clearance allows as far as the figures tell it, and returns what is missing.
func (s *Subject) setGeometry(a *AllowedSwing, room *Room) (missing Reason) {
	if a.WholeLength, missing = s.wholeLength(); math.IsNaN(a.LengthMM) {
		return missing
	}
	wall := room.wall()
	switch {
	case isStated(room.WallDistanceMM):
		a.WallMM = room.WallDistanceMM
	case isStated(room.ArmLengthMM):
		a.WallMM, a.ByArmLength, missing = room.armWallMM(), true, WallDistanceNotStated
	default:
		missing = WallDistanceNotStated
	}
	wall.AwayM = a.WallMM / 1000
	a.WallDeg = basis.SwingToWallDeg(a.LengthMM/1000, wall, a.ClearanceMM/1000)
	if wall.Lean < 0 && a.MayBeLonger() && basis.SwingToWallDeg(2*a.LengthMM/1000, wall, a.ClearanceMM/1000) > a.WallDeg {
		a.WallDeg = math.NaN() // a longer string hangs farther from a wall that leans away, and may swing more
	}
	if bracketMM := room.bracketMM(); !a.MayBeLonger() {
		if a.UnderArmMM = a.ShortestMM; bracketMM > a.ClearanceMM { // which a longer string reaches at less swing
			a.UnderArmMM = a.LengthMM
		}
		a.ArmDeg = basis.SwingToArmDeg(a.UnderArmMM/1000, bracketMM/1000, a.ClearanceMM/1000)
	}
	for _, deg := range [...]float64{a.WallDeg, a.ArmDeg} {
		if !(deg >= a.Deg) && !math.IsNaN(deg) {
			a.Deg = deg
		}
	}
	return missing
}

// wholeLength finds the length of the subject's string with its fittings, or as much of it as is known, and why that may not be all.
func (s *Subject) wholeLength() (l WholeLength, missing Reason) {
	sense, unitsMM, fittingsMM := s.Assembly.lengthSense(), s.Assembly.UnitsMM(), s.Line.Row.FittingsMM
	if l.LengthMM = s.Assembly.LengthMM(); sense == lengthDoubted {
		l.LengthMM = unitsMM
	}
	l.ShortestMM = l.LengthMM
	switch {
	case sense == lengthDoubted, sense == lengthUnsure, s.Assembly.FittingsUnknown:
		l.WithoutFittings, missing = true, FaultyField
	case math.IsNaN(l.LengthMM):
		missing = s.Assembly.lacksLength()
	case sense == lengthWhole && isStated(fittingsMM) && basis.IsShorterThanUnits(l.LengthMM, unitsMM+fittingsMM):
		l.FittingsContradict, missing = true, FittingsContradict // it may be that of units of another spacing, without fittings
	case sense == lengthWhole:
	case isStated(fittingsMM):
		l.FittingsMM = fittingsMM
		if l.LengthMM += fittingsMM; !math.IsNaN(unitsMM) {
			l.ShortestMM = l.LengthMM
		}
	default:
		l.WithoutFittings, missing = true, FittingsNotStated
	}
	if !(l.LengthMM > 0) {
		l.LengthMM, missing = math.NaN(), cmp.Or(missing, FigureUnknown)
	}
	return l, missing
}

// namesOtherCases tells whether figures are stated for a load case that the criteria do not have: which one is meant is not known.
func (s *Subject) namesOtherCases(figures []CaseFigure) bool {
	return slices.ContainsFunc(figures, func(f CaseFigure) bool {
		return !slices.ContainsFunc(s.Criteria.LoadCases, func(c LoadCase) bool { return IsSameLoadCase(c.Name, f.Case) })
	})
}

// lacksSwingLimit is why nothing tells how far a suspension string may swing.
func (s *Subject) lacksSwingLimit() Reason {
	row := &s.Line.Row
	byCase := len(row.SwingLimitsDeg) > 0
	switch {
	case s.Structure.RoomFaulty && !s.Structure.RoomSuperseded:
		return row.lacks(CellLength)
	case math.IsNaN(row.SwingLimitDeg) && !byCase && row.Faulty.Has(CellLimits):
		return row.lacks(CellLimits)
	case s.Structure.RoomSuperseded:
		return OwnFigureSuperseded
	case s.AsksSwing():
		return NoReason
	}
	return SwingLimitNotStated
}

// AsksSwing tells whether the line or the structure states how far a suspension string may swing, or the clearance that tells it.
func (s *Subject) AsksSwing() bool {
	return isStated(s.Line.Row.SwingLimitDeg) || len(s.Line.Row.SwingLimitsDeg) > 0 || s.Structure.Room.AsksClearance()
}

// TightestSwing is the load case in which a suspension string comes nearest to what it may swing, or exceeds it by most. reason is why it
// is not known whether it swings farther than it may anywhere: in a case it exceeds what is known of its limit none is asked.
func (s *Subject) TightestSwing() (tightest Load, swingDeg float64, allowed AllowedSwing, reason Reason) {
	if len(s.Criteria.LoadCases) == 0 {
		return tightest, math.NaN(), allowed, LoadCasesMissing
	}
	allowed.Deg, swingDeg = math.NaN(), math.NaN()
	lacks := NoReason
	cases := s.cases()
	for i := range cases {
		c := &cases[i]
		load, reason := s.Load(c)
		if reason != NoReason {
			lacks = cmp.Or(lacks, reason)
			continue
		}
		swing, may := s.SwingDeg(load), s.AllowedSwing(c)
		lacks = cmp.Or(lacks, may.Lacks)
		if !math.IsNaN(may.Deg) && (math.IsNaN(allowed.Deg) || may.Deg-swing < allowed.Deg-swingDeg) {
			tightest, swingDeg, allowed = load, swing, may
		}
	}
	if compare(swingDeg, allowed.Deg) > 0 {
		return tightest, swingDeg, allowed, NoReason
	}
	return tightest, swingDeg, allowed, lacks
}

// HeldByStatedSwing tells whether a suspension string is held in a load case against a swing that is stated in degrees alone, with no clearance of the case, which tells how far one of
// another length may swing; and whether it swings farther than that.
func (s *Site) HeldByStatedSwing(a *Assembly) (held, exceeds bool) {
	s.one.Assembly = a
	cases := s.one.cases()
	for i := range cases {
		load, reason := s.one.Load(&cases[i])
		if reason != NoReason {
			continue
		}
		if may := s.one.AllowedSwing(&cases[i]); isStated(may.StatedDeg) && math.IsNaN(may.ClearanceMM) {
			held, exceeds = true, exceeds || compare(s.one.SwingDeg(load), may.StatedDeg) > 0
		}
	}
	return held, exceeds
}
