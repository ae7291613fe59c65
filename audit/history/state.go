package history

import (
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// State is what became of an exception since the earlier run.
type State uint8

// The states.
const (
	New State = iota
	Standing
	Worse
	Better
	states
)

var stateNames = [states]string{"new", "standing", "worse", "better"}

func (s State) String() string { return stateNames[s] }

// StateNamed is the state that a word means.
func StateNamed(word string) (State, bool) {
	for s, name := range stateNames {
		if name == word {
			return State(s), true
		}
	}
	return 0, false
}

// became is what an exception that was there before has become. It stands where severity, observed and required are what they
// were; else it is worse where the severity rose, the margin fell or another phase is missing, and better otherwise, in words too.
func became(was *Record, v *audit.Verdict) State {
	switch {
	case v.Missing != 0 && v.Missing.String() != was.Phase && v.Missing&^lacked(was) != 0:
		return Worse
	case v.Severity == was.Severity && same(was.Observed, bare(v.Observed)) && same(was.Required, bare(v.Required)):
		return Standing
	case v.Severity < was.Severity: // the worst comes first
		return Worse
	case fell(was.Margin, known(v.Margin)), v.Required.Number < 0 && !(was.Required.Number <= v.Required.Number): // below 0 there is no margin
		return Worse
	}
	return Better
}

// lacked are the phases that a place lacked; a blank stands for every one.
func lacked(was *Record) audit.Phases {
	if was.Phase == "" {
		return audit.EveryPhase
	}
	phases, _ := audit.ParsePhases(was.Phase)
	return phases
}

// fell tells whether a margin is less than it was.
func fell(was, is float64) bool {
	return is < was-basis.Tolerance*max(math.Abs(is), math.Abs(was))
}

// Why is the reason for which an exception is not there any more.
type Why uint8

// The reasons. Only the first is a clearance by what was done; NotAssessed is none at all.
const (
	Meets        Why = iota // judged by the same rule, and meets
	DoesNotApply            // the check does not concern it any more
	Gone                    // its structure, span or assembly is not there any more
	RuleChanged             // a criterion or the program changed in between, so that it cannot be told whether the line did
	NotAssessed             // a datum was lost, so that it cannot be told
	NotInRun                // its line was left out of the run
	whys
)

// clears tells whether an exception counts as cleared.
func (w Why) clears() bool { return w != NotInRun && w != NotAssessed }

var whyNames = [whys]string{"meets", "does not apply", "gone", "rule changed", "not assessed", "not in this run"}

func (w Why) String() string { return whyNames[w] }

// WhyNamed is the reason that a word means.
func WhyNamed(word string) (Why, bool) {
	for w, name := range whyNames {
		if name == word {
			return Why(w), true
		}
	}
	return 0, false
}
