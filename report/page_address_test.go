package report

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Names that no link can hold, or that the page shows otherwise than they are, are reached by what stands for them: from each row of the workbook, and
// from the lines that the page ranks.
func TestLinksOfNamesThatNoLinkHolds(t *testing.T) {
	for _, name := range []string{strings.Repeat("Harbour line with a long name ", 20), strings.Repeat("ü", 60), "N\u0007-1", "plain", "T_x0041_0", "e-0123456789ab", "work-sheets"} {
		p := fixture(t)
		old, line := p.Lines[0].Line, p.Symbols.Number(name)
		p.Lines[0].Line = line
		for i := range p.Structures.Len() {
			if p.Structures.At(i).Line == old {
				p.Structures.Row(i).Line = line
			}
		}
		for i := range p.Assemblies.Len() {
			if p.Assemblies.Row(i).Line == old {
				p.Assemblies.Row(i).Line = line
			}
		}
		r := assessed(t, p, 1)
		page := pageOf(t, r)
		data := dataOf(t, page)
		shown := map[string][2]int{} // where each line and structure is on the page, by its address
		first := 0
		for k, n := range data.Lines.Name {
			for i := first; i < first+int(data.Lines.Count[k]); i++ {
				shown[pagePlace(name, data.Texts[data.Structures.Number[i]])] = [2]int{k, i}
			}
			first += int(data.Lines.Count[k])
			if data.Texts[n] == cutText(name, pageText) {
				shown[pagePlace(name, "")] = [2]int{k, -1}
			}
		}
		rows := openBook(t, r, generous)
		seen := 0
		for i, row := range cells(t, rows, exceptionsSheet)[1:] {
			if len(row) < 5 || row[2] != cellText(name) {
				continue
			}
			formula, err := rows.GetCellFormula(exceptionsSheet, "E"+grouped(i+2))
			require.NoError(t, err)
			address := regexp.MustCompile(`^HYPERLINK\("audit\.html#([^"]+)","[^"]+"\)$`).FindStringSubmatch(formula)
			require.NotNil(t, address, formula)
			place, is := shown[address[1]]
			require.True(t, is, address[1])
			if !strings.Contains(address[1], "/") {
				require.Equal(t, place, data.Hashed[address[1]])
			}
			seen++
		}
		require.Positive(t, seen)
		require.Contains(t, page, `<a href="#`+pagePlace(name, "")+`"><bdi>`)
		if strings.Contains(pagePlace(name, ""), "/") {
			require.Empty(t, data.Hashed)
		}
	}
}
