package audit

import (
	"math"
	"slices"

	"dryarc/audit/basis"
)

// Flashover is a power frequency flashover voltage of a string in kV r.m.s., and where the figure comes from.
type Flashover struct {
	KV      float64 // NaN if unknown
	From    FlashoverFrom
	AtLeast bool   // it is known to be no less
	AtMost  Reason // why no more is known than that it is no more
	Reason  Reason // why it is unknown
}

// FlashoverFrom says where a flashover voltage comes from.
type FlashoverFrom uint8

// The sources of a flashover voltage.
const (
	FlashoverOfUnit    FlashoverFrom = iota // its own, of an insulator that is the whole string
	FlashoverByTable                        // the table of 146 mm discs, interpolated on length
	FlashoverWithstood                      // what it withstands by test, than which its flashover is no less
	NothingLeft                             // no sound unit
	FlashoverOfUnits                        // its own of each sound unit, than the sum of which that of the string is no more
)

var flashoverFromNames = [...]string{"flashover of the unit", "disc table, interpolated on string length", "tested withstand, than which flashover is no less", "no sound unit", "flashover of one unit times the sound units, than which that of the string is no more"}

func (f FlashoverFrom) String() string { return flashoverFromNames[f] }

// Flashover finds the dry or wet power frequency flashover of a string with a number of sound units. What the row states of a withstand its units
// have in shares by their length.
func (a *Assembly) Flashover(wet bool, units int) Flashover {
	share := a.shareOf(units)
	switch {
	case math.IsNaN(share) && a.UnitFaulty.Has(CellLength):
		return unknownFlashover(FaultyField)
	case math.IsNaN(share):
		return unknownFlashover(SpacingUnknown)
	case share == 0:
		return Flashover{From: NothingLeft}
	case wet && !math.IsNaN(a.Direct.WetKV):
		return Flashover{KV: share * a.Direct.WetKV, From: FlashoverWithstood, AtLeast: true}
	case wet && a.Faulty.Has(CellTestedWet), a.Faulty.Has(CellArcing), a.Faulty.Has(CellUnit), a.Faulty.Has(CellUnitsPerString), a.UnitFaulty.Has(CellKind):
		return unknownFlashover(FaultyField)
	case a.Makeup == nil:
		return unknownFlashover(a.lacksString())
	case a.lacksCount():
		return unknownFlashover(UnitsNotStated)
	case a.inSeries():
		return unknownFlashover(SeriesNotTested)
	}
	if whole := a.isOneInsulator() || a.CountsUnits() && a.UnitsPerString == 1; whole {
		own := a.Unit.DryKV
		if wet {
			own = a.Unit.WetKV
		}
		switch {
		case !math.IsNaN(own):
			return a.unlessHorns(Flashover{KV: own, From: FlashoverOfUnit})
		case a.UnitFaulty.Has(CellTested):
			return unknownFlashover(FaultyField)
		case wet && !math.IsNaN(a.Unit.WetWithstandKV):
			return a.unlessHorns(Flashover{KV: a.Unit.WetWithstandKV, From: FlashoverWithstood, AtLeast: true})
		}
	}
	f, _, ok := a.TableFlashover(units)
	switch {
	case a.UnitFaulty.Has(CellLength) || a.UnitFaulty.Has(CellDiameter):
		return unknownFlashover(FaultyField)
	case ok && !a.CountsUnits() && a.MayBeCapAndPin():
		return unknownFlashover(UnitKindNotStated) // the table or the unit's own
	case !ok || !a.CountsUnits():
		return unknownFlashover(FlashoverUnknown)
	}
	found, own, less := Flashover{KV: f.DryKV, From: FlashoverByTable}, a.Unit.DryKV, slices.ContainsFunc(a.Units(), isLessDry)
	if wet {
		found.KV, own, less = f.WetKV, a.Unit.WetKV, a.areLessThanTable(Wet)
	}
	open, unread := UnitsLessThanTable, a.UnitFaulty.Has(CellTested) // of a unit that may not be one of the table
	if unread {
		open = FaultyField
	}
	switch together := float64(units) * own; {
	case less && len(a.Makeup.Parts) == 1 && together < found.KV:
		found = Flashover{KV: together, From: FlashoverOfUnits, AtMost: open}
	case less, unread:
		found.AtMost = open
	}
	return a.unlessHorns(found)
}

// areLessThanTable tells whether a unit of a string states less of one shape of voltage than one disc of the table has: a flashover, by more than printed
// tables differ, or a withstand that is less than discs of the table are rated for. What the table says of strings does not hold for it. Where it states nothing of the
// shape its dry flashover tells: no impulse is withstood better by a disc of less, and nothing is more wet than dry.
func (a *Assembly) areLessThanTable(shape Shape) bool {
	return slices.ContainsFunc(a.Units(), func(u *basis.Unit) bool {
		one := discOfTable(u)
		own, rated, of := u.LightningKV, u.LightningWithstandKV, one.LightningKV()
		if shape == Wet {
			own, rated, of = u.WetKV, u.WetWithstandKV, one.WetKV
		}
		switch stated := !math.IsNaN(own) || !math.IsNaN(rated); {
		case stated:
			return own < (1-basis.PrintedTablesApart)*of || rated < basis.LeastRatedShare*of
		case shape == Wet:
			return u.DryKV < (1-basis.PrintedTablesApart)*of
		}
		return isLessDry(u)
	})
}

// isLessDry tells the same of dry flashover alone.
func isLessDry(u *basis.Unit) bool {
	return u.DryKV < (1-basis.PrintedTablesApart)*discOfTable(u).DryKV
}

// discOfTable is one disc of the table, no longer than a unit as far as its spacing is known.
func discOfTable(u *basis.Unit) basis.Flashover {
	one, _ := basis.StringFlashover(1, basis.StandardSpacingMM, basis.StandardDiameterMM)
	share := 1.0
	if u.SpacingMM < basis.StandardSpacingMM {
		share = u.SpacingMM / basis.StandardSpacingMM
	}
	one.DryKV, one.WetKV, one.PositiveKV, one.NegativeKV = share*one.DryKV, share*one.WetKV, share*one.PositiveKV, share*one.NegativeKV
	return one
}

func unknownFlashover(reason Reason) Flashover { return Flashover{KV: math.NaN(), Reason: reason} }

// unlessHorns is the flashover along the units, than which that of the string is no more where the row states an arcing distance that is shorter: of that nobody states it.
func (a *Assembly) unlessHorns(along Flashover) Flashover {
	switch shorter, reason := a.hasHorns(); {
	case reason != NoReason:
		return unknownFlashover(reason)
	case shorter && along.AtLeast:
		return unknownFlashover(DryAcrossHorns)
	case shorter:
		along.AtMost = DryAcrossHorns
	}
	return along
}

// FlashoverMargin is a dry or wet flashover of a string against the least that the table of the criteria asks for.
type FlashoverMargin struct {
	Flashover
	Wet      bool
	Required float64
}

// FlashoverMargins are the flashovers of the sound units of a string that a table asks for at the voltage of a line: the worse of dry and wet that is known, and
// the other where the table has both.
type FlashoverMargins struct {
	Worse, Other FlashoverMargin
	Both         bool
}

// FlashoverMargins holds a string against the table of the criteria; false where that has nothing for the voltage of the line.
func (s *Subject) FlashoverMargins() (m FlashoverMargins, ok bool) {
	least, ok := s.Criteria.FlashoverMinimum.Least(s.Line.Row.NominalKV)
	if !ok {
		return m, false
	}
	a := s.Assembly
	units := a.UnitsPerString - max(a.Defective, 0)
	m.Worse = FlashoverMargin{a.Flashover(false, units), false, least.DryKV}
	if math.IsNaN(least.WetKV) {
		return m, true
	}
	m.Other, m.Both = FlashoverMargin{a.Flashover(true, units), true, least.WetKV}, true
	if math.IsNaN(m.Worse.KV) || m.Other.KV/m.Other.Required < m.Worse.KV/m.Worse.Required {
		m.Worse, m.Other = m.Other, m.Worse
	}
	return m, true
}

// FallsShort tells whether a flashover is known to be less than is asked for.
func (m *FlashoverMargin) FallsShort() bool {
	return m.Reason == NoReason && !m.AtLeast && compare(m.KV, m.Required) < 0
}

// lacks is why it cannot be told whether a flashover is what is asked for.
func (m *FlashoverMargin) lacks() Reason {
	switch less := compare(m.KV, m.Required) < 0; {
	case m.Reason == NoReason && m.AtLeast && less:
		return WithstandTellsNothing
	case m.Reason == NoReason && !less:
		return m.AtMost
	}
	return m.Reason
}

// lacksFlashover tells why a string cannot be judged by the table of flashover minima. One flashover that falls short tells all.
func (s *Subject) lacksFlashover() Reason {
	row := &s.Line.Row
	switch {
	case row.Faulty.Has(CellVoltage):
		return row.lacks(CellVoltage)
	case math.IsNaN(row.NominalKV):
		return s.lacksVoltage(row.NominalKV)
	case row.System.IsDirect():
		return DirectCurrentLine
	case !row.System.ThreePhase():
		return MinimaBetweenPhases
	}
	m, ok := s.FlashoverMargins()
	switch {
	case !ok:
		return OutsideFlashoverTable
	case m.Worse.FallsShort(), m.Both && m.Other.FallsShort():
		return NoReason
	case m.Both && m.Worse.lacks() == NoReason:
		return m.Other.lacks()
	}
	return m.Worse.lacks()
}
