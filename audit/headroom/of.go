package headroom

import (
	"context"
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/basis"

	"golang.org/x/sync/errgroup"
)

// Of finds the curves of the assessed lines, by line, duty, quantity and check in the order of the network, of duties, quantities and
// checks. What is not asked for, what no assembly is concerned by, and what the quantity does not move is left out. workers is how many
// lines are worked on at a time. It fails only when ctx ends.
func Of(ctx context.Context, r *audit.Result, workers int) ([]Curve, error) {
	return OfLines(ctx, r, func(int) bool { return true }, workers)
}

// OfLines finds those of some of the assessed lines, as Of does.
func OfLines(ctx context.Context, r *audit.Result, wanted func(line int) bool, workers int) ([]Curve, error) {
	byLine := make([][]Curve, len(r.Lines))
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(max(workers, 1))
	for line := range r.Lines {
		if !r.Lines[line].Assessed || !wanted(line) {
			continue
		}
		group.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			byLine[line] = ofLine(r, line)
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		return nil, err
	}
	return slices.Concat(byLine...), nil
}

// task is one check driven by one quantity of a line, with its curves by duty.
type task struct {
	finder
	check  int
	byDuty [audit.Guy + 1]*gathered
	last   recent
}

func ofLine(r *audit.Result, line int) (curves []Curve) {
	tasks := tasksOf(r, line)
	var criteria *audit.Criteria
	r.Network.EachAssembly(line, func(s *audit.Subject, at *audit.Location) {
		criteria = s.Criteria
		for i := range tasks {
			tasks[i].take(s, at)
		}
	})
	for duty := range audit.Guy + 1 {
		for i := range tasks {
			g := tasks[i].byDuty[duty]
			if g == nil || !g.Moves() {
				continue
			}
			c := g.finish()
			c.Line, c.Duty, c.Check, c.Drive, c.From, c.To = line, duty, tasks[i].check, tasks[i].drive.Drive, tasks[i].from, tasks[i].most
			if easierBelow(c.Drive.Quantity) {
				c.From = 0
			}
			c.Case, c.Marks = marksOf(r, criteria, &c)
			curves = append(curves, c)
		}
	}
	return curves
}

// tasksOf lists what is looked for on a line, by quantity and check.
func tasksOf(r *audit.Result, line int) (tasks []task) {
	for _, drive := range r.Network.Drives(line) {
		for i, check := range r.Checks {
			if slices.Contains(check.Drives, drive.Quantity) {
				tasks = append(tasks, task{check: i, finder: finder{check: check, drive: audit.Driven{Drive: drive}, from: math.NaN(), most: r.Network.Most(line, drive)}})
			}
		}
	}
	return tasks
}

// take finds the limit of one assembly.
func (k *task) take(s *audit.Subject, at *audit.Location) {
	now := k.drive.Now(s)
	k.from = firstValue(k.drive.Quantity, s, now)
	if math.IsNaN(k.from) {
		if v := k.finder.check.Run(*s, nil); v.Outcome != audit.NotApplicable && !notAsked(v) {
			k.of(s.Assembly.Duty).lack(v.Reason)
		}
		return
	}
	k.quiet = false
	v := k.at(s, k.from)
	if k.from != now && !math.IsNaN(now) {
		v = k.asToday(s, now, v)
	}
	switch {
	case v.Outcome == audit.NotApplicable || notAsked(v):
		return
	case v.Outcome == audit.NotAssessed:
		k.of(s.Assembly.Duty).lack(v.Reason)
		return
	}
	g := k.of(s.Assembly.Duty)
	l := k.last.like(s, at, func() limit { return k.limit(s, v) })
	g.add(at, l)
	if now > l.value*(1+closed) {
		g.ShortNow++
	}
	if !(g.NowLow <= now) {
		g.NowLow = now
	}
	if !(g.NowHigh >= now) {
		g.NowHigh = now
	}
}

// asToday is the verdict v at a first value that is not today's, unless the check does not concern the assembly there or today: whom it concerns
// is then as today, as by quantities that are looked at from today's value on. A string that has failed is concerned only as far as it fell
// short as built.
func (k *task) asToday(s *audit.Subject, now float64, v audit.Verdict) audit.Verdict {
	today := k.at(s, now)
	if today.Outcome == audit.NotApplicable || v.Outcome == audit.NotApplicable {
		k.from = now
		return today
	}
	return v
}

// notAsked tells whether the project does not ask for what a verdict lacks.
func notAsked(v audit.Verdict) bool {
	return v.Outcome == audit.NotAssessed && v.Reason.AskedBy() != ""
}

// of is the curve of a duty.
func (k *task) of(duty audit.Duty) *gathered {
	if k.byDuty[duty] == nil {
		k.byDuty[duty] = &gathered{Curve: Curve{NowLow: math.NaN(), NowHigh: math.NaN()}}
	}
	return k.byDuty[duty]
}

// firstValue is where a limit is looked for from: today's value, of specific creepage that of a class in the middle, since what stands there
// today differs from structure to structure and less asks for less.
func firstValue(q audit.Quantity, s *audit.Subject, now float64) float64 {
	if q != audit.DriveSpecificCreepage {
		return now
	}
	figure, _ := basis.SpecificCreepage(s.Criteria.CreepageBasis, basis.ClassC)
	return figure
}

// recent keeps the limit of the assembly before, which one that is alike but for its phase shares.
type recent struct {
	known     bool
	structure int
	row       audit.Assembly
	limit     limit
}

func (m *recent) like(s *audit.Subject, at *audit.Location, find func() limit) limit {
	if len(s.Repeats) > 0 {
		return find()
	}
	if a := s.Assembly; !m.known || m.structure != at.Structure || !alike(&m.row, a) {
		m.known, m.structure, m.row, m.limit = true, at.Structure, *a, find()
	}
	return m.limit
}

// alike tells whether two assemblies at one structure, neither described by other rows, are judged alike: they differ in their phases at
// most, and in where they stand in the register.
func alike(a, b *audit.Assembly) bool {
	same := func(x, y float64) bool { return x == y || math.IsNaN(x) && math.IsNaN(y) }
	return a.Circuit == b.Circuit && a.Duty == b.Duty && a.Side == b.Side && a.Arrangement == b.Arrangement && a.Mounting == b.Mounting && a.Rings == b.Rings && a.Makeup == b.Makeup &&
		a.UnitsPerString == b.UnitsPerString && a.Strings == b.Strings && a.Defective == b.Defective && same(a.CreepageMM, b.CreepageMM) && a.CreepageStated == b.CreepageStated &&
		a.Direct.Equals(b.Direct) && a.Odd == b.Odd && same(a.VAngleDeg, b.VAngleDeg) && a.CircuitEnds == b.CircuitEnds && a.CircuitMayEnd == b.CircuitMayEnd && a.Dated == b.Dated && a.Installed == b.Installed && a.Faulty == b.Faulty && a.UnitFaulty == b.UnitFaulty
}
