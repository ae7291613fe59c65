package audit

import (
	"cmp"
	"math"

	"dryarc/audit/basis"
)

// Shape is the shape of a voltage that a string must withstand.
type Shape uint8

// The shapes: lightning impulse, switching impulse (range II), wet power frequency (range I).
const (
	Lightning Shape = iota
	Switching
	Wet
)

// Withstand is the voltage that a string withstands at sea level, and where the figure comes from.
type Withstand struct {
	KV     float64 // kV peak for impulse, kV r.m.s. for wet power frequency; NaN if unknown
	From   WithstandFrom
	GapM   float64 // dry arcing distance of a gap formula
	Reason Reason  // why it is unknown
	NoMore Reason  // why no more is known than that the string withstands no more
	NoLess Reason  // the same of no less
}

// WithstandFrom says where a withstand voltage comes from, in the order they are tried.
type WithstandFrom uint8

// The sources of a withstand voltage.
const (
	Tested    WithstandFrom = iota // the register row states it
	UnitValue                      // the unit's own value, for an insulator that is a whole string
	DiscTable                      // the table of 146 mm discs, interpolated on length
	GapFormula
	UnitFlashover // the unit's own flashover by its factor, for an insulator that is a whole string
	ShareOfTested // what the sound units have of the value that the row states for the whole string
	TestedWet     // the register row states it of switching impulse in rain
	UnitWet       // the unit's own value of switching impulse in rain, for an insulator that is a whole string
	GapOverUnits  // the gap formula where the criteria take the length of the units for the arcing distance
	UnitsTogether // what each sound unit withstands by its own figures, than the sum of which the string withstands no more
)

var withstandFromNames = [...]string{
	"tested value of the register", "value of the unit", "disc table, interpolated on string length", "gap formula on the dry arcing distance",
	"flashover of the unit by its factor",
	"share of the sound units in the tested value of the register",
	"tested wet value of the register",
	"wet value of the unit",
	"gap formula on the string length less hardware",
	"withstand of one unit times the sound units, than which that of the string is no more",
}

func (f WithstandFrom) String() string { return withstandFromNames[f] }

// Withstand finds the voltage of one shape that a string of the assembly withstands with a number of sound units. What the
// row states for the whole string, a tested value or an arcing distance, its units have in shares by their length. Where the row states an
// arcing distance shorter than the string, as between horns, and no tested value, the lower of the table, or the unit's own, and the gap formula governs. Neither
// table nor formula tells of units that state less of the shape than one disc of the table has: of these no more is known than that the string has no more than that, nor
// than all together.
func (a *Assembly) Withstand(shape Shape, units int, c *Criteria) Withstand {
	found := a.withstand(shape, units, c)
	if found.Reason != NoReason || found.From != DiscTable && !found.IsByGap() || !a.CountsUnits() {
		return found
	}
	var own Withstand
	if own.KV = math.NaN(); len(a.Makeup.Parts) == 1 {
		own = unitWithstand(a.Unit, shape, c)
	}
	unread := a.UnitFaulty.Has(CellTested) || shape == Switching && a.UnitFaulty.Has(CellLimits)
	together, open := float64(units)*own.KV, UnitsLessThanTable
	switch {
	case unread, a.UnitFaulty.Has(CellLength):
		open = FaultyField
	case math.IsNaN(a.UnitsMM()): // a shorter unit may state less
		open = SpacingUnknown
	}
	switch less := a.areLessThanTable(shape) || shape == Switching && together < found.KV; {
	case less && a.UnitsPerString == 1 && !unread && !math.IsNaN(own.KV):
		return a.orAcrossHorns(own, shape, 1, c)
	case less && together < found.KV:
		return Withstand{KV: together, From: UnitsTogether, NoMore: open}
	case less, unread:
		found.NoMore = cmp.Or(found.NoMore, open)
	}
	return found
}

// TestedCells are the cells of a row that state what a string was tested to withstand, by shape.
var TestedCells = [...]Cell{CellTested, CellLimits, CellTestedWet}

func (a *Assembly) withstand(shape Shape, units int, c *Criteria) Withstand {
	tested, from := a.tested(shape)
	share := a.shareOf(units)
	switch {
	case shape == Switching && a.lesserUnread():
		return unknownWithstand(FaultyField)
	case math.IsNaN(share) && a.UnitFaulty.Has(CellLength):
		return unknownWithstand(FaultyField)
	case math.IsNaN(share):
		return unknownWithstand(SpacingUnknown)
	case !math.IsNaN(tested) && share < 1:
		return Withstand{KV: share * tested, From: ShareOfTested}
	case !math.IsNaN(tested):
		return Withstand{KV: tested, From: from}
	case a.Faulty.Has(TestedCells[shape]), a.Faulty.Has(CellArcing), a.Faulty.Has(CellUnit), a.Faulty.Has(CellUnitsPerString), a.UnitFaulty.Has(CellKind):
		return unknownWithstand(FaultyField)
	case a.Makeup == nil && math.IsNaN(a.Direct.ArcingMM):
		return unknownWithstand(a.lacksString())
	case a.Makeup != nil && a.lacksCount():
		return unknownWithstand(UnitsNotStated)
	case a.inSeries() && shape != Switching && a.UnitFaulty.Has(CellTested):
		return unknownWithstand(FaultyField)
	case a.inSeries():
		return unknownWithstand(SeriesNotTested)
	}
	faulty := shape != Switching && (a.UnitFaulty.Has(CellLength) || a.UnitFaulty.Has(CellDiameter))
	if a.isOneInsulator() {
		own := unitWithstand(a.Unit, shape, c)
		if shape != Switching && own.From != UnitValue && a.UnitFaulty.Has(CellTested) || shape == Switching && a.UnitFaulty.Has(CellLimits) {
			return unknownWithstand(FaultyField)
		}
		if !math.IsNaN(own.KV) {
			return a.orAcrossHorns(own, shape, share, c)
		}
	} else if faulty {
		return unknownWithstand(FaultyField)
	} else if kv, ok := a.tableWithstand(shape, units, c); ok && a.CountsUnits() {
		return a.orAcrossHorns(Withstand{KV: kv, From: DiscTable}, shape, share, c)
	}
	if _, ok := a.tableWithstand(shape, units, c); ok && a.MayBeCapAndPin() && !a.CountsUnits() {
		return unknownWithstand(UnitKindNotStated) // the table or the gap: which of the two tells
	}
	across := a.acrossGap(shape, units, c)
	if across.Reason == WithstandUnknown && !math.IsNaN(a.IdleTestedKV(shape)) {
		across.Reason = UnitTestedAlone
	}
	return across
}

// tested is what the row states that the string was tested to withstand; NaN where it states nothing. Of switching impulse it may state what it withstands wet and another
// value, dry or nobody says how: the lesser governs, of which the wet one may be that of an insulator that is the whole string.
func (a *Assembly) tested(shape Shape) (kV float64, from WithstandFrom) {
	kV = [...]float64{a.Direct.LightningKV, a.Direct.SwitchingKV, a.Direct.WetKV}[shape]
	wet, wetFrom := a.Direct.WetSwitchingKV, TestedWet
	if math.IsNaN(wet) && !math.IsNaN(kV) && a.isOneInsulator() {
		wet, wetFrom = a.Unit.WetSwitchingKV, UnitWet
	}
	if shape == Switching && !math.IsNaN(wet) && !(kV < wet) {
		return wet, wetFrom
	}
	return kV, Tested
}

// lesserUnread tells that of two values of switching impulse one is known, and the other, which may be the lesser, cannot be read.
func (a *Assembly) lesserUnread() bool {
	d := &a.Direct
	switch {
	case math.IsNaN(d.SwitchingKV) && math.IsNaN(d.WetSwitchingKV):
		return false
	case a.Faulty.Has(CellLimits):
		return math.IsNaN(d.SwitchingKV) || math.IsNaN(d.WetSwitchingKV)
	case !math.IsNaN(d.WetSwitchingKV):
		return false
	}
	return a.Faulty.Has(CellUnit) || a.Faulty.Has(CellUnitsPerString) && !a.CountsUnits() || a.UnitFaulty.Has(CellLimits) && a.isOneInsulator()
}

// IdleTestedKV is the withstand, else the flashover, that a unit states of itself and that says nothing of a string of several; NaN
// where it states none or is the whole string.
func (a *Assembly) IdleTestedKV(shape Shape) float64 {
	if a.Unit == nil || a.isOneInsulator() || a.CountsUnits() && a.UnitsPerString == 1 {
		return math.NaN()
	}
	if own := [...]float64{a.Unit.LightningWithstandKV, a.Unit.WetSwitchingKV, a.Unit.WetWithstandKV}[shape]; !math.IsNaN(own) {
		return own
	}
	return UnitFlashoverKV(a.Unit, shape)
}

// WetBelowFormula tells whether a wet value of switching impulse, of the row or of the unit, is less than the formula of dry gaps gives for as long a string, or
// nobody can tell: that formula says nothing then of what withstands in the rain there.
func (a *Assembly) WetBelowFormula(c *Criteria) bool {
	wet := a.Withstand(Switching, a.UnitsPerString, c)
	if wet.From != TestedWet && wet.From != UnitWet {
		return false
	}
	reach := a.ArcingMM()
	if math.IsNaN(reach) {
		reach = a.LengthMM()
	}
	formula := a.gapWithstand(Switching, reach, c)
	return formula.NoLess != NoReason || !(wet.KV >= formula.KV)
}

// IsByGap tells whether a withstand is that of a dry gap by its formula.
func (w Withstand) IsByGap() bool {
	return w.Reason == NoReason && (w.From == GapFormula || w.From == GapOverUnits)
}

// SoundWithstand is the voltage of one shape that the worst string withstands without its defective units; 0 where none is left.
func (a *Assembly) SoundWithstand(shape Shape, c *Criteria) Withstand {
	left := a.Withstand(shape, a.UnitsPerString-a.Defective, c)
	if a.HasFailed() || a.Defective > 0 && a.Defective >= a.UnitsPerString {
		left = Withstand{From: left.From}
	}
	return left
}

// unitWithstand is what an insulator that is a whole string withstands by its own figures: as stated, else from its flashover.
func unitWithstand(u *basis.Unit, shape Shape, c *Criteria) Withstand {
	if own := [...]float64{u.LightningWithstandKV, u.WetSwitchingKV, u.WetWithstandKV}[shape]; !math.IsNaN(own) {
		return Withstand{KV: own, From: [...]WithstandFrom{UnitValue, UnitWet, UnitValue}[shape]}
	}
	flashover := UnitFlashoverKV(u, shape)
	if shape == Wet {
		return Withstand{KV: c.WetShare.Value * flashover, From: UnitFlashover}
	}
	return Withstand{KV: basis.WithstandFromU50(flashover, basis.LightningSigma), From: UnitFlashover}
}

// UnitFlashoverKV is the flashover voltage that a unit states for a shape; NaN where it states none.
func UnitFlashoverKV(u *basis.Unit, shape Shape) float64 {
	return [...]float64{u.LightningKV, math.NaN(), u.WetKV}[shape]
}

func unknownWithstand(reason Reason) Withstand { return Withstand{KV: math.NaN(), Reason: reason} }

// shareOf is the share of a string that some of its units make up, of unlike ones the shortest, by their spacing; 1 where their number is not known,
// NaN where the spacing of unlike ones is not.
func (a *Assembly) shareOf(units int) float64 {
	switch {
	case a.UnitsPerString < 1 || units >= a.UnitsPerString:
		return 1
	case a.Makeup != nil && len(a.Makeup.Parts) > 1:
		spacing := func(u *basis.Unit) float64 { return u.SpacingMM }
		return a.leastLeft(a.UnitsPerString-units, spacing) / a.leastLeft(0, spacing)
	}
	return math.Max(float64(units)/float64(a.UnitsPerString), 0)
}

// orAcrossHorns is the lower of what a string withstands along its units and what the gap does that its row states shorter than the string, of which its
// sound units have a share. Where nothing is known of the gap the string withstands no more than along its units.
func (a *Assembly) orAcrossHorns(along Withstand, shape Shape, share float64, c *Criteria) Withstand {
	switch shorter, reason := a.hasHorns(); {
	case reason != NoReason:
		return unknownWithstand(reason)
	case !shorter:
		return along
	case shape == Wet:
		along.NoMore = WetAcrossHorns
		return along
	}
	across := a.gapWithstand(shape, share*a.Direct.ArcingMM, c)
	switch {
	case across.Reason != NoReason:
		along.NoMore = across.Reason
	case across.KV < along.KV:
		across.NoMore = cmp.Or(across.NoMore, along.NoMore)
		return across
	default:
		along.NoMore = cmp.Or(along.NoMore, across.NoMore)
	}
	return along
}

// hasHorns tells whether the row states an arcing distance that is shorter than that of the units by themselves: of an insulator that is the
// whole string, which was tested by itself, its own, else the length of the string; or why that is not known.
func (a *Assembly) hasHorns() (shorter bool, unknown Reason) {
	without := a.LengthMM()
	switch {
	case math.IsNaN(a.Direct.ArcingMM):
		return false, NoReason
	case a.isOneInsulator() && a.faultyArcing():
		return false, FaultyField
	case a.isOneInsulator() && !math.IsNaN(a.Unit.ArcingMM):
		without = a.Unit.ArcingMM
	case a.Faulty.Has(CellLength):
		return false, FaultyField
	case math.IsNaN(without):
		return false, a.lacksLength()
	}
	return compare(a.Direct.ArcingMM, without) < 0, NoReason
}

// HornsMM is the gap of arcing horns: an arcing distance that the row states shorter than the string; NaN where it states none, or nobody can tell.
func (a *Assembly) HornsMM() float64 {
	if shorter, _ := a.hasHorns(); shorter {
		return a.Direct.ArcingMM
	}
	return math.NaN()
}

// ArcsAlongUnits tells whether the row of a string of discs states an arcing distance that is of the string itself, not of horns: one no shorter than
// the string, of which it is known how long its units are.
func (a *Assembly) ArcsAlongUnits() bool {
	shorter, unknown := a.hasHorns()
	return a.CountsUnits() && !math.IsNaN(a.Direct.ArcingMM) && !a.Faulty.Has(CellArcing) && !shorter && unknown == NoReason && !math.IsNaN(a.UnitsMM())
}

// MayHaveHorns tells whether the row states an arcing distance, or has one that nobody can read, that is not for certain of the string itself, so that it
// may be of arcing horns: of an insulator that is the whole string one is of itself where it is no shorter than its type has it.
func (a *Assembly) MayHaveHorns() bool {
	switch shorter, unknown := a.hasHorns(); {
	case a.Faulty.Has(CellArcing):
		return true
	case math.IsNaN(a.Direct.ArcingMM):
		return false
	case a.isOneInsulator():
		return shorter || unknown != NoReason
	}
	return !a.ArcsAlongUnits()
}

// MayArcByItself tells that an arcing distance that may be of horns may as well be of the string itself: the type of an insulator that is the whole string
// states none, or it is no shorter than discs are without the fittings that the row's length has in it.
func (a *Assembly) MayArcByItself() bool {
	switch {
	case math.IsNaN(a.Direct.ArcingMM):
		return false
	case a.isOneInsulator():
		return math.IsNaN(a.Unit.ArcingMM)
	}
	return a.CountsUnits() && compare(a.Direct.ArcingMM, a.UnitsMM()) >= 0
}

// tableWithstand reads the disc table.
func (a *Assembly) tableWithstand(shape Shape, units int, c *Criteria) (float64, bool) {
	spacing, ok := a.tableSpacingMM(units)
	switch {
	case !ok:
		return 0, false
	case shape == Lightning:
		return basis.LightningWithstand(units, spacing, a.Unit.DiameterMM)
	case shape == Wet:
		return basis.WetWithstand(units, spacing, a.Unit.DiameterMM, c.WetShare.Value)
	}
	return 0, false
}

// TableFlashover is what the disc table says of a string of a number of units, and how many standard discs are as long.
func (a *Assembly) TableFlashover(units int) (f basis.Flashover, discs float64, ok bool) {
	spacing, ok := a.tableSpacingMM(units)
	if !ok {
		return f, math.NaN(), false
	}
	f, ok = basis.StringFlashover(units, spacing, a.Unit.DiameterMM)
	return f, basis.StandardDiscs(units, spacing), ok
}

// tableSpacingMM is the spacing at which the disc table is read. A string of unlike units counts by its whole length,
// without some of them by what is left at worst; each unit must be one the table serves.
func (a *Assembly) tableSpacingMM(units int) (spacingMM float64, ok bool) {
	if units < 1 || a.Makeup == nil {
		return 0, false
	}
	length, count := 0.0, 0
	for _, part := range a.Makeup.Parts {
		unit := &a.units[part.Unit]
		if !basis.InDiscTable(unit.SpacingMM, unit.DiameterMM) {
			return 0, false
		}
		length += float64(a.count(part)) * unit.SpacingMM
		count += a.count(part)
	}
	if units < count && len(a.Makeup.Parts) > 1 {
		return a.UnitsLeftMM(units) / float64(units), true
	}
	return length / float64(count), count > 0
}

// Exponent is m of the altitude factor for a shape.
func (c *Criteria) Exponent(shape Shape) float64 {
	if shape == Switching {
		return c.SwitchingExponent.Value
	}
	return basis.LightningExponent
}

// lacksWithstand tells why a shape cannot be judged at a structure. Without a ground level a level can be that is not reached
// anywhere, see Subject.AtLeast.
func (s *Subject) lacksWithstand(shape Shape) Reason {
	switch {
	case s.Line.unreadLevel(shape), s.Line.LevelImplausible && shape != Switching:
		return FaultyField
	case s.Line.Row.Faulty.Has(CellVoltage):
		return s.Line.Row.lacks(CellVoltage)
	case s.Line.Row.System.IsDirect() && (shape == Wet || !math.IsNaN(s.Line.Level(shape))):
		return DirectCurrentLine
	case math.IsNaN(s.Line.HighestKV) && !s.Line.Row.System.IsDirect():
		return s.lacksVoltage(s.Line.HighestKV)
	case math.IsNaN(s.Line.Level(shape)):
		return [...]Reason{LightningLevelNotStated, SwitchingLevelNotStated, WetLevelUnknown}[shape]
	}
	unknown := s.Assembly.Withstand(shape, s.Assembly.UnitsPerString, s.Criteria).Reason
	if reason := s.LacksGround(); reason != NoReason {
		return s.unlessLeast(reason, unknown == NoReason)
	}
	if _, _, err := basis.AltitudeFactor(s.Criteria.AltitudeBasis, s.Structure.GroundM, s.Criteria.Exponent(shape)); err != nil {
		return AltitudeOutOfRange
	}
	return unknown
}
