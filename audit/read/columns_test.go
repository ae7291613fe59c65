package read

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// places lists every field of a row, those of structs and arrays inside it too, by name with its value.
func places(prefix string, v reflect.Value, into map[string]string) {
	for i := range v.NumField() {
		name, field := prefix+v.Type().Field(i).Name, v.Field(i)
		if field.Kind() == reflect.Struct {
			places(name+".", field, into)
			continue
		}
		if field.Kind() == reflect.Array {
			for k := range field.Len() {
				into[fmt.Sprintf("%s[%d]", name, k)] = fmt.Sprint(field.Index(k))
			}
			continue
		}
		into[name] = fmt.Sprint(field)
	}
}

// requireOwnPlaces reads a value through every column and holds it to change fields that no other column changes.
func requireOwnPlaces[R any](t *testing.T, columns []column[R], blank R) {
	t.Helper()
	owner := map[string]string{}
	for _, c := range columns {
		row := blank
		ok := false
		for _, cell := range []string{"45", "2019-05-31", "ahead", "guy", "parallel", "resonant", "horizontal", "pin", "yes", "ABC", "3", "0.5", "450", "tension of load cases", "live", "left"} {
			if ok = c.read(&row, cell, unitOfMeasure{factor: 1}) == nil; ok {
				break
			}
		}
		require.True(t, ok, "no value fits %s", c.heading)
		before, after := map[string]string{}, map[string]string{}
		places("", reflect.ValueOf(blank), before)
		places("", reflect.ValueOf(row), after)
		changed := 0
		for name := range after {
			if before[name] != after[name] && name != "stated" { // which of them are stated
				changed++
				require.Empty(t, owner[name], "%s is changed by %s too", name, c.heading)
				owner[name] = c.heading
			}
		}
		require.NotZero(t, changed, "%s changes nothing", c.heading)
	}
}

func TestEveryColumnHasItsOwnPlace(t *testing.T) {
	r := &register{project: &audit.Project{}, units: map[string]int{}}
	requireOwnPlaces(t, assemblyColumns(r), assembly{AssemblyRow: audit.AssemblyRow{RowOwn: audit.RowOwn{Installed: audit.NoDay, Inspected: audit.NoDay}}})
	requireOwnPlaces(t, lineColumns(r), audit.UnknownLineRow())
	requireOwnPlaces(t, unitColumns(r), unit{Unit: basis.UnknownUnit()})
	requireOwnPlaces(t, conductorColumns(r), conductor{Conductor: basis.UnknownConductor()})
}

// requireKnown holds every heading, alone and with each of its units, to stand for its own column and no other.
func requireKnown[R any](t *testing.T, columns []column[R]) {
	t.Helper()
	lookup := newHeadingLookup(columns)
	for i, c := range columns {
		require.NotEmpty(t, c.meaning, c.heading)
		for k, name := range append([]string{c.heading}, c.synonyms...) {
			entry := lookup[headingKey(name)]
			require.Equal(t, i, entry.column, "%s of %s", name, c.heading)
			require.Equal(t, k == 0, entry.own, "%s of %s", name, c.heading)
			for _, unit := range c.measure.names() {
				for _, heading := range []string{name + " (" + unit + ")", strings.ToUpper(name) + "_" + unit, name + ", " + unit} {
					found, at, problem := recognise(heading, columns, lookup, nil)
					require.Empty(t, problem, heading)
					require.Equal(t, i, at, "%s for %s", heading, c.heading)
					want, _ := c.measure.find(unit)
					require.Equal(t, want, found.in, heading)
				}
			}
		}
	}
}

func TestEveryHeadingIsUnderstood(t *testing.T) {
	r := &register{project: &audit.Project{}}
	requireKnown(t, assemblyColumns(r))
	requireKnown(t, lineColumns(r))
	requireKnown(t, unitColumns(r))
	requireKnown(t, conductorColumns(r))
}

func TestHeadings(t *testing.T) {
	columns := assemblyColumns(&register{project: &audit.Project{}})
	five := []string{"Line", "Structure", "Duty", "Unit", "Units per string"}
	with := func(more ...string) []string { return append(slices.Clone(five), more...) }
	for name, c := range map[string]struct {
		cells    []string
		mapped   map[string]mappedColumn
		columns  string // "heading=column in unit"
		others   []otherHeading
		problems []string
	}{
		"as people write them": {[]string{" TOWER NO. ", "line_name", "Type of string", "Insulator type", "No. of discs", "Strength (lbf)", "Length, ft", "creepage_mm"}, nil,
			"Line=line_name, Structure=TOWER NO., Duty=Type of string, Unit=Insulator type, Units per string=No. of discs, Creepage=creepage_mm mm, Rating=Strength (lbf) lbf, Length=Length, ft ft",
			nil, nil},
		"the own heading beside another name": {with("No. of discs", "Insulator type"), nil, "Line=Line, Structure=Structure, Duty=Duty, Unit=Unit, Units per string=Units per string", nil,
			[]string{`headings "Unit" and "Insulator type" both stand for the column "Unit", expected one`, `headings "Units per string" and "No. of discs" both stand for the column "Units per string", expected one`}},
		"the own heading mapped, beside another name": {with("No. of discs"), map[string]mappedColumn{"Units per string": {property: called("Units per string")}},
			"Line=Line, Structure=Structure, Duty=Duty, Unit=Unit, Units per string=Units per string", []otherHeading{{5, "No. of discs", `"Units per string" stands for Units per string`}}, nil},
		"the own heading wins where no verdict rests on it": {with("Remarks", "Notes"), nil, "Line=Line, Structure=Structure, Duty=Duty, Unit=Unit, Units per string=Units per string, Remarks=Remarks",
			[]otherHeading{{6, "Notes", `"Remarks" stands for Remarks`}}, nil},
		"the mapped heading wins": {with("Pole id (old)"), map[string]mappedColumn{"Structure": {property: called("Pole ID")}},
			"Line=Line, Structure=Pole id (old), Duty=Duty, Unit=Unit, Units per string=Units per string", []otherHeading{{1, "Structure", `"Pole id (old)" stands for Structure`}}, nil},
		"mapped with a unit": {with("L"), map[string]mappedColumn{"Length": {property: property{name: "L", stated: true, in: millimetres.units[4]}}},
			"Line=Line, Structure=Structure, Duty=Duty, Unit=Unit, Units per string=Units per string, Length=L ft", nil, nil},
		"mapped, unit in the heading": {with("L (ft)"), map[string]mappedColumn{"Length": {property: called("L (ft)")}},
			"Line=Line, Structure=Structure, Duty=Duty, Unit=Unit, Units per string=Units per string, Length=L (ft) ft", nil, nil},
		"mapped, not there": {with(), map[string]mappedColumn{"Length": {property: called("Len")}}, "Line=Line, Structure=Structure, Duty=Duty, Unit=Unit, Units per string=Units per string", nil,
			[]string{`has no heading "Len", which the project file names for the column "Length"; the headings there are "Line", "Structure", "Duty", "Unit", "Units per string"`}},
		"two other names": {[]string{"Line", "Tower", "Pole", "Duty", "Unit", "Units per string"}, nil, "Line=Line, Structure=Tower, Duty=Duty, Unit=Unit, Units per string=Units per string", nil,
			[]string{`headings "Tower" and "Pole" both stand for the column "Structure", expected one`}},
		"units that are to come are none that hang there": {with("Insulator (recommended)", "Discs (target)", "Creepage (required)", "Defective (old)"), nil,
			"Line=Line, Structure=Structure, Duty=Duty, Unit=Unit, Units per string=Units per string", []otherHeading{{5, "Insulator (recommended)", ofOtherDays}, {6, "Discs (target)", ofOtherDays},
				{7, "Creepage (required)", ofOtherDays}, {8, "Defective (old)", ofOtherDays}}, nil},
		"numbers that are new are still numbers": {[]string{"Line", "Structure (new)", "Duty", "Unit", "Units per string"}, nil,
			"Line=Line, Structure=Structure (new), Duty=Duty, Unit=Unit, Units per string=Units per string", nil, nil},
		"mapped, of another time": {[]string{"Line", "Structure", "Duty", "Insulator (new)", "Units per string"}, map[string]mappedColumn{"Unit": {property: called("Insulator (new)")}},
			"Line=Line, Structure=Structure, Duty=Duty, Unit=Insulator (new), Units per string=Units per string", nil, nil},
		"unknown": {with("Colour", "", "Creepge (mm)"), nil, "Line=Line, Structure=Structure, Duty=Duty, Unit=Unit, Units per string=Units per string",
			[]otherHeading{{5, "Colour", ""}, {7, "Creepge (mm)", ""}}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			shape := understand(c.cells, columns, newHeadingLookup(columns), stated{mapped: c.mapped})
			var got []string
			for _, p := range shape.columns {
				text := p.column.heading + "=" + p.heading
				if len(p.in.names) > 0 {
					text += " " + p.in.names[0]
				}
				got = append(got, text)
			}
			require.Equal(t, c.columns, strings.Join(got, ", "))
			require.Equal(t, c.others, shape.others)
			require.Equal(t, c.problems, shape.problems)
			require.Empty(t, shape.missing)
		})
	}
}

func TestSpellingsAreTheirOwn(t *testing.T) {
	requireSpellings(t, audit.DutyWords(), moreDutyWords())
	requireSpellings(t, audit.SideWords(), moreSideWords())
	requireSpellings(t, audit.ArrangementWords(), moreArrangementWords())
	requireSpellings(t, audit.MountingWords(), moreMountingWords())
	requireSpellings(t, audit.RingsWords(), moreRingsWords())
	requireSpellings(t, audit.SystemWords(), moreSystemWords())
	requireSpellings(t, audit.WallSideWords(), nil)
	requireSpellings(t, audit.DeclaredRoleWords(), moreRoleWords())
	requireSpellings(t, declaredDutyWords(), moreDeclaredDutyWords())
	requireSpellings(t, yesNoWords(), moreYesNoWords())
}

// requireSpellings holds every spelling to its own meaning.
func requireSpellings[V comparable](t *testing.T, to, also []audit.Spelling[V]) {
	t.Helper()
	vocabulary := newWords(to, also...)
	for _, s := range append(slices.Clone(to), also...) {
		for _, text := range []string{s.Text, strings.ToUpper(s.Text), strings.ReplaceAll(s.Text, " ", "-")} {
			got, ok := vocabulary.find(text)
			require.True(t, ok, text)
			require.Equal(t, s.Value, got, text)
		}
	}
}
