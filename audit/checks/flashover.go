package checks

import (
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var dryWetMinimum = audit.Check{
	ID:       "dry-wet-minimum",
	Title:    "Dry or wet flashover of the string below the minimum of the table",
	Of:       audit.OfAssembly,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.FlashoverMinimaSource, basis.DryFlashoverMinimaSource, basis.DryFlashoverNESCSource, basis.DiscStringTable},
	Method: audit.Method{
		Formula: "U_dry ≥ U_dry,min;  U_wet ≥ U_wet,min",
		Symbols: []audit.Explained{
			{Symbol: "U_dry", Meaning: "dry power frequency flashover of the string", Measure: "kV"},
			{Symbol: "U_wet", Meaning: "wet power frequency flashover of the string", Measure: "kV"},
			{Symbol: "U_dry,min", Meaning: "least dry flashover of the table at the nominal voltage of the line", Measure: "kV"},
			{Symbol: "U_wet,min", Meaning: "least wet flashover of the table, where it has that", Measure: "kV"},
		},
		Limits: "The table is the one that the criterion flashover_minimum names: dry and wet by GO 64 table 6 (0.75 to 200 kV), dry by GO 64-A table 9 (0.75 to 200 kV), both with the linear interpolation that they prescribe, dry by NESC " +
			"table 273-1 (34.5, 46, 69, 115, 138, 161 and 230 kV alone, value from memory). A nominal voltage outside it is not assessed, nor is direct current, a railway or a single phase: the tables go by alternating voltages between phases. The flashover is that of the unit where one insulator is the whole string, else that of the table of 146 mm discs " +
			"interpolated on string length (not of units that state less dry or wet flashover than one of its discs has, of which what one has times their number is the most; discs of 250 to 280 mm diameter and 127 to 170 mm spacing, 20 discs at most), without the defective units, of unlike ones the longest. The tables are headed as least flashover voltages, and the General Orders ask " +
			"insulators to withstand theirs without flash-over: the flashover is held against them here. What meets so and would not by the share of it that the criterion wet_share takes for withstood (0.9, common practice; of dry flashover none is known) says so. " +
			"A tested wet withstand stands for a flashover that is no less: it may meet, and tells of none that falls short. Where the arcing distance is stated shorter than the string, what falls short without it falls short, and the rest is not assessed. The worse of dry and wet is shown; one that falls short decides, whatever is known of the other. A margin of less than 2.5 % by the disc table is within " +
			"the difference of printed tables, and says so: what falls short by no more is an advisory. No factor for altitude.",
		Example: audit.Example{
			Story:   "Five standard discs on a line of 132 kV, by GO 64 table 6",
			Subject: func() audit.Subject { return minimumOf(basis.GO64Table6, 132, 5) },
			Outcome: audit.FallsShort, Observed: 215, Required: 227.5,
			Source: "California General Order 64, rule 64 (b), table 6 (published), interpolated between 110 and 150 kV (computed); disc table, wet flashover of 5 units (value from memory)",
		},
	},
	AskedBy:  []audit.Need{audit.AsksFlashoverMinimum},
	Trusts:   []audit.Need{audit.NeedsDuty},
	Needs:    []audit.Need{audit.NeedsDuty, audit.NeedsDefective, audit.NeedsSoundInsulator, audit.NeedsFlashover},
	Reads:    audit.ReadsLine,
	Rests:    audit.RestsOnWithstand | audit.RestsOnLength,
	OfLine:   audit.ReadsVoltages,
	Remedy:   "Lengthen the string, replace its defective units, or enter the flashover voltages of its unit.",
	Sizes:    true,
	Concerns: carriesPhaseWhole,
	Judge:    judgeMinimum,
}

// minimumOf is a string of standard discs on a line of a nominal voltage, where the criteria choose a table of flashover minima.
func minimumOf(table basis.FlashoverTable, nominalKV float64, units int) audit.Subject {
	s := discsAt(145, math.NaN(), units, 0)
	s.Line.Row.NominalKV, s.Criteria.FlashoverMinimum = nominalKV, table
	return s
}

func judgeMinimum(s *audit.Subject, t *audit.Trace) audit.Verdict {
	margins, _ := s.FlashoverMargins()
	if margins.Both && !margins.Worse.FallsShort() && margins.Other.FallsShort() { // what is only known to be no less decides nothing
		margins.Worse, margins.Other = margins.Other, margins.Worse
	}
	worst := &margins.Worse
	if t.On() {
		addMinima(t, s, &margins)
	}
	v := audit.AtLeast(worst.KV, worst.Required, "kV")
	byTable := worst.From == audit.FlashoverByTable && math.Abs(v.Margin) < basis.PrintedTablesApart
	if byTable {
		v = v.Because(audit.WithinPrintedTables)
		if v.Outcome == audit.FallsShort {
			v = v.As(audit.Advisory)
		}
	}
	if v.Outcome == audit.Meets && v.Reason == audit.NoReason && mayWithstandLess(s, &margins) {
		v = v.Because(audit.MetByFlashover)
	}
	if s.NeedsSentence(v) {
		has, needs := apart(worst.KV, worst.Required, 0)
		v = v.Saying(fmt.Sprintf("%s%s flashes over at %s%s kV %s (%s); %s asks for %s kV at %g kV%s%s.", s.Assembly.Hanging(), defectiveInWords(s.Assembly), noMore(worst.AtMost), has, dryOrWet(worst.Wet), worst.From,
			s.Criteria.FlashoverMinimum, needs, s.Line.Row.NominalKV, otherMinimum(&margins), inPrint(v)))
	}
	return v
}

// mayWithstandLess tells whether the rule of the table asks for withstand and the share of a flashover that is withstood is less.
func mayWithstandLess(s *audit.Subject, margins *audit.FlashoverMargins) bool {
	less := func(m *audit.FlashoverMargin) bool {
		return m.From != audit.FlashoverWithstood && basis.Contradicts(s.Criteria.WetShare.Value*m.KV, m.Required)
	}
	return s.Criteria.FlashoverMinimum.AsksWithstand() && (less(&margins.Worse) || margins.Both && less(&margins.Other))
}

func dryOrWet(wet bool) string {
	if wet {
		return "wet"
	}
	return "dry"
}

// defectiveInWords says how many units of a string are defective.
func defectiveInWords(a *audit.Assembly) string {
	if a.Defective <= 0 {
		return ""
	}
	return fmt.Sprintf(", %d of them defective,", a.Defective)
}

// otherMinimum says of the flashover that is not the worst that it falls short too, or that it is not known.
func otherMinimum(margins *audit.FlashoverMargins) string {
	if !margins.Both {
		return ""
	}
	switch other := &margins.Other; {
	case other.FallsShort():
		has, needs := apart(other.KV, other.Required, 0)
		return fmt.Sprintf("; %s it is %s%s kV for %s kV", dryOrWet(other.Wet), noMore(other.AtMost), has, needs)
	case other.Reason != audit.NoReason:
		return fmt.Sprintf("; %s it is not known", dryOrWet(other.Wet))
	}
	return ""
}

// addMinima shows the flashovers of the string and what the table asks for.
func addMinima(t *audit.Trace, s *audit.Subject, margins *audit.FlashoverMargins) {
	a := s.Assembly
	var discs audit.Step
	for i, m := range [...]*audit.FlashoverMargin{&margins.Worse, &margins.Other} {
		if i > 0 && !margins.Both {
			return
		}
		role := [...]audit.StepRole{audit.Observed, audit.InBetween}[i]
		if m.From == audit.FlashoverByTable && m.Reason == audit.NoReason && discs.Symbol == "" {
			discs = discsStep(a, max(a.Defective, 0))
			t.Add(discs)
		}
		symbol, dryWet := "U_"+dryOrWet(m.Wet), dryOrWet(m.Wet)
		switch step := (audit.Step{Symbol: symbol, Result: audit.Figure(m.KV, "kV"), Role: role}); {
		case m.Reason != audit.NoReason:
		case m.From == audit.FlashoverByTable:
			value := func(f basis.Flashover) float64 { return f.DryKV }
			if m.Wet {
				value = func(f basis.Flashover) float64 { return f.WetKV }
			}
			_, x, _ := a.TableFlashover(a.UnitsPerString - max(a.Defective, 0))
			step.Meaning, step.Formula, step.Clause = dryWet+" flashover by the table"+betweenRows(x, value), dryWet+" flashover(x)", basis.DiscStringTable
			step.Inputs, step.Sheet = []audit.Operand{{Symbol: "x", Value: discs.Result}}, interpolated(value)
			step.Meaning += asABound(m.AtMost)
			t.Add(step)
		default:
			step.Meaning = fmt.Sprintf("%s flashover of %s: %s", dryWet, a.Hanging(), m.From)
			if m.From != audit.NothingLeft {
				step.Clause = basis.OwnFigure
			}
			step.Meaning += asABound(m.AtMost)
			t.Add(step)
		}
		minimum := minimumStep(s, m)
		if i == 0 {
			minimum.Role = audit.Required
		}
		t.Add(minimum)
	}
}

// minimumStep is what the table asks for at the nominal voltage of the line.
func minimumStep(s *audit.Subject, m *audit.FlashoverMargin) audit.Step {
	table, nominalKV := s.Criteria.FlashoverMinimum, s.Line.Row.NominalKV
	low, high, _ := table.Around(nominalKV)
	of, u := func(row basis.FlashoverMinimum) float64 { return row.DryKV }, "D"
	if m.Wet {
		of, u = func(row basis.FlashoverMinimum) float64 { return row.WetKV }, "W"
	}
	step := audit.Step{Symbol: "U_" + dryOrWet(m.Wet) + ",min", Result: audit.Figure(m.Required, "kV"), Clause: table.Source(),
		Meaning: fmt.Sprintf("least %s flashover at a nominal voltage of %g kV", dryOrWet(m.Wet), nominalKV)}
	if table.AsksWithstand() {
		step.Meaning += ", which its rule asks to be withstood without flash-over"
	}
	if low.NominalKV == high.NominalKV {
		return step
	}
	kV := func(symbol string, value float64) audit.Operand {
		return audit.Operand{Symbol: symbol, Value: audit.Figure(value, "kV")}
	}
	step.Meaning += fmt.Sprintf(", between those of %g and %g kV", low.NominalKV, high.NominalKV)
	step.Formula = fmt.Sprintf("%[1]s_a + (U_n − V_a)/(V_b − V_a)·(%[1]s_b − %[1]s_a)", u)
	step.Sheet = fmt.Sprintf("%[1]s_a+(U_n-V_a)/(V_b-V_a)*(%[1]s_b-%[1]s_a)", u)
	step.Inputs = []audit.Operand{kV("U_n", nominalKV), kV("V_a", low.NominalKV), kV("V_b", high.NominalKV), kV(u+"_a", of(low)), kV(u+"_b", of(high))}
	return step
}
