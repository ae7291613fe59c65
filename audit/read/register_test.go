package read

import (
	"archive/zip"
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

func TestDates1904(t *testing.T) {
	b := set(newBase(), "Installed", 42154) // 2019-05-31 counted from 1904-01-01 (computed)
	path := b.write(t)
	register := filepath.Join(filepath.Dir(path), "register.xlsx")
	book, err := excelize.OpenFile(register)
	require.NoError(t, err)
	yes := true
	require.NoError(t, book.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes}))
	require.NoError(t, book.Save())
	require.NoError(t, book.Close())
	p, err := Project(context.Background(), path)
	require.NoError(t, err)
	require.Equal(t, "2019-05-31", time.Unix(int64(p.Assemblies.At(0).Installed)*86400, 0).UTC().Format(time.DateOnly))
}

// Of the ratings of a line's fittings each is known or not by itself.
func TestRatingsOfFittingsOfALine(t *testing.T) {
	b := newBase()
	b.lines = grid{{"Line", "Clamp rating (kN)", "Yoke rating (kN)", "Ball and socket rating (kN)"}, {"L1", "80?", nil, 70}, {"L2", nil, "x", nil}, {"L3", nil, 160, "70?"}}
	p := b.mustRead(t)
	for i, f := range []audit.Fitting{audit.Clamp, audit.Yoke, audit.BallAndSocket} {
		require.Equal(t, audit.Cells(0).With(audit.LineFittings[f]), p.Lines[i].Faulty)
	}
	require.Equal(t, 70.0, p.Lines[0].FittingsKN[audit.BallAndSocket])
	require.Equal(t, 160.0, p.Lines[2].FittingsKN[audit.Yoke])
}

func TestLineRows(t *testing.T) {
	b := newBase()
	b.lines = grid{
		{"Line", "Name", "Circuits", "Phases", "System", "Nominal voltage (V)", "Highest voltage kV", "Creepage voltage (kV)", "Lightning level (kV)", "Switching level (kV)",
			"Conductor", "Subconductors", "Maximum tension (lbf)", "Everyday tension (kN)", "Everyday temperature (F)", "Cold tension (kgf)", "Deviation limit (deg)",
			"Swing limit (deg)", "Section limit (mi)", "Longest string (m)", "Capacitance ratio"},
		{"L1", "North - South", 2, "ABC", "Earthed", 110000, 123, 71, 550, 450, "Zebra", 2, 8000, 18, 59, 2500, 3, 60, 5, 2, 0.1},
		{"L2"},
		{nil, "nameless"},
		{"L3", nil, "two", "Q", "odd", 110000, 100, nil, 0, nil, nil, 0, "x", nil, 500, nil, 200, 99},
	}
	p := b.mustRead(t)
	l := p.Lines[0]
	require.Equal(t, "North - South", p.Symbols.Text(l.Name))
	require.Equal(t, 2, l.Circuits)
	require.Equal(t, "A,B,C", l.Phases.String())
	require.Equal(t, audit.Earthed, l.System)
	require.InDelta(t, 110, l.NominalKV, 1e-9)
	require.Equal(t, 123.0, l.HighestKV)
	require.Equal(t, 71.0, l.CreepageKV)
	require.Equal(t, "Zebra", p.Symbols.Text(l.Conductor))
	require.InDelta(t, 35.585773, l.MaximumTensionKN, 1e-6) // 8000 lbf, exact by definition
	require.InDelta(t, 15, l.EverydayC, 1e-9)               // 59 °F
	require.InDelta(t, 24.516625, l.ColdTensionKN, 1e-9)    // 2500 kgf, exact by definition
	require.InDelta(t, 8.04672, l.SectionLimitKM, 1e-9)     // 5 miles, exact by definition
	require.InDelta(t, 2000, l.LongestStringMM, 1e-9)
	require.Equal(t, 0.1, l.CapacitanceRatio)

	empty := p.Lines[1]
	require.Equal(t, -1, empty.Circuits)
	require.Zero(t, empty.Faulty)
	require.True(t, math.IsNaN(empty.NominalKV))

	require.Len(t, p.Lines, 3)
	faulty := p.Lines[2]
	for _, cell := range []audit.Cell{audit.CellCircuits, audit.CellVoltage, audit.CellTested, audit.CellStrings, audit.CellTension, audit.CellDeviationLimit, audit.CellLimits} {
		require.True(t, faulty.Faulty.Has(cell), "cell %d", cell)
	}
	require.Equal(t, []string{
		"missing-value register.xlsx!Lines!A4: line is blank; the row is left out",
		`not-a-number register.xlsx!Lines!C5: circuits "two" is not a number`,
		`not-a-number register.xlsx!Lines!M5: maximum tension "x" is not a number`,
		`out-of-range register.xlsx!Lines!Q5: deviation limit "200" is out of range, expected 0 to 180 deg`,
		`out-of-range register.xlsx!Lines!O5: everyday temperature "500" is out of range, expected -76 to 212 F`,
		`out-of-range register.xlsx!Lines!G5: highest voltage "100" is below the nominal voltage 110`,
		`out-of-range register.xlsx!Lines!I5: lightning level "0" is out of range, expected 1 to 6000 kV`,
		`out-of-range register.xlsx!Lines!L5: subconductors "0" is out of range, expected 1 to 12`,
		`out-of-range register.xlsx!Lines!R5: swing limit "99" is out of range, expected 1 to 90 deg`,
		`unknown-word register.xlsx!Lines!D5: phases "Q" is no phase, expected names such as A, R,Y,B or ABC; say what it means in the project file: words: {Phase: {"Q": …}}`,
		`unknown-word register.xlsx!Lines!E5: system "odd" is none of earthed, isolated, resonant, single-phase, direct current, dc, single-phase railway, direct-current railway; say what it means in the project file: words: {System: {"odd": …}}`,
	}, faultsOf(p))
}

// A limit of a line that cannot be read leaves the others of its row known, be they stated or blank.
func TestFaultyLimitLeavesTheOthers(t *testing.T) {
	limits := []string{"Swing limit (deg)", "Section limit (km)", "Longest string (mm)", "Capacitance ratio"}
	stated := []any{60, 5, 2000, 0.1}
	figures := func(l *audit.LineRow) []float64 {
		return []float64{l.SwingLimitDeg, l.SectionLimitKM, l.LongestStringMM, l.CapacitanceRatio}
	}
	b := newBase()
	b.lines = grid{{"Line", limits[0], limits[1], limits[2], limits[3]}}
	for i := range limits {
		beside := append([]any{fmt.Sprint("L", i)}, stated...)
		alone := []any{fmt.Sprint("K", i), nil, nil, nil, nil}
		beside[1+i], alone[1+i] = "abc", "abc"
		b.lines = append(b.lines, beside, alone)
	}
	p := b.mustRead(t)
	of := map[audit.Cells]int{}
	for i := range limits {
		beside, alone := &p.Lines[2*i], &p.Lines[2*i+1]
		require.Equal(t, beside.Faulty, alone.Faulty)
		of[beside.Faulty]++
		for k, figure := range figures(beside) {
			require.Equal(t, k != i, !math.IsNaN(figure), "%s beside %s", limits[k], limits[i])
		}
	}
	require.Len(t, of, len(limits), "each has a cell of its own")
	require.Zero(t, of[0])
}

// Of two rows of one unit what both say stands, whatever their order; a blank cell says what the catalogue does.
func TestUnitsAndConductorsThatStandTwice(t *testing.T) {
	unit := func(rows ...[]any) grid {
		return append(grid{{"Unit", "Kind", "Rating (kN)", "Spacing (mm)", "Creepage (mm)", "Price"}}, rows...)
	}
	conductor := func(rows ...[]any) grid {
		return append(grid{{"Conductor", "Mass (kg/m)", "Diameter (mm)", "Rated strength (kN)"}}, rows...)
	}
	const end = "; which is right is not known, and nothing is judged by what differs"
	for name, c := range map[string]struct {
		unit, conductor     [2][]any
		unitFaulty, faulty  audit.Cells
		creepageMM, massKGM float64
		want                [2]string // of either order
	}{
		"creepage": {unit: [2][]any{{"X", "disc", 70, 146, 295, 5}, {"x", "disc", 70, 146, 200, 5}}, unitFaulty: audit.Cells(0).With(audit.CellCreepage), creepageMM: math.NaN(),
			want: [2]string{`unit "x" stands in row 2 too, which differs: creepage 295 there, 200 here` + end, `unit "X" stands in row 2 too, which differs: creepage 200 there, 295 here` + end}},
		"of the catalogue": {unit: [2][]any{{"U70BL", nil, nil, nil, 440, 5}, {"U70BL", nil, nil, nil, nil, 5}}, unitFaulty: audit.Cells(0).With(audit.CellCreepage), creepageMM: math.NaN(),
			want: [2]string{`unit "U70BL" stands in row 2 too, which differs: creepage 440 there, 295 here` + end, `unit "U70BL" stands in row 2 too, which differs: creepage 295 there, 440 here` + end}},
		"price": {unit: [2][]any{{"X", "disc", 70, 146, 295, 5}, {"X", "disc", 70, 146, 295, 6}}, unitFaulty: audit.Cells(0).With(audit.CellRemarks), creepageMM: 295,
			want: [2]string{`unit "X" stands in row 2 too, which differs: price 5 there, 6 here` + end, `unit "X" stands in row 2 too, which differs: price 6 there, 5 here` + end}},
		"the same": {unit: [2][]any{{"X", "disc", 70, 146, 295, 5}, {"X", "disc", 70, 146, 295, 5}}, creepageMM: 295,
			want: [2]string{`unit "X" stands in row 2 too, which says the same`, `unit "X" stands in row 2 too, which says the same`}},
		"mass": {conductor: [2][]any{{"W", 1, 20, 80}, {"W", 2, 20, 80}}, faulty: audit.Cells(0).With(audit.CellWeight), massKGM: math.NaN(),
			want: [2]string{`conductor "W" stands in row 2 too, which differs: mass 1 there, 2 here` + end, `conductor "W" stands in row 2 too, which differs: mass 2 there, 1 here` + end}},
	} {
		for i, want := range c.want {
			b := newBase()
			path := b.write(t)
			all := sheets{{"Assemblies", b.assemblies}, {"Lines", b.lines}}
			if c.unit[0] != nil {
				all = append(all, sheets{{"Units", unit(c.unit[i], c.unit[1-i])}}...)
			} else {
				all = append(all, sheets{{"Conductors", conductor(c.conductor[i], c.conductor[1-i])}}...)
			}
			writeWorkbook(t, filepath.Join(filepath.Dir(path), "register.xlsx"), all)
			p, err := Project(context.Background(), path)
			require.NoError(t, err)
			faults := faultsOf(p)
			require.Len(t, faults, 1, name)
			require.Contains(t, faults[0], want, name)
			if c.unit[0] != nil {
				k := slices.IndexFunc(p.Units, func(u basis.Unit) bool { return strings.EqualFold(u.Name, c.unit[0][0].(string)) })
				require.Equal(t, c.unitFaulty, audit.FaultsOf(p.UnitFaults, k), name)
				require.Equal(t, fmt.Sprint(c.creepageMM), fmt.Sprint(p.Units[k].CreepageMM), name)
				require.Equal(t, 70.0, p.Units[k].RatingKN, "what both say stands")
				continue
			}
			k := slices.IndexFunc(p.Conductors, func(own basis.Conductor) bool { return own.Name == "W" })
			require.Equal(t, c.faulty, audit.FaultsOf(p.ConductorFaults, k), name)
			require.Equal(t, fmt.Sprint(c.massKGM), fmt.Sprint(p.Conductors[k].MassKgPerM), name)
			require.Equal(t, 20.0, p.Conductors[k].DiameterMM, "what both say stands")
		}
	}
}

func TestUnitRows(t *testing.T) {
	b := newBase()
	b.units = grid{
		{"Unit", "Kind", "Material", "Rating (kN)", "Spacing (in)", "Creepage (mm)", "Weight (lb)", "Wind area (cm2)", "Coupling", "Lightning", "Stocked", "Price"},
		{" u160bl ", "disc", "glass", 160, nil, 350, nil, nil, "20", nil, "yes", 31.5},
		{"U70BL", nil, nil, nil, nil, nil, nil, nil, nil, nil, "yes", 12},
		{"CLR-145", "composite", "silicone", 120, 63.8, 4900, 10, 900, nil, 780, "no"},
		{"U160 BL", nil, "glass", nil, nil, 350, nil, nil, nil, nil, "yes", 31.5},
		{nil, "pin"},
		{"U120B", "thing", nil, "strong", nil, nil, nil, nil, nil, nil, "perhaps"},
	}
	p := b.mustRead(t)
	unit := func(name string) basis.Unit {
		for _, u := range p.Units {
			if nameKey(u.Name) == nameKey(name) {
				return u
			}
		}
		require.Fail(t, "no unit "+name)
		return basis.Unit{}
	}
	require.Len(t, p.Units, len(basis.Catalogue())+1)
	overridden := unit("U160BL")
	require.Equal(t, 350.0, overridden.CreepageMM)
	require.Equal(t, 170.0, overridden.SpacingMM, "what the row does not state stays as in the catalogue")
	require.True(t, overridden.Clause.IsZero(), "figures of the register are not those of the standard")
	require.Equal(t, 31.5, overridden.Price)
	require.True(t, overridden.Stocked)

	stocked := unit("U70BL")
	require.Equal(t, 295.0, stocked.CreepageMM)
	require.False(t, stocked.Clause.IsZero(), "a price leaves the figures those of the standard")
	require.Equal(t, 12.0, stocked.Price)

	added := unit("CLR-145")
	require.Equal(t, basis.Composite, added.Kind)
	require.InDelta(t, 1620.52, added.SpacingMM, 1e-9) // 63.8 · 25.4, exact by definition of the inch
	require.InDelta(t, 4.5359237, added.WeightKg, 1e-9)
	require.InDelta(t, 0.09, added.WindAreaM2, 1e-12)
	require.True(t, math.IsNaN(added.DryKV))

	faulty := unit("U120B")
	require.True(t, math.IsNaN(faulty.RatingKN), "a faulty figure is unknown, not the catalogue's")
	require.Equal(t, basis.KindUnknown, faulty.Kind)
	require.Equal(t, []string{
		`duplicate-row register.xlsx!Units!A5: unit "U160 BL" stands in row 2 too, which says the same`,
		`missing-value register.xlsx!Units!A6: unit is blank; the row is left out`,
		`not-a-number register.xlsx!Units!D7: rating "strong" is not a number`,
		`unknown-word register.xlsx!Units!B7: kind "thing" is none of cap-and-pin, long rod, composite, pin, post, shackle; say what it means in the project file: words: {Kind: {"thing": …}}`,
		`unknown-word register.xlsx!Units!K7: stocked "perhaps" is none of yes, no, true, false, 1, 0; say what it means in the project file: words: {Stocked: {"perhaps": …}}`,
	}, faultsOf(p))
}

func TestSeveralWorkbooks(t *testing.T) {
	b := newBase()
	b.project = strings.Replace(b.project, "register.xlsx", "[north.xlsx, register.xlsx, units.xlsx]", 1)
	b.assemblies[1][6] = "OWN-1"
	path := b.write(t)
	head := b.assemblies[0]
	writeWorkbook(t, filepath.Join(filepath.Dir(path), "north.xlsx"), sheets{{"ASSEMBLIES ", grid{head, {"L1", 3, 1, "A", "back", "tension", "OWN-1", 10}}}})
	writeWorkbook(t, filepath.Join(filepath.Dir(path), "units.xlsx"), sheets{{"Units", grid{{"Unit", "Kind", "Creepage"}, {"OWN-1", "disc", 300}}}, {"Notes", nil}})
	p, err := Project(context.Background(), path)
	require.NoError(t, err)
	require.Empty(t, faultsOf(p), "the units of a later workbook are known to an earlier one")
	require.Equal(t, 3, p.RowsRead)
	require.Equal(t, "north.xlsx!ASSEMBLIES ", p.Tables[p.Assemblies.At(0).Source.Table].String())
	require.Equal(t, "register.xlsx!Assemblies", p.Tables[p.Assemblies.At(1).Source.Table].String())
}

func TestRegisterUnusable(t *testing.T) {
	head := newBase().assemblies[0]
	with := func(change func(*base)) base {
		b := newBase()
		change(&b)
		return b
	}
	const headings = `"Circuit", "Phase", "Side"`
	for name, c := range map[string]struct {
		b             base
		message, hint string
	}{
		"no rows": {with(func(b *base) { b.assemblies = grid{head} }), "register.xlsx: has no rows under the headings of its sheet Assemblies",
			"without assemblies, write register: {file: …, schedule_only: true} to get the schedule of requirements"},
		"an empty sheet": {with(func(b *base) { b.assemblies = nil }), "register.xlsx!Assemblies: is empty, expected headings in its first row", headingHint},
		"no structure": {with(func(b *base) { b.assemblies[0][1] = "Structur" }),
			`register.xlsx!Assemblies: has no column "Structure"; the headings there are "Line", "Structur", ` + headings + `, "Duty", "Unit", "Units per string", "Strings", "Defective units"`,
			`rename the heading "Structur" to "Structure", or map it under register in the project file: columns: {Assemblies: {Structure: "Structur"}}`},
		"two missing": {with(func(b *base) { b.assemblies = grid{{"Line", "Structure", "Duty", "Type", "No."}, {1, 2, 3, 4, 5}} }),
			`register.xlsx!Assemblies: has no column "Unit", "Units per string"; the headings there are "Line", "Structure", "Duty", "Type", "No."`,
			"headings that differ are mapped under register in the project file: columns: {Assemblies: {Unit: …}}"},
		"unknown unit of measure": {set(newBase(), "Creepage (yd)", 1),
			`register.xlsx!Assemblies: heading "Creepage (yd)" has the unit "yd", expected one of mm, cm, m, in, ft`,
			`write under register in the project file: columns: {Assemblies: {Creepage: {from: "Creepage (yd)", unit: U}}}, with its unit for U; figures in any other have to be converted in the file`},
		"a heading twice": {set(set(newBase(), "Creepage (mm)", 3000), "Creepage (in)", 120),
			`register.xlsx!Assemblies: headings "Creepage (mm)" and "Creepage (in)" both stand for the column "Creepage", expected one`,
			`say which under register in the project file: columns: {Assemblies: {Creepage: "Creepage (in)"}}`},
		"lines without line": {with(func(b *base) { b.lines[0][0] = "Route" }),
			`register.xlsx!Lines: has no column "Line"; the headings there are "Route", "Nominal voltage (kV)", "Highest voltage (kV)"`,
			"headings that differ are mapped under register in the project file: columns: {Lines: {Line: …}}"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := c.b.read(t)
			requireInputError(t, err, c.message, c.hint)
		})
	}
}

func TestBlankLinesSheetIsNone(t *testing.T) {
	b := newBase()
	b.lines = nil
	p := b.mustRead(t)
	require.Empty(t, faultsOf(p))
	require.Empty(t, p.Lines)
}

func TestNumbersAsSpreadsheetsStoreThem(t *testing.T) {
	b := newBase()
	b.assemblies[1][1], b.assemblies[1][7] = 1.5, "10"
	path := b.write(t)
	rewrite(t, filepath.Join(filepath.Dir(path), "register.xlsx"), "xl/worksheets/sheet1.xml", func(xml string) string {
		require.Contains(t, xml, "<v>1.5</v>")
		return strings.Replace(xml, "<v>1.5</v>", "<v>1.1000000000000001</v>", 1)
	})
	p, err := Project(context.Background(), path)
	require.NoError(t, err)
	require.Equal(t, "1.1", p.Texts.Get(p.Assemblies.At(0).Number))
	require.Equal(t, int16(10), p.Assemblies.At(0).UnitsPerString, "a number stored as text is a number")
}

func TestSheetMissing(t *testing.T) {
	path := newBase().write(t)
	register := filepath.Join(filepath.Dir(path), "register.xlsx")
	writeWorkbook(t, register, sheets{{"Assemblys", newBase().assemblies}, {"Lines", nil}})
	_, err := Project(context.Background(), path)
	requireInputError(t, err, `register.xlsx: has no sheet "Assemblies"; the sheets there are "Assemblys", "Lines"`, `say which they are under register in the project file: sheets: {"Assemblys": Assemblies}`)
	writeWorkbook(t, register, sheets{{"Sheet1", newBase().assemblies}})
	_, err = Project(context.Background(), path)
	requireInputError(t, err, `register.xlsx: has no sheet "Assemblies"; the sheets there are "Sheet1"`, `say which they are under register in the project file: sheets: {"Sheet1": Assemblies}`)
}

// A register of which the project file says that nothing is read is refused as that, by the key that says so.
func TestSheetsAllIgnored(t *testing.T) {
	const instead = `say which of them holds the assemblies, such as sheets: {%q: Assemblies}, or take the file out of the register`
	for name, c := range map[string]struct{ register, message, hint string }{
		"one": {`{file: register.xlsx, sheets: {Assemblies: ignore, Lines: ignore, Units: ignore}}`,
			`register.xlsx: is not read at all: the key sheets under register in the project file says ignore of every sheet, "Assemblies", "Lines", "Units"`, "Assemblies"},
		"two entries of a file": {`[{file: register.xlsx, sheets: {Assemblies: ignore, lines: ignore, Units: ignore}}, {file: poles.csv, sheets: {poles: ignore}}]`,
			`register.xlsx, poles.csv: is not read at all: the key sheets under register in the project file says ignore of every sheet, "Assemblies", "Lines", "Units", "poles.csv"`, "Assemblies"},
		"a text": {`{file: poles.csv, sheets: {poles: ignore}}`,
			`poles.csv: is not read at all: the key sheets under register in the project file says ignore of every sheet, "poles.csv"`, "poles.csv"},
		"one beside one that is read": {`[{file: poles.csv, sheets: {poles: Assemblies}}, {file: register.xlsx, sheets: {Assemblies: ignore, Lines: ignore, Units: ignore}}]`,
			`register.xlsx: is not read at all: the key sheets under register in the project file says ignore of every sheet, "Assemblies", "Lines", "Units"`, "Assemblies"},
		"that of the assemblies": {`{file: register.xlsx, sheets: {Assemblies: ignore}}`,
			`register.xlsx: has no sheet "Assemblies" that is read; the sheets there are "Assemblies", "Lines", "Units", of which the key sheets under register in the project file says ignore of "Assemblies"`, ""},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.project = strings.Replace(b.project, "{file: register.xlsx}", c.register, 1)
			path := b.write(t)
			require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), "poles.csv"), []byte(fmt.Sprintf(registerText, 9)), 0o600))
			_, err := Project(context.Background(), path)
			hint := `take out ignore of the sheet that holds the assemblies, or name another: sheets: {…: Assemblies}`
			if c.hint != "" {
				hint = fmt.Sprintf(instead, c.hint)
			}
			requireInputError(t, err, c.message, hint)
		})
	}
}

func TestNoWorkbook(t *testing.T) {
	var archive bytes.Buffer
	z := zip.NewWriter(&archive)
	_, err := z.Create("readme.txt")
	require.NoError(t, err)
	require.NoError(t, z.Close())
	for content, message := range map[string]string{
		"Line,Structure\nL1,1\n":             `is no workbook: it is text that starts with "Line,Structure"`,
		"":                                   "is no workbook: it is empty",
		"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1xx": "is no workbook: it is an old .xls file or protected by a password",
		archive.String():                     "is no workbook: it is an archive of something else",
		"PK\x03\x04\x00\x00\x00\x00\x00":     "is no workbook: zip: not a valid zip file",
	} {
		path := newBase().write(t)
		require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), "register.xlsx"), []byte(content), 0o600))
		_, err := Project(context.Background(), path)
		requireInputError(t, err, "register.xlsx: "+message, saveHint)
	}
}

// rewrite changes the XML of one part of a workbook.
func rewrite(t *testing.T, path, part string, change func(string) string) {
	t.Helper()
	from, err := zip.OpenReader(path)
	require.NoError(t, err)
	var out bytes.Buffer
	to := zip.NewWriter(&out)
	for _, f := range from.File {
		r, err := f.Open()
		require.NoError(t, err)
		content, err := io.ReadAll(r)
		require.NoError(t, err)
		if f.Name == part {
			content = []byte(change(string(content)))
		}
		w, err := to.Create(f.Name)
		require.NoError(t, err)
		_, err = w.Write(content)
		require.NoError(t, err)
	}
	require.NoError(t, from.Close())
	require.NoError(t, to.Close())
	require.NoError(t, os.WriteFile(path, out.Bytes(), 0o600))
}

func TestDamagedSheet(t *testing.T) {
	path := newBase().write(t)
	rewrite(t, filepath.Join(filepath.Dir(path), "register.xlsx"), "xl/worksheets/sheet1.xml", func(xml string) string {
		require.Contains(t, xml, `<row r="3"`)
		return strings.Replace(xml, `<row r="3"`, "\x0b"+`<row r="3"`, 1)
	})
	_, err := Project(context.Background(), path)
	requireInputError(t, err, "register.xlsx!Assemblies: is damaged: nothing can be read beyond row 2 of 3", saveHint)
}

func TestRowsWithGaps(t *testing.T) {
	path := newBase().write(t)
	rewrite(t, filepath.Join(filepath.Dir(path), "register.xlsx"), "xl/worksheets/sheet1.xml", func(xml string) string {
		for _, column := range "ABCDEFGHIJ" {
			xml = strings.Replace(xml, `r="`+string(column)+`3"`, `r="`+string(column)+`1234"`, 1)
		}
		return strings.Replace(xml, `<row r="3"`, `<row r="1234"`, 1)
	})
	p, err := Project(context.Background(), path)
	require.NoError(t, err)
	require.Equal(t, 2, p.RowsRead)
	require.Equal(t, uint32(1234), p.Assemblies.At(1).Source.Row)
}

// A register of which only voltages, units and conductors are wanted needs no assemblies.
func TestScheduleOnly(t *testing.T) {
	b := newBase()
	b.project = strings.Replace(b.project, "register: {", "register: {schedule_only: true, ", 1)
	require.Contains(t, b.project, "schedule_only")
	p := b.mustRead(t)
	require.False(t, p.RegisterGiven)
	require.Zero(t, p.Assemblies.Len())
	require.Zero(t, p.RowsRead)
	require.NotEmpty(t, p.Lines)
}
