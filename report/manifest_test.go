package report

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What an output says of the others is read the same however it is broken off or spelled, as where it is read whole.
func TestManifestContent(t *testing.T) {
	const whole = `{"run": {"id": "a1", "as_of": "2026-11-26", "outputs": [{"file": "scope.xlsx"}]}, "coverage": [{"a": 1}, 2], "count": 3,
		"scenarios": [{"name": "x", "set": {"k": ["v"]}, "exceptions": [{"id": "e"}, {"id": "f"}], "none": null}, {"name": "y"}], "lines": []}`
	texts := []string{whole, "[]", "3", "null", "", "{", `{"coverage": []}`, `{"run": 3}`, `{"run": null}`, `{"scenarios": 3, "run": {"id": "b"}}`, `{"scenarios": [3, [{}]]}`,
		`{"coverage": [1 2]}`, `{"coverage" 3}`, `{"scenarios": [{"a": [1,}]}]}`, `{3: 4}`, whole + "x", strings.Replace(whole, "null", "nul", 1)}
	for end := range len(whole) {
		texts = append(texts, whole[:end])
	}
	for _, text := range texts {
		var got, want manifestContent
		found := got.read(json.NewDecoder(strings.NewReader(text)))
		wanted := json.NewDecoder(strings.NewReader(text)).Decode(&want)
		require.Equal(t, wanted == nil, found == nil, "%q: %v, and whole %v", text, found, wanted)
		if wanted == nil {
			require.Equal(t, want, got, text)
		}
	}
}

// The other outputs are told by the start of a manifest as by the whole, where it begins as runs write it.
func TestManifestListedAtStart(t *testing.T) {
	dir := t.TempDir()
	r, jobs := demoJobs(t)
	_, err := Write(context.Background(), dir, r, jobs, How{})
	require.NoError(t, err)
	path := filepath.Join(dir, AuditFile)
	_, want, _, err := readManifest(path)
	require.NoError(t, err)
	require.NotEmpty(t, want)
	whole := read(t, dir, AuditFile)
	for _, text := range []string{whole, whole[:len(whole)/2]} {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
		got, ok := listedAtStart(path)
		require.True(t, ok)
		require.Equal(t, want, got)
	}
	for _, text := range []string{"", "{", whole[:100], `{"coverage": [], "run": {"outputs": []}}`, `{"run": {"id": "a1"}}`, `["run", {"outputs": []}]`} {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
		_, ok := listedAtStart(path)
		require.False(t, ok, text)
	}
}

// Of a scenario with many exceptions one is held at a time.
func TestManifestIsNotHeldWhole(t *testing.T) {
	in, out := io.Pipe()
	go func() {
		fmt.Fprint(out, `{"run": {"id": "a1", "outputs": []}, "scenarios": [{"exceptions": [`)
		line := strings.Repeat("x", 1000)
		for range 40_000 {
			fmt.Fprintf(out, `{"reason": %q},`, line)
		}
		fmt.Fprint(out, `{}]}]}`)
		out.Close()
	}()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	var content manifestContent
	require.NoError(t, content.read(json.NewDecoder(in)))
	runtime.ReadMemStats(&after)
	require.Equal(t, "a1", content.Run.ID)
	require.Less(t, after.Sys-before.Sys, uint64(30<<20), "of 40 MB")
}
