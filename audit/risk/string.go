package risk

import (
	"cmp"
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// Kind is what makes a string flash over.
type Kind uint8

// The kinds, in their order everywhere.
const (
	Pollution Kind = iota
	Lightning
	Switching
	kinds
)

var kindNames = [...]string{"pollution", "lightning", "switching"}

func (k Kind) String() string { return kindNames[k] }

// Kinds lists them.
func Kinds() []Kind { return []Kind{Pollution, Lightning, Switching} }

// shape is that of the overvoltage of a kind.
func (k Kind) shape() audit.Shape {
	if k == Switching {
		return audit.Switching
	}
	return audit.Lightning
}

// Overvoltage is what criteria state of the overvoltage of a kind other than pollution.
func (k Kind) Overvoltage(c *audit.Criteria) *audit.Overvoltage {
	if k == Switching {
		return &c.Risk.Switching
	}
	return &c.Risk.Lightning
}

// IsAsked tells whether criteria ask for a kind.
func (k Kind) IsAsked(c *audit.Criteria) bool {
	if k == Pollution {
		return c.Risk.AsksPollution()
	}
	return k.Overvoltage(c).IsStated()
}

// String is one string under one kind of stress, with all figures that its risk follows from. Stress and strength are severities of the
// project's measure for pollution, of which the logarithm is normal, and kV peak for overvoltages.
type String struct {
	Kind        Kind
	Row         int     // of the register
	Stress      float64 // median of the severity of the site, or mean of the overvoltage
	StressSigma float64 // standard deviation of the logarithm of the severity, or of the overvoltage in kV
	Class       basis.Class

	// Of pollution.
	Parts     []Part  // where the project states A for each unit
	PerM      float64 // where it states A for each metre of creepage, in kV
	CreepageM float64 // of the sound string then
	// Where it states A for each unit and the row states less creepage than its units have: both in mm, else NaN.
	RowMM, UnitsMM float64
	VoltageKV      float64 // along the string, r.m.s.
	Slope          float64 // exponent a
	TestSigma      float64 // of the flashover voltage, as a share

	// Of overvoltages.
	WithstandKV float64 // at sea level
	From        audit.WithstandFrom
	GapM, Gap   float64         // arcing distance and gap factor, where it is that of a gap
	Discs       float64         // standard discs as long as the sound units, where it is that of the table
	Table       basis.Flashover // what that says of them
	SeaLevelKV  float64         // U50 there
	ByFlashover bool            // it is the unit's own flashover, which is less than by its withstand
	Scatter     float64         // Z as a share of U50
	Strings     int             // stressed at once

	GroundM        float64 // NaN where altitude does not count
	Exponent       float64 // m of the altitude factor
	ExponentSource basis.Clause
	Altitude       float64 // the factor

	Strength      float64 // W50, or U50 at the site
	StrengthSigma float64 // σ_w, or Z in kV
	// R is the risk; of overvoltages that by a normal strength, which orders strings as the strength curve does.
	R float64
	// Of overvoltages: the strength of the weakest of Strings, and the risks of one string and of Strings by the strength curve.
	ParallelKV, ParallelSigmaKV float64
	Alone, Parallel             float64
}

// LeastRisk stands for whatever is less, of which no order is told: no probability here is 0, and one that small is told by its distribution alone.
const LeastRisk = 1e-300

// Part are sound units of one kind in a string.
type Part struct {
	Unit  string
	Count int
	A     float64 // kV for each
}

// Lack says why a string cannot be assessed; empty where it can.
type Lack string

func lackOf(reason audit.Reason) Lack {
	if reason == audit.NoReason {
		return ""
	}
	return Lack(reason.String())
}

func wants(format string, of ...any) Lack {
	return Lack("the project states no " + fmt.Sprintf(format, of...))
}

// Of finds the risk of one string of an assembly, the worst where rows that repeat it say something else.
func Of(kind Kind, s *audit.Subject) (worst String, lack Lack) {
	worst, lack = one(kind, s, s.Assembly)
	for i := range s.Repeats {
		if lack != "" {
			break
		}
		var other String
		if other, lack = one(kind, s, &s.Repeats[i]); other.R > worst.R {
			worst = other
		}
	}
	return worst, lack
}

func one(kind Kind, of *audit.Subject, a *audit.Assembly) (x String, lack Lack) {
	s := *of
	s.Assembly, s.Repeats = a, nil
	if s.Line.Row.SystemUnread() {
		return x, lackOf(audit.FaultyField)
	}
	for _, need := range [...]audit.Need{audit.NeedsDuty, audit.NeedsDefective, audit.NeedsSoundInsulator} {
		if reason := s.Lacks(need); reason != audit.NoReason {
			return x, lackOf(reason)
		}
	}
	x = String{Kind: kind, Row: a.Row, RowMM: math.NaN(), GroundM: math.NaN(), Altitude: 1}
	if lack := lacksCurrent(kind, &s); lack != "" {
		return x, lack
	}
	if kind == Pollution {
		lack = x.polluted(&s)
	} else {
		lack = x.stressed(&s)
	}
	return x, lack
}

// lacksCurrent tells why the project's figures do not hold on a line: those of alternating current hold on no line of direct current, nor the others
// the other way.
func lacksCurrent(kind Kind, s *audit.Subject) Lack {
	row := &s.Line.Row
	direct := row.System.IsDirect()
	switch {
	case row.System == audit.SystemUnknown && row.Faulty.Has(audit.CellVoltage): // it may be of either
		return lackOf(audit.FaultyField)
	case direct && kind != Pollution:
		return lackOf(audit.DirectCurrentLine)
	case direct && !s.Criteria.Risk.Direct:
		return wants("figures under risk for direct current (risk.direct_current)")
	case !direct && s.Criteria.Risk.Direct:
		return "the figures under risk are of direct current"
	}
	return ""
}

// polluted finds the risk of a polluted string.
func (x *String) polluted(s *audit.Subject) (lack Lack) {
	if lack := x.site(s); lack != "" {
		return lack
	}
	kV, reason := s.CreepageVoltage()
	if reason == audit.NoReason {
		reason = s.LacksCreepageAltitude()
	}
	if reason != audit.NoReason {
		return lackOf(reason)
	}
	x.VoltageKV = kV
	if exponent := s.Criteria.CreepageAltitudeExponent; exponent.Value != 0 {
		x.takeAltitude(s, exponent.Value, exponent.ClauseOr(basis.CreepageAltitudeSource))
	}
	if lack := x.tested(s); lack != "" {
		return lack
	}
	x.Strength = basis.SeverityWithstand(x.TestKV(), x.VoltageKV*x.Altitude, x.Slope)
	x.StrengthSigma = basis.SeverityDeviation(x.TestSigma, x.Slope)
	x.R = max(basis.PollutionRisk(x.Stress, x.StressSigma, x.Strength, x.StrengthSigma), LeastRisk)
	return ""
}

// tested finds what tests say of a string of such units.
func (x *String) tested(s *audit.Subject) Lack {
	counts, reason := s.Assembly.UnitCounts()
	if reason != audit.NoReason {
		return lackOf(reason)
	}
	for i, unit := range s.Assembly.Units() {
		stated, byType := s.Criteria.Risk.WithstandOf(unit)
		switch {
		case stated == nil:
			return wants("risk.withstand of %s", unit.Name)
		case stated.PerM == 0 && !byType:
			return wants("risk.withstand.%s.A_kV_per_m, nor any of %s", stated.Of, unit.Name)
		case stated.PerM == 0 && stated.A == 0:
			return wants("risk.withstand.%s.A_kV_per_unit or A_kV_per_m", stated.Of)
		case stated.Slope == 0:
			return wants("risk.withstand.%s.a", stated.Of)
		case stated.Sigma == 0:
			return wants("risk.withstand.%s.sigma", stated.Of)
		case i > 0 && (stated.Slope != x.Slope || stated.Sigma != x.TestSigma || stated.PerM != x.PerM):
			return "unlike units in one string, of which the project states unlike figures under risk.withstand"
		}
		x.Slope, x.TestSigma, x.PerM = stated.Slope, stated.Sigma, stated.PerM
		if x.PerM == 0 {
			x.Parts = append(x.Parts, Part{unit.Name, counts[i], stated.A})
		}
	}
	if x.PerM > 0 {
		if reason := s.Lacks(audit.NeedsCreepage); reason != audit.NoReason {
			return lackOf(reason)
		}
		if x.CreepageM = s.Assembly.SoundCreepageMM() / 1000; math.IsNaN(x.CreepageM) {
			return lackOf(audit.UnitCreepageUnknown)
		}
		return ""
	}
	x.takeDefective(s.Assembly)
	return x.takeCreepage(s.Assembly, counts)
}

// takeCreepage finds whether the row states less creepage of its string than its units have, so that it is less than what was tested.
func (x *String) takeCreepage(a *audit.Assembly, counts []int) Lack {
	if a.Faulty.Has(audit.CellCreepage) || a.CreepageStated && a.UnitFaulty.Has(audit.CellCreepage) {
		return lackOf(audit.FaultyField)
	}
	unitsMM := 0.0
	for i, unit := range a.Units() {
		unitsMM += float64(counts[i]) * unit.CreepageMM
	}
	if a.CreepageStated && a.CreepageMM < unitsMM {
		x.RowMM, x.UnitsMM = a.CreepageMM, unitsMM
	}
	return ""
}

// site finds the severity of the site.
func (x *String) site(s *audit.Subject) Lack {
	rule, class := &s.Criteria.Risk, s.Structure.Class
	site := rule.Site[class]
	switch {
	case s.Structure.Doubt != audit.NoReason:
		return lackOf(s.Structure.Doubt)
	case rule.Measure == "":
		return wants("risk.measure")
	case class == basis.ClassUnknown && s.Structure.Zone >= 0:
		return "the zone states no pollution class"
	case class == basis.ClassUnknown:
		return lackOf(audit.NoClass)
	case site == (audit.SiteSeverity{}):
		return wants("risk.site_severity of class %s", class)
	case site.Median == 0:
		return wants("risk.site_severity.%s.median", class)
	case site.Sigma == 0:
		return wants("risk.site_severity.%s.sigma", class)
	}
	x.Class, x.Stress, x.StressSigma = class, site.Median, site.Sigma
	return ""
}

// takeDefective leaves the defective units of the worst string out, those that withstand most first, since nobody says which they are.
func (x *String) takeDefective(a *audit.Assembly) {
	if a.HasFailed() {
		for i := range x.Parts {
			x.Parts[i].Count = 0
		}
		return
	}
	for left := a.Defective; left > 0; left-- {
		most := -1
		for i, part := range x.Parts {
			if part.Count > 0 && (most < 0 || part.A > x.Parts[most].A) {
				most = i
			}
		}
		if most < 0 {
			return
		}
		x.Parts[most].Count--
	}
}

// TestKV is A of a polluted string: what its sound units, or its sound creepage, have together, in kV. A string of which the row states less creepage than its
// units have has so much less of it.
func (x *String) TestKV() (kV float64) {
	if x.PerM > 0 {
		return x.PerM * x.CreepageM
	}
	for _, part := range x.Parts {
		kV += float64(part.Count) * part.A
	}
	if x.RowMM < x.UnitsMM {
		kV *= x.RowMM / x.UnitsMM
	}
	return kV
}

func (x *String) takeAltitude(s *audit.Subject, exponent float64, source basis.Clause) {
	x.GroundM, x.Exponent, x.ExponentSource = s.Structure.GroundM, exponent, source
	x.Altitude, _, _ = basis.AltitudeFactor(basis.SeaLevel, x.GroundM, exponent) // whose range the caller has looked at
}

// stressed finds the risk of a string under an overvoltage.
func (x *String) stressed(s *audit.Subject) Lack {
	o, key := x.Kind.Overvoltage(s.Criteria), "risk."+x.Kind.String()
	for i, figure := range [...]float64{o.MeanKV, o.SigmaKV, o.StrengthSigma, float64(o.Strings)} {
		if figure == 0 {
			return wants("%s.%s", key, [...]string{"mean_kV", "sigma_kV", "strength_sigma", "strings"}[i])
		}
	}
	x.Stress, x.StressSigma, x.Scatter, x.Strings = o.MeanKV, o.SigmaKV, o.StrengthSigma, o.Strings
	if reason := s.LacksGround(); reason != audit.NoReason {
		return lackOf(reason)
	}
	exponent, source := s.Criteria.Exponent(x.Kind.shape()), basis.AltitudeFromSeaLevel
	if _, _, err := basis.AltitudeFactor(basis.SeaLevel, s.Structure.GroundM, exponent); err != nil {
		return lackOf(audit.AltitudeOutOfRange)
	}
	if x.Kind == Switching {
		if !s.Criteria.SwitchingExponent.Stated {
			return wants("switching_exponent")
		}
		source = s.Criteria.SwitchingExponent.Clause
	}
	has := s.Assembly.SoundWithstand(x.Kind.shape(), s.Criteria)
	switch {
	case math.IsNaN(has.KV):
		return lackOf(has.Reason)
	case has.NoMore != audit.NoReason, has.NoLess != audit.NoReason:
		return lackOf(cmp.Or(has.NoMore, has.NoLess))
	case has.IsByGap() && !s.Criteria.GapFactor.Stated:
		return wants("gap_factor")
	}
	x.takeAltitude(s, exponent, source)
	x.WithstandKV, x.From = has.KV, has.From
	switch {
	case has.IsByGap():
		x.GapM, x.Gap = has.GapM, s.Criteria.GapFactor.Value
	case has.From == audit.DiscTable:
		x.Table, x.Discs, _ = s.Assembly.TableFlashover(s.Assembly.UnitsPerString - max(s.Assembly.Defective, 0))
	}
	x.SeaLevelKV = basis.U50FromWithstand(has.KV, x.foundWith())
	if has.From == audit.UnitValue {
		if own := audit.UnitFlashoverKV(s.Assembly.Unit, x.Kind.shape()); own < x.SeaLevelKV { // stated beside the withstand
			x.SeaLevelKV, x.ByFlashover = own, true
		}
	}
	x.Strength = x.SeaLevelKV / x.Altitude
	x.StrengthSigma = x.Scatter * x.Strength
	x.R = max(basis.StressOnStrength(x.Stress, x.StressSigma, x.Strength, x.StrengthSigma), LeastRisk)
	x.ParallelKV, x.ParallelSigmaKV = basis.InParallel(x.Strength, x.StrengthSigma, float64(x.Strings))
	return ""
}

// foundWith is the scatter between the withstand and U50: that of the project for a tested withstand, and for one that was found of a
// flashover the same by which it was.
func (x *String) foundWith() float64 {
	switch x.From {
	case audit.Tested, audit.TestedWet, audit.ShareOfTested, audit.UnitValue, audit.UnitWet:
		return x.Scatter
	}
	if x.Kind == Switching {
		return basis.SwitchingSigma
	}
	return basis.LightningSigma
}

// byCurve finds the risks by the strength curve, integrals that take their time.
func (x *String) byCurve() {
	x.Alone = max(basis.CurveRisk(x.Stress, x.StressSigma, x.Strength, x.StrengthSigma), LeastRisk)
	x.Parallel = max(basis.CurveRisk(x.Stress, x.StressSigma, x.ParallelKV, x.ParallelSigmaKV), LeastRisk)
}
