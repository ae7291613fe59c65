package read

import (
	"context"
	"math"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// unit is a row of a Units sheet.
type unit struct {
	basis.Unit
	faulty audit.Cells
	stated audit.Figures
}

// readUnits reads a Units sheet: a row adds a unit or, cell by cell, overrides one of the catalogue.
func (r *register) readUnits(ctx context.Context, w *workbook) error {
	return readSheets(ctx, r, w, sheet[unit]{
		name:    unitsSheet,
		columns: unitColumns(r),
		blank:   func() unit { return unit{Unit: basis.UnknownUnit()} },
		faulty:  func(u *unit) *audit.Cells { return &u.faulty },
		keep:    r.keepUnit,
	})
}

// startUnit reads the name, which is the first column, and starts from the catalogue's figures if it has the unit.
func (r *register) startUnit(u *unit, cell string, _ unitOfMeasure) *trouble {
	cell = r.house().text(unitList, cell)
	if i, known := r.units[nameKey(cell)]; known && i < len(r.catalogue) { // not from an earlier row of the register
		u.Unit = r.catalogue[i]
	}
	u.Name = strings.Clone(Composed(cell))
	return nil
}

func (r *register) keepUnit(u *unit, at audit.Source) {
	key := nameKey(u.Name)
	if key == "" {
		r.nameless(at, "Unit", u.faulty.Has(audit.CellUnit))
		r.unitUnnamed = true
		r.leftOut(at)
		return
	}
	r.doubtUnit(u, at)
	if first, twice := r.unitRows[key]; twice {
		r.project.UnitTwice(r.units[key], audit.Twin[basis.Unit]{Row: u.Unit, Faulty: u.faulty, At: at}, first)
		r.leftOut(at)
		return
	}
	r.unitRows[key] = audit.Twin[basis.Unit]{Row: u.Unit, Faulty: u.faulty, At: at}
	r.project.Tables[at.Table].Used++
	i, known := r.units[key]
	if !known {
		r.units[key] = len(r.project.Units)
		r.project.UnitFaults = audit.WithFaultsOf(r.project.UnitFaults, len(r.project.Units), u.faulty)
		r.project.UnitRows = audit.WithSourceOf(r.project.UnitRows, len(r.project.Units), at)
		r.project.UnitsStated = audit.WithFiguresOf(r.project.UnitsStated, len(r.project.Units), u.stated)
		r.project.Units = append(r.project.Units, u.Unit)
		return
	}
	if !sameFigures(&u.Unit, &r.project.Units[i]) {
		was := &r.project.Units[i]
		if same(u.RatingKN, was.RatingKN) {
			u.RatingClause = was.RatingSource()
		}
		if same(u.CreepageMM, was.CreepageMM) {
			u.CreepageClause = was.CreepageSource()
		}
		u.Clause = basis.Clause{}
	}
	r.project.Units[i] = u.Unit
	r.project.UnitFaults = audit.WithFaultsOf(r.project.UnitFaults, i, u.faulty)
	r.project.UnitRows = audit.WithSourceOf(r.project.UnitRows, i, at)
	r.project.UnitsStated = audit.WithFiguresOf(r.project.UnitsStated, i, u.stated)
}

// keepDoubted keeps the units whose spacing is not believed as they are stated.
func (r *register) keepDoubted() {
	for name, spacing := range r.doubtedSpacing {
		i := r.units[name]
		unit := r.project.Units[i]
		unit.SpacingMM = spacing
		r.project.DoubtUnit(i, unit)
	}
}

// distrustCatalogue makes the units and conductors unknown that no row of their sheet names, where one names none: it may
// override any of them.
func (r *register) distrustCatalogue() {
	for i := range r.project.Units {
		if _, named := r.unitRows[nameKey(r.project.Units[i].Name)]; r.unitUnnamed && !named {
			r.project.DoubtUnit(i, r.project.Units[i])
			r.project.UnitFaults = audit.WithFaultsOf(r.project.UnitFaults, i, audit.EveryCell)
			unknown := basis.UnknownUnit()
			unknown.Name, unknown.Kind, unknown.Material, unknown.Make = r.project.Units[i].Name, r.project.Units[i].Kind, r.project.Units[i].Material, r.project.Units[i].Make
			r.project.Units[i] = unknown
		}
	}
	for i := range r.project.Conductors {
		if _, named := r.conductorRows[nameKey(r.project.Conductors[i].Name)]; r.conductorUnnamed && !named {
			r.project.ConductorFaults = audit.WithFaultsOf(r.project.ConductorFaults, i, audit.EveryCell)
			unknown := basis.UnknownConductor()
			unknown.Name = r.project.Conductors[i].Name
			r.project.Conductors[i] = unknown
		}
	}
}

// sameFigures tells whether a row leaves the figures of a unit as its source has them.
func sameFigures(a, b *basis.Unit) bool {
	for _, pair := range [...][2]float64{
		{a.RatingKN, b.RatingKN}, {a.CantileverKN, b.CantileverKN}, {a.CompressionKN, b.CompressionKN}, {a.SpacingMM, b.SpacingMM}, {a.CreepageMM, b.CreepageMM},
		{a.DiameterMM, b.DiameterMM}, {a.AverageDiameterMM, b.AverageDiameterMM}, {a.WeightKg, b.WeightKg}, {a.WindAreaM2, b.WindAreaM2},
		{a.DryKV, b.DryKV}, {a.WetKV, b.WetKV}, {a.LightningKV, b.LightningKV}, {a.LightningWithstandKV, b.LightningWithstandKV}, {a.WetWithstandKV, b.WetWithstandKV}, {a.WetSwitchingKV, b.WetSwitchingKV}, {a.PunctureKV, b.PunctureKV}, {a.ArcingMM, b.ArcingMM},
	} {
		if !same(pair[0], pair[1]) {
			return false
		}
	}
	return a.Kind == b.Kind && a.Coupling == b.Coupling
}

// same tells whether two figures are equal or both unknown.
func same(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }
