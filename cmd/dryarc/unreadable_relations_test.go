package main

import (
	"strings"

	"dryarc/audit"
)

// relation is a change that is right although the verdict does not become not assessed.
type relation struct {
	how     disturbance // empty for both
	columns string      // set apart by commas
	checks  string      // set apart by commas; empty for all
	what    string      // the changes, set apart by semicolons; each stands for all that begin so
	own     bool        // of the verdicts of the disturbed row or structure itself only
	why     string
}

// relations are stated as narrowly as can be defended: whatever else changes breaks the rule.
var relations = []relation{
	// What stands on the disturbed row itself.
	{columns: "Assemblies.Line, Assemblies.Structure", what: "gone", own: true,
		why: "A row that names no place cannot be judged: it is left out and counted, its verdicts go with it."},
	{columns: "structures.line, structures.structure", what: "gone", own: true,
		why: "A structure without a name or a line is left out, and so are the rows that stand on it."},
	{how: unreadable, columns: "Assemblies.Line, Assemblies.Structure, Assemblies.Circuit, Assemblies.Phase, Assemblies.Side, Assemblies.Duty",
		checks: "nothing-registered, side-missing", what: "meets by other figures",
		why: "They count what hangs here: one fewer meets as long as one is left."},

	// Checks that compare assemblies with each other. phase-missing, side-missing, section-length, tension-fewer-units,
	// near-worse-zone and nothing-registered need no more than the rule itself: the place, the section or the string becomes
	// not assessed, under whatever side or section it then goes.
	{columns: "Assemblies.Duty, Assemblies.Unit, Assemblies.Units per string, Units.Unit", checks: "odd-one-out",
		what: "meets → not applicable; falls short → not applicable",
		why:  "A string whose neighbour is not known has perhaps nothing uniform around it; it may not become the odd one, nor stop being it."},
	{columns: "Assemblies.Line, Assemblies.Structure, structures.line, structures.structure", checks: "odd-one-out",
		what: "meets → not applicable; falls short → not applicable",
		why:  "The same where the neighbour has left its structure, or its structure the line."},
	{columns: "Assemblies.Line, Assemblies.Structure", checks: "phase-missing, side-missing", what: "gone",
		why: "A structure on which nothing is left has no places, and nothing-registered speaks; one that lost its tension assembly has no sides."},
	{columns: "Assemblies.Side", checks: "phase-missing, side-missing", what: "gone",
		why: "A circuit with a tension assembly of unknown side is one place, no longer one for each side; the verdict on it is new."},
	{columns: "Assemblies.Duty, Assemblies.Circuit", checks: "phase-missing, side-missing", what: "gone",
		why: "What may be a tension assembly, and of which circuit, decides whether a circuit has sides here; the verdicts on them are new."},
	{columns: "Assemblies.Line, Assemblies.Structure, Assemblies.Circuit, Assemblies.Phase, Assemblies.Side, Assemblies.Duty", checks: "section-length",
		what: "gone; new: meets; new: falls short",
		why: "A section ends where every phase of its circuit is known to hang in tension on both sides. Where that is no longer known two become one, which meets only if both together are short " +
			"enough, and falls short only where a part of it does that surely is one; where it is not known of one circuit, each has sections of its own."},
	{columns: "Lines.Circuits, Lines.Line", checks: "section-length", what: "gone; not assessed for another reason than the fault",
		why: "How many circuits a line has decides whether they have sections of their own; this line states no section limit."},
	{how: unreadable, columns: "Assemblies.Line, Assemblies.Structure, Assemblies.Circuit, Assemblies.Phase, Assemblies.Side, Assemblies.Duty, structures.line, structures.structure", checks: "section-length", what: "not assessed for another reason than the fault",
		why: "A section of a line without a section limit is not judged, wherever it ends."},
	{columns: "routes.line, structures.line, structures.structure", checks: "section-length", what: "gone",
		why: "A section whose structures are not known for certain is judged between other ends; the verdict on it is new."},
	{columns: "routes.line, structures.line, structures.structure, structures.sequence, structures.continues", checks: "phase-missing, side-missing", what: "gone",
		why: "Where it is not certain that a line ends, a tension assembly that names no side has not the one side of a line end; the verdict on the place is new."},
	{columns: "Lines.Line", checks: "phase-missing, side-missing", what: "gone",
		why: "A circuit that only the sheet counts has no name without it; the verdict on a circuit that may be missing is new."},
	{columns: "Lines.Circuits", checks: "phase-missing, side-missing", what: "gone",
		why: "The same where the count is blank or cannot be read; a circuit that the register shows keeps its verdicts."},
	{how: unreadable, columns: "Assemblies.Strings", checks: "odd-one-out", what: "meets by other figures",
		why: "Strings are compared by what they are made of; how many hang side by side is only in the words."},

	// Bounds that hold whatever the cell said.
	{how: unreadable, columns: "zones.class, zones.specific_creepage, Assemblies.Creepage, Lines.Nominal voltage, Lines.Highest voltage, Lines.Creepage voltage, Lines.Lightning level, Lines.Switching level, Lines.System, Units.Creepage, Units.Average diameter, structures.ground_m", checks: "string-too-long", what: "falls short by other figures",
		why: "What hangs is too long whatever is asked of it: where that is not known, its own length is the figure, which exceeds the limit by itself."},
	{how: unreadable, columns: "Conductors.Area, Conductors.Modulus, Conductors.Expansion, Conductors.Rated strength, Lines.Everyday temperature, Lines.Everyday tension", checks: "strength, strength-one-string-broken, fitting-strength, fitting-strength-one-string-broken, fitting-broken-conductor", what: "falls short by other figures",
		why: "a load case that is not known leaves those that are, which ask for that at least"},
	{how: unreadable, columns: "Conductors.Area, Conductors.Modulus, Conductors.Expansion, Conductors.Rated strength, Lines.Everyday temperature, Lines.Everyday tension, Lines.Maximum tension", checks: "swing, v-set-clearance", what: "falls short by other figures",
		why: "What falls short in one load case does so whatever the tension of another is."},
	{how: unreadable, columns: "Assemblies.Length", checks: "swing", what: "falls short by other figures",
		why: "What swings beyond the limit that the line states does so whatever its clearance allows a string of that length."},
	{how: unreadable, columns: "structures.ground_m, structures.attachment_m", checks: "broken-conductor, fitting-broken-conductor", what: "falls short by other figures",
		why: "Where the height of one span is not known, what the break on the other side asks for is the least that is needed."},

	{how: unreadable, columns: "Units.Rating", checks: "strength, strength-one-string-broken, broken-conductor", what: "not assessed → falls short",
		why: "A rating of the row wins over that of its unit, but where the two contradict each other. Where the unit's cannot be read nothing contradicts it: too little falls short; that it would then meet stays forbidden."},

	{how: unreadable, columns: "Units.Rating", checks: "fitting-strength, fitting-broken-conductor", what: "not assessed for another reason than the fault",
		why: "The same: by a rating of the row that nothing contradicts, fittings of more than five times that are not believed."},

	{how: unreadable, columns: "structures.ground_m", checks: "creepage, lightning-withstand, switching-withstand, wet-withstand", what: "falls short by other figures",
		why: "No altitude asks for less than the level of the sea: a string too short for that is too short at any."},

	// What an inspection that is not joined, or saw nothing, leaves as it was.
	{how: unreadable, columns: "Inspections.Line, Inspections.Structure", checks: "sound-units, strength, strength-one-string-broken, broken-conductor", what: "not applicable → falls short; meets → falls short; not assessed for another reason than the fault",
		why: "A row that saw a string sound and does not say which takes no defective unit away: the string falls short by what the register says. One that saw broken units leaves open all that it may be of."},
	{how: unreadable, columns: "Inspections.Line, Inspections.Structure", checks: "dry-wet-minimum", what: "meets by other figures; meets → falls short",
		why: "The same: what it may have seen sound counts as the register has it, with fewer sound units."},
	{how: unreadable, columns: "Units.Dry, Units.Wet", checks: "dry-wet-minimum", what: "falls short by other figures",
		why: "Of dry and wet flashover the one that falls short decides, whatever is known of the other."},
	{how: blank, columns: "Inspections.Line, Inspections.Structure, Inspections.Units broken, Inspections.Units seen", checks: "sound-units, strength, strength-one-string-broken, broken-conductor",
		what: "falls short → not applicable; meets → not applicable; falls short → meets; not assessed → meets; not applicable → falls short",
		why:  "What was not seen says nothing: the register stands as it does without the row. History keeps what an inspection counted from clearing."},

	// What a blank cell says.
	{how: blank, columns: "Assemblies.Circuit", what: "gone", own: true,
		why: "Circuit 1 where blank, as the sheet says: a row that then repeats another is judged with it, and the worse verdict stands there."},
	{how: blank, columns: "Assemblies.Phase", checks: "phase-missing", what: "falls short → meets",
		why: "A blank phase is all of the circuit, as the sheet says, where no row beside it names phases."},
	{how: blank, columns: "Assemblies.Phase", checks: "side-missing", what: "not applicable → meets",
		why: "The same: where no phase lacks any more each is held on its side, and phase-missing has nothing to say."},
	{how: blank, columns: "Assemblies.Creepage, Assemblies.Rating, Assemblies.Length, Assemblies.Arcing, Assemblies.Lightning withstand, " +
		"Assemblies.Switching withstand, Assemblies.Wet withstand, Assemblies.Wet switching withstand", what: "falls short → meets; not assessed → meets",
		why: "Figures that a row leaves blank are those of its unit."},
	{how: blank, columns: "Units.Kind, Units.Rating, Units.Spacing, Units.Creepage, Units.Diameter, Units.Weight, Units.Coupling, Units.Dry, Units.Wet, " +
		"Units.Lightning, Units.Puncture, Units.Arcing, Units.Wet switching withstand", what: "falls short → meets; not assessed → meets",
		why: "A unit of the catalogue is overridden cell by cell: what the sheet leaves blank is the catalogue's."},
	{how: blank, columns: "Conductors.Mass, Conductors.Diameter, Conductors.Rated strength, Conductors.Area, Conductors.Modulus, Conductors.Expansion",
		what: "falls short → meets; not assessed → meets", why: "The same for a conductor of the catalogue."},
	{how: blank, columns: "Assemblies.Defective units", checks: "sound-units", what: "falls short → not applicable; meets → not applicable; not assessed → not applicable",
		why: "Defective units are none where blank, as the trade reads it."},
	{how: blank, columns: "Assemblies.Defective units", checks: "strength, strength-one-string-broken, broken-conductor", what: "falls short → meets; not assessed → meets; not assessed → falls short; falls short by other figures",
		why: "The same: a string has its whole rating where the cell is blank."},
	{how: blank, columns: "Assemblies.Defective units", checks: "creepage, near-worse-zone, lightning-withstand, switching-withstand, wet-withstand, dry-wet-minimum",
		what: "not applicable → meets; not applicable → falls short", why: "The same: a long rod or composite has not failed where the cell is blank."},
	{how: blank, columns: "Lines.System, Lines.Highest voltage, Lines.Subconductors", what: "falls short → meets; not assessed → meets; not assessed → not applicable; falls short → not applicable; " +
		"meets → not applicable; not applicable → meets; not applicable → not assessed",
		why: "Earthed, Um by IEC 60038 and one conductor below Um 300 kV where blank; each is listed as an assumption."},
	{how: blank, columns: "Lines.Lightning level", checks: "sound-units", what: "not assessed → meets",
		why: "Where the line states no level none is asked of what is left of a string, and creepage alone judges it, as the check says."},
	{how: blank, columns: "Lines.Creepage voltage", what: "falls short → meets; not assessed → meets",
		why: "It is Um/√3 where the line states none and its neutral is earthed."},
	{how: blank, columns: "Units.Average diameter", checks: "creepage", what: "falls short → meets",
		why: "The diameter factor is 1 where the average diameter is blank, since catalogue diameters are overall ones; it is listed as an assumption where one reaches 300 mm."},
	{how: blank, columns: "Lines.Deviation limit, structures.deviation_limit_deg", checks: "tension-at-deviation", what: "falls short → meets; not assessed → meets",
		why: "Without a limit of its own the line's or the project's holds."},
	{how: blank, columns: "Lines.Superseded figures", checks: "swing, tension-at-deviation", what: "not assessed → meets; not assessed → falls short",
		why: "A blank cell supersedes nothing: what structures state for themselves holds."},
	{how: blank, columns: "structures.duty, structures.role, structures.continues, structures.conductor_ahead, structures.subconductors_ahead", what: "not assessed → ; not applicable → ; meets → not applicable; falls short → not applicable; gone",
		why: "A property that the GIS leaves blank declares nothing: the structure is one like any other."},
	{how: blank, columns: "Lines.Clearance", checks: "swing", what: "falls short → meets; not assessed → meets",
		why: "Without a clearance the swing limit alone holds."},
	{how: unreadable, columns: "Conductors.Rated strength, Lines.Clamp rating, Lines.Yoke rating, Lines.Ball and socket rating, Assemblies.Clamp rating, Assemblies.Yoke rating, Assemblies.Ball and socket rating", checks: "fitting-strength, fitting-strength-one-string-broken, fitting-broken-conductor",
		what: "falls short by other figures; not assessed for another reason than the fault",
		why:  "Of the fittings of one assembly another falls short by itself then, or the load of another case is not known either."},
	{how: blank, columns: "Lines.Clamp rating, Lines.Yoke rating, Lines.Ball and socket rating, Assemblies.Clamp rating, Assemblies.Yoke rating, Assemblies.Ball and socket rating", checks: "fitting-strength, fitting-strength-one-string-broken, fitting-broken-conductor",
		what: "falls short → meets; falls short by other figures; meets → falls short; not assessed → meets; not assessed → falls short",
		why:  "A fitting without a rating is not looked at, or by that of the line; the history notes that one was stated, so that nothing is cleared by it."},
	{how: blank, columns: "Lines.Fittings", checks: "swing, v-set-clearance", what: "not assessed → meets",
		why: "A Length that is beyond that of its units has the fittings in it, as long as the line states none that contradict it."},
	{how: blank, columns: "structures.arm_length_mm, structures.wall_distance_mm, structures.wall_lean, structures.bracket_level_mm, structures.wall_side, structures.clearance_mm", checks: "swing, v-set-clearance", what: "falls short → meets; not assessed → meets",
		why: "Without a figure of its own the line's holds."},
	{how: blank, columns: "structures.subconductors_ahead", checks: "strength, strength-one-string-broken, fitting-strength", what: "falls short → meets",
		why: "Where no structure says otherwise a span has the bundle of the one behind it, in the end the line's."},
}

// freeText holds what is said to people only: nothing is unreadable in it, and no fault is looked for.
var freeText = []string{"Assemblies.Remarks", "Lines.Name", "Units.Material", "Units.Make", "zones.label", "crossings.label"}

// idleColumns cannot move any verdict of the island: they are for people, for remedies and for the schedule.
var idleColumns = []string{
	"Assemblies.Installed", "Assemblies.Inspected", "Assemblies.Remarks", "Lines.Name", "Lines.Capacitance ratio",
	"Units.Material", "Units.Stocked", "Units.Price", "zones.label", "crossings.label",
	"Inspections.Inspection", "Inspections.Method", "Inspections.Units flashed", "Inspections.Inspector", "Inspections.Photo", "Inspections.Remark",
}

// allows tells whether a relation states a change.
func (r *relation) allows(m move, own bool) bool {
	if r.how != "" && r.how != m.how || r.own && !own || !lists(r.columns, ", ", m.column) || r.checks != "" && !lists(r.checks, ", ", m.check) {
		return false
	}
	for _, what := range strings.Split(r.what, "; ") {
		if strings.HasPrefix(m.what, what) {
			return true
		}
	}
	return false
}

func lists(text, between, name string) bool {
	for _, one := range strings.Split(text, between) {
		if one == name {
			return true
		}
	}
	return false
}

// changes says what is different, in the words of the relations; nothing where it is what the rule allows of any verdict.
// An unreadable cell leaves a verdict as it was, on the same figures, or makes it not assessed and points at the fault; a
// blank one may also give it other figures, and make it fall short.
func (how disturbance) changes(was, is *finding) string {
	const elsewhere = "not assessed for another reason than the fault"
	switch {
	case is == nil:
		return "gone"
	case is.outcome == audit.NotAssessed && (was == nil || was.outcome != is.outcome):
		unasked := is.reason.AskedBy() != "" && (was == nil || was.outcome == audit.NotApplicable)
		if how == unreadable && !is.pointsAtFault() && !unasked {
			return elsewhere
		}
	case was == nil:
		return "new: " + is.outcome.String()
	case was.outcome != is.outcome && how == blank && is.outcome == audit.FallsShort:
	case was.outcome != is.outcome:
		return was.outcome.String() + " → " + is.outcome.String()
	case how == blank:
	case was.outcome == audit.FallsShort && was.severity != is.severity:
		return was.severity.String() + " → " + is.severity.String()
	case !was.sameFigures(is):
		return was.outcome.String() + " by other figures"
	}
	return ""
}
