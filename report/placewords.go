package report

import (
	"cmp"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/remedy"
)

// What hangs where something is missing is told phase by phase and side by side: nothing on some says nothing of the others.

// strung is what hangs alike on some phases of a circuit.
type strung struct {
	duty   audit.Duty
	side   audit.Side
	phases audit.Phases
	text   string
}

// strungAt lists what the register has of a circuit at a structure in assemblies that carry a phase, in an order of its own.
func strungAt(r *audit.Result, structure int, circuit audit.Symbol) (list []strung) {
	for _, row := range r.Network.AssemblyRows(structure) {
		if a := r.Network.Assembly(row); a.Circuit == circuit && (a.Duty.CarriesPhase() || a.Duty == audit.DutyUnknown) {
			list = append(list, strung{a.Duty, a.Side, a.Phases, a.Hanging()})
		}
	}
	slices.SortFunc(list, func(x, y strung) int {
		return cmp.Or(cmp.Compare(x.duty, y.duty), cmp.Compare(x.side, y.side), cmp.Compare(x.text, y.text), cmp.Compare(x.phases, y.phases))
	})
	out := list[:0]
	for _, s := range list {
		if k := len(out) - 1; k >= 0 && out[k].duty == s.duty && out[k].side == s.side && out[k].text == s.text {
			out[k].phases |= s.phases
			continue
		}
		out = append(out, s)
	}
	return out
}

// circuitInWords says what hangs of a circuit by duty, and which phases and sides have nothing: "tension: A,B,C ahead: 10 × U120B; back: nothing
// registered". A gap stands with its duty, one of a duty that does not hang there, or of none, by the end.
func circuitInWords(r *audit.Result, structure int, circuit audit.Symbol, gaps []gapAt) (out []string) {
	gaps = slices.Clone(gaps)
	list := strungAt(r, structure, circuit)
	for i := 0; i < len(list); {
		duty := list[i].duty
		var words []string
		for ; i < len(list) && list[i].duty == duty; i++ {
			words = append(words, prefixed(placedAt(list[i].phases.String(), list[i].side.String()), list[i].text))
		}
		isLast := i == len(list)
		gaps = slices.DeleteFunc(gaps, func(g gapAt) bool {
			is := g.duty == duty || isLast && g.duty == audit.DutyUnknown
			if text := prefixed(g.where, nothingRegistered); is && !slices.Contains(words, text) {
				words = append(words, text)
			}
			return is
		})
		name := duty.String()
		if duty == audit.DutyUnknown {
			name = "duty not known"
		}
		out = append(out, name+": "+strings.Join(words, "; "))
	}
	for _, g := range gaps {
		text := nothingRegistered
		if len(list) > 0 {
			text = prefixed(g.where, text)
		}
		if g.duty != audit.DutyUnknown {
			text = g.duty.String() + ": " + text
		}
		if !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return out
}

// gapAt is where a circuit has nothing, and in which duty it should have; DutyUnknown where nobody says.
type gapAt struct {
	duty  audit.Duty
	where string
}

// gapOfRemedy is what a remedy fills of which the register has nothing.
func gapOfRemedy(x *remedy.Remedy) gapAt {
	phases := ""
	if x.Phases != audit.EveryPhase {
		phases = x.Phases.String()
	}
	var sides []string
	for _, s := range x.Sides {
		sides = append(sides, s.String())
	}
	return gapAt{x.Duty, placedAt(phases, strings.Join(sides, " and "))}
}

// gapOfException is what a place lacks.
func gapOfException(r *audit.Result, e *audit.Exception) gapAt {
	return gapAt{where: placedAt(e.Phases(r.Project), e.Side.String())}
}

func placedAt(phases, side string) string { return strings.TrimSpace(phases + " " + side) }

func prefixed(where, text string) string {
	if where == "" {
		return text
	}
	return where + ": " + text
}

// installedOf says what hangs where an exception is: its own assembly; of a place that lacks something, what its circuit has and has not; else
// what hangs at the structure.
func installedOf(r *audit.Result, e *audit.Exception) string {
	if e.Structure < 0 || e.Assembly >= 0 || e.Circuit == 0 || r.Checks[e.Check].Of != audit.OfPlace {
		return installedAt(r, &e.Location)
	}
	return strings.Join(circuitInWords(r, e.Structure, e.Circuit, []gapAt{gapOfException(r, e)}), "; ")
}

// hangsWithout says what hangs at a structure whose job hangs nothing: of the circuits that the job is about, or of all.
func hangsWithout(r *audit.Result, j *remedy.Job) string {
	name := r.Project.Symbols.Text
	var circuits []audit.Symbol
	gaps := map[audit.Symbol][]gapAt{}
	for _, i := range j.Exceptions {
		e := &r.Exceptions[i]
		if e.Circuit == 0 {
			circuits = nil
			break
		}
		if !slices.Contains(circuits, e.Circuit) {
			circuits = append(circuits, e.Circuit)
		}
		if r.Checks[e.Check].Of == audit.OfPlace {
			gaps[e.Circuit] = append(gaps[e.Circuit], gapOfException(r, e))
		}
	}
	var out []string
	for _, circuit := range circuits {
		for _, text := range circuitInWords(r, j.Structure, circuit, gaps[circuit]) {
			out = append(out, "circuit "+name(circuit)+", "+text)
		}
	}
	if len(out) == 0 {
		return installedAt(r, &audit.Location{Structure: j.Structure, Assembly: -1})
	}
	return strings.Join(out, "\n")
}

// hangsInWords says what hangs where a remedy is for what hangs, and which phases of the same duty have nothing.
func hangsInWords(j *remedy.Job, x *remedy.Remedy) string {
	if x.From == "" {
		return nothingRegistered
	}
	text := x.From
	for i := range j.Remedies {
		if o := &j.Remedies[i]; o.Unregistered && o.Circuit == x.Circuit && o.Duty == x.Duty {
			text += "; " + prefixed(gapOfRemedy(o).where, nothingRegistered)
		}
	}
	return text
}
