package history

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path/filepath"

	"dryarc/audit"
)

// A decision has ended where a run saw what it is of meet: what falls short there later is another exception, of which nobody has decided, be
// its figures what they were. The figures of the decision note the day (metnotes.go). What is not there for another reason, since it cannot be judged, is gone
// or does not apply, is what was decided of when it comes back, and so is what met only since less was required (metless.go). A report that something is done hides
// nothing, and is told beside what falls short again.

// metOn tells whether a run saw meet what the figures are of, and on which day.
func (f *held) metOn() (day string, is bool) {
	_, less := f.metLess()
	return f.met, f.met != "" && !less
}

// metBefore tells whether an exception that is there came after what the figures are of had met, and on which day: a run of this project saw that on an earlier
// day, or what is there is known since a later one. Else the run that saw it meet was repeated with other data, or is of another project. What met only since less
// was required had met too where no more than that is required now.
func (d *deciding) metBefore(f *held, exception int) (day string, before bool) {
	day, met := f.metOn()
	if less, is := f.metLess(); is && less.day != "" {
		short := weighedBy(&d.r.Exceptions[exception].Verdict)
		day = less.day
		met = sameText(less.required, short.required) || !sameText(less.observed, short.observed) && short.enough(less.observed, short.required)
	}
	return day, met && (d.changes.Exceptions[exception].FirstSeen > day || f.metIn == projectOf(d.r) && d.r.Run.AsOf > day)
}

// projectOf is a short hash of where the project file is, from the file of decisions, which may serve several.
func projectOf(r *audit.Result) string {
	file := filepath.Base(r.Project.File)
	if from, err := filepath.Rel(filepath.Dir(r.Project.Decisions), r.Project.File); err == nil {
		file = from
	}
	sum := sha256.Sum256([]byte(filepath.ToSlash(file)))
	return hex.EncodeToString(sum[:])[:hashDigits]
}

// backSince says of what was reported done that it met, and falls short again.
func (d *deciding) backSince(decision *Decision, exceptions []int) string {
	was := parseFigures(decision.Was)
	for _, i := range exceptions {
		then := was[d.ids[i]]
		if day, met := d.metBefore(&then, i); met {
			return fmt.Sprintf("%s met on %s, and falls short again", d.inWords(i), day)
		}
	}
	return ""
}

// settledSince says when what a decision is of was seen to meet, of several the last that was; empty where that is not known.
func settledSince(decision *Decision) string {
	last := ""
	decision.eachHeld(func(f *held) bool {
		if day, met := f.metOn(); met {
			last = max(last, day)
		}
		return false
	})
	if last == "" {
		return ""
	}
	return fmt.Sprintf("it met on %s", last)
}

// keepMet gives figures the days on which those of an earlier decision on the same met.
func keepMet(figures, earlier string) string {
	then, d := parseFigures(earlier), Decision{Was: figures}
	d.eachHeld(func(f *held) bool {
		was := *f
		f.met, f.metIn = then[f.id].met, then[f.id].metIn
		return f.met != was.met || f.metIn != was.metIn
	})
	return d.Was
}
