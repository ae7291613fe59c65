package remedy_test

import (
	"fmt"
	"testing"

	"dryarc/audit"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// Which of the unlike units of a string are defective no input says: no type is counted for certain but what the others are too few for.
func TestWhichOfUnlikeUnitsIsDefectiveIsLookedAtFirst(t *testing.T) {
	for name, c := range map[string]struct {
		few, defective int
		fit, more      string
		known          bool
	}{
		"one of ten":                    {5, 1, "[]", "[{U120B 1} {U120BP 1}]", false},
		"one of ten, of one type but 1": {1, 1, "[]", "[{U120B 1} {U120BP 1}]", false},
		"more than there are of a type": {3, 8, "[{U120B 5} {U120BP 1}]", "[{U120B 2} {U120BP 2}]", false},
		"all":                           {5, 10, "[{U120B 5} {U120BP 5}]", "[]", true},
	} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			stocked(p, 10, "U120B")
			p.Criteria.SoundUnits = []audit.SoundUnitsRule{{NominalKV: 132, Units: 10}}
			row := rowsAt(p, "3")[2]
			unlike := audit.Makeup{Text: "unlike"}
			for u := range p.Units {
				switch p.Units[u].Name {
				case "U120B":
					unlike.Parts = append(unlike.Parts, audit.Part{Unit: u, Count: 10 - c.few})
				case "U120BP":
					unlike.Parts = append(unlike.Parts, audit.Part{Unit: u, Count: c.few})
				}
			}
			require.Len(t, unlike.Parts, 2)
			p.Makeups = append(p.Makeups, unlike)
			row.Makeup, row.UnitsPerString, row.Defective = uint32(len(p.Makeups)-1), 10, int16(c.defective)
			_, jobs := searched(t, p)
			require.Len(t, jobs, 1)
			require.Len(t, jobs[0].Remedies, 1)
			x := &jobs[0].Remedies[0]
			require.Equal(t, remedy.SoundUnits, x.Move)
			require.Len(t, x.Changes, 1)
			require.Equal(t, []string{c.fit, c.fit, c.more}, []string{fmt.Sprint(x.Fit), fmt.Sprint(x.Remove), fmt.Sprint(x.More)})
			require.Equal(t, []string{c.fit, c.fit, c.more}, []string{fmt.Sprint(x.Changes[0].Fit), fmt.Sprint(x.Changes[0].Remove), fmt.Sprint(x.Changes[0].More)})
			require.Equal(t, !c.known, x.AtLeast)
			if c.known {
				require.Nil(t, x.Changes[0].Unlike)
				return
			}
			require.Equal(t, &remedy.Range{Least: c.defective, Most: c.defective}, x.Changes[0].Unlike)
			require.NotEmpty(t, jobs[0].Open, "whether a defective unit is left")
		})
	}
}
