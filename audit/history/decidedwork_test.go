package history

import (
	"testing"

	"github.com/stretchr/testify/require"
)

const decisionHead = "exception,line,structure,check,decision,until,by,reason,decided,ended,was\n"

// Structures 1 to 5 fall short in three phases each.
func TestWhatIsDecidedOfWork(t *testing.T) {
	r := strung{units: []int16{9, 9, 9, 9, 9}}.result(t)
	id := func(structure string, k int) string { return r.ExceptionIDs()[at(r, structure)[k]] }
	for name, c := range map[string]struct {
		csv    string
		needed map[int][]int
		said   []string // by job; blank for nothing
		aside  []int
	}{
		"nothing":        {said: []string{"", "", "", "", ""}},
		"accepted whole": {csv: ",L,1,,accept,2026-06-30,RK,\n", said: []string{"accepted, until 2026-06-30, by RK", "", "", "", ""}, aside: []int{0}},
		"accepted of line and check": {csv: ",L,,short-string,accept,,,\n" + ",L,2,,plan,2026-07-01,,\n", aside: []int{0, 2, 3, 4},
			said: []string{"accepted, never comes back for review", "planned, until 2026-07-01", "accepted, never comes back for review", "accepted, never comes back for review", "accepted, never comes back for review"}},
		"lapsed":        {csv: ",L,1,,accept,2026-03-30,RK,\n", said: []string{"", "", "", "", ""}},
		"contradictory": {csv: ",L,1,,accept,2026-06-30,RK,\n,L,1,,plan,2026-06-30,RK,\n", said: []string{"", "", "", "", ""}},
		"in part": {csv: id("1", 0) + ",,,,accept,2026-08-01,RK,\n" + id("1", 2) + ",,,,accept,2026-06-30,MO,\n" + id("2", 0) + ",,,,plan,,MO,\n" + id("2", 1) + ",,,,accept,2026-06-30,RK,\n",
			said: []string{"2 of 3 accepted, until 2026-06-30, by RK; MO", "1 of 3 accepted, 1 of 3 planned, until 2026-06-30, by MO; RK", "", "", ""}},
		"done and data wrong": {csv: ",L,1,,done,,crew,\n,L,2,,data wrong,2026-06-30,RK,\n", said: []string{"still there though reported done, by crew", "data wrong, until 2026-06-30, by RK", "", "", ""}},
		"all by different people": {csv: id("1", 0) + ",,,,accept,2026-08-01,RK,\n" + id("1", 1) + ",,,,accept,2026-06-30,MO,\n" + id("1", 2) + ",,,,accept,2026-07-30,RK,\n",
			said: []string{"accepted, until 2026-06-30, by RK; MO", "", "", "", ""}, aside: []int{0}},
		"needed by work that stays": {csv: ",L,1,,accept,2026-06-30,RK,\n,L,2,,accept,2026-06-30,RK,\n", needed: map[int][]int{0: {1}, 1: {2}},
			said: []string{"accepted, needed by other work all the same, until 2026-06-30, by RK", "accepted, needed by other work all the same, until 2026-06-30, by RK", "", "", ""}},
		"for work that is accepted": {csv: ",L,1,,accept,2026-06-30,RK,\n", needed: map[int][]int{5: {0}, 6: {5}}, aside: []int{0, 5, 6},
			said: []string{"accepted, until 2026-06-30, by RK", "", "", "", "", "for accepted work alone", "for accepted work alone"}},
		"for work of which some stays": {csv: ",L,1,,accept,2026-06-30,RK,\n", needed: map[int][]int{5: {0}, 6: {5, 1}}, aside: []int{0, 5},
			said: []string{"accepted, until 2026-06-30, by RK", "", "", "", "", "for accepted work alone", ""}},
		"for nothing that is known": {csv: ",L,1,,accept,2026-06-30,RK,\n", needed: map[int][]int{0: {99}, 5: {6}, 6: {5}},
			said: []string{"accepted, needed by other work all the same, until 2026-06-30, by RK", "", "", "", "", "", ""}},
	} {
		t.Run(name, func(t *testing.T) {
			store, err := ParseStore([]byte(decisionHead + c.csv))
			require.NoError(t, err)
			var jobs []Work
			for i, structure := range []string{"1", "2", "3", "4", "5", "6", "7"}[:len(c.said)] {
				jobs = append(jobs, Work{Structure: i, Exceptions: at(r, structure), NeededBy: c.needed[i]})
			}
			var said []string
			var aside []int
			for i, d := range store.Decide(r, Alone(r)).OfWork(jobs) {
				said = append(said, d.String())
				if d.Aside {
					aside = append(aside, i)
				}
			}
			require.Equal(t, c.said, said)
			require.Equal(t, c.aside, aside)
		})
	}
	var none *Decided
	require.Equal(t, make([]WorkDecision, 2), none.OfWork(make([]Work, 2)))
}
