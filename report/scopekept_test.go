package report

import (
	"math"
	"reflect"
	"strconv"
	"testing"
	"unsafe"

	"github.com/stretchr/testify/require"
)

// What is packed of changes is all of them: no field is forgotten.
func TestChangesArePackedWhole(t *testing.T) {
	var want [3]scopeChange
	set := 0
	var fill func(v reflect.Value)
	fill = func(v reflect.Value) {
		v = reflect.NewAt(v.Type(), unsafe.Pointer(v.UnsafeAddr())).Elem()
		switch set++; v.Kind() {
		case reflect.Struct:
			for i := range v.NumField() {
				fill(v.Field(i))
			}
		case reflect.Array:
			for i := range v.Len() {
				fill(v.Index(i))
			}
		case reflect.Slice:
			v.Set(reflect.MakeSlice(v.Type(), 2, 2))
			fill(v.Index(0)) // and an empty one
		case reflect.String:
			v.SetString("text " + strconv.Itoa(set%40))
		case reflect.Float64:
			v.SetFloat(float64(set) + 0.1)
		case reflect.Int:
			v.SetInt(int64(-set))
		case reflect.Uint16:
			v.SetUint(uint64(set))
		case reflect.Bool:
			v.SetBool(true)
		default:
			require.Fail(t, "no value for it", "%v", v.Type())
		}
	}
	fill(reflect.ValueOf(&want[0]).Elem())
	fill(reflect.ValueOf(&want[2]).Elem())
	kept := packChanges(want[:])
	require.Less(t, len(kept.texts), 41, "each text once")
	seen := 0
	for i, c := range kept.each() {
		require.Equal(t, want[i], *c)
		seen++
	}
	require.Equal(t, len(want), seen)

	kept = packChanges([]scopeChange{{longerMM: math.NaN(), price: math.Inf(1), lowerMM: math.Copysign(0, -1)}})
	for _, c := range kept.each() {
		require.True(t, math.IsNaN(c.longerMM) && math.IsInf(c.price, 1) && math.Signbit(c.lowerMM))
	}
}
