package checks_test

import (
	"slices"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// What two rows of one line, or two features of one structure, say differently is not known, whatever their order; what they say
// alike stands.
func TestOverlaysOfWhatStandsTwice(t *testing.T) {
	const faulty = "not assessed a field it needs is faulty"
	line := func(change func(later *audit.LineRow)) func(b *base, first bool) {
		return func(b *base, first bool) {
			later := b.Lines[0]
			later.Source.Row++
			change(&later)
			b.Lines = append(b.Lines, later)
			if first {
				slices.Reverse(b.Lines)
			}
		}
	}
	structure := func(change func(later *audit.StructureRow)) func(b *base, first bool) {
		return func(b *base, first bool) {
			later := b.Structures.At(3)
			later.Source.Row = 99
			change(&later)
			b.Structures.Append(later)
			if first {
				for i, k := 0, b.Structures.Len()-1; i < k; i, k = i+1, k-1 {
					first, last := b.Structures.At(i), b.Structures.At(k)
					b.Structures.Set(i, last)
					b.Structures.Set(k, first)
				}
			}
		}
	}
	for name, c := range map[string]struct {
		twice  func(b *base, first bool)
		check  string
		faulty []int  // structures at which nothing of the check is assessed; nil where every verdict is what it was
		fault  string // part of what is said
	}{
		"the same line": {line(func(*audit.LineRow) {}), "creepage", nil, "which says the same"},
		"nominal voltage of a line": {line(func(l *audit.LineRow) { l.NominalKV, l.HighestKV = l.NominalKV/2, l.HighestKV/2 }),
			"creepage", []int{1, 2, 3, 4, 5, 6, 7, 8, 9}, "nominal voltage "},
		"name of a line":        {line(func(l *audit.LineRow) { l.Name = l.Line }), "creepage", nil, "name "},
		"phases of a line":      {line(func(l *audit.LineRow) { l.Phases = phasesOf(t, "AB") }), "creepage", nil, "phases "},
		"phases that may lack":  {line(func(l *audit.LineRow) { l.Phases = phasesOf(t, "RST") }), "phase-missing", []int{3, 6}, "phases "},
		"the same structure":    {structure(func(*audit.StructureRow) {}), "tension-at-deviation", nil, "at the same place, which says the same"},
		"duty of a structure":   {structure(func(s *audit.StructureRow) { s.Duty = audit.Tension }), "declared-duty", []int{4}, "duty "},
		"ground of a structure": {structure(func(s *audit.StructureRow) { s.GroundM = 40 }), "tension-at-uplift", []int{3, 4, 5}, "ground level "},
		"place of a structure":  {structure(func(s *audit.StructureRow) { s.Lat += 0.001 }), "tension-at-deviation", []int{3, 5}, "where it stands is not known"},
	} {
		t.Run(name, func(t *testing.T) {
			plain := newBase(t).told(c.check)
			var told [2][]string
			for i, first := range []bool{false, true} {
				b := newBase(t)
				c.twice(b, first)
				told[i] = b.told(c.check)
				require.True(t, slices.ContainsFunc(b.Faults.List(), func(f audit.Fault) bool {
					return (f.Kind == audit.DuplicateRow || f.Kind == audit.RepeatedNumber) && strings.Contains(f.Expected, strings.TrimSpace(c.fault))
				}), "%v", b.Faults.List())
			}
			require.Equal(t, told[0], told[1], "whatever their order")
			if c.faulty == nil {
				require.NotEmpty(t, plain)
				require.Equal(t, plain, told[0])
				return
			}
			for _, number := range c.faulty {
				verdicts := at(number, slices.Clone(told[0]))
				require.NotEmpty(t, verdicts, number)
				for _, verdict := range verdicts {
					require.Contains(t, verdict, faulty)
				}
			}
		})
	}
}
