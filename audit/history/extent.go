package history

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"dryarc/audit"
)

// What is accepted covers no more phases, sides and kinds of crossing than it was given for: where the row of an exception speaks for more, or its spans
// cross something else that asks for the same, somebody has to decide anew.

// extent is what an exception of an assembly is of. Figures of an earlier version have none.
type extent struct {
	phases  holds    // none where they are not known
	blank   bool     // the row names no phase, so that it may be of fewer
	noSide  bool     // it names no side
	crosses []string // the kinds for which rules ask what it falls short of; none where that is not known, or it is of no crossing
}

// extentOf is the extent of an exception of a result.
func extentOf(r *audit.Result, exception int) extent {
	x := &r.Exceptions[exception]
	if r.Checks[x.Check].Of != audit.OfAssembly {
		return extent{}
	}
	e := extentOfKey(r.Key(exception))
	e.crosses = r.KindsAsking(x.Check, &x.Location)
	return e
}

// extentOfKey is what an exception of an assembly with a key is of; a row that names no phase is of all.
func extentOfKey(key audit.Key) (e extent) {
	e.blank, e.noSide = key.Phase == "", key.Side == ""
	if key.Phase == "" {
		key.Phase = audit.EveryPhase.String()
	}
	if phases, ok := heldBy(key); ok {
		e.phases = phases
	} else if e.blank {
		e.phases = holds(audit.EveryPhase) | holds(audit.EveryPhase)<<aheadShift
	}
	return e
}

// What stands before the fields of an extent, and for phases that are all or none.
const (
	ofField, crossesField = "of=", "crosses="
	allPhases, noPhases   = "all", "none"
)

// String writes an extent as fields behind figures: the phases, or those of the span back and of the span ahead.
func (e extent) String() string {
	text := ""
	if back, ahead := audit.Phases(e.phases), audit.Phases(e.phases>>aheadShift); back == ahead && back != 0 {
		text = " " + ofField + phasesField(back)
	} else if e.phases != 0 {
		text = " " + ofField + phasesField(back) + "/" + phasesField(ahead)
	}
	if len(e.crosses) == 0 {
		return text
	}
	kinds := make([]string, len(e.crosses))
	for k, kind := range e.crosses {
		kinds[k] = url.QueryEscape(kind)
	}
	return text + " " + crossesField + strings.Join(kinds, ",")
}

func phasesField(phases audit.Phases) string {
	switch phases {
	case 0:
		return noPhases
	case audit.EveryPhase:
		return allPhases
	}
	return phases.String()
}

// parse reads a field that may be of an extent, and tells whether it was.
func (e *extent) parse(field string) bool {
	if kinds, is := strings.CutPrefix(field, crossesField); is {
		for kind := range strings.SplitSeq(kinds, ",") {
			plain, err := url.QueryUnescape(kind)
			if err != nil {
				return false
			}
			e.crosses = append(e.crosses, plain)
		}
		return true
	}
	phases, is := strings.CutPrefix(field, ofField)
	if !is {
		return false
	}
	back, ahead, parted := strings.Cut(phases, "/")
	if !parted {
		ahead = back
	}
	e.phases = 0
	for k, text := range [...]string{back, ahead} {
		of, ok := audit.ParsePhases(text)
		switch {
		case text == allPhases:
			of = audit.EveryPhase
		case !ok && text != noPhases:
			return false
		}
		e.phases |= holds(of) << (k * aheadShift)
	}
	return true
}

// beyond says what an extent has that another, of earlier, had not; empty where that is nothing. A blank says nothing of more, but where
// some of all phases met: what a row states when it is filled in again is held against the same.
func (e extent) beyond(then extent) string {
	was := then.phases
	if e.noSide {
		was |= was<<aheadShift | was>>aheadShift
	}
	if more := e.phases &^ was; was != 0 && more != 0 && (!e.blank || then.lessThanAll()) {
		return fmt.Sprintf("it was of %s, and is of %s too", then.phases, more)
	}
	var more []string
	for _, kind := range e.crosses {
		if !slices.ContainsFunc(then.crosses, func(k string) bool { return strings.EqualFold(k, kind) }) {
			more = append(more, kind)
		}
	}
	if len(then.crosses) == 0 || len(more) == 0 {
		return ""
	}
	return fmt.Sprintf("it was decided of %s, and the criteria ask for it by %s", strings.Join(then.crosses, " and "), strings.Join(more, " and "))
}

// lessThanAll tells whether an extent is what is left of all phases, where some of a row that named none met in rows of their own.
func (e extent) lessThanAll() bool {
	return slices.ContainsFunc([]audit.Phases{audit.Phases(e.phases), audit.Phases(e.phases >> aheadShift)}, func(p audit.Phases) bool {
		return p != audit.EveryPhase && p.Count() > mostPhases
	})
}

// noteExtents gives figures that have no extents, as those of an earlier version of the program, the extents that their exceptions had in the run
// compared with. What was long then is not known, so that a long span is taken to have been.
func (d *deciding) noteExtents(decision *Decision) {
	decision.eachHeld(func(f *held) bool {
		rec := d.places.was[f.id]
		if f.of.phases != 0 || rec == nil {
			return false
		}
		check := d.checkCalled(rec.Check)
		if check == nil || check.Of != audit.OfAssembly {
			return false
		}
		f.of = extentOfKey(rec.Key)
		if kinds := audit.KindsCrossedThen(rec.Stated); check.Crossing != nil && len(kinds) > 0 {
			f.of.crosses = append(kinds, audit.LongSpanKind)
		}
		return true
	})
}

// widen gives figures the phases and sides of the others of which an exception was joined, all decided alike; it tells whether there are any.
func (d *deciding) widen(of *held, exception string) (widened bool) {
	for _, other := range d.places.joined[exception] {
		if more := d.extents[other]; more != 0 && of.of.phases != 0 {
			of.of.phases |= more
			widened = true
		}
	}
	return widened
}
