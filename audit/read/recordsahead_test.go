package read

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// longText is a text of rows of many kinds and widths, more than one batch of them.
func longText(rows int, end string) string {
	random := rand.New(rand.NewPCG(1, uint64(rows)))
	var b strings.Builder
	for i := range rows {
		switch random.IntN(12) {
		case 0:
			b.WriteString("\n")
		case 1:
			fmt.Fprintf(&b, "%d,\"quoted, and\nof two lines\",%d\n", i, i)
		case 2:
			b.WriteString(strings.Repeat("wide,", 60) + "\n")
		case 3:
			fmt.Fprintf(&b, "%d%s\r\n", i, strings.Repeat(",", random.IntN(3*cellsInBatch/recordsInBatch)))
		default:
			fmt.Fprintf(&b, "%d,a,%d,,c\n", i, random.IntN(1000))
		}
	}
	return b.String() + end
}

// Records that are read ahead are those that are read one by one, with what ends them, and stay as they are until the next is asked for.
func TestRecordsAhead(t *testing.T) {
	for name, text := range map[string]string{
		"one":         "a,b\n",
		"a batch":     strings.Repeat("a,b\n", recordsInBatch),
		"many":        longText(20*recordsInBatch, ""),
		"open":        longText(3*recordsInBatch, "x,y"),
		"an end mark": longText(3*recordsInBatch, "\x1a"),
		"not UTF-8":   longText(5*recordsInBatch, "\xff,b\n"),
		"no close":    longText(recordsInBatch, "\"never closed\n"),
		"long":        strings.Repeat(`"`+strings.Repeat("long ", 50_000)+"\",b\n", 20),
		"widest":      strings.Repeat("a,b\n"+strings.Repeat(",", 2*cellsInBatch)+"\n", 3),
	} {
		t.Run(name, func(t *testing.T) {
			one, err := newRecordReader(strings.NewReader(text), textEncoding{})
			require.NoError(t, err)
			records, err := newRecordReader(strings.NewReader(text), textEncoding{})
			require.NoError(t, err)
			var got, want row
			first, err := records.take(&got) // as the headings are
			require.NoError(t, err)
			require.True(t, first)
			more, err := one.take(&want)
			require.NoError(t, err)
			require.True(t, more)
			ahead := &textRows{records: records}
			stop := ahead.readAhead()
			for more {
				require.Equal(t, want, got)
				more, err = one.take(&want)
				is, failed := ahead.ahead.next(&got)
				require.Equal(t, more, is)
				require.Equal(t, err, failed)
			}
			is, failed := ahead.ahead.next(&got)
			require.False(t, is)
			require.Equal(t, err, failed)
			stop()
		})
	}
}

// Whoever stops before the end leaves nobody behind who reads.
func TestRecordsAheadStopped(t *testing.T) {
	for _, taken := range []int{0, 1, recordsInBatch + 1} {
		records, err := newRecordReader(strings.NewReader(longText(40*recordsInBatch, "")), textEncoding{})
		require.NoError(t, err)
		r := &textRows{records: records}
		stop := r.readAhead()
		var to row
		for range taken {
			more, err := r.ahead.next(&to)
			require.NoError(t, err)
			require.True(t, more)
		}
		stop()
		at := records.line
		more, err := records.take(&to)
		require.NoError(t, err)
		require.True(t, more)
		require.Greater(t, records.line, at)
	}
}
