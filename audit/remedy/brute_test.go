package remedy

import (
	"fmt"
	"math"
	"slices"

	"dryarc/audit"
)

// BruteForce puts every unit, number and number of strings that would be smaller than the answer of the search in its place, at every
// assembly of a result that needs another make-up. It returns how many it looked at, and what it found that serves and is smaller.
func BruteForce(r *audit.Result, o Options) (asks int, smaller string) {
	s := newStock(r, Options{})
	for _, list := range worklists(r, wanted(o)) {
		b := s.benchOf(r, list.line, o)
		for k, structure := range list.structures {
			b.site = b.first
			b.site.MoveTo(structure)
			goals := b.look()
			b.job = &Job{Line: list.line, Structure: structure, Exceptions: list.exceptions[k]}
			for _, circuit := range b.circuitsOf(goals) {
				for _, duty := range b.duties(circuit, goals) {
					q, at := b.askFor(circuit, duty)
					if len(q.members) == 0 {
						continue
					}
					asks++
					serve, _ := b.answers(&q)
					if found := b.smallerThan(&q, at, serve); found != "" {
						return asks, found
					}
				}
			}
		}
	}
	return asks, ""
}

// smallerThan tries all that is smaller than the best answer, or all where there is none.
func (b *bench) smallerThan(q *ask, at []int, serve []answer) string {
	tier := b.tiers[0]
	if len(serve) > 0 && serve[0].from == Catalogue || len(serve) == 0 {
		tier = b.tiers[len(b.tiers)-1]
	}
	for _, u := range tier {
		if !b.mayTake(q, u) || b.winsByBlankArea(q, b.unit(u)) { // no check holds a blank area against it
			continue
		}
		for strings := range b.stringsToTry(q, u) {
			for units := 1; units <= mostUnits && (units == 1 || b.unit(u).Kind.HasUnitCount()); units++ {
				for _, anew := range [...]bool{false, true} {
					a := b.answer(q, u, units, strings, anew)
					// less than hangs there is none but where nothing else can be done with the units that hang
					if units < b.fewest(q, b.unit(u), strings) && (a.move != FewerUnits || len(serve) > 0 && slices.ContainsFunc(serve, func(s answer) bool { return s.move <= MoreUnits })) {
						continue
					}
					if len(serve) > 0 && b.better(a, &serve[0]) >= 0 || !b.stands(q, at, a, anew) {
						continue
					}
					if len(serve) == 0 {
						return fmt.Sprintf("%v serves, and the search found nothing", a.to)
					}
					return fmt.Sprintf("%v serves and is smaller than %v (%d changes, %g, %g mm against %d, %g, %g mm)", a.to, serve[0].to,
						a.changes, a.price, a.lengthMM, serve[0].changes, serve[0].price, serve[0].lengthMM)
				}
			}
		}
	}
	return ""
}

// stands judges the whole structure with an answer in it: by what the verdicts of the circuit are before and after, looked at
// anew.
func (b *bench) stands(q *ask, at []int, a *answer, anew bool) bool {
	type said struct {
		worst       audit.Severity
		fell, met   bool
		open        bool
		shortest    float64
		asksNothing bool
	}
	type spoken struct{ row, check int }
	verdicts := func() (map[int]*said, map[spoken]audit.Verdict) {
		all, byRow := map[int]*said{}, map[spoken]audit.Verdict{}
		row, last := -1, (*audit.Assembly)(nil)
		b.judge(func(check int, circuit audit.Symbol, of *audit.Subject, v audit.Verdict) {
			if of.Assembly != nil && of.Assembly != last {
				row++
			}
			last = of.Assembly
			if of.Assembly == nil || circuit != q.circuit || of.Assembly.Duty != q.duty {
				return
			}
			byRow[spoken{row, check}] = v
			s := all[check]
			if s == nil {
				s = &said{worst: audit.Note, shortest: math.Inf(1)}
				all[check] = s
			}
			switch v.Outcome {
			case audit.FallsShort:
				s.fell, s.worst, s.shortest = true, min(s.worst, v.Severity), math.Min(s.shortest, v.Margin)
			case audit.Meets:
				s.met = true
			case audit.NotAssessed:
				s.open, s.asksNothing = true, v.Reason.AskedBy() != ""
			}
		})
		return all, byRow
	}
	before, beforeByRow := verdicts()
	kept := append([]audit.TrialRow(nil), b.rows...)
	defer func() { b.rows = kept }()
	b.rows = append([]audit.TrialRow(nil), b.rows...)
	for i, row := range a.rows {
		b.rows[at[i]] = row
	}
	var sizesOpen audit.Rests
	after, afterByRow := verdicts()
	for of, v := range afterByRow {
		was, is := beforeByRow[of]
		if is && was.Outcome <= audit.FallsShort && v.Outcome == audit.NotAssessed && v.Reason.AskedBy() == "" && b.result.Checks[of.check].Severity != audit.Note {
			return false
		}
	}
	for check, now := range after {
		was := before[check]
		if was == nil {
			was = &said{}
		}
		weight := b.result.Checks[check].Severity
		switch {
		case weight == audit.Note:
		case now.fell && now.worst == audit.Note:
		case now.fell && !(was.fell && was.worst <= now.worst && now.worst > b.want && !(now.shortest < was.shortest)):
			return false
		case now.open && !now.asksNothing && !was.open && (was.fell || was.met):
			return false
		}
		if now.open && b.result.Checks[check].Sizes {
			sizesOpen |= b.result.Checks[check].Rests | audit.RestsOnLength
		}
	}
	for i := range a.rows {
		asm := b.site.Assembly(&a.rows[i])
		for _, check := range b.checks {
			if v := b.site.Put(check, &asm, false); q.binds(i, asm.Unit, anew) && b.hides(q.circuit, check, &v) {
				return false
			}
			if v := b.site.Put(check, &asm, false); check == swingOf(b) && v.Outcome == audit.Meets && beforeByRow[spoken{at[i], check}].Outcome == audit.FallsShort &&
				math.IsNaN(b.site.Line().Row.Room.ClearanceMM) && !(asm.LengthMM() <= q.old[i].LengthMM()) {
				return false // its limit is that of the shorter string
			}
		}
		isOwn := b.isOwn(q, asm.Unit, asm.UnitsPerString, sideBySide(&asm), anew)
		if text, _ := b.behind(q, &asm, isOwn, sizesOpen); text != "" {
			return false
		}
	}
	return b.tooLong(q, unitNumber(b, a.to.Unit), a.to.UnitsPerString, a.to.Strings, anew) == nil
}

func unitNumber(b *bench, name string) int {
	for u := range b.network.Project.Units {
		if b.unit(u).Name == name {
			return u
		}
	}
	return -1
}

// swingOf is the number of the check of swing.
func swingOf(b *bench) int {
	return slices.IndexFunc(b.result.Checks, func(c *audit.Check) bool { return c.ID == "swing" })
}
