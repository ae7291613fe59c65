//go:build unix

package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"testing"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/stretchr/testify/require"
)

// BenchmarkDecisions reads a file of decisions, says what they are worth and writes the file anew: of 100 000 structures with a decision
// on each exception, and with one on each structure; of 11 112 with 100 000 exceptions a decision on each, and 10 000 on ids that are none.
// Beside that it reports what the sheets ask of each exception and structure.
func BenchmarkDecisions(b *testing.B) {
	for _, night := range []struct {
		name       string
		structures int
		units      int16 // of every string, 0 as they are
		of         string
	}{{"few", 100_000, 0, "exceptions"}, {"structures", 100_000, 0, "structures"}, {"each", 11_112, 7, "exceptions"}, {"unmatched", 11_112, 7, "nothing"}} {
		b.Run(night.name, func(b *testing.B) {
			r := judged(b, project(b, options{CSV: true}, night.structures), night.units)
			changes, ids := history.Alone(r), r.ExceptionIDs()
			var file bytes.Buffer
			out := csv.NewWriter(&file)
			require.NoError(b, out.Write([]string{"exception", "line", "structure", "check", "decision", "until", "reason"}))
			count := 0
			decide := func(id, line, structure, check string) {
				require.NoError(b, out.Write([]string{id, line, structure, check, "accept", "2027-05-31", fmt.Sprintf("reason %d", count)}))
				count++
			}
			switch night.of {
			case "exceptions":
				for i, id := range ids {
					key := r.Key(i)
					decide(id, key.Line, key.Structure, key.Check)
				}
			case "structures":
				for l := range r.Network.Lines {
					for i := r.Network.Lines[l].First; i < r.Network.Lines[l].End; i++ {
						at := audit.AtStructure(l, i)
						key := r.KeyOf(0, &at, 0)
						decide("", key.Line, key.Structure, "")
					}
				}
			case "nothing":
				for range 10_000 {
					decide(fmt.Sprintf("%012x", count), "", "", "")
				}
			}
			out.Flush()
			before := processorSeconds(b)
			for b.Loop() {
				store, err := history.ParseStore(file.Bytes())
				require.NoError(b, err)
				changes.Decided = store.Decide(r, changes)
				require.NotEmpty(b, store.Text())
			}
			b.ReportMetric((processorSeconds(b)-before)/float64(b.N), "cpu-s/op")
			b.ReportMetric(asked(b, r, changes.Decided), "cpu-s-asked")
			b.ReportMetric(float64(count), "decisions")
			b.ReportMetric(float64(len(ids)), "exceptions")
		})
	}
}

// asked asks what the sheets ask of each exception and structure, and says how many seconds of the processors that takes.
func asked(b *testing.B, r *audit.Result, d *history.Decided) float64 {
	before, seen := processorSeconds(b), map[[2]string]bool{}
	for i := range r.Exceptions {
		d.Mark(d.Filled(i), []int{i}, history.Place{})
		if key := r.Key(i); !seen[[2]string{key.Line, key.Structure}] {
			seen[[2]string{key.Line, key.Structure}] = true
			d.OfStructure(key.Line, key.Structure)
			d.MarkOfStructure(d.FilledOfStructure(key.Line, key.Structure), key.Line, key.Structure)
		}
	}
	return processorSeconds(b) - before
}
