package audit

import (
	"cmp"
	"context"
	"maps"
	"slices"
)

// Datum is what keeps most assemblies of one type of unit from being judged by a check.
type Datum struct {
	Check  int
	Reason Reason
	Unit   string // empty where the assemblies name none
	Count  int    // verdicts that it keeps back
}

// DatumThatJudgesMost finds the one for which most would follow: of the check of assemblies and the reason that keep most back, the unit
// that most of these hang on. Count is 0 where all was judged.
func (r *Result) DatumThatJudgesMost(ctx context.Context) (most Datum, err error) {
	for i, c := range r.Coverage {
		for _, reason := range c.Reasons {
			if r.Checks[i].Of == OfAssembly && reason.Outcome == NotAssessed && reason.Reason.AskedBy() == "" && reason.Reason != FaultyField && reason.Count > most.Count {
				most = Datum{Check: i, Reason: reason.Reason, Count: reason.Count}
			}
		}
	}
	if most.Count == 0 {
		return most, nil
	}
	counts := make([]map[string]int, len(r.Network.Lines))
	err = r.Network.eachLine(ctx, r.workers, func(line int) bool { return r.Lines[line].Assessed }, func(line int) {
		counts[line] = map[string]int{}
		site := r.Network.NewSite(line, r.Checks, "what is not assessed")
		for i := r.Network.Lines[line].First; i < r.Network.Lines[line].End; i++ {
			site.MoveTo(i)
			for _, row := range r.Network.AssemblyRows(i) {
				a := site.Assembly(&TrialRow{At: int(row), Row: r.Project.Assemblies[row]})
				if a.Unit == nil {
					continue
				}
				if v := site.Put(most.Check, &a, false); v.Outcome == NotAssessed && v.Reason == most.Reason {
					counts[line][a.Unit.Name]++
				}
			}
		}
	})
	if err != nil {
		return most, err
	}
	total := map[string]int{}
	for _, line := range counts {
		for unit, n := range line {
			total[unit] += n
		}
	}
	names := slices.SortedFunc(maps.Keys(total), func(a, b string) int { return cmp.Or(cmp.Compare(total[b], total[a]), cmp.Compare(a, b)) })
	if len(names) > 0 {
		most.Unit, most.Count = names[0], total[names[0]]
	}
	return most, nil
}
