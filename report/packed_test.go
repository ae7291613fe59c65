package report

import (
	"archive/zip"
	"bytes"
	"hash/crc32"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The standard library has no CRC-32 of joined texts, but that of the whole text is the reference.
func TestJoinedCRC(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first, second := rapid.SliceOf(rapid.Byte()).Draw(t, "first"), rapid.SliceOf(rapid.Byte()).Draw(t, "second")
		whole := crc32.ChecksumIEEE(append(bytes.Clone(first), second...))
		if got := joinedCRC(crc32.ChecksumIEEE(first), crc32.ChecksumIEEE(second), int64(len(second))); got != whole {
			t.Fatalf("%08x, want %08x", got, whole)
		}
	})
}

// archive/zip checks size and CRC of what it reads.
func TestStretchesAreOneEntry(t *testing.T) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	texts := []string{"head", "", strings.Repeat("a row like the others, ", 100_000), "tail"}
	stretches := make([]*packed, len(texts))
	for i, text := range texts {
		var err error
		stretches[i], err = packText(text, i == len(texts)-1)
		require.NoError(t, err)
	}
	require.NoError(t, writePacked(z, "a/b.xml", stretches...))
	require.NoError(t, z.Close())
	require.Less(t, b.Len(), 100_000, "it is packed")
	require.Equal(t, map[string]string{"a/b.xml": strings.Join(texts, "")}, xmlParts(t, b.Bytes()))
}
