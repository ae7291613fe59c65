package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What was reported done is mended, and falls short again after its tower or line got another name while there was nothing to find: the report
// is of it still, whatever it is called.
func TestWhatWasDecidedComesBackUnderAnotherName(t *testing.T) {
	t.Parallel()
	for name, work := range map[string]func(y *year){
		"nothing happened":          func(*year) {},
		"tower renumbered":          func(y *year) { y.lines[0].towers[2].number = "N3" },
		"line renamed":              func(y *year) { y.lines[0].name = "M0" },
		"a night each, tower first": func(y *year) { y.lines[0].towers[2].number = "N3"; y.nextDay(); y.lines[0].name = "M0" },
		"a night each, line first":  func(y *year) { y.lines[0].name = "M0"; y.nextDay(); y.lines[0].towers[2].number = "N3" },
	} {
		for _, beside := range []bool{false, true} { // something else falls short at the tower, so that its new number is known
			t.Run(name+map[bool]string{true: ", something else there"}[beside], func(t *testing.T) {
				y := yearOfOneLine(t)
				y.lines[0].towers[2].units[0] = 8
				for _, k := range []int{5, 6, 7} { // by which the line is known again
					y.lines[0].towers[k].units[2] = 7
				}
				if beside {
					y.lines[0].towers[2].units[1] = 7
				}
				y.asOf = "2026-03-01"
				for _, e := range y.nextDay().Exceptions {
					if e.Structure == "3" && e.Phase == "A" {
						y.put("decisions.csv", "exception,line,structure,check,decision,until,by,reason,decided,ended,was\n"+e.ID+",,,,done\n")
					}
				}
				y.nextDay()
				y.lines[0].towers[2].units[0] = 14
				y.nextDay()
				work(y)
				y.nextDay()
				y.lines[0].towers[2].units[0] = 8
				for range 2 {
					var statuses []string
					for _, e := range y.nextDay().Exceptions {
						if e.Decision != nil {
							statuses = append(statuses, e.Structure+e.Phase+": "+e.Decision.Status)
						}
					}
					require.Equal(t, []string{y.lines[0].towers[2].number + "A: still there though reported done"}, statuses)
				}
			})
		}
	}
}

// nextDay is a run of the next day.
func (y *year) nextDay() told {
	y.asOf = y.dayFromNow(1)
	y.write()
	return y.audit(y.lines)
}

// A decision is withdrawn in the workbook on the night on which its line gets another name: nobody took it out of the file.
func TestWithdrawnWhileTheLineIsRenamed(t *testing.T) {
	t.Parallel()
	y := yearOfOneLine(t)
	for _, k := range []int{2, 5, 6} {
		y.lines[0].towers[k].units[0] = 8
	}
	y.asOf = "2026-03-01"
	id := y.nextDay().Exceptions[0].ID
	heading := "exception,line,structure,check,decision,until,by,reason,decided,ended,was\n"
	y.put("decisions.csv", heading+id+",,,,accept,2026-03-01\n")
	require.Equal(t, "lapsed", y.nextDay().Exceptions[0].Decision.Status)
	y.edit("decisions.csv", ",2026-03-01,,,,,", ",2026-03-01,,,2026-03-02,withdrawn 2026-03-03,")
	y.lines[0].name = "M0"
	require.Empty(t, y.nextDay().Run.Decisions.Removed)
	y.put("decisions.csv", heading+y.audit(y.lines).Exceptions[0].ID+",,,,accept,2026-03-01\n")
	y.nextDay()
	y.put("decisions.csv", heading)
	require.Len(t, y.nextDay().Run.Decisions.Removed, 1)
}
