package jsontext

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func FuzzDecimalAt(f *testing.F) {
	for _, seed := range []string{"0", "-0", "10.1234567", "-179.9999999", "123456789012345", "1234567890123456", "0.000000000000001", "1e22", "9007199254740993", ".5", "1.", "--1", "12345678.12345678", "1234567.12345678", "-0.0", "00.50000001", "123456789.5", "5.123456789", "1.5e3", "1.5.5", "1e999", "", "."} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if strings.Trim(text, "0123456789.-+eE") != "" {
			return
		}
		want, err := strconv.ParseFloat(text, 64)
		got, end, ok := DecimalAt([]byte(text), 0)
		require.Equal(t, err == nil, ok, text)
		require.Equal(t, len(text), end, text)
		if ok {
			require.Equal(t, math.Float64bits(want), math.Float64bits(got), text)
		}
		within := []byte(text + ",10.2]],[[3")
		want, wantEnd, wantOK := DecimalAt(within, 0)
		got, end, ok = coordinateAt(within, 0)
		require.Equal(t, wantOK, ok, text)
		require.Equal(t, wantEnd, end, text)
		require.Equal(t, math.Float64bits(want), math.Float64bits(got), text)
	})
}
