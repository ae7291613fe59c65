package history

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// Where all numbers are moved on by one, what is known and what was decided goes by places, however often a run is done again.
func TestNumbersThatStandElsewhere(t *testing.T) {
	before := strung{units: []int16{8, 8, 10, 8}}
	moved := strung{units: before.units, names: map[int]string{1: "2", 2: "3", 3: "4", 4: "5"}, asOf: "2026-04-01"}
	r := before.result(t)
	store := &Store{Decisions: []Decision{
		{Exception: r.ExceptionIDs()[at(r, "2")[0]], Said: Said{Word: "accept"}}, {Line: "L", Structure: "1", Said: Said{Word: "plan"}}, {Line: "L", Check: "short-string", Said: Said{Word: "accept"}},
	}}
	store.Decide(r, Alone(r))
	unplacedStore := &Store{}
	for _, d := range store.Decisions { // as an earlier version wrote it
		d.Was = unplaced(d.Was)
		unplacedStore.Decisions = append(unplacedStore.Decisions, d)
	}
	changes, now := next(t, r, moved)
	require.Equal(t, 9, changes.Counts().ByState[Standing])
	require.Empty(t, changes.Cleared)
	require.Equal(t, 1, changes.LinesMoved())
	require.Contains(t, changes.Remarks[0], `numbers of line "L" stand on other structures than they did: 3 are known by where they stand, such as 1 is now 2`)
	for name, s := range map[string]*Store{"with places": store, "without": unplacedStore} {
		var first string
		for _, changes := range []*Changes{changes, changes, Alone(now)} {
			d := s.Decide(now, changes)
			require.Equal(t, 3, d.Count(InForce), "%s: %+v", name, d.Decisions)
			require.Equal(t, at(now, "3")[0], d.Decisions[slices.IndexFunc(d.Decisions, func(j Judged) bool { return j.Exception != "" })].Exceptions[0])
			require.Len(t, d.OfStructure("L", "2"), 1)
			if first == "" {
				first = string(s.Text())
			}
			require.Equal(t, first, string(s.Text()), "to do so again changes nothing")
		}
	}
}

// Where a structure was taken down and its number is that of another now, nothing of it is cleared as met, and what was decided of it is
// not in force.
func TestNumberOfAnotherStructure(t *testing.T) {
	r := strung{units: []int16{10, 8, 10, 8}}.result(t)
	store := &Store{Decisions: []Decision{{Exception: r.ExceptionIDs()[at(r, "4")[0]], Said: Said{Word: "accept"}}, {Exception: r.ExceptionIDs()[at(r, "2")[0]], Said: Said{Word: "accept"}}}}
	store.Decide(r, Alone(r))
	changes, now := next(t, r, strung{units: []int16{10, 8, 8}, names: map[int]string{2: "4", 3: "2"}, asOf: "2026-04-01"})
	require.Equal(t, 3, changes.Counts().ByState[Standing], "2 is known where it stood")
	require.Len(t, changes.Cleared, 3)
	for _, cleared := range changes.Cleared {
		require.Equal(t, Gone, cleared.Why, "and not answered by what bears its number")
		require.Contains(t, cleared.Detail, "nothing stands where 4 stood, and its number is that of another structure now")
	}
	for _, changes := range []*Changes{changes, Alone(now)} {
		d := store.Decide(now, changes)
		var lapsed []string
		for _, j := range d.Decisions {
			if j.Status == Lapsed {
				lapsed = append(lapsed, j.Detail)
			}
		}
		require.Equal(t, 1, d.Count(InForce))
		require.Len(t, lapsed, 1)
		require.Contains(t, lapsed[0], "stands elsewhere than when it was decided")
	}
}

// Each case decides on a line whose structures 2 and 3 have 8 of 10 units, and then looks at the same line again, or a changed one.
func TestWhatADecisionIsWorth(t *testing.T) {
	then := strung{units: []int16{10, 8, 8, 10}}
	one := func(said Said) Decision { return Decision{Exception: "of 2", Said: said} }
	structure := func(said Said) Decision { return Decision{Line: "L", Structure: "2", Said: said} }
	for name, c := range map[string]struct {
		decision Decision
		now      []int16 // units; nil for the same
		status   Status
		open     bool // whether what hangs on structure 2 counts in the gates; of phase A alone where the decision is of one exception
		detail   string
		soon     bool
		forever  bool
	}{
		"accept until a day to come":          {decision: one(Said{Word: "accept", Until: "2026-12-31"}), status: InForce},
		"accept on its last day":              {decision: one(Said{Word: "accept", Until: "2026-03-31"}), status: InForce, soon: true},
		"accept the day after":                {decision: one(Said{Word: "accept", Until: "2026-03-30"}), status: Lapsed, open: true, detail: "its last day was 2026-03-30"},
		"plan with 30 days left":              {decision: one(Said{Word: "plan", Until: "2026-04-30"}), status: InForce, soon: true},
		"plan with 31 days left":              {decision: one(Said{Word: "plan", Until: "2026-05-01"}), status: InForce},
		"without a date":                      {decision: one(Said{Word: "accept"}), status: InForce, forever: true},
		"a date that cannot be read":          {decision: one(Said{Word: "accept", Until: "next spring"}), status: Lapsed, open: true, detail: "is no date"},
		"a date that is none":                 {decision: one(Said{Word: "accept", Until: "2026-02-30"}), status: Lapsed, open: true, detail: "is no date"},
		"the word in other spelling":          {decision: one(Said{Word: " ACCEPT "}), status: InForce, forever: true},
		"accept, and it is better":            {decision: one(Said{Word: "accept"}), now: []int16{10, 9, 8, 10}, status: InForce, forever: true},
		"accept, and it is worse":             {decision: one(Said{Word: "accept"}), now: []int16{10, 7, 8, 10}, status: Lapsed, open: true, detail: "is worse than when it was decided: was 8 of 10"},
		"plan, and it is worse":               {decision: one(Said{Word: "plan", Until: "2026-12-31"}), now: []int16{10, 7, 8, 10}, status: Lapsed, open: true, detail: "worse"},
		"accept, and it meets":                {decision: one(Said{Word: "accept"}), now: []int16{10, 10, 8, 10}, status: Settled, detail: "meets"},
		"accept, and it cannot be judged":     {decision: one(Said{Word: "accept"}), now: []int16{10, -1, 8, 10}, status: Unjudged, detail: "Units per string: known before"},
		"done, and it is still found":         {decision: one(Said{Word: "done"}), status: StillThere, open: true},
		"done long ago, still found":          {decision: one(Said{Word: "done", Until: "2020-01-01"}), status: StillThere, open: true},
		"of a structure, not to be judged":    {decision: structure(Said{Word: "done"}), now: []int16{10, -1, 8, 10}, status: Unjudged},
		"of line and check, not to be judged": {decision: Decision{Line: "L", Check: "short-string", Said: Said{Word: "done"}}, now: []int16{10, -1, -1, 10}, status: Unjudged},
		"done, and it is":                     {decision: one(Said{Word: "done"}), now: []int16{10, 10, 8, 10}, status: Settled, detail: "meets"},
		"data wrong asks for the datum":       {decision: one(Said{Word: "data wrong"}), status: InForce, open: true, forever: true, detail: "the datum is asked for"},
		"data wrong, and the datum is worse":  {decision: one(Said{Word: "data wrong"}), now: []int16{10, 7, 8, 10}, status: Lapsed, open: true, detail: "the datum changed"},
		"data wrong, and it is better":        {decision: one(Said{Word: "data-wrong"}), now: []int16{10, 9, 8, 10}, status: Lapsed, open: true, detail: "the datum changed"},
		"a word that is none":                 {decision: one(Said{Word: "fine"}), status: Unreadable, open: true, detail: `"fine" is none of accept, plan, data wrong, done`},
		"no word":                             {decision: one(Said{Reason: "because"}), status: Unreadable, open: true},
		"withdrawn":                           {decision: Decision{Exception: "of 2", Said: Said{Word: "accept"}, Ended: "withdrawn 2026-03-01"}, status: Over, open: true},
		"of a structure":                      {decision: structure(Said{Word: "accept"}), status: InForce, forever: true},
		"of a structure that gets worse":      {decision: structure(Said{Word: "accept"}), now: []int16{10, 7, 8, 10}, status: Lapsed, open: true, detail: "worse"},
		"of a structure, in other words":      {decision: Decision{Line: "L", Structure: "2", Check: "short-string", Said: Said{Word: "plan"}}, status: InForce, forever: true},
		"of a line and check":                 {decision: Decision{Line: "L", Check: "short-string", Said: Said{Word: "plan"}}, status: InForce, forever: true},
		"of a line and check, one more":       {decision: Decision{Line: "L", Check: "short-string", Said: Said{Word: "plan"}}, now: []int16{9, 8, 8, 10}, status: Lapsed, open: true, detail: "structure 1, circuit 1, A was not there"},
		"of no structure of the line":         {decision: Decision{Line: "L", Structure: "22", Said: Said{Word: "accept"}}, status: Unmatched, open: true, detail: `line L has no structure "22"`},
		"of no line":                          {decision: Decision{Line: "LL", Check: "short-string", Said: Said{Word: "accept"}}, status: Unmatched, open: true, detail: `there is no line "LL"`},
		"of no check":                         {decision: Decision{Line: "L", Check: "short-strings", Said: Said{Word: "accept"}}, status: Unmatched, open: true, detail: `the nearest is "short-string"`},
		"of no exception":                     {decision: Decision{Exception: "nearly 2", Said: Said{Word: "accept"}}, status: Unmatched, open: true, detail: "the nearest is"},
		"of a line alone":                     {decision: Decision{Line: "L", Said: Said{Word: "accept"}}, status: Unmatched, open: true, detail: "names neither"},
		"of nothing that falls short":         {decision: Decision{Line: "L", Structure: "4", Said: Said{Word: "accept"}}, status: Settled, open: true},
		"in advance":                          {decision: Decision{Line: "L", Structure: "4", Said: Said{Word: "accept"}}, now: []int16{10, 8, 8, 9}, status: Lapsed, open: true, detail: "was not there when it was decided"},
	} {
		t.Run(name, func(t *testing.T) {
			r := then.result(t)
			first := at(r, "2")[0]
			id := r.ExceptionIDs()[first]
			switch c.decision.Exception {
			case "of 2":
				c.decision.Exception = id
			case "nearly 2":
				c.decision.Exception = id[:len(id)-1] + "x"
			}
			store := &Store{Decisions: []Decision{c.decision}}
			store.Decide(r, Alone(r))
			text := store.Text()
			store, err := ParseStore(text)
			require.NoError(t, err)
			changes := Alone(r)
			if c.now != nil {
				changes, r = next(t, r, strung{units: c.now, asOf: "2026-04-01"})
			}
			d := store.Decide(r, changes)
			require.Len(t, d.Decisions, 1)
			j := &d.Decisions[0]
			require.Equal(t, c.status.String(), j.Status.String(), j.Detail)
			require.Contains(t, j.Detail, c.detail)
			require.Equal(t, c.soon, j.Soon)
			require.Equal(t, c.forever, j.Forever)
			for k, i := range at(r, "2") {
				require.Equal(t, c.open || k > 0 && c.decision.Exception != "", d.Open(i), r.Key(i))
			}
		})
	}
}

// next audits a line as it is some time after another result, and compares the two.
func next(t *testing.T, before *audit.Result, now strung) (*Changes, *audit.Result) {
	t.Helper()
	earlier := &Earlier{Run: before.Run.ID, AsOf: before.Run.AsOf, Rules: Rules(before), Lines: []string{"L"}}
	for i := range before.Exceptions {
		rec := RecordOf(before, i, before.Run.AsOf, earlier.Rules["short-string"])
		earlier.entries = append(earlier.entries, entry{now: &rec})
	}
	r := now.result(t)
	changes, err := Compare(context.Background(), r, earlier, false)
	require.NoError(t, err)
	return changes, r
}

func TestContradictoryDecisions(t *testing.T) {
	r := strung{units: []int16{10, 8, 8, 10}}.result(t)
	id := r.ExceptionIDs()[at(r, "2")[0]]
	for name, c := range map[string]struct {
		a, b Said
		want Status
		by   string
	}{
		"different words":            {Said{"accept", "", "KL", ""}, Said{"plan", "", "MN", ""}, Contradicted, ""},
		"different days":             {Said{"accept", "2026-12-31", "KL", ""}, Said{"accept", "2027-12-31", "MN", ""}, Contradicted, ""},
		"one that is no word":        {Said{"accept", "", "KL", ""}, Said{"no", "", "MN", ""}, Contradicted, ""},
		"done against accept":        {Said{"accept", "", "KL", ""}, Said{"done", "", "MN", ""}, Contradicted, ""},
		"the same by two":            {Said{"accept", "2026-12-31", "KL", ""}, Said{"accept", "2026-12-31", "MN", ""}, InForce, "KL; MN"},
		"the same day spelled apart": {Said{"accept", "2026-12-31", "KL", ""}, Said{"Accept", "2026/12/31", "MN", ""}, InForce, "KL; MN"},
	} {
		t.Run(name, func(t *testing.T) {
			store := &Store{Decisions: []Decision{{Exception: id, Said: c.a.tidy()}, {Exception: id, Said: c.b.tidy()}}}
			d := store.Decide(r, Alone(r))
			require.Len(t, d.Decisions, 2, "nothing is overwritten")
			for i := range d.Decisions {
				require.Equal(t, c.want.String(), d.Decisions[i].Status.String())
			}
			first := at(r, "2")[0]
			require.Equal(t, c.want == Contradicted, d.Open(first))
			require.Equal(t, c.by, d.Filled(first).By)
		})
	}
}

// A run that was cut short between the file and the outputs has given a decision the name that its exception has now; the row of the
// workbook, which has the old one, brings it once more.
func TestDecisionTakenAgainUnderItsOldName(t *testing.T) {
	r := strung{units: []int16{10, 8, 8, 10}}.result(t)
	row := workbook(&Store{}, r)["2A"].saying(Said{"accept", "2026-12-31", "KL", ""})
	changes, r := next(t, r, strung{units: []int16{10, 8, 8, 10}, names: map[int]string{2: "2A"}, asOf: "2026-04-01"})
	store := &Store{}
	for range 2 {
		store.Take([]Edit{row}, "2026-04-01")
		require.Equal(t, 1, store.Decide(r, changes).Count(InForce))
		require.Len(t, store.Decisions, 1)
	}
	store.Decisions = append(store.Decisions, store.Decisions[0])
	store.Decisions[1].By = "MN"
	require.Equal(t, 2, store.Decide(r, changes).Count(InForce), "of another person")
}

func TestTheNarrowestDecisionSpeaks(t *testing.T) {
	r := strung{units: []int16{10, 8, 8, 10}}.result(t)
	first := at(r, "2")[0]
	of := map[string]Decision{
		"exception": {Exception: r.ExceptionIDs()[first]}, "place and check": {Line: "L", Structure: "2", Check: "short-string"},
		"structure": {Line: "L", Structure: "2"}, "line and check": {Line: "L", Check: "short-string"},
	}
	decide := func(said map[string]Said) *Decided {
		store := &Store{}
		for what, s := range said {
			d := of[what]
			d.Said = s
			store.Decisions = append(store.Decisions, d)
		}
		return store.Decide(r, Alone(r))
	}
	accept, old, done, wrong := Said{Word: "accept"}, Said{Word: "accept", Until: "2020-01-01"}, Said{Word: "done"}, Said{Word: "data wrong"}
	for name, c := range map[string]struct {
		said map[string]Said
		open bool
		want Status
	}{
		"narrow accept over broad data wrong": {map[string]Said{"exception": accept, "structure": wrong}, false, InForce},
		"narrow data wrong over broad accept": {map[string]Said{"exception": wrong, "line and check": accept}, true, InForce},
		"narrow lapsed over broad accept":     {map[string]Said{"place and check": old, "structure": accept}, true, Lapsed},
		"broad done over narrow accept":       {map[string]Said{"exception": accept, "line and check": done}, true, StillThere},
		"structure over line":                 {map[string]Said{"structure": accept, "line and check": old}, false, InForce},
	} {
		t.Run(name, func(t *testing.T) {
			d := decide(c.said)
			require.Equal(t, c.open, d.Open(first))
			require.Equal(t, c.want.String(), d.Of(first).Status.String())
		})
	}
}

// A decision of which narrower ones have left nothing is not in force, and one is counted with what it governs alone.
func TestDecisionsThatNarrowerOnesOverrule(t *testing.T) {
	r := strung{units: []int16{10, 8, 8, 10}}.result(t)
	ids := r.ExceptionIDs()
	held := at(r, "2")
	decide := func(of []int) *Judged {
		csv := decisionHead + ",L,2,,accept,2026-06-30,RK,\n"
		for _, i := range of {
			csv += ids[i] + ",,,,plan,2026-06-30,MO,\n"
		}
		store, err := ParseStore([]byte(csv))
		require.NoError(t, err)
		d := store.Decide(r, Alone(r))
		require.Equal(t, Said{Word: "accept", Until: "2026-06-30", By: "RK"}, d.FilledOfStructure("L", "2"), "it stands in its row all the same")
		return d.OfStructure("L", "2")[0]
	}
	for n := range len(held) + 1 {
		j := decide(held[:n])
		require.Equal(t, len(held), len(j.Exceptions))
		require.Equal(t, len(held)-n, len(j.Governs))
		require.Equal(t, map[bool]Status{true: Overruled, false: InForce}[n == len(held)], j.Status)
	}
	store, err := ParseStore([]byte(decisionHead + ",L,2,,done,,crew,\n" + ids[held[0]] + ",,,,accept,2026-06-30,MO,\n"))
	require.NoError(t, err)
	require.Equal(t, 1, store.Decide(r, Alone(r)).Count(InForce), "what overrules it is wider")
}

// A structure that has another number where it stood keeps its decisions, and what they were decided on.
func TestDecisionsFollowWhatIsRenumbered(t *testing.T) {
	r := strung{units: []int16{10, 8, 8, 10}}.result(t)
	first := at(r, "2")[0]
	store := &Store{Decisions: []Decision{{Exception: r.ExceptionIDs()[first], Said: Said{Word: "accept"}}, {Line: "L", Structure: "2", Said: Said{Word: "plan"}}}}
	store.Decide(r, Alone(r))
	changes, r := next(t, r, strung{units: []int16{10, 8, 8, 10}, names: map[int]string{2: "2A"}, asOf: "2026-04-01"})
	d := store.Decide(r, changes)
	require.Equal(t, 2, d.Count(InForce))
	for _, i := range at(r, "2A") {
		require.False(t, d.Open(i))
	}
	store, err := ParseStore(store.Text())
	require.NoError(t, err)
	changes, r = next(t, r, strung{units: []int16{10, 7, 8, 10}, names: map[int]string{2: "2A"}, asOf: "2026-04-02"})
	require.Equal(t, 2, store.Decide(r, changes).Count(Lapsed), "the figures went along")
}

func TestADecisionNeverChangesAVerdict(t *testing.T) {
	r := strung{units: []int16{10, 8, 8, 10}}.result(t)
	before := append([]audit.Exception(nil), r.Exceptions...)
	totals := r.Totals()
	store := &Store{Decisions: []Decision{{Line: "L", Check: "short-string", Said: Said{Word: "accept"}}}}
	require.Equal(t, 1, store.Decide(r, Alone(r)).Count(InForce))
	require.Equal(t, before, r.Exceptions)
	require.Equal(t, totals, r.Totals())
}

// Each unknown id is held against all that there are, so of very many only the first are.
func TestNearestIsSoughtForTheFirstUnknownIds(t *testing.T) {
	r := strung{units: []int16{9, 10}}.result(t)
	id := r.ExceptionIDs()[0]
	s := &Store{}
	for k := range mostSought + 5 {
		s.Decisions = append(s.Decisions, Decision{Exception: id[:len(id)-1] + "z", Said: Said{Word: "accept", By: strconv.Itoa(k)}})
	}
	near := 0
	for _, j := range s.Decide(r, Alone(r)).Decisions {
		require.Equal(t, Unmatched, j.Status)
		if strings.Contains(j.Detail, "the nearest is") {
			near++
		}
	}
	require.Equal(t, mostSought, near)
}

func TestDecisionGoesWithALineThatWasLeftOutAndRenamed(t *testing.T) {
	r := strung{units: []int16{9, 10}}.result(t)
	changes := Alone(r)
	changes.Cleared = []Cleared{{Record: Record{ID: "now", Key: audit.Key{Line: "M", Structure: "7"}}, Why: NotInRun, from: "then"}}
	changes.Renamed = []Renamed{{FromLine: "K", Line: "M"}}
	s := &Store{Decisions: []Decision{{Exception: "then", Line: "K", Structure: "7", Said: Said{Word: "accept"}, Was: "then shortfall -0.1 9 10"}}}
	j := s.Decide(r, changes).Decisions[0]
	require.Equal(t, OutOfRun, j.Status)
	require.Equal(t, []string{"now", "M", "now shortfall -0.1 9 10"}, []string{j.Exception, j.Line, j.Was})
}

func TestDateTrouble(t *testing.T) {
	for text, want := range map[string]string{
		"2027-04-03": "", "2027/4/3": "", "2027-04-03T00:00:00Z": "",
		"03/04/2027": `"03/04/2027" may be 3 April 2027 or 4 March 2027: expected year, month and day, 2027-04-03 or 2027-03-04`,
		"3.4.2027":   `"3.4.2027" may be 3 April 2027 or 4 March 2027: expected year, month and day, 2027-04-03 or 2027-03-04`,
		"04/04/2027": `"04/04/2027" is no date as it stands, expected year, month and day, such as 2027-04-04`,
		"31/04/2027": `"31/04/2027" is no date as it stands, expected year, month and day, such as 2027-05-31`,
		"13/04/2027": `"13/04/2027" is no date as it stands, expected year, month and day, such as 2027-04-13`,
		"04/13/2027": `"04/13/2027" is no date as it stands, expected year, month and day, such as 2027-04-13`,
		"soon":       `"soon" is no date as it stands, expected year, month and day, such as 2027-05-31`,
		"2027":       `"2027" is no date as it stands, expected year, month and day, such as 2027-05-31`,
	} {
		require.Equal(t, want, DateTrouble(text), text)
	}
}

func TestFiguresAreShownRounded(t *testing.T) {
	for _, c := range []struct{ then, now, was, is string }{
		{"e shortfall -0.1 2655.123456 2904.91012345", "e shortfall -0.2 2360 2904.91012345", "2655.1 of 2904.9", "2360 of 2904.9"},
		{"e shortfall -0.1 2655.123456 2904.9", "e shortfall -0.1 2655.123457 2904.9", "2655.1 of 2904.9", "2655.1 of 2904.9"},
		{"e shortfall -0.1 1000.001 2904.9", "e shortfall -0.1 1000.002 2904.9", "1000.001 of 2904.9", "1000.002 of 2904.9"},
		{"e shortfall ? suspension+string tension", "e shortfall ? ? tension", "suspension string of tension", "unknown of tension"},
	} {
		then, now := parseFigures(c.then)["e"], parseFigures(c.now)["e"]
		was, is := shownFigures(&then, &now)
		require.Equal(t, []string{c.was, c.is}, []string{was, is})
	}
}
