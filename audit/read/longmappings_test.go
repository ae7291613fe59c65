package read

import (
	"fmt"
	"strings"
	"testing"

	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/stretchr/testify/require"
)

// entries writes a mapping of so many entries, indented.
func entries(n int, indent, format string) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(indent + strings.NewReplacer("@", fmt.Sprint(i)).Replace(format) + "\n")
	}
	return b.String()
}

// TestManyWords holds that the work of reading a project file grows with its entries: the parser alone would copy 1.6 GB for these.
func TestManyWords(t *testing.T) {
	const many = 20_000
	text := "structures: {file: s.geojson}\nwords:\n  Unit:\n" + entries(many, "    ", "u@: U70BL") + "  Duty:\n    anclaje: tension\n"
	var f *projectFile
	var problem *ProjectFileError
	mib := allocated(func() { f, problem = parseProjectFile([]byte(text)) })
	require.Nil(t, problem)
	require.Len(t, f.words.byList[unitList], many)
	require.Equal(t, "tension", f.words.text(dutyList, "Anclaje"))
	require.Less(t, mib, uint64(200))
}

// TestLongMappings holds mappings that are parsed part by part to be what the parser makes of the whole.
func TestLongMappings(t *testing.T) {
	const n = 2*entriesAtOnce + 50
	for name, text := range map[string]string{
		"plain":             entries(n, "", "k@: v@"),
		"short":             entries(3, "", "k@: v@"),
		"exactly one part":  entries(entriesAtOnce, "", "k@: v@"),
		"one more":          "a:\n" + entries(entriesAtOnce+1, "  ", "k@: v@") + "b: c\n",
		"in a section":      "a:\n  b:\n" + entries(n, "    ", "k@: v@") + "  c: d\ne: f\n",
		"two beside":        "a:\n" + entries(n, "  ", "k@: v@") + "b:\n" + entries(n, "  ", "l@: v@") + "c: d\n",
		"within a long one": entries(n, "", "k@: v@") + "a:\n" + entries(n, "  ", "l@: v@") + entries(n, "", "m@: v@"),
		"of mappings":       entries(n, "", "k@:\n  a: 1\n  b: {c: 2, d: [3, 4]}"),
		"of lists":          entries(n, "", "k@:\n- a\n- b: 1\n  c: 2"),
		"in a list":         "a:\n- x: 1\n" + entries(n, "  ", "k@: v@") + "- y: 2\n" + entries(n, "  ", "k@: v@"),
		"comments":          entries(n, "", "# one\nk@: v@ # two"),
		"quoted":            entries(n, "", `"k @": 'v: @'`),
		"literals":          entries(n, "", "k@: |\n  one\n  two: 2"),
		"folded":            entries(n, "", "k@: one\n  two"),
		"no values":         entries(n, "", "k@:"),
		"in braces":         "a: {\n" + entries(n, "  ", "k@: v@,") + "}\n",
		"anchors":           entries(n, "", "&a@ k@: &b@ v@"),
		"marked keys":       entries(n, "", "? k@\n: v@"),
		"header":            "---\n" + entries(n, "", "k@: v@"),
		"two documents":     entries(n, "", "k@: v@") + "---\n" + entries(n, "", "k@: v@"),
	} {
		t.Run(name, func(t *testing.T) {
			want, err := parser.Parse(lexer.Tokenize(text), 0)
			require.NoError(t, err)
			got, problem := parseYAML(lexer.Tokenize(text))
			require.Nil(t, problem)
			require.Len(t, got.Docs, len(want.Docs))
			require.Equal(t, want.String(), got.String())
		})
	}
}

// TestLongMappingsRefused holds what is wrong in a mapping that is parsed part by part to be told with its place.
func TestLongMappingsRefused(t *testing.T) {
	const n = 2*entriesAtOnce + 50
	for name, c := range map[string]struct{ text, want string }{
		"a key twice, far apart":     {entries(n, "", "k@: v@") + "k7: again\n", `p.yaml:451:1: is no valid YAML: mapping key "k7" already defined at [8:1]`},
		"a key twice, near":          {entries(n, "", "k@: v@") + "k449: again\n", `p.yaml:451:1: is no valid YAML: mapping key "k449" already defined at [450:1]`},
		"a list behind":              {entries(n, "", "k@: v@") + "- a\n", `p.yaml:451:1: is no valid YAML: non-map value is specified`},
		"a text behind":              {entries(n, "", "k@: v@") + "alone\n", `p.yaml:451:1: is no valid YAML: non-map value is specified`},
		"an entry too far right":     {entries(n, "", "k@: v@") + "  far: right\n", `p.yaml:450:7: is no valid YAML: mapping value is not allowed in this context`},
		"a bracket that stays open":  {entries(n, "", "k@: v@") + "a: [1\n", `p.yaml:451:4: is no valid YAML: `},
		"unknown key at the far end": {"words:\n  Unit:\n" + entries(n, "    ", "k@: v@") + "wrods: {}\n", `p.yaml:453:1: unknown key "wrods"`},
	} {
		t.Run(name, func(t *testing.T) {
			_, problem := parseProjectFile([]byte(c.text))
			require.NotNil(t, problem)
			problem.File = "p.yaml"
			require.Contains(t, problem.Error(), c.want)
		})
	}
}
