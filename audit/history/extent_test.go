package history

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// What figures say that they are of is read as it was written, whatever a kind of crossing is called.
func TestExtentsAreReadAsWritten(t *testing.T) {
	for text, e := range map[string]extent{
		"":                      {},
		" of=A":                 extentOfKey(audit.Key{Phase: "A"}),
		" of=A,B,C":             extentOfKey(audit.Key{Phase: "CBA"}),
		" of=A,B/none":          extentOfKey(audit.Key{Phase: "AB", Side: "back"}),
		" of=none/all":          extentOfKey(audit.Key{Side: "ahead"}),
		" of=all":               extentOfKey(audit.Key{}),
		" of=+,−":               extentOfKey(audit.Key{Phase: "+/-"}),
		" crosses=a%2Cb%3B,r+s": {crosses: []string{"a,b;", "r s"}},
	} {
		require.Equal(t, text, e.String())
		f := held{id: "x", margin: -1, observed: "1", required: "2", at: noPosition, of: e}
		for _, at := range [...][2]float64{noPosition, {5, 60}} {
			f.at = at
			read := parseFigures(f.String())["x"]
			require.Equal(t, f.String(), read.String())
			require.Equal(t, [2]any{e.phases, e.crosses}, [2]any{read.of.phases, read.of.crosses})
		}
	}
}

func TestWhatIsMoreThanWasDecided(t *testing.T) {
	of := func(phase, side string, crosses ...string) extent {
		e := extentOfKey(audit.Key{Phase: phase, Side: side})
		e.crosses = crosses
		return e
	}
	for name, c := range map[string]struct {
		then, now extent
		want      string
	}{
		"the same":                      {of("ABC", ""), of("CBA", ""), ""},
		"another phase":                 {of("A", ""), of("ABC", ""), "it was of A, and is of B,C too"},
		"another side":                  {of("A", "ahead"), of("A", "both"), "it was of A ahead, and is of A back too"},
		"no side named":                 {of("A", "ahead"), of("A", ""), ""},
		"no phase named":                {of("A", "ahead"), of("", "ahead"), ""},
		"phases that were not named":    {of("", ""), of("ABC", ""), ""},
		"phases that nobody knows":      {of("XYZ", ""), of("ABC", ""), ""},
		"of an earlier version":         {extent{}, of("ABC", "", "river"), ""},
		"another crossing":              {of("A", "", "river"), of("A", "", "river", "railway"), "it was decided of river, and the criteria ask for it by railway"},
		"another in its place":          {of("A", "", "river"), of("A", "", "railway"), "it was decided of river, and the criteria ask for it by railway"},
		"in another order and spelling": {of("A", "", "river", "railway"), of("A", "", "Railway", "River"), ""},
		"one crossing less":             {of("A", "", "river", "railway"), of("A", "", "railway"), ""},
		"crossings that were not noted": {of("A", ""), of("A", "", "railway"), ""},
	} {
		require.Equal(t, c.want, c.now.beyond(c.then), name)
	}
}
