package report

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"dryarc/audit"
	"dryarc/audit/history"
)

// headline says in one line what changed since the earlier run.
func headline(c *history.Changes) string {
	if c == nil || c.Since == nil {
		return "first run: there is no earlier one to compare with"
	}
	counts := c.Counts()
	var parts []string
	part := func(n int, what string) {
		if n > 0 {
			parts = append(parts, fmt.Sprintf("%s %s", grouped(n), what))
		}
	}
	part(counts.ByState[history.New], "new")
	worse := "worse"
	if n := counts.WorseByLoss; n > 0 {
		worse += fmt.Sprintf(" (%s on what is not stated any more, such as %s", counted(n, "rests", "rest"), counts.LostFirst)
		if counts.ByState[history.New] > 0 {
			worse += ", which may be why others are new"
		}
		worse += ")"
	}
	part(counts.ByState[history.Worse], worse)
	part(counts.ByState[history.Better], "better")
	if n := counts.Cleared(); n > 0 {
		text := "cleared"
		if k := counts.ByWhy[history.RuleChanged]; k > 0 {
			text += fmt.Sprintf(" (%s of them since the rule or a zone changed)", grouped(k))
		}
		part(n, text)
	}
	part(counts.LostNow(), "not judged any more, only because data were lost")
	part(counts.NothingLost, "that cannot be judged as they stand now, though no datum was lost")
	if len(parts) == 0 {
		parts = append(parts, "nothing new, worse or cleared")
	}
	text := fmt.Sprintf("since %s: %s", dayInWords(c.Since.AsOf), strings.Join(parts, ", "))
	if n := c.LinesMoved(); n > 0 {
		text += fmt.Sprintf("; numbers of %s stand on other structures than they did", counted(n, "line", "lines"))
	}
	if n := c.RulesChanged(); n > 0 {
		text += fmt.Sprintf("; a criterion or the program changed, by which %s may judge otherwise", counted(n, "check", "checks"))
	}
	if counts.Lost > 0 {
		text += fmt.Sprintf("; %s not judged any more since data were lost before", counted(counts.Lost, "exception", "exceptions"))
	}
	if n := counts.ByWhy[history.NotInRun]; n > 0 {
		text += fmt.Sprintf("; %s on lines that this run left out", counted(n, "exception", "exceptions"))
	}
	return text
}

// dayInWords is a date as people say it, such as 24 November 2026.
func dayInWords(date string) string {
	day, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return day.Format("2 January 2006")
}

// renamedInWords lists what has another name where it stood.
func renamedInWords(c *history.Changes) (texts []string) {
	for _, renamed := range c.Renamed {
		if renamed.Structure == "" {
			texts = append(texts, fmt.Sprintf("line %s is now %s", renamed.FromLine, renamed.Line))
		} else {
			texts = append(texts, fmt.Sprintf("structure %s of line %s is now %s", renamed.FromStructure, renamed.Line, renamed.Structure))
		}
	}
	return texts
}

// stateOf is the state of a finding, which is that of the worst of its exceptions that is no longer what it was: new before worse before
// better before standing; and the first day on which any of them was seen.
func stateOf(c *history.Changes, f *audit.Finding) (state history.State, firstSeen string) {
	weight := [...]int{history.New: 0, history.Worse: 1, history.Better: 2, history.Standing: 3}
	state = history.Standing
	for _, i := range f.Exceptions {
		change := &c.Exceptions[i]
		if weight[change.State] < weight[state] {
			state = change.State
		}
		if firstSeen == "" || change.FirstSeen < firstSeen {
			firstSeen = change.FirstSeen
		}
	}
	return state, firstSeen
}

// sentenceCase is a text with a capital at its start.
func sentenceCase(text string) string {
	_, size := utf8.DecodeRuneInString(text)
	return strings.ToUpper(text[:size]) + text[size:]
}
