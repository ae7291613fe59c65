package main

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

const andesProject = `title: lines of the real case
structures: {file: structures.geojson}
zones: {file: zones.geojson}
register: {file: [Assemblies.csv, Lines.csv, Units.csv]}
criteria: {deviation_limit_deg: 2, default_class: b, position_accuracy_m: 0, creepage_basis: unified}
`

// andesLines is how many lines of the real case the seed chooses, of at most so many structures, beside those that stand
// on a structure of theirs.
const (
	andesLines      = 12
	andesStructures = 120
)

// The same on lines of the real case, whose properties are renamed to those that are looked for.
func TestUnreadableAndes(t *testing.T) {
	t.Parallel()
	folder := andesCase(t)
	structures := readLayer(t, filepath.Join(folder, "structures.geojson"))
	zones := readLayer(t, filepath.Join(folder, "zones.geojson"))
	workbook, err := os.ReadFile(filepath.Join(folder, "assemblies.xlsx"))
	require.NoError(t, err)
	book := demoCells(t, workbook)
	known := readKnownBreaks(t)
	found := disturb(t, func() *inputs { return sampleOfAndes(structures, zones, book) }, 1, nil)
	known.require(t, found, false)
}

func sampleOfAndes(structures, zones *layer, book []demoSheetCells) *inputs {
	chosen := someLines(structures)
	in := &inputs{project: andesProject, sheets: map[string][][]string{}, layers: map[string]*layer{
		"structures": {Type: structures.Type}, "zones": {Type: zones.Type},
	}}
	rename := func(f *feature, names map[string]string) *feature {
		properties := map[string]any{}
		for from, to := range names {
			if value, given := f.Properties[from]; given {
				properties[to] = value
			}
		}
		return &feature{Type: f.Type, Properties: properties, Geometry: f.Geometry}
	}
	for _, f := range structures.Features {
		if chosen[f.Properties["line_id"].(string)] {
			in.layers["structures"].Features = append(in.layers["structures"].Features,
				rename(f, map[string]string{"line_id": "line", "tower_no": "structure", "seq": "sequence", "ground_m": "ground_m"}))
		}
	}
	for _, f := range zones.Features {
		in.layers["zones"].Features = append(in.layers["zones"].Features, rename(f, map[string]string{"sps": "class", "label": "label"}))
	}
	for _, sheet := range book {
		kept := [][]string{slices.Clone(sheet.rows[0])}
		for _, row := range evenRows(sheet.rows)[1:] {
			if sheet.name == "Units" || chosen[row[0]] {
				kept = append(kept, slices.Clone(row))
			}
		}
		in.sheets[sheet.name] = kept
	}
	return in
}

// someLines chooses lines by the seed, and those that share a position with one of them.
func someLines(structures *layer) map[string]bool {
	count, at := map[string]int{}, map[string][]string{}
	var names []string
	for _, f := range structures.Features {
		line := f.Properties["line_id"].(string)
		if count[line] == 0 {
			names = append(names, line)
		}
		count[line]++
		place := string(bytes.TrimSpace(mustCompact(f.Geometry)))
		at[place] = append(at[place], line)
	}
	slices.Sort(names)
	random := rand.New(rand.NewPCG(unreadableSeed, 0))
	random.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
	chosen := map[string]bool{}
	for _, name := range names {
		if len(chosen) < andesLines && count[name] <= andesStructures {
			chosen[name] = true
		}
	}
	first := chosen
	chosen = map[string]bool{}
	for _, lines := range at {
		if slices.ContainsFunc(lines, func(line string) bool { return first[line] }) {
			for _, line := range lines {
				if count[line] <= andesStructures {
					chosen[line] = true
				}
			}
		}
	}
	return chosen
}

func mustCompact(raw json.RawMessage) []byte {
	var text bytes.Buffer
	if err := json.Compact(&text, raw); err != nil {
		return raw
	}
	return text.Bytes()
}
