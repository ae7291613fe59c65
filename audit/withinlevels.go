package audit

import (
	"context"
	"iter"
)

// restsOnLevels tells whether a verdict would be another within the accuracy of ground levels from rasters.
func (r Reason) restsOnLevels() bool {
	r, _ = r.apart()
	return r == WithinTerrainAccuracy || r == OutcomeWithinTerrainAccuracy
}

// IsOfLevels tells whether a remark is one on the accuracy of ground levels, or on what is taken for granted of them.
func (r Reason) IsOfLevels() bool {
	_, taken := r.apart()
	return taken != 0 || r.restsOnLevels()
}

// withinLevels counts the verdicts that would be others within the accuracy of ground levels from rasters.
func (c *Coverage) withinLevels() (n int) {
	for _, reason := range c.Reasons {
		if reason.Reason.restsOnLevels() {
			n += reason.Count
		}
	}
	return n
}

// CountWithinLevels counts what WithinLevels lists.
func (r *Result) CountWithinLevels() (n int) {
	for i := range r.Coverage {
		n += r.Coverage[i].withinLevels()
	}
	return n
}

// WithinLevels goes through the verdicts that would be others within the accuracy of ground levels from rasters, by line and structure: those
// that fall short, which are exceptions too, and those that meet. They are found again. It ends with ctx.
func (r *Result) WithinLevels(ctx context.Context) iter.Seq[*Exception] {
	return func(yield func(*Exception) bool) {
		for line := range r.Lines {
			var checks []int
			for check, c := range r.Lines[line].Coverage {
				if r.Checks[check].Of == OfAssembly && c.withinLevels() > 0 {
					checks = append(checks, check)
				}
			}
			if len(checks) > 0 && !r.withinLevelsOf(ctx, line, checks, yield) {
				return
			}
		}
	}
}

// withinLevelsOf goes through those of some checks of assemblies on one line; false where no more are asked for.
func (r *Result) withinLevelsOf(ctx context.Context, line int, checks []int, yield func(*Exception) bool) bool {
	v, goesOn := visitor{n: r.Network, line: line}, true
	base := v.base()
	for i := base.Line.First; i < base.Line.End && goesOn && ctx.Err() == nil; i++ {
		v.visitStructure(base, i, func(kind SubjectKind, s Subject, at Location) {
			for _, check := range checks {
				if kind != OfAssembly || !goesOn {
					return
				}
				if verdict := r.Again(check, &at, &s, nil); verdict.Reason.restsOnLevels() {
					goesOn = yield(&Exception{Location: at, Check: check, Verdict: verdict})
				}
			}
		})
	}
	return goesOn && ctx.Err() == nil
}
