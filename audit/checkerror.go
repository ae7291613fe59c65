package audit

import (
	"cmp"
	"context"
	"fmt"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
)

// CheckError is an error of the program: a check that panicked on one subject. It costs that verdict, which is not
// assessed, and no other.
type CheckError struct {
	Check int // in Result.Checks
	Location
	Trial string // what the check was tried for; empty where its verdict was asked for
	Cause string // what it panicked with, and where in the code
}

// CheckErrors counts errors of checks, and lists the first of each check.
type CheckErrors struct {
	Count  int
	List   []CheckError
	listed map[int]int // by check
}

// mostListed is how many errors of one check are listed: more tell a reader nothing new.
const mostListed = 1000

func (l *CheckErrors) add(e CheckError) {
	l.Count++
	if l.listed[e.Check] == mostListed {
		return
	}
	if l.listed == nil {
		l.listed = map[int]int{}
	}
	l.listed[e.Check]++
	l.List = append(l.List, e)
}

// addAll adds errors of which some may be counted only.
func (l *CheckErrors) addAll(others CheckErrors) {
	for _, e := range others.List {
		l.add(e)
	}
	l.Count += others.Count - len(others.List)
}

// try puts a check to a subject as Run does; failed is what the check panicked with, empty where it did not. What s points
// to lives on: it is kept by the caller where a run must not make a new one for every subject.
func (c *Check) try(s *Subject, t *Trace) (v Verdict, failed string) {
	defer func() {
		if panicked := recover(); panicked != nil {
			v, failed = CannotTell(CheckFailed), causeOf(panicked)
		}
	}()
	return c.worst(s, t), ""
}

// tryCount is try on one assembly, which nothing repeats, and tells whether the verdict is the same for any number of units in a string.
func (c *Check) tryCount(s *Subject) (v Verdict, anyCount bool, failed string) {
	defer func() {
		if panicked := recover(); panicked != nil {
			v, anyCount, failed = CannotTell(CheckFailed), false, causeOf(panicked)
		}
	}()
	if outcome, reason := c.isSilent(s); reason != NoReason {
		return passedOver(outcome, reason), true, ""
	}
	if outcome, reason := c.lacksNeed(s); reason != NoReason {
		return passedOver(outcome, reason), c.AnyCount, ""
	}
	return c.judge(s, nil), c.AnyCount, ""
}

// causeOf says what a function panicked with and where. A deferred function calls it.
func causeOf(panicked any) string {
	callers := make([]uintptr, 64)
	frames := runtime.CallersFrames(callers[:runtime.Callers(2, callers)])
	for panicking, more := false, true; more; {
		var frame runtime.Frame
		frame, more = frames.Next()
		switch {
		case !strings.HasPrefix(frame.Function, "runtime."):
			if panicking {
				return fmt.Sprintf("%v (%s:%d)", panicked, filepath.Base(frame.File), frame.Line)
			}
		case frame.Function == "runtime.gopanic":
			panicking = true
		}
	}
	return fmt.Sprint(panicked)
}

// CheckErrors are the errors of the checks when they judged and when they were tried for the schedules, line by line.
// It fails only when ctx ends.
func (r *Result) CheckErrors(ctx context.Context) (CheckErrors, error) {
	all := CheckErrors{}
	all.addAll(r.errors)
	schedules, err := r.Schedules(ctx)
	for i := range schedules {
		all.addAll(schedules[i].errors)
	}
	return all, err
}

// JudgedErrors counts the errors of the checks when they judged.
func (r *Result) JudgedErrors() int { return r.errors.Count }

// laterErrors are errors of checks that an output put to a subject again.
type laterErrors struct {
	guard sync.Mutex
	CheckErrors
}

// Again puts a check of the result to a subject for an output, from any goroutine. An error of the check is kept for
// ErrorsOfOutputs.
func (r *Result) Again(check int, at *Location, s *Subject, t *Trace) Verdict {
	v, failed := r.Checks[check].try(s, t)
	if failed != "" {
		r.later.guard.Lock()
		r.later.add(CheckError{check, *at, "an output", failed})
		r.later.guard.Unlock()
	}
	return v
}

// NoteErrors keeps errors of checks that an output put to trials, for ErrorsOfOutputs.
func (r *Result) NoteErrors(found CheckErrors) {
	r.later.guard.Lock()
	r.later.addAll(found)
	r.later.guard.Unlock()
}

// ErrorsOfOutputs are the errors of checks that the outputs so far have put to subjects again, in a fixed order. Where a
// check failed at the same structure when it judged, that says it.
func (r *Result) ErrorsOfOutputs() CheckErrors {
	r.later.guard.Lock()
	defer r.later.guard.Unlock()
	found := r.later.CheckErrors
	found.List = slices.Clone(found.List)
	type spot struct{ check, line, structure int }
	judged := map[spot]bool{}
	for i := range r.errors.List {
		e := &r.errors.List[i]
		judged[spot{e.Check, e.Line, e.Structure}] = true
	}
	found.List = slices.DeleteFunc(found.List, func(e CheckError) bool { return judged[spot{e.Check, e.Line, e.Structure}] })
	found.Count -= len(r.later.List) - len(found.List)
	slices.SortFunc(found.List, func(a, b CheckError) int {
		return cmp.Or(cmp.Compare(a.Check, b.Check), r.Network.compareLocations(&a.Location, &b.Location), cmp.Compare(a.Cause, b.Cause))
	})
	return found
}
