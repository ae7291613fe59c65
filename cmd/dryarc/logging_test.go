package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestLogAsRecords(t *testing.T) {
	d := newDecidable(t)
	news := filepath.Join(t.TempDir(), "news.txt")
	code, said := d.run("audit", d.project, "--out", d.out, "--as-of", "2026-11-25", "--log", "json", "--also", "metrics", "--notify", news)
	require.Equal(t, exitDone, code, said)
	records := recordsOf(t, said)
	last := records[len(records)-1]
	require.Equal(t, "done", last.Message)
	require.Equal(t, 40, last.Closing.Exceptions.Shortfall)
	require.Equal(t, 73, last.Closing.Changes.New)
	require.NotNil(t, last.Closing.Decisions)
	require.Equal(t, "reading "+d.project, records[0].Message)
	for _, name := range []string{news, strings.TrimSuffix(news, ".txt") + ".html", filepath.Join(d.out, "audit.prom")} {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		require.NotEmpty(t, text)
	}

	code, said = d.run("audit", filepath.Join(d.out, "none.yaml"), "--log", "json")
	require.Equal(t, exitUsage, code)
	records = recordsOf(t, said)
	require.Equal(t, "error", records[len(records)-2].Level)
	require.Contains(t, records[len(records)-2].Message, "none.yaml: does not exist")
	require.Equal(t, "hint", records[len(records)-1].Level)

	before := snapshot(t, d.out)
	alias := filepath.Join(t.TempDir(), "alias")
	require.NoError(t, os.Symlink(d.out, alias))
	const inOutputs = "lies in the folder of the outputs"
	for _, c := range [...][3]string{
		{d.out, "news.html", "ends in .html"}, {d.out, "news.HTML", "ends in .html"}, {d.out, filepath.Join(d.out, "news.txt"), inOutputs},
		{d.out, filepath.Join(alias, "exceptions.xlsx"), inOutputs}, {alias, filepath.Join(d.out, "audit.txt"), inOutputs},
		{d.out + "2", filepath.Join(strings.ToUpper(d.out[len(d.out)-3:])+"2", "audit.txt"), inOutputs},
	} {
		t.Chdir(filepath.Dir(d.out))
		code, said = d.run("audit", d.project, "--out", c[0], "--notify", c[1])
		require.Equal(t, exitUsage, code, c)
		require.Contains(t, said, c[2])
	}
	other := filepath.Join(t.TempDir(), "other")
	require.NoError(t, os.CopyFS(other, os.DirFS(d.out)))
	earlier := filepath.Join(t.TempDir(), "earlier.json")
	require.NoError(t, os.Link(filepath.Join(other, "audit.json"), earlier))
	for _, c := range [...][2]string{{filepath.Join(other, "audit.txt"), "where outputs of a run are, with audit.json"}, {earlier, "with which --since compares"}, {os.DevNull, "is no file (a device or a pipe)"}} {
		code, said = d.run("audit", d.project, "--out", d.out, "--since", earlier, "--notify", c[0])
		require.Equal(t, exitUsage, code, c)
		require.Contains(t, said, c[1])
	}
	for flag, want := range map[string]string{"DECISIONS.csv": "it is the file of decisions", "zones.geojson": "it is the input zones.geojson"} {
		code, said = d.run("audit", d.project, "--out", d.out, "--notify", filepath.Join(filepath.Dir(d.project), flag))
		require.Equal(t, exitOutputs, code, said)
		require.Contains(t, said, want)
	}
	require.Equal(t, before, snapshot(t, d.out))

	var out, errs bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"audit", d.project, "--out", d.out, "--as-of", "2026-11-26", "--format", "json", "--quiet"}, &out, &errs))
	var printed struct {
		Run struct {
			Summary struct{ Headline string }
		}
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &printed))
	require.Equal(t, "since 25 November 2026: nothing new, worse or cleared", printed.Run.Summary.Headline)
}

func recordsOf(t *testing.T, said string) (records []logRecord) {
	t.Helper()
	for line := range strings.SplitSeq(strings.TrimSuffix(said, "\n"), "\n") {
		var r logRecord
		require.NoError(t, json.Unmarshal([]byte(line), &r), line)
		require.NotEmpty(t, r.Message)
		records = append(records, r)
	}
	return records
}
