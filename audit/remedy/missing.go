package remedy

import (
	"slices"

	"dryarc/audit"
)

// modelsFor lists what new assemblies must not fall behind: those of their duty that hang here, else what the line usually has,
// else what hangs in their place.
func (b *bench) modelsFor(q *ask, instead []audit.Assembly) (models []audit.Assembly) {
	for i := range b.rows {
		if r := &b.rows[i].Row; r.Circuit == q.circuit && r.Duty == q.duty && r.Faulty&audit.KeyCells == 0 {
			if a := b.site.Assembly(&b.rows[i]); a.Makeup != nil && a.UnitsPerString > 0 {
				return append(models, a)
			}
		}
	}
	if usual, ok := b.use.usual(q.duty, b.site.Structure().SpecificCreepage); ok {
		row := b.remade(q.members[0], usual.unit, usual.units, usual.strings)
		return append(models, b.site.Assembly(&row))
	}
	return instead
}

// steady hangs jumper strings at a structure that got tension assemblies, where the line has them as a rule.
func (b *bench) steady(tension *ask) bool {
	isEnd := len(b.site.Sides(tension.circuit)) < 2
	if !b.use.jumpers || isEnd || slices.ContainsFunc(b.rows, func(t audit.TrialRow) bool {
		return t.Row.Circuit == tension.circuit && t.Row.Duty == audit.Jumper
	}) {
		return true
	}
	q := ask{circuit: tension.circuit, duty: audit.Jumper, newcomer: true, unregistered: tension.unregistered, move: NewAssembly}
	for _, m := range tension.members {
		q.members = append(q.members, b.newRow(&m.Row, tension.circuit, audit.Jumper, audit.NoSide, m.Row.Phases))
	}
	return b.hang(&q)
}

// hang adds assemblies where none are.
func (b *bench) hang(q *ask) bool {
	q.models = b.modelsFor(q, nil)
	if len(q.models) == 0 {
		q.models = b.anyModel(q)
	}
	serve, blocks := b.answers(q)
	if len(serve) == 0 {
		return b.stop(q, blocks)
	}
	i := slices.IndexFunc(serve, func(a answer) bool { return b.hangsBeside(q, &a) })
	if i > 0 {
		serve = slices.Concat(serve[i:i+1], serve[:i], serve[i+1:])
	}
	b.take(q, serve, nil)
	if i > 0 {
		b.job.Trace = append(b.job.Trace, "It is what hangs beside it in the circuit and duty, or is to, which have one make-up where that serves.")
	}
	return true
}

// hangsBeside tells whether an answer is the make-up that hangs at the structure in the circuit and duty, or is to.
func (b *bench) hangsBeside(q *ask, a *answer) bool {
	return slices.ContainsFunc(b.rows, func(t audit.TrialRow) bool {
		if t.Row.Circuit != q.circuit || t.Row.Duty != q.duty || t.Row.Faulty&audit.KeyCells != 0 {
			return false
		}
		asm := b.site.Assembly(&t)
		set := setOf(&asm)
		return set.Unit == a.to.Unit && set.UnitsPerString == a.to.UnitsPerString && set.Strings == a.to.Strings
	})
}

// anyModel is the string that the line has most of in any duty that strings serve, for want of one of the duty.
func (b *bench) anyModel(q *ask) []audit.Assembly {
	for _, duty := range [...]audit.Duty{audit.Suspension, audit.Tension} {
		if usual, ok := b.use.usual(duty, b.site.Structure().SpecificCreepage); ok {
			row := b.remade(q.members[0], usual.unit, usual.units, usual.strings)
			return []audit.Assembly{b.site.Assembly(&row)}
		}
	}
	return nil
}

// newRow is a row for an assembly that the register does not have, beside one of its rows where there is any.
func (b *bench) newRow(beside *audit.AssemblyRow, circuit audit.Symbol, duty audit.Duty, side audit.Side, phases audit.Phases) audit.TrialRow {
	row := audit.AssemblyRow{
		RowOwn:  audit.RowOwn{Line: b.site.Line().Symbol, Number: b.site.Structure().Number, Side: side, Installed: audit.NoDay, Inspected: audit.NoDay},
		RowSaid: audit.RowSaid{Circuit: circuit, Duty: duty, Phases: phases, UnitsPerString: -1, Strings: 1, Arrangement: audit.Single},
	}
	if beside != nil {
		row.Source = beside.Source
	} else if rows := &b.network.Project.Assemblies; rows.Len() > 0 {
		row.Source.Table = rows.At(0).Source.Table
	}
	return audit.TrialRow{At: -1, Row: row, Changed: true}
}

// fillPlaces hangs what is missing: phases at a place, a side of a tension structure, everything where nothing hangs.
func (b *bench) fillPlaces(circuit audit.Symbol) bool {
	if !slices.ContainsFunc(b.rows, func(t audit.TrialRow) bool { return t.Row.Circuit == circuit && t.Row.Duty <= audit.Shackle }) {
		return b.hangCircuit(circuit)
	}
	const passes = 3 // a side, and what is missing on it
	for range passes {
		var missing []audit.Place
		for _, f := range b.falls() {
			if f.circuit == circuit && f.kind == audit.OfPlace && f.verdict.Severity <= b.want {
				missing = append(missing, f.place)
			}
		}
		if len(missing) == 0 {
			return true
		}
		for _, p := range missing {
			if !b.fill(circuit, &p) {
				return false
			}
		}
	}
	return true
}

// fill hangs what a place lacks, in the duty that its circuit has there.
func (b *bench) fill(circuit audit.Symbol, p *audit.Place) bool {
	lacks := p.Expected &^ (p.Present &^ p.Mixed)
	if p.Expected == audit.EveryPhase && p.Present != 0 {
		return true // nobody says which
	}
	duty, side := audit.Tension, p.Side
	var beside *audit.AssemblyRow
	for i := range b.rows {
		r := &b.rows[i].Row
		if r.Circuit != circuit || !r.Duty.CarriesPhase() {
			continue
		}
		if beside == nil || p.Tension && r.Duty == audit.Tension {
			beside = r
		}
		if p.Side != audit.NoSide && r.Duty == audit.Tension && r.Phases&lacks != 0 && r.Side.Serves(p.Side) {
			lacks &^= r.Phases // filled since the place was looked at
		}
	}
	if lacks == 0 || beside == nil {
		return true
	}
	if !p.Tension {
		duty, side = beside.Duty, audit.NoSide
	} else if side == audit.NoSide {
		side, _ = oneOrBoth(b.site.Sides(circuit))
	}
	q := ask{circuit: circuit, duty: duty, newcomer: true, unregistered: true, move: NewAssembly}
	q.members = append(q.members, b.newRow(beside, circuit, duty, side, lacks))
	return b.hang(&q)
}

// hangCircuit hangs a circuit of which the register has nothing here, as the schedule says: in the duty that the structure
// needs.
func (b *bench) hangCircuit(circuit audit.Symbol) bool {
	duty, _ := b.network.Requires(b.site.Structure())
	side := audit.NoSide
	q := ask{circuit: circuit, duty: duty, newcomer: true, unregistered: true, move: NewAssembly}
	if duty == audit.DutyUnknown {
		return b.stop(&q, nil)
	}
	if duty == audit.Tension {
		side, _ = oneOrBoth(b.site.Sides(circuit))
	} else if usual, ok := b.usualDuty(); ok {
		duty, q.duty = usual, usual
	}
	phases := audit.EveryPhase
	for i := range b.site.Line().Circuits {
		if c := &b.site.Line().Circuits[i]; c.Symbol == circuit {
			phases = c.Phases
		}
	}
	q.members = append(q.members, b.newRow(nil, circuit, duty, side, phases))
	if b.site.Line().MayLackPhases(phases) {
		return b.stop(&q, []block{{check: -1, mayServe: true, lacks: lacksPhases, sentence: func() string {
			return "Which phases the circuit has is not known, so neither is how many assemblies it needs."
		}}})
	}
	if !b.hang(&q) {
		return false
	}
	return duty != audit.Tension || b.steady(&q)
}

// usualDuty is how a line carries its conductors where it runs straight: on posts or pins where it has no suspension strings.
func (b *bench) usualDuty() (audit.Duty, bool) {
	for _, duty := range [...]audit.Duty{audit.Suspension, audit.Post, audit.Pin} {
		if _, ok := b.use.usual(duty, b.site.Structure().SpecificCreepage); ok {
			return duty, true
		}
	}
	return audit.DutyUnknown, false
}
