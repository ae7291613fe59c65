package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestParsePhases(t *testing.T) {
	for text, want := range map[string]string{
		"A": "A", "ABC": "A,B,C", "R,Y,B": "R,Y,B", "ryb": "R,Y,B", "L1L2L3": "L1,L2,L3", "L1, L3": "L1,L3", "A/C": "A,C",
		"1 2 3": "1,2,3", "123": "1,2,3", "top": "top", "left, right": "left,right",
	} {
		set, ok := ParsePhases(text)
		require.True(t, ok, text)
		require.Equal(t, want, set.String(), text)
	}
	for _, text := range []string{"", "X", "AA", "TOPS", "A,X", "ABCRY"} {
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
