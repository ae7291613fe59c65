package audit

import (
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
	Reason Reason // why it is unknown
}

// WithstandFrom says where a withstand voltage comes from, in the order they are tried.
type WithstandFrom uint8

// The sources of a withstand voltage.
const (
	Tested    WithstandFrom = iota // the register row states it
	UnitValue                      // the unit's own value, for insulators that are a whole string
	DiscTable                      // the table of 146 mm discs, interpolated on length
	GapFormula
)

var withstandFromNames = [...]string{
	"tested value of the register", "value of the unit", "disc table, interpolated on string length", "gap formula on the dry arcing distance",
}

func (f WithstandFrom) String() string { return withstandFromNames[f] }

// Withstand finds the voltage of one shape that a string of the assembly withstands with a number of sound units.
func (a *Assembly) Withstand(shape Shape, units int, c *Criteria) Withstand {
	tested := [...]float64{a.Direct.LightningKV, a.Direct.SwitchingKV, a.Direct.WetKV}[shape]
	switch {
	case !math.IsNaN(tested):
		return Withstand{KV: tested, From: Tested}
	case a.Faulty.Has(CellTested), a.Faulty.Has(CellUnit), a.Faulty.Has(CellUnitsPerString), a.UnitFaulty.Has(CellKind):
		return Withstand{KV: math.NaN(), Reason: FaultyField}
	case a.Makeup == nil && math.IsNaN(a.Direct.ArcingMM):
		return Withstand{KV: math.NaN(), Reason: a.lacksString()}
	}
	if a.Unit != nil && !a.Unit.Kind.HasUnitCount() {
		if own := [...]float64{a.Unit.LightningKV, math.NaN(), a.Unit.WetKV}[shape]; !math.IsNaN(own) {
			return Withstand{KV: own, From: UnitValue}
		}
		if shape != Switching && a.UnitFaulty.Has(CellTested) {
			return Withstand{KV: math.NaN(), Reason: FaultyField}
		}
	} else if a.Unit != nil {
		if shape != Switching && (a.UnitFaulty.Has(CellLength) || a.UnitFaulty.Has(CellDiameter)) {
			return Withstand{KV: math.NaN(), Reason: FaultyField}
		}
		if kv, ok := a.tableWithstand(shape, units, c); ok {
			return Withstand{KV: kv, From: DiscTable}
		}
	}
	return a.gapWithstand(shape, c)
}

// tableWithstand reads the disc table. A string of unlike units counts by its whole length; each unit must be one the
// table serves.
func (a *Assembly) tableWithstand(shape Shape, units int, c *Criteria) (float64, bool) {
	if units < 1 {
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
	if count < 1 {
		return 0, false
	}
	switch spacing := length / float64(count); shape {
	case Lightning:
		return basis.LightningWithstand(units, spacing, a.Unit.DiameterMM)
	case Wet:
		return basis.WetWithstand(units, spacing, a.Unit.DiameterMM, c.WetShare.Value)
	}
	return 0, false
}

func (a *Assembly) gapWithstand(shape Shape, c *Criteria) Withstand {
	unknown := Withstand{KV: math.NaN(), Reason: WithstandUnknown}
	distance := a.arcingMM() / 1000
	formula, sigma := basis.GapLightning, basis.LightningSigma
	switch {
	case math.IsNaN(distance) && shape != Wet && a.faultyArcing():
		unknown.Reason = FaultyField
		return unknown
	case math.IsNaN(distance), shape == Wet:
		return unknown
	case shape == Switching:
		formula, sigma = basis.GapSwitching, basis.SwitchingSigma
	}
	u50, err := formula(distance, c.GapFactor.Value)
	if err != nil {
		unknown.Reason = OutsideGapFormula
		return unknown
	}
	return Withstand{KV: basis.WithstandFromU50(u50, sigma), From: GapFormula}
}

// faultyArcing tells whether an arcing distance is stated that nobody can read.
func (a *Assembly) faultyArcing() bool {
	return a.Faulty.Has(CellArcing) || a.UnitFaulty.Has(CellArcing) && a.Unit != nil && !a.Unit.Kind.HasUnitCount()
}

// Exponent is m of the altitude factor for a shape.
func (c *Criteria) Exponent(shape Shape) float64 {
	if shape == Switching {
		return c.SwitchingExponent.Value
	}
	return basis.LightningExponent
}

// lacksWithstand tells why a shape cannot be judged at a structure.
func (s *Subject) lacksWithstand(shape Shape) Reason {
	switch {
	case s.Line.Row.Faulty.Has(CellVoltage):
		return FaultyField
	case math.IsNaN(s.Line.HighestKV):
		return VoltageUnknown
	case math.IsNaN(s.Line.Level(shape)):
		return [...]Reason{LightningLevelNotStated, SwitchingLevelNotStated, WetLevelUnknown}[shape]
	}
	if reason := s.lacksGround(); reason != NoReason {
		return reason
	}
	if _, _, err := basis.AltitudeFactor(s.Criteria.AltitudeBasis, s.Structure.GroundM, s.Criteria.Exponent(shape)); err != nil {
		return AltitudeOutOfRange
	}
	return s.Assembly.Withstand(shape, s.Assembly.UnitsPerString, s.Criteria).Reason
}
