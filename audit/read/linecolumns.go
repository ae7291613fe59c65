package read

import (
	"slices"
	"strings"

	"dryarc/audit"
)

func lineColumns(r *register) []column[audit.LineRow] {
	type row = audit.LineRow
	cases := r.loadCases()
	return withNamesAbroad([]column[row]{
		symbol("Line", required, audit.CellCircuits, r, func(l *row) *audit.Symbol { return &l.Line }).
			also(lineNames...).means("line, written as in the structures"),
		symbol("Name", optional, audit.CellRemarks, r, func(l *row) *audit.Symbol { return &l.Name }).
			also("line name", "name of line", "description").means("what people call it").idly(),
		whole("Circuits", optional, 1, 12, audit.CellCircuits, func(l *row, n int) { l.Circuits = n }).
			also("no of circuits", "number of circuits").means("circuits on the line").counting("circuit"),
		phaseNames("Phases", audit.CellCircuits, r.house(), func(l *row, _ string, set audit.Phases) { l.Phases = set }).
			also("phase", "phase names").means("phases of a circuit, such as ABC or R,Y,B"),
		word("System", optional, audit.CellVoltage, withHouse(newWords(audit.SystemWords(), moreSystemWords()...), r.house(), systemList), func(l *row) *audit.System { return &l.System }).
			also("neutral", "neutral earthing", "neutral grounding", "earthing", "grounding", "system earthing", "system grounding").
			means("how the neutral is treated, or the current and whether of a railway; taken as earthed where blank").or(hintAtSystem),
		number("Nominal voltage", kilovolts, 0.1, 1500, audit.CellVoltage, func(l *row) *float64 { return &l.NominalKV }).
			also("voltage", "line voltage", "system voltage", "nominal system voltage", "rated voltage", "nominal kV").means("nominal voltage, phase to phase; of a railway to earth"),
		number("Highest voltage", kilovolts, 0.1, 1500, audit.CellVoltage, func(l *row) *float64 { return &l.HighestKV }).
			also("Um", "maximum voltage", "max voltage", "highest system voltage", "maximum system voltage", "highest voltage for equipment").
			means("highest voltage for equipment Um; taken from IEC 60038 where blank, or from the table of the criterion voltages; of a railway its highest permanent voltage to earth, taken from EN 50163 where blank"),
		number("Creepage voltage", kilovolts, 0.05, 1500, audit.CellVoltage, func(l *row) *float64 { return &l.CreepageKV }).
			also("voltage for creepage").means("voltage along a string for creepage, where it is not Um/√3; of direct current the highest voltage from pole to earth, which nothing stands in for"),
		number("Lightning level", peakKilovolts, 1, 6000, audit.CellTested, func(l *row) *float64 { return &l.LightningKV }).
			also("LIWL", "LIWV", "BIL", "impulse level", "lightning impulse level", "basic impulse level", "basic insulation level").
			means("lightning impulse level that the line needs"),
		number("Switching level", peakKilovolts, 1, 6000, audit.CellTested, func(l *row) *float64 { return &l.SwitchingKV }).
			also("SIWL", "SIWV", "BSL", "switching impulse level", "basic switching impulse level").means("switching impulse level that the line needs, range II"),
		symbol("Conductor", optional, audit.CellConductor, r, func(l *row) *audit.Symbol { return &l.Conductor }).
			also("conductor type", "type of conductor", "conductor name", "phase conductor").means("conductor: of the catalogue or the sheet Conductors"),
		whole("Subconductors", optional, 1, mostSubconductors, audit.CellStrings, func(l *row, n int) { l.Subconductors = n }).
			also("bundle", "conductors per phase", "subconductors per phase", "number of subconductors", "no of subconductors").means("conductors in a bundle; one where blank below 300 kV, else unknown").counting("conductor", "subconductor").
			or(func(l *row, cell string) (*trouble, bool) {
				n, known := subconductors(cell)
				if known {
					l.Subconductors = n
				}
				return nil, known
			}),
		number("Maximum tension", kilonewtons, 0.1, 1000, audit.CellTension, func(l *row) *float64 { return &l.MaximumTensionKN }).
			also("max tension", "maximum working tension", "max working tension").means("largest tension of one subconductor"),
		number("Everyday tension", kilonewtons, 0.1, 1000, audit.CellTension, func(l *row) *float64 { return &l.EverydayTensionKN }).
			means("everyday tension of one subconductor"),
		number("Everyday temperature", celsius, -60, 100, audit.CellTension, func(l *row) *float64 { return &l.EverydayC }).
			means("conductor temperature of the everyday tension"),
		number("Cold tension", kilonewtons, 0.1, 1000, audit.CellTension, func(l *row) *float64 { return &l.ColdTensionKN }).
			also("minimum temperature tension", "tension at minimum temperature").means("tension of one subconductor in the cold, for uplift"),
		number("Slip load", kilonewtons, leastSlipKN, mostSlipKN, audit.CellAttachment, func(l *row) *float64 { return &l.SlipKN }).
			also(slipNames...).unlessNone(slipNone).means("pull along the conductor at which the clamp or tie of one subconductor slips, of suspension, pin and post assemblies of the line as a rule"),
		number("Deviation limit", degrees, 0, 180, audit.CellDeviationLimit, func(l *row) *float64 { return &l.DeviationLimitDeg }).
			also("maximum deviation", "max deviation", "suspension deviation limit", "line angle limit").
			means("largest deviation for suspension assemblies; wins over the criterion"),
		byCase("Swing limit", degrees, 1, 90, audit.CellLimits, cases, func(l *row) (*float64, *[]audit.CaseFigure) { return &l.SwingLimitDeg, &l.SwingLimitsDeg }).
			also("maximum swing", "max swing", "swing angle limit").means("largest swing of suspension strings; of one load case where it names it, as in high wind: 60; still air: 20"),
		number("Arm length", millimetres, lowestRoomMM, highestRoomMM, audit.CellLength, func(l *row) *float64 { return &l.Room.ArmLengthMM }).
			also(armLengthNames...).means("from the body of the structure to the attachment of the string, of a V set to the middle between its two; the wall is no farther"),
		number("Wall distance", millimetres, lowestRoomMM, highestRoomMM, audit.CellLength, func(l *row) *float64 { return &l.Room.WallDistanceMM }).
			also(wallDistanceNames...).means("level distance from the attachment of a suspension string, of a V set from the middle between its two, to the body or wall, where it comes nearest as far down as the string reaches; of a wall whose lean is stated, at the bracket level"),
		number("Wall lean", slopes, -1, 1, audit.CellLength, func(l *row) *float64 { return &l.Room.WallLean }).
			means("by how many metres the wall comes nearer for each metre down from where the wall distance is measured, below 0 where it leans away; upright where blank"),
		number("Bracket level", millimetres, -highestBracketMM, highestBracketMM, audit.CellLength, func(l *row) *float64 { return &l.Room.BracketMM }).
			also("crossarm level").means("how far the crossarm or bracket is above the attachment of the string, below 0 beneath it; level with it where blank"),
		word("Wall side", optional, audit.CellLength, wallSides(r.house()), func(l *row) *audit.WallSide { return &l.Room.WallSide }).
			means("on which side of V sets the body or wall stands, seen along the line; both in a window, or where it differs. Asked for where a turn pulls"),
		byCase(clearanceHeading, millimetres, lowestClearanceMM, highestRoomMM, audit.CellLength, cases, func(l *row) (*float64, *[]audit.CaseFigure) { return &l.Room.ClearanceMM, &l.Room.ClearancesMM }).
			also(clearanceNames...).means("clearance from the structure that the end of a swinging string has to keep, the project's figure and no approach distance; of one load case where it names it, as in high wind: 600; still air: 1500"),
		number("Fittings", millimetres, lowestFittingsMM, 5000, audit.CellLength, func(l *row) *float64 { return &l.FittingsMM }).
			also("fittings length", "length of fittings", "hardware length", "length of hardware").means("length of a suspension string beyond its units, from attachment to conductor, for the clearance of strings whose Length does not have them in it"),
		number("Clamp rating", kilonewtons, 0.1, 5000, audit.LineFittings[audit.Clamp], func(l *row) *float64 { return &l.FittingsKN[audit.Clamp] }).
			also(clampNames...).means("mechanical rating of one clamp, which holds one subconductor, where a row of Assemblies states none"),
		number("Yoke rating", kilonewtons, 0.1, 5000, audit.LineFittings[audit.Yoke], func(l *row) *float64 { return &l.FittingsKN[audit.Yoke] }).
			also(yokeNames...).means("mechanical rating of the weaker yoke, which carries the whole phase, where a row of Assemblies states none"),
		number("Ball and socket rating", kilonewtons, 0.1, 5000, audit.LineFittings[audit.BallAndSocket], func(l *row) *float64 { return &l.FittingsKN[audit.BallAndSocket] }).
			also(socketNames...).means("mechanical rating of the weakest ball, socket, eye or link of one string, where a row of Assemblies states none"),
		number("Section limit", kilometres, 0.01, 1000, audit.CellSequence, func(l *row) *float64 { return &l.SectionLimitKM }).
			also("section length limit", "maximum section length", "max section length").means("longest section between tension structures"),
		number("Longest string", millimetres, 10, 30_000, audit.CellUnitsPerString, func(l *row) *float64 { return &l.LongestStringMM }).
			also("maximum string length", "max string length").means("longest string that the clearances allow"),
		number("Capacitance ratio", nil, 0, 1, audit.CellCoupling, func(l *row) *float64 { return &l.CapacitanceRatio }).
			also("capacitance ratio k", "earth capacitance ratio").means("capacitance to earth over that of a unit, for the voltage along a string"),
		superseded("Superseded figures", func(l *row) *audit.Superseded { return &l.Superseded }).
			also("superseded figure").means("what structures, assemblies and load cases still state for a voltage or a conductor that the line has no more, so that nothing is judged by it until it is stated anew: " + newWords(audit.SupersededWords()).list + "; several with semicolons between them"),
	}, lineSheetNamesAbroad())
}

// Between these ends distances and clearances at a structure are believed, in mm (a choice of this program).
const (
	lowestRoomMM      = 100
	lowestClearanceMM = 10
	lowestFittingsMM  = 50 // likely centimetres below that
	highestBracketMM  = 10_000
	highestRoomMM     = 30_000
)

const clearanceHeading = "Clearance"

// What else the distances are called.
var (
	armLengthNames    = []string{"crossarm length", "cross-arm length", "length of crossarm"}
	wallDistanceNames = []string{"distance to wall", "distance to tower body", "distance to body"}
	clearanceNames    = []string{"electrical clearance", "clearance to structure", "clearance to tower"}
)

// wallSides are the words of the side on which a wall stands.
func wallSides(house *houseWords) words[audit.WallSide] {
	return withHouse(newWords(audit.WallSideWords()), house, wallSideList)
}

// mostSubconductors is the largest bundle that is believed.
const mostSubconductors = 12

// hintAtSystem says of a neutral that is written otherwise what may be meant, and reads nothing.
func hintAtSystem(_ *audit.LineRow, cell string) (*trouble, bool) {
	key := wordKey(cell)
	has := func(parts ...string) bool {
		return slices.ContainsFunc(parts, func(part string) bool { return strings.Contains(key, part) })
	}
	hint := ""
	switch {
	case has("petersen", "losch", "kompens", "compens", "suppress", "reson"):
		hint = "where an arc suppression (Petersen) coil earths the neutral, it means resonant"
	case has("resist", "imped", "ohm", "react", "droge"):
		hint = "a neutral that is earthed through a resistance or a reactance is none of them: earthed where an earth fault is cut off at once, isolated or resonant where it may stand"
	case has("railway", "traction", "catenary", "ferrocarril", "ferrovia", "bahn"):
		hint = "the contact line of a railway is single-phase railway or direct-current railway: its voltages are then those to earth"
	default:
		return nil, false
	}
	return unknownWord(systemList, "is none of "+newWords(audit.SystemWords()).list+"; "+hint, cell), true
}
