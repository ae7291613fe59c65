package report

import (
	"context"
	"fmt"
	"math"

	"dryarc/audit"
)

// deviationLimit is the limit for suspension assemblies of a line: its own, else that of the criteria.
func deviationLimit(r *audit.Result, l int) float64 {
	if line := &r.Network.Lines[l]; !math.IsNaN(line.Row.DeviationLimitDeg) {
		return line.Row.DeviationLimitDeg
	}
	return r.Network.Criteria(l).DeviationLimitDeg.Value
}

// writeLines writes the sheet of lines with their figures, those first that stand worst.
func (b *book) writeLines(ctx context.Context) error {
	r := b.result
	schedules, err := r.Schedules(ctx)
	if err != nil {
		return err
	}
	count := look{format: asCount}
	t := b.newTable(ctx, linesSheet, 1, []column{
		{"Line", 12, look{bold: true, wrap: true}},
		{"Name", 20, look{wrap: true}},
		{"Structures", 9.5, count},
		{"Open per 100 structures", 10, look{format: asPercent, bold: true}},
		{"Open shortfalls", 9.5, count},
		{"Open advisories", 9.5, count},
		{"Open notes", 7, count},
		{"Exceptions in all", 10, count},
		{"Assessed", 9, look{indent: 1}},
		{"Length (km)", 8, look{format: asTenths}},
		{"Ordered by", 14, look{indent: 1}},
		{"Highest voltage (kV)", 9.5, look{format: "General"}},
		{"Circuits", 8, count},
		{"Assemblies", 10.5, count},
		{"Verdicts: meets", 9, count},
		{"Verdicts: falls short", 10, count},
		{"Verdicts: not assessed", 10, count},
		{"Verdicts: not asked for", 10, count},
		{"Judged (%)", 8, look{format: asPercent}},
		{"Fail one class worse", 10, count},
		{"Sections required", 9.5, count},
		{"Sections registered", 10, count},
		{"Longest section (km)", 10, look{format: asTenths}},
		{"Deviation limit (deg)", 9.5, look{format: "General"}},
		{"Strings bear up to (deg)", 10, look{format: asTenths}},
		{"Conductor", 13, look{wrap: true, indent: 1}},
		{"Stands also on structures of", 30, look{wrap: true, indent: 1}},
	})
	t.statuses = []status{{heading: "Open shortfalls", when: "{Open shortfalls}>0", look: look{bold: true, color: ochre}}}
	exceptions := exceptionsByLine(r)
	shown := min(len(r.Lines), b.limits.rows)
	for _, x := range rankedLines(r, b.decided)[:shown] {
		l := x.line
		line, res := &r.Network.Lines[l], &r.Lines[l]
		cells := []any{r.Project.Symbols.Text(line.Symbol), r.Project.Symbols.Text(line.Row.Name), line.End - line.First}
		if res.Assessed {
			cells = append(cells, x.per, x.open[audit.Shortfall], x.open[audit.Advisory], x.open[audit.Note], exceptions[l].total(), "yes")
		} else {
			cells = append(cells, nil, nil, nil, nil, nil, "no")
		}
		cells = append(cells, lengthKM(r, l), orderingOf(line), line.HighestKV, positive(circuitsOf(line)), line.RowsPlaced)
		if res.Assessed {
			total := lineTotals(res)
			cells = append(cells, total.Meets, total.FallsShort, total.Lacking(), total.NotAsked, audit.JudgedPercent(total), res.OneClassWorse)
		} else {
			cells = append(cells, nil, nil, nil, nil, nil, nil)
		}
		s := sectionsOf(r, l, &schedules[l])
		t.add(append(cells, s.required, positive(s.registered), s.longestKM, deviationLimit(r, l), r.Network.BearsDeg(l), conductorOf(r, line), sharedWith(r, l))...)
	}
	t.remarkCut(shown, len(r.Lines), "lines, the worst; audit.json has all")
	if b.decided != nil {
		t.remark("Open: neither accepted nor planned, in force. Lines stand by what is open; Exceptions in all counts the rest too.")
	}
	return t.finish()
}

// orderingOf says what put the structures of a line in order, and whether it runs round.
func orderingOf(line *audit.Line) string {
	if line.Closed {
		return line.Ordering.String() + ", ring"
	}
	return line.Ordering.String()
}

// conductorOf names the conductor of a line as the Lines sheet does.
func conductorOf(r *audit.Result, line *audit.Line) string {
	name := r.Project.Symbols.Text(line.Row.Conductor)
	if line.Conductor == nil && name != "" {
		name += " (not in the catalogue)"
	}
	return name
}

// sharedWith lists the lines that stand on structures of a line, with the number of structures.
func sharedWith(r *audit.Result, line int) string {
	shared := r.Network.SharesWith(line)
	texts := make([]string, len(shared))
	for i, other := range shared {
		texts[i] = fmt.Sprintf("%s (%d)", r.Project.Symbols.Text(r.Network.Lines[other.Line].Symbol), other.Structures)
	}
	return enumerated(texts, 6)
}

// sections are the runs between tension structures of one line.
type sections struct {
	required, registered int     // registered is −1 where no row of the register stands on the line
	longestKM            float64 // of those registered, NaN where there are none
}

func sectionsOf(r *audit.Result, line int, schedule *audit.Schedule) sections {
	n := r.Network
	s := sections{registered: -1, longestKM: math.NaN()}
	requires := n.HeldAsRequired(line)
	s.required = len(n.Sections(line, func(structure int) bool {
		if needed := schedule.Of(structure - n.Lines[line].First); needed != nil {
			return needed.Duty == audit.Tension
		}
		return requires(structure)
	}))
	if n.Lines[line].RowsPlaced > 0 {
		registered := n.SectionsAsRegistered(line)
		s.registered, s.longestKM = len(registered), audit.Longest(registered).LengthM/1000
	}
	return s
}

// positive is a count that is unknown where it is negative.
func positive(n int) any {
	if n < 0 {
		return nil
	}
	return n
}
