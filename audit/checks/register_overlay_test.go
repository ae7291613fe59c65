package checks_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// told runs the audit and lists every verdict as structure, circuit, phase, side, outcome and reason by check.
func (b *base) told(check string) (verdicts []string) {
	n, err := audit.Arrange(b.Project)
	require.NoError(b.t, err)
	require.NoError(b.t, audit.Derive(context.Background(), n, 1))
	_, err = audit.Assess(context.Background(), n, checks.All(), audit.Options{Each: func(i int, at audit.Location, v audit.Verdict) {
		if checks.All()[i].ID != check || v.Outcome == audit.NotApplicable {
			return
		}
		text := "line"
		if at.Structure >= 0 {
			structure := n.Structure(at.Line, at.Structure)
			text = b.Texts.Get(structure.Number)
		}
		for _, part := range []string{b.Symbols.Text(at.Phase), at.Side.String(), v.Outcome.String(), v.Reason.String()} {
			if part != "" {
				text += " " + part
			}
		}
		verdicts = append(verdicts, text)
	}})
	require.NoError(b.t, err)
	slices.Sort(verdicts)
	return verdicts
}

// at keeps what is told of one structure.
func at(structure int, verdicts []string) []string {
	return slices.DeleteFunc(verdicts, func(v string) bool { return !strings.HasPrefix(v, fmt.Sprint(structure)+" ") })
}

func TestSuspensionHoldsNoSideOfACutConductor(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(b *base)
		want   []string
	}{
		{"every phase in tension behind and in suspension", func(b *base) {
			for _, phase := range []string{"A", "B", "C"} {
				b.assembly(4, phase, audit.Tension, audit.Back)
			}
		}, []string{"side-missing 4 ahead"}},
		{"one phase", func(b *base) {
			b.drop(func(row *audit.AssemblyRow) bool {
				return b.Texts.Get(row.Number) == "5" && row.Side == audit.Ahead && b.Symbols.Text(row.Phase) == "B"
			})
			b.assembly(5, "B", audit.Suspension, audit.NoSide)
		}, []string{"side-missing 5 B ahead"}},
		{"unlike phases", func(b *base) { // B hangs in suspension only, and is held on both sides by it
			b.drop(func(row *audit.AssemblyRow) bool {
				return b.Texts.Get(row.Number) == "5" && b.Symbols.Text(row.Phase) == "B"
			})
			b.assembly(5, "B", audit.Suspension, audit.NoSide)
		}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase(t)
			c.change(b)
			require.Equal(t, c.want, b.exceptions())
		})
	}
}
