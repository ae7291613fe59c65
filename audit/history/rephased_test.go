package history

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// rephasedLine is a line whose structure 2 has some rows; the others have enough units.
func rephasedLine(asOf string, rows ...hung) strung {
	return strung{units: []int16{10, 10, 10}, asOf: asOf, rows: map[int][]hung{2: rows}}
}

// toldOf are the changes by phases and what became of them.
func toldOf(r *audit.Result, c *Changes) (told []string) {
	for i := range c.Exceptions {
		told = append(told, fmt.Sprintf("%s %s", r.Key(i).Phase, c.Exceptions[i].State))
	}
	for _, cleared := range c.Cleared {
		told = append(told, fmt.Sprintf("%s %s", cleared.Phase, cleared.Why))
	}
	slices.Sort(told)
	return told
}

// Rows of one structure that name other phases than they did; 10 units are enough.
func TestRowsOfOtherPhases(t *testing.T) {
	type rows = []hung
	for name, c := range map[string]struct {
		then, now rows
		want      []string
		lost      int // that cannot be told though nothing was lost
	}{
		"one phase more":                        {rows{{"AB", 8}}, rows{{"ABC", 8}}, []string{"ABC standing"}, 0},
		"one phase more, and worse":             {rows{{"AB", 8}}, rows{{"ABC", 7}}, []string{"ABC worse"}, 0},
		"one phase more, and better":            {rows{{"AB", 8}}, rows{{"ABC", 9}}, []string{"ABC better"}, 0},
		"one phase more, and enough":            {rows{{"AB", 8}}, rows{{"ABC", 10}}, []string{"AB meets"}, 0},
		"one phase more, and not told":          {rows{{"AB", 8}}, rows{{"ABC", -1}}, []string{"AB not assessed"}, 0},
		"one phase less":                        {rows{{"ABC", 8}}, rows{{"AB", 8}}, []string{"AB standing"}, 0},
		"one phase less, and enough":            {rows{{"ABC", 8}}, rows{{"AB", 10}}, []string{"ABC not assessed"}, 0},
		"parted":                                {rows{{"ABC", 8}}, rows{{"A", 8}, {"B", 8}, {"C", 8}}, []string{"A standing", "B standing", "C standing"}, 0},
		"parted, one better and one worse":      {rows{{"ABC", 8}}, rows{{"A", 9}, {"B", 8}, {"C", 7}}, []string{"A better", "B standing", "C worse"}, 0},
		"parted, and one enough":                {rows{{"ABC", 8}}, rows{{"A", 8}, {"B", 8}, {"C", 10}}, []string{"A standing", "B standing"}, 0},
		"parted, and one not told":              {rows{{"ABC", 8}}, rows{{"A", 8}, {"B", 10}, {"C", -1}}, []string{"A standing", "C not assessed"}, 0},
		"parted, and all enough":                {rows{{"ABC", 8}}, rows{{"A", 10}, {"B", 10}, {"C", 10}}, []string{"ABC meets"}, 0},
		"parted, none short and one not told":   {rows{{"ABC", 8}}, rows{{"A", 10}, {"B", 10}, {"C", -1}}, []string{"ABC not assessed"}, 0},
		"joined":                                {rows{{"A", 8}, {"B", 8}, {"C", 8}}, rows{{"ABC", 8}}, []string{"A not assessed", "ABC standing", "B not assessed"}, 2},
		"joined, measured by the worst":         {rows{{"A", 8}, {"B", 7}, {"C", 9}}, rows{{"ABC", 8}}, []string{"A not assessed", "ABC better", "C not assessed"}, 2},
		"joined with one that was enough":       {rows{{"A", 8}, {"B", 10}, {"C", 10}}, rows{{"ABC", 8}}, []string{"ABC standing"}, 0},
		"joined, and enough":                    {rows{{"A", 8}, {"B", 8}, {"C", 8}}, rows{{"ABC", 10}}, []string{"A meets", "B meets", "C meets"}, 0},
		"joined, and not told":                  {rows{{"A", 8}, {"B", 8}, {"C", 8}}, rows{{"ABC", -1}}, []string{"A not assessed", "B not assessed", "C not assessed"}, 0},
		"only some phases in common":            {rows{{"AB", 8}}, rows{{"A", 10}, {"BC", 8}}, []string{"AB not assessed", "BC new"}, 1},
		"parted anew":                           {rows{{"AB", 8}, {"C", 8}}, rows{{"A", 8}, {"BC", 8}}, []string{"A new", "AB not assessed", "BC new", "C not assessed"}, 2},
		"parted anew, and enough":               {rows{{"AB", 8}, {"C", 8}}, rows{{"A", 10}, {"BC", 10}}, []string{"AB meets", "C meets"}, 0},
		"no phase in common":                    {rows{{"A", 8}}, rows{{"B", 8}}, []string{"A gone", "B new"}, 0},
		"one that keeps its phases is no other": {rows{{"A", 8}, {"BC", 8}}, rows{{"A", 8}, {"B", 8}, {"C", 10}}, []string{"A standing", "B standing"}, 0},
		"a row of the same phases stays":        {rows{{"AB", 8}, {"C", 10}}, rows{{"AB", 10}, {"C", 8}}, []string{"AB meets", "C new"}, 0},
	} {
		t.Run(name, func(t *testing.T) {
			changes, now := next(t, rephasedLine("", c.then...).result(t), rephasedLine("2026-04-01", c.now...))
			require.Equal(t, c.want, toldOf(now, changes), "%+v", changes.Cleared)
			require.Equal(t, c.lost, changes.Counts().NothingLost)
			for _, exception := range changes.Exceptions {
				require.Equal(t, exception.State == New, exception.FirstSeen == "2026-04-01")
			}
		})
	}
}

// Rows of one structure that name another side than they did; 10 units are enough.
func TestRowsOfOtherSides(t *testing.T) {
	type rows = []hung
	for name, c := range map[string]struct {
		then, now rows
		want      []string
		detail    string
	}{
		"parted":                       {rows{{"ABC/both", 8}}, rows{{"ABC/back", 8}, {"ABC/ahead", 8}}, []string{"ABC ahead standing", "ABC back standing"}, ""},
		"parted, and one enough":       {rows{{"ABC/both", 8}}, rows{{"ABC/back", 8}, {"ABC/ahead", 10}}, []string{"ABC back standing"}, ""},
		"parted, and one not told":     {rows{{"ABC/both", 8}}, rows{{"ABC/back", 8}, {"ABC/ahead", -1}}, []string{"ABC ahead not assessed", "ABC back standing"}, ""},
		"parted, none short":           {rows{{"ABC/both", 8}}, rows{{"ABC/back", 10}, {"ABC/ahead", -1}}, []string{"ABC both not assessed"}, ""},
		"parted, and all enough":       {rows{{"ABC/both", 8}}, rows{{"ABC/back", 10}, {"ABC/ahead", 10}}, []string{"ABC both meets"}, ""},
		"parted by phases too":         {rows{{"ABC/both", 8}}, rows{{"AB/both", 10}, {"C/back", 10}, {"C/ahead", 7}}, []string{"C ahead worse"}, ""},
		"one side alone":               {rows{{"ABC/both", 8}}, rows{{"ABC/back", 8}}, []string{"ABC back standing"}, ""},
		"one side alone, and enough":   {rows{{"ABC/both", 8}}, rows{{"ABC/back", 10}}, []string{"ABC both not assessed"}, "it was of A,B,C, and no row there is of A,B,C ahead now"},
		"one side more":                {rows{{"ABC/back", 8}}, rows{{"ABC/both", 7}}, []string{"ABC both worse"}, ""},
		"one side more, and enough":    {rows{{"ABC/back", 8}}, rows{{"ABC/both", 10}}, []string{"ABC back meets"}, ""},
		"joined":                       {rows{{"ABC/back", 8}, {"ABC/ahead", 7}}, rows{{"ABC/both", 7}}, []string{"ABC back not assessed", "ABC both standing"}, "it is told of with the row of A,B,C, which has its phases and sides now and falls short"},
		"joined, and enough":           {rows{{"ABC/back", 8}, {"ABC/ahead", 8}}, rows{{"ABC/both", 10}}, []string{"ABC ahead meets", "ABC back meets"}, ""},
		"joined, and not told":         {rows{{"ABC/back", 8}}, rows{{"ABC/both", -1}}, []string{"ABC back not assessed"}, ""},
		"no phase named":               {rows{{"/both", 8}}, rows{{"/back", 8}, {"/ahead", 10}}, []string{" back standing"}, ""},
		"no phase named, one side":     {rows{{"/both", 8}}, rows{{"/back", 10}}, []string{" both not assessed"}, "it was of all phases, and no row there is of all phases ahead now"},
		"no phase named, and some are": {rows{{"/both", 8}}, rows{{"A/back", 10}}, []string{" both not assessed"}, "it was of all phases, and no row there is of other phases and A ahead now"},
		"the other side":               {rows{{"ABC/back", 8}}, rows{{"ABC/ahead", 8}}, []string{"ABC ahead new", "ABC back gone"}, "nothing of that circuit, phase and side is registered there any more"},
	} {
		t.Run(name, func(t *testing.T) {
			changes, now := next(t, rephasedLine("", c.then...).result(t), rephasedLine("2026-04-01", c.now...))
			var told []string
			for i := range changes.Exceptions {
				told = append(told, fmt.Sprintf("%s %s %s", now.Key(i).Phase, now.Key(i).Side, changes.Exceptions[i].State))
			}
			for _, cleared := range changes.Cleared {
				told = append(told, fmt.Sprintf("%s %s %s", cleared.Phase, cleared.Side, cleared.Why))
				if c.detail != "" {
					require.Equal(t, c.detail, cleared.Detail)
				}
			}
			slices.Sort(told)
			require.Equal(t, c.want, told)
		})
	}
}

// What was kept of rows that were joined does not stand in the way of what is told of the row that they became.
func TestKeptOfJoinedRows(t *testing.T) {
	joined := rephasedLine("2026-04-01", hung{"ABC", 8})
	for name, c := range map[string]struct {
		now  []hung
		want []string
	}{
		"one phase less":        {[]hung{{"AB", 8}, {"C", 10}}, []string{"AB standing", "B not assessed", "C meets"}},
		"one phase less, alone": {[]hung{{"AB", 8}}, []string{"AB standing", "B not assessed", "C gone"}},
		"enough":                {[]hung{{"ABC", 10}}, []string{"ABC meets", "B meets", "C meets"}},
		"as it is":              {[]hung{{"ABC", 8}}, []string{"ABC standing", "B not assessed", "C not assessed"}},
	} {
		t.Run(name, func(t *testing.T) {
			r := joined.result(t)
			earlier := &Earlier{Run: r.Run.ID, AsOf: r.Run.AsOf, Rules: Rules(r), Lines: []string{"L"}}
			now := RecordOf(r, at(r, "2")[0], "2026-03-31", earlier.Rules["short-string"])
			earlier.entries = append(earlier.entries, entry{now: &now})
			for _, phase := range []string{"B", "C"} {
				kept := now
				kept.Phase, kept.Lost = phase, "2026-04-01"
				kept.ID = kept.Key.ID()
				earlier.entries = append(earlier.entries, entry{now: &kept})
			}
			result := rephasedLine("2026-04-02", c.now...).result(t)
			changes, err := Compare(context.Background(), result, earlier, false)
			require.NoError(t, err)
			require.Equal(t, c.want, toldOf(result, changes))
		})
	}
}

// What was decided of a row is decided of what its phases hang on now, and of several joined in one only what was decided of all.
func TestDecisionsOnRowsOfOtherPhases(t *testing.T) {
	type rows = []hung
	for name, c := range map[string]struct {
		then, now rows
		decided   []string // phases
		want      []Status
		open      int // exceptions that count in the gates
	}{
		"one phase more":              {rows{{"AB", 8}}, rows{{"ABC", 8}}, []string{"AB"}, []Status{Lapsed}, 1},
		"one phase more, that met":    {rows{{"A", 8}, {"B", 10}, {"C", 10}}, rows{{"ABC", 8}}, []string{"A"}, []Status{Lapsed}, 1},
		"more, of the structure":      {rows{{"A", 8}, {"BC", 10}}, rows{{"ABC", 8}}, []string{""}, []Status{Lapsed}, 1},
		"one phase less":              {rows{{"ABC", 8}}, rows{{"AB", 8}}, []string{"ABC"}, []Status{InForce}, 0},
		"in another order":            {rows{{"ABC", 8}}, rows{{"CAB", 8}}, []string{"ABC"}, []Status{InForce}, 0},
		"no phase named any more":     {rows{{"ABC", 8}}, rows{{"", 8}}, []string{"ABC"}, []Status{InForce}, 0},
		"phases named that were not":  {rows{{"", 8}}, rows{{"ABC", 8}}, []string{""}, []Status{InForce}, 0},
		"one side more":               {rows{{"ABC/ahead", 8}, {"ABC/back", 10}}, rows{{"ABC/both", 8}}, []string{"ABC"}, []Status{Lapsed}, 1},
		"one side less":               {rows{{"ABC/both", 8}}, rows{{"ABC/ahead", 8}}, []string{"ABC"}, []Status{InForce}, 0},
		"sides parted":                {rows{{"ABC/both", 8}}, rows{{"ABC/back", 8}, {"ABC/ahead", 8}}, []string{"ABC"}, []Status{InForce, InForce}, 0},
		"sides joined, both decided":  {rows{{"ABC/back", 8}, {"ABC/ahead", 8}}, rows{{"ABC/both", 8}}, []string{"ABC", "ABC"}, []Status{Unjudged, InForce}, 0},
		"one phase more, and worse":   {rows{{"AB", 8}}, rows{{"ABC", 7}}, []string{"AB"}, []Status{Lapsed}, 1},
		"parted":                      {rows{{"ABC", 8}}, rows{{"A", 8}, {"B", 8}, {"C", 8}}, []string{"ABC"}, []Status{InForce, InForce, InForce}, 0},
		"parted, and one worse":       {rows{{"ABC", 8}}, rows{{"A", 8}, {"B", 8}, {"C", 7}}, []string{"ABC"}, []Status{Lapsed, InForce, InForce}, 1},
		"parted, of the structure":    {rows{{"ABC", 8}}, rows{{"A", 8}, {"B", 8}, {"C", 8}}, []string{""}, []Status{InForce}, 0},
		"joined, all decided":         {rows{{"A", 8}, {"B", 8}}, rows{{"AB", 8}}, []string{"A", "B"}, []Status{Unjudged, InForce}, 0},
		"joined, one decided":         {rows{{"A", 8}, {"B", 8}}, rows{{"AB", 8}}, []string{"A"}, []Status{Lapsed}, 1},
		"joined, the other decided":   {rows{{"A", 8}, {"B", 8}}, rows{{"AB", 8}}, []string{"B"}, []Status{Unjudged}, 1},
		"joined, of the structure":    {rows{{"A", 8}, {"B", 8}}, rows{{"AB", 8}}, []string{""}, []Status{InForce}, 0},
		"parted, and one is not told": {rows{{"ABC", 8}}, rows{{"A", 8}, {"BC", -1}}, []string{"ABC"}, []Status{Unjudged, InForce}, 0},
	} {
		t.Run(name, func(t *testing.T) {
			r := rephasedLine("", c.then...).result(t)
			store := &Store{}
			for _, phases := range c.decided {
				d := Decision{Line: "L", Structure: "2", Said: Said{Word: "accept"}}
				for _, i := range at(r, "2") {
					taken := slices.ContainsFunc(store.Decisions, func(d Decision) bool { return d.Exception == r.ExceptionIDs()[i] })
					if phases != "" && r.Key(i).Phase == phases && !taken {
						d = Decision{Exception: r.ExceptionIDs()[i], Said: Said{Word: "accept"}}
					}
				}
				store.Decisions = append(store.Decisions, d)
			}
			store.Decide(r, Alone(r))
			changes, now := next(t, r, rephasedLine("2026-04-01", c.now...))
			first := ""
			for range 2 { // to do so again changes nothing
				d := store.Decide(now, changes)
				var got []Status
				open := 0
				for _, j := range d.Decisions {
					got = append(got, j.Status)
				}
				for i := range now.Exceptions {
					if d.Open(i) {
						open++
					}
				}
				slices.Sort(got)
				want := slices.Sorted(slices.Values(c.want))
				require.Equal(t, want, got, "%+v", d.Decisions)
				require.Equal(t, c.open, open)
				if first == "" {
					first = string(store.Text())
				}
				require.Equal(t, first, string(store.Text()))
			}
		})
	}
}

// What was decided of one phase is of no others, by whatever way the row came to name them, and is in force again where it names that one alone.
func TestDecisionsOfFewerPhasesThanTheRow(t *testing.T) {
	r := rephasedLine("", hung{"A", 8}).result(t)
	store := &Store{Decisions: []Decision{{Exception: r.ExceptionIDs()[at(r, "2")[0]], Said: Said{Word: "accept"}}}}
	store.Decide(r, Alone(r))
	for k, c := range []struct {
		phases string
		want   Status
		detail string
	}{
		{"", InForce, ""}, // a blank may be A still
		{"ABC", Lapsed, "short-string, structure 2, circuit 1, ABC is more than what was decided: it was of A, and is of B,C too"},
		{"ABC", Lapsed, "is of B,C too"},
		{"AB", Lapsed, "is of B too"},
		{"A", InForce, ""},
	} {
		changes, now := next(t, r, rephasedLine(fmt.Sprintf("2026-04-%02d", k+1), hung{c.phases, 8}))
		for range 2 {
			d := store.Decide(now, changes)
			require.Len(t, d.Decisions, 1)
			require.Equal(t, c.want.String(), d.Decisions[0].Status.String(), "%d: %+v", k, d.Decisions[0])
			require.Contains(t, d.Decisions[0].Detail, c.detail)
			again, err := ParseStore(store.Text())
			require.NoError(t, err)
			store = again
		}
		r = now
	}
}

// A decision that an earlier version wrote is of what its exception was of in the run compared with.
func TestDecisionsWithoutExtents(t *testing.T) {
	r := rephasedLine("", hung{"A", 8}).result(t)
	store := &Store{Decisions: []Decision{{Exception: r.ExceptionIDs()[at(r, "2")[0]], Said: Said{Word: "accept"}}}}
	store.Decide(r, Alone(r))
	require.Contains(t, store.Decisions[0].Was, " of=A")
	store.Decisions[0].Was, _, _ = strings.Cut(store.Decisions[0].Was, " of=")
	changes, now := next(t, r, rephasedLine("2026-04-01", hung{"ABC", 8}))
	require.Equal(t, 1, store.Decide(now, changes).Count(Lapsed))
	changes, now = next(t, now, rephasedLine("2026-04-02", hung{"ABC", 8}))
	require.Equal(t, 1, store.Decide(now, changes).Count(Lapsed), "for good")
}
