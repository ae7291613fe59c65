package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// An insulator that has failed is counted alike by all quantities of a check: by none where the check does not concern it today, since it was
// enough as built, and by all where it fell short as built.
func TestHeadroomCountsFailedInsulatorsAlikeByAllQuantities(t *testing.T) {
	t.Parallel()
	for class, want := range map[string]struct {
		creepage       string
		counted, short int
	}{"b": {"650", 2, 0}, "d": {"730", 3, 3}} { // in class c, from which limits are looked for, the first falls short as built and the second does not
		t.Run(class, func(t *testing.T) {
			files := map[string]string{
				"towers.csv":     hamlet()["towers.csv"],
				"lines.csv":      "Line,Nominal voltage (kV),Highest voltage (kV),Circuits,System\nL1,33,36,1,earthed\n",
				"units.csv":      "Unit,Kind,Material,Creepage (mm)\nP,pin,porcelain," + want.creepage + "\n",
				"assemblies.csv": "Line,Structure,Circuit,Phase,Duty,Unit,Units per string,Strings,Defective units\nL1,1,1,\"A,B,C\",pin,P,1,1,0\nL1,2,1,\"A,B,C\",pin,P,1,1,0\nL1,3,1,\"A,B,C\",pin,P,1,1,1\n",
				"audit.yaml":     "structures: {file: towers.csv}\nregister: {file: [assemblies.csv, lines.csv, units.csv]}\ncriteria: {default_class: " + class + ", creepage_basis: unified}\n",
			}
			out, ended, said := scopeOfFiles(t, files, "--headroom")
			require.Equal(t, exitDone, ended, said)
			content, err := os.ReadFile(filepath.Join(out, "scope.json"))
			require.NoError(t, err)
			var told struct {
				Headroom []struct {
					Check, Quantity string
					Counted         int
					NotAssessed     int `json:"not_assessed"`
					Short           int `json:"falls_short_now"`
				}
			}
			require.NoError(t, json.Unmarshal(content, &told))
			var quantities []string
			for _, h := range told.Headroom {
				if h.Check == "creepage" {
					quantities = append(quantities, h.Quantity)
					require.Equal(t, []int{want.counted, want.short, 0}, []int{h.Counted, h.Short, h.NotAssessed}, h.Quantity)
				}
			}
			require.Equal(t, "highest voltage, specific creepage", strings.Join(quantities, ", "))
		})
	}
}
