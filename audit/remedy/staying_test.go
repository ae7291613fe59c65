package remedy_test

import (
	"fmt"
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// states gives a row figures of its own.
func states(p *audit.Project, row *audit.AssemblyRow, figures func(d *audit.DirectValues)) {
	d := audit.UnknownDirectValues()
	figures(&d)
	p.Direct = append(p.Direct, d)
	row.Direct = uint32(len(p.Direct))
}

// unreadable makes cells of a row unknown.
func unreadable(row *audit.AssemblyRow, cells ...audit.Cell) {
	for _, cell := range cells {
		row.Faulty = row.Faulty.With(cell)
		switch cell {
		case audit.CellDefective:
			row.Defective = -1
		case audit.CellStrings:
			row.Strings = -1
		case audit.CellUnitsPerString:
			row.UnitsPerString = -1
		}
	}
}

// Class c wants 2903 mm at Um 145 kV, which 10 × U120B of 295 mm have (computed from IEC TS 60815-1:2008). Structure 7 holds 30 kN with a
// factor of 2 where loads are given.
func TestWhatIsSaidOfAStringHoldsAsLongAsItsUnitsHang(t *testing.T) {
	for name, c := range map[string]struct {
		change func(p *audit.Project)
		want   string                        // move, what to hang, to fit, to remove, whether more is removed than is counted
		row    func(p *audit.Project) string // of what the row says after the work
		says   string
		open   string // a check that is named as open
	}{
		"a rating that is too low": { // which new units of the type have no better: 3 × 40 kN, of which one may break
			func(p *audit.Project) {
				loaded(p, 30)
				states(p, rowsAt(p, "7")[0], func(d *audit.DirectValues) { d.RatingKN = 40 })
			},
			"more strings side by side 3 strings of 10 × U120B [{U120B 60}] [] false", rating("7"), "40 kN", "",
		},
		"a rating that will do, and too few units": {
			func(p *audit.Project) {
				loaded(p, 30)
				row := rowsAt(p, "7")[0]
				row.UnitsPerString = 9
				states(p, row, func(d *audit.DirectValues) { d.RatingKN = 70 })
			},
			"more units 10 × U120B [{U120B 1}] [] false", rating("7"), "70 kN", "",
		},
		"a rating above that of the units added": {
			func(p *audit.Project) {
				row := rowsAt(p, "3")[0]
				row.UnitsPerString = 9
				states(p, row, func(d *audit.DirectValues) { d.RatingKN = 300 })
			},
			"more units 10 × U120B [{U120B 1}] [] false", rating("3"), "120 kN", "",
		},
		"a rating that will do, with sound units for a defective one": {
			func(p *audit.Project) {
				row := rowsAt(p, "3")[0]
				row.Defective = 1
				states(p, row, func(d *audit.DirectValues) { d.RatingKN = 300 })
			},
			"sound units for defective ones 10 × U120B [{U120B 1}] [{U120B 1}] false", rating("3"), "120 kN", "",
		},
		"a creepage that is too short": { // 12 × 250 mm
			func(p *audit.Project) {
				states(p, rowsAt(p, "3")[0], func(d *audit.DirectValues) { d.CreepageMM = 2500 })
			},
			"more units 12 × U120B [{U120B 6}] [] false", creepage("3"), "3000 mm", "",
		},
		"a creepage that is too short, by rows of which another has fewer units": { // 12 × 250 mm
			func(p *audit.Project) {
				row := rowsAt(p, "3")[0]
				states(p, row, func(d *audit.DirectValues) { d.CreepageMM = 2500 })
				alsoSaid(p, row, func(other *audit.AssemblyRow) { other.UnitsPerString, other.Direct = 9, 0 })
			},
			"new units for all that hang there 12 × U120B [{U120B 16}] [] true", creepage("3"), "3000 mm", "",
		},
		"a rod of less creepage than its type": {
			func(p *audit.Project) {
				addRod(p)
				for _, row := range rowsAt(p, "3") {
					row.Makeup, row.UnitsPerString = makeupOf(p, "ROD"), 1
					states(p, row, func(d *audit.DirectValues) { d.CreepageMM = 2500 })
				}
				p.Units[unitNumber(p, "U120B")].Stocked = false
			},
			"", nil, "contradict each other, look first which is right: 1 × ROD is stated with 2500 mm of creepage, and its units have 4700 mm by their type.", "",
		},
		"a tested withstand that is too low, in another duty": {
			func(p *audit.Project) {
				p.Lines[0].LightningKV = 650
				for _, row := range rowsAt(p, "7") {
					row.Duty, row.Side = audit.Suspension, audit.NoSide
					states(p, row, func(d *audit.DirectValues) { d.LightningKV = 600 })
				}
			},
			"", nil, "cannot be judged: what is stated of a test is of what hangs there, and a tested value of another string has to be stated. The register and the type contradict each other", "lightning-withstand",
		},
		"defective units of the worst of two strings": {
			func(p *audit.Project) {
				loaded(p, 10)
				row := rowsAt(p, "3")[0]
				row.Defective, row.Strings, row.Arrangement = 2, 2, audit.Parallel
			},
			"sound units for defective ones 2 strings of 10 × U120B [{U120B 2}] [{U120B 2}] false", defective("3"), "-1 defective, not known", "strength",
		},
		"defective units of the worst leg of a V set": {
			func(p *audit.Project) {
				row := rowsAt(p, "3")[0]
				row.Defective, row.Strings, row.Arrangement, row.VAngleDeg = 2, 2, audit.VSet, 90
			},
			"sound units for defective ones 2 strings of 10 × U120B, a V set of 90° [{U120B 2}] [{U120B 2}] false", defective("3"), "-1 defective, not known", "sound-units",
		},
		"a post that counts more defective units than it is": {
			func(p *audit.Project) {
				loaded(p, 10)
				p.Criteria.PinDeviationLimitDeg = audit.Stated(2)
				addRod(p)
				post := &p.Units[unitNumber(p, "ROD")]
				post.Kind, post.Stocked, post.CantileverKN, post.CompressionKN = basis.Post, false, 60, 60
				for _, row := range rowsAt(p, "3") {
					row.Duty, row.Makeup, row.UnitsPerString, row.Defective, row.Mounting = audit.Post, makeupOf(p, "ROD"), -1, 12, audit.Upright
				}
			},
			"", nil, "counts 12 defective units", "strength",
		},
		"discs that are said to be a post, and too few": { // 9 of the 10 that serve as a string
			func(p *audit.Project) {
				for _, row := range rowsAt(p, "3") {
					row.Duty, row.UnitsPerString = audit.Post, 9
				}
			},
			"", nil, "Its duty (post) and its unit (9 × U120B) contradict each other, look first which is right.", "",
		},
		"a length with units added": { // 1400 + 1 × 146 mm, fittings and all
			func(p *audit.Project) {
				row := rowsAt(p, "3")[0]
				row.UnitsPerString = 9
				states(p, row, func(d *audit.DirectValues) { d.LengthMM = 1400 })
			},
			"more units 10 × U120B [{U120B 1}] [] false", length("3"), "1546 mm", "",
		},
		"a tested withstand that is too low": {
			func(p *audit.Project) {
				p.Lines[0].LightningKV = 650
				states(p, rowsAt(p, "3")[0], func(d *audit.DirectValues) { d.LightningKV = 600 })
			},
			"", nil, "contradict each other, look first which is right: 10 × U120B is stated with 600 kV of lightning impulse withstand", "lightning-withstand",
		},
		"a tested withstand that is too low, of a unit beside which others are in stock": { // of the 894.3 kV of the table 600: of 976.0 kV of 11 discs 655 (computed)
			func(p *audit.Project) {
				otherInStock(p)
				p.Lines[0].LightningKV = 650
				states(p, rowsAt(p, "3")[0], func(d *audit.DirectValues) { d.LightningKV = 600 })
			},
			"another unit 11 × U120BP [{U120BP 33}] [{U120B 30}] false", tested("3"), "NaN kV", "",
		},
		"a tested withstand that is less than the table's and will do, and too little creepage": { // of the 812.6 kV of 9 discs 600: 8 discs, whose creepage would do, have 540 kV in that share (computed)
			func(p *audit.Project) {
				otherInStock(p)
				p.Lines[0].LightningKV = 550
				rowsAt(p, "3")[0].UnitsPerString = 9
				states(p, rowsAt(p, "3")[0], func(d *audit.DirectValues) { d.LightningKV = 600 })
			},
			"another unit 9 × U120BP [{U120BP 27}] [{U120B 29}] false", nil, "", "",
		},
		"the same in a row that says it of the same assembly later": {
			func(p *audit.Project) {
				otherInStock(p)
				p.Lines[0].LightningKV = 650
				alsoSaid(p, rowsAt(p, "3")[0], func(other *audit.AssemblyRow) {
					states(p, other, func(d *audit.DirectValues) { d.LightningKV = 600 })
				})
			},
			"another unit 11 × U120BP [{U120BP 33}] [{U120B 30}] false", nil, "", "",
		},
		"a tested withstand of switching impulse that is too low, not said to be wet": { // of 1060.9 kV by the formula 900: of 1096 kV of 21 discs 930, of 1130 kV of 22 discs 959 (computed)
			func(p *audit.Project) { inRangeTwo(p, func(d *audit.DirectValues) { d.SwitchingKV = 900 }) },
			"another unit 22 × U120BP [{U120BP 66}] [{U120B 60}] false", nil, "", "",
		},
		"the same where the line allows no longer string": {
			func(p *audit.Project) {
				inRangeTwo(p, func(d *audit.DirectValues) { d.SwitchingKV = 900 })
				p.Lines[0].LongestStringMM = 2920
			},
			"", nil, "Look first whether that value is right, or enter a tested one of what would serve. The register and the type contradict each other, look first which is right: 20 × U120B is stated with 900 kV", "switching-withstand",
		},
		"a tested wet withstand of switching impulse that is too low": { // 20 discs have 1060.9 kV by the formula of dry gaps, other ones as well (computed)
			func(p *audit.Project) { inRangeTwo(p, func(d *audit.DirectValues) { d.WetSwitchingKV = 900 }) },
			"", nil, "by the formula of dry gaps alone, and 20 × U120B, which hangs there, has 900 kV wet", "switching-withstand",
		},
		"a tested wet withstand of switching impulse that is more than the formula gives, and too few units": {
			func(p *audit.Project) {
				inRangeTwo(p, func(d *audit.DirectValues) { d.WetSwitchingKV = 930 })
				rowsAt(p, "3")[0].UnitsPerString = 16 // 913.8 kV
			},
			"another unit 20 × U120BP [{U120BP 60}] [{U120B 56}] false", nil, "", "",
		},
		"a tested withstand that is too low by the criteria of the line": { // a gap of 1250 mm has 678.5 kV by them, and 637.1 kV by those of the project (computed)
			func(p *audit.Project) {
				addRod(p)
				p.Units[unitNumber(p, "ROD")].ArcingMM = 1250
				p.Units[unitNumber(p, "U120B")].Stocked = false
				for _, row := range rowsAt(p, "3") {
					row.Makeup, row.UnitsPerString = makeupOf(p, "ROD"), 1
					states(p, row, func(d *audit.DirectValues) { d.LightningKV = 640 })
				}
				p.Lines[0].LightningKV, p.Criteria.GapFactor = 650, audit.Stated(1)
				rules := audit.Rules{Lines: []audit.Symbol{p.Lines[0].Line}, Criteria: p.Criteria, Keys: []string{"gap_factor"}}
				rules.Criteria.GapFactor = audit.Stated(1.25)
				p.Rules = append(p.Rules, rules)
			},
			"", nil, "contradict each other, look first which is right: 1 × ROD is stated with 640 kV of lightning impulse withstand, and its units have 678 kV by their type.", "",
		},
		"a tested withstand, and too few units": {
			func(p *audit.Project) {
				row := rowsAt(p, "3")[0]
				row.UnitsPerString = 9
				states(p, row, func(d *audit.DirectValues) { d.SwitchingKV = 600 })
			},
			"more units 10 × U120B [{U120B 1}] [] false", tested("3"), "NaN kV, not known", "",
		},
		"horns stay with the fittings": { // a gap of 1100 mm withstands less than 650 kV however many discs are beside it
			func(p *audit.Project) {
				p.Lines[0].LightningKV = 650
				states(p, rowsAt(p, "3")[0], func(d *audit.DirectValues) { d.ArcingMM = 1100 })
			},
			"", nil, "The gap of the arcing horns, 1100 mm, governs however long the string is; setting them wider is not sought.", "lightning-withstand",
		},
		"horns of a string that is made shorter": { // from 1460 to 1168 mm
			tooLong, "fewer units 8 × U120B [] [{U120B 2}] false", arcing("3"), "NaN mm, not known", "",
		},
		"horns of a string that is made shorter, and a level": {
			func(p *audit.Project) {
				p.Lines[0].LightningKV = 550
				tooLong(p)
			},
			"", nil, "lightning-withstand of 8 × U120B cannot be judged: what is stated of the arcing distance is of what hangs there, and that of another string has to be stated", "",
		},
		"horns of a string that is made shorter, a test of it, and a level": {
			func(p *audit.Project) {
				p.Lines[0].LightningKV = 550
				tooLong(p)
				p.Direct[len(p.Direct)-1].LightningKV = 600
			},
			"", nil, "cannot be judged: what is stated of the arcing distance is of what hangs there, and that of another string has to be stated; what is stated of a test is of what hangs there, and a tested value", "",
		},
		"horns of a string that other units make shorter": {
			func(p *audit.Project) {
				p.Lines[0].LightningKV = 550
				p.Units[unitNumber(p, "U120B")].Stocked = false
				stocked(p, 10, "U120BP")
				tooLong(p)
			},
			"", nil, "U120BP cannot be judged", "",
		},
		"horns that may be set for a longer string, of which another row tells": { // 900 mm beside 6 or 11 units
			func(p *audit.Project) {
				otherInStock(p)
				row := rowsAt(p, "3")[0]
				row.UnitsPerString = 6
				states(p, row, func(d *audit.DirectValues) { d.ArcingMM = 900 })
				alsoSaid(p, row, func(other *audit.AssemblyRow) { other.UnitsPerString = 11 })
			},
			"another unit 11 × U120BP [{U120BP 33}] [{U120B 20}] true", arcing("3"), "900 mm", "",
		},
		"horns of which only another row tells": {
			func(p *audit.Project) {
				otherInStock(p)
				row := rowsAt(p, "3")[0]
				row.UnitsPerString = 6
				alsoSaid(p, row, func(other *audit.AssemblyRow) {
					states(p, other, func(d *audit.DirectValues) { d.ArcingMM = 900 })
				})
			},
			"another unit 10 × U120BP [{U120BP 30}] [{U120B 26}] false", arcing("3"), "NaN mm, not known", "",
		},
		"horns of which rows say different things": {
			func(p *audit.Project) {
				otherInStock(p)
				row := rowsAt(p, "3")[0]
				row.UnitsPerString = 6
				states(p, row, func(d *audit.DirectValues) { d.ArcingMM = 900 })
				alsoSaid(p, row, func(other *audit.AssemblyRow) {
					states(p, other, func(d *audit.DirectValues) { d.ArcingMM = 800 })
				})
			},
			"another unit 10 × U120BP [{U120BP 30}] [{U120B 26}] false", arcing("3"), "NaN mm, not known", "",
		},
		"horns of which rows say one thing": {
			func(p *audit.Project) {
				otherInStock(p)
				row := rowsAt(p, "3")[0]
				row.UnitsPerString = 6
				states(p, row, func(d *audit.DirectValues) { d.ArcingMM = 800 })
				alsoSaid(p, row, func(other *audit.AssemblyRow) { other.UnitsPerString = 5 })
			},
			"another unit 10 × U120BP [{U120BP 30}] [{U120B 20}] true", arcing("3"), "800 mm", "",
		},
		"an arcing distance of the strings themselves, of which rows say one thing": { // of 6 units 876 mm
			func(p *audit.Project) {
				otherInStock(p)
				row := rowsAt(p, "3")[0]
				row.UnitsPerString = 6
				states(p, row, func(d *audit.DirectValues) { d.ArcingMM = 900 })
				alsoSaid(p, row, func(other *audit.AssemblyRow) { other.UnitsPerString = 5 })
			},
			"another unit 10 × U120BP [{U120BP 30}] [{U120B 20}] true", arcing("3"), "NaN mm", "",
		},
		"an arcing distance of the string itself, and too few units": { // 1030 + 3 × 146 mm; a gap of 1030 mm withstands less than 650 kV
			ownArcing(func(d *audit.DirectValues) { d.ArcingMM = 1030 }), "more units 10 × U120B [{U120B 3}] [] false", arcing("3"), "1468 mm", "",
		},
		"an arcing distance of just the units": {
			ownArcing(func(d *audit.DirectValues) { d.ArcingMM = 1022 }), "more units 10 × U120B [{U120B 3}] [] false", arcing("3"), "1460 mm", "",
		},
		"an arcing distance of the string itself, whose units are somewhat longer by its length": { // which becomes 1029 × 10 / 7 mm
			ownArcing(func(d *audit.DirectValues) { d.LengthMM, d.ArcingMM = 1029, 1029 }), "more units 10 × U120B [{U120B 3}] [] false", arcing("3"), "1470 mm", "",
		},
		"an arcing distance that is that of the string with its fittings": {
			ownArcing(func(d *audit.DirectValues) { d.LengthMM, d.ArcingMM = 1200, 1200 }), "more units 10 × U120B [{U120B 3}] [] false", arcing("3"), "1638 mm", "",
		},
		"one that is less, and more than its units": {
			ownArcing(func(d *audit.DirectValues) { d.LengthMM, d.ArcingMM = 1200, 1100 }), "", nil,
			"Whether the 1100 mm that the register states as the arcing distance of 7 × U120B are between arcing horns, which stay, or of the string itself is not known.", "lightning-withstand",
		},
		"one of a string whose length cannot be read": {
			func(p *audit.Project) {
				ownArcing(func(d *audit.DirectValues) { d.ArcingMM = 1030 })(p)
				unreadable(rowsAt(p, "3")[0], audit.CellLength)
			},
			"more units 10 × U120B [{U120B 3}] [] false", arcing("3"), "1030 mm", "lightning-withstand",
		},
		"an arcing distance of the string itself, and a test of it": { // 7 discs have 645.9 kV (computed)
			ownArcing(func(d *audit.DirectValues) { d.ArcingMM, d.LightningKV = 1030, 646 }),
			"new units for all that hang there 10 × U120B [{U120B 10}] [{U120B 7}] false", arcing("3"), "NaN mm", "",
		},
		"an arcing distance of the string itself, and a test of it that is less than its units have": {
			ownArcing(func(d *audit.DirectValues) { d.ArcingMM, d.LightningKV = 1030, 600 }),
			"", nil, "contradict each other, look first which is right: 7 × U120B is stated with 600 kV", "lightning-withstand",
		},
		"an arcing distance of the string itself, and another unit in stock": {
			func(p *audit.Project) {
				otherInStock(p)
				ownArcing(func(d *audit.DirectValues) { d.ArcingMM = 1030 })(p)
			},
			"another unit 8 × U120BP [{U120BP 24}] [{U120B 27}] false", arcing("3"), "NaN mm", "",
		},
		"an arcing distance of the strings of a V set": {
			func(p *audit.Project) {
				row := rowsAt(p, "3")[0]
				p.Lines[0].FittingsMM = 300
				row.Strings, row.Arrangement, row.VAngleDeg = 2, audit.VSet, 90
				ownArcing(func(d *audit.DirectValues) { d.ArcingMM = 1030 })(p)
			},
			"more units 2 strings of 10 × U120B, a V set of 64.16° [{U120B 6}] [] false", arcing("3"), "1468 mm", "",
		},
		"an arcing distance of the string itself, with sound units for defective ones": {
			func(p *audit.Project) {
				row := rowsAt(p, "3")[0]
				row.Defective = 2
				states(p, row, func(d *audit.DirectValues) { d.ArcingMM = 1500 })
			},
			"sound units for defective ones 10 × U120B [{U120B 2}] [{U120B 2}] false", arcing("3"), "1500 mm", "",
		},
		"an arcing distance of a string that is made shorter": {
			func(p *audit.Project) {
				tooLong(p)
				p.Direct[len(p.Direct)-1].ArcingMM = 1500
			},
			"fewer units 8 × U120B [] [{U120B 2}] false", arcing("3"), "NaN mm, not known", "",
		},
		"an arcing distance of one of the strings that hang side by side": { // 3 × 120 kN, of which one may break
			func(p *audit.Project) {
				loaded(p, 30)
				states(p, rowsAt(p, "7")[0], func(d *audit.DirectValues) { d.RatingKN, d.ArcingMM = 40, 1500 })
			},
			"more strings side by side 3 strings of 10 × U120B [{U120B 60}] [] false", arcing("7"), "1500 mm", "",
		},
		"defective units of a string that another row has shorter": {
			func(p *audit.Project) {
				row := rowsAt(p, "3")[0]
				row.Defective = 2
				alsoSaid(p, row, func(other *audit.AssemblyRow) { other.UnitsPerString, other.Defective = 8, 0 })
			},
			"new units for all that hang there 10 × U120B [{U120B 10}] [] true", nil, "", "",
		},
		"defective units of which rows count different numbers": {
			func(p *audit.Project) {
				row := rowsAt(p, "3")[0]
				row.Defective = 2
				alsoSaid(p, row, func(other *audit.AssemblyRow) { other.Defective = 3 })
			},
			"sound units for defective ones 10 × U120B [{U120B 3}] [{U120B 3}] false", defective("3"), "0 defective", "",
		},
		"rows that say less one after the other": {
			func(p *audit.Project) {
				row := rowsAt(p, "3")[0]
				alsoSaid(p, row, func(other *audit.AssemblyRow) { other.UnitsPerString, other.Defective = 9, 2 })
				alsoSaid(p, row, func(other *audit.AssemblyRow) { other.UnitsPerString = 8 })
			},
			"new units for all that hang there 10 × U120B [{U120B 10}] [] true", nil, "", "",
		},
		"the same rows in another order": {
			func(p *audit.Project) {
				row := rowsAt(p, "3")[0]
				alsoSaid(p, row, func(other *audit.AssemblyRow) { other.UnitsPerString = 8 })
				alsoSaid(p, row, func(other *audit.AssemblyRow) { other.UnitsPerString, other.Defective = 9, 2 })
			},
			"new units for all that hang there 10 × U120B [{U120B 10}] [] true", nil, "", "",
		},
		"defective units that are not known": {
			func(p *audit.Project) {
				row := rowsAt(p, "3")[0]
				row.UnitsPerString = 9
				unreadable(row, audit.CellDefective)
			},
			"more units 10 × U120B [{U120B 1}] [] false", defective("3"), "-1 defective, not known", "sound-units",
		},
		"a rating that cannot be read": {
			func(p *audit.Project) {
				loaded(p, 30)
				row := rowsAt(p, "7")[0]
				row.UnitsPerString = 9
				unreadable(row, audit.CellRating)
			},
			"more units 10 × U120B [{U120B 1}] [] false", rating("7"), "NaN kN", "strength",
		},
		"a creepage that cannot be read": {
			func(p *audit.Project) {
				p.Criteria.SoundUnits = []audit.SoundUnitsRule{{NominalKV: 132, Units: 9}}
				row := rowsAt(p, "3")[0]
				row.Defective = 2
				unreadable(row, audit.CellCreepage)
			},
			"sound units for defective ones 10 × U120B [{U120B 2}] [{U120B 2}] false", creepage("3"), "NaN mm", "creepage",
		},
		"strings whose number is not known": {
			func(p *audit.Project) {
				loaded(p, 30)
				for _, row := range rowsAt(p, "7") {
					row.UnitsPerString, row.Arrangement = 9, audit.Parallel
					unreadable(row, audit.CellStrings)
				}
			},
			"new units for all that hang there 2 strings of 10 × U120B [{U120B 60}] [] true", stringsOf("7"), "2 parallel", "",
		},
		"strings whose number is not known, nor their load": {
			func(p *audit.Project) {
				for _, row := range rowsAt(p, "7") {
					row.UnitsPerString, row.Arrangement = 9, audit.Parallel
					unreadable(row, audit.CellStrings)
				}
			},
			"", nil, "nothing tells how much rating is needed", "creepage",
		},
		"units whose number is not known": {
			func(p *audit.Project) {
				rowsAt(p, "3")[0].UnitsPerString = 9
				unreadable(rowsAt(p, "3")[1], audit.CellUnitsPerString)
			},
			"new units for all that hang there 10 × U120B [{U120B 11}] [] true", nil, "", "",
		},
	} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			stocked(p, 10, "U120B")
			c.change(p)
			r, jobs := searched(t, p)
			require.Len(t, jobs, 1)
			if c.open != "" {
				require.Contains(t, openChecks(r, &jobs[0]), c.open)
			}
			if c.want == "" {
				require.Empty(t, jobs[0].Remedies)
				require.Len(t, jobs[0].StoppedBy, 1)
				require.Contains(t, jobs[0].StoppedBy[0].Sentence, c.says)
				return
			}
			require.Len(t, jobs[0].Remedies, 1)
			x := jobs[0].Remedies[0]
			require.Equal(t, c.want, fmt.Sprintf("%s %s %v %v %v", x.Move, x.To, x.Fit, x.Remove, x.RemoveUnknown))
			if c.row != nil {
				require.Equal(t, c.says, c.row(remedy.Apply(p, jobs)))
			}
		})
	}
}

// alsoSaid adds a later row of the same assembly, which says something else of it.
func alsoSaid(p *audit.Project, row *audit.AssemblyRow, otherwise func(other *audit.AssemblyRow)) {
	other := *row
	otherwise(&other)
	other.Source.Row = uint32(p.Assemblies.Len() + 2)
	p.Assemblies.Append(other)
	p.RowsRead++
}

// addRod adds a composite in stock, which has the creepage of 16 discs.
func addRod(p *audit.Project) {
	rod := *unitOf(p, "U120B")
	rod.Name, rod.Kind, rod.SpacingMM, rod.CreepageMM, rod.Stocked = "ROD", basis.Composite, 1600, 4700, true
	p.Units = append(p.Units, rod)
}

// otherInStock leaves no unit in stock but one like that which hangs there.
func otherInStock(p *audit.Project) {
	p.Units[unitNumber(p, "U120B")].Stocked = false
	stocked(p, 10, "U120BP")
}

// inRangeTwo makes a line of Um 420 kV, 950 kV of switching impulse, with 20 discs a string, one of which states what it was tested to withstand.
func inRangeTwo(p *audit.Project, figures func(d *audit.DirectValues)) {
	otherInStock(p)
	line := &p.Lines[0]
	line.NominalKV, line.HighestKV, line.LightningKV, line.SwitchingKV = 400, 420, math.NaN(), 950
	p.Criteria.DefaultClass, p.Criteria.ArcingDistance = basis.ClassUnknown, audit.ArcingOverUnits
	for i := range p.Assemblies.Len() {
		p.Assemblies.Row(i).UnitsPerString = 20
	}
	states(p, rowsAt(p, "3")[0], figures)
}

// ownArcing makes structure 3 have a string of 7 units, 1022 mm, that states figures of its own, on a line of 650 kV.
func ownArcing(figures func(d *audit.DirectValues)) func(p *audit.Project) {
	return func(p *audit.Project) {
		p.Lines[0].LightningKV = 650
		row := rowsAt(p, "3")[0]
		row.UnitsPerString = 7
		states(p, row, figures)
	}
}

// tooLong makes structure 3 have a string of 1460 mm, with horns at 1200 mm, where 1300 mm are allowed and 8 units would do.
func tooLong(p *audit.Project) {
	p.Criteria.DefaultClass, p.Lines[0].LongestStringMM = basis.ClassA, 1300
	for i := range p.Assemblies.Len() {
		p.Assemblies.Row(i).UnitsPerString = 8
	}
	row := rowsAt(p, "3")[0]
	row.UnitsPerString = 10
	states(p, row, func(d *audit.DirectValues) { d.ArcingMM = 1200 })
}

func openChecks(r *audit.Result, j *remedy.Job) (ids []string) {
	for _, o := range j.Open {
		ids = append(ids, r.Checks[o.Check].ID)
	}
	return ids
}

// after is what hangs at a structure with the work done, as its first row has it.
func after(p *audit.Project, number string) audit.Assembly {
	n, err := audit.Arrange(p)
	if err != nil {
		panic(err)
	}
	for i := range p.Assemblies.Len() {
		if p.Texts.Get(p.Assemblies.Row(i).Number) == number {
			return n.Assembly(uint32(i))
		}
	}
	panic("no row")
}

func known(a *audit.Assembly, cell audit.Cell) string {
	if a.Faulty.Has(cell) {
		return ", not known"
	}
	return ""
}

func rating(at string) func(p *audit.Project) string {
	return func(p *audit.Project) string { a := after(p, at); return fmt.Sprintf("%g kN", a.RatingKN()) }
}

func creepage(at string) func(p *audit.Project) string {
	return func(p *audit.Project) string { a := after(p, at); return fmt.Sprintf("%g mm", a.CreepageMM) }
}

func length(at string) func(p *audit.Project) string {
	return func(p *audit.Project) string { a := after(p, at); return fmt.Sprintf("%g mm", a.LengthMM()) }
}

func tested(at string) func(p *audit.Project) string {
	return func(p *audit.Project) string {
		a := after(p, at)
		of := audit.CellTested
		if a.Faulty.Has(audit.CellLimits) { // its switching withstand
			of = audit.CellLimits
		}
		return fmt.Sprintf("%g kV%s", max(a.Direct.LightningKV, a.Direct.SwitchingKV), known(&a, of))
	}
}

func arcing(at string) func(p *audit.Project) string {
	return func(p *audit.Project) string {
		a := after(p, at)
		return fmt.Sprintf("%g mm%s", a.Direct.ArcingMM, known(&a, audit.CellArcing))
	}
}

func defective(at string) func(p *audit.Project) string {
	return func(p *audit.Project) string {
		a := after(p, at)
		return fmt.Sprintf("%d defective%s", a.Defective, known(&a, audit.CellDefective))
	}
}

func stringsOf(at string) func(p *audit.Project) string {
	return func(p *audit.Project) string {
		a := after(p, at)
		return fmt.Sprintf("%d %s", a.Strings, a.Arrangement)
	}
}

// A second string beside one that is rated lower, or has less creepage, is not borne by it: the lesser of both counts.
func TestASecondStringBesideOneThatStatesItsFigures(t *testing.T) {
	p := sample(t)
	loaded(p, 30)
	p.Units[unitNumber(p, "U40B")].CreepageMM = 190
	for _, row := range rowsAt(p, "7") {
		row.Makeup, row.UnitsPerString = makeupOf(p, "U40B"), 16
		states(p, row, func(d *audit.DirectValues) { d.RatingKN, d.CreepageMM = 35, 3100 })
	}
	stocked(p, 10, "U40B")
	_, jobs := searched(t, p)
	require.Len(t, jobs, 1)
	x := jobs[0].Remedies[0]
	require.Equal(t, remedy.MoreStrings, x.Move)
	a := after(remedy.Apply(p, jobs), "7")
	require.InDelta(t, 35, a.RatingKN(), 1e-9)
	require.InDelta(t, math.Min(3100, 16*190), a.CreepageMM, 1e-9)
}

func unitNumber(p *audit.Project, name string) int {
	for u := range p.Units {
		if p.Units[u].Name == name {
			return u
		}
	}
	return -1
}

// The dates of a row stay with its units.
func TestDatesStayWithUnits(t *testing.T) {
	for _, stays := range [...]bool{true, false} {
		p := sample(t)
		row := rowsAt(p, "3")[0]
		row.UnitsPerString, row.Installed = 9, 1000
		stocked(p, 10, map[bool]string{true: "U120B", false: "U120BP"}[stays])
		_, jobs := searched(t, p)
		require.Equal(t, stays, rowsAt(remedy.Apply(p, jobs), "3")[0].Installed == 1000)
	}
}

// Where the load is not known nothing weaker is hung than what hangs there, nor in tension than the strongest set of the line; without one
// nothing.
func TestNothingWeakerWhereTheLoadIsNotKnown(t *testing.T) {
	atEnd := func(p *audit.Project, unit string) {
		for _, row := range rowsAt(p, "7") {
			row.Duty, row.Side, row.Makeup = audit.Suspension, audit.NoSide, makeupOf(p, unit)
		}
	}
	for name, c := range map[string]struct {
		change func(p *audit.Project)
		want   string
		stop   string
	}{
		"the suspension set is stronger than those in tension": {
			func(p *audit.Project) { atEnd(p, "U160BL"); stocked(p, 10, "U120B", "U160BL") }, "10 × U160BL", "",
		},
		"one set in tension is stronger than the others": {
			func(p *audit.Project) {
				atEnd(p, "U120B")
				rowsAt(p, "4")[0].Makeup = makeupOf(p, "U160BL")
				stocked(p, 10, "U120B", "U160BL")
			}, "9 × U160BL", "",
		},
		"one set in tension has two strings": {
			func(p *audit.Project) {
				atEnd(p, "U120B")
				rowsAt(p, "4")[0].Strings, rowsAt(p, "4")[0].Arrangement = 2, audit.Parallel
				stocked(p, 10, "U120B")
			}, "2 strings of 10 × U120B", "",
		},
		"nothing in stock is as strong": {
			func(p *audit.Project) { atEnd(p, "U160BL"); stocked(p, 10, "U120B") }, "", "120 kN of rating of one string",
		},
		"two weak strings for a strong one": {
			func(p *audit.Project) {
				for _, row := range rowsAt(p, "3") {
					row.UnitsPerString = 9
				}
				stocked(p, 10, "U70BL")
			}, "", "70 kN of rating of one string",
		},
		"a phase that is weaker than the others": {
			func(p *audit.Project) {
				rowsAt(p, "3")[0].Makeup = makeupOf(p, "U70BL")
				rowsAt(p, "3")[0].UnitsPerString = 9
				stocked(p, 10, "U70BL")
			}, "", "70 kN of rating of one string",
		},
	} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			c.change(p)
			_, jobs := searched(t, p)
			require.Len(t, jobs, 1)
			if c.want == "" {
				require.Empty(t, jobs[0].Remedies)
				require.Contains(t, jobs[0].StoppedBy[0].Sentence, c.stop)
				return
			}
			require.Equal(t, c.want, jobs[0].Remedies[0].To.String())
		})
	}

	t.Run("nothing in tension", func(t *testing.T) {
		p := sample(t)
		p.Criteria.DefaultClass = basis.ClassC
		for _, number := range [...]string{"1", "4", "7"} {
			for _, row := range rowsAt(p, number) {
				row.Duty, row.Side = audit.Suspension, audit.NoSide
			}
		}
		_, jobs := searched(t, p)
		require.NotEmpty(t, jobs)
		for i := range jobs {
			require.Empty(t, jobs[i].Remedies)
			require.Contains(t, jobs[i].StoppedBy[0].Sentence, "nothing tells how strong a tension assembly has to be")
		}
	})
}
