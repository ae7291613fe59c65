package main

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"

	"github.com/stretchr/testify/require"
)

// forgettable are columns of numbers that may be blank later though something fell short while they stated a figure: no verdict that
// meets rests on them.
var forgettable = map[string]string{
	"Lines.Arm length": "beside a wall distance, as the island has it, no verdict goes by it; TestWhatLoadsRestOnLost has one alone",
	"Units.Price":      "only remedies ask for it",
}

// A figure that was stated when something fell short, and is not any more, clears nothing. So each column of numbers is among those that an
// exception notes, or it is said why not; grading rings too, which are words.
func TestNumericColumnsAreNotedOfExceptions(t *testing.T) {
	t.Parallel()
	in, folder := island(t), t.TempDir()
	columns := in.columns("Assemblies")
	for _, row := range in.sheets["Assemblies"][1:] {
		row[slices.Index(columns, "Grading rings")] = "live"
	}
	for _, row := range in.sheets["Assemblies"][1:] { // strings in parallel that go by their number alone
		if row[slices.Index(columns, "Strings")] == "2" && row[slices.Index(columns, "Arrangement")] == "parallel" {
			row[slices.Index(columns, "Arrangement")] = ""
		}
	}
	in.writeAll(t, folder)
	arranged := func() *audit.Result {
		project, err := read.Project(context.Background(), filepath.Join(folder, "audit.yaml"))
		require.NoError(t, err)
		network, err := audit.Arrange(project)
		require.NoError(t, err)
		require.NoError(t, audit.Derive(context.Background(), network, 1))
		return &audit.Result{Project: project, Network: network, Checks: []*audit.Check{{}}} // one that rests on any figure
	}
	before := arranged()
	var places []audit.Location
	_, err := audit.Assess(context.Background(), before.Network, checks.All(), audit.Options{Workers: 1, Each: func(_ int, at audit.Location, _ audit.Verdict) {
		places = append(places, at)
	}})
	require.NoError(t, err)
	slices.SortFunc(places, func(a, b audit.Location) int { return strings.Compare(fmt.Sprint(a), fmt.Sprint(b)) })
	places = slices.Compact(places)

	for _, sheet := range read.Sheets() {
		for _, column := range sheet.Columns {
			name := sheet.Name + "." + column.Name
			if !column.Number && name != "Assemblies.Grading rings" {
				continue
			}
			at := slices.Index(in.columns(sheet.Name), column.Name)
			require.NotEqual(t, -1, at, "%s is not in the island", name)
			was := map[int]string{}
			for i, row := range in.sheets[sheet.Name][1:] {
				was[i+1], row[at] = row[at], ""
			}
			in.write(t, folder, sheet.Name)
			after := arranged()
			require.Equal(t, before.Project.Assemblies.Len(), after.Project.Assemblies.Len(), name)
			require.Equal(t, before.Network.StructureCount(), after.Network.StructureCount(), name)
			lost := ""
			for i := range places {
				if lost = lostAt(before, after, &places[i]); lost != "" {
					break
				}
			}
			if why, is := forgettable[name]; is {
				require.Empty(t, lost, "%s is noted, though %s", name, why)
			} else {
				require.NotEmpty(t, lost, "%s is noted of no exception", name)
			}
			for i, cell := range was {
				in.sheets[sheet.Name][i][at] = cell
			}
			in.write(t, folder, sheet.Name)
		}
	}
}

// lostAt says what was stated at a place and is blank now, in words.
func lostAt(before, after *audit.Result, at *audit.Location) string {
	numbered := func(number string) (int, bool) {
		line := &after.Network.Lines[at.Line]
		for i := line.First; i < line.End; i++ {
			if after.Network.Number(i) == number {
				return i, true
			}
		}
		return 0, false
	}
	if words, _ := after.Unstated(0, before.RestsOn(0, at), audit.NoDay, at, numbered); words != "" {
		return words
	}
	stated, _ := before.Defaulted(at)
	_, blank := after.Defaulted(at)
	for _, column := range stated {
		if slices.Contains(blank, column) {
			return column
		}
	}
	return ""
}
