package read

import (
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is filled down is told for the outputs, column by column, and where nothing was, nothing is.
func TestFilledDownIsTold(t *testing.T) {
	b := newBase()
	b.assemblies = grid{
		{"Line", "Structure", "Phase", "Duty", "Unit", "Units per string"},
		{"L1", 1, "A", "tension", "U120B", 10}, {nil, nil, "B", "tension", "U120B", 10}, {"L1", nil, "C", "tension", "U120B", 10},
	}
	path := b.write(t)
	require.NoError(t, os.WriteFile(path, []byte("structures: {file: structures.geojson}\nregister: {file: register.xlsx, fill_down: [Line, Structure, Unit]}\n"), 0o600))
	p, err := Project(context.Background(), path)
	require.NoError(t, err)
	require.Equal(t, 3, p.Assemblies.Len())
	require.Equal(t, []string{
		`Of the column "Line" in register.xlsx!Assemblies 1 cell takes what stands above, as the project file says.`,
		`Of the column "Structure" in register.xlsx!Assemblies 2 cells take what stands above, as the project file says.`,
	}, p.FilledDown)
}

func TestDittoMarks(t *testing.T) {
	for _, cell := range []string{`"`, "''", "〃", "″", "”", "do", "do.", "Do.", "DO.", "-do-", "- do -", "ditto", "Ditto", "DITTO.", "dto.", "idem", "ídem", `-"-`} {
		require.True(t, isDitto(cell), cell)
	}
	for _, cell := range []string{"", "-", "--", "DO", "d", "D1", "do 1", "dodo", "dittos", "5\"", "identical", "DE", "A"} {
		require.False(t, isDitto(cell), cell)
	}
}
