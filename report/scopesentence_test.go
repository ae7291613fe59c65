package report

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// Every sentence is true of one and of many, of nothing and of everything.
func TestSentenceOfALine(t *testing.T) {
	nan := math.NaN()
	at := func(counts map[workKinds]int) (kinds [len(kindWords)]int) {
		for i := range kinds {
			kinds[i] = counts[1<<i]
		}
		return kinds
	}
	for name, c := range map[string]struct {
		scenario string
		lines    []string
		line     scopeLine
		said     lineSaid
		stops    []scopeStop
		want     string
	}{
		"nothing":        {"to 220 kV", []string{"L"}, scopeLine{structures: 60}, lineSaid{rest: 60}, nil, "L, to 220 kV: none of 60 structures needs work."},
		"nothing of one": {"to 220 kV", []string{"L"}, scopeLine{structures: 1}, lineSaid{rest: 1}, nil, "L, to 220 kV: none of 1 structure needs work."},
		"nothing that is known": {"x", []string{"L"}, scopeLine{structures: 60, lineVerdicts: lineVerdicts{notJudged: 12, notJudgedToday: 9}}, lineSaid{rest: 60, notJudged: 4}, nil,
			"L, x: none of 60 structures is known to need work, but 4 could not be judged in full; 12 verdicts could not be judged (9 today)."},
		"what the scenario does not give": {"x", []string{"L"}, scopeLine{structures: 60, lineVerdicts: lineVerdicts{notJudged: 1200, notJudgedToday: 1400, taken: 149, takenOf: []string{"swing", "tension at deviation"}, unasked: 1}}, lineSaid{rest: 60, notJudged: 60}, nil,
			"L, x: none of 60 structures is known to need work, but 60 could not be judged in full; 1\u202F200 verdicts could not be judged (1\u202F400 today), 149 of them since the figure that they go by went with what the scenario replaces " +
				"(swing, tension at deviation), and 1 that is asked for today is not asked for."},
		"what it does not ask for alone": {"x", []string{"L"}, scopeLine{structures: 60, lineVerdicts: lineVerdicts{unasked: 375}}, lineSaid{rest: 60}, nil,
			"L, x: none of 60 structures needs work; 375 verdicts that are asked for today are not asked for."},
		"levels that went with the voltage": {"x", []string{"L"}, scopeLine{structures: 60, needing: 2, certain: takesSum{units: 6, price: nan}}, lineSaid{kinds: at(map[workKinds]int{longerStrings: 2}), rest: 58, gone: []string{"lightning level", "switching level"}}, nil,
			"L, x: 2 of 60 structures need work (6 units to fit; today none): longer strings at 2; the other 58 need none; no string is held against a lightning level or switching level, since the scenario states none in place of today's."},
		"no switching level": {"x", []string{"L"}, scopeLine{structures: 60}, lineSaid{rest: 60, unstated: 362}, nil,
			"L, x: none of 60 structures needs work; no string is held against a switching level, which Um 362 kV asks for, since none is known."},
		"one": {"x", []string{"L"}, scopeLine{structures: 60, needing: 1, certain: takesSum{units: 1, sets: 1, price: 20.4}}, lineSaid{kinds: at(map[workKinds]int{tensionSets: 1}), rest: 59}, nil,
			"L, x: 1 of 60 structures needs work (1 unit to fit, 1 set to add, the units for 20; today none): tension sets at 1; the other 59 need none."},
		"many, of which some are stopped": {"x", []string{"L"}, scopeLine{structures: 60, needing: 51, certain: takesSum{units: 1612, price: nan}, stopped: 7, stoppedKM: 3.14, lengthKM: 18.87, lineVerdicts: lineVerdicts{notJudged: 1}},
			lineSaid{kinds: at(map[workKinds]int{longerStrings: 50, otherUnits: 3}), both: 1, rest: 3, notJudged: 2},
			[]scopeStop{{line: "L", limit: "string-too-long", structures: make([]string, 6)}, {line: "L", limit: "swing", structures: make([]string, 1)}, {line: "M", limit: "swing", structures: make([]string, 9)}},
			"L, x: 51 of 60 structures need work (1\u202F612 units to fit; today none): longer strings at 50, another type of unit at 3; no remedy serves 7, 3.1 km of 18.9 km (string too long at 6, swing at 1), " +
				"1 of them takes some of the work all the same; of the other 3, 2 could not be judged in full and 1 needs none; 1 verdict could not be judged (0 today)."},
		"units are only taken out": {"x", []string{"L"}, scopeLine{structures: 6, needing: 4}, lineSaid{kinds: at(map[workKinds]int{shorterStrings: 4}), rest: 2}, nil,
			"L, x: 4 of 6 structures need work (nothing to fit; today none): shorter strings at 4; the other 2 need none."},
		"what a look asks for alone": {"x", []string{"L"}, scopeLine{structures: 6, needing: 1, afterLook: takesSum{units: 9, sets: 1, price: 90}}, lineSaid{kinds: at(map[workKinds]int{lookFirstKind: 1}), rest: 5}, nil,
			"L, x: 1 of 6 structures needs work (nothing to fit for certain, and 9 units with 1 set if a look shows that nothing hangs; today none): a look first at what hangs at 1; the other 5 need none."},
		"sets alone": {"x", []string{"L"}, scopeLine{structures: 6, needing: 1, certain: takesSum{sets: 2}, afterLook: takesSum{sets: 1}, mayStay: true}, lineSaid{kinds: at(map[workKinds]int{moreStrings: 1}), rest: 5}, nil,
			"L, x: 1 of 6 structures needs work (2 sets to add, and 1 set if a look asks for it; today none): more strings side by side at 1; the other 5 need none."},
		"all are stopped": {"x", []string{"L"}, scopeLine{structures: 6, stopped: 6, stoppedKM: 1.4, lengthKM: 1.4}, lineSaid{},
			[]scopeStop{{line: "L", limit: tooLongLimit, structures: make([]string, 6)}}, "L, x: no remedy serves 6 of 6 structures, 1.4 km of 1.4 km (string too long at 6)."},
		"stopped alone, under several limits": {"x", []string{"L"}, scopeLine{structures: 3, stopped: 1, stoppedKM: 0.04, lengthKM: 0.5}, lineSaid{rest: 2},
			[]scopeStop{{line: "L", limit: "strength", structures: make([]string, 1)}, {line: "L", limit: "swing", structures: make([]string, 1)}},
			"L, x: no remedy serves 1 of 3 structures, 40 m of 0.5 km (strength at 1, swing at 1, some under several); the other 2 need none."},
		"stopped where no length is known": {"x", []string{"L"}, scopeLine{structures: 1, stopped: 1, lengthKM: nan}, lineSaid{},
			[]scopeStop{{line: "L", limit: "nothing to choose from", structures: make([]string, 1)}}, "L, x: no remedy serves 1 of 1 structure (nothing to choose from at 1)."},
		"one that could not be judged": {"x", []string{"L"}, scopeLine{structures: 2, stopped: 1, lengthKM: nan}, lineSaid{rest: 1, notJudged: 1},
			[]scopeStop{{line: "L", limit: "swing", structures: make([]string, 1)}}, "L, x: no remedy serves 1 of 2 structures (swing at 1); the other one could not be judged in full."},
		"what asks for no insulator": {"x", []string{"L"}, scopeLine{structures: 4}, lineSaid{beyond: 1, rest: 3, notJudged: 3}, nil,
			"L, x: at 1 something falls short that asks for no insulator; the other 3 could not be judged in full."},
		"what serves cannot be judged": {"x", []string{"L"}, scopeLine{structures: 60, needing: 5, certain: takesSum{units: 9}, stopped: 2, stoppedKM: 1, notKnown: 3, notKnownKM: 1.26, lengthKM: 18.87},
			lineSaid{both: 1, partly: 2, rest: 53},
			[]scopeStop{{line: "L", limit: "swing", structures: make([]string, 2)}, {line: "L", limit: "strength-one-string-broken cannot be judged", structures: make([]string, 3), notKnown: true}, {line: "L", limit: "length or coupling not known", structures: make([]string, 1), notKnown: true}},
			"L, x: 5 of 60 structures need work (9 units to fit, the units for 0; today none); no remedy serves 2, 1.0 km of 18.9 km (swing at 2), 1 of them takes some of the work all the same; " +
				"it cannot be judged what serves 3, 1.3 km of 18.9 km (strength one string broken cannot be judged at 3, length or coupling not known at 1, some under several), 2 of them take some of the work all the same; the other 53 need none."},
		"what serves cannot be judged alone": {"x", []string{"L"}, scopeLine{structures: 2, notKnown: 1, lengthKM: nan}, lineSaid{rest: 1},
			[]scopeStop{{line: "L", limit: "strength cannot be judged", structures: make([]string, 1), notKnown: true}},
			"L, x: it cannot be judged what serves 1 of 2 structures (strength cannot be judged at 1); the other one needs none."},
		"none needs work, and there are advisories": {"x", []string{"L"}, scopeLine{structures: 5}, lineSaid{rest: 5, advised: 1}, nil, "L, x: none of 5 structures needs work, and 1 of them has an advisory."},
		"others have advisories": {"x", []string{"L"}, scopeLine{structures: 6, needing: 1, certain: takesSum{units: 54, sets: 6, price: 810, atLeast: true}},
			lineSaid{kinds: at(map[workKinds]int{tensionSets: 1}), rest: 5, notJudged: 5, advised: 2, sizesOpen: 1}, nil,
			"L, x: 1 of 6 structures needs work (at least 54 units to fit, 6 sets to add, the units for at least 810; today none): tension sets at 1; how long strings have to be could not be judged in full at 1 of them; " +
				"the other 5 could not be judged in full, and 2 of them have an advisory."},
		"fewer or more": {"x", []string{"L"}, scopeLine{structures: 1, needing: 1, certain: takesSum{units: 41, fewer: 4, price: 820, less: 80, atLeast: true}, afterLook: takesSum{units: 9, fewer: 2, atLeast: true}},
			lineSaid{}, nil, "L, x: 1 of 1 structure needs work (at least 37 units to fit, the units for at least 740, and at least 7 more if a look shows that nothing hangs; today none)."},
		"fewer": {"x", []string{"L"}, scopeLine{structures: 1, needing: 1, certain: takesSum{units: 41, fewer: 4, price: 820, less: 80}},
			lineSaid{}, nil, "L, x: 1 of 1 structure needs work (37 to 41 units to fit, the units for 740 to 820; today none)."},
		"the other one has an advisory": {"x", []string{"L"}, scopeLine{structures: 2, needing: 1, certain: takesSum{units: 1, price: 3}}, lineSaid{rest: 1, advised: 1}, nil,
			"L, x: 1 of 2 structures needs work (1 unit to fit, the units for 3; today none); the other one needs none, and has an advisory."},
		"too long are units of a coupling": {"x", []string{"L"}, scopeLine{structures: 6, stopped: 6, stoppedKM: 1.4, lengthKM: 1.4}, lineSaid{},
			[]scopeStop{{line: "L", limit: tooLongLimit, couplings: []string{"20", "16"}, structures: make([]string, 6)}}, "L, x: no remedy serves 6 of 6 structures, 1.4 km of 1.4 km (string too long of coupling 16 or 20 at 6)."},
		"a scenario named by its line":     {"L to 220 kV", []string{"L"}, scopeLine{structures: 2}, lineSaid{rest: 2}, nil, "L to 220 kV: none of 2 structures needs work."},
		"a name that begins like the line": {"L-2 to 220 kV", []string{"L"}, scopeLine{structures: 2}, lineSaid{rest: 2}, nil, "L, L-2 to 220 kV: none of 2 structures needs work."},
		"a scenario of several lines":      {"L to 220 kV", []string{"L", "M"}, scopeLine{structures: 2}, lineSaid{rest: 2}, nil, "L, L to 220 kV: none of 2 structures needs work."},
	} {
		t.Run(name, func(t *testing.T) {
			c.line.line, c.line.newly = "L", 1
			s := &ScopeOf{scenario: &audit.Scenario{Name: c.scenario}, lines: c.lines, perLine: []scopeLine{{line: "M"}, c.line}, said: []lineSaid{{}, c.said}, stops: c.stops}
			require.Equal(t, c.want, s.perLine[1].inWords(s))
		})
	}
}

// Strings that are too long where units of any coupling were sought are apart from those for which units of one alone were.
func TestTooLongOfAnyCouplingIsApart(t *testing.T) {
	r := &audit.Result{}
	long := func(couplings ...string) remedy.Stop {
		return remedy.Stop{Check: -1, TooLong: true, Couplings: couplings}
	}
	require.Equal(t, []string{"16", "20"}, tooLongOf(r, &remedy.Job{StoppedBy: []remedy.Stop{long("16"), long("16", "20")}}))
	require.Empty(t, tooLongOf(r, &remedy.Job{StoppedBy: []remedy.Stop{long("16"), long()}}))

	sum := lineSum{scopeLine{line: "L", structures: 5, lengthKM: math.NaN()}, map[string]*scopeStop{}}
	for i, couplings := range [][]string{nil, {"16"}, {"16"}, nil, {"16"}} {
		sum.take(&scopeChange{structure: fmt.Sprint(16 + i), stops: []string{tooLongLimit}, couplings: couplings})
	}
	s := &ScopeOf{scenario: &audit.Scenario{Name: "x"}, lines: []string{"L"}, said: []lineSaid{{}}}
	s.addLine(&sum)
	require.Equal(t, []string{"17", "18", "20"}, s.stops[0].structures)
	require.Equal(t, []string{"16", "19"}, s.stops[1].structures)
	require.Equal(t, "L, x: no remedy serves 5 of 5 structures (string too long of coupling 16 at 3, string too long at 2); nothing falls short that does not today.", s.perLine[0].inWords(s))
}

// Units without a price, where others have one, are named in place of the cost; where nothing has a price nobody asks for one.
func TestSentenceSaysWhichPriceIsMissing(t *testing.T) {
	nan := math.NaN()
	r := &audit.Result{Project: &audit.Project{Units: []basis.Unit{{Name: "a", Price: 20}, {Name: "b", Price: nan}, {Name: "c", Price: nan}}}}
	fit := []remedy.Count{{Unit: "a", Count: 2}, {Unit: "b", Count: 1}, {Unit: "c", Count: 0}}
	require.Equal(t, []string{"b"}, noPriceOf(r, fit))
	one, other := takesSum{units: 3, price: nan, noPrice: []string{"b"}}, takesSum{units: 3, price: nan, noPrice: []string{"b", "c"}}
	one.take(&other)
	require.Equal(t, "6 units to fit, cost not known: no price of b, c", takesInWords(&one, &takesSum{}, false))
	r.Project.Units[0].Price = nan
	require.Empty(t, noPriceOf(r, fit))
}

// The sentence says what of the work is due today, and that nothing newly falls short where nothing does, as far as that could be judged.
func TestSentenceSaysWhatIsDueToday(t *testing.T) {
	said := func(l scopeLine) string {
		l.line = "L"
		s := &ScopeOf{scenario: &audit.Scenario{Name: "x"}, lines: []string{"L"}, perLine: []scopeLine{l}, said: []lineSaid{{rest: l.structures - l.needing}}}
		return s.perLine[0].inWords(s)
	}
	l := scopeLine{structures: 20, needing: 13, certain: takesSum{units: 363, sets: 36, price: 12195, fewer: 4, less: 80}}
	l.due = dueToday{needing: 12, certain: takesSum{units: 350, sets: 30, price: 11000}, afterLook: takesSum{units: 9, sets: 1}}
	require.Equal(t, "L, x: 13 of 20 structures need work (359 to 363 units to fit, 36 sets to add, the units for 12\u202F115 to 12\u202F195; today 12 of them: 350 units to fit, 30 sets to add, the units for 11\u202F000, "+
		"and 9 more with 1 set if a look shows that nothing hangs); the other 7 need none; nothing falls short that does not today.", said(l))
	l.notJudged, l.due = 1, dueToday{}
	require.Equal(t, "L, x: 13 of 20 structures need work (359 to 363 units to fit, 36 sets to add, the units for 12\u202F115 to 12\u202F195; today none); the other 7 need none; nothing is known to fall short that does not today; "+
		"1 verdict could not be judged (0 today).", said(l))
	require.Equal(t, "L, x: none of 20 structures needs work.", said(scopeLine{structures: 20}))
}

// A gap of the register is looked at, and no limit of what may hang; what is not known of a row or a structure is said by name.
func TestWhatIsNoLimit(t *testing.T) {
	r := &audit.Result{Checks: []*audit.Check{{ID: "strength", Of: audit.OfAssembly}, {ID: "phase-missing", Of: audit.OfPlace}}}
	for limit, stop := range map[string]remedy.Stop{
		"strength cannot be judged":          {Unjudged: true},
		"phase-missing, look first":          {Check: 1},
		"role of the structure not known":    {Check: -1, Unjudged: true, Lacks: "role of the structure not known"},
		"length or coupling not known":       {Check: -1, Unjudged: true},
		"whether it can be cut is not known": {Check: 0, Unjudged: true, Lacks: "whether it can be cut is not known"},
	} {
		require.Equal(t, limit, limitOf(r, &stop))
		require.True(t, isNoLimit(r, &stop), limit)
	}
	for limit, stop := range map[string]remedy.Stop{"strength": {}, tooLongLimit: {Check: -1, TooLong: true}, "nothing to choose from": {Check: -1}} {
		require.Equal(t, limit, limitOf(r, &stop))
		require.False(t, isNoLimit(r, &stop), limit)
	}
}

// A check that sizes strings and could not be judged of what is to be hung leaves open how many units it takes.
func TestSizedInPart(t *testing.T) {
	r := &audit.Result{Checks: []*audit.Check{{ID: "creepage", Sizes: true}, {ID: "wet", Sizes: true, Severity: audit.Advisory}, {ID: "swing"}}}
	job := remedy.Job{Remedies: []remedy.Remedy{{Circuit: 1, Fit: []remedy.Count{{Unit: "U", Count: 1}}}, {Circuit: 2, Fit: []remedy.Count{{Unit: "U", Count: 1}}}, {Circuit: 1}}}
	for name, c := range map[string]struct {
		open remedy.Open
		want int
	}{
		"of the circuit":  {remedy.Open{Check: 0, Circuit: 1, Exception: -1, Reason: audit.FaultyField}, 1},
		"of another":      {remedy.Open{Check: 0, Circuit: 3, Exception: -1, Reason: audit.FaultyField}, 0},
		"an advisory":     {remedy.Open{Check: 1, Circuit: 1, Exception: -1, Reason: audit.FaultyField}, 0},
		"no size":         {remedy.Open{Check: 2, Circuit: 1, Exception: -1, Reason: audit.FaultyField}, 0},
		"still too short": {remedy.Open{Check: 0, Circuit: 1}, 0},
	} {
		job.Open = []remedy.Open{c.open}
		require.Len(t, sizedInPart(r, &job), c.want, name)
	}
}

// Each structure of a line is in one of the parts of its sentence.
func TestStructuresOfASentenceAddUp(t *testing.T) {
	var said lineSaid
	for range 3 {
		said.add(nil, true)
	}
	said.add(nil, false)
	said.add(&scopeChange{}, true)
	said.add(&scopeChange{stops: []string{"swing"}, kinds: longerStrings}, true)
	said.add(&scopeChange{toHang: "x", kinds: longerStrings | otherUnits}, false)
	said.add(&scopeChange{toHang: "x", stops: []string{"swing"}, kinds: longerStrings}, false)
	said.add(&scopeChange{toHang: "x", stops: []string{"swing"}, notKnown: []string{"strength cannot be judged"}}, false)
	said.add(&scopeChange{toHang: "x", notKnown: []string{"strength cannot be judged"}}, false)
	said.add(&scopeChange{notKnown: []string{"strength cannot be judged"}}, false)
	want := lineSaid{both: 2, partly: 1, beyond: 1, rest: 4, notJudged: 3}
	want.kinds[0], want.kinds[4] = 2, 1
	require.Equal(t, want, said)
}

func TestKindsOfWork(t *testing.T) {
	moved := func(move remedy.Move) remedy.Remedy {
		return remedy.Remedy{To: remedy.Set{Duty: audit.Tension}, Changes: []remedy.Change{{Move: move}}}
	}
	nan := math.NaN()
	for name, c := range map[string]struct {
		remedies []remedy.Remedy
		longerMM float64
		want     workKinds
	}{
		"more units, longer":              {[]remedy.Remedy{moved(remedy.MoreUnits)}, 146, longerStrings},
		"more units, how long":            {[]remedy.Remedy{moved(remedy.MoreUnits)}, nan, moreUnits},
		"another unit that is longer":     {[]remedy.Remedy{moved(remedy.OtherUnit)}, 10, longerStrings | otherUnits},
		"another unit as long":            {[]remedy.Remedy{moved(remedy.OtherUnit)}, 0, otherUnits},
		"several":                         {[]remedy.Remedy{moved(remedy.SoundUnits), moved(remedy.OtherDuty), moved(remedy.MoreStrings), moved(remedy.NewUnits), moved(remedy.FewerUnits), moved(remedy.NewAssembly)}, nan, soundUnits | tensionSets | moreStrings | newUnits | shorterStrings | newSets},
		"another duty than tension":       {[]remedy.Remedy{{To: remedy.Set{Duty: audit.Suspension}, Changes: []remedy.Change{{Move: remedy.OtherDuty}}}}, nan, otherDuty},
		"nothing registered":              {[]remedy.Remedy{{Unregistered: true, Changes: []remedy.Change{{Move: remedy.NewAssembly}}}}, nan, lookFirstKind},
		"rows that contradict each other": {[]remedy.Remedy{{Changes: []remedy.Change{{Move: remedy.SoundUnits, RowsContradict: true}}}}, nan, soundUnits | lookFirstKind},
	} {
		require.Equal(t, c.want, kindsOf(&remedy.Job{Remedies: c.remedies}, c.longerMM), name)
	}
}

// A level that a line states today and that the scenario takes is said in the sentence; one that is set, or was not stated, is not.
func TestLevelsThatWentWithTheVoltage(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		was, then [2]float64 // lightning and switching level
		want      []string
	}{
		{[2]float64{650, nan}, [2]float64{nan, nan}, []string{"lightning level"}},
		{[2]float64{1050, 850}, [2]float64{nan, nan}, []string{"lightning level", "switching level"}},
		{[2]float64{650, nan}, [2]float64{950, nan}, nil},
		{[2]float64{nan, nan}, [2]float64{nan, nan}, nil},
	} {
		row := func(levels [2]float64) *audit.LineRow {
			return &audit.LineRow{LightningKV: levels[0], SwitchingKV: levels[1]}
		}
		require.Equal(t, c.want, levelsGone(row(c.was), row(c.then)))
	}
}

// A scenario whose highest voltage asks for a switching level says that none is known, unless that is so today or of what went with the voltage.
func TestSwitchingLevelThatAScenarioLacks(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		was, then [2]float64 // highest voltage and switching level
		system    audit.System
		want      float64
	}{
		{[2]float64{245, nan}, [2]float64{362, nan}, audit.Earthed, 362},
		{[2]float64{nan, nan}, [2]float64{362, nan}, audit.Earthed, 362},
		{[2]float64{245, nan}, [2]float64{362, 950}, audit.Earthed, 0},
		{[2]float64{145, nan}, [2]float64{245, nan}, audit.Earthed, 0},
		{[2]float64{145, nan}, [2]float64{252, nan}, audit.Earthed, 0},
		{[2]float64{362, nan}, [2]float64{362, nan}, audit.Earthed, 0},
		{[2]float64{362, 950}, [2]float64{420, nan}, audit.Earthed, 0},
		{[2]float64{245, nan}, [2]float64{nan, nan}, audit.Earthed, 0},
		{[2]float64{245, nan}, [2]float64{500, nan}, audit.DirectCurrent, 0},
	} {
		line := func(of [2]float64) *audit.Line {
			return &audit.Line{HighestKV: of[0], Row: audit.LineRow{SwitchingKV: of[1], System: c.system}}
		}
		require.Equal(t, c.want, lacksSwitching(line(c.was), line(c.then)), "%v %v", c.was, c.then)
	}
}

// Of a scenario of many lines the gravest are printed, in their order, and it is said how many there are beside them.
func TestScenarioOfManyLinesIsPrintedInPart(t *testing.T) {
	printed := func(lines int) string {
		s := &ScopeOf{scenario: &audit.Scenario{Name: "worse"}}
		for i := range lines {
			line := scopeLine{line: fmt.Sprintf("L%02d", i), structures: 90, needing: i}
			if i == 3 {
				line.stopped, line.needing = 1, 0
			}
			s.lines, s.perLine, s.said = append(s.lines, line.line), append(s.perLine, line), append(s.said, lineSaid{})
			s.notes = append(s.notes, fmt.Sprintf("note %02d", i))
		}
		var said bytes.Buffer
		ScopeSummary(&said, &Scope{Today: fixtureResult(t), Scenarios: []*ScopeOf{s}}, "out")
		return said.String()
	}
	all := printed(mostPrinted)
	require.Equal(t, mostPrinted, strings.Count(all, ", worse: "))
	require.NotContains(t, all, " more; ")
	some := printed(mostPrinted + 5)
	require.Equal(t, mostPrinted, strings.Count(some, ", worse: "))
	require.True(t, strings.HasPrefix(some, "L03, worse: "), "where a remedy is stopped")
	require.NotContains(t, some, "L05, worse: ")
	require.Contains(t, some, "L24, worse: ")
	require.Contains(t, some, "worse: 5 lines more; ")
	require.Contains(t, some, "  note 19\n  5 notes more; the sheet Scenarios")
}
