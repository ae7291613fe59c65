package main

import (
	"encoding/csv"
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// demoInTexts writes the demo project with its register as files of text, the rows of which, and the features of the
// layers, stand in an order of chance; a nil order leaves them as they are.
func demoInTexts(t *testing.T, order *rand.Rand) (project string) {
	t.Helper()
	source, folder := filepath.Dir(demoProject), t.TempDir()
	shuffle := func(n int, swap func(i, j int)) {
		if order != nil {
			order.Shuffle(n, swap)
		}
	}
	var files []string
	for sheet, rows := range cellsOf(t, filepath.Join(source, "assemblies.xlsx")) {
		name := sheet + ".csv"
		files = append(files, name)
		for i := range rows {
			rows[i] = append(rows[i], make([]string, len(rows[0])-len(rows[i]))...)
		}
		shuffle(len(rows)-1, func(i, j int) { rows[i+1], rows[j+1] = rows[j+1], rows[i+1] })
		file, err := os.Create(filepath.Join(folder, name))
		require.NoError(t, err)
		require.NoError(t, csv.NewWriter(file).WriteAll(rows))
		require.NoError(t, file.Close())
	}
	slices.Sort(files)
	for _, layer := range []string{"structures.geojson", "zones.geojson", "crossings.geojson", "places.geojson"} {
		raw, err := os.ReadFile(filepath.Join(source, layer))
		require.NoError(t, err)
		var collection map[string]any
		require.NoError(t, json.Unmarshal(raw, &collection))
		features := collection["features"].([]any)
		shuffle(len(features), func(i, j int) { features[i], features[j] = features[j], features[i] })
		raw, err = json.Marshal(collection)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(folder, layer), raw, 0o666))
	}
	inspections, err := os.ReadFile(filepath.Join(source, "inspections.csv"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "inspections.csv"), inspections, 0o666))
	yaml, err := os.ReadFile(demoProject)
	require.NoError(t, err)
	project = filepath.Join(folder, "audit.yaml")
	text := strings.Replace(string(yaml), "file: assemblies.xlsx", "file: ["+strings.Join(files, ", ")+"]", 1)
	require.NoError(t, os.WriteFile(project, []byte(text), 0o666))
	return project
}

// withoutRows takes out of audit.json what must differ between shuffled inputs: rows, hashes and the run's id.
func withoutRows(t *testing.T, value any) any {
	t.Helper()
	switch v := value.(type) {
	case map[string]any:
		for _, name := range []string{"row", "sha256", "id"} {
			delete(v, name)
		}
		for name := range v {
			v[name] = withoutRows(t, v[name])
		}
	case []any:
		for i := range v {
			v[i] = withoutRows(t, v[i])
		}
	}
	return value
}

// The order of rows and features says nothing, so it changes nothing.
func TestShuffledInputs(t *testing.T) {
	t.Parallel()
	type outcome struct {
		audit      any
		exceptions [][]string
	}
	auditOf := func(order *rand.Rand) (o outcome) {
		out := t.TempDir()
		auditInto(t, demoInTexts(t, order), out, "--also", "csv")
		raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(raw, &o.audit))
		o.audit = withoutRows(t, o.audit)
		raw, err = os.ReadFile(filepath.Join(out, "exceptions.csv"))
		require.NoError(t, err)
		o.exceptions, err = csv.NewReader(strings.NewReader(string(raw))).ReadAll()
		require.NoError(t, err)
		at := slices.Index(o.exceptions[0], "row")
		for i, row := range o.exceptions {
			o.exceptions[i] = slices.Delete(row[:len(row)-1], at, at+1) // without row and, last, run
		}
		return o
	}
	want := auditOf(nil)
	require.Greater(t, len(want.exceptions), 20)
	for seed := range uint64(3) {
		got := auditOf(rand.New(rand.NewPCG(seed, 7)))
		require.Equal(t, want.exceptions, got.exceptions)
		require.Equal(t, want.audit, got.audit)
	}
}
