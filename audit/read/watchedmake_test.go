package read

import (
	"context"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// A word for nothing in a column of makes is carried through, and is no make.
func TestWordsForNothingAreNoMakes(t *testing.T) {
	for text, make := range map[string]string{"Harrow": "Harrow", "unknown": "", "#N/A": "", "n/a": "", "-": "", "?": "", "tbc": ""} {
		b := newBase()
		b.project = strings.Replace(b.project, "register: {file: register.xlsx", "register: {file: register.xlsx, carry: [Make]", 1)
		p := set(b, "Make", text).mustRead(t)
		require.Equal(t, []string{text}, p.CarriedAt(p.Assemblies.At(0).Source))
		n, err := audit.Arrange(p)
		require.NoError(t, err)
		require.NoError(t, audit.Derive(context.Background(), n, 1))
		require.Equal(t, make, n.Cohorts()[0].Make, text)
	}
}
