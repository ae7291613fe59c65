package report

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// What exceptions write of themselves is what encoding/json would write of them.
func TestExceptionsWriteTheirJSONAsTheEncoderDoes(t *testing.T) {
	plain := func(v any) string {
		var b bytes.Buffer
		encoder := json.NewEncoder(&b)
		encoder.SetEscapeHTML(false)
		require.NoError(t, encoder.Encode(v))
		return strings.TrimSuffix(b.String(), "\n")
	}
	texts := []string{"", "13 × U120B < 14", "a\"b\\c\nd\x01\x7f", "\xff\xfe", "\u2028 and \u2029", "кабель\u202e", "<&>"}
	for _, text := range texts {
		require.Equal(t, plain(text), string(appendText(nil, text)), "%q", text)
	}
	at := place{-3.25, 1e-7}
	for i, text := range texts {
		rec := record{
			statement: statement{ID: text, Check: "creepage", Severity: "shortfall", Line: text, Structure: "7", StructureTo: text, Circuit: "1", Phase: "A", Side: text,
				Observed: figure{Number: []float64{0, 1.5, 1e-9, 1e21, math.NaN(), -2, 3}[i]}, Required: figure(audit.Value{Word: text}),
				Measure: "mm", Margin: number([]float64{math.NaN(), -0.25, 1e-7, 0, math.Inf(1), 2, 3}[i]), Reason: text},
			Remedy: text, State: "new", FirstSeen: "2026-01-01",
		}
		require.Equal(t, plain(rec), string(append(rec.appendMembers(nil), '}')))
		rec.At = &origin{text, text, math.MaxUint32}
		require.Equal(t, plain(rec), string(append(rec.appendMembers(nil), '}')))
		for _, beside := range []bool{false, true} {
			e := scopeException{rec, beside}
			require.Equal(t, plain(e), string(e.appendJSON(nil)))
		}
		for _, e := range []auditException{
			{record: rec},
			{record: rec, Position: &at, PositionTo: &at, Stated: "a", Rests: text, Blank: "b", Rule: text, Was: differing{"line": text, "margin": number(2)}, Decision: &decided{}},
			{record: rec, PositionTo: &at, Blank: text, Was: differing{}},
		} {
			require.Equal(t, plain(e), string(e.appendJSON(nil)))
		}
	}
}
