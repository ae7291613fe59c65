package report

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// Explanation prints how every verdict on one structure came about, so that an engineer can redo it with a pocket
// calculator.
func Explanation(w io.Writer, n *audit.Network, line, structure int, derivations []audit.Derivation) {
	p := n.Project
	s := n.Structure(line, structure)
	fmt.Fprintf(w, "line %s, structure %s\n", Visible(p.Symbols.Text(n.Lines[line].Symbol)), Visible(p.Texts.Get(s.Number)))
	explainStructure(w, n, line, &s)
	explainInspections(w, n, structure)
	where := ""
	uncertainty := audit.NewUncertainty(n)
	for i := range derivations {
		d := &derivations[i]
		if d.Verdict.Outcome == audit.NotApplicable {
			continue
		}
		if here := whereInWords(n, d); here != where {
			fmt.Fprintf(w, "\n%s\n", here)
			where = here
		}
		fmt.Fprintf(w, "\n  %s: %s\n", d.Check.ID, outcomeInWords(d.Verdict))
		var steps strings.Builder
		Derivation(&steps, d.Trace.Steps)
		fmt.Fprint(w, indent(steps.String()))
		if d.Verdict.Outcome <= audit.FallsShort {
			fmt.Fprintf(w, "    %s\n", Visible(comparison(d.Verdict)))
			if standing := standingRecordOf(uncertainty, d.Check, &d.Subject, &d.Verdict); standing != nil {
				fmt.Fprintf(w, "    %s\n", Visible(standing.inWords()))
			}
		}
		if d.Failed != "" {
			fmt.Fprintf(w, "    %s\n", Visible(d.Failed))
		}
		if d.Verdict.Sentence != "" {
			fmt.Fprintf(w, "    %s %s\n", Visible(d.Verdict.Sentence), d.Check.RemedyFor(&d.Verdict))
		}
	}
	fmt.Fprintf(w, "\nnot applicable here: %s\n\n%s\n", strings.Join(notApplicable(derivations), ", "), Caution)
}

// supersededInWords says which figures of its own a structure is not judged by, and what says so.
func supersededInWords(n *audit.Network, line int, figures audit.Superseded) string {
	by := "a row of the sheet Lines that names no line of the structures"
	if at := n.Lines[line].Row.Source; at.Row > 0 {
		by = fmt.Sprintf("%s row %d", n.Project.Tables[at.Table], at.Row)
	}
	return fmt.Sprintf("%s: what it states is not judged by (superseded figures, %s)", figures, by)
}

// levelSource says from which raster a ground level is; nothing of one that is stated. number is 1 + its place among those of the project.
func levelSource(p *audit.Project, number uint16, errorM float64, byZero bool) string {
	if number == 0 {
		return ""
	}
	from := &p.Terrain[number-1]
	kind, datum := "bilinear between its samples", "vertical datum not stated"
	if byZero {
		kind += ", one of them exactly 0 m, which may stand for none"
	}
	if from.Surface {
		kind += ", a surface model"
	}
	if from.Vertical != "" {
		datum = "above " + from.Vertical
	}
	if errorM > 0 {
		datum += ", σ " + Value(audit.Figure(errorM, "m"))
	}
	return fmt.Sprintf(" (from %s, %s, %s)", from.File, kind, datum)
}

func explainStructure(w io.Writer, n *audit.Network, line int, s *audit.Structure) {
	criteria := n.Criteria(line)
	row := func(name, value string) { fmt.Fprintf(w, "  %-14s %s\n", name, Visible(value)) }
	metres := func(v float64) string { return Value(audit.Figure(math.Round(v*1000)/1000, "m")) }
	row("position", fmt.Sprintf("%.7f, %.7f (longitude, latitude, WGS 84)", s.Position[0], s.Position[1]))
	row("read from", fmt.Sprintf("%s row %d", n.Project.Tables[s.Source.Table], s.Source.Row))
	of := audit.Subject{Criteria: criteria, Line: &n.Lines[line], Structure: s}
	errorsM, _ := of.TerrainErrors()
	ground := metres(s.GroundM) + levelSource(n.Project, s.Terrain, errorsM[1], s.ByZero[1])
	if s.NoGround != audit.NoReason {
		ground += " (" + of.LacksGround().String() + ")"
	}
	row("ground", ground)
	row("chainage", metres(n.ChainageM(line, s.Index)))
	row("spans", fmt.Sprintf("%s behind, %s ahead", metres(s.SpanBackM), metres(s.SpanAheadM)))
	row("deviation", Value(audit.Figure(s.DeviationDeg, "deg"))+" (positive to the right; forward azimuth ahead less arriving azimuth, on the ellipsoid)")
	limit := "default, " + criteria.DeviationLimitDeg.Clause.String()
	if s.LimitStated {
		limit = basis.OwnFigure.String()
	}
	row("limit", fmt.Sprintf("%s (%s)", Value(audit.Figure(s.DeviationLimitDeg, "deg")), limit))
	if figures := n.SupersededAt(line, s.Index); figures != 0 {
		row("superseded", supersededInWords(n, line, figures))
	}
	row("role", fmt.Sprintf("%s, family %s", s.Role, s.Family))
	requires, unclear := n.Requires(s)
	needs := requires.String()
	if unclear != audit.NoReason {
		needs += ": " + unclear.String()
	}
	row("requires", needs)
	zone := "outside every zone, the default class"
	if s.Zone >= 0 {
		zone = fmt.Sprintf("zone %q, %s row %d", n.Zones[s.Zone].Label, n.Project.Tables[n.Zones[s.Zone].Source.Table], n.Zones[s.Zone].Source.Row)
	}
	if source := of.CreepageSource(); source == basis.OwnFigure && !math.IsNaN(s.SpecificCreepage) {
		zone += "; " + source.String()
	}
	class := fmt.Sprintf("%s, %s (%s)", s.Class, Value(audit.Figure(s.SpecificCreepage, "mm/kV")), zone)
	switch {
	case math.IsNaN(s.SpecificCreepage):
	case s.Class == basis.ClassUnknown:
		class = fmt.Sprintf("%s (%s)", of.CreepageInWords(), zone)
	case of.CreepageSource() == basis.OwnFigure:
		class = fmt.Sprintf("%s, %s (%s)", s.Class, of.CreepageInWords(), zone)
	}
	switch {
	case s.Doubt != audit.NoReason && s.Zone == s.DoubtfulZone:
		class = fmt.Sprintf("not known: %s (%s)", s.Doubt, zone)
	case s.Doubt != audit.NoReason:
		doubtful := &n.Zones[s.DoubtfulZone]
		class += fmt.Sprintf(" as far as is known: %s (zone %q, %s row %d)", s.Doubt, doubtful.Label, n.Project.Tables[doubtful.Source.Table], doubtful.Source.Row)
	}
	row("class", class)
	if !math.IsNaN(s.WeightSpanColdM) {
		row("weight span", metres(s.WeightSpanColdM)+" in the cold case")
	}
	if crossed := n.Crossed(s.Index); len(crossed) > 0 {
		row("crosses ahead", strings.Join(crossed, ", "))
	}
	l := &n.Lines[line]
	row("voltage", fmt.Sprintf("nominal %s, highest %s", Value(audit.Figure(l.Row.NominalKV, "kV")), Value(audit.Figure(l.HighestKV, "kV"))))
	if l.Along == audit.AlongWhole || l.GoesByPole(criteria) {
		row("along strings", Value(audit.Figure(l.PhaseToEarthKV, "kV"))+" for creepage, "+l.Row.System.String())
	}
	if s.Doubtful {
		row("note", "beside doubtful geometry, see the faults")
	}
}

func whereInWords(n *audit.Network, d *audit.Derivation) string {
	p := n.Project
	switch {
	case d.Subject.Assembly != nil:
		a := d.Subject.Assembly
		words := []string{"assembly", a.Duty.String(), a.Hanging(), "circuit " + cmp.Or(p.Symbols.Text(a.Circuit), "not known")}
		if a.Phase != 0 {
			words = append(words, "phase "+p.Symbols.Text(a.Phase))
		}
		if a.Side != audit.NoSide {
			words = append(words, a.Side.String())
		}
		text := fmt.Sprintf("%s (%s row %d)", strings.Join(words, ", "), p.Tables[a.Source.Table], a.Source.Row)
		return Visible(text) + distribution(d.Subject)
	case d.Subject.Place != nil:
		text := "circuit " + p.Symbols.Text(d.Subject.Place.Circuit)
		if side := d.Subject.Place.Side; side != audit.NoSide {
			text += ", " + side.String() + " side"
		}
		return Visible(text)
	}
	return "structure"
}

// distribution says how the voltage spreads along the string, where the line states a capacitance ratio. Indicative only.
func distribution(s audit.Subject) string {
	share, efficiency, ok := s.Distribution()
	if !ok {
		return ""
	}
	return fmt.Sprintf("\n  indicative: the unit at the conductor carries %.1f %% of the voltage, string efficiency %.1f %% (capacitance ratio %g; exact ladder, computed)",
		100*share, 100*efficiency, s.Line.Row.CapacitanceRatio)
}

func outcomeInWords(v audit.Verdict) string {
	text := v.Outcome.String()
	if v.Outcome == audit.FallsShort {
		text += " (" + v.Severity.String() + ")"
	}
	if v.Reason != audit.NoReason {
		text += ": " + v.Reason.String()
	}
	return text
}

func comparison(v audit.Verdict) string {
	text := fmt.Sprintf("observed %s, required %s", Value(v.Observed), Value(v.Required))
	if margin := marginInWords(v.Margin); margin != "" {
		text += ", margin " + margin
	}
	return text
}

func indent(text string) string {
	if text == "" {
		return ""
	}
	return "  " + strings.ReplaceAll(strings.TrimSuffix(text, "\n"), "\n", "\n  ") + "\n"
}

func notApplicable(derivations []audit.Derivation) (ids []string) {
	applied := map[string]bool{}
	for _, d := range derivations {
		if d.Verdict.Outcome != audit.NotApplicable {
			applied[d.Check.ID] = true
		}
	}
	seen := map[string]bool{}
	for _, d := range derivations {
		if !applied[d.Check.ID] && !seen[d.Check.ID] {
			seen[d.Check.ID] = true
			ids = append(ids, d.Check.ID)
		}
	}
	return ids
}
