package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Names of lines and numbers of structures go to others: what was known goes by places, or is gone; what bears the name now answers for
// nothing, and no decision speaks for it. The first two lines are short at structure 3 and at structures 4 and 5, each in phase A.
func TestNamesAndNumbersOfOtherPlaces(t *testing.T) {
	t.Parallel()
	const elsewhere = "and its number is that of another structure now"
	for name, c := range map[string]struct {
		work    func(y *year)
		found   []string // line, structure, state, decision
		cleared []string // line, structure, why
		detail  string
		worth   string
	}{
		"a structure is taken down, and its number and those behind it are given anew": {
			work: func(y *year) {
				line := y.lines[0]
				line.towers = slices.Delete(line.towers, 2, 3)
				for _, tw := range line.towers[2:] {
					tw.number = fmt.Sprint(tw.position/100 - 1)
				}
			},
			found: []string{"L1 4 standing accept", "L1 5 standing"}, cleared: []string{"L0 3 gone"}, detail: elsewhere, worth: "matches nothing",
		},
		"a line is gone, and another has its name": {
			work: func(y *year) {
				y.lines[0].name, y.lines[1].name = "N0", "L0" // the first is built, and stands far away
				for _, tw := range y.lines[0].towers {
					tw.units = [3]int{14, 14, 14}
					tw.position += 1_000_000
				}
			},
			found: []string{"L0 4 standing accept", "L0 5 standing"}, cleared: []string{"L0 3 gone"}, detail: "its name is that of another line now, which was L1", worth: "matches nothing",
		},
		"a line gets a name, and another the one that it had": {
			work:  func(y *year) { y.lines[0].name, y.lines[1].name = "M0", "L0" },
			found: []string{"L0 4 standing accept", "L0 5 standing", "M0 3 standing accept"},
		},
		"two lines trade names": {
			work:  func(y *year) { y.lines[0].name, y.lines[1].name = "L1", "L0" },
			found: []string{"L0 4 standing accept", "L0 5 standing", "L1 3 standing accept"},
		},
		"two lines trade names, and what was wrong is mended": {
			work: func(y *year) {
				y.lines[0].name, y.lines[1].name = "L1", "L0"
				y.lines[0].towers[2].units[0] = 14
			},
			found: []string{"L0 4 standing accept", "L0 5 standing"}, cleared: []string{"L0 3 meets"}, detail: "now 4130", worth: "settled",
		},
		"a line trades names with one of which nothing is known": {
			work:  func(y *year) { y.lines[0].name, y.lines[2].name = "L2", "L0" },
			found: []string{"L1 4 standing accept", "L1 5 standing", "L2 3 new"}, cleared: []string{"L0 3 not assessed"}, detail: "where it stood is L2, which was there before: whether that is the same line cannot be told", worth: "not assessed",
		},
		"a structure is measured anew": {
			work:  func(y *year) { y.lines[0].towers[2].position += 5 }, // 3.6 m
			found: []string{"L0 3 standing accept", "L1 4 standing accept", "L1 5 standing"},
		},
		"a structure stands farther than it is measured wrong": {
			work:  func(y *year) { y.lines[0].towers[2].position += 40 },
			found: []string{"L0 3 new", "L1 4 standing accept", "L1 5 standing"}, cleared: []string{"L0 3 gone"}, detail: elsewhere, worth: "lapsed",
		},
	} {
		for _, of := range []string{"exception", "structure and check", "structure"} {
			t.Run(name+", "+of, func(t *testing.T) {
				y := newYear(t)
				for _, line := range y.lines {
					for _, tw := range line.towers {
						tw.units = [3]int{14, 14, 14}
					}
				}
				y.lines[0].towers[2].units[0], y.lines[1].towers[3].units[0], y.lines[1].towers[4].units[0] = 8, 8, 8
				y.write()
				y.asOf = "2026-03-01"
				decisions := "exception,line,structure,check,decision,until,by,reason,decided,ended,was\n"
				for _, e := range y.audit(y.lines).Exceptions {
					if e.Structure != "5" {
						decisions += map[string]string{"exception": e.ID + ",,,", "structure and check": "," + e.Line + "," + e.Structure + ",creepage", "structure": "," + e.Line + "," + e.Structure + ","}[of] + ",accept\n"
					}
				}
				y.put("decisions.csv", decisions)
				y.asOf = "2026-03-02"
				y.audit(y.lines)
				c.work(y)
				y.write()
				y.asOf = "2026-03-03"
				said := y.audit(y.lines)
				look := func(said told, first string) {
					var found, cleared []string
					for _, e := range said.Exceptions {
						text := e.Line + " " + e.Structure + " " + e.State
						if e.Decision != nil && e.Decision.Status == "in force" {
							text += " " + e.Decision.Decision
						}
						found = append(found, text)
						require.Equal(t, e.State == "new", e.First == first, text)
					}
					for _, e := range said.Cleared {
						cleared = append(cleared, e.Line+" "+e.Structure+" "+e.Why)
						require.Contains(t, e.Detail, c.detail)
					}
					slices.Sort(found)
					require.Equal(t, c.found, found)
					require.Equal(t, c.cleared, cleared)
					require.Empty(t, said.Run.Decisions.Removed)
				}
				look(said, "2026-03-03")
				if c.worth != "" {
					report, err := os.ReadFile(filepath.Join(y.folder, "out", "audit.json"))
					require.NoError(t, err)
					require.Contains(t, string(report), map[string]string{"matches nothing": `"unmatched":1,`, "settled": `"settled":1,`, "not assessed": `"not_assessed":1,`, "lapsed": `"lapsed":1,`}[c.worth])
				}
				kept, decided := snapshot(t, filepath.Join(y.folder, "out")), y.decisions()
				look(y.audit(y.lines), "2026-03-03")
				require.Equal(t, kept, snapshot(t, filepath.Join(y.folder, "out")), "repeated")
				require.Equal(t, decided, y.decisions(), "repeated")
				y.asOf = "2026-03-04"
				for _, e := range y.audit(y.lines).Exceptions {
					require.Equal(t, "standing", e.State)
				}
			})
		}
	}
}

func (y *year) decisions() string {
	text, err := os.ReadFile(filepath.Join(y.folder, "decisions.csv"))
	require.NoError(y.t, err)
	return strings.TrimSpace(string(text))
}
