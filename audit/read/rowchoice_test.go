package read

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// A text that is carried is held whole, however long: two that begin alike stay two, and lines and rows are chosen by all of it.
func TestLongCarriedTextsStayWhole(t *testing.T) {
	north, south := strings.Repeat("n", 70_000)+" north", strings.Repeat("n", 70_000)+" south"
	folder := t.TempDir()
	write := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
	}
	write("structures.geojson", `{"type":"FeatureCollection","features":[`+
		zone(fmt.Sprintf(`{"line":"L1","structure":"1","Owner":%q}`, north), "Point", "[10,50]")+","+
		zone(fmt.Sprintf(`{"line":"L2","structure":"1","Owner":%q}`, south), "Point", "[10,51]")+`]}`)
	write("Assemblies.csv", "Line,Structure,Duty,Unit,Units per string,Access\nL1,1,tension,U120B,10,"+north+"\nL2,1,tension,U120B,10,"+south+"\n")
	write("Lines.csv", "Line,Nominal voltage (kV),Highest voltage (kV),District\nL1,132,145,"+north+"\nL2,132,145,"+south+"\n")
	read := func(only, chosen string) (lines, accesses, owners []string) {
		write("audit.yaml", "structures: {file: structures.geojson, carry: Owner}\nregister:\n  - {file: Assemblies.csv, carry: Access"+only+"}\n  - {file: Lines.csv, carry: District}\n"+
			"criteria: {default_class: c}\nfor:\n  - {lines: {District: "+chosen+"}, criteria: {default_class: d}}\n")
		p, err := Project(t.Context(), filepath.Join(folder, "audit.yaml"))
		require.NoError(t, err)
		for _, rules := range p.Rules {
			for _, line := range rules.Lines {
				lines = append(lines, p.Symbols.Text(line))
			}
		}
		for i := range p.Assemblies.Len() {
			accesses = append(accesses, strings.Join(p.CarriedAt(p.Assemblies.Row(i).Source), ""))
		}
		for i := range p.Structures.Len() {
			owners = append(owners, strings.Join(p.CarriedAt(p.Structures.At(i).Source), ""))
		}
		return lines, accesses, owners
	}
	lines, accesses, owners := read("", south)
	require.Equal(t, []string{"L2"}, lines)
	require.True(t, strings.Join([]string{north, south}, "|") == strings.Join(accesses, "|"), "the texts of the rows")
	require.True(t, strings.Join([]string{north, south}, "|") == strings.Join(owners, "|"), "the texts of the features")

	lines, accesses, _ = read(", only: {Access: "+north+"}", north)
	require.Equal(t, []string{"L1"}, lines)
	require.True(t, north == strings.Join(accesses, "|"), "the rows chosen")
}

// What is held of long texts together has a bound, where each counts once.
func TestLongTextsAreBounded(t *testing.T) {
	var held longTexts
	for _, text := range []string{strings.Repeat("a", longestName), strings.Repeat("a", longestName+1), strings.Repeat("b", longestName+1)} {
		require.NoError(t, held.add(text))
	}
	require.Equal(t, longTexts(2*(longestName+1)), held)
	held = mostLongTexts - longestName
	require.ErrorContains(t, held.add(strings.Repeat("a", longestName+1)), "holds more than 256 MiB of texts longer than 1000 characters")
	p := &audit.Project{}
	held = mostLongTexts - longestName - 1
	for range 2 {
		_, err := held.carriedSymbol(p, strings.Repeat("a", longestName+1))
		require.NoError(t, err)
	}
	_, err := held.carriedSymbol(p, strings.Repeat("b", longestName+1))
	require.Error(t, err)
}
