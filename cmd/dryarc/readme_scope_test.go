package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// What the README shows planners is what the demo's scenarios say, and how far its lines are from falling short as Um rises.
func TestREADMEShowsTheScenariosOfTheDemo(t *testing.T) {
	t.Parallel()
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
			LoadCase                    string  `json:"load_case"`
			Now                         float64 `json:"now_low"`
			First, P10, P50             *float64
			FailFirst                   []struct{ Structure string } `json:"fail_first"`
		}
	}
	require.NoError(t, json.Unmarshal(content, &out))
	shown := shownLimits(t, filepath.Join(folder, "scope.xlsx"))
	var table strings.Builder
	table.WriteString("| line | duty | today | all meet up to | 10 % short above | half short above | first |\n| --- | --- | --- | --- | --- | --- | --- |\n")
	rows, compared := 0, 0
	for _, c := range out.Headroom {
		of := shown[[4]string{c.Line, c.Duty, c.Check, c.Quantity}]
		for k, exact := range [...]*float64{c.First, c.P10, c.P50} {
			if exact == nil || c.LoadCase != "" {
				continue
			}
			figure, err := strconv.ParseFloat(strings.ReplaceAll(of[k], ",", ""), 64)
			require.NoError(t, err, "%v", c)
			require.LessOrEqual(t, figure, *exact, "%s %s %s", c.Line, c.Duty, c.Check)
			compared++
		}
		if c.Check != "creepage" || c.Quantity != "highest voltage" || c.Line != "SD-132" && c.Line != "DP-33" {
			continue
		}
		rows++
		fmt.Fprintf(&table, "| %s | %s | %g kV | %s kV | %s kV | %s kV | %s |\n", c.Line, c.Duty, c.Now, of[0], of[1], of[2], c.FailFirst[0].Structure)
	}
	require.Equal(t, 6, rows)
	require.Greater(t, compared, 30)
	requireInREADME(t, "headroom", table.String())
}

// shownLimits are the values that the sheet Headroom shows of the lines as they stand, up to which all meet and above which 10 % and half fall short, by line,
// duty, check and quantity.
func shownLimits(t *testing.T, file string) map[[4]string][3]string {
	t.Helper()
	book, err := excelize.OpenFile(file)
	require.NoError(t, err)
	defer book.Close()
	rows, err := book.GetRows("Headroom")
	require.NoError(t, err)
	require.Equal(t, []string{"All meet up to", "1 % short above", "10 % short above", "Half short above"}, rows[4][10:14])
	shown := map[[4]string][3]string{}
	for _, row := range rows[5:] {
		if len(row) > 0 && row[0] == "today" {
			row = append(row, "", "", "", "")
			shown[[4]string(row[1:5])] = [3]string{row[10], row[12], row[13]}
		}
	}
	return shown
}
