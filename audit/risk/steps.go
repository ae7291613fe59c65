package risk

import (
	"fmt"
	"math"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// risked is the step of a risk.
func risked(step audit.Step) audit.Step {
	if step.Result.Number == LeastRisk {
		step.Meaning += "; it is less than the least that is told"
	}
	return step
}

// Steps are the derivation of the risk of a string, which a calculator can do again but for the integral of the strength curve.
func (x *String) Steps(measure string) []audit.Step {
	var t audit.Trace
	if x.Kind == Pollution {
		x.pollutionSteps(&t, measure)
	} else {
		x.overvoltageSteps(&t)
	}
	return t.Steps
}

// StringsStep shows how many strings the risk of one counts for, at a structure.
func (e *Explained) StringsStep() audit.Step {
	step := audit.Step{Symbol: "N", Meaning: "strings of the assembly, on all phases and sides that it names", Result: audit.Figure(float64(e.Strings), "")}
	if !e.Sure {
		step.Meaning += ", at least"
	}
	return step
}

// TogetherStep shows the second bound of a structure by pollution, of all its assemblies that could be assessed.
func (p *Place) TogetherStep(list []Explained) audit.Step {
	step := audit.Step{Symbol: "R_all", Meaning: fmt.Sprintf("risk that any of the %d strings here flashes over, as if they were independent", p.Strings), Result: audit.Figure(p.Together, ""), Clause: basis.Arithmetic}
	if p.AtLeast {
		step.Meaning += "; at least, since something may be missing"
	}
	var terms, sheet []string
	for i := range list {
		e := &list[i]
		if e.Kind != Pollution || e.Lack != "" {
			continue
		}
		k := len(terms) + 1
		terms, sheet = append(terms, fmt.Sprintf("(1 − R_%d)^N_%d", k, k)), append(sheet, fmt.Sprintf("(1-R_%d)^N_%d", k, k))
		step.Inputs = append(step.Inputs, with(fmt.Sprintf("R_%d", k), e.String.R, ""), with(fmt.Sprintf("N_%d", k), float64(e.Strings), ""))
	}
	step.Formula, step.Sheet = "1 − "+strings.Join(terms, "·"), "1-"+strings.Join(sheet, "*")
	return step
}

func own(symbol, meaning string, value float64, measure string) audit.Step {
	return audit.Step{Symbol: symbol, Meaning: meaning, Result: audit.Figure(value, measure), Clause: basis.OwnFigure}
}

func with(symbol string, value float64, measure string) audit.Operand {
	return audit.Operand{Symbol: symbol, Value: audit.Figure(value, measure)}
}

func (x *String) pollutionSteps(t *audit.Trace, measure string) {
	t.Add(own("S_50", fmt.Sprintf("median of the severity of sites of class %s", x.Class), x.Stress, measure))
	t.Add(own("σ_s", "standard deviation of its logarithm", x.StressSigma, ""))
	t.Add(audit.Step{Symbol: "U", Meaning: "voltage along the string, as creepage has it", Result: audit.Figure(x.VoltageKV, "kV")})
	x.altitudeSteps(t)
	var terms, sheet []string
	var inputs []audit.Operand
	for i, part := range x.Parts {
		n, a := "n", "A_1"
		if len(x.Parts) > 1 {
			n, a = fmt.Sprintf("n_%d", i+1), fmt.Sprintf("A_1%d", i+1)
		}
		terms, sheet = append(terms, n+"·"+a), append(sheet, n+"*"+a)
		inputs = append(inputs, with(n, float64(part.Count), ""), with(a, part.A, "kV"))
	}
	meaning := "of the test of a polluted string, by its sound units"
	if x.RowMM < x.UnitsMM {
		meaning += ", less as the creepage that the row states is less than that of its units"
		terms, sheet = []string{"(" + strings.Join(terms, " + ") + ")·C/C_u"}, []string{"(" + strings.Join(sheet, "+") + ")*C/C_u"}
		inputs = append(inputs, with("C", x.RowMM, "mm"), with("C_u", x.UnitsMM, "mm"))
	}
	if x.PerM > 0 {
		meaning = "of the test of a polluted string, by its sound creepage"
		terms, sheet = []string{"A_1·L"}, []string{"A_1*L"}
		inputs = []audit.Operand{with("A_1", x.PerM, "kV/m"), with("L", x.CreepageM, "m")}
	}
	t.Add(audit.Step{Symbol: "A", Meaning: meaning, Formula: strings.Join(terms, " + "), Inputs: inputs,
		Result: audit.Figure(x.TestKV(), "kV"), Clause: basis.OwnFigure, Sheet: strings.Join(sheet, "+")})
	t.Add(own("a", "exponent of that test", x.Slope, ""))
	t.Add(own("σ_U", "standard deviation of its flashover voltage, as a share", x.TestSigma, ""))
	t.Add(audit.Step{Symbol: "W_50", Meaning: "median of the severity that the string withstands", Formula: "(A/(U·K_a))^(1/a)",
		Inputs: []audit.Operand{with("A", x.TestKV(), "kV"), with("U", x.VoltageKV, "kV"), with("K_a", x.Altitude, ""), with("a", x.Slope, "")},
		Result: audit.Figure(x.Strength, measure), Clause: basis.SeverityStatistics, Sheet: "(A/(U*K_a))^(1/a)"})
	t.Add(audit.Step{Symbol: "σ_w", Meaning: "standard deviation of its logarithm", Formula: "σ_U/a",
		Inputs: []audit.Operand{with("σ_U", x.TestSigma, ""), with("a", x.Slope, "")},
		Result: audit.Figure(x.StrengthSigma, ""), Clause: basis.SeverityStatistics, Sheet: "σ_U/a"})
	t.Add(risked(audit.Step{Symbol: "R", Meaning: "risk of flashover of one string in one event of wetting", Formula: "Φ(ln(S_50/W_50)/√(σ_s² + σ_w²))",
		Inputs: []audit.Operand{with("S_50", x.Stress, measure), with("W_50", x.Strength, measure), with("σ_s", x.StressSigma, ""), with("σ_w", x.StrengthSigma, "")},
		Result: audit.Figure(x.R, ""), Clause: basis.SeverityStatistics, Sheet: "NORMSDIST(LN(S_50/W_50)/SQRT(σ_s^2+σ_w^2))"}))
}

// altitudeSteps show the factor of altitude; of polluted insulation 1 unless the criteria set an exponent.
func (x *String) altitudeSteps(t *audit.Trace) {
	if math.IsNaN(x.GroundM) {
		t.Add(audit.Step{Symbol: "K_a", Meaning: "altitude factor of polluted insulation, off in the criteria", Result: audit.Figure(x.Altitude, "")})
		return
	}
	t.Add(audit.Step{Symbol: "K_a", Meaning: "altitude factor from sea level, not below 1", Formula: "e^(m·H/8150)",
		Inputs: []audit.Operand{with("m", x.Exponent, ""), with("H", x.GroundM, "m")},
		Result: audit.Figure(x.Altitude, ""), Clause: x.ExponentSource, Sheet: "MAX(1,EXP(m*H/8150))"})
}

func (x *String) overvoltageSteps(t *audit.Trace) {
	const kV = "kV"
	t.Add(own("μ_U", fmt.Sprintf("mean of the overvoltages of %s", x.Kind), x.Stress, kV))
	t.Add(own("σ_U", "their standard deviation", x.StressSigma, kV))
	t.Add(own("z", "scatter of the strength, as a share of U50", x.Scatter, ""))
	t.Add(own("M", "strings stressed at once", float64(x.Strings), ""))
	x.withstandSteps(t)
	if x.ByFlashover {
		t.Add(own("U_50s", "flashover of the insulator at sea level, which is less than by its withstand and the scatter", x.SeaLevelKV, kV))
	} else {
		t.Add(audit.Step{Symbol: "U_50s", Meaning: "flashover at sea level, by the scatter that lies between", Formula: "U_w/(1 − 1.28·z_w)",
			Inputs: []audit.Operand{with("U_w", x.WithstandKV, kV), with("z_w", x.foundWith(), "")},
			Result: audit.Figure(x.SeaLevelKV, kV), Clause: basis.GapFormulas, Sheet: "U_w/(1-1.28*z_w)"})
	}
	x.altitudeSteps(t)
	t.Add(audit.Step{Symbol: "U_50", Meaning: "flashover at the site", Formula: "U_50s/K_a",
		Inputs: []audit.Operand{with("U_50s", x.SeaLevelKV, kV), with("K_a", x.Altitude, "")},
		Result: audit.Figure(x.Strength, kV), Clause: basis.AltitudeFromSeaLevel, Sheet: "U_50s/K_a"})
	t.Add(audit.Step{Symbol: "Z", Meaning: "its standard deviation", Formula: "z·U_50",
		Inputs: []audit.Operand{with("z", x.Scatter, ""), with("U_50", x.Strength, kV)},
		Result: audit.Figure(x.StrengthSigma, kV), Clause: basis.Arithmetic, Sheet: "z*U_50"})
	t.Add(risked(audit.Step{Symbol: "R_1", Meaning: "risk of flashover of one string under one overvoltage, of normal strength", Formula: "Φ((μ_U − U_50)/√(σ_U² + Z²))",
		Inputs: []audit.Operand{with("μ_U", x.Stress, kV), with("U_50", x.Strength, kV), with("σ_U", x.StressSigma, kV), with("Z", x.StrengthSigma, kV)},
		Result: audit.Figure(x.R, ""), Clause: basis.StrengthStatistics, Sheet: "NORMSDIST((μ_U-U_50)/SQRT(σ_U^2+Z^2))"}))
	t.Add(audit.Step{Symbol: "U_50M", Meaning: "flashover of the weakest of M such strings", Formula: "U_50 − 4·Z·(1 − M^(−1/5))",
		Inputs: []audit.Operand{with("U_50", x.Strength, kV), with("Z", x.StrengthSigma, kV), with("M", float64(x.Strings), "")},
		Result: audit.Figure(x.ParallelKV, kV), Clause: basis.StrengthStatistics, Sheet: "U_50-4*Z*(1-M^(-1/5))"})
	t.Add(audit.Step{Symbol: "Z_M", Meaning: "its standard deviation", Formula: "Z·M^(−1/5)",
		Inputs: []audit.Operand{with("Z", x.StrengthSigma, kV), with("M", float64(x.Strings), "")},
		Result: audit.Figure(x.ParallelSigmaKV, kV), Clause: basis.StrengthStatistics, Sheet: "Z*M^(-1/5)"})
	t.Add(risked(audit.Step{Symbol: "R", Meaning: "risk of one string by the strength curve P(U) = 1 − 0.5^((1 + (U − U_50)/(4·Z))^5), summed up numerically over the overvoltages of density f", Formula: "∫ f(U)·P(U) dU",
		Inputs: []audit.Operand{with("U_50", x.Strength, kV), with("Z", x.StrengthSigma, kV)},
		Result: audit.Figure(x.Alone, ""), Clause: basis.StrengthStatistics}))
	t.Add(risked(audit.Step{Symbol: "R_M", Meaning: "risk that any of M flashes over, by the same curve with U_50M and Z_M", Formula: "∫ f(U)·P(U) dU",
		Inputs: []audit.Operand{with("U_50M", x.ParallelKV, kV), with("Z_M", x.ParallelSigmaKV, kV)},
		Result: audit.Figure(x.Parallel, ""), Clause: basis.StrengthStatistics}))
}

// withstandSteps show where the withstand comes from, as the checks of it do.
func (x *String) withstandSteps(t *audit.Trace) {
	step := audit.Step{Symbol: "U_w", Meaning: fmt.Sprintf("withstand of the sound string at sea level: %s", x.From), Result: audit.Figure(x.WithstandKV, "kV")}
	share := basis.WithstandFromU50(1, x.foundWith())
	switch {
	case x.GapM > 0:
		t.Add(audit.Step{Symbol: "d", Meaning: "dry arcing distance, without what is defective", Result: audit.Figure(x.GapM, "m"), Clause: basis.OwnFigure})
		t.Add(own("K", "gap factor", x.Gap, ""))
		step.Inputs, step.Clause = []audit.Operand{with("d", x.GapM, "m"), with("K", x.Gap, "")}, basis.GapFormulas
		step.Formula, step.Sheet = fmt.Sprintf("%g·(0.74 + 0.26·K)·530·d", share), fmt.Sprintf("%.17g*(0.74+0.26*K)*530*d", share)
		if x.Kind == Switching {
			step.Formula, step.Sheet = fmt.Sprintf("%g·K·1080·ln(0.46·d + 1)", share), fmt.Sprintf("%.17g*K*1080*LN(0.46*d+1)", share)
		}
	case x.Discs > 0:
		t.Add(audit.Step{Symbol: "x", Meaning: "standard discs as long as the sound units", Result: audit.Figure(x.Discs, "")})
		t.Add(audit.Step{Symbol: "U_50p", Meaning: "positive lightning impulse flashover of these by the table", Result: audit.Figure(x.Table.PositiveKV, "kV"), Clause: basis.DiscStringTablePositive})
		t.Add(audit.Step{Symbol: "U_50n", Meaning: "the negative one", Result: audit.Figure(x.Table.NegativeKV, "kV"), Clause: basis.DiscStringTable})
		step.Inputs, step.Clause = []audit.Operand{with("U_50p", x.Table.PositiveKV, "kV"), with("U_50n", x.Table.NegativeKV, "kV")}, basis.DiscStringTable
		step.Formula, step.Sheet = fmt.Sprintf("%g·min(U_50p, U_50n)", share), fmt.Sprintf("%.17g*MIN(U_50p,U_50n)", share)
	}
	t.Add(step)
}
