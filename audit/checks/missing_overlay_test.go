package checks_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// Beside a structure that may be missing nothing meets that rests on the spans there; what falls short stays.
func TestOverlaysOfAMissingStructure(t *testing.T) {
	const faulty, missing = "a field it needs is faulty", "a structure may be missing beside it"
	drop := func(b *base, number int) {
		var kept audit.StructureRows
		for _, row := range b.Structures.All() {
			if b.Texts.Get(row.Number) != string(rune('0'+number)) {
				kept.Append(row)
			}
		}
		b.Structures = kept
	}
	unplaced := func(line, number string, sequence float64) func(b *base) {
		return func(b *base) {
			drop(b, 7)
			b.drop(func(row *audit.AssemblyRow) bool { return b.Texts.Get(row.Number) == "7" })
			for i := range b.Structures.Len() {
				b.Structures.Row(i).Sequence = math.NaN()
			}
			b.UnplacedStructures = []audit.UnplacedStructure{{Line: line, Number: number, Sequence: sequence}}
		}
	}
	nan := math.NaN()
	for _, c := range []struct {
		name     string
		change   func(b *base)
		reason   string
		deviates []int // structures whose deviation is not assessed for it
	}{
		{"without a position", unplaced("L", "7", nan), faulty, []int{5, 6, 8, 9}},
		{"without a position or a number", unplaced("L", "", nan), faulty, []int{1, 2, 3, 4, 5, 6, 8, 9}},
		{"without a position or a line", unplaced("", "7", nan), faulty, []int{5, 6, 8, 9}},
		{"without a position, of another line", unplaced("M", "7", nan), faulty, nil},
		{"whose line is not known, of a number that the line has", unplaced("", "6", nan), faulty, nil},
		{"behind the end", unplaced("L", "12", nan), faulty, []int{5, 6, 8, 9}},
		{"of which the register has rows", func(b *base) { drop(b, 7) }, missing, []int{6, 8}},
		{"of whose sequence there is a gap", func(b *base) {
			drop(b, 7)
			b.drop(func(row *audit.AssemblyRow) bool { return b.Texts.Get(row.Number) == "7" })
		}, missing, []int{6, 8}},
		{"a row of a number of another kind", func(b *base) {
			text, err := b.Texts.Add("T7-X")
			require.NoError(b.t, err)
			b.rows(7)[0].Number = text
		}, missing, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, check := range []string{"tension-at-deviation", "strength"} {
				b := newBase(t)
				c.change(b)
				told := b.told(check)
				require.NotEmpty(t, told)
				for number := 1; number <= 9; number++ {
					doubted := slices.Contains(c.deviates, number)
					for _, verdict := range at(number, told) {
						if doubted && check == "tension-at-deviation" && c.reason == missing && strings.Contains(verdict, "stand") {
							continue // tension assemblies stand anywhere
						}
						require.Equal(t, doubted, strings.Contains(verdict, c.reason), "%s: %s", check, verdict)
					}
				}
			}
		})
	}
}

func TestOverlayOfAShortfallBesideAMissingStructure(t *testing.T) {
	b := newBase(t)
	var kept audit.StructureRows
	for i, row := range b.Structures.All() {
		if i != 6 {
			kept.Append(row)
		}
	}
	b.Structures = kept
	b.Structures.Row(6).Lat, b.Structures.Row(7).Lat = 50.001, 50.002
	require.Contains(t, b.exceptions(), "tension-at-deviation 6 A")
}
