package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// withExceptions is a result of two structures of one line with some exceptions on it.
func withExceptions(t *testing.T, exceptions ...Exception) *Result {
	t.Helper()
	s := newSketch(t)
	s.structure("L", "1", 0, 50)
	s.structure("L", "2", 0.004, 50)
	n := s.network()
	for i := range exceptions {
		exceptions[i].To, exceptions[i].Assembly = nowhere, nowhere
	}
	return &Result{Project: n.Project, Network: n, Checks: []*Check{{ID: "creepage"}, {ID: "swing"}}, Exceptions: exceptions}
}

func TestExceptionIDs(t *testing.T) {
	at := func(structure, check int, side Side) Exception {
		return Exception{Location: Location{Structure: structure, Side: side}, Check: check}
	}
	ids := withExceptions(t, at(0, 0, NoSide), at(1, 0, NoSide), at(0, 1, NoSide), at(0, 0, Back)).ExceptionIDs()
	for i, id := range ids {
		require.Len(t, id, idDigits)
		require.NotContains(t, ids[:i], id)
	}

	t.Run("the same whatever else falls short, and wherever its row stands", func(t *testing.T) {
		moved := at(1, 0, NoSide)
		moved.Check = 0
		require.Equal(t, ids[1], withExceptions(t, at(0, 1, Ahead), moved).ExceptionIDs()[1])
	})
	t.Run("two of one text are counted", func(t *testing.T) {
		twice := withExceptions(t, at(0, 0, NoSide), at(0, 0, NoSide)).ExceptionIDs()
		require.Equal(t, []string{ids[0], ids[0] + "-2"}, twice)
	})
}

func TestShared(t *testing.T) {
	require.Equal(t, 2, shared([32]byte{0xab, 0xc0}, [32]byte{0xab, 0xd1}))
	require.Zero(t, shared([32]byte{0xab}, [32]byte{0x1b}))
}
