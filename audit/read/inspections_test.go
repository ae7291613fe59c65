package read

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// inspected is the base with inspections, read and arranged as of a day.
func inspected(t *testing.T, b base, files map[string]string, section string) *audit.Network {
	t.Helper()
	p, err := readInspected(t, b, files, section)
	require.NoError(t, err)
	p.AsOf = audit.DayOf("2026-09-01")
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	return n
}

func readInspected(t *testing.T, b base, files map[string]string, section string) (*audit.Project, error) {
	t.Helper()
	b.project += section
	path := b.write(t)
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), name), []byte(text), 0o600))
	}
	return Project(context.Background(), path)
}

// defects are the defective units of the rows, ? where they are not known, and * where an inspection decides.
func defects(n *audit.Network) string {
	var texts []string
	for i, row := range n.Project.Assemblies.All() {
		text := fmt.Sprint(row.Defective)
		if row.Faulty.Has(audit.CellDefective) {
			text = "?"
		}
		if o := n.Project.Observed[uint32(i)]; o != nil && o.Deciding >= 0 {
			text += "*"
		}
		texts = append(texts, text)
	}
	return strings.Join(texts, " ")
}

func states(n *audit.Network) string {
	var texts []string
	for i := range n.Inspected {
		texts = append(texts, n.Inspected[i].State.String())
	}
	return strings.Join(texts, "; ")
}

const inspectionsFile = "inspections: {file: inspections.csv}\n"

// The base has a tension row of ABC with 2 strings of 10 units, none defective, and a suspension row of A with one of 8 units, of which 1 is
// defective; both without dates.
func TestInspectionsAreJoined(t *testing.T) {
	for _, c := range []struct{ name, rows, defects, states string }{
		{"the latest wins over the register", "a,2026-05-01,L1,2,,A,,,8,3", "0 3*", "joined"},
		{"and says that a string is sound", "a,2026-05-01,L1,2,,A,,,8,0", "0 0*", "joined"},
		{"of two the later", "a,2026-05-01,L1,2,,A,,,8,3\nb,2025-05-01,L1,2,,A,,,8,4", "0 3*", "joined; joined"},
		{"of a month and a later year", "a,2025-05,L1,2,,A,,,8,3\nb,2026,L1,2,,A,,,8,4", "0 4*", "joined; joined"},
		{"names of keys in other spellings", "a,2026-05-01,l1,02,Cct 1,A,,,8,3", "0 3*", "joined"},
		{"a blank is not seen, and no zero", "a,2026-05-01,L1,2,,A,,,8,", "0 1", "joined, says nothing of broken units"},
		{"nor is a word for it", "a,2026-05-01,L1,2,,A,,,not seen,not seen", "0 1", "joined, says nothing of broken units"},
		{"none of no units seen is none", "a,2026-05-01,L1,2,,A,,,0,0", "0 1", "joined, says nothing of broken units"},
		{"units that were not seen, and none of them broken", "a,2026-05-01,L1,2,,A,,,not seen,0", "0 1", "joined, says nothing of broken units"},
		{"broken units of those that were not seen", "a,2026-05-01,L1,2,,A,,,not visible,3", "0 ?", "joined, leaves open how many units are broken"},
		{"one day by two clocks", "a,2026-05-02T01:00:00+12:00,L1,2,,A,,,8,0\nb,2026-05-01T20:00:00Z,L1,2,,A,,,8,2", "0 ?", "joined, leaves open how many units are broken; joined, leaves open how many units are broken"},
		{"a clock beside a day without one", "a,2026-05-02T01:00:00+12:00,L1,2,,A,,,8,0\nb,2026-05-01,L1,2,,A,,,8,2", "0 ?", "joined, leaves open how many units are broken; joined, leaves open how many units are broken"},
		{"days of one clock", "a,2026-05-02T01:00:00+12:00,L1,2,,A,,,8,0\nb,2026-05-01T20:00:00+1200,L1,2,,A,,,8,2", "0 0*", "joined; joined"},
		{"days that two clocks cannot mistake", "a,2026-05-04T01:00:00+12:00,L1,2,,A,,,8,0\nb,2026-05-01T20:00:00Z,L1,2,,A,,,8,2", "0 0*", "joined; joined"},
		{"one string of two, one phase of three", "a,2026-05-01,L1,1,,B,ahead,2,10,3", "3* 1", "joined"},
		{"what is broken of two strings is taken to be in one", "a,2026-05-01,L1,1,,B,ahead,,20,3", "3* 1", "joined"},
		{"no more than a string has", "a,2026-05-01,L1,1,,B,ahead,,20,12", "10* 1", "joined"},
		{"the other string was seen later", "a,2026-05-01,L1,1,,B,ahead,1,10,3\nb,2026-06-01,L1,1,,B,ahead,2,10,0", "3* 1", "joined; joined"},
		{"no string is said, and nothing is broken", "a,2026-05-01,L1,1,,,,,60,0", "0* 1", "joined"},

		{"no phase is said, where two of three have no row", "a,2026-05-01,L1,2,,,,,8,0", "0 ?", "joined, leaves open how many units are broken"},
		{"two of one day that differ", "a,2026-05-01,L1,2,,A,,,8,3\nb,2026-05-01,L1,2,,A,,,8,2", "0 ?", "joined, leaves open how many units are broken; joined, leaves open how many units are broken"},
		{"two of one day that agree", "a,2026-05-01,L1,2,,A,,,8,3\na,2026-05-01,L1,2,,A,,,8,3", "0 3*", "joined; joined"},
		{"a later one settles it", "a,2026-05-01,L1,2,,A,,,8,3\nb,2026-05-01,L1,2,,A,,,8,2\nc,2026-06-01,L1,2,,A,,,8,2", "0 2*", "joined; joined; joined"},
		{"a day within a year that differs", "a,2026-05-01,L1,2,,A,,,8,3\nb,2026,L1,2,,A,,,8,2", "0 ?", "joined, leaves open how many units are broken; joined, leaves open how many units are broken"},
		{"broken more than units", "a,2026-05-01,L1,2,,A,,,,9", "0 ?", "joined, leaves open how many units are broken"},
		{"broken more than seen", "a,2026-05-01,L1,2,,A,,,2,3", "0 ?", "joined, leaves open how many units are broken"},
		{"units seen are not those registered", "a,2026-05-01,L1,2,,A,,,7,0", "0 ?", "joined, leaves open how many units are broken"},
		{"a count that cannot be read", "a,2026-05-01,L1,2,,A,,,8,x", "0 ?", "joined, leaves open how many units are broken"},
		{"units seen that cannot be read", "a,2026-05-01,L1,2,,A,,,x,1", "0 ?", "joined, leaves open how many units are broken"},
		{"a date that cannot be read, with another count", "a,x,L1,2,,A,,,8,3", "0 ?", "joined, leaves open how many units are broken"},
		{"without a date, with another count", "a,,L1,2,,A,,,8,3", "0 ?", "joined, leaves open how many units are broken"},
		{"without a date, with the same count", "a,,L1,2,,A,,,8,1", "0 1", "joined"},
		{"later than the audit", "a,2026-10-01,L1,2,,A,,,8,3", "0 ?", "joined, later than the day of the audit"},
		{"a phase that cannot be read", "a,2026-05-01,L1,2,,qq,,,8,3", "0 ?", "joined, leaves open how many units are broken"},
		{"a circuit that cannot be read", "a,2026-05-01,L1,2,#N/A,A,,,8,3", "0 ?", "joined, leaves open how many units are broken"},
		{"a side that cannot be read", "a,2026-05-01,L1,1,,B,east,,20,3", "? 1", "joined, leaves open how many units are broken"},
		{"a string that the assembly has not", "a,2026-05-01,L1,1,,B,ahead,3,10,3", "? 1", "joined, leaves open how many units are broken"},
		{"a string that cannot be read", "a,2026-05-01,L1,1,,B,ahead,x,10,3", "? 1", "joined, leaves open how many units are broken"},
		{"some phase has broken units", "a,2026-05-01,L1,1,,,,,60,3", "? 1", "joined, leaves open how many units are broken"},

		{"no such structure", "a,2026-05-01,L1,9,,A,,,8,3", "0 1", "not joined"},
		{"no such line", "a,2026-05-01,L9,2,,A,,,8,3", "0 1", "not joined"},
		{"nothing registered of the phase", "a,2026-05-01,L1,2,,B,,,8,3", "0 ?", "not joined"},
		{"nothing registered of the circuit", "a,2026-05-01,L1,2,7,A,,,8,3", "0 ?", "not joined"},
		{"nor of such a name of a phase", "a,2026-05-01,L1,2,,middle,,,8,3", "0 ?", "not joined"},
		{"and nothing is broken", "a,2026-05-01,L1,2,,B,,,8,0", "0 1", "not joined"},
		{"but the string was seen since", "a,2026-05-01,L1,2,,B,,,8,3\nb,2026-06-01,L1,2,,A,,,8,0", "0 0*", "not joined; joined"},
		{"nothing registered at all", "a,2026-05-01,L1,3,,B,,,8,3", "0 1", "not joined"},
		{"a structure that cannot be read leaves open what is broken", "a,2026-05-01,L1,#N/A,,A,,,8,3", "? ?", "not joined"},
		{"of the phase alone", "a,2026-05-01,L1,,,B,,,8,3", "? 1", "not joined"},
		{"a line that cannot be read, at structures of the number", "a,2026-05-01,#N/A,2,,A,,,8,3", "0 ?", "not joined"},
		{"but not that nothing is", "a,2026-05-01,L1,#N/A,,A,,,8,0", "0 1", "not joined"},
		{"nor where it was seen to be sound since", "a,2026-05-01,L1,#N/A,,A,,,8,3\nb,2026-06-01,L1,2,,A,,,8,0\nc,2026-06-01,L1,1,,,,,60,0", "0* 0*", "not joined; joined; joined"},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := inspected(t, newBase(), map[string]string{"inspections.csv": "Inspection,Date,Line,Structure,Circuit,Phase,Side,String,Units seen,Units broken\n" + c.rows + "\n"}, inspectionsFile)
			require.Equal(t, c.defects, defects(n), "%v", n.Project.Faults.List())
			require.Equal(t, c.states, states(n))
			if strings.Contains(c.defects, "?") || strings.Contains(c.states, "not joined") {
				require.Positive(t, n.Project.Faults.Mattering(), "nothing is unknown or lost without a word")
			}
			joined, rows := 0, strings.Count(c.rows, "\n")+1
			for i := range n.Inspected {
				if n.Inspected[i].State.IsJoined() {
					joined++
				}
			}
			found := false
			for i, balance := range n.Balances() {
				if n.Project.Tables[i].Kind == inspectionsSheet {
					found = true
					require.Equal(t, audit.Balance{Read: rows, Used: joined, LeftOut: rows - joined}, balance)
				}
			}
			require.True(t, found)
		})
	}
}

// What the register knows of days: the row of the suspension string has dates.
func TestInspectionsAndTheDaysOfTheRegister(t *testing.T) {
	for _, c := range []struct{ name, installed, seen, row, defects, inspectedOn string }{
		{"before it was installed", "2026-01-01", "", "2025-05-01,3", "0 1", ""},
		{"in the year in which it was installed", "2026", "", "2026-05-01,3", "0 ?", ""},
		{"after it was installed", "2025", "", "2026-05-01,3", "0 3*", "2026-05-01"},
		{"installed on a day that cannot be read", "x", "", "2026-05-01,3", "0 ?", ""},
		{"the register is later", "", "2026-06-01", "2026-05-01,3", "0 1", "2026-06-01"},
		{"the register is earlier", "", "2026-04-01", "2026-05-01,3", "0 3*", "2026-05-01"},
		{"the register is of the same day and says otherwise", "", "2026-05-01", "2026-05-01,3", "0 ?", "2026-05-01"},
		{"the register is of the same day and says the same", "", "2026-05-01", "2026-05-01,1", "0 1", "2026-05-01"},
		{"the register is of a day that cannot be read", "", "x", "2026-05-01,3", "0 ?", ""},
		{"on the day on which it was installed", "2026-05-01", "", "2026-05-01,0", "0 ?", "2026-05-01"},
		{"in the month in which it was installed", "2026-05", "", "2026-05-31,0", "0 ?", "2026-05-31"},
		{"the register is later than the audit", "", "2027-05-01", "2026-05-01,3", "0 ?", "2027-05-01"},
		{"installed later than the audit", "2027-05-01", "", "2026-05-01,3", "0 ?", ""},
		{"what was not seen is no inspection", "", "2026-04-01", "2026-05-01,", "0 1", "2026-04-01"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase()
			b.assemblies[0] = append(b.assemblies[0], "Installed", "Inspected")
			b.assemblies[2] = append(b.assemblies[2], c.installed, c.seen)
			n := inspected(t, b, map[string]string{"inspections.csv": "Line,Structure,Phase,Date,Units broken\nL1,2,A," + c.row + "\n"}, inspectionsFile)
			require.Equal(t, c.defects, defects(n), "%v", n.Project.Faults.List())
			require.Equal(t, c.inspectedOn, n.Project.Assemblies.At(1).Inspected.String())
			if strings.Contains(c.name, "later than the audit") {
				require.Contains(t, fmt.Sprint(n.Project.Faults.List()), "2027-05-01 is later than the day of the audit, 2026-09-01")
			}
		})
	}
}

// A blank of the register is taken for none where nothing else is known, and for nothing beside an inspection.
func TestInspectionsOfBlankDefectiveUnits(t *testing.T) {
	b := newBase()
	b.assemblies[0] = append(b.assemblies[0], "Inspected")
	b.assemblies[2][9] = nil
	b.assemblies[2] = append(b.assemblies[2], "2026-08-01")
	n := inspected(t, b, map[string]string{"inspections.csv": "Line,Structure,Phase,Date,Units broken\nL1,2,A,2026-05-01,3\n"}, inspectionsFile)
	require.Equal(t, "0 3*", defects(n))
	require.Zero(t, n.Project.Assemblies.At(1).Blank&audit.BlankDefective)

	b.assemblies[2][9] = "x" // which an inspection before the day of the register does not make readable
	n = inspected(t, b, map[string]string{"inspections.csv": "Line,Structure,Phase,Date,Units broken\nL1,2,A,2026-05-01,3\n"}, inspectionsFile)
	require.Equal(t, "0 ?", defects(n))
	n = inspected(t, b, map[string]string{"inspections.csv": "Line,Structure,Phase,Date,Units broken\nL1,2,A,2026-08-05,3\n"}, inspectionsFile)
	require.Equal(t, "0 3*", defects(n))
}

// An observation of too little confidence adds defective units and takes none away.
func TestInspectionsOfLittleConfidence(t *testing.T) {
	for _, c := range []struct {
		criteria, row, defects string
		sure                   int16
	}{
		{"", "3,0.2", "0 3*", 3},
		{"0.5", "3,0.6", "0 3*", 3},
		{"0.5", "3,0.2", "0 3*", 1},
		{"0.5", "0,0.2", "0 1", 1},
		{"0.5", "0,", "0 0*", 0},
		{"0.5", "0,\nL1,1,A,2026-05-01,0,0.9", "0* ?", -1},
		{"0.5", "1,\nL1,1,A,2026-05-01,0,0.9", "0* 1", 1},
		{"0.5", "3,x", "0 ?", -1},
		{"", "3,x", "0 3*", 3},
	} {
		b := newBase()
		if c.criteria != "" {
			b.project += "criteria: {inspection_confidence: " + c.criteria + "}\n"
		}
		n := inspected(t, b, map[string]string{"inspections.csv": "Line,Structure,Phase,Date,Units broken,Confidence\nL1,2,A,2026-05-01," + c.row + "\n"}, inspectionsFile)
		require.Equal(t, c.defects, defects(n), c)
		require.Equal(t, c.sure, n.Project.Observed[1].Sure, c)
	}
}

// What may not have been seen of a string, or is of who knows how much confidence, is no day on which it was inspected.
func TestInspectionsInDoubtDateNothing(t *testing.T) {
	for rows, day := range map[string]string{
		"A,0,0.9": "2026-05-01", "A,2,0.9": "2026-05-01", ",0,0.9": "", // of the phases that have no row there
		"A,0,0.2": "", "A,0,\nL1,1,A,2026-05-01,0,0.9": "", "A,0,sure": "", "first and last,0,0.9": "",
	} {
		b := newBase()
		b.project += "criteria: {inspection_confidence: 0.5}\n"
		phase, rest, _ := strings.Cut(rows, ",")
		n := inspected(t, b, map[string]string{"inspections.csv": "Line,Structure,Phase,Date,Units broken,Confidence\nL1,2," + phase + ",2026-05-01," + rest + "\n"}, inspectionsFile)
		require.Equal(t, day, n.Project.Assemblies.At(1).Inspected.String(), rows)
	}
}

// Positions only propose: nothing changes, whatever is near.
func TestInspectionsByPositionAreProposals(t *testing.T) {
	point := func(lon float64, properties string) string {
		return fmt.Sprintf(`{"type":"Feature","properties":{"date":"2026-05-01","units_broken":3%s},"geometry":{"type":"Point","coordinates":[%g,50]}}`, properties, lon)
	}
	collection := func(features ...string) string {
		return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + "]}"
	}
	n := inspected(t, newBase(), map[string]string{"drone.geojson": collection(
		point(10.0031, ""), point(10.0014, ""), strings.Replace(point(10.02, ""), `"units_broken":3`, `"units_broken":0`, 1), point(10.0031, `,"line":"L1","structure":"2","phase":"A"`), point(10.006, `,"tower":"3"`))},
		"inspections: {file: drone.geojson, within_m: 103}\n")
	require.Equal(t, "0 3*", defects(n), "by its keys alone")
	require.Equal(t, "proposed, not joined; proposed, not joined; not joined; joined; proposed, not joined", states(n))
	require.Equal(t, "Line is blank; nearest is 2 of line L1 (7 m); if it is that, write the structure into the row", n.Inspected[0].Why)
	require.Equal(t, "Line is blank; ambiguous: near 1 of line L1 (100 m), and 2 of line L1 (115 m) within 206 m too; write the structure into the row", n.Inspected[1].Why)
	require.Equal(t, "Line is blank; no structure within 103 m", n.Inspected[2].Why)

	n = inspected(t, newBase(), map[string]string{"seen.csv": "Lon,Lat,Units broken\n10.0031,50,3\n"}, "inspections: {file: seen.csv}\n")
	require.Equal(t, "0 1", defects(n))
	require.Equal(t, "proposed, not joined", states(n))
}

// A row with broken units and a name that nobody has leaves open those of names that are like it, and no others.
func TestInspectionsOfNamesThatNobodyHas(t *testing.T) {
	for names, want := range map[string]string{
		"L1,T2": "0 ?", "L1,Mast 002": "0 ?", "L1,2A": "0 ?", "L1,22": "0 1", "L1,T9": "0 1", "L1,T": "0 1",
		"K1,2": "0 ?", "K 01,T2": "0 ?", "K1,7": "0 1", "K2,2": "0 1", "K,2": "0 1",
	} {
		for broken, isOpen := range map[string]bool{"3": true, "0": false, "": false, "x": true} {
			n := inspected(t, newBase(), map[string]string{"seen.csv": "Line,Structure,Phase,Date,Units seen,Units broken\n" + names + ",A,2026-05-01,8," + broken + "\n"}, "inspections: {file: seen.csv}\n")
			want := want
			if !isOpen {
				want = "0 1"
			}
			require.Equal(t, want, defects(n), "%s %s: %v", names, broken, n.Project.Faults.List())
			require.Equal(t, "not joined", states(n))
			require.Equal(t, want == "0 ?", strings.Contains(fmt.Sprint(n.Project.Faults.List()), "it may be of 2 of line L1, of which it leaves open how many units are broken"), "%s %s", names, broken)
		}
	}
}

// A position that contradicts the structure that a row names leaves open what was seen where.
func TestInspectionsElsewhere(t *testing.T) {
	for at, want := range map[string]string{
		"10.003,50":   "0 0*", // the structure
		"10.0033,50":  "0 0*", // near it
		"10.0042,50":  "0 0*", // further, and it is the nearest still
		"10.0001,50":  "0 ?",  // at the one before
		"10.003,50.1": "0 ?",
		"50,10":       "0 ?",
		"?,50":        "0 ?",
		",":           "0 0*",
	} {
		n := inspected(t, newBase(), map[string]string{"seen.csv": "Line,Structure,Phase,Date,Units seen,Units broken,Lon,Lat\nL1,2,A,2026-05-01,8,0," + at + "\n"}, "inspections: {file: seen.csv}\n")
		require.Equal(t, want, defects(n), "%s: %v", at, n.Project.Faults.List())
		require.Equal(t, want == "0 ?", n.Project.Faults.Mattering() > 0, at)
	}
	for broken, want := range map[string]string{"3": "? ?", "0": "0 1"} { // what is broken may hang at the structure of the position too
		n := inspected(t, newBase(), map[string]string{"seen.csv": "Line,Structure,Phase,Date,Units seen,Units broken,Lon,Lat\nL1,1,A,2026-05-01,20," + broken + ",10.003,50\n"}, "inspections: {file: seen.csv}\n")
		require.Equal(t, want, defects(n), "%v", n.Project.Faults.List())
	}
}

// The same in every kind of file that a register or a layer may be.
func TestInspectionsInManyForms(t *testing.T) {
	rows := "Report,Tower,Ph,Seen,Broken\n7,2,A,8,3\n"
	b := newBase()
	n := inspected(t, b, map[string]string{"a-1.csv": rows, "a-2.csv": "Report;Tower;Ph;Seen;Broken\n7;2;A;8;3\n", "old.csv": rows},
		"inspections:\n  - {file: \"a-*.csv\", fixed: {Line: L1, Date: 2026-05-01}, columns: {Phase: Ph}}\n")
	require.Equal(t, "0 3*", defects(n))
	require.Len(t, n.Project.Inspections.Rows, 2)

	b.project += "inspections: {file: seen.xlsx, columns: {Confidence: {from: Sure, unit: '%'}}}\n"
	path := b.write(t)
	writeWorkbook(t, filepath.Join(filepath.Dir(path), "seen.xlsx"), sheets{{"March", grid{{"Line", "Tower", "Phase", "Date", "Broken", "Sure"}, {"L1", 2, "A", "2026-05-01", 3, 80}}}})
	p, err := Project(context.Background(), path)
	require.NoError(t, err)
	require.InDelta(t, 0.8, p.Inspections.Rows[0].Confidence, 1e-12)
	n, err = audit.Arrange(p)
	require.NoError(t, err)
	require.Equal(t, "0 3*", defects(n))

	_, err = readInspected(t, newBase(), map[string]string{"x.csv": "Line,Structure\nL1,2\n"}, "inspections: {file: x.csv}\n")
	require.ErrorContains(t, err, "Units broken")
	_, err = readInspected(t, newBase(), nil, "inspections: {file: x.csv}\n")
	require.ErrorContains(t, err, "x.csv")
	for _, wrong := range []string{"inspections: {}\n", "inspections: []\n", "inspections: {file: a.csv, fill_down: [Line]}\n", "inspections: {file: a.csv, sheets: {a: Assemblies}}\n", "inspections: {file: a.csv, columns: {Unit: a}}\n"} {
		_, problem := parseProjectFile([]byte("structures: {file: s}\n" + wrong))
		require.NotNil(t, problem, wrong)
	}
}

func TestPhotosThatAreLinks(t *testing.T) {
	for photo, is := range map[string]bool{
		"https://example.org/a?b=c": true, "HTTP://example.org": true, "photos/7.jpg": true, "../photos/a b.jpg": true, "7.jpg": true,
		"": false, "see report": false, "javascript:alert(1)": false, "JavaScript:alert(1)//a.jpg": false, "file:///etc/passwd": false, "data:text/html,x": false, "/etc/a.jpg": false,
		"//host/a.jpg": false, `\\host\a.jpg`: false, `/\host\a.jpg`: false, `\a.jpg`: false, `C:\a.jpg`: false, `C:a\b.jpg`: false, "C:/a.jpg": false, "java\nscript:a/b": false, "https://": false, " javascript:a.jpg": false, "mailto:a@b.c": false,
		`photos\KF-02.jpg`: true, `..\photos/a b.jpg`: true, `https:\\example.org\a.jpg`: false, `https://example.org\a.jpg`: false, `javascript:a\b.jpg`: false,
	} {
		require.Equal(t, is, audit.IsLink(photo), photo)
	}
}

// Cohorts count what was seen of each string: one that nobody looked at, and of which the register says nothing, is not sound.
func TestCohortsOfInspectedStrings(t *testing.T) {
	for _, c := range []struct {
		name, rows          string
		blank               bool // Defective units of the row of three phases with two strings of ten units each
		unstated, low, most int
	}{
		{"the register says that none is", "", false, 0, 0, 0},
		{"nobody says anything", "", true, 60, 0, 0},
		{"one string was seen, and is sound", "L1,1,B,ahead,1,10,0,0.9", true, 50, 0, 0},
		{"one string was seen, and is not", "L1,1,B,ahead,1,10,3,0.9", true, 50, 3, 3},
		{"the others are those of the register", "L1,1,B,ahead,1,10,3,0.9", false, 0, 3, 3},
		{"two of a phase, in which of them is not said", "L1,1,B,ahead,,20,3,0.9", true, 40, 3, 3},
		{"more than one string has", "L1,1,B,ahead,,20,13,0.9", true, 40, 13, 13},
		{"both at once and one by one", "L1,1,B,ahead,,20,3,0.9\nL1,1,B,ahead,1,10,3,0.9", true, 40, 3, 3},
		{"one by one", "L1,1,B,ahead,1,10,3,0.9\nL1,1,B,ahead,2,10,1,0.9", true, 40, 4, 4},
		{"both at once, over what the register says", "L1,1,B,ahead,,20,13,0.9", false, 0, 13, 13},
		{"both at once, of too little confidence", "L1,1,B,ahead,,20,13,0.2", false, 0, 0, 13},
		{"both at once, of too little confidence, and one of them", "L1,1,B,ahead,,20,13,0.2\nL1,1,B,ahead,1,10,2,0.9", false, 0, 2, 13},
		{"two phases", "L1,1,B,ahead,1,10,3,0.9\nL1,1,C,ahead,2,10,2,0.9", true, 40, 5, 5},
		{"of too little confidence, over what the register says", "L1,1,B,ahead,1,10,3,0.2", false, 0, 0, 3},
		{"of too little confidence, over what the register says of the worst", "L1,1,B,ahead,1,10,0,0.2\nL1,1,C,ahead,1,10,1,0.9", false, 0, 1, 1},
		{"of too little confidence, over nothing", "L1,1,B,ahead,1,10,3,0.2", true, 60, 0, 0},
		{"contradictory", "L1,1,B,ahead,1,10,3,0.9\nL1,1,B,ahead,1,10,2,0.9", false, 60, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase()
			b.project += "criteria: {inspection_confidence: 0.5}\n"
			if c.blank {
				b.assemblies[1][9] = nil
			}
			n := inspected(t, b, map[string]string{"inspections.csv": "Line,Structure,Phase,Side,String,Units seen,Units broken,Confidence,Date\n" + strings.ReplaceAll(c.rows+"\n", "\n", ",2026-05-01\n")}, inspectionsFile)
			for _, cohort := range n.Cohorts() {
				if cohort.Type == "U120B" {
					require.Equal(t, []int{60, c.unstated, c.low, c.most}, []int{cohort.Units, cohort.Unstated, cohort.Least, cohort.Most})
				}
			}
		})
	}
}

// What was seen of one of several things that a row, or rows of one thing, stand for says nothing of the others.
func TestInspectionsOfAPart(t *testing.T) {
	tension := func(side any, defective int) []any {
		return []any{"L1", 2, nil, "A", side, "tension", "U70BL", 8, 1, defective}
	}
	for _, c := range []struct {
		name    string
		rows    grid // in place of the suspension row
		seen    string
		defects string
	}{
		{"rows that differ, of which one string was seen", grid{{"L1", 2, nil, "A", nil, "suspension", "U70BL", 8, 2, 1}, {"L1", 2, nil, "A", nil, "suspension", "U70BL", 8, 2, 3}}, "A,,1,8,0", "0 1 3"},
		{"and both", grid{{"L1", 2, nil, "A", nil, "suspension", "U70BL", 8, 2, 1}, {"L1", 2, nil, "A", nil, "suspension", "U70BL", 8, 2, 3}}, "A,,,16,0", "0 0* 0*"},
		{"a side that the register does not say", grid{tension(nil, 2)}, "A,back,,8,0", "0 ?"},
		{"one of rows without a side, of which others are left out", grid{tension(nil, 2), tension(nil, 2), tension(nil, 2)}, "A,,,8,0", "0 ? 2 2"},
		{"no side, where the other has no row", grid{tension("back", 2)}, "A,,,8,0", "0 ?"},
		{"no side, where the other has one of another phase", grid{tension("back", 2), append([]any{"L1", 2, nil, "B"}, tension("ahead", 0)[4:]...)}, "A,,,8,0", "0 ? 0"},
		{"no side, of both", grid{tension("back", 2), tension("ahead", 2)}, "A,,,16,0", "0 0* 0*"},
		{"the side that has a row", grid{tension("back", 2)}, "A,back,,8,0", "0 0*"},
		{"one of both sides", grid{tension("both", 2)}, "A,back,,8,0", "0 2"},
		{"each of both sides", grid{tension("both", 2)}, "A,back,,8,1\nA,ahead,,8,0", "0 1*"},
		{"both sides", grid{tension("both", 2)}, "A,,,16,0", "0 0*"},
		{"some of both sides", grid{tension("both", 2)}, "A,,,16,3", "0 ?"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase()
			b.assemblies = append(b.assemblies[:2], c.rows...)
			b.assemblies[1][4] = nil
			rows := ""
			for line := range strings.Lines(c.seen) {
				rows += "L1,2,2026-05-01," + strings.TrimSpace(line) + "\n"
			}
			n := inspected(t, b, map[string]string{"inspections.csv": "Line,Structure,Date,Phase,Side,String,Units seen,Units broken\n" + rows}, inspectionsFile)
			require.Equal(t, c.defects, defects(n), "%v", n.Project.Faults.List())
		})
	}
}

// How many strings or units hang is not known, or rows of one place say otherwise, in either order: nothing that was seen of some takes a defect
// away, and what is broken counts.
func TestInspectionsOfWhoKnowsHowMany(t *testing.T) {
	row := func(arrangement, units, strings, defective, installed any) []any {
		return []any{"L1", 2, nil, "A", nil, "suspension", "U70BL", units, strings, defective, arrangement, installed}
	}
	parallel := func(defective any) grid { return grid{row("parallel", 8, nil, defective, nil)} }
	for _, c := range []struct {
		name    string
		rows    grid   // in place of the suspension row, which are read in both orders
		seen    string // string, units seen, units broken, day
		defects string
	}{
		{"a second string", parallel(nil), "2,8,2,01", "0 2*"},
		{"the first of them is sound", parallel(2), "1,8,0,01", "0 2"},
		{"the second, and later the first", parallel(nil), "2,8,2,01\n1,8,0,02", "0 2*"},
		{"as many units as one has", parallel(2), ",8,0,01", "0 ?"},
		{"what is broken in any", parallel(nil), ",8,2,01", "0 2*"},
		{"less than before", parallel(nil), ",8,2,01\n,8,1,02", "0 ?"},
		{"more than before", parallel(1), ",8,2,01", "0 2*"},
		{"strings that cannot be read", grid{row(nil, 8, "two?", 2, nil)}, "1,8,0,01", "0 2"},
		{"units that are blank", grid{row(nil, nil, nil, 2, nil)}, ",1,0,01", "0 ?"},
		{"units that cannot be read", grid{row(nil, "about 9", nil, 2, nil)}, ",1,0,01", "0 ?"},
		{"units that cannot be read, some broken", grid{row(nil, "about 9", nil, nil, nil)}, ",1,1,01", "0 1*"},
		{"installed on two days", grid{row(nil, 8, nil, nil, "2026-06-01"), row(nil, 8, nil, nil, "2010-01-01")}, ",8,2,01", "0 ? ?"},
		{"strings that differ", grid{row(nil, 8, 1, 2, nil), row(nil, 8, 2, 2, nil)}, ",8,0,01", "0 ? ?"},
		{"units that differ", grid{row(nil, 8, nil, 2, nil), row(nil, 9, nil, 2, nil)}, ",8,0,01", "0 ? ?"},
		{"units that differ, some broken", grid{row(nil, 8, nil, nil, nil), row(nil, 9, nil, nil, nil)}, ",8,2,01", "0 2* 2*"},
	} {
		t.Run(c.name, func(t *testing.T) {
			for range 2 {
				b := newBase()
				b.assemblies = append(b.assemblies[:2], c.rows...)
				b.assemblies[0] = append(b.assemblies[0], "Arrangement", "Installed")
				rows := ""
				for line := range strings.Lines(c.seen) {
					before, day := strings.TrimSpace(line), ""
					before, day = before[:len(before)-3], before[len(before)-2:]
					rows += "L1,2,2026-05-" + day + ",A," + before + "\n"
				}
				n := inspected(t, b, map[string]string{"inspections.csv": "Line,Structure,Date,Phase,String,Units seen,Units broken\n" + rows}, inspectionsFile)
				require.Equal(t, c.defects, defects(n), "%v", n.Project.Faults.List())
				slices.Reverse(c.rows)
			}
		})
	}
}

// A list may have a row for each thing that was found: where none says how many units were seen, they may be of one unit or of several.
func TestInspectionsThatAreFindings(t *testing.T) {
	for rows, want := range map[string]string{
		"f0,01,,1,,\nf1,01,,1,,":                           "?",  // by their names
		"f0,01,,1,,unit 2\nf0,01,,1,,unit 3":               "?",  // by their remarks
		"f0,01,,1,,unit 2\nf0,01,,1,,unit 2":               "?",  // told twice, or two of one number
		"f0,01,8,1,,unit 2\nf0,01,8,1,,unit 2":             "1*", // told twice
		"f0,01,8,1,,unit 2\nf1,01,8,1,,unit 3":             "?",  // though each row says how many units the string has
		"f0,01,8,1,,\nf1,01,8,1,,":                         "?",
		"f0,01,8,1,,\nf1,01,,1,,":                          "?",
		"f0,01,8,1,,\nf1,01,,1,,\nf2,01,,1,,":              "?",
		"f0,01,,1,,\nf1,02,,1,,":                           "1*", // the latest counts
		"f0,01,,1,,\nf1,01,,1,,\nf2,02,8,2,,":              "2*",
		"f0,,,1,,\nf1,01,,1,,":                             "?",
		"f0,01,,8,,\nf1,01,,8,,":                           "8*", // no more than there are
		"f0,01,,1,0.2,\nf1,01,,1,0.2,\nf2,01,,1,0.9,":      "3*",
		"f0,01,,1,0.2,\nf1,02,,1,0.2,\nf2,01,,1,0.9,":      "2*",
		"f0,01,,1,0.2,\nf1,01,,1,0.2,\nf2,01,8,1,0.9,":     "3*",
		"f0,01,8,1,0.2,\nf0,01,8,1,0.2,\nf0,01,8,1,0.9,":   "1*",
		"f0,01,,1,0.2,\nf0,01,,1,0.2,\nf2,01,8,0,0.9,":     "2*",
		"f0,01,,1,0.2,\nf1,01,,1,0.9,\nf2,01,,1,0.9,seen":  "?",
		"f0,01,,7,0.2,\nf1,01,,7,0.2,\nf2,01,,1,0.9,there": "8*",
	} {
		b := newBase()
		b.project += "criteria: {inspection_confidence: 0.5}\n"
		content := "Line,Structure,Phase,Inspection,Date,Units seen,Units broken,Confidence,Remark\n"
		for line := range strings.Lines(rows + "\n") {
			name, rest, _ := strings.Cut(line, ",")
			if content += "L1,2,A," + name + ","; rest[0] != ',' {
				content += "2026-05-"
			}
			content += rest
		}
		if !strings.Contains(rows, "0.") {
			content = strings.Replace(content, ",Confidence,", ",,", 1)
		}
		n := inspected(t, b, map[string]string{"inspections.csv": content}, inspectionsFile)
		require.Equal(t, "0 "+want, defects(n), "%s: %v", rows, n.Project.Faults.List())
		if want == "?" {
			require.Contains(t, fmt.Sprint(n.Project.Faults.List()), "they may be of one unit or of several; how many are broken there is not known", rows)
		}
	}
}

// B is blue in a table of R, Y and B, and no phase of a line of A, B and C.
func TestInspectionsByColours(t *testing.T) {
	for _, c := range []struct{ phases, seen, defects string }{
		{"ABC", "R,8,0\nY,8,2\nB,8,0", "0 ? ? ?"},
		{"ABC", "R,8,0\nY,8,0\nB,8,0", "0 0 2 0"},
		{"ABC", "blue,8,0", "0 0 2 0"},
		{"ABC", "blue,8,1", "0 ? ? ?"},
		{"ABC", "A,8,0\nB,8,0\nC,8,0", "0 0* 0* 0*"},
		{"RYB", "A,8,0\nB,8,0\nC,8,0", "0 0 2 0"},
		{"RYB", "R,8,0\nyellow,8,0\nblue,8,0", "0 0* 0* 0*"},
	} {
		b := newBase()
		b.assemblies[1][3] = strings.Join(strings.Split(c.phases, ""), ",")
		b.assemblies = b.assemblies[:2]
		for i, phase := range strings.Split(c.phases, "") {
			b.assemblies = append(b.assemblies, []any{"L1", 2, nil, phase, nil, "suspension", "U70BL", 8, 1, []int{0, 2, 0}[i]})
		}
		n := inspected(t, b, map[string]string{"inspections.csv": "Line,Structure,Date,Phase,Units seen,Units broken\nL1,2,2026-05-01," + strings.ReplaceAll(c.seen, "\n", "\nL1,2,2026-05-01,") + "\n"}, inspectionsFile)
		require.Equal(t, c.defects, defects(n), "%s %s: %v", c.phases, c.seen, n.Project.Faults.List())
	}
}

// A position that leads to no structure tells no more than none.
func TestInspectionsThatLeadNowhere(t *testing.T) {
	for at, want := range map[string]string{",": "? ?", "0,0": "? ?", "50,10.003": "? ?", "10.003,50": "0 1"} {
		n := inspected(t, newBase(), map[string]string{"seen.csv": "Lon,Lat,Units broken\n" + at + ",3\n"}, "inspections: {file: seen.csv}\n")
		require.Equal(t, want, defects(n), at)
		require.Positive(t, n.Project.Faults.Mattering())
	}
}

// A row of totals is left aside and counted, as in the register; one that tells where or when something was seen is an inspection of that name.
func TestTotalsOfInspections(t *testing.T) {
	for row, want := range map[string]struct {
		defects string
		aside   int
	}{
		"Total,,,,,,,8,3": {"0 1", 1}, "Sum:,,,,,,,,3": {"0 1", 1}, ",Total,,,,,,,3": {"0 1", 1}, "Total broken,,,,,,,,3": {"0 1", 1},
		"Total,,,,,,,8,many": {"? ?", 0}, "Total,2026-05-02,,,,,,,3": {"? ?", 0}, "Total,2026-05-02,L1,2,,A,,,3": {"0 3*", 0}, "Total 2,,,,,,,,x": {"? ?", 0}, "T-1,,,,,,,,3": {"? ?", 0},
	} {
		n := inspected(t, newBase(), map[string]string{"inspections.csv": "Inspection,Date,Line,Structure,Circuit,Phase,Side,Units seen,Units broken\n,2026-05-01,L1,1,,ABC,,,0\n" + row + "\n"}, inspectionsFile)
		require.Equal(t, want.defects, defects(n), row)
		aside := 0
		for i := range n.Project.Tables {
			aside += n.Project.Tables[i].Aside
		}
		require.Equal(t, want.aside, aside, row)
	}
}
