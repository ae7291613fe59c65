package main

import (
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// line matches the line number in the list of survivors.
var line = regexp.MustCompile(`\.go:\d+\t`)

// section is what stands below a heading of the output, line numbers left out.
func section(t *testing.T, out, heading string) []string {
	_, rest, found := strings.Cut(out, "\n"+heading+":\n")
	require.True(t, found, "no %q in\n%s", heading, out)
	text, _, _ := strings.Cut("\n"+rest, "\n\n")
	if text = strings.TrimSpace(text); text == "" {
		return nil
	}
	return strings.Split(line.ReplaceAllString(text, ".go\t"), "\n")
}

// mutateTiny makes a run over the package tiny with a list of changes that make no difference.
func mutateTiny(t *testing.T, known string, arguments ...string) (code int, out string) {
	list := filepath.Join(t.TempDir(), "known.txt")
	require.NoError(t, os.WriteFile(list, []byte(known), 0o600))
	var stdout, stderr strings.Builder
	code = run(t.Context(), append([]string{"-packages", "./testdata/tiny", "-tests", "./testdata/tiny", "-equivalent", list}, arguments...), &stdout, &stderr)
	require.NotEqual(t, 2, code, stderr.String())
	return code, stdout.String()
}

const tiny = ".ci/mutate/testdata/tiny/tiny.go\t"

func TestSurvivorsAreWhatNoTestFailsOn(t *testing.T) {
	known := tiny + "Doubled\treturned number → 0\tx + x → 0\tnot true, for the test\n" +
		tiny + "Reaches\tcomparison at its boundary\tfigure >= limit → figure > limit\tnot true, for the test\n" +
		tiny + "Gone\t== ↔ !=\ta == b → a != b\tfor the test\n"
	code, out := mutateTiny(t, known, "-n", "1000")
	require.Equal(t, 1, code, out)
	require.Equal(t, []string{
		tiny + "Doubled\t+ ↔ -\tx + x → x - x\t[1 tests reach it]",
		tiny + "Doubled\toperand dropped\tx + x → x\t[1 tests reach it]",
		tiny + "Doubled\toperand dropped\tx + x → x #2\t[1 tests reach it]",
		tiny + "Unwatched\tcomparison at its boundary\tx > 3 → x >= 3\t[no test reaches it]",
		tiny + "Unwatched\tcomparison negated\tx > 3 → x <= 3\t[no test reaches it]",
		tiny + "Unwatched\tcondition forced false\tx > 3 → false\t[no test reaches it]",
		tiny + "Unwatched\tcondition forced true\tx > 3 → true\t[no test reaches it]",
		tiny + "Unwatched\tinteger constant +1\t3 → (3+1)\t[no test reaches it]",
		tiny + "Unwatched\tinteger constant -1\t3 → (3-1)\t[no test reaches it]",
		tiny + "Sum\tinteger constant +1\t0 → (0+1) #2\t[1 tests reach it]", // the sum may start at 1 as well
	}, section(t, out, "Survived"))
	require.Equal(t, []string{tiny + "Doubled\treturned number → 0\tx + x → 0\tnot true, for the test"}, section(t, out, "Survived and make no difference"))
	require.Equal(t, []string{
		tiny + "Reaches\tcomparison at its boundary\tfigure >= limit → figure > limit\tkilled by dryarc/.ci/mutate/testdata/tiny TestReaches",
		tiny + "Gone\t== ↔ !=\ta == b → a != b\tno such change",
	}, section(t, out, "Known to make no difference, but killed or not there any more"))
}

func TestEnoughKilledIsSuccess(t *testing.T) {
	code, out := mutateTiny(t, "", "-only", "Reaches")
	require.Zero(t, code, out)
	require.Empty(t, section(t, out, "Survived"))
	require.Contains(t, out, "4 killed, 0 survived")
	code, out = mutateTiny(t, "", "-only", "Unwatched", "-atleast", "0")
	require.Zero(t, code, out)
	code, out = mutateTiny(t, "", "-only", "Unwatched", "-atleast", "1")
	require.Equal(t, 1, code, out)
}

func TestSeedDecidesTheSample(t *testing.T) {
	keys := func(seed uint64) (keys []string) {
		packages, err := load(t.Context(), []string{"./testdata/tiny"}, io.Discard)
		require.NoError(t, err)
		sample, _, err := choose(packages, candidates(packages), options{n: 10, seed: seed})
		require.NoError(t, err)
		require.Len(t, sample, 10)
		for i, m := range sample {
			require.Equal(t, i, m.id)
			keys = append(keys, m.key())
		}
		return keys
	}
	require.Equal(t, keys(1), keys(1))
	require.NotEqual(t, keys(1), keys(2))
}

// TestEveryOperator compares all changes of a package with the list beside it; DRYARC_UPDATE=1 writes the list anew.
func TestEveryOperator(t *testing.T) {
	packages, err := load(t.Context(), []string{"./testdata/places"}, io.Discard)
	require.NoError(t, err)
	all := candidates(packages)
	fit, err := fitting(packages, append([]*mutant{}, all...))
	require.NoError(t, err)
	compiles := map[*mutant]bool{}
	for _, m := range fit {
		compiles[m] = true
	}
	var got strings.Builder
	for _, m := range all {
		got.WriteString(strings.TrimPrefix(m.String(), m.file.shown+":"))
		if !compiles[m] {
			got.WriteString("\tdoes not compile")
		}
		got.WriteString("\n")
	}
	list := filepath.Join("testdata", "places", "changes.txt")
	if os.Getenv("DRYARC_UPDATE") != "" {
		require.NoError(t, os.WriteFile(list, []byte(got.String()), 0o600))
	}
	want, err := os.ReadFile(list)
	require.NoError(t, err)
	require.Equal(t, string(want), got.String())
}

func TestListOfEquivalentsIsReadable(t *testing.T) {
	known, err := readEquivalents("equivalent.txt")
	require.NoError(t, err)
	require.NotEmpty(t, known)
}

func TestUnusableInput(t *testing.T) {
	for name, c := range map[string]struct {
		known     string
		arguments []string
		says      string
	}{
		"a reason is missing": {"a.go\tf\t+ ↔ -\ta + b → a - b\n", nil, "known.txt:1: \"a.go\\tf\\t+ ↔ -\\ta + b → a - b\" is not file"},
		"a line twice":        {strings.Repeat("a.go\tf\t+ ↔ -\ta + b → a - b\twhy\n", 2), nil, "known.txt:2"},
		"no such package":     {"", []string{"-packages", "./gone"}, "no package to change"},
		"nothing chosen":      {"", []string{"-only", "nothing like it"}, "no mutant"},
		"words left over":     {"", []string{"more"}, `"more" is not understood`},
	} {
		t.Run(name, func(t *testing.T) {
			list := filepath.Join(t.TempDir(), "known.txt")
			require.NoError(t, os.WriteFile(list, []byte(c.known), 0o600))
			var stdout, stderr strings.Builder
			code := run(t.Context(), append([]string{"-packages", "./testdata/tiny", "-equivalent", list}, c.arguments...), &stdout, &stderr)
			require.Equal(t, 2, code)
			require.Contains(t, stderr.String(), c.says)
		})
	}
}
