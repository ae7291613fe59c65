package xlsx

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// damages calls each with a content cut short, then with one bit of it turned, at places drawn from a seed.
func damages(content []byte, cuts, flips int, each func(what string, damaged []byte)) {
	random := rand.New(rand.NewPCG(7, 11))
	for range cuts {
		length := random.IntN(len(content))
		each(fmt.Sprintf("cut to %d bytes", length), content[:length])
	}
	for range flips {
		damaged, at, bit := bytes.Clone(content), random.IntN(len(content)), random.IntN(8)
		damaged[at] ^= 1 << bit
		each(fmt.Sprintf("bit %d of byte %d", bit, at), damaged)
	}
}

// TestScanDamagedArchive holds that the rows of a damaged workbook are an error or the same.
func TestScanDamagedArchive(t *testing.T) {
	sound := zipped(t, smallBook(soundSheets["formulas"]+soundSheets["sparse"], someTexts))
	want, err := scanRows(sound)
	require.NoError(t, err)
	damages(sound, 200, 800, func(what string, damaged []byte) {
		got, err := scanRows(damaged)
		if len(damaged) < len(sound) {
			require.Error(t, err, what)
		}
		if err == nil {
			require.Equal(t, want, got, what)
		}
	})
}
