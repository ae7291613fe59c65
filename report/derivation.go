package report

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"dryarc/audit"
)

// Derivation prints the steps of a trace, one a line: what is found, the formula, the figures put in, the result, the
// source. With a pocket calculator every line can be done again.
func Derivation(w io.Writer, steps []audit.Step) {
	for _, step := range steps {
		line := "  " + step.Symbol + " = "
		if step.Formula != "" {
			line += step.Formula + " = "
		}
		line += Value(step.Result)
		var inputs []string
		for _, in := range step.Inputs {
			inputs = append(inputs, in.Symbol+" = "+Value(in.Value))
		}
		if len(inputs) > 0 {
			line += "   with " + strings.Join(inputs, ", ")
		}
		if step.Meaning != "" {
			line += "   (" + step.Meaning + ")"
		}
		if !step.Clause.IsZero() {
			line += "   [" + step.Clause.String() + "]"
		}
		fmt.Fprintln(w, Visible(line))
	}
}

// Value writes a figure with up to seven significant digits and its measure, a word as it is, and what is unknown as "unknown".
func Value(v audit.Value) string {
	if v.Word != "" {
		return v.Word
	}
	if math.IsNaN(v.Number) {
		return "unknown"
	}
	text := strconv.FormatFloat(v.Number, 'g', 7, 64)
	switch v.Measure {
	case "":
		return text
	case "deg":
		return text + "°"
	}
	return text + " " + v.Measure
}
