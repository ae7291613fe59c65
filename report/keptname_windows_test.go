package report

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestKeptNamesInWindows(t *testing.T) {
	for _, path := range []string{`out`, `.`, `..\out`, `C:\out\a.csv`, `\\?\C:\out`, `\\server\share\out`, `con-1`, `a.b\c d`} {
		require.NoError(t, KeptName(path), path)
	}
	for _, path := range []string{`NUL`, `out\aux\a.csv`, `out/con`, `COM1`, `conin$`, `con `, `out\x.\y`, `C:\out\news `, `news:txt`, `out\a:b`, `\\?\C:\nul`} {
		require.ErrorContains(t, KeptName(path), "give it another name", path)
	}
	_, err := OpenDecisions(context.Background(), `decisions:csv`, How{})
	var failed *WriteError
	require.ErrorAs(t, err, &failed)
	require.Equal(t, `decisions:csv`, failed.File)
	require.ErrorContains(t, err, "to Windows")
}
