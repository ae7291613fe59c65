package report

import (
	"math"
	"strconv"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// registerColumn is a column of a sheet of the register, with a unit in its heading where it has one: how a row of type R fills it.
type registerColumn[R any] struct {
	heading string
	cell    audit.Cell // by which the audit knows that it is faulty
	value   func(*R) any
}

// registerCells are the cells of a row. Of each kind of cell that is faulty those are unreadable that could not be read, by unread, which is the text that
// stood there, or are not believed; where that is not known, and of tests, of which more may be forgotten, all that have no value, and where all have one the one
// that could not be read, else the last. Of dates and remarks nothing is unreadable but such a text.
func registerCells[R any](columns []registerColumn[R], row *R, faulty audit.Cells, unread func(heading string) (text string, ok bool)) []any {
	cells := make([]any, len(columns))
	for i := range columns {
		cells[i] = columns[i].value(row)
	}
	for c := range audit.Cell(32) {
		if !faulty.Has(c) {
			continue
		}
		instead, text, any := -1, unreadableCell, c == audit.CellRemarks
		for i := range columns {
			if columns[i].cell != c {
				continue
			}
			stood, ok := unread(columns[i].heading)
			switch {
			case ok && isBlank(cells[i]):
				cells[i], any = stood, true
			case ok:
				instead, text = i, stood
			case cells[i] == unreadableCell:
				any = true
			case text == unreadableCell:
				instead = i
			}
		}
		areAllToldOf := any && c != audit.CellLimits || c == audit.CellRemarks
		for i := range columns {
			if columns[i].cell == c && !areAllToldOf && isBlank(cells[i]) {
				cells[i], any = unreadableCell, true
			}
		}
		if instead >= 0 && !any {
			cells[instead] = text
		}
	}
	return cells
}

func isBlank(value any) bool {
	switch v := value.(type) {
	case string:
		return v == ""
	case float64:
		return math.IsNaN(v)
	}
	return value == nil
}

// notBelow is a count, blank where it is less than what can be stated.
func notBelow(least, n int) any {
	if n < least {
		return nil
	}
	return n
}

// unlessBlank is a value of a row, blank where the cell was and the value is still what stands in for that.
func unlessBlank(a *audit.AssemblyRow, cell audit.Blanks, standsIn bool, value any) any {
	if standsIn && a.Blank&cell != 0 {
		return nil
	}
	return value
}

func assemblyCells(p *audit.Project) []registerColumn[audit.AssemblyRow] {
	type row = audit.AssemblyRow
	text := p.Symbols.Text
	direct := func(at func(*audit.DirectValues) float64) func(*row) any {
		return func(a *row) any {
			figures := p.Figures(a)
			if figures == nil {
				return nil
			}
			return at(figures)
		}
	}
	fitting := func(f audit.Fitting) func(*row) any {
		rated := direct(func(d *audit.DirectValues) float64 { return d.FittingsKN[f] })
		return func(a *row) any {
			if a.Unbelieved&(1<<f) != 0 {
				return unreadableCell
			}
			return rated(a)
		}
	}
	return []registerColumn[row]{
		{"Line", audit.CellCircuits, func(a *row) any { return text(a.Line) }},
		{"Structure", audit.CellCircuits, func(a *row) any { return p.Texts.Get(a.Number) }},
		{"Circuit", audit.CellCircuits, func(a *row) any { return unlessBlank(a, audit.BlankCircuit, true, text(a.Circuit)) }},
		{"Phase", audit.CellPhase, func(a *row) any { return text(a.Phase) }},
		{"Side", audit.CellSide, func(a *row) any { return a.Side.String() }},
		{"Duty", audit.CellDuty, func(a *row) any {
			if a.Duty == audit.DutyUnknown {
				return nil
			}
			return a.Duty.String()
		}},
		{"Arrangement", audit.CellArrangement, func(a *row) any { return a.Arrangement.String() }},
		{"V angle (deg)", audit.CellArrangement, func(a *row) any {
			if a.VAngleDeg == 0 {
				return nil
			}
			shortest, _ := strconv.ParseFloat(strconv.FormatFloat(float64(a.VAngleDeg), 'g', -1, 32), 64) // of a float32, which always parses
			return shortest
		}},
		{"Mounting", audit.CellMounting, func(a *row) any { return a.Mounting.String() }},
		{"Grading rings", audit.CellMounting, func(a *row) any { return a.Rings.String() }},
		{"Unit", audit.CellUnit, func(a *row) any { return p.Makeups[a.Makeup].Text }},
		{"Units per string", audit.CellUnitsPerString, func(a *row) any { return notBelow(1, int(a.UnitsPerString)) }},
		{"Strings", audit.CellStrings, func(a *row) any {
			blank := int16(1)
			if a.Arrangement == audit.VSet {
				blank = 2
			}
			return unlessBlank(a, audit.BlankStrings, a.Strings == blank, notBelow(1, int(a.Strings)))
		}},
		{"Defective units", audit.CellDefective, func(a *row) any {
			return unlessBlank(a, audit.BlankDefective, a.Defective == 0, notBelow(0, int(a.Defective)))
		}},
		{"Installed", audit.CellRemarks, func(a *row) any { return a.Installed.String() }},
		{"Inspected", audit.CellRemarks, func(a *row) any { return a.Inspected.String() }},
		{"Remarks", audit.CellRemarks, func(a *row) any { return p.Texts.Get(a.Remarks) }},
		{"Creepage (mm)", audit.CellCreepage, direct(func(d *audit.DirectValues) float64 { return d.CreepageMM })},
		{"Rating (kN)", audit.CellRating, direct(func(d *audit.DirectValues) float64 { return d.RatingKN })},
		{"Length (mm)", audit.CellLength, direct(func(d *audit.DirectValues) float64 { return d.LengthMM })},
		{"Arcing (mm)", audit.CellArcing, direct(func(d *audit.DirectValues) float64 { return d.ArcingMM })},
		{"Lightning withstand (kV)", audit.CellTested, direct(func(d *audit.DirectValues) float64 { return d.LightningKV })},
		{"Switching withstand (kV)", audit.CellLimits, direct(func(d *audit.DirectValues) float64 { return d.SwitchingKV })},
		{"Wet withstand (kV)", audit.CellTestedWet, direct(func(d *audit.DirectValues) float64 { return d.WetKV })},
		{"Wet switching withstand (kV)", audit.CellLimits, direct(func(d *audit.DirectValues) float64 { return d.WetSwitchingKV })},
		{"Slip load (kN)", audit.CellAttachment, direct(func(d *audit.DirectValues) float64 { return d.SlipKN })},
		{"Clamp rating (kN)", audit.CellMounting, fitting(audit.Clamp)},
		{"Yoke rating (kN)", audit.CellMounting, fitting(audit.Yoke)},
		{"Ball and socket rating (kN)", audit.CellMounting, fitting(audit.BallAndSocket)},
	}
}

// figureByCase is a number where it holds in every load case, else the text that states them by load case.
func figureByCase(rest float64, named []audit.CaseFigure) any {
	if len(named) == 0 {
		return rest
	}
	return audit.CasesInWords(rest, named)
}

func lineCells(p *audit.Project) []registerColumn[audit.LineRow] {
	type row = audit.LineRow
	text := p.Symbols.Text
	return []registerColumn[row]{
		{"Line", audit.CellCircuits, func(l *row) any { return text(l.Line) }},
		{"Name", audit.CellRemarks, func(l *row) any { return text(l.Name) }},
		{"Circuits", audit.CellCircuits, func(l *row) any { return notBelow(1, l.Circuits) }},
		{"Phases", audit.CellCircuits, func(l *row) any { return l.Phases.String() }},
		{"System", audit.CellVoltage, func(l *row) any { return l.System.String() }},
		{"Nominal voltage (kV)", audit.CellVoltage, func(l *row) any { return l.NominalKV }},
		{"Highest voltage (kV)", audit.CellVoltage, func(l *row) any { return l.HighestKV }},
		{"Creepage voltage (kV)", audit.CellVoltage, func(l *row) any { return l.CreepageKV }},
		{"Lightning level (kV)", audit.CellTested, func(l *row) any { return l.LightningKV }},
		{"Switching level (kV)", audit.CellTested, func(l *row) any { return l.SwitchingKV }},
		{"Conductor", audit.CellConductor, func(l *row) any { return text(l.Conductor) }},
		{"Subconductors", audit.CellStrings, func(l *row) any { return notBelow(1, l.Subconductors) }},
		{"Maximum tension (kN)", audit.CellTension, func(l *row) any { return l.MaximumTensionKN }},
		{"Everyday tension (kN)", audit.CellTension, func(l *row) any { return l.EverydayTensionKN }},
		{"Everyday temperature (C)", audit.CellTension, func(l *row) any { return l.EverydayC }},
		{"Cold tension (kN)", audit.CellTension, func(l *row) any { return l.ColdTensionKN }},
		{"Slip load (kN)", audit.CellAttachment, func(l *row) any { return l.SlipKN }},
		{"Deviation limit (deg)", audit.CellDeviationLimit, func(l *row) any { return l.DeviationLimitDeg }},
		{"Swing limit (deg)", audit.CellLimits, func(l *row) any { return figureByCase(l.SwingLimitDeg, l.SwingLimitsDeg) }},
		{"Arm length (mm)", audit.CellLength, func(l *row) any { return l.Room.ArmLengthMM }},
		{"Wall distance (mm)", audit.CellLength, func(l *row) any { return l.Room.WallDistanceMM }},
		{"Wall lean (m/m)", audit.CellLength, func(l *row) any { return l.Room.WallLean }},
		{"Bracket level (mm)", audit.CellLength, func(l *row) any { return l.Room.BracketMM }},
		{"Wall side", audit.CellLength, func(l *row) any { return l.Room.WallSide.String() }},
		{"Clearance (mm)", audit.CellLength, func(l *row) any { return figureByCase(l.Room.ClearanceMM, l.Room.ClearancesMM) }},
		{"Fittings (mm)", audit.CellLength, func(l *row) any { return l.FittingsMM }},
		{"Clamp rating (kN)", audit.LineFittings[audit.Clamp], func(l *row) any { return l.FittingsKN[audit.Clamp] }},
		{"Yoke rating (kN)", audit.LineFittings[audit.Yoke], func(l *row) any { return l.FittingsKN[audit.Yoke] }},
		{"Ball and socket rating (kN)", audit.LineFittings[audit.BallAndSocket], func(l *row) any { return l.FittingsKN[audit.BallAndSocket] }},
		{"Section limit (km)", audit.CellSequence, func(l *row) any { return l.SectionLimitKM }},
		{"Longest string (mm)", audit.CellUnitsPerString, func(l *row) any { return l.LongestStringMM }},
		{"Capacitance ratio", audit.CellCoupling, func(l *row) any { return l.CapacitanceRatio }},
		{"Superseded figures", audit.CellDeclared, func(l *row) any { return l.Superseded.String() }},
	}
}

func unitCells() []registerColumn[basis.Unit] {
	type row = basis.Unit
	return []registerColumn[row]{
		{"Unit", audit.CellUnit, func(u *row) any { return u.Name }},
		{"Kind", audit.CellKind, func(u *row) any {
			if u.Kind == basis.KindUnknown {
				return nil
			}
			return u.Kind.String()
		}},
		{"Material", audit.CellRemarks, func(u *row) any { return u.Material }},
		{"Make", audit.CellRemarks, func(u *row) any { return u.Make }},
		{"Rating (kN)", audit.CellRating, func(u *row) any { return u.RatingKN }},
		{"Cantilever (kN)", audit.CellRating, func(u *row) any { return u.CantileverKN }},
		{"Compression (kN)", audit.CellRating, func(u *row) any { return u.CompressionKN }},
		{"Spacing (mm)", audit.CellLength, func(u *row) any { return u.SpacingMM }},
		{"Creepage (mm)", audit.CellCreepage, func(u *row) any { return u.CreepageMM }},
		{"Diameter (mm)", audit.CellDiameter, func(u *row) any { return u.DiameterMM }},
		{"Average diameter (mm)", audit.CellAverageDiameter, func(u *row) any { return u.AverageDiameterMM }},
		{"Weight (kg)", audit.CellWeight, func(u *row) any { return u.WeightKg }},
		{"Wind area (m2)", audit.CellWeight, func(u *row) any { return u.WindAreaM2 }},
		{"Coupling", audit.CellCoupling, func(u *row) any { return u.Coupling }},
		{"Dry (kV)", audit.CellTested, func(u *row) any { return u.DryKV }},
		{"Wet (kV)", audit.CellTested, func(u *row) any { return u.WetKV }},
		{"Lightning (kV)", audit.CellTested, func(u *row) any { return u.LightningKV }},
		{"Lightning withstand (kV)", audit.CellTested, func(u *row) any { return u.LightningWithstandKV }},
		{"Wet withstand (kV)", audit.CellTested, func(u *row) any { return u.WetWithstandKV }},
		{"Wet switching withstand (kV)", audit.CellLimits, func(u *row) any { return u.WetSwitchingKV }},
		{"Puncture (kV)", audit.CellTested, func(u *row) any { return u.PunctureKV }},
		{"Arcing (mm)", audit.CellArcing, func(u *row) any { return u.ArcingMM }},
		{"Stocked", audit.CellRemarks, func(u *row) any {
			if u.Stocked {
				return "yes"
			}
			return nil
		}},
		{"Price", audit.CellUnit, func(u *row) any { return u.Price }},
	}
}

func conductorCells() []registerColumn[basis.Conductor] {
	type row = basis.Conductor
	return []registerColumn[row]{
		{"Conductor", audit.CellConductor, func(c *row) any { return c.Name }},
		{"Mass (kg/m)", audit.CellWeight, func(c *row) any { return c.MassKgPerM }},
		{"Diameter (mm)", audit.CellDiameter, func(c *row) any { return c.DiameterMM }},
		{"Rated strength (kN)", audit.CellRating, func(c *row) any { return c.RatedStrengthKN }},
		{"Area (mm2)", audit.CellConductor, func(c *row) any { return c.AreaMM2 }},
		{"Modulus (GPa)", audit.CellConductor, func(c *row) any { return c.ModulusGPa }},
		{"Expansion (1e-6/K)", audit.CellConductor, func(c *row) any { return c.Expansion1e6PerK }},
	}
}
