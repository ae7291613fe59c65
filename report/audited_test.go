package report

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"
)

// A line of few hundred metres is no line of 0 km, in no output that says how much was audited.
func TestLengthAuditedInWords(t *testing.T) {
	for km, want := range map[float64]string{0: "0 km", 0.04: "40 m", 0.3: "0.3 km", 3.14: "3.1 km", 47.4: "47 km", 12345.6: "12\u202F346 km"} {
		require.Equal(t, want, lengthInWords(km))
	}
	r := judged(t, fixture(t))
	km := scopeOf(r).lengthKM
	require.NotEqual(t, grouped(int(km+0.5))+" km", kilometres(km), "no rounding would show")
	var out bytes.Buffer
	Summary(&out, r, nil, nil, "out")
	require.Contains(t, out.String(), " structures, "+kilometres(km)+"\n")
}
