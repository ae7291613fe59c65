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

func TestRowsThatRepeatOthers(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(b *base)
		want   []string
		faults []string
	}{
		{"identical but for the remarks", func(b *base) {
			b.repeat(b.rows(3)[0], func(later *audit.AssemblyRow) { later.Remarks = later.Number })
		}, nil, []string{"has an earlier row for this circuit, phase, side and duty, which is used; the row is left out"}},
		{"the later one is worse", func(b *base) {
			b.repeat(b.rows(3)[0], func(later *audit.AssemblyRow) { later.Defective = 2 })
		}, []string{"sound-units 3 A"}, []string{"has an earlier row for this circuit, phase, side and duty (row 8), which differs: defective units 0 there, 2 here; " +
			"each check judges both and the worse verdict stands; this row is left out"}},
		{"the earlier one is worse", func(b *base) {
			b.repeat(b.rows(3)[0], func(*audit.AssemblyRow) {})
			b.rows(3)[0].Defective = 2
		}, []string{"sound-units 3 A"}, []string{"has an earlier row for this circuit, phase, side and duty (row 8), which differs: defective units 2 there, 0 here; " +
			"each check judges both and the worse verdict stands; this row is left out"}},
		{"all phases at once", func(b *base) {
			b.repeat(b.rows(3)[0], func(later *audit.AssemblyRow) {
				later.Phases, later.Phase, later.UnitsPerString = phasesOf(b.t, "ABC"), b.Symbols.Number("ABC"), 10
			})
		}, each("odd-one-out", 3), []string{"has an earlier row for this circuit, phase, side and duty (row 10), which differs: units per string 9 there, 10 here; " +
			"each check judges both and the worse verdict stands; this row is left out"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase(t)
			c.change(b)
			got := b.exceptions()
			require.Equal(t, c.want, got)
			var faults []string
			for _, fault := range b.Faults.List() {
				require.Equal(t, audit.DuplicateRow, fault.Kind)
				faults = append(faults, fault.Expected)
			}
			require.Equal(t, c.faults, faults)
		})
	}
}

// What rows say that share phases does not depend on their order, and what none but one of them says is judged.
func TestRowsThatSharePhasesInAnyOrder(t *testing.T) {
	type row struct {
		phases string
		side   audit.Side // none: suspension
		units  int16
	}
	for name, c := range map[string]struct {
		rows  [3]row
		short []string // what falls short of the creepage, in any order
		phase []string // what phase-missing says
	}{
		"all phases beside two": {[3]row{{"A", audit.NoSide, 9}, {"ABC", audit.NoSide, 6}, {"C", audit.NoSide, 9}}, []string{"creepage 3 ABC"},
			[]string{"3 not assessed a field it needs is faulty, see Faults"}},
		"all phases beside two that are short": {[3]row{{"A", audit.NoSide, 6}, {"ABC", audit.NoSide, 9}, {"C", audit.NoSide, 6}}, []string{"creepage 3 A", "creepage 3 C"},
			[]string{"3 not assessed a field it needs is faulty, see Faults"}},
		"all phases beside one and two": {[3]row{{"A", audit.NoSide, 9}, {"ABC", audit.NoSide, 6}, {"BC", audit.NoSide, 9}}, []string{"creepage 3 A", "creepage 3 BC"}, []string{"3 meets"}},
		"all phases twice, beside one": {[3]row{{"A", audit.NoSide, 9}, {"ABC", audit.NoSide, 6}, {"ABC", audit.NoSide, 9}}, []string{"creepage 3 ABC"},
			[]string{"3 not assessed a field it needs is faulty, see Faults"}},
		"two phases each": {[3]row{{"AB", audit.NoSide, 9}, {"AC", audit.NoSide, 9}, {"BC", audit.NoSide, 6}}, []string{"creepage 3 BC"},
			[]string{"3 not assessed a field it needs is faulty, see Faults"}},
		"one phase on both sides and on one": {[3]row{{"A", audit.Back, 9}, {"A", audit.BothSides, 6}, {"BC", audit.BothSides, 9}}, []string{"creepage 3 A both"}, []string{"3 ahead meets", "3 back meets"}},
		"all phases on both sides and on one": {[3]row{{"A", audit.Back, 9}, {"A", audit.Ahead, 9}, {"ABC", audit.BothSides, 6}}, []string{"creepage 3 ABC both"},
			[]string{"3 ahead not assessed a field it needs is faulty, see Faults", "3 back not assessed a field it needs is faulty, see Faults"}},
		"one phase on each side and on both, beside the rest": {[3]row{{"BC", audit.BothSides, 9}, {"ABC", audit.Ahead, 6}, {"ABC", audit.Back, 9}}, []string{"creepage 3 ABC ahead"},
			[]string{"3 ahead not assessed a field it needs is faulty, see Faults", "3 back not assessed a field it needs is faulty, see Faults"}},
	} {
		t.Run(name, func(t *testing.T) {
			var first []string
			for _, order := range [...][3]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}} {
				b := newBase(t)
				model := *b.rows(3)[0]
				for _, r := range c.rows { // so that they have the same symbols in any order
					b.Symbols.Number(r.phases)
				}
				b.drop(func(row *audit.AssemblyRow) bool { return b.Texts.Get(row.Number) == "3" })
				for _, i := range order {
					r := c.rows[i]
					b.repeat(&model, func(later *audit.AssemblyRow) {
						later.Phases, later.Phase, later.UnitsPerString, later.Side = phasesOf(t, r.phases), b.Symbols.Number(r.phases), r.units, r.side
						if r.side != audit.NoSide {
							later.Duty = audit.Tension
						}
					})
				}
				verdicts, placed, leftOut, _ := b.outcomes()
				require.Equal(t, c.short, slices.DeleteFunc(b.exceptions(), func(e string) bool { return !strings.HasPrefix(e, "creepage ") }), "order %v", order)
				require.Equal(t, c.phase, at(3, b.told("phase-missing")), "order %v", order)
				verdicts = append(verdicts, fmt.Sprint(placed, leftOut), strings.Join(b.exceptions(), ", "))
				if first == nil {
					first = verdicts
				}
				require.Equal(t, first, verdicts, "order %v", order)
			}
		})
	}
}

// One verdict stands for the rows of an assembly, at the first of them: what falls short, else what cannot be told.
func TestOneVerdictForRowsThatRepeatOthers(t *testing.T) {
	b := newBase(t)
	b.repeat(b.rows(3)[0], func(later *audit.AssemblyRow) {
		later.Defective, later.Faulty = -1, audit.Cells(0).With(audit.CellDefective)
	})
	require.Equal(t, []string{"3 A not assessed a field it needs is faulty, see Faults"}, at(3, b.told("sound-units")))

	b = newBase(t)
	b.repeat(b.rows(3)[1], func(later *audit.AssemblyRow) { later.UnitsPerString = 5 })
	n, err := audit.Arrange(b.Project)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 1))
	require.Equal(t, b.RowsRead, n.RowsPlaced+n.RowsLeftOut)
	require.Equal(t, 1, n.RowsLeftOut)
	r, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{})
	require.NoError(t, err)
	short := map[string]int{}
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		require.Equal(t, uint32(9), b.Assemblies.At(e.Assembly).Source.Row)
		require.Contains(t, e.Verdict.Sentence, "row 32, which repeats this one")
		short[checks.All()[e.Check].ID]++
		var trace audit.Trace
		subject := n.Subject(&e.Location)
		again := r.Again(e.Check, &e.Location, &subject, &trace)
		require.Equal(t, e.Verdict.Sentence, again.Sentence)
		for _, step := range trace.Steps {
			if step.Role == audit.Observed && e.Verdict.Observed.Word == "" {
				require.InDelta(t, e.Verdict.Observed.Number, step.Result.Number, 1e-9, checks.All()[e.Check].ID)
			}
		}
	}
	require.Equal(t, 1, short["creepage"])
	require.Equal(t, 1, short["units-for-voltage"])
	for check, count := range short {
		require.Equal(t, 1, count, check)
	}
}

// When what hangs there was last looked at does not depend on the order of rows that repeat each other: only what both say is judged, and of a set each way each
// row has a day of its own.
func TestLastInspectionByRowsThatRepeatOthers(t *testing.T) {
	const unknown = "3 not assessed when all that hangs here was last inspected, or installed, is not known"
	dated := func(first, later string, sideless bool) *base {
		b := newBase(t)
		b.AsOf, b.Criteria.InspectionYears = audit.DayOf("2026-01-02"), audit.Stated(10)
		for i := range b.Assemblies.Len() {
			b.Assemblies.Row(i).Installed, b.Assemblies.Row(i).Inspected = audit.NoDay, audit.DayOf("2020-02-01")
		}
		day := func(text string) audit.Day {
			if text == "" {
				return audit.NoDay
			}
			return audit.DayOf(text)
		}
		if sideless {
			b.sideless()
			rows := b.rows(5)
			rows[0].Inspected, rows[1].Inspected = day(first), day(later)
			return b
		}
		b.rows(3)[0].Inspected = day(first)
		b.repeat(b.rows(3)[0], func(row *audit.AssemblyRow) { row.Inspected = day(later) })
		return b
	}
	at := func(b *base, structure string) (said []string) {
		for _, verdict := range b.told("inspected-long-ago") {
			if strings.HasPrefix(verdict, structure+" ") {
				said = append(said, verdict)
			}
		}
		return said
	}
	for _, c := range []struct{ one, other, want string }{
		{"2021-05-01", "2020-05-01", "3 meets"},
		{"2001-05-01", "2000-05-01", "3 falls short"},
		{"2021-05-01", "2000-05-01", unknown},
		{"2021-05-01", "", unknown},
		{"2000-05-01", "", unknown},
	} {
		for _, order := range [][2]string{{c.one, c.other}, {c.other, c.one}} {
			require.Equal(t, []string{c.want}, at(dated(order[0], order[1], false), "3"), "%q", order)
		}
	}
	for _, order := range [][2]string{{"2021-05-01", "2000-05-01"}, {"2000-05-01", "2021-05-01"}} {
		require.Equal(t, []string{"5 falls short"}, at(dated(order[0], order[1], true), "5"), "%q", order)
	}
	require.Equal(t, []string{"5 meets"}, at(dated("2021-05-01", "2020-05-01", true), "5"))
}
