package read

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The README's list of reference systems is made from their declarations; DRYARC_UPDATE=1 writes it anew.
func TestREADMEListsTheSystems(t *testing.T) {
	var lists [2]strings.Builder
	previous := ""
	for _, s := range referenceSystems() {
		list := &lists[0]
		if !s.projected {
			list = &lists[1]
		}
		switch {
		case s.name == previous:
			list.WriteString(", ")
		case list.Len() > 0:
			fmt.Fprintf(list, "; %s ", s.name)
		default:
			fmt.Fprintf(list, "%s ", s.name)
		}
		previous = s.name
		fmt.Fprint(list, s.first)
		if s.last > s.first {
			fmt.Fprintf(list, "–%d", s.last)
		}
	}
	want := fmt.Sprintf("| positions | EPSG codes |\n| --- | --- |\n| easting and northing, transformed to WGS 84 | %s |\n"+
		"| longitude and latitude, taken as WGS 84 | %s |\n", lists[0].String(), lists[1].String())

	file := filepath.Join("..", "..", "README.md")
	raw, err := os.ReadFile(file)
	require.NoError(t, err)
	before, rest, found := strings.Cut(string(raw), "<!-- systems -->\n")
	require.True(t, found)
	have, after, found := strings.Cut(rest, "<!-- /systems -->")
	require.True(t, found)
	if os.Getenv("DRYARC_UPDATE") != "" {
		require.NoError(t, os.WriteFile(file, []byte(before+"<!-- systems -->\n"+want+"<!-- /systems -->"+after), 0o644))
	}
	require.Equal(t, want, have, "run again with DRYARC_UPDATE=1")
}
