package report

import (
	"math"
	"reflect"
	"strconv"
	"testing"
	"unsafe"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// fill gives every field of a value a figure or text of its own.
func fill(t *testing.T, v reflect.Value, set *int) {
	v = reflect.NewAt(v.Type(), unsafe.Pointer(v.UnsafeAddr())).Elem()
	switch *set++; v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			fill(t, v.Field(i), set)
		}
	case reflect.Array:
		for i := range v.Len() {
			fill(t, v.Index(i), set)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		fill(t, v.Index(0), set) // and an empty one
	case reflect.String:
		v.SetString("text " + strconv.Itoa(*set%40))
	case reflect.Float64:
		v.SetFloat(float64(*set) + 0.1)
	case reflect.Int:
		v.SetInt(int64(-*set))
	case reflect.Uint8, reflect.Uint16:
		v.SetUint(uint64(*set))
	case reflect.Bool:
		v.SetBool(true)
	default:
		require.Fail(t, "no value for it", "%v", v.Type())
	}
}

func keep[T any](fields func(*packing, *T), list ...T) kept[T] {
	k := newKept(fields)
	for i := range list {
		k.add(&list[i])
	}
	k.close()
	return k
}

// What is packed of changes is all of them: no field is forgotten.
func TestChangesArePackedWhole(t *testing.T) {
	var want [3]scopeChange
	set := 0
	fill(t, reflect.ValueOf(&want[0]).Elem(), &set)
	fill(t, reflect.ValueOf(&want[2]).Elem(), &set)
	kept := keep((*packing).change, want[:]...)
	require.Less(t, len(kept.texts), 41, "each text once")
	seen := 0
	for i, c := range kept.each() {
		require.Equal(t, want[i], *c)
		seen++
	}
	require.Equal(t, len(want), seen)

	kept = keep((*packing).change, scopeChange{longerMM: math.NaN(), price: math.Inf(1), lowerMM: math.Copysign(0, -1), chainageM: math.Float64frombits(1 << 56)})
	for _, c := range kept.each() {
		require.True(t, math.IsNaN(c.longerMM) && math.IsInf(c.price, 1) && math.Signbit(c.lowerMM) && math.Float64bits(c.chainageM) == 1<<56)
	}
}

// Of coverage all is packed but what is left out on purpose, and it is put beside that of today again, however many pieces it takes.
func TestCoverageIsPackedWhole(t *testing.T) {
	want := make([]scopeCoverage, 20_000)
	today := &audit.Result{Lines: []audit.LineResult{{Coverage: make([]audit.Coverage, 3)}, {Coverage: make([]audit.Coverage, 3)}}}
	set := 0
	for i := range today.Lines {
		fill(t, reflect.ValueOf(&today.Lines[i].Coverage).Elem(), &set)
	}
	for i := range want {
		set %= math.MaxUint8 / 2 // no field takes more of them
		fill(t, reflect.ValueOf(&want[i]).Elem(), &set)
		want[i].line, want[i].check = i%2, i%3%2
		want[i].then.WorstMargin = 0
	}
	s := ScopeOf{coverage: keep((*packing).coverage, want...)}
	require.Greater(t, len(s.coverage.packed), 1)
	i := 0
	for c := range s.coverageBeside(today) {
		require.True(t, math.IsNaN(c.then.WorstMargin))
		c.then.WorstMargin = 0
		require.Equal(t, today.Lines[c.line].Coverage[c.check], c.today)
		c.today = want[i].today
		require.Equal(t, want[i], *c)
		i++
	}
	require.Equal(t, len(want), i)
}
