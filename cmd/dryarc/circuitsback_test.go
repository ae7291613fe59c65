package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The circuits of a line are blank for a night and then named as they were: what stood before stands, and what was new on that night, when
// rows of two circuits had one key, is not kept for ever as what cannot be judged. Where a row cannot be read by then it is.
func TestCircuitsAreBlankForANight(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	put := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o666))
	}
	rows := func(circuits, replaced, by string) string {
		text := "Line,Structure,Circuit,Phase,Side,Duty,Unit,Units per string\n"
		for s := range 6 {
			for c := range 2 {
				for _, phase := range "ABC" {
					duty := []string{"", "suspension"}
					if s == 0 || s == 5 {
						duty = []string{map[int]string{0: "ahead", 5: "back"}[s], "tension"}
					}
					unit := [...]string{"U70BL,12", "U120B,11"}[c]
					if s == 2 && c == 1 && phase == 'A' {
						unit = "U120B,6"
					}
					text += fmt.Sprintf("F1,%d,%c,%c,%s,%s,%s\n", s+1, circuits[c], phase, duty[0], duty[1], unit)
				}
			}
		}
		return strings.ReplaceAll(strings.Replace(text, replaced, by, 1), ", ,", ",,")
	}
	structures := ""
	for s := range 6 {
		structures += fmt.Sprintf(`{"type":"Feature","properties":{"line":"F1","structure":"%d","sequence":%d},"geometry":{"type":"Point","coordinates":[%.3f,50]}}`+"\n", s+1, s+1, 10+0.003*float64(s))
	}
	put("structures.geojson", structures)
	put("Lines.csv", "Line,Circuits,Phases,Nominal voltage (kV)\nF1,2,\"A,B,C\",132\n")
	put("audit.yaml", "title: Circuits\nstructures: {file: structures.geojson}\nregister: [{file: Assemblies.csv}, {file: Lines.csv}]\ncriteria: {default_class: c}\n")
	night := func(out, day, register string) (said told) {
		put("Assemblies.csv", register)
		code, stderr := auditSince(t, filepath.Join(folder, "audit.yaml"), filepath.Join(folder, out), day)
		require.Equal(t, exitDone, code, stderr)
		raw, err := os.ReadFile(filepath.Join(folder, out, "audit.json"))
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(raw, &said))
		return said
	}
	named := rows("12", "", "")
	first := night("out", "2026-01-01", named)
	blank := night("out", "2026-01-02", rows("  ", "", ""))
	for _, e := range blank.Exceptions {
		require.Equal(t, "standing", e.State, "rows of which nobody knows the circuit are not odd beside each other")
	}
	require.NoError(t, os.CopyFS(filepath.Join(folder, "unread"), os.DirFS(filepath.Join(folder, "out"))))

	back := night("out", "2026-01-03", named)
	for _, e := range back.Cleared {
		require.NotEqual(t, "not assessed", e.Why, e)
	}
	require.Len(t, back.Exceptions, len(first.Exceptions))
	for _, e := range back.Exceptions {
		require.Equal(t, []string{"standing", "2026-01-01"}, []string{e.State, e.First}, e)
	}

	kept := 0
	for _, e := range night("unread", "2026-01-03", rows("12", "F1,3,2,A,,suspension,U120B,6", "F1,3,2,A,,suspension,U120B,some")).Cleared {
		if e.Why == "not assessed" && e.Structure == "3" && e.Phase == "A" && e.Check == "creepage" {
			kept++
		}
	}
	require.Positive(t, kept, "a row that it may be of cannot be read")
}
