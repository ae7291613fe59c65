package remedy

import (
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// What a row states of a test is of the string that hangs there, and says something of others too: where it is less than table or formula give, they are believed
// of another string only in the same share. What cannot be read may be less than the type has, and is no better known of the same units.

// testCells are the cells of a row that state what a string was tested to withstand.
const testCells = audit.Cells(1<<audit.CellTested | 1<<audit.CellTestedWet | 1<<audit.CellLimits)

// statedTests are the cells of tests that figures state.
func statedTests(f *audit.DirectValues) (cells audit.Cells) {
	if !math.IsNaN(f.LightningKV) {
		cells = cells.With(audit.CellTested)
	}
	if !math.IsNaN(f.SwitchingKV) || !math.IsNaN(f.WetSwitchingKV) {
		cells = cells.With(audit.CellLimits)
	}
	if !math.IsNaN(f.WetKV) {
		cells = cells.With(audit.CellTestedWet)
	}
	return cells
}

// forgetTests takes what figures state of tests for unreadable.
func forgetTests(to *audit.TrialRow, f *audit.DirectValues) {
	to.Row.Faulty |= statedTests(f)
	f.LightningKV, f.SwitchingKV, f.WetKV, f.WetSwitchingKV = math.NaN(), math.NaN(), math.NaN(), math.NaN()
}

// saidOfString is what every row of a member, of which the first says what is given, says of it that states figures of its own or cannot be read.
func (b *bench) saidOfString(m *audit.TrialRow, first *audit.Assembly) (all []audit.Assembly) {
	if isBound(first) {
		all = append(all, *first)
	}
	for _, row := range b.repeats(m.At) {
		if a := b.site.Assembly(&audit.TrialRow{At: row, Row: b.network.Project.Assemblies.At(row)}); isBound(&a) {
			all = append(all, a)
		}
	}
	return all
}

// unread are the cells of rows of a member that cannot be read of strings of a unit: what they may say holds for the same units hung anew.
func (q *ask) unread(i int, unit *basis.Unit) (cells audit.Cells) {
	if i >= len(q.said) {
		return 0
	}
	for k := range q.said[i] {
		if said := &q.said[i][k]; isOf(said, unit) {
			cells |= said.Faulty & (1<<audit.CellCreepage | 1<<audit.CellRating | testCells)
		}
	}
	return cells
}

// hidden are the cells of tests that are to be taken as unreadable of a string which takes the place of a member, since table or formula would judge it by what they may not give
// there. Of the wet withstand, which is sought only where advisories are to be mended, it is so too where the share that is known is not enough.
func (b *bench) hidden(q *ask, i int, to *audit.TrialRow) (cells audit.Cells) {
	if i >= len(q.said) || len(q.said[i]) == 0 {
		return 0
	}
	c, asm := b.site.Criteria(), b.site.Assembly(to)
	for k := range q.said[i] {
		test := &q.said[i][k]
		for shape, cell := range audit.TestedCells {
			shape := audit.Shape(shape)
			if test.HidesTest(&asm, shape, c) || shape == audit.Wet && b.want < audit.Advisory && test.HeldToTestKV(&asm, shape, c) < b.site.RequiredKV(shape) {
				cells |= 1 << cell
			}
		}
	}
	return cells
}

// testedLess says that a string would be judged by the table or the formula, of which what hangs there was tested to have a share that is not enough of this one.
func (b *bench) testedLess(q *ask, asm *audit.Assembly) string {
	c := b.site.Criteria()
	for _, tests := range q.said {
		for i := range tests {
			for shape, name := range [...]string{"lightning impulse", "switching impulse", "wet power frequency"} {
				if shape := audit.Shape(shape); shape != audit.Wet || b.want >= audit.Advisory {
					held, required := tests[i].HeldToTestKV(asm, shape, c), b.site.RequiredKV(shape)
					if held < required {
						return fmt.Sprintf("%s withstands %.0f kV of %s by table or formula, which give more for %s, which hangs there, than its tested %.0f kV; in the same share it has %.0f kV, and %.0f kV is needed. Look first whether that value is right, or enter a tested one of what would serve",
							asm.Hanging(), asm.Withstand(shape, asm.UnitsPerString, c).KV, name, tests[i].Hanging(), tests[i].Withstand(shape, tests[i].UnitsPerString, c).KV, held, required)
					}
				}
			}
		}
	}
	return ""
}
