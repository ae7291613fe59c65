package audit

import "dryarc/audit/basis"

// Twin is a row of the register that may stand more than once, with its faulty cells and its place.
type Twin[R any] struct {
	Row    R
	Faulty Cells
	At     Source
}

// UnitTwice makes unknown of a unit what a later row of its name says otherwise than the first did.
func (p *Project) UnitTwice(i int, later, first Twin[basis.Unit]) {
	faulty := FaultsOf(p.UnitFaults, i)
	how := merge(unitFields(), &p.Units[i], &faulty, &first.Row, &later.Row, first.Faulty, later.Faulty)
	p.UnitFaults = WithFaultsOf(p.UnitFaults, i, faulty)
	p.addTwice("Unit", later.Row.Name, "stands in "+p.rowInWords(first.At, later.At)+" too", later.At, how)
}

// ConductorTwice makes unknown of a conductor what a later row of its name says otherwise than the first did.
func (p *Project) ConductorTwice(i int, later, first Twin[basis.Conductor]) {
	faulty := FaultsOf(p.ConductorFaults, i)
	how := merge(conductorFields(), &p.Conductors[i], &faulty, &first.Row, &later.Row, first.Faulty, later.Faulty)
	p.ConductorFaults = WithFaultsOf(p.ConductorFaults, i, faulty)
	p.addTwice("Conductor", later.Row.Name, "stands in "+p.rowInWords(first.At, later.At)+" too", later.At, how)
}

// unitFields are all fields of a row of the sheet Units but its name. What it is kept in stock for matters to no verdict.
func unitFields() []field[basis.Unit] {
	type row = basis.Unit
	asIs := func(text string) string { return text }
	return []field[row]{
		wordField("kind", CellKind, func(u *row) *basis.Kind { return &u.Kind }, basis.Kind.String),
		wordField("make", CellRemarks, func(u *row) *string { return &u.Make }, asIs),
		wordField("material", CellRemarks, func(u *row) *string { return &u.Material }, asIs),
		figureField("rating", CellRating, func(u *row) *float64 { return &u.RatingKN }),
		figureField("cantilever", CellRating, func(u *row) *float64 { return &u.CantileverKN }),
		figureField("compression", CellRating, func(u *row) *float64 { return &u.CompressionKN }),
		figureField("spacing", CellLength, func(u *row) *float64 { return &u.SpacingMM }),
		figureField("creepage", CellCreepage, func(u *row) *float64 { return &u.CreepageMM }),
		figureField("diameter", CellDiameter, func(u *row) *float64 { return &u.DiameterMM }),
		figureField("average diameter", CellAverageDiameter, func(u *row) *float64 { return &u.AverageDiameterMM }),
		figureField("weight", CellWeight, func(u *row) *float64 { return &u.WeightKg }),
		figureField("wind area", CellWeight, func(u *row) *float64 { return &u.WindAreaM2 }),
		wordField("coupling", CellCoupling, func(u *row) *string { return &u.Coupling }, asIs),
		figureField("dry", CellTested, func(u *row) *float64 { return &u.DryKV }),
		figureField("wet", CellTested, func(u *row) *float64 { return &u.WetKV }),
		figureField("lightning", CellTested, func(u *row) *float64 { return &u.LightningKV }),
		figureField("lightning withstand", CellTested, func(u *row) *float64 { return &u.LightningWithstandKV }),
		figureField("wet withstand", CellTested, func(u *row) *float64 { return &u.WetWithstandKV }),
		figureField("wet switching withstand", CellLimits, func(u *row) *float64 { return &u.WetSwitchingKV }),
		figureField("puncture", CellTested, func(u *row) *float64 { return &u.PunctureKV }),
		figureField("arcing", CellArcing, func(u *row) *float64 { return &u.ArcingMM }),
		wordField("stocked", CellRemarks, func(u *row) *bool { return &u.Stocked }, yes),
		figureField("price", CellRemarks, func(u *row) *float64 { return &u.Price }),
	}
}

// conductorFields are all fields of a row of the sheet Conductors but its name.
func conductorFields() []field[basis.Conductor] {
	type row = basis.Conductor
	return []field[row]{
		figureField("mass", CellWeight, func(c *row) *float64 { return &c.MassKgPerM }),
		figureField("diameter", CellDiameter, func(c *row) *float64 { return &c.DiameterMM }),
		figureField("rated strength", CellRating, func(c *row) *float64 { return &c.RatedStrengthKN }),
		figureField("area", CellConductor, func(c *row) *float64 { return &c.AreaMM2 }),
		figureField("modulus", CellConductor, func(c *row) *float64 { return &c.ModulusGPa }),
		figureField("expansion", CellConductor, func(c *row) *float64 { return &c.Expansion1e6PerK }),
	}
}
