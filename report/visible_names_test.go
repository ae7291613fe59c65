package report

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

func TestUnturned(t *testing.T) {
	for text, want := range map[string]string{
		"":                                "",
		"line A, Ø 12, קו":                "line A, Ø 12, קו",
		"\u202e.1":                        `\u202e.1`,
		"a\u2068b\u2069c":                 "a\u2068b\u2069c",
		"a\u2068b":                        `a\u2068b`,
		"a\u2069b\u2068":                  `a\u2069b\u2068`,
		"\u2068a\u202eb\u2069":            "\u2068a\\u202eb\u2069",
		"\u2068a\u2068b\u2069":            "\\u2068a\u2068b\u2069",
		"\u2067T-1\u2069":                 `\u2067T-1\u2069`,
		"\u200fa\u200e\u061c, zero\u200d": "\\u200fa\\u200e\\u061c, zero\u200d",
	} {
		require.Equal(t, want, unturned(text))
	}
}

// Words from the right are isolated run by run, so that what stands beside them keeps its order.
func TestInOrder(t *testing.T) {
	const i, e = "\u2068", "\u2069"
	for sentence, want := range map[string]string{
		"":                      "",
		"13 × U120B at Østby":   "13 × U120B at Østby",
		"13 × אב, 2 of them":    "13 × " + i + "אב" + e + ", 2 of them",
		"line קו צפון 12 turns": "line " + i + "קו צפון" + e + " 12 turns",
		"line קו 132 צפון: 3 × אב (או גד)": "line " + i + "קו 132 צפון" + e + ": 3 × " + i + "אב" + e + " (" + i + "או גד" + e + ")",
		"קו":        i + "קו" + e,
		"קו, 1, קו": i + "קו" + e + ", 1, " + i + "קו" + e,
		"worst: " + i + "קו 7" + e + ", 7 קו": "worst: " + i + "קו 7" + e + ", 7 " + i + "קו" + e,
		"خَطّ 7": i + "خَطّ" + e + " 7",
	} {
		require.Equal(t, want, inOrder(sentence))
		require.Equal(t, want, inOrder(want), "done again it is the same")
		require.Equal(t, want, unturned(want))
	}
}

// A sentence runs from left to right whatever the names in it do, and nothing in a name turns what stands after it.
func TestSentencesOfNamesFromTheRight(t *testing.T) {
	for name, c := range map[string]struct{ line, scenario, want, terminal string }{
		"plain":              {"L", "to 220 kV", "L, to 220 kV: ", "L, to 220 kV: "},
		"a line":             {"خط 132 الشمال", "worse", "\u2068خط 132 الشمال\u2069, worse: ", "خط 132 الشمال, worse: "},
		"both":               {"קו 1", "קו 220", "\u2068קו 1\u2069, \u2068קו 220\u2069: ", "קו 1, קו 220: "},
		"an override":        {"\u202e.1", "worse", `\u202e.1, worse: `, `\u202e.1, worse: `},
		"ends its isolation": {"קו\u2069 1", "worse", "\u2068קו\\u2069 1\u2069, worse: ", `קו\u2069 1, worse: `},
	} {
		t.Run(name, func(t *testing.T) {
			s := &ScopeOf{scenario: &audit.Scenario{Name: c.scenario}, lines: []string{c.line}, perLine: []scopeLine{{line: c.line, structures: 6}}, said: []lineSaid{{rest: 6}}}
			const rest = "none of 6 structures needs work."
			require.Equal(t, c.want+rest, s.perLine[0].inWords(s))
			require.Equal(t, c.want+rest, unturned(s.perLine[0].inWords(s)), "a cell and the page keep the isolation")
			var said bytes.Buffer
			ScopeSummary(&said, &Scope{Today: fixtureResult(t), Scenarios: []*ScopeOf{s}}, "out")
			require.True(t, strings.HasPrefix(said.String(), c.terminal+rest), said.String())
		})
	}
}

// No output of scenarios holds a character of a name that turns the text after it: page and workbook show it as an
// escape, and JSON writes it as one.
func TestScopeOutputsShowWhatTurns(t *testing.T) {
	p := fixture(t)
	line := p.Symbols.Number("\u202e.1")
	for i := range 6 {
		p.Structures.Row(i).Line, p.Assemblies.Row(i).Line = line, line
	}
	p.Lines[0].Line = line
	s := lookedAt(t, p, "worse\u202e")
	page := scopePageOf(t, s)
	require.False(t, strings.Contains(page, "\u202e"))
	_, sentence, found := strings.Cut(page, `<li dir="ltr"><a href="#s-worse%E2%80%AE/`)
	require.True(t, found)
	require.Contains(t, sentence[:200], `\u202e.1, worse\u202e: `)
	require.Equal(t, `\u202e.1`, cellText("\u202e.1"))
	for name, write := range map[string]func(context.Context, *bytes.Buffer) error{
		"scope.json":    func(ctx context.Context, b *bytes.Buffer) error { _, err := s.JSON(ctx, b, nil); return err },
		"scope.geojson": func(ctx context.Context, b *bytes.Buffer) error { return s.writeLayer(ctx, b, s.Today) },
	} {
		var b bytes.Buffer
		require.NoError(t, write(t.Context(), &b))
		require.NotContains(t, b.String(), "\u202e", name)
		require.Contains(t, b.String(), `\u202e.1`, name)
		var read any
		require.NoError(t, json.Unmarshal(b.Bytes(), &read))
		require.Contains(t, fmt.Sprint(read), "\u202e.1", "a program reads the name as it is")
	}
}
