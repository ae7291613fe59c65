package audit

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"dryarc/audit/basis"
)

// Need is something that a check has to know of its subject. A check names its needs, and judges no subject that lacks
// one of them.
type Need struct {
	Name  string       // as `dryarc checks ID` prints it
	of    subjectKinds // the subjects that it fits
	lacks func(s *Subject) Reason
}

// subjectKinds is a set of kinds of subject.
type subjectKinds uint8

func kinds(list ...SubjectKind) (set subjectKinds) {
	for _, kind := range list {
		set |= 1 << kind
	}
	return set
}

func (set subjectKinds) has(kind SubjectKind) bool { return set&(1<<kind) != 0 }

var (
	ofAnything  = kinds(OfAssembly, OfPlace, OfStructure, OfSection, OfLine)
	ofStructure = kinds(OfAssembly, OfPlace, OfStructure) // whatever stands at one structure
	ofAssembly  = kinds(OfAssembly)
)

// What the register says of an assembly.
var (
	NeedsDuty = Need{"duty", ofAssembly, func(s *Subject) Reason {
		return s.Assembly.lacks(s.Assembly.Duty == DutyUnknown, CellDuty, DutyNotStated)
	}}
	NeedsSide = Need{"side", ofAssembly, func(s *Subject) Reason {
		return s.Assembly.lacks(s.Assembly.Duty.HasSides() && s.Assembly.Side == NoSide, CellSide, SideNotStated)
	}}
	NeedsNoFaultySide = Need{"side, where the cell holds anything", ofAssembly, func(s *Subject) Reason {
		return s.Assembly.lacks(s.Assembly.Faulty.Has(CellSide), CellSide, SideNotStated)
	}}
	NeedsUnit = Need{"unit", ofAssembly, func(s *Subject) Reason {
		return s.Assembly.lacks(s.Assembly.Makeup == nil, CellUnit, UnitNotStated)
	}}
	NeedsKind = Need{"construction of the unit", ofAssembly, func(s *Subject) Reason {
		return faulty(s.Assembly.Faulty.Has(CellUnit) || s.Assembly.UnitFaulty.Has(CellKind))
	}}
	NeedsKindStated = Need{"kind of the unit", ofAssembly, func(s *Subject) Reason { return s.Assembly.lacksKind() }}
	NeedsPinKind    = Need{"kind of the unit, where it may be a pin insulator", ofAssembly, func(s *Subject) Reason {
		return s.Assembly.LacksKindStanding(Pin, basis.Pin)
	}}
	NeedsShackleKind = Need{"kind of the unit, where it may be a shackle insulator", ofAssembly, func(s *Subject) Reason {
		return s.Assembly.LacksKindStanding(Shackle, basis.Shackle)
	}}
	NeedsArrangement = Need{"arrangement of the strings", ofAssembly, func(s *Subject) Reason {
		return faulty(s.Assembly.Faulty.Has(CellArrangement))
	}}
	NeedsAverageDiameter = Need{"average diameter of the units, where stated", ofAssembly, func(s *Subject) Reason {
		if s.Line.Row.System.IsDirect() && s.Assembly.AverageDiameterMM() >= basis.DiameterFactorFromMM {
			return DiameterOnDirect
		}
		return faulty(s.Assembly.Faulty.Has(CellUnit) || s.Assembly.UnitFaulty.Has(CellAverageDiameter))
	}}
	NeedsStringLoads = Need{"weight of the units, where stated, and wind area, or diameter and spacing", ofAssembly, func(s *Subject) Reason {
		return cmp.Or(s.Assembly.lacksStringLoads(), s.lacksStringWind())
	}}
	NeedsUnitsPerString = Need{"units per string", ofAssembly, func(s *Subject) Reason {
		return s.Assembly.lacks(s.Assembly.UnitsPerString < 0, CellUnitsPerString, UnitsNotStated)
	}}
	NeedsStrings = Need{"strings", ofAssembly, func(s *Subject) Reason {
		return s.Assembly.lacks(s.Assembly.Strings < 0, CellStrings, StringsNotStated)
	}}
	NeedsDefective = Need{"defective units", ofAssembly, func(s *Subject) Reason {
		return s.Assembly.lacks(s.Assembly.Defective < 0, CellDefective, DefectiveNotStated)
	}}
	NeedsSoundInsulator = Need{"defective units, of a long rod, a composite or a post; kind of the unit, where some are defective", ofAssembly,
		func(s *Subject) Reason { return s.Assembly.lacksSoundness() }}
	NeedsCreepage     = Need{"creepage of the string", ofAssembly, func(s *Subject) Reason { return s.Assembly.lacksCreepage() }}
	NeedsStringLength = Need{"length of the string", ofAssembly, func(s *Subject) Reason { return s.Assembly.lacksLength() }}
	// That of its insulation, which the fittings that a stated length may have in it are no part of.
	NeedsInsulatingLength = Need{"length of the string without fittings", ofAssembly, func(s *Subject) Reason { return s.Assembly.lacksInsulatingLength(s.Line) }}
	NeedsRatingOfString   = Need{"rating of the string, of shackle insulators the cantilever rating", ofAssembly,
		func(s *Subject) Reason { return s.Assembly.lacksRating() }}
	NeedsCouplings = Need{"couplings of the units", ofAssembly, func(s *Subject) Reason { return s.Assembly.lacksCouplings() }}
	NeedsPuncture  = Need{"dry flashover and puncture voltage of the unit", ofAssembly, func(s *Subject) Reason { return s.Assembly.lacksPuncture() }}
)

// What is known of a structure.
var (
	NeedsDeviation = Need{"deviation", ofStructure, func(s *Subject) Reason {
		return unknown(s.Structure.DeviationDeg, DeviationUnknown)
	}}
	NeedsSpecificCreepage = Need{"specific creepage of the site", ofStructure, (*Subject).lacksSpecificCreepage}
	NeedsCreepageAltitude = Need{"ground level, where creepage is raised with altitude", ofStructure, (*Subject).LacksCreepageAltitude}
	// The same for a check that judges by the least that may be asked, see Subject.AtLeast.
	NeedsLeastSpecificCreepage = Need{"specific creepage of the site, or that of a class beneath", ofStructure, func(s *Subject) Reason {
		return s.unlessLeast(s.lacksSpecificCreepage(), s.Structure.AboveTheTable())
	}}
	NeedsLeastCreepageAltitude = Need{"ground level, where creepage is raised with altitude", ofStructure, func(s *Subject) Reason {
		return s.unlessLeast(s.LacksCreepageAltitude(), s.LacksGround() != NoReason)
	}}
	NeedsGround     = Need{"ground level", ofStructure, (*Subject).LacksGround}
	NeedsWeightSpan = Need{"weight span in the cold case", ofStructure, (*Subject).lacksWeightSpan}
	NeedsSwingLimit = Need{"swing limit, or a clearance", ofStructure, (*Subject).lacksSwingLimit}
	NeedsClearance  = Need{"clearance", ofStructure, (*Subject).lacksClearance}
)

// What must not be faulty for a check to speak at all; nothing of it need be stated.
var (
	NeedsCourse = Need{"structures of the line in their order, and where it ends", kinds(OfAssembly, OfPlace, OfStructure, OfSection), func(s *Subject) Reason {
		return faulty(s.Line.CourseFaulty || s.Structure != nil && s.Structure.CourseFaulty || s.Section != nil && s.Section.Faulty)
	}}
	NeedsConductors = Need{"conductors of the spans", ofStructure, func(s *Subject) Reason { return faulty(s.Structure.ConductorFaulty) }}
	NeedsChange     = Need{"conductors of both spans", ofStructure, func(s *Subject) Reason {
		return s.Structure.ChangeUnstated
	}}
	NeedsTee   = Need{"voltages of the lines that end here", ofStructure, func(s *Subject) Reason { return faulty(s.Structure.TeeFaulty) }}
	NeedsLimit = Need{"deviation limit", ofStructure, func(s *Subject) Reason {
		switch {
		case s.Structure.LimitSuperseded:
			return OwnFigureSuperseded
		case s.Structure.LimitFaulty:
			return s.Line.Row.lacks(CellDeviationLimit)
		}
		return NoReason
	}}
	NeedsDeclared = Need{"duty that the GIS declares", ofStructure, func(s *Subject) Reason {
		return faulty(s.Structure.Faulty.Has(CellDeclared) || s.Registered.Duties[DutyUnknown] > 0)
	}}
	NeedsDoubleCrossings = Need{"places of the crossings that ask for double strings", ofStructure, func(s *Subject) Reason {
		return faulty(s.Structure.Back.MayDouble || s.Structure.Ahead.MayDouble)
	}}
	NeedsTensionCrossings = Need{"places of the crossings that ask for tension", ofStructure, func(s *Subject) Reason {
		return faulty(s.Structure.Back.MayTension || s.Structure.Ahead.MayTension)
	}}
	NeedsKindsCrossed = Need{"kinds of what the spans cross", ofStructure, func(s *Subject) Reason {
		return faulty(s.Structure.Back.Unreadable || s.Structure.Ahead.Unreadable)
	}}
)

// What is known of a line.
var (
	NeedsNominalVoltage = Need{"nominal voltage", ofAnything, func(s *Subject) Reason { return s.lacksVoltage(s.Line.Row.NominalKV) }}
	NeedsHighestVoltage = Need{"highest voltage", ofAnything, func(s *Subject) Reason {
		if s.Line.Row.System.IsDirect() { // whose voltages are none of those that limits and levels are of
			return DirectCurrentLine
		}
		return s.lacksVoltage(s.Line.HighestKV)
	}}
	NeedsPinVoltage = Need{"highest voltage, unless the line is of low voltage, which has none", ofAnything, func(s *Subject) Reason {
		if !s.Line.Row.System.IsDirect() && !s.Line.Row.Faulty.Has(CellVoltage) && basis.IsLowVoltage(s.Line.VoltageKV()) {
			return NoReason
		}
		return NeedsHighestVoltage.lacks(s)
	}}
	NeedsAlternating = Need{"alternating current", ofAnything, func(s *Subject) Reason {
		if s.Line.Row.System.IsDirect() { // voltages of units are of power frequency
			return DirectCurrentLine
		}
		return faulty(s.Line.Row.SystemUnread())
	}}
	NeedsLevels        = Need{"levels of the line, as far as they are stated, and its highest voltage", ofAnything, (*Subject).lacksLevels}
	NeedsPhaseToEarth  = Need{"phase-to-earth voltage", ofAnything, func(s *Subject) Reason { return s.Line.NoVoltage }}
	NeedsLongestString = Need{"longest string of the line", ofAnything, func(s *Subject) Reason {
		return s.lacksLimit(s.Line.Row.LongestStringMM, CellUnitsPerString, LongestStringNotStated)
	}}
	NeedsSectionLimit = Need{"section limit", ofAnything, func(s *Subject) Reason {
		return s.lacksLimit(s.Line.Row.SectionLimitKM, CellSequence, SectionLimitNotStated)
	}}
)

// What follows from an assembly, its structure, its line and the criteria together.
var (
	NeedsPull = Need{"load cases, factor, conductor, tension and ground levels; of pins and posts their mounting and the strengths that are loaded", ofAssembly, func(s *Subject) Reason {
		return s.lacksPull(0) // load of the worst load case on one string
	}}
	NeedsPullBroken = Need{"load cases, factor for a broken string, conductor, tension and ground levels", ofAssembly, func(s *Subject) Reason {
		return s.lacksPull(1) // the same with one of the parallel strings broken
	}}
	NeedsBrokenPull     = Need{"share, factor and load case of a broken conductor, conductor, tension and ground levels; slip load, where the cell holds anything", ofAssembly, (*Subject).lacksBroken}
	NeedsFittingsBeside = Need{"share, factor for fittings and load case of a broken conductor, conductor, tension and ground levels; slip load, where the cell holds anything", ofAssembly, func(s *Subject) Reason {
		_, reason := s.WorstBrokenFitting()
		return reason
	}}
	NeedsFittings = Need{"load cases, factor for fittings, conductor, tension and ground levels", ofAssembly, func(s *Subject) Reason {
		_, reason := s.FittingLoads(0, false)
		return reason
	}}
	NeedsFittingsBroken = Need{"load cases, factor for fittings with a broken string, conductor, tension and ground levels", ofAssembly, func(s *Subject) Reason {
		_, reason := s.FittingLoads(1, false)
		return reason
	}}
	NeedsSwing              = Need{"load cases, conductor, tension and ground levels", ofAssembly, (*Subject).lacksSwing}
	NeedsLightningWithstand = Need{"lightning level, ground level and lightning withstand", ofAssembly, func(s *Subject) Reason {
		return s.lacksWithstand(Lightning)
	}}
	NeedsSwitchingWithstand = Need{"switching level, ground level and switching withstand", ofAssembly, func(s *Subject) Reason {
		return s.lacksWithstand(Switching)
	}}
	NeedsFlashover = Need{"nominal voltage, and the dry and wet flashover that the table of the criteria asks for", ofAssembly, func(s *Subject) Reason {
		return s.lacksFlashover()
	}}
	NeedsWetWithstand = Need{"power frequency level, ground level and wet withstand", ofAssembly, func(s *Subject) Reason {
		return s.lacksWithstand(Wet)
	}}
)

// Lacks returns why something needed of the subject is unknown, or NoReason where it is known.
func (s *Subject) Lacks(need Need) Reason { return need.lacks(s) }

// validateNeeds finds needs without an answer, and those that do not fit the subjects of a check.
func validateNeeds(c *Check) error {
	for i, need := range slices.Concat(c.AskedBy, c.Trusts, c.Needs) {
		switch {
		case need.Name == "" || need.lacks == nil:
			return fmt.Errorf("check %s: need %d is none of those of package audit", c.ID, i+1)
		case need.of&kinds(c.Of) == 0:
			return fmt.Errorf("check %s judges every %s, which has no %s", c.ID, c.Of, need.Name)
		}
	}
	return nil
}

func unknown(figure float64, reason Reason) Reason {
	if math.IsNaN(figure) {
		return reason
	}
	return NoReason
}

// faulty is why a cell that may be blank cannot be passed over.
func faulty(is bool) Reason {
	if is {
		return FaultyField
	}
	return NoReason
}

func (s *Subject) lacksSpecificCreepage() Reason {
	switch {
	case !math.IsNaN(s.Structure.SpecificCreepage):
		return NoReason
	case s.Structure.Doubt != NoReason:
		return s.Structure.Doubt
	case s.Structure.Class == 0 && s.Structure.Zone >= 0 && s.GoesByPole():
		return ZoneOfAlternating
	case s.Structure.Class == 0:
		return NoClass
	case s.GoesByPole():
		return NoDirectCreepage
	}
	return ClassWithoutFigure
}

// LacksCreepageAltitude is why the altitude factor of creepage is unknown, where there is one.
func (s *Subject) LacksCreepageAltitude() Reason {
	if s.Criteria.CreepageAltitudeExponent.Value == 0 {
		return NoReason
	}
	if reason := s.LacksGround(); reason != NoReason {
		return reason
	}
	if _, err := basis.CreepageAltitudeFactor(s.Structure.GroundM, s.Criteria.CreepageAltitudeExponent.Value); err != nil {
		return AltitudeOutOfRange
	}
	return NoReason
}

// unlessLeast passes over a reason where what is unknown can only ask for more than is known; a trial looks for what is enough.
func (s *Subject) unlessLeast(reason Reason, asksForMore bool) Reason {
	if asksForMore && !s.Trial {
		return NoReason
	}
	return reason
}

// LacksGround is why the ground level is unknown.
func (s *Subject) LacksGround() Reason {
	if s.Structure.Faulty.Has(CellGround) {
		return FaultyField
	}
	return unknown(s.Structure.GroundM, noGround(s.Structure.NoGround))
}

func (s *Subject) lacksWeightSpan() Reason {
	if !math.IsNaN(s.Structure.WeightSpanColdM) {
		return NoReason
	}
	if _, reason := s.Cold(); reason != NoReason {
		return reason
	}
	return s.groundReason()
}

// lacksLimit tells why a limit of the line is unknown; one that cannot be read is not the same as one not stated.
func (s *Subject) lacksLimit(limit float64, cell Cell, notStated Reason) Reason {
	if math.IsNaN(limit) && s.Line.Row.Faulty.Has(cell) {
		return s.Line.Row.lacks(cell)
	}
	return unknown(limit, notStated)
}

func (s *Subject) lacksVoltage(figureKV float64) Reason {
	switch {
	case s.Line.Row.SystemUnread(): // which says what the voltages are
		return FaultyField
	case !math.IsNaN(figureKV):
		return NoReason
	case s.Line.Row.Faulty.Has(CellVoltage):
		return s.Line.Row.lacks(CellVoltage)
	case !math.IsNaN(s.Line.Row.NominalKV): // a figure other than it is wanted, and the table chosen has none for it
		return VoltageNotStandard
	}
	return VoltageUnknown
}

// lacksLevels is why the levels of a line cannot be held against each other.
func (s *Subject) lacksLevels() Reason {
	line := s.Line
	switch {
	case line.lacksLevels(), line.LevelImplausible:
		return FaultyField
	case line.Row.Faulty.Has(CellVoltage):
		return line.Row.lacks(CellVoltage)
	}
	return s.lacksVoltage(line.HighestKV)
}

// lacks is why a cell of an assembly's row leaves something missing: it is faulty, or the reason given.
func (a *Assembly) lacks(missing bool, cell Cell, reason Reason) Reason {
	switch {
	case !missing:
		return NoReason
	case a.Faulty.Has(cell):
		return FaultyField
	}
	return reason
}

// lacksKind is why the kind of a unit in the string is not known.
func (a *Assembly) lacksKind() Reason {
	switch {
	case !a.HasKind(basis.KindUnknown):
		return NoReason
	case a.UnitFaulty.Has(CellKind):
		return FaultyField
	}
	return UnitKindNotStated
}

// LacksKindStanding is why it is not known whether an insulator is of a kind that stands alone, as its duty does not say it.
func (a *Assembly) LacksKindStanding(duty Duty, kind basis.Kind) Reason {
	if a.Duty == duty || a.HasKind(kind) || a.Makeup != nil && len(a.Makeup.Parts) == 1 && a.UnitsPerString > 1 {
		return NoReason
	}
	return a.lacksKind()
}

// lacksSoundness is why it is not known whether a defect has failed the whole string.
func (a *Assembly) lacksSoundness() Reason {
	switch {
	case a.Defective == 0, a.Makeup == nil && !a.Faulty.Has(CellUnit), a.CountsUnits():
		return NoReason
	case a.Faulty.Has(CellUnit):
		return FaultyField
	case a.Defective < 0:
		return a.lacks(true, CellDefective, DefectiveNotStated)
	case a.HasKind(basis.KindUnknown) && !a.HasFailed() && a.UnitFaulty.Has(CellKind):
		return FaultyField
	case a.HasKind(basis.KindUnknown) && !a.HasFailed():
		return KindNotStated
	}
	return NoReason
}

// lacksStringLoads is why it cannot be told whether the units state their weight and wind area.
func (a *Assembly) lacksStringLoads() Reason {
	if a.ContradictsUnit() {
		return UnitNotOfDuty
	}
	return faulty(a.Faulty.Has(CellUnit) || a.Faulty.Has(CellUnitsPerString) || a.UnitFaulty.Has(CellWeight))
}

// lacksStringWind is why the wind on the strings is unknown, where any load case has wind.
func (s *Subject) lacksStringWind() Reason {
	a := s.Assembly
	switch {
	case !slices.ContainsFunc(s.Criteria.LoadCases, func(c LoadCase) bool { return c.WindPa > 0 }), !math.IsNaN(a.windAreaM2()):
		return NoReason
	case a.UnitFaulty.Has(CellDiameter) || a.UnitFaulty.Has(CellLength):
		return FaultyField
	case a.Makeup == nil:
		return a.lacksString()
	case a.UnitsPerString < 0:
		return UnitsNotStated
	}
	return WindAreaUnknown
}

func (a *Assembly) lacksCreepage() Reason {
	switch {
	case !math.IsNaN(a.CreepageMM):
		return NoReason
	case a.Faulty.Has(CellCreepage) || a.Faulty.Has(CellUnit) || a.Faulty.Has(CellUnitsPerString) || a.UnitFaulty.Has(CellCreepage):
		return FaultyField
	case a.Makeup == nil:
		return UnitNotStated
	case a.UnitsPerString < 0:
		return UnitsNotStated
	}
	return UnitCreepageUnknown
}

// ContradictsUnit tells whether an assembly is said to hang as a string, or to be a shackle, of what does not hang: pins and posts stand, and bear
// their loads at their heads, and no shackle hangs in suspension; or to stand, or to be a shackle, of what only hangs: discs and long rods bear nothing
// across their axis (all common practice). Composites are made for either.
func (a *Assembly) ContradictsUnit() bool {
	stands, hangs := a.HasKind(basis.Pin) || a.HasKind(basis.Post), a.HasKind(basis.CapAndPin) || a.HasKind(basis.LongRod)
	switch a.Duty {
	case Suspension:
		return stands || a.HasKind(basis.Shackle)
	case Tension:
		return stands
	case Shackle:
		return stands || hangs
	case Pin, Post:
		return hangs
	}
	return false
}

func (a *Assembly) lacksRating() Reason {
	switch across := a.Duty == Shackle; {
	case a.ContradictsUnit():
		return UnitNotOfDuty
	case a.standsAsPost():
		return NoReason // which of its strengths are needed goes by the loads
	case across && a.Unit == nil:
		return a.lacksString()
	case across && a.UnitFaulty.Has(CellRating) && math.IsNaN(a.CantileverKN()):
		return FaultyField
	case across:
		return unknown(a.CantileverKN(), CantileverUnknown)
	case !math.IsNaN(a.RatingKN()):
		return NoReason
	case a.Faulty.Has(CellRating) || a.Faulty.Has(CellUnit) || a.UnitFaulty.Has(CellRating):
		return FaultyField
	}
	return RatingUnknown
}

func (a *Assembly) lacksCouplings() Reason {
	if a.Makeup == nil {
		return a.lacksString()
	}
	if a.UnitFaulty.Has(CellCoupling) {
		return FaultyField
	}
	for _, part := range a.Makeup.Parts {
		if len(a.Makeup.Parts) > 1 && a.units[part.Unit].Coupling == "" {
			return CouplingUnknown
		}
	}
	return NoReason
}

func (a *Assembly) lacksPuncture() Reason {
	switch {
	case a.Unit == nil:
		return a.lacksString()
	case slices.ContainsFunc(a.Units(), func(u *basis.Unit) bool {
		return (u.Kind.CanPuncture() || u.Kind == basis.KindUnknown) && (math.IsNaN(u.DryKV) || math.IsNaN(u.PunctureKV))
	}):
		if a.UnitFaulty.Has(CellTested) || a.UnitFaulty.Has(CellKind) {
			return FaultyField
		}
		return PunctureUnknown
	}
	return NoReason
}

// lacksString is why nothing is known of the string.
func (a *Assembly) lacksString() Reason {
	if a.Faulty.Has(CellUnit) || a.Faulty.Has(CellUnitsPerString) {
		return FaultyField
	}
	return UnitNotStated
}
