package read

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// TestRowsLikeAModel holds that rows of which most cells stay the same, and every now and then one or several do not, are read as each is
// by itself: with the same names and figures, the same unknown fields and as many faults.
func TestRowsLikeAModel(t *testing.T) {
	const headings = "Line,Structure,Circuit,Phase,Side,Duty,Arrangement,Unit,Units per string,Strings,Defective units,Installed,Inspected,Remarks,Creepage (mm),Rating (kN),Length (m),Owner"
	others := [][]string{ // by column: the first is what most rows hold, which are blank, faulty or of another way of writing are among the rest
		{"L1", "L1", "L2", ""}, {"1", "2", "3", "", "#N/A", "1.10"}, {"1", "", "2", "both", "#REF!"}, {"A", "B", "C", "ABC", "", "rouge", "?"},
		{"", "ahead", "back", "sideways"}, {"suspension", "tension", "tension (back)", "hanging", "earth wire", "", "double suspension"}, {"single", "", "V", "parallel", "double", "ditto"},
		{"U120B", "U70BL", "U120B ", "U7", ""}, {"10", "9", "2x10", "10 nos", "1000", "ten", "14", ""}, {"1", "2", "", "tbc"}, {"0", "1", "", "11", "-"},
		{"2019-05-31", "2019-06-01", "", "in May", "43616"}, {"2020", "2021-02-03", "?"}, {"", "", "chipped", "ditto", strings.Repeat("long ", 300)},
		{"3200", "3200 mm", "20", "9000", "", "-"}, {"120", "70", "1", "9e9"}, {"1.46", "1460 mm", "0.2", "", "unknown"}, {"x", "y"},
	}
	for seed := range uint64(2) {
		random := rand.New(rand.NewPCG(seed, 1))
		row := make([]string, len(others))
		for i := range row {
			row[i] = others[i][0]
		}
		among := []int{1, 3, 11, 12, 13} // that only name the row
		if seed > 0 {
			among = random.Perm(len(row))
		}
		var rows []string
		for range 90 {
			cells := slices.Clone(row)
			cells[1], cells[3] = fmt.Sprint(len(rows)/3+1), others[3][len(rows)%3]
			for range random.IntN(4) * random.IntN(2) { // of this row alone
				i := among[random.IntN(len(among))]
				cells[i] = others[i][random.IntN(len(others[i]))]
			}
			if i := among[random.IntN(len(among))]; random.IntN(12) == 0 { // of those below it too
				row[i] = others[i][random.IntN(len(others[i]))]
			}
			rows = append(rows, strings.Join(cells, ","))
		}
		whole := readText(t, newBase(), headings+"\n"+strings.Join(rows, "\n")+"\n")
		faults, next, left := 0, 0, 0
		for i, text := range rows {
			alone := readText(t, newBase(), headings+"\n"+text+"\n")
			faults += rowsAtFault(alone)
			left += len(alone.Lost)
			for k := range alone.Assemblies.Len() {
				require.Less(t, next, whole.Assemblies.Len())
				require.Equal(t, inWords(alone, k, 2), inWords(whole, next, uint32(i+2)), "seed %d: %s", seed, text)
				next++
			}
		}
		require.Equal(t, next, whole.Assemblies.Len())
		require.Equal(t, left, len(whole.Lost))
		require.Equal(t, faults, rowsAtFault(whole))
		require.Equal(t, len(rows), whole.RowsRead)
		require.Greater(t, next, len(rows)/2, "most rows are to be read")
	}
}

// inWords is all that is known of an assembly that stands in a row.
func inWords(p *audit.Project, i int, row uint32) string {
	a := p.Assemblies.At(i)
	direct := audit.UnknownDirectValues()
	if a.Direct > 0 {
		direct = p.Direct[a.Direct-1]
	}
	text := fmt.Sprint(p.Symbols.Text(a.Line), "|", p.Symbols.Text(a.Circuit), "|", p.Symbols.Text(a.Phase), "|", p.Texts.Get(a.Number), "|", p.Texts.Get(a.Remarks), "|", p.Makeups[a.Makeup].Parts, "|",
		a.Direct > 0, direct, "|", a.Source.Row == row)
	a.Line, a.Circuit, a.Phase, a.Number, a.Remarks, a.Makeup, a.Direct, a.Source = 0, 0, 0, 0, 0, 0, 0, audit.Source{}
	return text + fmt.Sprintf("|%+v", a)
}
