package report

import (
	"bytes"
	"context"
	"testing"

	"github.com/stretchr/testify/require"
)

// A register that its own project would read otherwise is not written.
func TestRemedied(t *testing.T) {
	r := fixtureResult(t)
	var out bytes.Buffer
	require.NoError(t, writeRemedied(context.Background(), &out, r, nil))
	require.NotZero(t, out.Len())

	r.Project.WordsTwice = `Unit "U70BL"`
	out.Reset()
	require.ErrorContains(t, writeRemedied(context.Background(), &out, r, nil), `would change Unit "U70BL" once more`)
	require.Zero(t, out.Len())
}
