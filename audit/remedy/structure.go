package remedy

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
)

// solve finds the job of a structure, nil where it needs none.
func (b *bench) solve(structure int, exceptions []int) *Job {
	b.site = b.first
	b.site.MoveTo(structure)
	goals := b.look()
	if b.then != nil {
		b.site = b.then
		b.site.MoveTo(structure)
		b.judge(nil)
		for _, f := range b.found {
			if f.kind != audit.OfStructure && !b.allows(f.circuit, f.check, &f.verdict, false) {
				goals = append(goals, f)
			}
		}
	}
	if len(goals) == 0 {
		return nil
	}
	b.job = &Job{Line: b.site.Structure().Line, Structure: structure, Exceptions: exceptions}
	if b.marked == nil {
		b.job.Candidates = InUse
	}
	circuits := b.circuitsOf(goals)
	if len(circuits) == 0 {
		b.job.StoppedBy = append(b.job.StoppedBy, Stop{Check: -1, Sentence: "The register names no circuit that would hang here."})
	}
	for _, circuit := range circuits {
		b.solveCircuit(circuit, goals)
	}
	b.close(goals)
	return b.job
}

// circuitsOf lists the circuits of what is to be mended, those of the line in their order first.
func (b *bench) circuitsOf(goals []fall) (circuits []audit.Symbol) {
	concerned := func(c audit.Symbol) bool {
		return slices.ContainsFunc(goals, func(f fall) bool { return f.circuit == c })
	}
	line := b.site.Line()
	for i := range line.Circuits {
		c := &line.Circuits[i]
		at := b.site.Structure().Index
		expected := (c.First <= at || !c.EndsFirst) && (at <= c.Last || !c.EndsLast)
		if concerned(c.Symbol) || expected && concerned(0) {
			circuits = append(circuits, c.Symbol)
		}
	}
	for _, f := range goals {
		if f.circuit != 0 && !slices.Contains(circuits, f.circuit) {
			circuits = append(circuits, f.circuit)
		}
	}
	return circuits
}

// solveCircuit mends one circuit, or leaves its rows as they are and says what stopped it.
func (b *bench) solveCircuit(circuit audit.Symbol, goals []fall) {
	rows, remedies, alternatives := slices.Clone(b.rows), len(b.job.Remedies), len(b.job.Alternatives)
	if b.mendAssemblies(circuit, goals) && b.fillPlaces(circuit) && b.holds(circuit) {
		return
	}
	b.fresh = false
	b.rows, b.job.Remedies, b.job.Alternatives = rows, b.job.Remedies[:remedies], b.job.Alternatives[:alternatives]
}

// duties lists the duties of a circuit's rows that fall short by themselves, in the order of the vocabulary.
func (b *bench) duties(circuit audit.Symbol, goals []fall) (duties []audit.Duty) {
	for d := audit.Suspension; d <= audit.Jumper; d++ {
		if slices.ContainsFunc(goals, func(f fall) bool { return f.circuit == circuit && f.row >= 0 && b.rows[f.row].Row.Duty == d }) {
			duties = append(duties, d)
		}
	}
	return duties
}

// keyCells are the cells that tell one assembly from another; a row with a fault in one of them is left alone.
const keyCells = audit.Cells(1<<audit.CellDuty | 1<<audit.CellCircuits | 1<<audit.CellPhase | 1<<audit.CellSide)

// mendAssemblies mends what falls short by itself, duty by duty.
func (b *bench) mendAssemblies(circuit audit.Symbol, goals []fall) bool {
	for _, duty := range b.duties(circuit, goals) {
		q, at := b.askFor(circuit, duty)
		if len(q.members) == 0 {
			return b.stop(&q, nil)
		}
		serve, blocks := b.answers(&q)
		if len(serve) > 0 {
			b.take(&q, serve, at)
			continue
		}
		if duty == audit.Tension || duty == audit.Jumper || !b.dutyTells(&q, goals) {
			return b.stop(&q, blocks)
		}
		if !b.changeDuty(&q, at, blocks) {
			return false
		}
	}
	return true
}

// askFor asks for the make-up of the assemblies of a circuit and duty, and says in which rows on trial they are.
func (b *bench) askFor(circuit audit.Symbol, duty audit.Duty) (q ask, at []int) {
	q = ask{circuit: circuit, duty: duty}
	for i := range b.rows {
		if r := &b.rows[i].Row; r.Circuit == circuit && r.Duty == duty && r.Faulty&keyCells == 0 {
			q.members, q.old, at = append(q.members, b.rows[i]), append(q.old, b.site.Assembly(&b.rows[i])), append(at, i)
		}
	}
	q.models = slices.Clone(q.old)
	for i := range q.members {
		if worst, is := b.worstRepeat(&q.members[i], &q.old[i]); is {
			q.models, q.old[i] = append(q.models, worst), worst
		}
	}
	return q, at
}

// worstRepeat is what a later row says of the same assembly, where that is less: what hangs there is one of the two, and the work
// is reckoned from the worse.
func (b *bench) worstRepeat(m *audit.TrialRow, first *audit.Assembly) (worst audit.Assembly, is bool) {
	worst = *first
	for _, row := range b.repeats(m.At) {
		a := b.site.Assembly(&audit.TrialRow{At: row, Row: b.network.Project.Assemblies[row]})
		if !(a.CreepageMM >= worst.CreepageMM) || a.Defective > worst.Defective || a.Strings < worst.Strings {
			worst, is = a, true
		}
	}
	return worst, is
}

// changeDuty hangs tension assemblies on every side that has none in place of others, and the jumper strings that the line
// has with them.
func (b *bench) changeDuty(was *ask, at []int, blocks []block) bool {
	q := ask{circuit: was.circuit, duty: audit.Tension, old: was.old, newcomer: true, move: OtherDuty}
	for i, m := range was.members {
		side, ok := b.freeSide(was.circuit, was.old[i].Phases)
		if !ok {
			return b.stop(was, blocks)
		}
		m.Row.Duty, m.Row.Side, m.Row.Arrangement, m.Row.VAngleDeg, m.Changed = audit.Tension, side, audit.Single, 0, true
		q.members = append(q.members, m)
	}
	q.models = b.modelsFor(&q, was.old)
	serve, tension := b.answers(&q)
	if len(serve) == 0 {
		return b.stop(&q, append(tension, blocks...))
	}
	if nearest, ok := nearestOf(blocks); ok {
		b.job.Trace = append(b.job.Trace, fmt.Sprintf("Circuit %s, %s: no string serves. %s", b.network.Project.Symbols.Text(q.circuit), was.duty, nearest.sentence()))
	}
	b.take(&q, serve, at)
	return b.steady(&q)
}

// dutyTells tells whether something that is to be mended would not fall short of the same strings in tension, so that it is the duty that
// is wrong, or one answer to it.
func (b *bench) dutyTells(q *ask, goals []fall) bool {
	for _, f := range goals {
		if f.circuit != q.circuit || f.row < 0 || b.rows[f.row].Row.Duty != q.duty {
			continue
		}
		m := b.rows[f.row]
		side, ok := b.freeSide(q.circuit, m.Row.Phases)
		if !ok {
			continue
		}
		m.Row.Duty, m.Row.Side, m.Changed = audit.Tension, side, true
		asm := b.site.Assembly(&m)
		if b.site.Put(f.check, &asm, false).Outcome != audit.FallsShort {
			return true
		}
	}
	return false
}

// freeSide is the side on which phases of a circuit have spans and no tension assembly; ok is false where there is none, or
// where a tension assembly does not say its side.
func (b *bench) freeSide(circuit audit.Symbol, phases audit.Phases) (side audit.Side, ok bool) {
	free := slices.Clone(b.site.Sides(circuit))
	for i := range b.rows {
		r := &b.rows[i].Row
		if b.rows[i].Changed || r.Circuit != circuit || r.Duty != audit.Tension || r.Phases&phases == 0 {
			continue
		}
		if r.Side == audit.NoSide && len(free) > 1 {
			return side, false
		}
		free = slices.DeleteFunc(free, func(s audit.Side) bool { return r.Side.Serves(s) || r.Side == audit.NoSide })
	}
	return oneOrBoth(free)
}

// oneOrBoth is the side of a row for some sides.
func oneOrBoth(sides []audit.Side) (audit.Side, bool) {
	switch len(sides) {
	case 0:
		return audit.NoSide, false
	case 1:
		return sides[0], true
	}
	return audit.BothSides, true
}

// modelsFor lists what new assemblies must not fall behind: those of their duty that hang here, else what the line usually has,
// else what hangs in their place.
func (b *bench) modelsFor(q *ask, instead []audit.Assembly) (models []audit.Assembly) {
	for i := range b.rows {
		if r := &b.rows[i].Row; r.Circuit == q.circuit && r.Duty == q.duty && r.Faulty&keyCells == 0 {
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
	q := ask{circuit: tension.circuit, duty: audit.Jumper, newcomer: true, move: NewAssembly}
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
	b.take(q, serve, nil)
	return true
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
	row := audit.AssemblyRow{Line: b.site.Line().Symbol, Number: b.site.Structure().Number, Circuit: circuit, Duty: duty, Side: side, Phases: phases,
		UnitsPerString: -1, Strings: 1, Arrangement: audit.Single, Installed: audit.NoDay, Inspected: audit.NoDay}
	if beside != nil {
		row.Source = beside.Source
	} else if rows := b.network.Project.Assemblies; len(rows) > 0 {
		row.Source.Table = rows[0].Source.Table
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
	q := ask{circuit: circuit, duty: duty, newcomer: true, move: NewAssembly}
	q.members = append(q.members, b.newRow(beside, circuit, duty, side, lacks))
	return b.hang(&q)
}

// hangCircuit hangs a circuit of which the register has nothing here, as the schedule says: in the duty that the structure
// needs.
func (b *bench) hangCircuit(circuit audit.Symbol) bool {
	duty, side := b.network.Project.Criteria.Requires(b.site.Structure()), audit.NoSide
	q := ask{circuit: circuit, duty: duty, newcomer: true, move: NewAssembly}
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

// take puts the best answer into the rows on trial and keeps up to two alternatives.
func (b *bench) take(q *ask, serve []answer, at []int) {
	const most = 2
	best := &serve[0]
	remedy := len(b.job.Remedies)
	b.job.Remedies = append(b.job.Remedies, b.remedyOf(q, best))
	b.job.Candidates = max(b.job.Candidates, best.from)
	b.fresh = false
	for i, row := range best.rows {
		if at != nil {
			b.rows[at[i]] = row
		} else {
			b.rows = append(b.rows, row)
		}
	}
	kept := serve[:1:1]
	for i := range serve[1:] {
		other := &serve[1+i]
		if len(kept) > most || slices.ContainsFunc(kept, func(k answer) bool { return !other.isBetterSomehow(&k) }) {
			continue
		}
		kept = append(kept, *other)
		b.job.Alternatives = append(b.job.Alternatives, Alternative{Remedy: remedy, To: other.to, Move: other.move, Fit: other.fit, Remove: other.remove,
			Price: other.price, LengthMM: other.lengthMM})
	}
	b.tell(q, serve)
}

// tell puts into the trace what served and why the first was taken.
func (b *bench) tell(q *ask, serve []answer) {
	best := &serve[0]
	text := fmt.Sprintf("Circuit %s, %s: %s, %s", b.network.Project.Symbols.Text(q.circuit), q.duty, best.move, best.to)
	if len(serve) > 1 {
		text += fmt.Sprintf(", the first of %d that serve by %s; next %s, %s", len(serve), preferred(b.prefer), serve[1].move, serve[1].to)
	} else {
		text += ", the one that serves"
	}
	b.job.Trace = append(b.job.Trace, text+fmt.Sprintf(" (%s).", best.from))
}

func preferred(order []audit.Preference) string {
	words := make([]string, len(order))
	for i, p := range order {
		words[i] = p.String()
	}
	return strings.Join(words, ", then ")
}

// String says what a set is: "2 strings of 13 × U120B".
func (s Set) String() string {
	text := fmt.Sprintf("%d × %s", s.UnitsPerString, s.Unit)
	if s.Strings > 1 {
		text = fmt.Sprintf("%d strings of %s", s.Strings, text)
	}
	return text
}

func (b *bench) remedyOf(q *ask, a *answer) Remedy {
	r := Remedy{Circuit: q.circuit, Duty: q.duty, To: a.to, Move: a.move, Fit: a.fit, Remove: a.remove, Price: a.price, LengthMM: a.lengthMM}
	var from []string
	for i := range q.old {
		r.Duty = q.old[i].Duty
		if text := q.old[i].Hanging(); !slices.Contains(from, text) {
			from = append(from, text)
		}
	}
	r.From = strings.Join(from, "; ")
	for i := range a.rows {
		asm := b.site.Assembly(&a.rows[i])
		if r.Phases |= asm.Phases; asm.Duty != audit.Tension {
			continue
		}
		sides := []audit.Side{asm.Side}
		if asm.Side == audit.BothSides {
			sides = b.site.Sides(asm.Circuit)
		}
		for _, side := range sides {
			if !slices.Contains(r.Sides, side) && side != audit.NoSide {
				r.Sides = append(r.Sides, side)
			}
		}
	}
	slices.Sort(r.Sides)
	return r
}

// stop notes what kept the best candidate from serving: that which came nearest to what it lacks.
func (b *bench) stop(q *ask, blocks []block) bool {
	s := Stop{Circuit: q.circuit, Duty: q.duty, Check: -1}
	switch {
	case len(q.members) == 0 && q.duty == audit.DutyUnknown:
		s.Sentence = "The role of the structure is not known, so neither is the duty of what it needs."
	case len(q.members) == 0:
		s.Sentence = "A cell that says which assembly it is cannot be read."
	case len(blocks) == 0:
		s.Sentence = "No unit to choose from is made for this duty and fits the couplings that hang there."
	default:
		nearest, _ := nearestOf(blocks)
		s.Check, s.Sentence = nearest.check, nearest.sentence()
	}
	b.job.StoppedBy = append(b.job.StoppedBy, s)
	b.job.Trace = append(b.job.Trace, fmt.Sprintf("Circuit %s, %s: nothing serves. %s", b.network.Project.Symbols.Text(q.circuit), q.duty, s.Sentence))
	return false
}

// nearestOf is what came nearest to serving.
func nearestOf(blocks []block) (nearest block, ok bool) {
	if len(blocks) == 0 {
		return nearest, false
	}
	return slices.MinFunc(blocks, func(x, y block) int { return compareUnknownLast(-x.margin, -y.margin) }), true
}

// holds puts every check to the structure with all that is changed, and tells whether the circuit stands.
func (b *bench) holds(circuit audit.Symbol) bool {
	for _, f := range b.falls() {
		if f.circuit != circuit || f.kind == audit.OfStructure || b.allows(circuit, f.check, &f.verdict, false) {
			continue
		}
		text := f.verdict.Sentence
		if text == "" {
			text = fmt.Sprintf("%s would fall short.", b.result.Checks[f.check].Title)
		}
		b.job.StoppedBy = append(b.job.StoppedBy, Stop{Circuit: circuit, Check: f.check, Sentence: text})
		return false
	}
	return true
}

// close notes what the job changes and what it leaves open.
func (b *bench) close(goals []fall) {
	j := b.job
	for _, row := range b.rows {
		if row.Changed {
			j.rows = append(j.rows, row)
			if row.At >= 0 {
				for _, repeat := range b.repeats(row.At) {
					j.dropped = append(j.dropped, repeated{repeat, row.Row})
				}
			}
		}
	}
	type key struct {
		check   int
		circuit audit.Symbol
	}
	told := map[key]bool{}
	left := b.falls()
	for _, o := range b.open {
		if k := (key{o.Check, o.Circuit}); !told[k] {
			told[k] = true
			j.Open = append(j.Open, o)
		}
	}
	for _, f := range left {
		if f.kind == audit.OfStructure && !told[key{f.check, f.circuit}] {
			told[key{f.check, f.circuit}] = true
			j.Open = append(j.Open, Open{Check: f.check, Circuit: f.circuit, Exception: -1, Reason: f.verdict.Reason})
		}
	}
	for _, i := range j.Exceptions {
		e := &b.result.Exceptions[i]
		if slices.ContainsFunc(left, func(f fall) bool {
			return f.check == e.Check && f.circuit == e.Circuit && !math.IsInf(f.verdict.Margin, 1)
		}) {
			j.Open = append(j.Open, Open{Check: e.Check, Circuit: e.Circuit, Exception: i})
		}
	}
}
