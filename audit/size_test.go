package audit

import (
	"testing"
	"unsafe"

	"github.com/stretchr/testify/require"
)

// What there are millions of stays as small as it is: a field too much costs as many bytes for each.
func TestSizeOfRows(t *testing.T) {
	require.LessOrEqual(t, unsafe.Sizeof(station{})+unsafe.Sizeof(course{})+unsafe.Sizeof(profile{})+unsafe.Sizeof(surroundings{}), uintptr(60))
	require.LessOrEqual(t, unsafe.Sizeof(ownStructure{}), uintptr(48))
	require.LessOrEqual(t, unsafe.Sizeof(saidStructure{}), uintptr(40)) // of structures that each say something else
	require.LessOrEqual(t, unsafe.Sizeof(ownRow{}), uintptr(36))
	require.LessOrEqual(t, unsafe.Sizeof(RowSaid{}), uintptr(40)) // of rows that each say something else
}
