package report

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// encoded is a value as encoding/json writes it without escapes for HTML.
func encoded(t require.TestingT, value any) string {
	var b bytes.Buffer
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	require.NoError(t, encoder.Encode(value))
	return strings.TrimSuffix(b.String(), "\n")
}

func TestTextIsWrittenAsEncodingJSONWritesIt(t *testing.T) {
	for _, text := range []string{"", "a b", "</script>&", `"\`, "\x00\x1f\b\f\n\r\t", "\x7f", "é", "\u2028\u2029", "a\u2028", "a\u2029", "a\xffb", "\uFFFD", "🗼", "\xed\xa0\x80"} {
		require.Equal(t, "before "+encoded(t, text), string(appendText([]byte("before "), text)), "%q", text)
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) })).Draw(t, "text")
		require.Equal(t, encoded(t, text), string(appendText(nil, text)))
	})
}

func TestNumbersAreWrittenAsEncodingJSONWritesThem(t *testing.T) {
	for _, x := range []float64{0, math.Copysign(0, -1), 1e-6, 9.9e-7, -1e-9, 5e-324, 1e21, 1e20, -1.5e22, 60.123456789, 179.998, math.MaxFloat64} {
		require.Equal(t, encoded(t, x), string(appendNumber(nil, x)))
	}
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64().Draw(t, "number")
		if !unknown(x) {
			require.Equal(t, encoded(t, x), string(appendNumber(nil, x)))
		}
	})
}

// Figures are written as strconv writes them, whether by whole numbers or not: any, those of few decimals, and those half way between two and next to it.
func TestFiguresAreWrittenAsStrconvWritesThem(t *testing.T) {
	same := func(t require.TestingT, x float64) {
		require.Equal(t, strconv.FormatFloat(x, 'f', -1, 64), string(appendShortest(nil, x)))
		for digits := range 13 {
			if math.Abs(x) >= 0.5*math.Pow10(-digits) {
				require.Equal(t, strconv.FormatFloat(x, 'f', digits, 64), string(appendDecimals(nil, x, digits)), "%v with %d decimals", x, digits)
			}
		}
	}
	for _, x := range []float64{0, math.Copysign(0, -1), 0.5, 1.5, 0.1, 0.05, 0.15, 9.5, 99.99995, 1e-7, 9.9999999, 56294995.3421311, 56294995.3421312, 56294995.3421313, 1 << 49, 1<<49 - 0.5, 1e15, 1e20} {
		same(t, x)
		same(t, -x)
	}
	random := rand.New(rand.NewPCG(3, 4))
	for range 20_000 {
		scale := math.Pow10(random.IntN(11))
		x := math.Round(random.Float64()*math.Pow10(random.IntN(14))) / scale
		for _, x := range []float64{x, x + 0.5/scale, math.Nextafter(x+0.5/scale, 0), math.Nextafter(x+0.5/scale, math.Inf(1)), math.Nextafter(x, 0), -x, random.Float64() * scale} {
			same(t, x)
		}
	}
	rapid.Check(t, func(t *rapid.T) { same(t, rapid.Float64Range(-1e16, 1e16).Draw(t, "figure")) })
}

func TestDecimals(t *testing.T) {
	for _, c := range []struct {
		x    float64
		want string
	}{
		{12.34567, "12.3457"}, {-0.00006, "-0.0001"}, {-0.00004, "0.0000"}, {math.Copysign(0, -1), "0.0000"}, {1e9, "1000000000.0000"},
		{math.NaN(), "null"}, {math.Inf(-1), "null"},
	} {
		require.Equal(t, c.want, encoded(t, metres(c.x)))
	}
	require.Equal(t, "-12.3456789012", encoded(t, degrees(-12.34567890123)))
	require.Equal(t, `["tension",null]`, encoded(t, []word{"tension", ""}))
}
