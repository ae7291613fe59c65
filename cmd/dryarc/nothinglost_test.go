package main

import (
	"cmp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A string that fell short is another now, of a unit whose creepage was not stated before either: it cannot be judged, and no datum was lost.
// Where the creepage of the unit that still hangs there is blank, one was.
func TestNotJudgedThoughNothingWasLost(t *testing.T) {
	t.Parallel()
	const heads = "Line,Structure,Circuit,Phase,Duty,Unit,Units per string,Creepage (mm),Defective units\n"
	const units = "Unit,Creepage (mm),Diameter (mm),Average diameter (mm)\nMINE,,,\nU160BS,,,\n"
	for name, c := range map[string]struct {
		unit, units string
		nothingLost bool
	}{
		"another unit":     {"MINE", "U120B,150,,\n", true},
		"the unit's blank": {"U120B", "U120B,,,\n", false},
	} {
		t.Run(name, func(t *testing.T) {
			y := yearOfOneLine(t)
			y.lines[0].towers[2].units[0] = 0
			y.write()
			_, rows, _ := strings.Cut(y.get("Assemblies.csv"), "\n")
			y.put("audit.yaml", strings.Replace(y.get("audit.yaml"), "register:\n", "register:\n  - file: Units.csv\n", 1))
			audited := func(day int, unit, of string) lostAndFound {
				y.put("Assemblies.csv", heads+strings.ReplaceAll(rows, "U120B,14\n", "U160BS,14,,\n")+"L0,3,1,A,suspension,"+unit+",12,,\n")
				y.put("Units.csv", units+of)
				return y.auditBy("creepage", day)
			}
			require.Len(t, audited(1, "U120B", "U120B,150,,\n").Exceptions, 1)
			for day := 2; day < 5; day++ { // those that follow know it too
				said := audited(day, c.unit, c.units)
				require.Equal(t, "not assessed 2026-03-02", said.inWords())
				require.Equal(t, c.nothingLost, strings.Contains(y.get("out/audit.json"), `"nothing_lost":true`), day)
				require.Equal(t, c.nothingLost, strings.Contains(y.get("out/audit.json"), `"not_assessed_nothing_lost":1`), day)
			}
		})
	}
}

// What the notes of a structure go by is lost where fewer of its rows state it: the make that a row carries, that or the material of a unit, the type, the
// day of installation. One row that changes its make has lost nothing.
func TestLostDatumOfWhatHangs(t *testing.T) {
	t.Parallel()
	const heads = "Line,Structure,Circuit,Phase,Duty,Unit,Units per string,Defective units,Maker,Installed\n"
	const units = "Unit,Material,Make\nMINE,silicone,\n"
	watched := "{make: Harrow, material: silicone, installed_until: 1998, note: cracks}"
	for name, c := range map[string]struct {
		check, criteria      string
		row, rowNow, unitNow string
		said                 string
		lost                 bool
	}{
		"make":             {"on-watch-list", "watch_list: [" + watched + "]", "MINE,12,,Harrow,1990", "MINE,12,,,1990", "", "not assessed", true},
		"installed":        {"on-watch-list", "watch_list: [" + watched + "]", "MINE,12,,Harrow,1990", "MINE,12,,Harrow,", "", "not assessed", true},
		"material":         {"on-watch-list", "watch_list: [" + watched + "]", "MINE,12,,Harrow,1990", "MINE,12,,Harrow,1990", "Unit,Material,Make\nMINE,,\n", "not assessed", true},
		"make of the unit": {"on-watch-list", "watch_list: [{make: Harrow, note: cracks}]", "MINE,12,,,1990", "MINE,12,,,1990", units, "not assessed", true},
		"another make":     {"on-watch-list", "watch_list: [" + watched + "]", "MINE,12,,Harrow,1990", "MINE,12,,Sirel,1990", "", "meets", false},
		"age":              {"past-stated-age", "ageing: {silicone: 20}", "MINE,12,,Harrow,1990", "MINE,12,,Harrow,", "", "not assessed", true},
		"inspected":        {"inspected-long-ago", "inspection_years: 10", "MINE,12,,Harrow,1990", "MINE,12,,Harrow,", "", "not assessed", true},
	} {
		t.Run(name, func(t *testing.T) {
			y := yearOfOneLine(t)
			y.lines[0].towers[2].units[0] = 0
			y.write()
			_, rows, _ := strings.Cut(y.get("Assemblies.csv"), "\n")
			project := strings.Replace(y.get("audit.yaml"), "criteria: {", "criteria: {"+c.criteria+", ", 1)
			y.put("audit.yaml", strings.Replace(project, "register:\n  - file: Assemblies.csv\n", "register:\n  - file: Units.csv\n  - {file: Assemblies.csv, carry: [Maker]}\n", 1))
			audited := func(day int, row, units string) lostAndFound {
				y.put("Assemblies.csv", heads+strings.ReplaceAll(rows, "U120B,14\n", "MINE,14,,Sirel,2020\n")+"L0,3,1,A,suspension,"+row+"\n")
				y.put("Units.csv", units)
				return y.auditBy(c.check, day)
			}
			first := units
			if name == "make of the unit" {
				first = "Unit,Material,Make\nMINE,silicone,Harrow\n"
			}
			require.NotEmpty(t, audited(1, c.row, first).Exceptions)
			said := audited(2, c.rowNow, cmp.Or(c.unitNow, first))
			require.NotEmpty(t, said.Cleared)
			for _, cleared := range said.Cleared {
				require.Equal(t, c.said, cleared.Why)
				require.Equal(t, c.lost, cleared.Lost != "")
			}
			require.NotContains(t, y.get("out/audit.json"), `"nothing_lost":true`)
		})
	}
}
