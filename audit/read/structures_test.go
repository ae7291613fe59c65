package read

import (
	"math"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// replaced returns the base with one piece of text of its structures exchanged.
func replaced(t *testing.T, old, with string) base {
	t.Helper()
	b := newBase()
	require.Contains(t, b.structures, old)
	b.structures = strings.Replace(b.structures, old, with, 1)
	return b
}

func TestStructureFaults(t *testing.T) {
	const first = `"line":"L1","structure":"1","sequence":1,"ground_m":100`
	for name, c := range map[string]struct {
		old, with string
		left      int
		faults    []string
		field     audit.Cell // of the first structure, where it stays
	}{
		"no line": {first, `"structure":"1"`, 2, []string{"missing-value structures.geojson row 1: line is blank; the feature is left out"}, 0},
		"blank structure": {first, `"line":"L1","structure":" "`, 2,
			[]string{"missing-value structures.geojson row 1: structure is blank; the feature is left out"}, 0},
		"both": {first, `"line":null`, 2, []string{"missing-value structures.geojson row 1: line is blank; the feature is left out",
			"missing-value structures.geojson row 1: structure is blank; the feature is left out"}, 0},
		"line no text": {first, `"line":{"a":1},"structure":"1"`, 2,
			[]string{`unknown-word structures.geojson row 1: line "{\"a\":1}" is neither text nor number; the feature is left out`}, 0},
		"blank entry in a list of lines": {first, `"line":["L1",""],"structure":"1"`, 3,
			[]string{"missing-value structures.geojson row 1: line has a blank entry, which is left out"}, 0},
		"nobody knows the line": {first, `"line":"?","structure":"1"`, 2,
			[]string{`missing-value structures.geojson row 1: line "?" is a word for nothing and no name; the feature is left out`}, 0},
		"nobody knows the structure": {first, `"line":"L1","structure":"TBC"`, 2,
			[]string{`missing-value structures.geojson row 1: structure "TBC" is a word for nothing and no name; the feature is left out`}, 0},
		"no line applies": {first, `"line":"n/a","structure":"1"`, 2,
			[]string{`missing-value structures.geojson row 1: line "n/a" is a word for nothing and no name; the feature is left out`}, 0},
		"nobody knows a line of a list": {first, `"line":["L1","unknown"],"structure":"1"`, 3,
			[]string{`missing-value structures.geojson row 1: line "unknown" is a word for nothing and no name; this entry of the list is left out`}, 0},
		"empty list of lines": {first, `"line":[],"structure":"1"`, 2,
			[]string{"missing-value structures.geojson row 1: line has a blank entry, which is left out"}, 0},
		"sequence": {first, `"line":"L1","structure":"1","sequence":"first"`, 3,
			[]string{`not-a-number structures.geojson row 1: sequence "first" is not a number`}, audit.CellSequence},
		"ground level": {first, `"line":"L1","structure":"1","ground_m":"-"`, 3,
			[]string{`not-a-number structures.geojson row 1: ground_m "-" is not a number`}, audit.CellGround},
		"ground level out of range": {first, `"line":"L1","structure":"1","ground_m":98765`, 3,
			[]string{`out-of-range structures.geojson row 1: ground_m "98765" is out of range, expected -500 to 9000`}, audit.CellGround},
		"height of the point out of range": {`"ground_m":100},"geometry":{"type":"Point","coordinates":[10,50]}`,
			`"x":1},"geometry":{"type":"Point","coordinates":[10,50,-9999]}`, 3,
			[]string{`out-of-range structures.geojson row 1: geometry "-9999" is out of range as a height, expected -500 to 9000`}, audit.CellGround},
		"attachment": {first, `"line":"L1","structure":"1","attachment_m":-3`, 3,
			[]string{`out-of-range structures.geojson row 1: attachment_m "-3" is out of range, expected 2 to 500`}, audit.CellAttachment},
		"attachment 0": {first, `"line":"L1","structure":"1","attachment_m":0`, 3,
			[]string{`out-of-range structures.geojson row 1: attachment_m "0" is out of range, expected 2 to 500`}, audit.CellAttachment},
		"deviation limit": {first, `"line":"L1","structure":"1","deviation_limit_deg":true`, 3,
			[]string{`not-a-number structures.geojson row 1: deviation_limit_deg "true" is not a number`}, audit.CellDeviationLimit},
		"duty": {first, `"line":"L1","structure":"1","duty":"pin"`, 3,
			[]string{`unknown-word structures.geojson row 1: duty "pin" is none of suspension, tension; say what it means in the project file: words: {Duty: {"pin": …}}`}, audit.CellDeclared},
		"role": {first, `"line":"L1","structure":"1","role":"end"`, 3,
			[]string{`unknown-word structures.geojson row 1: role "end" is none of terminal, gantry, cable end, transposition; say what it means in the project file: words: {role: {"end": …}}`}, audit.CellRole},
		"continues": {first, `"line":"L1","structure":"1","continues":"perhaps"`, 3,
			[]string{`unknown-word structures.geojson row 1: continues "perhaps" is none of yes, no, true, false, 1, 0; say what it means in the project file: words: {continues: {"perhaps": …}}`}, audit.CellContinues},
		"long span": {first, `"line":"L1","structure":"1","long_span":"very"`, 3,
			[]string{`unknown-word structures.geojson row 1: long_span "very" is none of yes, no, true, false, 1, 0; say what it means in the project file: words: {continues: {"very": …}}`}, audit.CellLimits},
		"wall distance": {first, `"line":"L1","structure":"1","wall_distance_mm":0`, 3,
			[]string{`out-of-range structures.geojson row 1: wall_distance_mm "0" is out of range, expected 100 to 30000`}, audit.CellLength},
		"wall lean": {first, `"line":"L1","structure":"1","wall_lean":5`, 3,
			[]string{`out-of-range structures.geojson row 1: wall_lean "5" is out of range, expected -1 to 1`}, audit.CellLength},
		"bracket level": {first, `"line":"L1","structure":"1","bracket_level_mm":"high"`, 3,
			[]string{`not-a-number structures.geojson row 1: bracket_level_mm "high" is not a number`}, audit.CellLength},
		"wall side": {first, `"line":"L1","structure":"1","wall_side":"north"`, 3,
			[]string{`unknown-word structures.geojson row 1: wall_side "north" is none of left, right, both; say what it means in the project file: words: {Wall side: {"north": …}}`}, audit.CellLength},
		"arm length": {first, `"line":"L1","structure":"1","arm_length_mm":"long"`, 3,
			[]string{`not-a-number structures.geojson row 1: arm_length_mm "long" is not a number`}, audit.CellLength},
		"clearance below zero": {first, `"line":"L1","structure":"1","clearance_mm":-1200`, 3,
			[]string{`out-of-range structures.geojson row 1: clearance_mm "-1200" is out of range, expected 10 to 30000`}, audit.CellLength},
		"clearance of a load case that is none": {first, `"line":"L1","structure":"1","clearance_mm":"storm: 1200"`, 3,
			[]string{`unknown-word structures.geojson row 1: clearance_mm "storm: 1200" names the load case "storm", and the criteria have none`}, audit.CellLength},
		"clearance that is no text": {first, `"line":"L1","structure":"1","clearance_mm":{"storm":1200}`, 3,
			[]string{`not-a-number structures.geojson row 1: clearance_mm "{\"storm\":1200}" is not a number`}, audit.CellLength},
		"conductor ahead": {first, `"line":"L1","structure":"1","conductor_ahead":[1]`, 3,
			[]string{`unknown-word structures.geojson row 1: conductor_ahead "[1]" is neither text nor number`}, audit.CellConductor},
		"no geometry": {`{"type":"Point","coordinates":[10,50]}`, "null", 2,
			[]string{`bad-geometry structures.geojson row 1: geometry "null" is empty; the feature is left out`}, 0},
		"empty coordinates": {"[10,50]", "[]", 2,
			[]string{`bad-geometry structures.geojson row 1: geometry "{\"type\":\"Point\",\"coordinates\":[]}" is empty; the feature is left out`}, 0},
		"one coordinate": {"[10,50]", "[10]", 2,
			[]string{`bad-geometry structures.geojson row 1: geometry "{\"type\":\"Point\",\"coordinates\":[10]}" has a position of less than two coordinates, expected longitude and latitude; the feature is left out`}, 0},
		"four coordinates": {"[10,50]", "[10,50,100,7]", 3,
			[]string{`bad-geometry structures.geojson row 1: geometry "Point" has positions of more than three coordinates; those beyond the height are not read`}, 0},
		"not a number": {"[10,50]", "[10,NaN]", 2,
			[]string{`bad-geometry structures.geojson row 1: geometry "{\"type\":\"Point\",\"coordinates\":[10,NaN]}" has a coordinate that is not a number; the feature is left out`}, 0},
		"text": {"[10,50]", `["10","50"]`, 2,
			[]string{`bad-geometry structures.geojson row 1: geometry "{\"type\":\"Point\",\"coordinates\":[\"10\",\"50\"]}" has coordinates that are no positions; the feature is left out`}, 0},
		"a line": {`"Point","coordinates":[10,50]`, `"LineString","coordinates":[[10,50],[11,51]]`, 2,
			[]string{`bad-geometry structures.geojson row 1: geometry "LineString" is no point; the feature is left out`}, 0},
		"a collection": {`"Point","coordinates":[10,50]`, `"GeometryCollection","geometries":[{"type":"Point","coordinates":[1,2]}]`, 2,
			[]string{`bad-geometry structures.geojson row 1: geometry "GeometryCollection" is no point; the feature is left out`}, 0},
		"an unknown type": {`"Point"`, `"Pole"`, 2,
			[]string{`bad-geometry structures.geojson row 1: geometry "{\"type\":\"Pole\",\"coordinates\":[10,50]}" is of the unknown type "Pole"; the feature is left out`}, 0},
		"out of range": {"[10,50]", "[190,50]", 2,
			[]string{`bad-geometry structures.geojson row 1: geometry "190, 50" is out of range, expected longitude -180 to 180 and latitude -90 to 90; the feature is left out`}, 0},
		"no feature": {`{"type":"Feature","properties":{"line":"L1","structure":"1"`, `{"type":"Fixture","properties":{"line":"L1","structure":"1"`, 2,
			[]string{`bad-geometry structures.geojson row 1: feature "Fixture" is not of the type Feature; it is left out`}, 0},
		"type no text": {`{"type":"Feature","properties":{"line":"L1","structure":"1"`, `{"type":7,"properties":{"line":"L1","structure":"1"`, 2,
			[]string{`bad-geometry structures.geojson row 1: feature "" has a type that is no text; it is left out`}, 0},
		"properties no object": {`{"line":"L1","structure":"1","sequence":1,"ground_m":100}`, `"none"`, 2,
			[]string{`bad-geometry structures.geojson row 1: feature "Feature" has properties that are no object; it is left out`}, 0},
		"no object": {`{"type":"Feature","properties":{"line":"L1","structure":"1","sequence":1,"ground_m":100},"geometry":{"type":"Point","coordinates":[10,50]}}`,
			`"none"`, 2, []string{`bad-geometry structures.geojson row 1: feature "" is no object; it is left out`}, 0},
	} {
		t.Run(name, func(t *testing.T) {
			p := replaced(t, c.old, c.with).mustRead(t)
			require.Equal(t, c.faults, faultsOf(p))
			require.Equal(t, c.left, p.Structures.Len())
			if c.field != 0 {
				require.True(t, p.Structures.At(0).Faulty.Has(c.field))
			}
		})
	}
}

func TestStructureFaultIsUnknown(t *testing.T) {
	p := replaced(t, `"sequence":1,"ground_m":100`, `"sequence":"x","ground_m":"y","attachment_m":"z","deviation_limit_deg":""`).mustRead(t)
	s := p.Structures.At(0)
	require.True(t, math.IsNaN(s.Sequence))
	require.True(t, math.IsNaN(s.GroundM), "a faulty ground level is not replaced by the height of the point")
	require.True(t, math.IsNaN(s.AttachmentM))
	require.False(t, s.Faulty.Has(audit.CellDeviationLimit), "blank is not stated, which is no fault")
}

func TestSubconductorsAhead(t *testing.T) {
	for written, says := range map[string]string{
		`"two"`: `subconductors_ahead "two" is not a number`, "1.5": `subconductors_ahead "1.5" is not a whole number`, "true": `subconductors_ahead "true" is not a number`,
		"0": `subconductors_ahead "0" is out of range, expected 1 to 12`, "13": `subconductors_ahead "13" is out of range, expected 1 to 12`,
	} {
		p := replaced(t, `"sequence":1,"ground_m":100`, `"sequence":1,"ground_m":100,"subconductors_ahead":`+written).mustRead(t)
		require.True(t, p.Structures.At(0).Faulty.Has(audit.CellStrings), written)
		require.Zero(t, p.Structures.At(0).SubconductorsAhead, written)
		faults := faultsOf(p)
		require.Len(t, faults, 1, written)
		require.Contains(t, faults[0], says)
	}
	p := replaced(t, `"sequence":1,"ground_m":100`, `"sequence":1,"ground_m":100,"Bundle Ahead":2,"Long span":"yes"`).mustRead(t)
	require.Equal(t, uint8(2), p.Structures.At(0).SubconductorsAhead)
	require.True(t, p.Structures.At(0).LongSpan)
	for written, want := range map[string]uint8{"1": 1, "12": 12, "4.0": 4, "null": 0, `""`: 0} {
		p := replaced(t, `"sequence":1,"ground_m":100`, `"sequence":1,"ground_m":100,"subconductors_ahead":`+written).mustRead(t)
		require.Empty(t, faultsOf(p), written)
		require.Equal(t, want, p.Structures.At(0).SubconductorsAhead, written)
	}
}

// A ground level that the height of its point contradicts is not used, nor that height; heights that may be of the tower's top, of another datum, or none, are
// no contradiction.
func TestGroundLevelBesideTheHeightOfThePoint(t *testing.T) {
	for height, doubted := range map[string]bool{"3000": true, "-500": true, "550": false, "0": false, "100": false} {
		p := replaced(t, `"coordinates":[10,50]}}`, `"coordinates":[10,50,`+height+`]}}`).mustRead(t)
		if !doubted {
			require.Empty(t, faultsOf(p), height)
			require.Equal(t, 100.0, p.Structures.At(0).GroundM, height)
			continue
		}
		require.Equal(t, []string{`implausible structures.geojson row 1: ground_m "100" is implausible beside ` + height + ` m, the height of the point; neither is used`}, faultsOf(p))
		require.True(t, math.IsNaN(p.Structures.At(0).GroundM))
		require.True(t, p.Structures.At(0).Faulty.Has(audit.CellGround))
	}
}

func TestStructureValues(t *testing.T) {
	p := replaced(t, `{"line":"L1","structure":"1","sequence":1,"ground_m":100}`,
		`{"line":["L1"," L2 "],"structure":1e1,"sequence":"12.5","attachment_m":18,"duty":"Tension","role":"cable-end","continues":true,
		"conductor_ahead":"Zebra","subconductors_ahead":"2","deviation_limit_deg":0,"long_span":"yes"}`).mustRead(t)
	require.Empty(t, faultsOf(p))
	require.Equal(t, 4, p.Structures.Len(), "a structure on two lines has two rows")
	s, twin := p.Structures.At(0), p.Structures.At(1)
	require.Equal(t, "L1", p.Symbols.Text(s.Line))
	require.Equal(t, "L2", p.Symbols.Text(twin.Line))
	require.Equal(t, s.Source, twin.Source)
	require.Equal(t, "10", p.Texts.Get(s.Number))
	require.Equal(t, 12.5, s.Sequence)
	require.Equal(t, 18.0, s.AttachmentM)
	require.Equal(t, audit.Tension, s.Duty)
	require.Equal(t, audit.CableEnd, s.Role)
	require.True(t, s.Continues)
	require.True(t, s.LongSpan)
	require.False(t, p.Structures.At(2).LongSpan)
	require.Equal(t, "Zebra", p.Symbols.Text(s.ConductorAhead))
	require.EqualValues(t, 2, s.SubconductorsAhead)
	require.Zero(t, p.Structures.At(2).SubconductorsAhead)
	require.Equal(t, 0.0, s.DeviationLimitDeg)
	require.True(t, math.IsNaN(p.Structures.At(2).DeviationLimitDeg))
}

func TestStructureFiles(t *testing.T) {
	b := newBase()
	b.project = "structures: {file: [structures.geojson, zones.geojson]}"
	b.zones = point("L9", "1", "[10,51]")
	p := b.mustRead(t)
	require.Equal(t, 4, p.Structures.Len())
	require.Equal(t, audit.Source{Table: 1, Row: 1}, p.Structures.At(3).Source, "rows count from 1 in each file")
}

// TestPropertyNumber wants of every property the number that its text is.
func TestPropertyNumber(t *testing.T) {
	for _, raw := range []string{
		"", "null", "NaN", "-Infinity", `""`, `" "`, `"7"`, `" 7.50 "`, `"x"`, `"1e3"`, "7", "-7.25", "0.1", "-0", "1e3", "1E+2", "1e999", "12345678901234567890", "true", "[1]", "{}", `["7"]`,
	} {
		text, isText := propertyText([]byte(raw))
		want, isNumber := parseNumber(text)
		got, ok, given := propertyNumber([]byte(raw))
		require.Equal(t, text != "", given, raw)
		require.Equal(t, isText && isNumber, ok, raw)
		if ok {
			require.Equal(t, want, got, raw)
		}
	}
}

func TestPropertyText(t *testing.T) {
	for raw, want := range map[string]string{
		`"a b"`: "a b", `" x "`: "x", `"\u00e9\n"`: "é", "7": "7", "7.0": "7", "7.50": "7.5", "1e3": "1000", "12345678901234567890": "12345678901234567890",
		"true": "true", "false": "false", "null": "", "": "", "-0.5": "-0.5",
	} {
		text, ok := propertyText([]byte(raw))
		require.True(t, ok, raw)
		require.Equal(t, want, text, raw)
	}
	for _, raw := range []string{"[1]", "{}", "1e999"} {
		_, ok := propertyText([]byte(raw))
		require.False(t, ok, raw)
	}
}

// A structure without a position is remembered by its line, number and sequence; one that says nothing is not.
func TestStructuresWithoutAPosition(t *testing.T) {
	const first, point = `"line":"L1","structure":"1","sequence":1,"ground_m":100`, `"geometry":{"type":"Point","coordinates":[`
	for name, c := range map[string]struct {
		properties string
		want       []audit.UnplacedStructure
	}{
		"line and number": {first, []audit.UnplacedStructure{{Line: "L1", Number: "1", Sequence: 1}}},
		"no number":       {`"line":"L1","structure":"","sequence":1`, []audit.UnplacedStructure{{Line: "L1", Sequence: 1}}},
		"no line":         {`"structure":"1","sequence":1`, []audit.UnplacedStructure{{Number: "1", Sequence: 1}}},
		"two lines":       {`"line":["L1","L2"],"structure":"1","sequence":1`, []audit.UnplacedStructure{{Line: "L1", Number: "1", Sequence: 1}, {Line: "L2", Number: "1", Sequence: 1}}},
		"nothing":         {`"line":null,"structure":""`, nil},
		"number unknown":  {`"line":"L1","structure":"?","sequence":1`, []audit.UnplacedStructure{{Line: "L1", Sequence: 1}}},
		"words":           {`"line":"unknown","structure":"n/a"`, nil},
		"of the house":    {`"line":"L1","structure":"T-001","sequence":1`, []audit.UnplacedStructure{{Line: "L1", Number: "1", Sequence: 1}}},
	} {
		t.Run(name, func(t *testing.T) {
			b := replaced(t, first, c.properties)
			b.project += "words: {Structure: [{match: '^T-0*(.)', as: '$1'}, {match: '^$', as: none}]}\n"
			at := strings.Index(b.structures, point)
			require.Positive(t, at)
			end := at + strings.Index(b.structures[at:], "]}")
			b.structures = b.structures[:at] + `"geometry":{"type":"Point","coordinates":[` + b.structures[end:]
			p, err := b.read(t)
			require.NoError(t, err)
			require.Equal(t, c.want, p.UnplacedStructures)
		})
	}
}
