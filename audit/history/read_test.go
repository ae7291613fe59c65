package history

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// earlierFile is an audit.json with what a comparison asks for, and with what it does not.
const earlierFile = `{
"run": {"schema":1,"id":"0011223344556677","as_of":"2026-11-24","criteria":{"a":[1,{"b":null}]},"rules":{"creepage":"aa"},"since":{"id":"ff","as_of":"2026-11-23","rules":{"creepage":"bb"},"lines_added":["N"],"lines_gone":["O"],"renamed":[{"line":"x"}]}},
"coverage": [{"check":"creepage","share":-1.5e-3,"deep":[[["\"]"]]]}],
"lines": [{"line":"N","name":"\u00e9\ud83d\ude00\n"},{"line":"L","structures":3}],
"exceptions": [
  {"id":"1","check":"creepage","severity":"shortfall","line":"L","structure":"7","structure_to":"","circuit":"1","phase":"A","side":"","observed":2000,"required":2905.5,"measure":"mm","margin":-0.31,"reason":"Too \"short\".","state":"worse","first_seen":"2026-11-20","position":[10.5,-50],"was":{"observed":2100,"margin":-0.27}},
  {"id":"2","check":"creepage","severity":"advisory","line":"L","structure":"8","observed":"none","required":null,"margin":null,"state":"new","first_seen":"2026-11-24"}],
"cleared": [
  {"id":"3","check":"creepage","severity":"note","line":"L","structure":"9","observed":1,"required":2,"margin":-0.5,"first_seen":"2026-11-01","why":"not assessed","detail":"faulty","lost_on":"2026-11-24","was":{"lost_on":""}},
  {"id":"4","check":"creepage","severity":"note","line":"N","structure":"1","observed":1,"required":2,"margin":-0.5,"first_seen":"2026-11-01","rule":"cc","why":"not in this run","detail":"","state":"standing"}],
"jobs": [{"never":"read"`

func TestReadKnowsBothSides(t *testing.T) {
	e, err := Read(strings.NewReader(earlierFile))
	require.NoError(t, err)
	require.Equal(t, []string{"0011223344556677", "2026-11-24"}, []string{e.Run, e.AsOf})
	require.Equal(t, []string{"L", "N"}, e.Lines)
	require.Equal(t, &Since{Run: "ff", AsOf: "2026-11-23", Rules: map[string]string{"creepage": "bb"}, LinesAdded: []string{"N"}, LinesGone: []string{"O"}}, e.Since)
	require.Len(t, e.entries, 4)
	worse := e.entries[0]
	require.Equal(t, audit.Key{Check: "creepage", Line: "L", Structure: "7", Circuit: "1", Phase: "A"}, worse.now.Key)
	require.Equal(t, []float64{2000, 2905.5, -0.31}, []float64{worse.now.Observed.Number, worse.now.Required.Number, worse.now.Margin})
	require.Equal(t, []float64{2100, 2905.5, -0.27}, []float64{worse.was.Observed.Number, worse.was.Required.Number, worse.was.Margin})
	require.Equal(t, `Too "short".`, worse.was.Sentence)
	require.Equal(t, []string{"aa", "bb"}, []string{worse.now.Rule, worse.was.Rule})
	require.Equal(t, [2]float64{10.5, -50}, [2]float64(worse.was.Position))
	fresh := e.entries[1]
	require.Nil(t, fresh.was)
	require.Equal(t, "none", fresh.now.Observed.Word)
	require.True(t, math.IsNaN(fresh.now.Required.Number) && math.IsNaN(fresh.now.Margin))
	lost := e.entries[2]
	require.Equal(t, []any{NotAssessed, "faulty", "bb", ""}, []any{lost.why, lost.detail, lost.was.Rule, lost.was.Lost})
	require.Equal(t, []string{"bb", "2026-11-24"}, []string{lost.now.Rule, lost.now.Lost}, "known as what judged it last knew it")
	left := e.entries[3]
	require.True(t, left.left)
	require.Equal(t, []string{"cc", "cc"}, []string{left.now.Rule, left.was.Rule}, "judged by the same rule, which is not that of the run")
}

// A file that was cut anywhere before the members that count are complete is refused.
func TestReadRefusesWhatIsCut(t *testing.T) {
	enough := strings.Index(earlierFile, `"jobs"`)
	for end := range len(earlierFile) {
		_, err := Read(strings.NewReader(earlierFile[:end]))
		if end < strings.LastIndex(earlierFile[:enough], "]")+1 {
			require.Error(t, err, earlierFile[:end])
		} else {
			require.NoError(t, err)
		}
	}
}

func TestReadRefusesWhatItDoesNotKnow(t *testing.T) {
	for change, says := range map[string]string{
		`"schema":1` + "\x00" + `"schema":2`:                                          "a later version of the program wrote it: schema 2, this one knows 1",
		`"state":"worse"` + "\x00" + `"state":"grim"`:                                 `"grim" is no state of an exception`,
		`"why":"not assessed"` + "\x00" + `"why":"luck"`:                              `"luck" is no reason for which an exception is cleared`,
		`"severity":"note"` + "\x00" + `"severity":"nil"`:                             `"nil" is no severity`,
		`"margin":-0.31` + "\x00" + `"margin":x`:                                      "is no number",
		`"id":"0011223344556677"` + "\x00" + `"id":""`:                                "its run has no id and date",
		`{"observed":2100,"margin":-0.27}` + "\x00" + `{},"id":"9"`:                   "stands behind what the exception was",
		`"check":"creepage","severity":"advisory"` + "\x00" + `"severity":"advisory"`: "an exception has no check and line",
		`\u00e9` + "\x00" + `\u00xx`:                                                  "is no hexadecimal digit",
		`[[["\"]"]]]` + "\x00" + strings.Repeat("[", 200) + strings.Repeat("]", 200):  "values are nested too deep",
	} {
		from, to, _ := strings.Cut(change, "\x00")
		require.Contains(t, earlierFile, from)
		_, err := Read(strings.NewReader(strings.Replace(earlierFile, from, to, 1)))
		require.ErrorContains(t, err, says)
	}
	for _, text := range []string{"", "{}", "[]", `{"run":{"id":"a","as_of":"b"}}`, "null", "{\"run\":"} {
		_, err := Read(strings.NewReader(text))
		require.Error(t, err, text)
	}
}

// What an earlier version of the program wrote has no days, rules, ids or states.
func TestReadTakesAnEarlierVersion(t *testing.T) {
	e, err := Read(strings.NewReader(`{"run":{"schema":1,"id":"a","as_of":"2026-01-01"},"lines":[{"line":"L"}],"exceptions":[
		{"check":"creepage","severity":"note","line":"L","structure":"1","observed":1,"required":2,"margin":-0.5}],"jobs":[]}`))
	require.NoError(t, err)
	now := e.entries[0].now
	require.Equal(t, []string{"2026-01-01", "", now.Key.ID()}, []string{now.FirstSeen, now.Rule, now.ID})
	require.Nil(t, e.Since)
}

// No text crashes the reader, and it reads the same in whatever pieces the text comes.
func FuzzRead(f *testing.F) {
	f.Add(earlierFile)
	f.Fuzz(func(t *testing.T, text string) {
		whole, err := Read(strings.NewReader(text))
		pieces, piecesErr := Read(&slow{text})
		require.Equal(t, err == nil, piecesErr == nil)
		if err == nil {
			require.Equal(t, fmt.Sprint(whole.Run, whole.AsOf, whole.Lines, len(whole.entries)), fmt.Sprint(pieces.Run, pieces.AsOf, pieces.Lines, len(pieces.entries)))
		}
	})
}

// slow hands out a text byte by byte.
type slow struct{ text string }

func (s *slow) Read(p []byte) (int, error) {
	if len(s.text) == 0 {
		return strings.NewReader("").Read(p)
	}
	n := copy(p[:1], s.text)
	s.text = s.text[n:]
	return n, nil
}
