package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Lines are chosen by names as they are kept, whichever way a terminal writes their accents.
func TestLinesChosenAreComposed(t *testing.T) {
	c := auditCommand{Lines: []string{"Pen\u0303a", "Pe\u00f1a"}, Format: formats[0], Log: formats[0]}
	o, err := c.options()
	require.NoError(t, err)
	require.Equal(t, []string{"Pe\u00f1a"}, o.Lines)
}
