package main

import (
	"bytes"
	"compress/gzip"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/klauspost/compress/zstd"
	"github.com/stretchr/testify/require"
)

// inParts writes a project anew whose sheets are files of text and whose layers are parted: each in so many files, found by patterns. Files of the register
// have their columns in turns the other way round, and are compressed by gzip, by zstd and not at all. assemblies tells which part a row goes to;
// nil parts them in their order.
func inParts(t *testing.T, source, register string, parts int, partOf func(row []string) int) (project string) {
	t.Helper()
	folder := t.TempDir()
	yaml, err := os.ReadFile(filepath.Join(source, "audit.yaml"))
	require.NoError(t, err)
	var patterns []string
	for sheet, rows := range cellsOf(t, filepath.Join(source, register)) {
		patterns = append(patterns, fmt.Sprintf("%q", sheet+"-*.csv*"))
		n := 1
		if sheet == "Assemblies" {
			n = parts
		}
		divided := make([][][]string, n)
		for i, row := range rows[1:] {
			part := i * n / len(rows[1:])
			if partOf != nil && n > 1 {
				part = partOf(row)
			}
			divided[part] = append(divided[part], append(row, make([]string, len(rows[0])-len(row))...))
		}
		for part, rowsOf := range divided {
			rowsOf = append([][]string{slices.Clone(rows[0])}, rowsOf...)
			if part%2 == 1 {
				for _, row := range rowsOf {
					slices.Reverse(row)
				}
			}
			var text bytes.Buffer
			require.NoError(t, csv.NewWriter(&text).WriteAll(rowsOf))
			writePacked(t, filepath.Join(folder, fmt.Sprintf("%s-%d.csv", sheet, part+1)), text.Bytes(), part%3)
		}
	}
	text := strings.Replace(string(yaml), "file: "+register, "file: ["+strings.Join(slices.Sorted(slices.Values(patterns)), ", ")+"]", 1)
	if inspections, err := os.ReadFile(filepath.Join(source, "inspections.csv")); err == nil {
		require.NoError(t, os.WriteFile(filepath.Join(folder, "inspections.csv"), inspections, 0o600))
	}
	for _, layer := range []string{"structures", "zones", "crossings", "places"} {
		raw, err := os.ReadFile(filepath.Join(source, layer+".geojson"))
		if os.IsNotExist(err) {
			continue
		}
		require.NoError(t, err)
		var collection map[string]any
		require.NoError(t, json.Unmarshal(raw, &collection))
		features := collection["features"].([]any)
		n := min(parts, len(features))
		for part := range n {
			collection["features"] = features[part*len(features)/n : (part+1)*len(features)/n]
			raw, err = json.Marshal(collection)
			require.NoError(t, err)
			writePacked(t, filepath.Join(folder, fmt.Sprintf("%s-%d.geojson", layer, part+1)), raw, part%3)
		}
		text = strings.Replace(text, "file: "+layer+".geojson", fmt.Sprintf("file: %q", layer+"-*"), 1)
	}
	project = filepath.Join(folder, "audit.yaml")
	require.NoError(t, os.WriteFile(project, []byte(text), 0o666))
	return project
}

// writePacked writes a file as it is (0), compressed by gzip (1) or by zstd (2).
func writePacked(t *testing.T, path string, content []byte, how int) {
	t.Helper()
	var packed bytes.Buffer
	switch how {
	case 1:
		w := gzip.NewWriter(&packed)
		_, err := w.Write(content)
		require.NoError(t, err)
		require.NoError(t, w.Close())
		path, content = path+".gz", packed.Bytes()
	case 2:
		w, err := zstd.NewWriter(&packed)
		require.NoError(t, err)
		_, err = w.Write(content)
		require.NoError(t, err)
		require.NoError(t, w.Close())
		path, content = path+".zst", packed.Bytes()
	}
	require.NoError(t, os.WriteFile(path, content, 0o666))
}

// resultsOf are the parts of audit.json that do not say where anything was read.
func resultsOf(t *testing.T, project string) map[string]any {
	t.Helper()
	out := t.TempDir()
	auditInto(t, project, out)
	raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	var all map[string]any
	require.NoError(t, json.Unmarshal(raw, &all))
	results := map[string]any{}
	for _, member := range []string{"coverage", "lines", "exceptions", "jobs"} {
		results[member] = withoutPlaces(all[member])
	}
	rows := map[string]float64{} // of which a fault is true: of one that many rows have each file tells its own
	for _, fault := range all["faults"].([]any) {
		f := fault.(map[string]any)
		n, several := f["rows"].(float64)
		if !several {
			n = 1
		}
		rows[fmt.Sprint(f["kind"], " ", f["column"], " ", f["value"], " ", f["weight"])] += n
	}
	results["faults"] = rows
	run := all["run"].(map[string]any)
	for _, member := range []string{"rows_read", "rows_placed", "rows_left_out", "structures"} {
		results[member] = run[member]
	}
	return results
}

// withoutPlaces takes out of a part of audit.json the files, sheets and rows.
func withoutPlaces(value any) any {
	switch v := value.(type) {
	case map[string]any:
		delete(v, "at")
		for name := range v {
			v[name] = withoutPlaces(v[name])
		}
	case []any:
		for i := range v {
			v[i] = withoutPlaces(v[i])
		}
	}
	return value
}

// Inputs in many files, each with its own order of columns and its own compression, are read as one.
func TestManyFilesAreReadAsOne(t *testing.T) {
	t.Parallel()
	t.Run("demo", func(t *testing.T) {
		want := resultsOf(t, demoInTexts(t, nil))
		require.Greater(t, len(want["exceptions"].([]any)), 20)
		got := resultsOf(t, inParts(t, filepath.Dir(demoProject), "assemblies.xlsx", 10, nil))
		for member := range want {
			require.Equal(t, want[member], got[member], member)
		}
	})
	t.Run("real case", func(t *testing.T) {
		source := andesCase(t)
		want := resultsOf(t, filepath.Join(source, "audit.yaml"))
		require.Greater(t, len(want["exceptions"].([]any)), 100)
		got := resultsOf(t, inParts(t, source, "assemblies.xlsx", 10, nil))
		for member := range want {
			require.Equal(t, want[member], got[member], member)
		}
	})
}

// Outputs are no inputs: a pattern that reaches into their folder passes them over, also where the next run finds them there.
func TestOutputsAreNotReadAsInputs(t *testing.T) {
	t.Parallel()
	project := demoInTexts(t, nil)
	folder := filepath.Dir(project)
	text, err := os.ReadFile(project)
	require.NoError(t, err)
	text = bytes.Replace(text, []byte("file: [Assemblies.csv, Conductors.csv, Lines.csv, Units.csv]"), []byte(`{file: ["*.csv"], without: [inspections.csv]}`), 1)
	text = bytes.Replace(text, []byte("register:\n  {file"), []byte("register: {file"), 1)
	require.NoError(t, os.WriteFile(project, text, 0o666))
	flags := []string{"--also", "csv,requirements,work,remedied,gpkg,kml,metrics,styles,brief"}
	first := auditInto(t, project, folder+"/out", flags...)
	entries, err := os.ReadDir(filepath.Join(folder, "out"))
	require.NoError(t, err)
	for _, entry := range entries {
		if name := entry.Name(); name != "audit.json" && name != "structures.geojson" {
			require.NoError(t, os.Rename(filepath.Join(folder, "out", name), filepath.Join(folder, name)), name)
		}
	}
	require.NoError(t, os.Rename(filepath.Join(folder, "out", "audit.json"), filepath.Join(folder, "audit.json")))
	again := auditInto(t, project, filepath.Join(folder, "out"), flags...)
	require.Equal(t, first.Run.ID, again.Run.ID)

	require.Contains(t, runs(t, "read", project), `outputs of a run, and passed over: "exceptions.csv", "history.csv", "material.csv", "requirements.csv", "work.csv"`)
	scoped := filepath.Join(folder, "scoped")
	runs(t, "scope", demoProject, "--scenario", "DP-33 in the salt belt", "--also", "register,lines", "--out", scoped)
	entries, err = os.ReadDir(scoped)
	require.NoError(t, err)
	require.Greater(t, len(entries), 4)
	text = append(text, []byte("\n")...)
	text = bytes.Replace(text, []byte("  file: places.geojson\n"), []byte("  file: \"scoped/*\"\n"), 1)
	require.NoError(t, os.WriteFile(project, text, 0o666))
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitInputs, run(t.Context(), []string{"read", project}, &stdout, &stderr))
	require.Contains(t, stderr.String(), `outputs of a run, and passed over: "scoped/scope-lines.xlsx", "scoped/scope-register.xlsx", "scoped/scope.geojson", `)
}
