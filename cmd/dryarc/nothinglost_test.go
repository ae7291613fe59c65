package main

import (
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
