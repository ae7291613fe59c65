package read

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestNumberOfSheet(t *testing.T) {
	for actual, want := range map[string]string{
		"Assemblies": "", "assemblies ": "", "Assemblies 2": "2", "Assemblies (2)": "2", "ASSEMBLIES_3": "3", "Assemblies - 2": "2", "Assemblies2": "2",
		"Assemblies [ 12 ]": "12", "Assemblies – 2": "2", "Assemblies #4": "4", "Assemblies.10": "10", "ASSEMBLIES.": "", "Assemblies -": "", " Assemblies ( 7 ) ": "7",
	} {
		number, is := numberOfSheet(actual, assembliesSheet)
		require.True(t, is, "%q", actual)
		require.Equal(t, want, number, "%q", actual)
	}
	for _, actual := range []string{"", "Assembly", "Assemblies old", "Assemblies 2 old", "Assemblies two", "Assemblies (2", "Assemblies ()", "2 Assemblies", "Assemblies 2a", "My Assemblies"} {
		_, is := numberOfSheet(actual, assembliesSheet)
		require.False(t, is, "%q", actual)
	}
}
