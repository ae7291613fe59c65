package remedy

import (
	"cmp"
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// Danger is what may come of an exception, the worst first.
type Danger uint8

// The dangers, an order of common practice.
const (
	MayFall             Danger = iota // a part may come down
	FlashoverAtCrossing               // a flashover beside a span that crosses something
	Lesser
)

func (d Danger) String() string {
	return [...]string{"a part may fall", "flashover at a crossing", "other"}[d]
}

// mayFall are the checks of what may bring a part down. A gap in the register is none: what hangs there is not known.
func mayFall() []string {
	return []string{"strength", "strength-one-string-broken", "fitting-strength", "fitting-strength-one-string-broken", "broken-conductor", "fitting-broken-conductor", "coupling-mismatch", "tension-at-terminal", "tension-at-uplift", "tension-at-change",
		"tension-at-deviation", "tension-at-crossing", "tension-at-tee", "double-at-crossing", "slack-leg"}
}

// mayFlashOver are the checks of what the voltage asks for.
func mayFlashOver() []string {
	return []string{"creepage", "sound-units", "lightning-withstand", "switching-withstand", "wet-withstand", "dry-wet-minimum", "puncture-margin", "units-for-voltage",
		"pin-voltage", "shackle-voltage", "swing", "v-set-clearance"}
}

// Rank is why a job stands where it does in the order of doing. Severity counts first, then the score where the project weighs
// consequences, then the danger, then the shortage.
type Rank struct {
	Job      int // in the jobs ranked
	Severity audit.Severity
	Danger   Danger
	Shortage float64 // the share by which it falls short; NaN where it is no figure, which stands before figures, or no share of one
	beyond   bool    // the limit is below 0, of which nothing is a share: it counts as all of it
	Check    int     // that puts it there; −1 of a job that is for no exception of its own and that no other needs
	For      int     // the job, in the jobs ranked, that needs this one and by whose place it has its own; −1 where it has its own

	Weighed     bool // by the criterion priority; what follows is zero where not
	Consequence Consequence
	// Counts is the share of the consequence that counts: the shortage; where that is no figure what the project states for it, and NaN
	// where it does not, so that the whole counts.
	Counts float64
	Score  float64 // consequence times what counts of it, as far as they are known
}

// Order ranks jobs, the first to do first. The exception of a job that comes first decides.
func Order(r *audit.Result, jobs []Job) []Rank {
	dangers, weigh := dangersOf(r.Checks), newWeigher(r)
	ranks := make([]Rank, len(jobs))
	for i := range jobs {
		ranks[i] = Rank{Job: i, Severity: audit.Note, Danger: Lesser, Check: -1, For: -1, Counts: math.NaN()}
		if weigh != nil {
			ranks[i].Weighed, ranks[i].Consequence = true, weigh.of(jobs[i].Line, jobs[i].Structure)
		}
		if len(jobs[i].Exceptions) == 0 {
			continue
		}
		s := r.Network.Structure(jobs[i].Line, jobs[i].Structure)
		crosses := s.Back.Kinds != nil || s.Ahead.Kinds != nil
		for k, e := range jobs[i].Exceptions {
			x := &r.Exceptions[e]
			rank := Rank{Job: i, Severity: x.Verdict.Severity, Danger: dangers[x.Check], Shortage: -x.Verdict.Margin, beyond: x.Verdict.Required.Number < 0, Check: x.Check, For: -1}
			if rank.Danger == FlashoverAtCrossing && !crosses {
				rank.Danger = Lesser
			}
			if weigh != nil {
				rank.score(&ranks[i].Consequence, weigh.rule.WithoutFigure)
			}
			if k == 0 || rank.compare(&ranks[i]) < 0 {
				ranks[i] = rank
			}
		}
	}
	before := standBefore(jobs, ranks)
	slices.SortStableFunc(ranks, func(a, b Rank) int {
		return cmp.Or(a.compare(&b), cmp.Compare(before[b.Job], before[a.Job]), cmp.Compare(a.Job, b.Job))
	})
	return ranks
}

// standBefore gives every job that others need the place of the first of them, where that is before its own. It returns how many places
// before those of equal rank each has to stand, by job.
func standBefore(jobs []Job, ranks []Rank) (before []int) {
	before = make([]int, len(jobs))
	for range jobs { // a job that is needed may be needed by one that is
		changed := false
		for i := range jobs {
			for _, structure := range jobs[i].NeededBy {
				k, known := find(jobs, jobs[i].Line, structure)
				if !known || slices.Contains(jobs[k].NeededBy, jobs[i].Structure) {
					continue
				}
				switch order := ranks[k].compare(&ranks[i]); {
				case order < 0:
					own := ranks[i].Consequence
					ranks[i] = ranks[k]
					ranks[i].Job, ranks[i].For, ranks[i].Consequence, before[i], changed = i, k, own, before[k]+1, true
				case order == 0 && before[i] <= before[k] && before[k] < len(jobs):
					before[i], changed = before[k]+1, true
				}
			}
		}
		if !changed {
			break
		}
	}
	return before
}

// score weighs the shortage by a consequence.
func (a *Rank) score(c *Consequence, withoutFigure float64) {
	a.Weighed, a.Consequence, a.Counts = true, *c, a.short()
	if math.IsNaN(a.Counts) && withoutFigure > 0 {
		a.Counts = withoutFigure
	}
	a.Score = basis.Consequence(c.Known, a.Counts)
}

// short is the shortage as it counts in the order.
func (a *Rank) short() float64 {
	if a.beyond {
		return 1
	}
	return a.Shortage
}

func (a *Rank) compare(b *Rank) int {
	return cmp.Or(cmp.Compare(a.Severity, b.Severity), cmp.Compare(b.Score, a.Score), cmp.Compare(a.Danger, b.Danger), compareBool(a.Check < 0, b.Check < 0),
		compareBool(!math.IsNaN(a.short()), !math.IsNaN(b.short())), cmp.Compare(b.short(), a.short()), cmp.Compare(a.Check, b.Check))
}

// dangersOf is what may come of each check, as if something were crossed.
func dangersOf(checks []*audit.Check) []Danger {
	dangers := make([]Danger, len(checks))
	for i, check := range checks {
		switch {
		case slices.Contains(mayFall(), check.ID):
			dangers[i] = MayFall
		case slices.Contains(mayFlashOver(), check.ID):
			dangers[i] = FlashoverAtCrossing
		default:
			dangers[i] = Lesser
		}
	}
	return dangers
}
