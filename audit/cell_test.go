package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestEveryCellHasABitOfItsOwn(t *testing.T) {
	all := Cells(0)
	for c := range cells {
		one := Cells(0).With(c)
		for other := range cells {
			require.Equal(t, c == other, one.Has(other), "%d in the set of %d", other, c)
		}
		require.False(t, all.Has(c))
		all = all.With(c)
		require.True(t, all.Has(c))
	}
}
