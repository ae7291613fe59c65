package main

import (
	"bytes"
	"context"
	"testing"

	"github.com/stretchr/testify/require"
)

// What nobody can mean on the command line is answered with what may be meant.
func TestSuggestions(t *testing.T) {
	for _, c := range []struct {
		args []string
		says []string
	}{
		{[]string{"audti", demoProject}, []string{`unexpected argument audti, did you mean "audit"?`}},
		{[]string{"audit", demoProject, "--fial-on", "note"}, []string{`did you mean "--fail-on"?`}},
		{[]string{"audit", demoProject, "--fail-on", "shortfal"}, []string{`hint: did you mean "shortfall"`}},
		{[]string{"audit", demoProject, "--format", "jsn"}, []string{`--format "jsn" is none of text, json`, `hint: did you mean "json"?`}},
		{[]string{"audit", demoProject, "--also", "csv,gpgk"}, []string{`--also "gpgk" is none of csv, gpkg`, `hint: did you mean "gpkg"?`}},
		{[]string{"audit", demoProject, "--also", "shapes"}, []string{`--also "shapes" is none of csv, gpkg`}},
		{[]string{"audit", demoProject, "--lines", "DF220,DP_33,nowhere"}, []string{
			"line \"DF220\" is no line of the structures\n  hint: did you mean \"DF-220\"?",
			"line \"DP_33\" is no line of the structures\n  hint: did you mean \"DP-33\"",
			"line \"nowhere\" is no line of the structures\n  hint: the lines are \"DF-220\", \"DP-33\", \"DP-33-T1\", \"SD-132\"",
		}},
		{[]string{"explain", demoProject, "SD 132", "1"}, []string{`hint: did you mean "SD-132"?`}},
		{[]string{"explain", demoProject, "SD-132", "one"}, []string{`structure "one" is no structure of line "SD-132"`, "hint: the structures of the line are "}},
		{[]string{"checks", "crepage"}, []string{`check "crepage" is not known`, `hint: did you mean "creepage"?`}},
	} {
		var stdout, stderr bytes.Buffer
		args := c.args
		if args[0] == "audit" {
			args = append(args, "--out", t.TempDir())
		}
		require.Equal(t, exitUsage, run(context.Background(), args, &stdout, &stderr), args)
		require.Empty(t, stdout.String())
		for _, text := range c.says {
			require.Contains(t, stderr.String(), text)
		}
	}
}

func TestVersionAsAFlag(t *testing.T) {
	for _, args := range [][]string{{"version"}, {"--version"}} {
		var stdout, stderr bytes.Buffer
		require.Equal(t, exitDone, run(context.Background(), args, &stdout, &stderr))
		require.Equal(t, "dryarc "+version+"\n", stdout.String())
		require.Empty(t, stderr.String())
	}
}
