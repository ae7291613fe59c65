package audit

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The chainage of a structure between those that are kept is what adding up the line gives, to the last bit: on lines that begin anywhere
// among all structures, run round or have a cable between two of their structures.
func TestChainageBetweenKeptOnes(t *testing.T) {
	s := newSketch(t)
	for l, structures := range []int{3, 40, 17, 16, 50} {
		name := fmt.Sprint("L", l)
		for i := range structures {
			row := s.structure(name, fmt.Sprint(i+1), 10+0.0031*float64(i), 50+float64(l)+0.0001*float64(i%7))
			if l == 1 && (i == 20 || i == 21) || l == 4 && (i == 31 || i == 32) {
				row.Role = CableEnd
			}
		}
	}
	n := s.network()
	gaps := 0
	for l := range n.Lines {
		line := &n.Lines[l]
		chainage := 0.0
		for i := line.First; i < line.End; i++ {
			require.Equal(t, math.Float64bits(chainage), math.Float64bits(n.ChainageM(l, i)), "%d of line %d", i, l)
			if i+1 < line.End {
				if n.next(line, i) < 0 {
					gaps++
				}
				chainage += n.leg(i, i+1).LengthM
			}
		}
	}
	require.Equal(t, 2, gaps)
}

// What many share is kept once, whoever keeps it first, and is found by its number while others keep more.
func TestSharedValuesAreKeptOnce(t *testing.T) {
	var o once[[2]int]
	n := &Network{Lines: make([]Line, 64)}
	numbers := make([][]uint32, len(n.Lines))
	require.NoError(t, n.eachLine(context.Background(), 8, everyLine, func(line int) {
		for i := range 200 {
			value := [2]int{i % 50, line % 3}
			at := o.keep(value)
			numbers[line] = append(numbers[line], at)
			if o.get(at) != value {
				t.Errorf("%v is kept as %v", value, o.get(at))
			}
		}
	}))
	require.Len(t, *o.values.Load(), 150)
	for line := range numbers {
		require.Equal(t, numbers[line%3], numbers[line])
	}
}
