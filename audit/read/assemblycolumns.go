package read

import (
	"dryarc/audit"
	"dryarc/audit/basis"
)

// The columns of the register, one declaration each: heading, unit in which the audit keeps the value, range of the
// values that are believed, the field that a faulty value makes unknown, where the value goes, what else the trade
// calls it and what it means. Reading, messages, the template and the documentation all come from here. The ranges are
// wide: they are there to find slips of the pen and of the unit (common practice), not to judge.

func assemblyColumns(r *register) []column[assembly] {
	manyWords := newWordsOfDuty(r.house())
	columns := withNamesAbroad([]column[assembly]{
		symbol("Line", required, audit.CellCircuits, r, func(a *assembly) *audit.Symbol { return &a.Line }).
			also(lineNames...).also("line name", "name of line").means("line, written as in the structures"),
		text("Structure", required, audit.CellCircuits, r, func(a *assembly) *audit.TextAt { return &a.Number }).
			also(structureNames...).means("structure number, written as in the structures").notingNumbers(func(a *assembly, is bool) { a.Numeric = is }),
		several(symbol("Circuit", optional, audit.CellCircuits, r, func(a *assembly) *audit.Symbol { return &a.Circuit }), r.house()).
			also("circuit no", "circuit number", "circuit id", "cct", "ckt").means("circuit; 1 where blank, but not on a line of several circuits beside a row that says 1, or one as blank of the same phase: then it is not known"),
		phases("Phase", audit.CellPhase, r.house(), func(a *assembly, text string, set audit.Phases) {
			a.Phase, a.Phases = r.project.Symbols.Number(text), set
		}).also("phases", "phase name").means("phase or phases of the row, such as A, R,Y,B or ABC; blank is all of the circuit"),
		word("Side", optional, audit.CellSide, manyWords.sides, func(a *assembly) *audit.Side { return &a.Side }).
			also("side of structure", "span side").means("side of a tension assembly, seen in the direction of rising structure order; both for a set each way in one row"),
		word("Duty", required, audit.CellDuty, manyWords.duties, func(a *assembly) *audit.Duty { return &a.Duty }).
			also("assembly type", "type of assembly", "string type", "type of string", "assembly duty", "string duty", "insulator duty").
			means("what the assembly is there to do").or(manyWords.readDuty),
		word("Arrangement", optional, audit.CellArrangement, manyWords.arrangements,
			func(a *assembly) *audit.Arrangement { return &a.Arrangement }).
			also("string arrangement", "configuration", "string configuration").means("how the strings hang together; blank goes by their number").saying(sayStrings).or(manyWords.readArrangement),
		number("V angle", degrees, basis.LeastVAngleDeg, basis.MostVAngleDeg, audit.CellArrangement, func(a *assembly) *float64 { return &a.vAngleDeg }).
			also("vee angle", "included angle", "V string angle").means("angle between the two strings of a V"),
		word("Mounting", optional, audit.CellMounting, withHouse(newWords(audit.MountingWords(), moreMountingWords()...), r.house(), mountingList),
			func(a *assembly) *audit.Mounting { return &a.Mounting }).
			also("mounted", "mounting position", "post mounting", "insulator mounting", "orientation").
			means("how a pin or post stands; a pin is upright where blank, a post unknown"),
		word("Grading rings", optional, audit.CellMounting, withHouse(newWords(audit.RingsWords(), moreRingsWords()...), r.house(), ringsList),
			func(a *assembly) *audit.Rings { return &a.Rings }).
			also("grading ring", "rings", "corona rings", "corona ring", "stress control rings").means("at which ends of its strings an assembly has grading rings, for composites; blank is not known"),
		plain("Unit", required, audit.CellUnit, func(a *assembly) *string { return &a.unit }).
			also("unit type", "type of unit", "insulator", "insulator type", "type of insulator", "insulator unit", "disc type", "disk type", "unit designation").
			means("type designation of the units: of the catalogue or the sheet Units; a string of unlike ones as 14×U70BL + 1×U120B"),
		whole("Units per string", required, 1, 200, audit.CellUnitsPerString, func(a *assembly, n int) { a.UnitsPerString = int16(n) }).
			also("units", "no of units", "number of units", "units in string", "insulators per string", "discs", "disks", "no of discs", "no of disks",
				"number of discs", "number of disks", "discs per string", "disks per string", "bells", "bells per string", "number of bells").
			means("units in one string; blank where the unit is a composite, pin, post or shackle").counting(countedUnits...).or(readStrungUnits),
		whole("Strings", optional, 1, mostStrings, audit.CellStrings, func(a *assembly, n int) { a.Strings = int16(n) }).
			also("no of strings", "number of strings", "parallel strings", "strings per phase").means("strings side by side, in a V those of both legs; 1 where blank, 2 in a V, unknown where the arrangement is parallel").counting("string", "set"),
		whole("Defective units", optional, 0, 200, audit.CellDefective, func(a *assembly, n int) { a.Defective = int16(n) }).
			also("defective", "defective discs", "defective disks", "broken units", "broken discs", "broken disks", "damaged units", "damaged discs",
				"damaged disks", "failed units", "bad units", "no of defective units", "number of defective units").
			means("defective units in the worst string; 0 where blank").counting(countedUnits...),
		localDate("Installed", r, func(a *assembly) *audit.Day { return &a.Installed }).
			also("installation date", "install date", "date installed", "date of installation", "installed on").means("day, month or year of installation").idly(),
		localDate("Inspected", r, func(a *assembly) *audit.Day { return &a.Inspected }).
			also("inspection date", "date inspected", "date of inspection", "last inspected", "last inspection", "inspected on").means("day, month or year of the last inspection").idly(),
		text("Remarks", optional, audit.CellRemarks, r, func(a *assembly) *audit.TextAt { return &a.Remarks }).
			also("remark", "note", "notes", "comment", "comments", "observations").means("any text").ofAnyLength().idly(),
		number("Creepage", millimetres, 10, 100_000, audit.CellCreepage, func(a *assembly) *float64 { return &a.direct.CreepageMM }).
			also(creepageNames...).also("string creepage").means("creepage distance of one whole string; wins over the unit's"),
		number("Rating", kilonewtons, 0.1, 5000, audit.CellRating, func(a *assembly) *float64 { return &a.direct.RatingKN }).
			also(ratingNames...).means("mechanical rating of one string when pulled, of a pin or post along its axis; wins over the unit's"),
		number("Length", millimetres, 10, 30_000, audit.CellLength, func(a *assembly) *float64 { return &a.direct.LengthMM }).
			also("string length", "assembly length", "overall length").means("length of one string: of its units alone within 2 % of theirs or where theirs is not known, with its fittings where it is longer; insulation is judged by the units where theirs is known, and what is shorter than they are is a fault"),
		number("Arcing", millimetres, 10, 30_000, audit.CellArcing, func(a *assembly) *float64 { return &a.direct.ArcingMM }).
			also(arcingNames...).means("dry arcing distance of one string, horns included"),
		number("Lightning withstand", peakKilovolts, 1, 6000, audit.CellTested, func(a *assembly) *float64 { return &a.direct.LightningKV }).
			also("LIWV", "BIL", "impulse withstand", "lightning impulse withstand", "lightning impulse withstand voltage").
			means("tested lightning impulse withstand voltage of the string"),
		number("Switching withstand", peakKilovolts, 1, 6000, audit.CellLimits, func(a *assembly) *float64 { return &a.direct.SwitchingKV }).
			also("SIWV", "BSL", "switching impulse withstand", "switching impulse withstand voltage").
			means("tested switching impulse withstand voltage of the string, dry or nobody says how"),
		number("Wet withstand", kilovolts, 1, 6000, audit.CellTestedWet, func(a *assembly) *float64 { return &a.direct.WetKV }).
			also("wet power frequency withstand", "power frequency withstand wet", "wet power frequency withstand voltage").
			means("tested wet power frequency withstand voltage of the string"),
		number("Wet switching withstand", peakKilovolts, 1, 6000, audit.CellLimits, func(a *assembly) *float64 { return &a.direct.WetSwitchingKV }).
			also("wet switching impulse withstand", "switching impulse withstand wet", "wet switching impulse withstand voltage").
			means("tested wet switching impulse withstand voltage of the string; the lesser governs where Switching withstand is stated too"),
		number("Slip load", kilonewtons, leastSlipKN, mostSlipKN, audit.CellAttachment, func(a *assembly) *float64 { return &a.direct.SlipKN }).
			also(slipNames...).unlessNone(slipNone).means("pull along the conductor at which the clamp or tie of one subconductor slips, of a suspension, pin or post assembly: a broken conductor pulls no more than that times its subconductors; wins over the line's"),
		number("Clamp rating", kilonewtons, 0.1, 5000, audit.CellMounting, func(a *assembly) *float64 { return &a.direct.FittingsKN[audit.Clamp] }).
			also(clampNames...).means("mechanical rating of one clamp, which holds one subconductor: suspension or dead-end clamp; that of the line where blank"),
		number("Yoke rating", kilonewtons, 0.1, 5000, audit.CellMounting, func(a *assembly) *float64 { return &a.direct.FittingsKN[audit.Yoke] }).
			also(yokeNames...).means("mechanical rating of the weaker yoke, which carries the whole phase with all its strings; that of the line where blank"),
		number("Ball and socket rating", kilonewtons, 0.1, 5000, audit.CellMounting, func(a *assembly) *float64 { return &a.direct.FittingsKN[audit.BallAndSocket] }).
			also(socketNames...).means("mechanical rating of the weakest ball, socket, eye or link of one string; that of the line where blank"),
	}, assemblyNamesAbroad())
	for i := range columns {
		switch columns[i].field {
		case audit.CellCircuits, audit.CellPhase, audit.CellSide: // say where it hangs, by whatever numbering
		default:
			columns[i].today = true
		}
	}
	return columns
}

// Between these ends a slip load is believed, in kN: a tie that holds less holds no conductor on a slope, and no clamp holds more than
// the strongest conductor (a choice of this program).
const (
	leastSlipKN = 0.3
	mostSlipKN  = 500
	slipNone    = "may mean that nothing slips or that nothing is stated, of which a blank says the second, so that the line's would hold; expected, of what does not slip, the strength of the conductor or more"
)

// What the trade calls the columns that several sheets have (common practice).
var (
	lineNames      = []string{"line no", "line number", "line id", "line code", "feeder", "feeder no"}
	structureNames = []string{"structure no", "structure number", "structure id", "str no", "tower", "tower no", "tower number", "tower id", "pole", "pole no",
		"pole number", "pole id", "support", "support no", "support number", "location no", "location number"}
	creepageNames = []string{"creepage distance", "creepage length", "creepage path", "creep", "leakage", "leakage distance"}
	ratingNames   = []string{"strength", "mechanical rating", "mechanical strength", "rated strength", "M&E rating", "M&E strength", "failing load",
		"mechanical failing load", "minimum failing load", "electromechanical failing load", "specified mechanical load", "SML", "SFL"}
	slipNames   = []string{"slip load per subconductor", "slip load of clamp", "clamp slip load", "clamp slip strength", "slip strength", "slipping load"}
	clampNames  = []string{"rating of clamp", "clamp strength", "rating of clamps"}
	yokeNames   = []string{"rating of yoke", "yoke strength", "yoke plate rating", "rating of yoke plate"}
	socketNames = []string{"ball socket rating", "ball eye rating", "socket eye rating", "socket rating", "rating of ball and socket", "link rating"}
	arcingNames = []string{"arcing distance", "dry arcing distance", "dry arc distance", "dry arc", "dry arcing", "strike distance"}
)
