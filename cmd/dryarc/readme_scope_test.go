package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What the README shows planners is what the demo's scenarios say, and how far its lines are from falling short as Um rises.
func TestREADMEShowsTheScenariosOfTheDemo(t *testing.T) {
	folder := t.TempDir()
	var said bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"scope", demoProject, "--headroom", "--out", folder, "--as-of", "2026-11-26"}, &said, &said), said.String())
	sentences, _, found := strings.Cut(said.String(), "run ")
	require.True(t, found)
	requireInREADME(t, "scope", "```\n"+sentences+"```\n")

	content, err := os.ReadFile(filepath.Join(folder, "scope.json"))
	require.NoError(t, err)
	var out struct {
		Headroom []struct {
			Line, Duty, Check, Quantity string
			Now                         float64 `json:"now_low"`
			First, P10, P50             *float64
			FailFirst                   []struct{ Structure string } `json:"fail_first"`
		}
	}
	require.NoError(t, json.Unmarshal(content, &out))
	var table strings.Builder
	table.WriteString("| line | duty | today | all meet up to | 10 % short above | half short above | first |\n| --- | --- | --- | --- | --- | --- | --- |\n")
	rows := 0
	for _, c := range out.Headroom {
		if c.Check != "creepage" || c.Quantity != "highest voltage" || c.Line != "SD-132" && c.Line != "DP-33" {
			continue
		}
		rows++
		fmt.Fprintf(&table, "| %s | %s | %g kV | %.1f kV | %.1f kV | %.1f kV | %s |\n", c.Line, c.Duty, c.Now, *c.First, *c.P10, *c.P50, c.FailFirst[0].Structure)
	}
	require.Equal(t, 6, rows)
	requireInREADME(t, "headroom", table.String())
}
