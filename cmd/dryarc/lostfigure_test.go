package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A figure that was stated when something fell short is blank the next day, so that something else stands in for it, and is stated again
// the day after: that settles nothing and mends nothing. Another string, unit or figure in its place does.
func TestAFigureLostAndFound(t *testing.T) {
	t.Parallel()
	const (
		heads      = "Line,Structure,Circuit,Phase,Duty,Unit,Units per string,Creepage (mm),Defective units\n"
		units      = "Unit,Creepage (mm),Diameter (mm),Average diameter (mm)\n"
		row, whole = "L0,3,1,A,suspension,U120B,12,,\n", "L0,3,1,A,suspension,U120B,12,2700,\n"
		unit       = "U120B,150,,\n"
		lost       = "not assessed 2026-03-02, not assessed"
		still      = "standing 2026-03-01, still there though reported done"
		settled    = "meets, settled"
	)
	type night struct{ row, units, duty string }
	asFirst := night{row: "again"}
	for name, c := range map[string]struct {
		check string
		first night
		then  []night
		says  []string
	}{
		"creepage of a row":                           {"creepage", night{row: whole}, []night{{row: row}, {row: row}, asFirst}, []string{lost, lost, still}},
		"creepage of a row, another":                  {"creepage", night{row: whole}, []night{{row: strings.Replace(whole, "2700", "3540", 1)}}, []string{settled}},
		"creepage of a row, other string":             {"creepage", night{row: whole}, []night{{row: strings.Replace(row, ",12,", ",15,", 1)}}, []string{settled}},
		"creepage of a unit":                          {"creepage", night{row, unit, ""}, []night{{row, "U120B,,,\n", ""}, asFirst}, []string{lost, still}},
		"row of a unit":                               {"creepage", night{row, unit, ""}, []night{{row, "U70BL,,,\n", ""}, asFirst}, []string{lost, still}},
		"creepage of a unit, as the catalogue has it": {"creepage", night{row, unit, ""}, []night{{row, "U120B,295,,\n", ""}}, []string{settled}},
		"creepage of a unit, another hangs":           {"creepage", night{row, unit, ""}, []night{{strings.Replace(row, "U120B", "U160BS", 1), "U120B,,,\n", ""}}, []string{settled}},
		"duty of the layer":                           {"declared-duty", night{row, "", "tension"}, []night{{row, "", ""}, asFirst}, []string{lost, still}},
		"creepage of a row that still falls short": {"creepage", night{row: strings.Replace(whole, "12,2700", "9,2000", 1)},
			[]night{{row: strings.Replace(row, ",12,", ",9,", 1)}, {row: strings.Replace(row, ",12,", ",9,", 1)}, {row: strings.Replace(row, ",12,", ",9,", 1)}}, []string{still, still, still}},
	} {
		t.Run(name, func(t *testing.T) {
			y := yearOfOneLine(t)
			y.lines[0].towers[2].units[0] = 0
			y.write()
			register, layer, project := y.get("Assemblies.csv"), y.get("structures.geojson"), y.get("audit.yaml")
			audited := func(day int, n night) lostAndFound {
				_, rows, _ := strings.Cut(register, "\n")
				y.put("Assemblies.csv", heads+strings.ReplaceAll(rows, "U120B,14\n", "U160BS,14,,\n")+n.row)
				y.put("Units.csv", units+"U160BS,,,\n"+n.units)
				y.put("audit.yaml", strings.Replace(project, "register:\n", "register:\n  - file: Units.csv\n", 1))
				if n.duty != "" {
					y.put("structures.geojson", strings.Replace(layer, `"structure":"3",`, `"structure":"3","duty":"`+n.duty+`",`, 1))
				} else {
					y.put("structures.geojson", strings.Replace(layer, `"structure":"2",`, `"structure":"2","duty":"suspension",`, 1))
				}
				return y.auditBy(c.check, day)
			}
			y.reportDone(audited(1, c.first))
			audited(1, c.first)
			for k, n := range c.then {
				if n == asFirst {
					n = c.first
				}
				said := audited(k+2, n)
				require.Equal(t, c.says[k], said.inWords(), "%s: %v", y.asOf, n)
				require.Equal(t, said, audited(k+2, n), "repeated")
			}
		})
	}
}
