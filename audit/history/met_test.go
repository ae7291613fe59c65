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

// night is a run of a chain: what hangs on structure 4, and how it is run.
type night struct {
	day, run string // run is empty for one that goes on from the last of the chain
	units    int16  // of 10 that are enough; -1 where it cannot be told
	want     string // what the decision is worth, and a part of the detail behind a colon
}

// Nights in a row, of which each takes the file of decisions as the one before left it and compares with that one: a decision of phase A of structure 4
// ends where a run saw it meet, and with nothing else.
func TestADecisionEndsWithWhatMet(t *testing.T) {
	const (
		repeat                  = "repeats" // the last night, from the same run before it
		repeatEased, repeatAway = "repeats, less required", "repeats, away"
		lost                    = "lost"       // without the audit.json of the run before
		cut                     = "cut"        // comes to its file of decisions and not to its audit.json
		ruled                   = "other rule" // that asks for the same
		eased                   = "less by another rule"
		third                   = "less by a third rule"
		light                   = "a little less"
		less                    = "less"  // is asked for, as in a lighter zone
		plain                   = "plain" // the file of decisions has met=rule and no more, as earlier versions wrote it
		away                    = "away"  // the structure is not among the inputs
		older                   = "older" // the file of decisions is as an earlier version wrote it
		since                   = "since" // compares with the run before the chain, by its name
		aside                   = "aside" // of another project, with the same file of decisions: goes on from the chain, and the chain not from it
	)
	const back = "lapsed: short-string, structure 4, circuit 1, A met on 2026-04-02, and what falls short since is another"
	for name, c := range map[string]struct {
		word, of string // of is the exception where it is empty
		nights   []night
	}{
		"it meets and is back":   {nights: []night{{"04-01", "", 8, "in force"}, {"04-02", "", 10, "settled: meets"}, {"04-03", "", 8, back}, {"04-04", "", 8, back}, {"04-04", repeat, 8, back}}},
		"back after many nights": {nights: []night{{"04-02", "", 10, "settled"}, {"04-03", "", 10, "settled: it met on 2026-04-02"}, {"04-04", "", 10, "settled"}, {"04-05", "", 9, back}}},
		"it meets twice": {nights: []night{{"04-02", "", 10, "settled"}, {"04-03", "", 8, back}, {"04-04", "", 10, "settled"},
			{"04-05", "", 8, "lapsed: met on 2026-04-02"}}},
		"a night lost a datum":          {nights: []night{{"04-02", "", -1, "not assessed"}, {"04-03", "", -1, "not assessed"}, {"04-04", "", 8, "in force"}}},
		"lost a datum, then met":        {nights: []night{{"04-01", "", -1, "not assessed"}, {"04-02", "", 10, "settled"}, {"04-03", "", 8, back}}},
		"a night without it":            {nights: []night{{"04-02", away, 8, "settled: gone"}, {"04-03", away, 8, "matches nothing"}, {"04-04", "", 8, "in force"}}},
		"repeated with other data":      {nights: []night{{"04-02", "", 10, "settled"}, {"04-02", repeat, 8, "in force"}, {"04-03", "", 8, "in force"}}},
		"repeated, it meets":            {nights: []night{{"04-02", "", 8, "in force"}, {"04-02", repeat, 10, "settled"}, {"04-02", repeat, 10, "settled"}, {"04-03", "", 8, back}}},
		"repeated, then lost and back":  {nights: []night{{"04-02", "", 10, "settled"}, {"04-02", repeat, 8, "in force"}, {"04-03", away, 8, "settled: gone"}, {"04-04", "", 8, "in force"}}},
		"a run that was cut short":      {nights: []night{{"04-02", cut, 10, "settled"}, {"04-03", "", 8, back}, {"04-04", "", 8, back}}},
		"of other data":                 {nights: []night{{"04-02", aside, 10, "settled"}, {"04-03", "", 8, "in force"}}},
		"runs are skipped":              {nights: []night{{"04-02", "", 10, "settled"}, {"06-30", "", 8, back}}},
		"met twice, repeated":           {nights: []night{{"04-02", "", 10, "settled"}, {"04-03", "", 8, back}, {"04-04", "", 10, "settled"}, {"04-04", repeat, 8, "lapsed"}, {"04-05", "", 8, "lapsed"}}},
		"met, then by less":             {nights: []night{{"04-02", "", 10, "settled"}, {"04-03", "", 10, "settled"}, {"04-03", repeat, 8, "lapsed"}, {"04-04", "", 8, "lapsed"}}},
		"repeated, met by less":         {nights: []night{{"04-02", "", 10, "settled"}, {"04-02", repeatEased, 8, "settled: rule changed"}, {"04-03", "", 8, "in force"}}},
		"met and by less, repeated":     {nights: []night{{"04-02", eased, 10, "settled"}, {"04-02", repeatEased, 8, "settled: rule changed"}, {"04-03", "", 8, "in force"}}},
		"repeated, away":                {nights: []night{{"04-02", "", 10, "settled"}, {"04-02", repeatAway, 8, "settled: gone"}, {"04-03", "", 8, "in force"}}},
		"repeated, not told":            {nights: []night{{"04-02", "", 10, "settled"}, {"04-02", repeat, -1, "not assessed"}, {"04-03", "", 8, "in force"}}},
		"met before, repeated, away":    {nights: []night{{"04-02", "", 10, "settled"}, {"04-03", "", 10, "settled"}, {"04-03", repeatAway, 8, "matches nothing"}, {"04-04", "", 8, "lapsed"}}},
		"repeated from nothing, away":   {nights: []night{{"04-02", lost, 10, "settled"}, {"04-02", repeatAway, 8, "matches nothing"}, {"04-03", "", 8, "lapsed"}}},
		"against the order of time":     {nights: []night{{"04-02", "", 10, "settled"}, {"04-01", "", 8, "in force"}, {"04-03", "", 8, back}, {"04-04", "", 8, back}}},
		"from a fixed run":              {nights: []night{{"04-02", since, 10, "settled"}, {"04-03", since, 8, back}, {"04-04", since, 8, back}, {"04-05", "", 8, back}}},
		"fixed, repeated":               {nights: []night{{"04-02", since, 10, "settled"}, {"04-02", since, 8, "in force"}, {"04-03", since, 8, "in force"}}},
		"met here and elsewhere":        {nights: []night{{"04-02", "", 10, "settled"}, {"04-03", "", 8, back}, {"04-04", aside, 10, "settled"}, {"04-05", "", 8, back}}},
		"elsewhere, then here":          {nights: []night{{"04-02", aside, 10, "settled"}, {"04-03", "", 8, "in force"}, {"04-04", "", 10, "settled"}, {"04-05", "", 8, "lapsed"}}},
		"audit.json lost, it is there":  {nights: []night{{"04-02", lost, 8, "in force"}, {"04-03", "", 8, "in force"}}},
		"audit.json lost, it meets":     {nights: []night{{"04-02", lost, 10, "settled"}, {"04-03", "", 8, back}}},
		"audit.json lost, not judged":   {nights: []night{{"04-02", lost, -1, "settled"}, {"04-03", "", 8, "in force"}}},
		"met, then audit.json lost":     {nights: []night{{"04-02", "", 10, "settled"}, {"04-03", lost, 8, back}, {"04-04", lost, 8, back}}},
		"settled by an earlier version": {nights: []night{{"04-01", "", 10, "settled"}, {"04-02", older, 10, "settled"}, {"04-03", "", 8, back}}},
		"back by an earlier version":    {nights: []night{{"04-01", "", 10, "settled"}, {"04-02", older, 8, "in force"}, {"04-03", "", 8, "in force"}}},
		"another rule":                  {nights: []night{{"04-02", ruled, 10, "settled: rule changed"}, {"04-03", ruled, 8, back}, {"04-04", "", 8, back}}},
		"another rule, two nights":      {nights: []night{{"04-02", ruled, 10, "settled: rule changed"}, {"04-03", ruled, 10, "settled: it met on 2026-04-02"}, {"04-04", ruled, 8, back}}},
		"another rule, then its own":    {nights: []night{{"04-02", ruled, 10, "settled"}, {"04-03", "", 8, back}}},
		"another rule, repeated":        {nights: []night{{"04-02", ruled, 10, "settled"}, {"04-02", repeat, 8, "in force"}, {"04-03", "", 8, "in force"}}},
		"less required":                 {nights: []night{{"04-02", eased, 8, "settled: rule changed"}, {"04-03", eased, 8, "settled"}, {"04-04", "", 8, "in force"}, {"04-05", "", 10, "settled"}, {"04-06", "", 8, "lapsed: met on 2026-04-05"}}},
		"less required, and mended":     {nights: []night{{"04-02", eased, 10, "settled: rule changed"}, {"04-03", "", 8, back}}},
		"less required, mended later":   {nights: []night{{"04-02", eased, 8, "settled"}, {"04-03", eased, 10, "settled: it met on 2026-04-03"}, {"04-04", "", 8, "lapsed: met on 2026-04-03"}}},
		"less required, part mended":    {nights: []night{{"04-02", eased, 9, "settled"}, {"04-03", "", 9, "in force"}, {"04-04", "", 8, "in force"}}},
		"less required, its own later":  {nights: []night{{"04-02", eased, 8, "settled"}, {"04-03", eased, 8, "settled"}, {"04-04", lost, 10, "settled"}, {"04-05", lost, 8, "lapsed: met on 2026-04-04"}}},
		"less required, by two rules":   {nights: []night{{"04-02", eased, 8, "settled"}, {"04-03", third, 8, "settled"}, {"04-04", "", 8, "in force"}}},
		"less required, then by zone":   {nights: []night{{"04-02", eased, 8, "settled"}, {"04-03", less, 8, "settled"}, {"04-04", "", 8, "in force"}}},
		"less required, short of that":  {nights: []night{{"04-02", eased, 8, "settled"}, {"04-03", eased, 7, back}, {"04-04", eased, 7, back}}},
		"and once more short of it":     {nights: []night{{"04-02", eased, 8, "settled"}, {"04-03", "", 8, "in force"}, {"04-04", eased, 7, back}}},
		"less required, then worse":     {nights: []night{{"04-02", light, 8, "in force"}, {"04-03", light, 7, "lapsed: was 8 of 10 (shortfall), is 7 of 8.5 (shortfall)"}, {"04-04", light, 8, "in force"}}},
		"by less, then worse":           {nights: []night{{"04-02", eased, 8, "settled"}, {"04-03", light, 8, "in force"}, {"04-04", light, 7, "lapsed: was 8 of 10 (shortfall), is 7 of 8.5 (shortfall)"}}},
		"less required, repeated":       {nights: []night{{"04-02", eased, 8, "settled"}, {"04-02", repeat, 8, "in force"}, {"04-03", "", 8, "in force"}, {"04-04", eased, 7, "lapsed: is worse than when it was decided"}}},
		"by an earlier version, mended": {nights: []night{{"04-02", eased, 8, "settled"}, {"04-03", plain, 10, "settled"}, {"04-04", "", 8, "lapsed: met on 2026-04-03"}}},
		"by an earlier version, there":  {nights: []night{{"04-02", eased, 8, "settled"}, {"04-03", plain, 8, "in force"}, {"04-04", "", 8, "in force"}}},
		"plan":                          {word: "plan", nights: []night{{"04-02", "", 10, "settled"}, {"04-03", "", 8, back}}},
		"data wrong":                    {word: "data wrong", nights: []night{{"04-02", "", 10, "settled"}, {"04-03", "", 8, back}}},
		"done":                          {word: "done", nights: []night{{"04-01", "", 8, "still there though reported done"}, {"04-02", "", 10, "settled"}, {"04-03", "", 8, "still there though reported done: met on 2026-04-02, and falls short again"}}},
		"of the structure":              {of: ",L,4,", nights: []night{{"04-02", "", 10, "in force"}, {"04-03", "", 8, back}}},
		"of structure and check":        {of: ",L,4,short-string", nights: []night{{"04-02", "", 10, "in force"}, {"04-03", "", 8, back}}},
		"of line and check":             {of: ",L,,short-string", nights: []night{{"04-02", lost, 10, "in force"}, {"04-03", "", 8, back}}},
	} {
		t.Run(name, func(t *testing.T) {
			audited := func(n night, units int16) *audit.Result {
				s := strung{units: []int16{10, 9, 10, 8}, asOf: "2026-" + n.day, rows: map[int][]hung{4: {{"A", units}, {"B", 9}}}}
				if n.run == away || n.run == repeatAway {
					s.units = s.units[:3]
				}
				if n.run == ruled || n.run == eased || n.run == third {
					s.version = n.run
				}
				if n.run == repeatEased {
					s.version = eased
				}
				switch n.run {
				case eased, third, less, repeatEased:
					s.enough = 8
				case light:
					s.enough = 8.5
				}
				return s.result(t)
			}
			first := audited(night{day: "03-31"}, 8)
			earlier, before := earlierOf(first, Alone(first)), (*Earlier)(nil)
			monday, of := earlier, c.of
			if of == "" {
				of = first.ExceptionIDs()[at(first, "4")[0]] + ",L,4,short-string"
			}
			word := c.word
			if word == "" {
				word = "accept"
			}
			text := []byte(decisionHead + of + "," + word + ",,N,\n")
			store, err := ParseStore(text)
			require.NoError(t, err)
			store.Decide(first, Alone(first))
			text = store.Text()
			for _, n := range c.nights {
				from := earlier
				switch n.run {
				case repeat, repeatEased, repeatAway:
					from = before
				case lost:
					from = nil
				case older:
					text = []byte(strings.ReplaceAll(string(text), " met=2026-04-01", ""))
				case plain:
					text = []byte(strings.ReplaceAll(string(text), " met=rule:2026-04-02/8/8", " met=rule"))
					require.Contains(t, string(text), " met=rule ")
				}
				r := audited(n, n.units)
				if n.run == since {
					from = monday
				}
				if n.run == aside {
					r.Project.File = "planned.yaml"
				}
				changes, err := Compare(context.Background(), r, from, n.run == since)
				require.NoError(t, err)
				for range 2 { // as a run that is cut short before its outputs, and done again
					store, err := ParseStore(text)
					require.NoError(t, err)
					d := store.Decide(r, changes)
					require.Len(t, d.Decisions, 1)
					status, detail, _ := strings.Cut(n.want, ": ")
					require.Equal(t, status, d.Decisions[0].Status.String(), "%s: %s", n.day, d.Decisions[0].Detail)
					require.Contains(t, d.Decisions[0].Detail, detail, n.day)
					for _, i := range at(r, "4") {
						if r.Key(i).Phase == "A" {
							require.Equal(t, status != "in force" || word == "data wrong", d.Open(i), n.day)
						}
					}
					text = store.Text()
				}
				if n.run != cut && n.run != aside {
					before, earlier = from, earlierOf(r, changes)
				}
			}
		})
	}
}

// What would have met what was required then met; what hangs as it did, or is mended and still too little for that, meets since less is required.
func TestMetByWhatWasRequired(t *testing.T) {
	for name, c := range map[string]struct {
		short weighed
		now   audit.Verdict
		want  bool
	}{
		"the same is required":          {weighed{"8", "10"}, audit.AtLeast(10, 10, ""), true},
		"and more is observed of it":    {weighed{"8", "10"}, audit.AtLeast(8, 10, ""), true}, // as by another assumption
		"enough for then":               {weighed{"8", "10"}, audit.AtLeast(10, 9, ""), true},
		"more is required":              {weighed{"8", "10"}, audit.AtLeast(11, 11, ""), true},
		"as it hung":                    {weighed{"8", "10"}, audit.AtLeast(8, 7, ""), false},
		"too little for then":           {weighed{"8", "10"}, audit.AtLeast(9, 9, ""), false},
		"less than then":                {weighed{"8", "10"}, audit.AtLeast(7, 7, ""), true}, // another part of it governs now
		"at most, little enough":        {weighed{"12", "10"}, audit.AtMost(10, 11, ""), true},
		"at most, as it hung":           {weighed{"12", "10"}, audit.AtMost(12, 12, ""), false},
		"at most, too much for then":    {weighed{"12", "10"}, audit.AtMost(11, 12, ""), false},
		"at most, more than then":       {weighed{"12", "10"}, audit.AtMost(13, 14, ""), true},
		"a fitting as it hung":          {weighed{"8", "10"}, audit.AtLeast(8, 7, "").OfFitting(audit.Yoke), false},
		"a fitting that may be another": {weighed{"8", "10"}, audit.AtLeast(9, 7, "").OfFitting(audit.Yoke), true},
		"the same word is required":     {weighed{"none", "both+ends"}, audit.IsWord(true, "both ends", "both ends"), true},
		"another word, as it hung":      {weighed{"line+end", "both+ends"}, audit.IsWord(true, "line end", "line end"), false},
		"another word, another string":  {weighed{"none", "both+ends"}, audit.IsWord(true, "line end", "line end"), true},
		"no figures then":               {weighed{unknownFigure, unknownFigure}, audit.AtLeast(9, 9, ""), true},
		"no figures now":                {weighed{"2", "3"}, audit.Verdict{}, true},
	} {
		t.Run(name, func(t *testing.T) { require.Equal(t, c.want, c.short.metBy(&c.now)) })
	}
}

// earlierOf is what a run leaves.
func earlierOf(r *audit.Result, c *Changes) *Earlier {
	e := &Earlier{Run: r.Run.ID, AsOf: r.Run.AsOf, Since: c.Since, Rules: Rules(r), Lines: []string{"L"}}
	for i := range r.Exceptions {
		rec := RecordOf(r, i, c.Exceptions[i].FirstSeen, e.Rules["short-string"])
		e.entries = append(e.entries, entry{now: &rec, was: c.Exceptions[i].Was, state: c.Exceptions[i].State})
	}
	for i := range c.Cleared {
		if x := &c.Cleared[i]; x.Why == NotAssessed {
			e.entries = append(e.entries, entry{now: &x.Record, was: x.Was, state: Standing, why: x.Why, lost: true, detail: x.Detail})
		}
	}
	return e
}

// What met and is back has an empty row, on which somebody decides anew, be it in the same words. A row from before, on which only the day was
// changed, says nothing of what is there now.
func TestDecidedAnewAfterItMet(t *testing.T) {
	accept := Said{Word: "accept", Until: "2026-12-31", By: "N"}
	later := Said{Word: "accept", Until: "2027-12-31", By: "N"}
	line := func(day string, units int16) *audit.Result {
		return strung{units: []int16{10, units, 10}, rows: map[int][]hung{2: {{"A", units}}}, asOf: "2026-" + day}.result(t)
	}
	row := func(s *Store, r *audit.Result, c *Changes) Edit {
		d, key := s.Decide(r, c), r.Key(0)
		said := d.Filled(0)
		return Edit{Exceptions: []string{r.ExceptionIDs()[0]}, Place: placeOf(key), Said: said, Mark: d.Mark(said, []int{0}, placeOf(key)), Where: "row"}
	}
	for name, c := range map[string]struct {
		edit func(then, now Edit) Edit
		want Status
	}{
		"nothing said":                 {func(_, now Edit) Edit { return now }, Lapsed},
		"the same anew":                {func(_, now Edit) Edit { return now.saying(accept) }, InForce},
		"a later day anew":             {func(_, now Edit) Edit { return now.saying(later) }, InForce},
		"a row of before":              {func(then, _ Edit) Edit { return then }, Lapsed},
		"a later day on a row before":  {func(then, _ Edit) Edit { return then.saying(later) }, Lapsed},
		"by another on a row before":   {func(then, _ Edit) Edit { return then.saying(Said{accept.Word, accept.Until, "M", ""}) }, Lapsed},
		"another word on a row before": {func(then, _ Edit) Edit { return then.saying(Said{Word: "plan"}) }, Lapsed},
	} {
		t.Run(name, func(t *testing.T) {
			r := line("03-31", 8)
			store := &Store{}
			store.Take([]Edit{row(store, r, Alone(r)).saying(accept)}, "2026-03-31")
			then := row(store, r, Alone(r))
			require.Equal(t, accept, then.Said)
			earlier := earlierOf(r, Alone(r))
			var now Edit
			var changes *Changes
			for _, night := range []struct {
				day   string
				units int16
			}{{"04-01", 10}, {"04-02", 8}} {
				r = line(night.day, night.units)
				var err error
				changes, err = Compare(context.Background(), r, earlier, false)
				require.NoError(t, err)
				if store.Decide(r, changes); len(r.Exceptions) > 0 {
					now = row(store, r, changes)
				}
				earlier = earlierOf(r, changes)
			}
			require.Equal(t, Said{}, now.Said)
			store.Take([]Edit{c.edit(then, now)}, "2026-04-03")
			d := store.Decide(r, changes)
			require.Equal(t, c.want.String(), d.Of(0).Status.String(), d.Of(0).Detail)
			require.Equal(t, c.want != InForce, d.Open(0))
		})
	}
}

// A workbook that comes back late says nothing of what came after what it shows had met: its rows tell since when that was known.
func TestDecidedOnARowOfBeforeItMet(t *testing.T) {
	const gone = -2 // what is away
	for name, c := range map[string]struct {
		nights []int16 // units of the nights after that of the workbook, from which the last decides
		taken  int     // the night after which it comes back
		fixed  bool    // all nights compare with that of the workbook
		fresh  bool    // or with one of before it was there, as that does
		lost   int     // the night that has no audit.json to compare with
		want   Status
	}{
		"the next night":               {nights: []int16{8}, taken: 0, want: InForce},
		"some nights later":            {nights: []int16{8, 8, 8}, taken: 2, want: InForce},
		"met, taken, back":             {nights: []int16{10, 8}, taken: 1, want: Lapsed},
		"met, back, taken":             {nights: []int16{10, 8, 8}, taken: 2, want: Lapsed},
		"and a night more":             {nights: []int16{10, 8, 8, 8}, taken: 2, want: Lapsed},
		"taken, met, back":             {nights: []int16{8, 10, 8}, taken: 1, want: Lapsed},
		"taken, away, back":            {nights: []int16{8, gone, 8}, taken: 1, want: InForce},
		"from a fixed run":             {nights: []int16{8, 8, 8}, taken: 2, fixed: true, want: InForce},
		"new since a fixed run":        {nights: []int16{8, 8}, taken: 1, fresh: true, want: InForce},
		"lost, and it stood":           {nights: []int16{8, 8}, taken: 1, lost: 2, want: InForce},
		"lost the night before":        {nights: []int16{8, 8}, taken: 1, lost: 1, want: InForce},
		"not judged":                   {nights: []int16{-1, 8}, taken: 1, want: InForce},
		"came back, then nothing kept": {nights: []int16{10, 8, 8, 8}, taken: 2, lost: 4, want: Lapsed},
	} {
		t.Run(name, func(t *testing.T) {
			line := func(day int, units int16) *audit.Result {
				s := strung{units: []int16{10, 10, 8}, rows: map[int][]hung{3: {{"A", units}}}, asOf: fmt.Sprintf("2026-04-%02d", day)}
				if units == gone {
					s.units = s.units[:2]
				}
				return s.result(t)
			}
			before := line(1, map[bool]int16{false: 8, true: 10}[c.fresh]) // so that the run of the workbook is none that begins a chain
			changes, err := Compare(context.Background(), line(2, 8), earlierOf(before, Alone(before)), false)
			require.NoError(t, err)
			r, store := line(2, 8), &Store{}
			first, key := earlierOf(r, changes), r.Key(0)
			seen := Edit{Exceptions: []string{r.ExceptionIDs()[0]}, Place: placeOf(key), Mark: store.Decide(r, changes).Mark(Said{}, []int{0}, placeOf(key)), Where: "row"}
			earlier := first
			var d *Decided
			for k, units := range c.nights {
				if k == c.taken {
					store.Take([]Edit{seen.saying(Said{Word: "accept"})}, r.Run.AsOf)
				}
				switch {
				case c.fixed:
					earlier = first
				case c.fresh:
					earlier = earlierOf(before, Alone(before))
				case c.lost == k+1:
					earlier = nil
				}
				r = line(k+3, units)
				changes, err = Compare(context.Background(), r, earlier, c.fixed || c.fresh)
				require.NoError(t, err)
				for range 2 {
					d = store.Decide(r, changes)
				}
				earlier = earlierOf(r, changes)
			}
			require.Equal(t, c.want.String(), d.Of(0).Status.String(), "%+v", store.Decisions)
			require.Equal(t, c.want != InForce, d.Open(0))
		})
	}
}

// Phases of a row that were decided of, got rows of their own and met are decided of no more: joined with what was short all along they are more than that.
func TestPhasesThatMetAreDecidedOfNoMore(t *testing.T) {
	type rows = []hung
	for name, c := range map[string]struct {
		nights []rows
		want   []Status // of the last night, by exception
		lost   bool     // the first night has no audit.json to compare with
		first  hung     // that was decided of; ABC where it is none
		once   bool     // no night is done again
	}{
		"parted, both short, joined":      {nights: []rows{{{"A", 8}, {"BC", 8}}, {{"ABC", 8}}}, want: []Status{InForce}},
		"parted, one met, joined":         {nights: []rows{{{"A", 8}, {"BC", 10}}, {{"ABC", 8}}}, want: []Status{Lapsed}},
		"parted, one met a night later":   {nights: []rows{{{"A", 8}, {"BC", -1}}, {{"A", 8}, {"BC", 10}}, {{"ABC", 8}}}, want: []Status{Lapsed}},
		"parted, one not told, joined":    {nights: []rows{{{"A", 8}, {"BC", -1}}, {{"ABC", 8}}}, want: []Status{InForce}},
		"parted, one away, joined":        {nights: []rows{{{"A", 8}}, {{"ABC", 8}}}, want: []Status{InForce}},
		"parted, one met, joined and not": {nights: []rows{{{"A", 8}, {"BC", 10}}, {{"ABC", 8}}, {{"A", 8}, {"BC", 10}}}, want: []Status{InForce}},
		"parted into three, one met":      {nights: []rows{{{"A", 10}, {"B", 8}, {"C", 8}}, {{"ABC", 8}}}, want: []Status{Lapsed}},
		"each night once":                 {nights: []rows{{{"A", 10}, {"B", 8}, {"C", 8}}, {{"ABC", 8}}}, once: true, want: []Status{Lapsed}},
		"and audit.json lost":             {nights: []rows{{{"A", 10}, {"B", 8}, {"C", 8}}, {{"ABC", 8}}}, lost: true, want: []Status{Lapsed}},
		"lost, none met":                  {nights: []rows{{{"A", 8}, {"B", 8}, {"C", 8}}, {{"ABC", 8}}}, lost: true, want: []Status{InForce}},
		"lost, one not told":              {nights: []rows{{{"A", -1}, {"B", 8}, {"C", 8}}, {{"ABC", 8}}}, lost: true, want: []Status{InForce}},
		"both, one side met":              {nights: []rows{{{"A/back", 10}, {"A/ahead", 8}}, {{"A/both", 8}}}, first: hung{"A/both", 8}, want: []Status{Lapsed}},
		"both, one met, lost":             {nights: []rows{{{"A/back", 10}, {"A/ahead", 8}}, {{"A/both", 8}}}, first: hung{"A/both", 8}, lost: true, want: []Status{Lapsed}},
		"blank, one met, blank":           {nights: []rows{{{"A", 10}, {"B", 8}, {"C", 8}}, {{"", 8}}}, first: hung{"", 8}, want: []Status{Lapsed}},
		"blank, one met, lost":            {nights: []rows{{{"A", 10}, {"B", 8}, {"C", 8}}, {{"", 8}}}, first: hung{"", 8}, lost: true, want: []Status{Lapsed}},
		"blank, none met, blank":          {nights: []rows{{{"A", 8}, {"B", 8}, {"C", 8}}, {{"", 8}}}, first: hung{"", 8}, want: []Status{InForce}},
	} {
		t.Run(name, func(t *testing.T) {
			if c.first == (hung{}) {
				c.first = hung{"ABC", 8}
			}
			r := rephasedLine("2026-03-31", c.first).result(t)
			store := &Store{Decisions: []Decision{{Exception: r.ExceptionIDs()[0], Said: Said{Word: "accept"}}}}
			changes := Alone(r)
			store.Decide(r, changes)
			var d *Decided
			for k, rows := range c.nights {
				earlier := earlierOf(r, changes)
				if c.lost && k == 0 {
					earlier = nil
				}
				r = rephasedLine(fmt.Sprintf("2026-04-%02d", k+1), rows...).result(t)
				var err error
				changes, err = Compare(context.Background(), r, earlier, false)
				require.NoError(t, err)
				for range map[bool]int{true: 1, false: 2}[c.once] {
					d = store.Decide(r, changes)
				}
			}
			var got []Status
			for i := range r.Exceptions {
				got = append(got, d.Of(i).Status)
			}
			require.Equal(t, c.want, got, "%+v", store.Decisions)
		})
	}
}

// What was decided of a row and meets in a row of more phases, or in rows of some of them, has met, whether the audit.json of the night before is there or not.
func TestMetInARowOfOtherPhases(t *testing.T) {
	type rows = []hung
	abc := func(units int16) rows { return rows{{"A", units}, {"B", units}, {"C", units}} }
	for name, c := range map[string]struct {
		first rows
		of    int // of its exceptions
		night []rows
		lost  []int // nights without the audit.json before them
		want  Status
	}{
		"joined and mended":           {abc(8), 0, []rows{{{"ABC", 10}}, abc(8)}, nil, Lapsed},
		"and audit.json lost":         {abc(8), 0, []rows{{{"ABC", 10}}, abc(8)}, []int{1}, Lapsed},
		"lost, joined before":         {abc(8), 1, []rows{{{"ABC", 8}}, {{"ABC", 10}}, abc(8)}, []int{1}, Lapsed},
		"lost, joined and short":      {abc(8), 0, []rows{{{"ABC", 8}}, abc(8)}, []int{1}, InForce},
		"lost, joined and not told":   {abc(8), 0, []rows{{{"ABC", -1}}, abc(8)}, []int{1}, InForce},
		"lost, parted and mended":     {rows{{"ABC", 8}}, 0, []rows{abc(10), {{"ABC", 8}}}, []int{1}, Lapsed},
		"lost, parted, one short":     {rows{{"ABC", 8}}, 0, []rows{{{"A", 10}, {"B", 8}, {"C", 10}}, {{"ABC", 8}}}, []int{1}, Lapsed},
		"lost, parted, one away":      {rows{{"ABC", 8}}, 0, []rows{{{"A", 10}, {"B", 10}}, {{"ABC", 8}}}, []int{1}, Lapsed},
		"lost, others meet":           {abc(8), 0, []rows{{{"B", 10}, {"C", 10}}, abc(8)}, []int{1}, InForce},
		"lost, of both sides":         {rows{{"A/back", 8}, {"A/ahead", 10}}, 0, []rows{{{"A/both", 10}}, {{"A/back", 8}, {"A/ahead", 10}}}, []int{1}, Lapsed},
		"lost, of the other side":     {rows{{"A/back", 8}, {"A/ahead", 10}}, 0, []rows{{{"A/ahead", 10}}, {{"A/back", 8}, {"A/ahead", 10}}}, []int{1}, InForce},
		"in a row of no phase":        {abc(8), 0, []rows{{{"", 10}}, abc(8)}, nil, Lapsed},
		"and lost":                    {abc(8), 0, []rows{{{"", 10}}, abc(8)}, []int{1}, Lapsed},
		"in a row of no phase, short": {abc(8), 0, []rows{{{"", 8}}, abc(8)}, nil, InForce},
	} {
		t.Run(name, func(t *testing.T) {
			r := rephasedLine("2026-03-31", c.first...).result(t)
			store := &Store{Decisions: []Decision{{Exception: r.ExceptionIDs()[c.of], Said: Said{Word: "accept"}}}}
			changes := Alone(r)
			store.Decide(r, changes)
			var d *Decided
			for k, rows := range c.night {
				earlier := earlierOf(r, changes)
				if slices.Contains(c.lost, k+1) {
					earlier = nil
				}
				r = rephasedLine(fmt.Sprintf("2026-04-%02d", k+1), rows...).result(t)
				var err error
				changes, err = Compare(context.Background(), r, earlier, false)
				require.NoError(t, err)
				for range 2 {
					d = store.Decide(r, changes)
				}
			}
			require.Equal(t, c.want.String(), d.Decisions[0].Status.String(), "%+v", store.Decisions)
		})
	}
}

// What fell short by its defective units and has none any more was mended, which ends a decision though the check does not concern it: where its row says so, and
// not by a blank cell.
func TestDefectiveUnitsReplaced(t *testing.T) {
	const lost = "lost" // without the audit.json of the run before
	for name, c := range map[string]struct {
		night  hung
		broken int16
		run    string
		status Status
		want   Status // of the next night, on which as many are defective as when it was decided
	}{
		"all replaced":             {hung{"A", 10}, 0, "", Settled, Lapsed},
		"all, audit.json lost":     {hung{"A", 10}, 0, lost, Settled, Lapsed},
		"all, by another rule":     {hung{"A", 10}, 0, "other", Settled, Lapsed},
		"some replaced":            {hung{"A", 11}, 1, "", Settled, Lapsed},
		"none":                     {hung{"A", 10}, 3, "", InForce, InForce},
		"blank":                    {hung{"A", 10}, -1, "", Unjudged, InForce},
		"blank, audit.json lost":   {hung{"A", 10}, -1, lost, Settled, InForce},
		"blank, by another rule":   {hung{"A", 10}, -1, "other", Unjudged, InForce},
		"in a row of other phases": {hung{"ABC", 10}, 0, "", Settled, Lapsed},
		"and audit.json lost":      {hung{"ABC", 10}, 0, lost, Settled, Lapsed},
	} {
		t.Run(name, func(t *testing.T) {
			line := func(day int, row hung, broken int16, version string) *audit.Result {
				return strung{units: []int16{20, 10, 20}, rows: map[int][]hung{2: {row}}, sound: true, broken: broken, version: version, asOf: fmt.Sprintf("2026-04-%02d", day)}.result(t)
			}
			r := line(1, hung{"A", 10}, 3, "")
			store := &Store{Decisions: []Decision{{Exception: r.ExceptionIDs()[0], Said: Said{Word: "accept"}}}}
			changes := Alone(r)
			store.Decide(r, changes)
			for k, row := range []hung{c.night, {"A", 10}} {
				earlier, version, broken := earlierOf(r, changes), "", [...]int16{c.broken, 3}[k]
				if k == 0 && c.run == lost {
					earlier = nil
				} else if k == 0 {
					version = c.run
				}
				r = line(k+2, row, broken, version)
				var err error
				changes, err = Compare(context.Background(), r, earlier, false)
				require.NoError(t, err)
				var d *Decided
				for range 2 {
					d = store.Decide(r, changes)
				}
				require.Equal(t, [...]Status{c.status, c.want}[k].String(), d.Decisions[0].Status.String(), "night %d: %+v", k, store.Decisions)
			}
		})
	}
}

// What meets only since the sheet Lines says that there is more room is decided of still; of a check for which what hangs may ask for less it is not.
func TestMetByMoreRoom(t *testing.T) {
	for name, c := range map[string]struct {
		reads  audit.LineReads
		enough float64
		units  int16 // of the night
		want   Status
	}{
		"more room":                  {audit.ReadsVoltages | audit.ReadsLimits, 8, 8, InForce},
		"and mended":                 {audit.ReadsVoltages | audit.ReadsLimits, 8, 10, Lapsed},
		"the same room, mended":      {audit.ReadsVoltages | audit.ReadsLimits, 10, 10, Lapsed},
		"as for loads":               {audit.ReadsPulls | audit.ReadsLimits, 8, 8, Lapsed},
		"by no figure of that sheet": {audit.ReadsNoFigure, 8, 8, Lapsed},
	} {
		t.Run(name, func(t *testing.T) {
			line := func(day, enough float64, units int16) *audit.Result {
				return strung{units: []int16{10, units, 10}, rows: map[int][]hung{2: {{"A", units}}}, reads: c.reads, enough: enough, asOf: fmt.Sprintf("2026-04-%02g", day)}.result(t)
			}
			r := line(1, 10, 8)
			store := &Store{Decisions: []Decision{{Exception: r.ExceptionIDs()[0], Said: Said{Word: "accept"}}}}
			changes := Alone(r)
			store.Decide(r, changes)
			var d *Decided
			for k, night := range []*audit.Result{line(2, c.enough, c.units), line(3, 10, 8)} {
				var err error
				changes, err = Compare(context.Background(), night, earlierOf(r, changes), false)
				require.NoError(t, err)
				d, r = store.Decide(night, changes), night
				require.Equal(t, [...]Status{Settled, c.want}[k].String(), d.Decisions[0].Status.String(), "%+v", store.Decisions)
			}
		})
	}
}
