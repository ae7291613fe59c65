package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// demoMistake is one line of PLANTED.csv: the key of an exception that must be raised, or of a row with a fault.
type demoMistake struct {
	what, line, structure string
	circuit, phase, side  string
	story                 string
}

// demoWrongDuty is a structure whose assemblies of one circuit are registered with a duty that does not suit it.
type demoWrongDuty struct {
	what     string
	line     string
	sequence int
	circuit  int
	duty     string
	story    string
}

func demoWrongDuties() []demoWrongDuty {
	return []demoWrongDuty{
		{"tension-at-terminal", demoCoastLine, 60, 2, "suspension", "the second circuit's gantry strings were entered from the form of the structure before"},
		{"tension-at-terminal", demoTapLine, 10, 0, "pin", "the quarry's transformer pole was entered as a plain pole"},
		{"tension-at-tee", demoPoleLine, demoTeeAt, 0, "pin", "the tap was built later, and the pole that carries it kept its old entry"},
		{"tension-at-deviation", demoCoastLine, 17, 1, "suspension", "line turns right by 8.1 degrees at a structure entered as straight run"},
		{"tension-at-deviation", demoCoastLine, 17, 2, "suspension", "line turns right by 8.1 degrees at a structure entered as straight run"},
		{"tension-at-deviation", demoCoastLine, 38, 1, "suspension", "line turns right by 13.9 degrees; the other circuit is entered with tension strings"},
		{"tension-at-deviation", demoRiverLine, 15, 1, "suspension", "line turns right by 6.6 degrees where it was rerouted round a slip"},
		{"tension-at-deviation", demoRiverLine, 43, 1, "suspension", "meant to be marginal: 2.25 degrees is above the limit by less than the survey can tell, so an advisory"},
		{"tension-at-deviation", demoPoleLine, 32, 0, "post", "line turns right by 9.1 degrees on posts; the line states 5 degrees as its limit"},
	}
}

func (r *demoRegister) wrongDuty(line string, sequence, circuit int) (demoWrongDuty, bool) {
	for _, wrong := range demoWrongDuties() {
		if wrong.line == line && wrong.sequence == sequence && wrong.circuit == circuit {
			return wrong, true
		}
	}
	return demoWrongDuty{}, false
}

// plant puts the mistakes, and some rows that look like mistakes and are none, into a register that is right.
// The faults come last, for their stories name rows of the sheet.
func (r *demoRegister) plant() {
	for _, wrong := range demoWrongDuties() {
		number := r.number(wrong.line, wrong.sequence)
		for _, row := range r.rows {
			if row.line == wrong.line && row.structure == number && row.circuit == wrong.circuit && row.duty == wrong.duty {
				r.key(wrong.what, row, wrong.story)
			}
		}
	}
	r.plantCreepage()
	r.plantDefects()
	r.plantHarmless()
	r.plantGaps()
	r.plantConsequences()
	r.plantFaults()
	r.plantInspections()
}

// plantConsequences records what other checks have to say of the mistakes, and of what the criteria of audit.yaml ask for.
func (r *demoRegister) plantConsequences() {
	for _, c := range []struct {
		what      string
		line      string
		sequences []int
		circuits  []int
		story     string
	}{
		{"double-at-crossing", demoRiverLine, []int{12, 13}, []int{1}, "the road was built after the line, and the criteria ask for double strings there"},
		{"swing", demoCoastLine, []int{17}, []int{1, 2}, "the pull of the turn adds to the wind"},
		{"swing", demoCoastLine, []int{38}, []int{1}, "the pull of the turn adds to the wind"},
		{"near-worse-zone", demoCoastLine, []int{55}, []int{1, 2}, "85 m outside the zone of the cement works"},
		{"near-worse-zone", demoRiverLine, []int{4}, []int{1}, "109 m outside the zone of the cement works"},
		{"mixed-units", demoCoastLine, []int{47}, []int{1}, "one disc of another kind was added for the altitude"},
	} {
		for _, sequence := range c.sequences {
			for _, row := range r.rows {
				if row.line == c.line && row.structure == r.number(c.line, sequence) && row.duty == "suspension" && slices.Contains(c.circuits, row.circuit) {
					r.key(c.what, row, c.story)
				}
			}
		}
	}
	weak := r.row(demoCoastLine, 11, 1, "B", "back", "tension")
	r.key("tension-fewer-units", *weak, "ordinary profile where the suspension strings have fog profile")
	r.key("odd-one-out", *weak, "the other strings of the structure have fog profile")
	r.key("odd-one-out", *r.row(demoRiverLine, 3, 1, "Y", "", "suspension"), "two units fewer than the other phases")
}

func (r *demoRegister) plantCreepage() {
	for _, sequence := range []int{3, 4} {
		for _, phase := range []string{"A", "B", "C"} {
			row := r.row(demoCoastLine, sequence, 2, phase, "", "suspension")
			row.units = 9
			r.key("creepage", *row, "two units short on the salt shore: the count of the belt behind it")
		}
	}
	row := r.row(demoCoastLine, 11, 1, "B", "back", "tension")
	row.unit, row.remarks = "U120B", "replaced after flashover"
	r.key("creepage", *row, "the right count of units, of ordinary instead of fog profile")
	row = r.row(demoRiverLine, 3, 1, "Y", "", "suspension")
	row.units = 13
	r.key("creepage", *row, "string length of the clean part of the line, beside the cement works")
}

func (r *demoRegister) plantDefects() {
	for _, d := range []struct {
		line     string
		sequence int
		circuit  int
		phase    string
		defects  int
		remarks  string
		story    string
	}{
		{demoCoastLine, 2, 1, "B", 1, "sheath cracked near the line end", "a composite with a defect has failed as a whole"},
		{demoCoastLine, 10, 1, "A", 1, "one cap cracked", ""}, // which an inspection has found sound since
		{demoCoastLine, 35, 2, "C", 2, "two glass discs shattered", "7 sound units of 9 are 2065 mm, class b asks for 2328 mm"},
		{demoRiverLine, 23, 1, "R", 2, "gunshot, two shells gone", "11 sound units of 13 are 3850 mm, class b asks for 3933 mm"},
	} {
		row := r.row(d.line, d.sequence, d.circuit, d.phase, "", "suspension")
		row.defective, row.remarks = d.defects, d.remarks
		if d.story != "" {
			r.key("sound-units", *row, d.story)
		}
	}
}

// plantHarmless adds what a check must not take for a mistake.
func (r *demoRegister) plantHarmless() {
	row := r.row(demoCoastLine, 36, 1, "A", "", "suspension")
	row.defective, row.remarks = 1, "one glass disc shattered"
	row = r.row(demoRiverLine, 24, 1, "B", "", "suspension")
	row.defective, row.remarks = 1, "one shell gone"
	row = r.row(demoPoleLine, 28, 0, "C", "ahead", "tension")
	row.defective, row.remarks = 1, "chipped skirt"

	row = r.row(demoCoastLine, 5, 2, "A", "", "suspension")
	row.units, row.creepageMM, row.remarks = 10, 4640, "booster sheds fitted, creepage measured"
	for _, phase := range []string{"A", "B", "C"} {
		row = r.row(demoCoastLine, 47, 1, phase, "", "suspension")
		row.unit, row.units, row.remarks = "9×U70BL + 1×U120B", 10, "one disc added for the altitude"
	}
	for _, sequence := range []int{7, 8} {
		row = r.row(demoRiverLine, sequence, 1, "Y", "", "suspension")
		row.arrangement, row.vAngleDeg, row.strings, row.remarks = "V", 90, 2, "narrow corridor"
	}
	r.row(demoTapLine, 1, 0, "ABC", "ahead", "tension").side = ""
	for _, sequence := range []int{1, 6} {
		r.row(demoCoastLine, sequence, 2, "A", "ahead", "tension").remarks = "salt deposit, washed"
	}
	r.row(demoCoastLine, 13, 2, "B", "", "suspension").remarks = "rust on pins"
	r.row(demoRiverLine, demoRiverAhead, 1, "R", "", "suspension").remarks = "tall tower, reached by lift"
	r.row(demoPoleLine, 9, 0, "ABC", "", "pin").remarks = "pole leans a little"
}

func (r *demoRegister) plantGaps() {
	for _, structure := range []struct {
		line     string
		sequence int
	}{{demoCoastLine, 46}, {demoRiverLine, 33}} {
		number := r.number(structure.line, structure.sequence)
		r.drop(func(row demoRow) bool { return row.line == structure.line && row.structure == number })
		r.planted = append(r.planted, demoMistake{what: "nothing-registered", line: structure.line, structure: number,
			story: "no form came back from this structure"})
	}

	forgotten := *r.row(demoCoastLine, 24, 2, "B", "", "suspension")
	r.drop(func(row demoRow) bool { return row == forgotten })
	r.key("phase-missing", forgotten, "phase B of the second circuit was forgotten")

	side := r.row(demoRiverLine, 10, 1, "R,Y,B", "ahead", "tension")
	side.phase = "R,B"
	missing := *side
	missing.phase = "Y"
	r.key("phase-missing", missing, "one side of the angle structure lists two phases only")

	poles := r.row(demoPoleLine, 36, 0, "ABC", "", "post")
	poles.phase = "AC"
	missing = *poles
	missing.phase = "B"
	r.key("phase-missing", missing, "AC written for ABC")

	sideless := r.number(demoCoastLine, 31)
	r.drop(func(row demoRow) bool {
		return row.line == demoCoastLine && row.structure == sideless && row.circuit == 1 && row.side == "back"
	})
	r.planted = append(r.planted, demoMistake{what: "side-missing", line: demoCoastLine, structure: sideless, circuit: "1", side: "back",
		story: "only the strings ahead of the angle structure were entered"})
}

func (r *demoRegister) plantFaults() {
	again := *r.row(demoCoastLine, 41, 2, "B", "", "suspension")
	again.installed, again.remarks = again.inspected, "entered again after inspection"
	r.rows = append(r.rows, again)

	row := r.row(demoCoastLine, 33, 1, "A", "", "suspension")
	r.key("phase-missing", *row, "the row of phase A is there, under a structure number with a digit too many")
	row.structure = "T-0331"
	r.fault("no-such-structure", *row, "T-0331 typed for T-033")

	row = r.row(demoCoastLine, 29, 1, "B", "", "suspension")
	row.unit = "U70LB"
	r.fault("unknown-unit", *row, "U70LB typed for U70BL")

	row = r.row(demoRiverLine, 12, 1, "R", "", "suspension")
	row.units = "thirteen"
	r.fault("not-a-number", *row, "a count of units in words")

	r.fault("duplicate-row", again, "the same assembly was entered a second time")
}

// key records a row as the place of a mistake. A blank circuit is circuit 1.
func (r *demoRegister) key(what string, row demoRow, story string) {
	r.planted = append(r.planted, demoMistake{what, row.line, row.structure, strconv.Itoa(max(row.circuit, 1)), row.phase, row.side, story})
}

// fault records a row as faulty and says where it stands in the sheet; the first row holds the headings.
func (r *demoRegister) fault(kind string, row demoRow, story string) {
	for i := range r.rows {
		if r.rows[i] == row {
			r.key(kind, row, fmt.Sprintf("Assemblies row %d: %s", i+2, story))
			return
		}
	}
	panic(fmt.Sprintf("no such row in the demo register: %+v", row))
}

// row finds the one row with a key.
func (r *demoRegister) row(line string, sequence, circuit int, phase, side, duty string) *demoRow {
	number := r.number(line, sequence)
	for i := range r.rows {
		row := &r.rows[i]
		if row.line == line && row.structure == number && row.circuit == circuit && row.phase == phase && row.side == side && row.duty == duty {
			return row
		}
	}
	panic(fmt.Sprintf("no row in the demo register for %s %s circuit %d phase %s %s %s", line, number, circuit, phase, side, duty))
}

func (r *demoRegister) number(line string, sequence int) string {
	for _, l := range r.network.inOrder() {
		if l.id == line {
			return l.structures[sequence-1].number
		}
	}
	panic("no line in the demo called " + line)
}

func (r *demoRegister) drop(unwanted func(demoRow) bool) {
	var kept []demoRow
	for _, row := range r.rows {
		if !unwanted(row) {
			kept = append(kept, row)
		}
	}
	r.rows = kept
}

func demoPlantedCSV(t *testing.T, register *demoRegister) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	require.NoError(t, w.Write([]string{"what", "line", "structure", "circuit", "phase", "side", "story"}))
	for _, m := range register.planted {
		require.NoError(t, w.Write([]string{m.what, m.line, m.structure, m.circuit, m.phase, m.side, m.story}))
	}
	w.Flush()
	require.NoError(t, w.Error())
	return b.Bytes()
}
