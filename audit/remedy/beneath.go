package remedy

import (
	"fmt"
	"slices"

	"dryarc/audit"
)

// What falls short of the least that its site may ask for is short whatever it asks for, while how much would be enough nobody knows: class f has
// no figure, or the ground level is not known. On trial that cannot be judged, so that nothing proposed would mend it.

// beneath is a check that a circuit falls short of in that way.
type beneath struct {
	check, exception int
	circuit          audit.Symbol
	duty             audit.Duty
	hangs            string
}

// fallsBeneath lists those of some exceptions that the rows as last judged do not fall short of on trial, since what is enough cannot be judged.
func (b *bench) fallsBeneath(exceptions []int) (list []beneath) {
	for _, i := range exceptions {
		e := &b.result.Exceptions[i]
		isIt := func(f fall) bool { return f.check == e.Check && f.circuit == e.Circuit }
		if e.Assembly < 0 || e.Verdict.Severity > b.want || slices.ContainsFunc(b.found, isIt) || b.openOf(e.Check, e.Circuit) == nil ||
			slices.ContainsFunc(list, func(x beneath) bool { return x.check == e.Check && x.circuit == e.Circuit }) {
			continue
		}
		row := audit.TrialRow{At: e.Assembly, Row: b.network.Project.Assemblies.At(e.Assembly)}
		asm := b.site.Assembly(&row)
		list = append(list, beneath{check: e.Check, exception: i, circuit: e.Circuit, duty: asm.Duty, hangs: asm.Hanging()})
	}
	return list
}

// openOf is what cannot be judged of a circuit by a check, as the rows were last judged; nil where it can.
func (b *bench) openOf(check int, circuit audit.Symbol) *Open {
	if i := slices.IndexFunc(b.open, func(o Open) bool { return o.Check == check && o.Circuit == circuit }); i >= 0 {
		return &b.open[i]
	}
	return nil
}

// leaveBeneath names what of that cannot be judged with the work done either, which is no limit.
func (b *bench) leaveBeneath(list []beneath) {
	if len(list) == 0 {
		return
	}
	b.falls()
	for _, x := range list {
		open := b.openOf(x.check, x.circuit)
		if open == nil {
			continue
		}
		j := b.job
		text := fmt.Sprintf("%s of what would take the place of %s cannot be judged: %s.", b.result.Checks[x.check].ID, x.hangs, open.Reason)
		j.StoppedBy = append(j.StoppedBy, Stop{Circuit: x.circuit, Duty: x.duty, Check: x.check, Unjudged: true, Sentence: text})
		j.Open = append(j.Open, Open{Check: x.check, Circuit: x.circuit, Exception: x.exception})
		j.Trace = append(j.Trace, fmt.Sprintf("Circuit %s, %s: what serves is not known. %s", b.network.Project.Symbols.Text(x.circuit), x.duty, text))
	}
}
