package audit

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestParsePhases(t *testing.T) {
	for text, want := range map[string]string{
		"A": "A", "ABC": "A,B,C", "R,Y,B": "R,Y,B", "ryb": "R,Y,B", "L1L2L3": "L1,L2,L3", "L1, L3": "L1,L3", "A/C": "A,C",
		"1 2 3": "1,2,3", "123": "1,2,3", "top": "top", "left, right": "left,right",
		"ABCR": "A,R,B,C", "l1l2": "L1,L2", "L2L3": "L2,L3", "b": "B", "red+blue": "red,blue",
	} {
		set, ok := ParsePhases(text)
		require.True(t, ok, text)
		require.Equal(t, want, set.String(), text)
	}
	for _, text := range []string{"", "X", "AA", "TOPS", "A,X", "ABCRY", "L1L2X", "L1L2L1", "L1L2L3L1L2", "ABA", "L1L"} {
		_, ok := ParsePhases(text)
		require.False(t, ok, text)
	}
}

// Edges 2, 15, 30 and 60 degrees belong to the lower family: common practice.
func TestFamilyOf(t *testing.T) {
	for deviation, want := range map[float64]Family{
		0: TangentFamily, -2: TangentFamily, 2.0001: Light, 15: Light, -15.1: Medium, 30: Medium, 31: Heavy, 60: Heavy, 60.1: Sharp, -179: Sharp,
	} {
		require.Equal(t, want, FamilyOf(deviation), "%g", deviation)
	}
}

func TestNaturalCompare(t *testing.T) {
	for _, pair := range [][2]string{
		{"12", "12A"}, {"12A", "13"}, {"7/2", "7/10"}, {"T-009", "T-010"}, {"a2", "B1"}, {"T9", "T-9"}, {"", "1"}, {"007", "7"},
		{"99999999999999999999998", "99999999999999999999999"},
	} {
		first, second := pair[0], pair[1]
		if pair == [2]string{"T9", "T-9"} {
			first, second = second, first // '-' stands before digits
		}
		require.Negative(t, naturalCompare([]byte(first), []byte(second)), "%s < %s", first, second)
		require.Positive(t, naturalCompare([]byte(second), []byte(first)), "%s > %s", second, first)
	}
	require.Zero(t, naturalCompare([]byte("T-1"), []byte("T-1")))
}

func TestComparisonsMeetAtEquality(t *testing.T) {
	require.Equal(t, Meets, AtLeast(3920, 14*280, "mm").Outcome)
	require.Equal(t, Meets, AtLeast(1-1e-10, 1, "").Outcome)
	require.Equal(t, FallsShort, AtLeast(1-1e-8, 1, "").Outcome)
	require.Equal(t, Meets, AtMost(2, 2, "deg").Outcome)
	require.Equal(t, FallsShort, AtMost(2.00001, 2, "deg").Outcome)
	require.Equal(t, Advisory, AtMost(3, 2, "deg").As(Advisory).Severity)
	require.Equal(t, Note, AtMost(3, 2, "deg").As(Note).As(Advisory).Severity, "no verdict weighs more again")
	require.Equal(t, Meets, AtLeast(-1-1e-10, -1, "").Outcome)
	require.Equal(t, FallsShort, AtLeast(-2, -1, "").Outcome)
	require.Equal(t, Meets, AtMost(-2, -1, "").Outcome)
	require.Equal(t, FallsShort, AtMost(0, -1, "").Outcome)
}

// Nothing equals what has no end: a load without a string to carry it is never met.
func TestAnInfiniteFigureIsNeverMet(t *testing.T) {
	inf := math.Inf(1)
	require.Equal(t, FallsShort, AtLeast(120, inf, "kN").Outcome)
	require.Equal(t, FallsShort, AtMost(inf, 0.75, "").Outcome)
	require.Equal(t, FallsShort, AtMost(1, -inf, "").Outcome)
	require.Equal(t, []int{-1, 1, 0, -1, 0}, []int{compare(1, inf), compare(inf, 1), compare(inf, inf), compare(-inf, inf), compare(math.NaN(), inf)})
}

// The margin is what is left over what is required, or of what is allowed over what is there; none where nothing divides.
func TestMargins(t *testing.T) {
	require.InDelta(t, 0.25, AtLeast(10, 8, "").Margin, 1e-12)
	require.InDelta(t, -0.2, AtLeast(8, 10, "").Margin, 1e-12)
	require.InDelta(t, 0.25, AtMost(8, 10, "").Margin, 1e-12)
	require.InDelta(t, -0.2, AtMost(10, 8, "").Margin, 1e-12)
	require.InDelta(t, -1.0, AtMost(10, 0, "").Margin, 1e-12)
	for _, v := range []Verdict{AtLeast(8, 0, ""), AtMost(0, 8, ""), AtMost(26, -90, "deg"), IsWord(true, "a", "a"), DoesNotApply(IsJumper), CannotTell(NoClass), AtLeast(math.NaN(), 1, "")} {
		require.True(t, math.IsNaN(v.Margin))
	}
}

// A sentence is for people: there is none on trial, and none where a check meets.
func TestWhoNeedsASentence(t *testing.T) {
	s := Subject{}
	require.True(t, s.NeedsSentence(Verdict{Outcome: FallsShort}))
	require.False(t, s.NeedsSentence(Verdict{Outcome: Meets}))
	s.Trial = true
	require.False(t, s.NeedsSentence(Verdict{Outcome: FallsShort}))
}

func TestMessagesOfFaults(t *testing.T) {
	for _, c := range []struct {
		fault Fault
		want  string
	}{
		{Fault{Kind: MissingValue, Column: "Line", Expected: "is missing"}, "line is missing"},
		{Fault{Kind: MissingValue, Column: "Line", Value: "?", Expected: "says nothing"}, `line "?" says nothing`},
		{Fault{Kind: UnknownWord, Column: "Duty", Expected: "is no duty"}, `duty "" is no duty`},
		{Fault{Kind: UnknownWord, Value: "x", Expected: "is no duty"}, `"x" is no duty`},
	} {
		require.Equal(t, c.want, c.fault.Message())
	}
	tables := []Table{{File: "a.geojson"}, {File: "r.xlsx", Sheet: "S", Columns: map[string]string{"Duty": "F"}}}
	require.Equal(t, "r.xlsx!S!F12", Fault{At: Source{1, 12}, Column: "Duty"}.Where(tables))
	require.Equal(t, "r.xlsx!S row 12", Fault{At: Source{1, 12}, Column: "Side"}.Where(tables))
	require.Equal(t, "r.xlsx!S", Fault{At: Source{1, 0}, Column: "Duty"}.Where(tables))
	require.Equal(t, "a.geojson row 3", Fault{At: Source{0, 3}}.Where(tables))
}

// Texts come back as they went in, up to the longest that is kept whole.
func TestTextsAndSymbols(t *testing.T) {
	var texts Texts
	var at []TextAt
	long := strings.Repeat("x", longestText)
	in := []string{"", "a", "12A", strings.Repeat("b", 255), strings.Repeat("c", 256), long, long + "y", "last"}
	for _, text := range in {
		place, err := texts.Add(text)
		require.NoError(t, err)
		at = append(at, place)
	}
	in[6] = strings.Repeat("x", longestText-3) + "…"
	for i := range in {
		require.Equal(t, in[i], texts.Get(at[i]))
	}
	require.Zero(t, at[0])

	var symbols Symbols
	_, known := symbols.Find("L")
	require.False(t, known)
	a, b := symbols.Number("L"), symbols.Number("M")
	require.Equal(t, []Symbol{a, b, 0}, []Symbol{symbols.Number("L"), symbols.Number("M"), symbols.Number("")})
	require.Equal(t, []string{"L", "M", ""}, []string{symbols.Text(a), symbols.Text(b), symbols.Text(0)})
	found, known := symbols.Find("M")
	require.Equal(t, b, found)
	require.True(t, known)
	_, known = symbols.Find("")
	require.True(t, known)
}

func TestFaultsAreCountedBeyondTheList(t *testing.T) {
	var f Faults
	for i := range keptFaults + 5 {
		f.Add(Fault{Kind: NotANumber, Column: "Strings", At: Source{0, uint32(i)}})
	}
	require.Equal(t, keptFaults+5, f.Total())
	require.Len(t, f.List(), keptFaults)
	var all Faults
	all.Merge(&f)
	all.Merge(&f)
	require.Equal(t, 2*(keptFaults+5), all.Total())
	require.Equal(t, keptFaults, all.Counts()[0].Listed)
}

func TestEveryWordHasAText(t *testing.T) {
	seen := map[string]bool{}
	for r := NoReason + 1; r < reasons; r++ {
		require.NotEmpty(t, r.String(), "reason %d", r)
		require.False(t, seen[r.String()], r.String())
		seen[r.String()] = true
	}
	for k := range faultKinds {
		require.NotEmpty(t, k.String())
	}
}

// The words of a column mean what they are read as: each is written back as it was.
func TestWordsMeanThemselves(t *testing.T) {
	for _, w := range SideWords() {
		require.Equal(t, w.Text, w.Value.String())
	}
	for _, w := range DutyWords() {
		require.Equal(t, w.Text, w.Value.String())
	}
	for _, w := range ArrangementWords() {
		require.Equal(t, w.Text, w.Value.String())
	}
	for _, w := range MountingWords() {
		require.Equal(t, w.Text, w.Value.String())
	}
	for _, w := range DeclaredRoleWords() {
		require.Equal(t, w.Text, w.Value.String())
	}
	for _, w := range RingsWords() {
		require.Equal(t, w.Text, w.Value.String())
	}
	for _, w := range SystemWords() {
		if w.Text != "dc" { // short for direct current
			require.Equal(t, w.Text, w.Value.String())
		}
	}
}

// How two rows that repeat each other differ is said figure by figure.
func TestHowRepeatedRowsDiffer(t *testing.T) {
	one := UnknownDirectValues()
	for figure, change := range map[string]func(d *DirectValues){
		"creepage":            func(d *DirectValues) { d.CreepageMM = 7 },
		"rating":              func(d *DirectValues) { d.RatingKN = 7 },
		"length":              func(d *DirectValues) { d.LengthMM = 7 },
		"arcing":              func(d *DirectValues) { d.ArcingMM = 7 },
		"lightning withstand": func(d *DirectValues) { d.LightningKV = 7 },
		"switching withstand": func(d *DirectValues) { d.SwitchingKV = 7 },
		"wet withstand":       func(d *DirectValues) { d.WetKV = 7 },
	} {
		other := UnknownDirectValues()
		change(&other)
		p := &Project{Makeups: []Makeup{{}}, Direct: []DirectValues{one, other}}
		require.Equal(t, figure+" blank there, 7 here", p.difference(&AssemblyRow{RowSaid: RowSaid{Direct: 1}}, &AssemblyRow{RowSaid: RowSaid{Direct: 2}}))
		require.Equal(t, figure+" 7 there, blank here", p.difference(&AssemblyRow{RowSaid: RowSaid{Direct: 2}}, &AssemblyRow{RowSaid: RowSaid{Direct: 1}}))
		require.Equal(t, figure+" 7 there, blank here", p.difference(&AssemblyRow{RowSaid: RowSaid{Direct: 2}}, &AssemblyRow{}))
	}
	p := &Project{Makeups: []Makeup{{}}}
	require.Equal(t, "mounting blank there, upright here", p.difference(&AssemblyRow{}, &AssemblyRow{RowSaid: RowSaid{Mounting: Upright}}))
	require.Equal(t, "mounting horizontal there, blank here", p.difference(&AssemblyRow{RowSaid: RowSaid{Mounting: Horizontal}}, &AssemblyRow{RowSaid: RowSaid{Faulty: Cells(0).With(CellMounting)}}))
}

// Which usual string of a line counts goes by the specific creepage in force, and three strings tell.
func TestUsualStringsBySite(t *testing.T) {
	l := Line{Usual: []Usual{{SpecificCreepage: 27.8, CreepageMM: 1, Strings: 5}, {SpecificCreepage: 34.7, CreepageMM: 2, Strings: 3}, {SpecificCreepage: 43.3, Strings: 2}, {SpecificCreepage: 53.7, Strings: 9, Unsure: true}}}
	for site, want := range map[float64]Reason{27.8: NoReason, 34.7: NoReason, 43.3: FewSuspensionStrings, 53.7: FaultyField, 22: FewSuspensionStrings} {
		usual, reason := l.UsualAt(site)
		require.Equal(t, want, reason, "%g mm/kV", site)
		require.Equal(t, want == NoReason, usual.SpecificCreepage == site)
	}
}

// A crossing whose kind cannot be read asks for nothing that is known, and is no kind without a rule.
func TestCrossingsOfUnreadableKind(t *testing.T) {
	s := newSketch(t)
	s.straight("L", 2)
	s.p.Criteria.CrossingRules = []CrossingRule{{Kind: "river", Double: true}}
	n := s.network()
	bits := n.kindBit(UnreadableKind) | n.kindBit("river")
	require.Equal(t, Asked{Kinds: []string{UnreadableKind, "river"}, Double: "river", Unreadable: true}, n.asked(&n.Project.Criteria, spanCrosses{crossed: bits}, 300))
	require.Equal(t, Asked{Kinds: []string{UnreadableKind}, Unreadable: true}, n.asked(&n.Project.Criteria, spanCrosses{crossed: n.kindBit(UnreadableKind)}, 300))
}
