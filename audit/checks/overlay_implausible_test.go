package checks_test

import (
	"fmt"
	"math"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// implausible are the faults of a project that is arranged and derived, all of which have to be implausible figures.
func (b *base) implausible() (said []string) {
	b.Faults = audit.Faults{}
	_ = b.exceptions()
	for _, fault := range b.Faults.List() {
		require.Equal(b.t, audit.Implausible, fault.Kind)
		said = append(said, fault.Message())
	}
	return said
}

// Levels that those beside them contradict are unknown: the one that stands out, else both; what the ground may do is believed.
func TestGroundLevelsThatContradictEachOther(t *testing.T) {
	const steep = `ground level "%s" is implausible: from structure "%s" to "%s" of line "L" the ground rises %s m within 301 m; one of the two is taken to be wrong`
	const zero = `ground level "0" is implausible, every other level of line "L" is above 100 m; 0 is taken for a mark of no value`
	for name, c := range map[string]struct {
		levels [9]float64
		faults []string
	}{
		"a digit less":              {[9]float64{3000, 3010, 300, 3020, 3000, 3000, 3000, 3000, 3000}, []string{fmt.Sprintf(steep, "300", "3", "4", "2720")}},
		"a digit more":              {[9]float64{300, 310, 3000, 320, 300, 300, 300, 300, 300}, []string{fmt.Sprintf(steep, "3000", "3", "4", "-2680")}},
		"at the end":                {[9]float64{300, 3000, 3000, 3000, 3000, 3000, 3000, 3000, 3000}, []string{fmt.Sprintf(steep, "300", "1", "2", "2700")}},
		"beside one that is blank":  {[9]float64{3000, math.NaN(), 300, 3020, 3000, 3000, 3000, 3000, 3000}, []string{fmt.Sprintf(steep, "300", "3", "4", "2720")}},
		"two, and which is unknown": {[9]float64{3000, 3000, 300, 300, 300, 300, 300, 300, 300}, []string{fmt.Sprintf(steep, "3000", "2", "3", "-2700"), fmt.Sprintf(steep, "300", "2", "3", "-2700")}},
		"a steep slope":             {[9]float64{1000, 1440, 1880, 2320, 2000, 1600, 1200, 900, 600}, nil},
		"no value as 0":             {[9]float64{101, 0, 102, 0, 102, 103, 104, 105, 106}, []string{zero, zero}},
		"the shore":                 {[9]float64{99, 0, 102, 0, 102, 103, 104, 105, 106}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase(t)
			for i, level := range c.levels {
				row := b.Structures.At(i)
				row.GroundM = level
				b.Structures.Set(i, row)
			}
			require.ElementsMatch(t, c.faults, b.implausible())
			for i, level := range c.levels {
				if row := b.Structures.At(i); row.Faulty.Has(audit.CellGround) {
					require.True(t, math.IsNaN(row.GroundM))
				} else {
					require.Equal(t, fmt.Sprint(level), fmt.Sprint(row.GroundM))
				}
			}
			require.Empty(t, b.implausible(), "once")
		})
	}
}

// Tensions by which spans of 301 m hang as none do are unknown: in tonnes, and by a tenth. Low ones that a line may have are believed.
func TestTensionsByWhichALineWouldHangTooLow(t *testing.T) {
	for name, c := range map[string]struct {
		maximum, everyday float64
		doubted           []string
	}{
		"in tonnes":         {2.8, 1.8, []string{"everyday tension", "maximum tension"}},
		"everyday, a tenth": {28, 1.8, []string{"everyday tension"}},
		"low":               {9, 5, nil},                            // sags of 12 and 22 m, 10 and 5.6 % of the rated strength
		"of the strength":   {9, 4.4, []string{"everyday tension"}}, // 4.9 %, and 8 % of the span
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase(t)
			b.Lines[0].MaximumTensionKN, b.Lines[0].ColdTensionKN, b.Lines[0].EverydayTensionKN = c.maximum, math.NaN(), c.everyday
			said := b.implausible()
			require.Len(t, said, len(c.doubted))
			for i, column := range c.doubted {
				require.Contains(t, said[i], column+` "`)
				require.Contains(t, said[i], "a level span of 301 m, the median of line \"L\", of Panther would sag")
			}
			v := b.verdict("strength", 1, "A")
			require.Equal(t, len(c.doubted) == 2, v.Outcome == audit.NotAssessed && v.Reason == audit.FaultyField, v)
		})
	}
}
