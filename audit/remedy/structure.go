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
	b.room.empty()
	goals := b.look()
	beneath := b.fallsBeneath(exceptions)
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
	if len(goals) == 0 && len(b.hold) == 0 && len(beneath) == 0 {
		return nil
	}
	b.job = &Job{Line: b.site.Structure().Line, Structure: structure, Exceptions: exceptions, holds: b.hold}
	b.job.Candidates = b.from[0]
	circuits := b.circuitsOf(goals)
	for _, circuit := range b.hold {
		if !slices.Contains(circuits, circuit) {
			circuits = append(circuits, circuit)
		}
	}
	if len(circuits) == 0 && len(goals) > 0 {
		b.job.StoppedBy = append(b.job.StoppedBy, Stop{Check: -1, Unjudged: true, Lacks: lacksCircuits, Sentence: "The register names no circuit that would hang here."})
	}
	for _, circuit := range circuits {
		b.solveCircuit(circuit, goals)
	}
	b.leaveBeneath(beneath)
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
	if b.mendAssemblies(circuit, goals) && b.fillPlaces(circuit) && b.holds(circuit) || len(b.job.Remedies) == remedies { // nothing was taken
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

// mendAssemblies mends what falls short by itself, duty by duty.
func (b *bench) mendAssemblies(circuit audit.Symbol, goals []fall) bool {
	for _, duty := range b.duties(circuit, goals) {
		if slices.Contains(b.hold, circuit) && duty != audit.Tension && duty != audit.Jumper {
			continue // gives way to tension
		}
		q, at := b.askFor(circuit, duty)
		if len(q.members) == 0 {
			return b.stop(&q, nil)
		}
		serve, blocks := b.answers(&q)
		if len(serve) > 0 {
			b.take(&q, serve, at)
			continue
		}
		blocks = append(blocks, b.unknownCoupling(&q, len(blocks) == 0)...)
		tells, whatever := b.dutyTells(&q, goals)
		if duty == audit.Tension || duty == audit.Jumper || !tells || !whatever && mayStay(blocks) {
			return b.stop(&q, blocks)
		}
		if !b.changeDuty(&q, at, blocks, whatever) {
			return false
		}
	}
	return !slices.Contains(b.hold, circuit) || b.holdInTension(circuit)
}

// holdInTension hangs tension assemblies in place of all others that carry a phase of a circuit, which nothing else asks for here: they
// divide a section.
func (b *bench) holdInTension(circuit audit.Symbol) bool {
	for _, duty := range [...]audit.Duty{audit.Suspension, audit.Pin, audit.Post, audit.Shackle} {
		if !slices.ContainsFunc(b.rows, func(t audit.TrialRow) bool { return t.Row.Circuit == circuit && t.Row.Duty == duty }) {
			continue
		}
		q, at := b.askFor(circuit, duty)
		if len(q.members) == 0 {
			return b.stop(&q, nil)
		}
		if !b.changeDuty(&q, at, nil, true) {
			return false
		}
	}
	return true
}

// mayStay tells whether a string of the duty that hangs there may serve, for all that is known, or would with other arcing horns, so that nothing asks
// for another duty.
func mayStay(blocks []block) bool {
	return slices.ContainsFunc(blocks, func(b block) bool { return b.mayServe && !b.ofShorter || b.byHorns })
}

// askFor asks for the make-up of the assemblies of a circuit and duty, and says in which rows on trial they are. A row with a fault in
// what tells it from another is left alone.
func (b *bench) askFor(circuit audit.Symbol, duty audit.Duty) (q ask, at []int) {
	q = ask{circuit: circuit, duty: duty, members: b.room.rows.take(len(b.rows)), old: b.room.strings.take(len(b.rows)), stated: b.room.figures.take(len(b.rows))}
	for i := range b.rows {
		if r := &b.rows[i].Row; r.Circuit == circuit && r.Duty == duty && r.Faulty&audit.KeyCells == 0 {
			q.members, q.old, at = append(q.members, b.rows[i]), append(q.old, b.site.Assembly(&b.rows[i])), append(at, i)
			q.stated = append(q.stated, q.old[len(q.old)-1].Direct)
		}
	}
	q.models = append(b.room.strings.take(len(q.old)), q.old...)
	for i := range q.members {
		first := q.old[i]
		contrary := b.contraryRows(&q.members[i], &first)
		if worst, is := b.worstRepeat(&q.members[i], &q.old[i]); is {
			q.models, q.old[i] = append(q.models, worst), worst
		}
		q.models, q.contrary = append(q.models, contrary...), append(q.contrary, contrary)
		q.staying = append(q.staying, b.stayingOf(&q.members[i], &first, &q.old[i]))
		q.staying[i].can = q.staying[i].can && contrary == nil
		q.contradicted, q.said = append(q.contradicted, b.contradictedBy(&q.members[i], &first)), append(q.said, b.saidOfString(&q.members[i], &first))
	}
	return q, at
}

// contraryRows is what the rows of one assembly, of which the first says what is given, say where they contradict each other of its make-up, nil where
// they do not: then nobody knows what hangs there until somebody looks.
func (b *bench) contraryRows(m *audit.TrialRow, first *audit.Assembly) []audit.Assembly {
	repeats := b.repeats(m.At)
	if len(repeats) == 0 {
		return nil
	}
	said, differ := []audit.Assembly{*first}, false
	for _, row := range repeats {
		a := b.site.Assembly(&audit.TrialRow{At: row, Row: b.network.Project.Assemblies.At(row)})
		said = append(said, a)
		differ = differ || !isMadeAlike(&said[0], &a)
	}
	if !differ {
		return nil
	}
	return said
}

// worstRepeat is what a later row says of the same assembly, where that is less: what hangs there is one of them, and the work is reckoned
// from the worst of each: the units of the least creepage, the most defective ones and the fewest strings that any of the rows has.
func (b *bench) worstRepeat(m *audit.TrialRow, first *audit.Assembly) (worst audit.Assembly, is bool) {
	worst = *first
	for _, row := range b.repeats(m.At) {
		a := b.site.Assembly(&audit.TrialRow{At: row, Row: b.network.Project.Assemblies.At(row)})
		defective, strings := max(a.Defective, worst.Defective), min(a.Strings, worst.Strings)
		if a.Defective < 0 || worst.Defective < 0 {
			defective = -1 // not known
		}
		if isLess := math.IsNaN(a.CreepageMM) && !math.IsNaN(worst.CreepageMM) || a.CreepageMM < worst.CreepageMM; isLess {
			worst, is = a, true
		}
		is = is || defective != worst.Defective || strings != worst.Strings
		worst.Defective, worst.Strings = defective, strings
	}
	return worst, is
}

// changeDuty hangs tension assemblies on every side that has none in place of others, and the jumper strings that the line
// has with them; whatever tells that strings of the duty that is there do not serve, whatever they are. Blocks are what stopped those.
func (b *bench) changeDuty(was *ask, at []int, blocks []block, whatever bool) bool {
	q := ask{circuit: was.circuit, duty: audit.Tension, old: was.old, contrary: was.contrary, contradicted: was.contradicted, said: was.said, newcomer: true, move: OtherDuty}
	for i, m := range was.members {
		side, ok := b.freeSide(was.circuit, was.old[i].Phases)
		if !ok {
			return b.stop(was, blocks)
		}
		m.Row.Duty, m.Row.Side, m.Row.Arrangement, m.Row.VAngleDeg, m.Changed = audit.Tension, side, audit.Single, 0, true
		q.members = append(q.members, m)
	}
	q.models, q.floor = b.modelsFor(&q, was.old), was.models
	q.horned = slices.ContainsFunc(was.staying, func(s staying) bool { return s.horns })
	serve, tension := b.answers(&q)
	if len(serve) == 0 {
		if len(tension) > 0 && !slices.ContainsFunc(tension, func(b block) bool { return !b.unsure }) {
			return b.stop(&q, tension) // what keeps the duty from changing, not why it should
		}
		if len(blocks) > 0 && !whatever {
			return b.stopBeside(was, blocks, true) // what is too little of what hangs there, not of what might hang instead
		}
		return b.stop(&q, append(tension, blocks...))
	}
	if why := b.whyNone(was, blocks); why != "" {
		b.job.Trace = append(b.job.Trace, fmt.Sprintf("Circuit %s, %s: no string serves. %s", b.network.Project.Symbols.Text(q.circuit), was.duty, why))
	}
	b.take(&q, serve, at)
	return b.steady(&q)
}

// whyNone says why no string of the duty that hangs there serves: what came nearest, and the couplings that others do not fit; empty where neither is known.
func (b *bench) whyNone(q *ask, blocks []block) string {
	var why []string
	if nearest, ok := nearestOf(blocks); ok {
		why = append(why, nearest.sentence())
	}
	if text := soughtAlone(b.couplingsKept(q)); text != "" {
		why = append(why, text)
	}
	return strings.Join(why, " ")
}

// dutyTells tells whether something that is to be mended would not fall short of the same strings in tension, so that it is the duty that
// is wrong, which it is for certain where other strings of the duty would fall short whatever they are, or one answer to it. What a check has no more to say of in tension
// is no answer where that leaves the structure more to bear.
func (b *bench) dutyTells(q *ask, goals []fall) (tells, whatever bool) {
	for _, f := range goals {
		if b.result.Checks[f.check].KeepsDuty || f.circuit != q.circuit || f.row < 0 || b.rows[f.row].Row.Duty != q.duty {
			continue
		}
		m := b.rows[f.row]
		side, ok := b.freeSide(q.circuit, m.Row.Phases)
		if !ok {
			continue
		}
		m.Row.Duty, m.Row.Side, m.Changed = audit.Tension, side, true
		b.tried = b.site.Assembly(&m)
		v := b.site.Put(f.check, &b.tried, false)
		if v.Outcome != audit.FallsShort && (v.Reason != audit.UnitNotOfDuty || b.result.Checks[f.check].AnyMake) { // other units hang in tension
			tells, whatever = true, whatever || b.result.Checks[f.check].AnyMake
		}
	}
	return tells, whatever
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

// isLeftAlone tells whether what falls short is of a row of which nobody knows which assembly it is.
func (b *bench) isLeftAlone(f *fall) bool {
	return f.row >= 0 && b.rows[f.row].Row.Faulty&audit.KeyCells != 0
}

// holds puts every check to the structure with all that is changed, and tells whether the circuit stands.
func (b *bench) holds(circuit audit.Symbol) bool {
	for _, f := range b.falls() {
		if f.circuit != circuit || f.kind == audit.OfStructure || b.isLeftAlone(&f) || b.allows(circuit, f.check, &f.verdict, false) {
			continue
		}
		text := f.verdict.Sentence
		if text == "" {
			text = fmt.Sprintf("%s would fall short.", b.result.Checks[f.check].Title)
		}
		if f.kind == audit.OfPlace { // for an entry, not for a unit
			text += " " + b.result.Checks[f.check].RemedyFor(&f.verdict)
		}
		b.job.StoppedBy = append(b.job.StoppedBy, Stop{Circuit: circuit, Check: f.check, Sentence: text})
		return false
	}
	return true
}
