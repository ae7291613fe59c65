package audit

import (
	"cmp"
	"math"

	"dryarc/audit/basis"
)

// A check whose criteria are all silent is not asked for: nobody expects a verdict of it, so what it could not judge stands
// apart from what lacks a datum, and in no share of what could be judged.

// askedBy names, for each reason that a criterion or a limit is silent, what the project would state to ask for the check.
var askedBy = [reasons]string{
	NoCrossings:             "crossings with crossing_rules, or long_span_m",
	NoCrossingRule:          "crossing_rules",
	NoZoneMargin:            "zone_margin_m",
	NoInspectionYears:       "inspection_years",
	NoAges:                  "ageing",
	NoWatchList:             "watch_list",
	NoRingsAsked:            "grading_rings",
	NoFittingRatings:        "Clamp rating (kN), Yoke rating (kN) or Ball and socket rating (kN)",
	NoLoadCases:             "load_cases and insulator_factor",
	NoBrokenConductor:       "broken_conductor",
	NoFlashoverMinimum:      "flashover_minimum",
	SectionLimitNotStated:   "Section limit (km) of the Lines sheet",
	SwingLimitNotStated:     "Swing limit (deg) or Clearance (mm) of the Lines sheet",
	NoClearance:             "Clearance (mm) of the Lines sheet",
	LongestStringNotStated:  "Longest string (mm) of the Lines sheet",
	LightningLevelNotStated: "Lightning level (kV) of the Lines sheet",
	SwitchingLevelNotStated: "Switching level (kV) of the Lines sheet",
}

// AskedBy names what the project would state so that the check is asked for; empty for the reasons that are no such
// silence.
func (r Reason) AskedBy() string { return askedBy[r] }

// isUnasked tells whether nobody asks for a check of what hangs in the place of an assembly, whatever that is: the check says so, or that it does not
// apply.
func (c *Check) isUnasked(s *Subject) bool {
	return len(c.AskedBy) > 0 && c.AskedBy[0].lacks(s).AskedBy() != ""
}

// isAskedAt tells whether it is of a structure, its line and the criteria whether somebody asks for a check.
func (c *Check) isAskedAt() bool {
	return len(c.AskedBy) > 0 && c.AskedBy[0].of&kinds(OfStructure) != 0
}

// What the project states where it asks for a check.
var (
	AsksLoads = Need{"load cases or an insulator factor", ofAnything, func(s *Subject) Reason {
		if len(s.Criteria.LoadCases) == 0 && !s.Criteria.InsulatorFactor.IsStated() {
			return NoLoadCases
		}
		return NoReason
	}}
	AsksBrokenConductor = Need{"broken conductor", ofAnything, func(s *Subject) Reason {
		if s.Criteria.BrokenConductor == (BrokenConductor{}) {
			return NoBrokenConductor
		}
		return NoReason
	}}
	AsksFittings = Need{"rating of a fitting", ofAssembly, func(s *Subject) Reason {
		if !s.statesFitting(Clamp, Yoke, BallAndSocket) {
			return NoFittingRatings
		}
		return NoReason
	}}
	AsksBallAndSocket = Need{"rating of ball and socket", ofAssembly, func(s *Subject) Reason {
		if !s.statesFitting(BallAndSocket) {
			return NoFittingRatings
		}
		return NoReason
	}}
	AsksFittingsBroken = Need{"rating of a fitting, and broken conductor", ofAssembly, func(s *Subject) Reason {
		return cmp.Or(AsksBrokenConductor.lacks(s), AsksFittings.lacks(s))
	}}
	AsksZoneMargin = Need{"zone margin", ofAnything, func(s *Subject) Reason {
		if !s.Criteria.ZoneMarginM.Known() {
			return NoZoneMargin
		}
		return NoReason
	}}
	AsksInspections = Need{"interval of inspections", ofAnything, func(s *Subject) Reason {
		if !s.Criteria.InspectionYears.Known() {
			return NoInspectionYears
		}
		return NoReason
	}}
	AsksAges = Need{"ages", ofAnything, func(s *Subject) Reason {
		if len(s.Criteria.Ageing) == 0 {
			return NoAges
		}
		return NoReason
	}}
	AsksFlashoverMinimum = Need{"table of flashover minima", ofAnything, func(s *Subject) Reason {
		if s.Criteria.FlashoverMinimum == basis.NoFlashoverTable {
			return NoFlashoverMinimum
		}
		return NoReason
	}}
	AsksCrossings = Need{"crossings, rules for them, or long spans", ofAnything, func(s *Subject) Reason {
		if !s.CrossingsGiven && !s.Criteria.LongSpanM.Known() && len(s.Criteria.CrossingRules) == 0 {
			return NoCrossings
		}
		return NoReason
	}}
	AsksLightning = Need{"lightning level", ofAnything, func(s *Subject) Reason {
		return s.asksLevel(Lightning)
	}}
	AsksLevels = Need{"lightning level, in range II the switching level too", ofAnything, func(s *Subject) Reason {
		switch {
		case math.IsNaN(s.Line.Row.LightningKV) && !s.Line.unreadLevel(Lightning): // whatever can be read of the voltage
			return LightningLevelNotStated
		case basis.IsRangeTwo(s.Line.HighestKV):
			return s.asksLevel(Switching)
		}
		return NoReason
	}}
	AsksSwitching = Need{"switching level", ofAnything, func(s *Subject) Reason {
		return s.asksLevel(Switching)
	}}
)

// asksLevel tells that a line states no level of a shape. A level that cannot be read was asked for.
func (s *Subject) asksLevel(shape Shape) Reason {
	if s.Line.Row.Faulty.Has(CellVoltage) || s.Line.unreadLevel(shape) {
		return NoReason
	}
	return unknown(s.Line.Level(shape), [...]Reason{Lightning: LightningLevelNotStated, Switching: SwitchingLevelNotStated}[shape])
}
