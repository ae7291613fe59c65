package report

import (
	"fmt"

	"dryarc/audit"
)

// listedPassed is how many jobs are named that stand before a listed one and have nothing to hang.
const listedPassed = 4

// toDoFirst are the first jobs in the order of doing that have something to hang and that nobody has accepted, and how many there are of these in all.
// Every output that says what to do first lists these, as many as it has room for, and says by leftOutOfOrder which it passed over.
func toDoFirst(rows []workRow, most int) (listed []*workRow, all int) {
	for i := range rows {
		if w := &rows[i]; !w.said.Aside && len(w.job.Remedies) > 0 {
			if all++; len(listed) < most {
				listed = append(listed, w)
			}
		}
	}
	return listed, all
}

// leftOutOfOrder says which jobs before the one of a rank have nothing to hang, and why of the first few; empty where none is.
func leftOutOfOrder(r *audit.Result, rows []workRow, rank, most int) string {
	var passed []string
	more := 0
	for i := range rows[:rank] {
		w := &rows[i]
		switch {
		case w.said.Aside || len(w.job.Remedies) > 0:
		case len(passed) < most:
			passed = append(passed, fmt.Sprintf("%s (%s, %s: %s)", grouped(w.rank), w.line, w.structure, stopInShort(r, w.job)))
		default:
			more++
		}
	}
	if len(passed) == 0 {
		return ""
	}
	text := "Left out in the order, since nothing is to be hung yet: " + joined(passed)
	if more > 0 {
		text += fmt.Sprintf(" and %s more", grouped(more))
	}
	return text
}

// nothingToDoFirst says why no job is listed; where nothing was found it says what comes first then.
func nothingToDoFirst(r *audit.Result, c jobCounts) string {
	switch {
	case c.All == 0 && len(r.Exceptions) == 0:
		return "Nothing was found in what could be judged; " + whatNext(r)
	case c.All == 0:
		return "No work follows: no shortfall found is of an assembly or a place."
	case c.Accepted == c.All:
		return "Nothing that is not accepted."
	}
	return "Nothing is to be hung yet: no unit to choose from is known to mend anything. The sheet " + workSheet + " of " + WorkbookFile + " says what stops each job."
}
