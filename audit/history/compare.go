package history

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"dryarc/audit"
)

// Changes are what became of an earlier run's exceptions, and of which this run's are.
type Changes struct {
	Since      *Since            // nil where there was nothing to compare with
	Rules      map[string]string // of this run, see Rules
	Exceptions []Change          // by Result.Exceptions
	Cleared    []Cleared         // in a fixed order
	Renamed    []Renamed         // in a fixed order
	Decided    *Decided          // what decisions are worth; nil where the project has none
	// Remarks say what was not taken for the same although it may be, and that the earlier run is the later one.
	Remarks []string
	// decided are the decisions that the earlier run showed, and those that it missed where this run repeats it.
	decided []Decision
	// began tells that the earlier run compared with nothing, so that all that it found is known since that day alone.
	began bool
	// ofLines are the hashes of checks on lines that have rules of their own, see RuleOf.
	ofLines map[*audit.Rules]map[string]string
	// moved are, by line, the numbers that stand where others stood, by those.
	moved map[string]map[string]string
}

// Change is what became of an exception.
type Change struct {
	State     State
	FirstSeen string  // date
	Was       *Record // as the earlier run knew it; nil where it is new
	Lost      Lost    // what it rests on and was stated before it changed
}

// Risen tells whether an exception was not there before at its severity or a graver one, so that it is news to whoever looks at that
// severity.
func (c *Change) Risen(severity audit.Severity) bool {
	return c.State == New || c.Was != nil && c.Was.Severity > severity // the worst comes first
}

// LinesMoved counts the lines of which numbers stand on other structures than they did.
func (c *Changes) LinesMoved() int { return len(c.moved) }

// RulesChanged counts the checks that judge by another rule than the run compared with, if only on some lines; of those that it did not have, and of a run that noted
// no rules, nothing is said.
func (c *Changes) RulesChanged() (n int) {
	if c.Since == nil {
		return 0
	}
	for check, rule := range c.Rules {
		if was, there := c.Since.Rules[check]; there && !strings.HasSuffix(check, onSomeLines) && (was != rule || c.Since.Rules[check+onSomeLines] != c.Rules[check+onSomeLines]) {
			n++
		}
	}
	return n
}

// Cleared is an exception of the earlier run that is not there any more, or whose line was left out.
type Cleared struct {
	Record // as it was last known
	Why    Why
	Detail string // in words, empty where there is no more to say
	// NothingLost is of one that cannot be judged though all that it rested on is stated still: what hangs there now asks for more.
	NothingLost bool
	// State is of one whose line was left out, Was of that and of one that cannot be judged: what the last run that judged it said.
	State State
	Was   *Record
	from  string         // its id before its line or structure got another name, or its row other phases; empty where that did not happen
	met   *audit.Verdict // by which it meets or was mended; nil else
	into  int            // 1 + the exception that its row was joined into with the row of that; 0 for none
}

// Renamed is a structure, or with empty numbers a line, that has another name where it stood.
type Renamed struct{ FromLine, Line, FromStructure, Structure string }

// Compare compares a result with what an earlier run left; nil means that there is nothing to compare with. A run with the same
// as-of as the earlier one repeats it, and compares with what that one compared with: with nothing where that was a first run, but where
// it leaves lines out, of which it has to keep what is known. named tells that the earlier run was chosen by name, and then it is compared with all the same.
func Compare(ctx context.Context, r *audit.Result, earlier *Earlier, named bool) (*Changes, error) {
	c := &comparison{r: r, out: Alone(r)}
	repeats := earlier != nil && !named && earlier.AsOf == r.Run.AsOf
	if earlier != nil {
		c.out.decided = earlier.decided
		if repeats {
			c.out.decided = slices.Concat(earlier.decided, earlier.removed)
		}
	}
	if earlier == nil || repeats && earlier.Since == nil && len(r.Run.Lines) == 0 {
		return c.out, nil
	}
	if !repeats {
		c.rasters = earlier.rasters()
	}
	c.index()
	c.since(earlier, repeats && earlier.Since != nil)
	c.out.began = !repeats && earlier.Since == nil
	if earlier.AsOf > r.Run.AsOf {
		c.out.Remarks = append(c.out.Remarks, "the earlier run is as of "+earlier.AsOf+", later than this one: what is new and what is cleared is told against the order of time")
	}
	for _, step := range [...]func(){c.findMoved, c.matchKeys, c.findRenamed, c.matchPhases, c.matchBlanks, c.clear} {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		step()
	}
	c.order()
	return c.out, nil
}

// Alone are the changes of a run that has nothing to compare with: every exception is new.
func Alone(r *audit.Result) *Changes {
	c := &Changes{Rules: Rules(r), ofLines: rulesOfLines(r), Exceptions: make([]Change, len(r.Exceptions))}
	for i := range c.Exceptions {
		c.Exceptions[i].FirstSeen = r.Run.AsOf
	}
	return c
}

// Counts are how many exceptions became what, and how many are cleared for which reason.
type Counts struct {
	ByState [states]int
	ByWhy   [whys]int
	Lost    int // of those that cannot be judged, those of which an earlier run said so
	// NothingLost are those that cannot be judged though no datum was lost; Lost has none of them.
	NothingLost int
	// WorseByLoss are those that are worse and rest on what is not stated any more; LostFirst is what the first of these lacks, in words.
	WorseByLoss int
	LostFirst   string
}

// Counts counts the changes.
func (c *Changes) Counts() (counts Counts) {
	for i := range c.Exceptions {
		x := &c.Exceptions[i]
		if counts.ByState[x.State]++; x.State == Worse && x.Lost.any() {
			counts.WorseByLoss++
			counts.LostFirst = cmp.Or(counts.LostFirst, x.Lost.words)
		}
	}
	for i := range c.Cleared {
		counts.ByWhy[c.Cleared[i].Why]++
		switch x := &c.Cleared[i]; {
		case x.Why != NotAssessed:
		case x.NothingLost:
			counts.NothingLost++
		case x.Was != nil && x.Was.Lost != "":
			counts.Lost++
		}
	}
	return counts
}

// Cleared is how many exceptions are not there any more. Those of lines that were left out are not among them, nor those that only lack a
// datum, since that clears nothing.
func (c Counts) Cleared() (n int) {
	for why, cleared := range c.ByWhy {
		if Why(why).clears() {
			n += cleared
		}
	}
	return n
}

// LostNow is how many exceptions cannot be judged any more since data were lost in this run.
func (c Counts) LostNow() int { return c.ByWhy[NotAssessed] - c.Lost - c.NothingLost }

// comparison is one comparison at work.
type comparison struct {
	r     *audit.Result
	out   *Changes
	lines map[string]int // of the network, by name
	// before are the exceptions of the earlier run on lines that this one judged, each with the key that it has now.
	before  []before
	open    []int // in before, those that are not found yet
	numbers structureNumbers
	// numbersNow are the numbers that structures have now, by their lines and the numbers that they had, as out.Renamed has them so far.
	numbersNow map[[2]string]string
	followed   int             // of out.Renamed
	ofRows     map[[2]int]int  // exceptions by check and assembly, once they are asked for
	unplaced   *audit.Unplaced // nil until it is asked for
	// taken are what was, where the run that is repeated may have found one thing in several rows.
	taken   map[taken]bool
	rasters string // of the run that is compared with; empty where it had none, or its file is not that at hand
}

type before struct {
	*Record
	key audit.Key // with the names of today
	// gone or doubt says why nothing of today can be it, or may be but cannot be told to be, where its line gave its name to another.
	gone, doubt string
}

// taken is what tells exceptions of one run apart.
type taken struct{ id, firstSeen, sentence string }

func (c *comparison) index() {
	c.lines, c.numbers = map[string]int{}, structureNumbers{}
	for l := range c.r.Network.Lines {
		c.lines[c.lineName(l)] = l
	}
}

func (c *comparison) lineName(line int) string {
	at := audit.AtLine(line)
	return c.r.KeyOf(0, &at, 0).Line
}

// structures are the structures of a line by number.
func (c *comparison) structures(line int) map[string]int {
	return c.numbers.of(c.r, line)
}

// structureNumbers are the structures of lines by number, line by line as they are asked for.
type structureNumbers map[int]map[string]int

func (n structureNumbers) of(r *audit.Result, line int) map[string]int {
	numbers, known := n[line]
	if !known {
		l := &r.Network.Lines[line]
		numbers = make(map[string]int, l.End-l.First)
		for i := l.First; i < l.End; i++ {
			at := audit.AtStructure(line, i)
			numbers[r.KeyOf(0, &at, 0).Structure] = i
		}
		n[line] = numbers
	}
	return numbers
}

// since takes what is compared with: what an earlier run found, or where this one repeats it what that one compared with.
func (c *comparison) since(e *Earlier, repeats bool) {
	then := e.Lines
	if repeats {
		c.out.Since = &Since{Run: e.Since.Run, AsOf: e.Since.AsOf, Rules: e.Since.Rules}
		then = slices.DeleteFunc(slices.Concat(e.Lines, e.Since.LinesGone), func(name string) bool { return slices.Contains(e.Since.LinesAdded, name) })
		slices.Sort(then)
	} else {
		c.out.Since = &Since{Run: e.Run, AsOf: e.AsOf, Rules: e.Rules}
	}
	c.out.Since.LinesAdded, c.out.Since.LinesGone = c.linesSince(then)
	renamed := c.renamedLines(then, c.out.Since.LinesAdded, c.out.Since.LinesGone, e.entries, func(e *entry) *Record {
		if repeats {
			return e.was
		}
		return e.now
	}, true)
	sameRun := renamed
	if repeats { // what the run that is repeated found new or kept is known by the names that it knew
		c.taken = map[taken]bool{}
		added, gone := c.linesSince(e.Lines)
		sameRun = c.renamedLines(e.Lines, added, gone, e.entries, func(e *entry) *Record { return e.now }, false)
	}
	for _, entry := range e.entries {
		if !repeats {
			entry = entry.onward()
		}
		c.take(entry, renamed, sameRun)
	}
	for i := range c.before {
		switch b := &c.before[i]; {
		case b.gone != "":
			c.goneAs(b, b.gone)
		case b.doubt != "":
			c.cleared(b, NotAssessed, b.doubt)
		default:
			c.open = append(c.open, i)
		}
	}
}

// linesSince are the lines that are not among some earlier ones, which are sorted, and those of them that are not there any more.
func (c *comparison) linesSince(then []string) (added, gone []string) {
	for l := range c.r.Network.Lines {
		name := c.lineName(l)
		if _, was := slices.BinarySearch(then, name); !was {
			added = append(added, name)
		}
	}
	for _, name := range then {
		if _, there := c.lines[name]; !there {
			gone = append(gone, name)
		}
	}
	return added, gone
}

// onward is an entry as the next run finds it: what was there is what was.
func (e entry) onward() entry {
	e.was = e.now
	e.state, e.lost = Standing, false
	return e
}

// take takes an entry: of a line that the run judged among those to be found, of one that it left out as it is. What was before goes by
// the names of one run, what the run that is repeated said by those of another.
func (c *comparison) take(e entry, names, sameRun lineNames) {
	if e.was == nil {
		if e.now != nil {
			if line, there := c.lines[sameRun.now(e.now.Line)]; there && !c.r.Lines[line].Assessed && sameRun.gone(e.now.Line) == "" {
				c.leaveOut(e, sameRun)
			}
		}
		return
	}
	key := e.was.Key
	key.Line = names.now(key.Line)
	gone, doubt := names.gone(e.was.Line), names.doubts[e.was.Line]
	if line, there := c.lines[key.Line]; there && !c.r.Lines[line].Assessed && gone == "" && doubt == "" {
		c.leaveOut(e, sameRun)
		return
	}
	if c.taken != nil {
		was := taken{e.was.ID, e.was.FirstSeen, e.was.Sentence}
		if c.taken[was] {
			return
		}
		c.taken[was] = true
	}
	c.before = append(c.before, before{e.was, key, gone, doubt})
}

// leaveOut keeps what is known of an exception whose line the run left out, under the name that the line has now.
func (c *comparison) leaveOut(e entry, names lineNames) {
	if e.now == nil {
		c.out.Cleared = append(c.out.Cleared, Cleared{Record: *e.was, Why: e.why, Detail: e.detail})
		return
	}
	out := Cleared{Record: *e.now, Why: NotInRun, State: e.state, Was: e.was}
	if e.lost { // in the run that this one repeats
		out.Why, out.Detail = NotAssessed, e.detail
	}
	key := out.Key
	key.Line = names.now(key.Line)
	out.keepAs(key)
	c.out.Cleared = append(c.out.Cleared, out)
}

// keepAs gives what is kept the names that it is found by from now on.
func (out *Cleared) keepAs(key audit.Key) {
	if key == out.Key {
		return
	}
	_, nth, repeated := strings.Cut(out.ID, "-")
	out.from, out.Key, out.ID = out.ID, key, key.ID()
	if repeated {
		out.ID += "-" + nth
	}
}

// matchKeys finds the exceptions that have the key of one before.
func (c *comparison) matchKeys() {
	c.match(func(b *before) audit.Key { return b.key }, func(i int) (audit.Key, bool) { return c.r.Key(i), true })
}

// matchPhases finds the places that lack other phases than they did.
func (c *comparison) matchPhases() {
	place := map[string]bool{}
	for _, check := range c.r.Checks {
		place[check.ID] = check.Of == audit.OfPlace
	}
	c.match(func(b *before) audit.Key {
		key := b.key
		if key.Phase = ""; !place[key.Check] {
			key.Check = ""
		}
		return key
	}, func(i int) (audit.Key, bool) {
		key := c.r.Key(i)
		key.Phase = ""
		return key, place[key.Check]
	})
}

// match pairs those that are not found yet with exceptions that are new so far and have the same key.
func (c *comparison) match(keyBefore func(*before) audit.Key, keyNow func(exception int) (audit.Key, bool)) {
	if len(c.open) == 0 {
		return
	}
	groups := make(map[audit.Key]int32, len(c.open)) // the last of each key in open, others behind it
	next, now := slices.Repeat([]int32{-1}, len(c.open)), slices.Repeat([]int32{-1}, len(c.open))
	for k, i := range c.open {
		key := keyBefore(&c.before[i])
		if last, more := groups[key]; more {
			next[k] = last
		}
		groups[key] = int32(k)
	}
	behind := make([]int32, len(c.out.Exceptions)) // the next exception of the same key
	for i := len(c.out.Exceptions) - 1; i >= 0; i-- {
		if c.out.Exceptions[i].Was != nil {
			continue
		}
		if key, asked := keyNow(i); asked {
			if last, there := groups[key]; there {
				behind[i], now[last] = now[last], int32(i)
			}
		}
	}
	found := make([]bool, len(c.open))
	var group, exceptions []int
	for last, first := range now {
		if first < 0 {
			continue
		}
		group, exceptions = group[:0], exceptions[:0]
		for k := int32(last); k >= 0; k = next[k] {
			group = append(group, int(k))
		}
		for i := first; i >= 0; i = behind[i] {
			exceptions = append(exceptions, int(i))
		}
		c.pair(group, exceptions, found)
	}
	open := c.open[:0]
	for k, i := range c.open {
		if !found[k] {
			open = append(open, i)
		}
	}
	c.open = open
}

// mayBe tells whether an exception may be one of before with its key, by what it holds: what hangs beside the phases, as a jumper, is none of those that hold
// one. A run that noted nothing of its exceptions leaves that open.
func (c *comparison) mayBe(was *Record, exception int) bool {
	at := &c.r.Exceptions[exception].Location
	return at.Assembly < 0 || was.Blank == "" && was.Rests == "" || c.r.MayBeOf(was.Blank, at)
}

// pair pairs exceptions of one key, those of now worst first: those that are unchanged, then the worst with the worst.
func (c *comparison) pair(group, exceptions []int, found []bool) {
	slices.SortFunc(group, func(a, b int) int { return compareRecords(c.before[c.open[a]].Record, c.before[c.open[b]].Record) })
	for _, unchanged := range [...]bool{true, false} {
		for _, i := range exceptions {
			if c.out.Exceptions[i].Was != nil {
				continue
			}
			for _, k := range group {
				was := c.before[c.open[k]].Record
				if state := became(was, &c.r.Exceptions[i].Verdict); !found[k] && (state == Standing || !unchanged) && c.mayBe(was, i) {
					found[k] = true
					c.found(i, was)
					break
				}
			}
		}
	}
}
