package read

import (
	"dryarc/audit"
	"dryarc/audit/basis"
)

func unitColumns(r *register) []column[unit] {
	columns := withNamesAbroad([]column[unit]{
		column[unit]{heading: "Unit", required: required, field: audit.CellUnit, verbatim: true, read: r.startUnit}.
			also("unit type", "type of unit", "insulator", "insulator type", "type of insulator", "designation", "unit designation", "disc type", "disk type",
				"catalogue number", "catalog number", "part number").
			means("type designation; one of the catalogue is overridden cell by cell"),
		kind("Kind", r.house(), func(u *unit) *basis.Kind { return &u.Kind }).
			also("kind of insulator", "insulator kind", "construction").means("construction"),
		plain("Material", optional, audit.CellRemarks, func(u *unit) *string { return &u.Material }).
			also("insulating material", "dielectric").means("porcelain, glass, silicone rubber, …"),
		plain("Make", optional, audit.CellRemarks, func(u *unit) *string { return &u.Make }).
			also("manufactured by").also(audit.MakeHeadings()[1:]...).means("who makes it, for the watch list"),
		number("Rating", kilonewtons, 0.1, 5000, audit.CellRating, func(u *unit) *float64 { return &u.RatingKN }).
			also(ratingNames...).means("specified mechanical or electromechanical failing load"),
		number("Cantilever", kilonewtons, 0.1, 5000, audit.CellRating, func(u *unit) *float64 { return &u.CantileverKN }).
			also("cantilever rating", "cantilever strength", "cantilever failing load", "specified cantilever load", "SCL", "bending strength").
			means("failing load across the axis, of pins and posts"),
		number("Compression", kilonewtons, 0.1, 5000, audit.CellRating, func(u *unit) *float64 { return &u.CompressionKN }).
			also("compression rating", "compression strength", "compressive strength", "compression failing load", "compressive failing load", "specified compression load", "crushing strength").
			means("failing load along the axis when pushed, of pins and posts; Rating is when pulled"),
		number("Spacing", millimetres, 5, 20_000, audit.CellLength, func(u *unit) *float64 { return &u.SpacingMM }).
			also("unit spacing", "connecting length", "pitch", "length", "section length", "unit length").means("length that one unit adds to a string"),
		number("Creepage", millimetres, 5, 60_000, audit.CellCreepage, func(u *unit) *float64 { return &u.CreepageMM }).
			also(creepageNames...).means("creepage distance of one unit"),
		number("Diameter", millimetres, 5, 2000, audit.CellDiameter, func(u *unit) *float64 { return &u.DiameterMM }).
			also("disc diameter", "disk diameter", "shell diameter", "nominal diameter", "overall diameter").means("overall diameter"),
		number("Average diameter", millimetres, 5, 2000, audit.CellAverageDiameter, func(u *unit) *float64 { return &u.AverageDiameterMM }).
			also("mean diameter").means("average diameter, for the diameter factor of creepage"),
		number("Weight", kilograms, 0.01, 5000, audit.CellWeight, func(u *unit) *float64 { return &u.WeightKg }).
			also("mass", "unit weight", "net weight").means("weight of one unit"),
		number("Wind area", squareMetres, 1e-4, 20, audit.CellWeight, func(u *unit) *float64 { return &u.WindAreaM2 }).
			also("projected area", "exposed area").means("area of one unit that the wind meets"),
		plain("Coupling", optional, audit.CellCoupling, func(u *unit) *string { return &u.Coupling }).
			also("coupling size", "ball size", "pin ball size", "ball and socket size").means("coupling designation; only equal ones fit"),
		number("Dry", kilovolts, 0.1, 6000, audit.CellTested, func(u *unit) *float64 { return &u.DryKV }).
			also("dry flashover", "dry flashover voltage", "power frequency dry flashover", "low frequency dry flashover").means("dry power frequency flashover of one unit"),
		number("Wet", kilovolts, 0.1, 6000, audit.CellTested, func(u *unit) *float64 { return &u.WetKV }).
			also("wet flashover", "wet flashover voltage", "power frequency wet flashover", "low frequency wet flashover").means("wet power frequency flashover of one unit; of a whole insulator its withstand is the wet share of it"),
		number("Lightning", peakKilovolts, 0.1, 6000, audit.CellTested, func(u *unit) *float64 { return &u.LightningKV }).
			also("lightning impulse", "lightning impulse voltage", "impulse voltage", "lightning flashover", "impulse flashover", "critical impulse flashover", "lightning impulse flashover").
			means("lightning impulse flashover of one unit on the smaller polarity; a heading that says neither flashover nor withstand counts as flashover"),
		number("Lightning withstand", peakKilovolts, 0.1, 6000, audit.CellTested, func(u *unit) *float64 { return &u.LightningWithstandKV }).
			also("lightning impulse withstand", "lightning impulse withstand voltage", "impulse withstand", "LIWV", "BIL").
			means("lightning impulse withstand of one unit; wins over its flashover"),
		number("Wet withstand", kilovolts, 0.1, 6000, audit.CellTested, func(u *unit) *float64 { return &u.WetWithstandKV }).
			also("wet withstand voltage", "wet power frequency withstand", "power frequency withstand wet", "low frequency wet withstand").
			means("wet power frequency withstand of one unit; wins over its flashover"),
		number("Wet switching withstand", peakKilovolts, 0.1, 6000, audit.CellLimits, func(u *unit) *float64 { return &u.WetSwitchingKV }).
			also("wet switching impulse withstand", "switching impulse withstand wet", "wet switching impulse withstand voltage").
			means("wet switching impulse withstand of an insulator that is a whole string"),
		number("Puncture", kilovolts, 0.1, 6000, audit.CellTested, func(u *unit) *float64 { return &u.PunctureKV }).
			also("puncture voltage", "power frequency puncture", "low frequency puncture", "low frequency puncture voltage").means("power frequency puncture voltage"),
		number("Arcing", millimetres, 5, 30_000, audit.CellArcing, func(u *unit) *float64 { return &u.ArcingMM }).
			also(arcingNames...).means("dry arcing distance, horns included"),
		word("Stocked", optional, audit.CellRemarks, withHouse(newWords(yesNoWords(), moreYesNoWords()...), r.house(), stockedList), func(u *unit) *bool { return &u.Stocked }).
			also("in stock", "stock item", "stock").means("kept in stock, for remedies"),
		number("Price", nil, 0, 1e9, audit.CellUnit, func(u *unit) *float64 { return &u.Price }).
			also("unit price", "cost", "unit cost").means("price of one unit in any currency, for remedies"),
	}, unitSheetNamesAbroad())
	return noting(columns, func(u *unit) *audit.Figures { return &u.stated }, audit.UnitFigure)
}

func conductorColumns(r *register) []column[conductor] {
	columns := []column[conductor]{
		column[conductor]{heading: "Conductor", required: required, field: audit.CellConductor, verbatim: true, read: r.startConductor}.
			also("conductor type", "type of conductor", "conductor name", "name", "code word", "code name", "designation").
			means("name; one of the catalogue is overridden cell by cell"),
		number("Mass", kilogramsPerMetre, 0.01, 20, audit.CellWeight, func(c *conductor) *float64 { return &c.MassKgPerM }).
			also("weight", "unit mass", "unit weight", "linear mass", "mass per length", "mass per unit length").means("mass per length"),
		number("Diameter", millimetres, 1, 200, audit.CellDiameter, func(c *conductor) *float64 { return &c.DiameterMM }).
			also("overall diameter", "outside diameter", "conductor diameter").means("overall diameter"),
		number("Rated strength", kilonewtons, 0.5, 2000, audit.CellRating, func(c *conductor) *float64 { return &c.RatedStrengthKN }).
			also("strength", "rated tensile strength", "RTS", "UTS", "ultimate tensile strength", "ultimate strength", "breaking load", "breaking strength",
				"rated breaking strength", "RBS").means("rated tensile strength"),
		number("Area", squareMillimetres, 1, 5000, audit.CellConductor, func(c *conductor) *float64 { return &c.AreaMM2 }).
			also("total area", "cross section", "cross sectional area").means("cross-section of the wires that bear; of a bundled cable those of the neutral alone, where it carries the cores"),
		number("Modulus", gigapascals, 10, 300, audit.CellConductor, func(c *conductor) *float64 { return &c.ModulusGPa }).
			also("modulus of elasticity", "elastic modulus", "E modulus", "final modulus", "Young's modulus").means("final modulus of elasticity"),
		number("Expansion", millionthsPerKelvin, 1, 50, audit.CellConductor, func(c *conductor) *float64 { return &c.Expansion1e6PerK }).
			also("expansion coefficient", "thermal expansion", "coefficient of expansion", "coefficient of linear expansion").means("coefficient of linear expansion"),
	}
	return noting(columns, func(c *conductor) *audit.Figures { return &c.stated }, audit.ConductorFigure)
}

// noting lets columns note the figures that a row states itself, whatever the catalogue has.
func noting[R any](columns []column[R], stated func(*R) *audit.Figures, figureOf func(heading string) audit.Figures) []column[R] {
	for k := range columns {
		read, figure := columns[k].read, figureOf(columns[k].heading)
		if figure == 0 {
			continue
		}
		columns[k].read = func(row *R, cell string, in unitOfMeasure) *trouble {
			trouble := read(row, cell, in)
			if trouble == nil {
				*stated(row) |= figure
			}
			return trouble
		}
	}
	return columns
}
