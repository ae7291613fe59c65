package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/headroom"
	"dryarc/audit/read"
	"dryarc/audit/scope"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// flown is the demo project with other inspections, and with criteria beside its own.
func flown(t *testing.T, criteria string, rows ...string) (project string, write func(rows ...string)) {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(demoDir)))
	project = filepath.Join(dir, "audit.yaml")
	text, err := os.ReadFile(project)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(project, bytes.Replace(text, []byte("criteria:\n"), []byte("criteria:\n"+criteria), 1), 0o600))
	write = func(rows ...string) {
		content := "Inspection,Date,Line,Structure,Circuit,Phase,Units broken,Confidence,Photo\n" + strings.Join(rows, "\n") + "\n"
		require.NoError(t, os.WriteFile(filepath.Join(dir, "inspections.csv"), []byte(content), 0o600))
	}
	write(rows...)
	return project, write
}

type flownJSON struct {
	Exceptions []struct{ Check, Severity, Structure, Reason, State string }
	Cleared    []struct{ Check, Structure, Why string }
	Run        struct {
		Inspections struct {
			Read, Joined, Deciding, Proposed int
			NotJoined                        int `json:"not_joined"`
		}
	}
}

// soundUnitsAt says of an audit.json how sound-units falls short at a structure, and why it does no more.
func soundUnitsAt(t *testing.T, out, structure string) (said string, of flownJSON) {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(raw, &of))
	for _, e := range of.Exceptions {
		if e.Check == "sound-units" && e.Structure == structure {
			said += e.Severity + ", " + e.State + ": " + e.Reason
		}
	}
	for _, e := range of.Cleared {
		if e.Check == "sound-units" && e.Structure == structure {
			said += "cleared: " + e.Why
		}
	}
	return said, of
}

// An exception comes with an inspection and goes with the next; one that went with its inspection is not mended.
func TestInspectionsAndTheRunBefore(t *testing.T) {
	const short = "9 × U70BL, 3 of them defective, has 1770 mm of creepage left; class b at Um 145 kV (unified basis) needs 2327.3 mm. So says inspection KF-02 of 2025-09-16"
	three := "KF-02,2025-09-16,SD-132,T-020,1,B,3,0.9,photos/2.jpg"
	project, write := flown(t, "", "KF-01,2025-09-16,SD-132,T-021,1,B,0,,")
	out := t.TempDir()
	auditInto(t, project, out, "--as-of", "2025-12-01")
	said, of := soundUnitsAt(t, out, "T-020")
	require.Empty(t, said)
	require.Equal(t, 1, of.Run.Inspections.Joined)

	write(three)
	auditInto(t, project, out, "--as-of", "2025-12-02")
	said, of = soundUnitsAt(t, out, "T-020")
	require.Equal(t, "shortfall, new: "+short+" (confidence 0.9).", said)
	require.Equal(t, 1, of.Run.Inspections.Deciding)

	write(three, "KF-07,2025-11-01,SD-132,T-020,1,B,0,0.9,")
	auditInto(t, project, out, "--as-of", "2025-12-03")
	said, _ = soundUnitsAt(t, out, "T-020")
	require.Equal(t, "cleared: does not apply", said)

	write(three)
	auditInto(t, project, out, "--as-of", "2025-12-04")
	write("KF-01,2025-09-16,SD-132,T-021,1,B,0,,")
	auditInto(t, project, out, "--as-of", "2025-12-05")
	said, _ = soundUnitsAt(t, out, "T-020")
	require.Equal(t, "cleared: not assessed", said, "what an inspection counted is lost with it")
}

// What rests on an observation of little confidence is an advisory; it takes away nothing that the register says.
func TestInspectionsOfLittleConfidenceAreAdvisories(t *testing.T) {
	project, _ := flown(t, "  inspection_confidence: 0.5\n", "KF-02,2025-09-16,SD-132,T-020,1,B,3,0.2,", "KF-03,2025-09-16,SD-132,T-035,2,C,0,0.2,")
	out := t.TempDir()
	auditInto(t, project, out)
	said, _ := soundUnitsAt(t, out, "T-020")
	require.Equal(t, "advisory, new: 9 × U70BL, 3 of them defective, has 1770 mm of creepage left; class b at Um 145 kV (unified basis) needs 2327.3 mm. So says inspection KF-02 of 2025-09-16 (confidence 0.2). "+
		"Its confidence is less than the 0.5 asked for: look again.", said)
	said, _ = soundUnitsAt(t, out, "T-035")
	require.True(t, strings.HasPrefix(said, "shortfall"), said)
}

// The register with the work done, beside the same inspections, has what the work has mended.
func TestRegisterAfterTheWorkBesideInspections(t *testing.T) {
	project, _ := flown(t, "", "KF-02,2025-09-16,SD-132,T-020,1,B,3,,")
	out := t.TempDir()
	auditInto(t, project, out, "--also", "remedied", "--as-of", "2026-01-31")
	said, _ := soundUnitsAt(t, out, "T-020")
	require.NotEmpty(t, said)
	remedied, err := os.ReadFile(filepath.Join(out, "remedied.xlsx"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(project), "assemblies.xlsx"), remedied, 0o600))
	auditInto(t, project, out, "--as-of", "2026-02-01", "--since", "none")
	said, of := soundUnitsAt(t, out, "T-020")
	require.Empty(t, said)
	require.Equal(t, 1, of.Run.Inspections.Joined)
}

// Links lead to addresses that may be followed, and what may not is a text, in the workbook and on the page.
func TestPhotosOfInspections(t *testing.T) {
	for _, path := range []string{"photos/4#b.jpg", `photos\4#b.jpg`} {
		requirePhotos(t, path)
	}
}

// requirePhotos holds what becomes of the path of a photo, which is photos/4#b.jpg with either slash, and of other addresses.
func requirePhotos(t *testing.T, path string) {
	t.Helper()
	project, _ := flown(t, "", "KF-02,2025-09-16,SD-132,T-020,1,B,3,,https://photos.example/2.jpg?a=1&b=<x>", `KF-03,2025-09-16,SD-132,T-035,2,C,3,,javascript:alert(1)`, "KF-04,2025-09-16,DF-220,9/3,1,R,3,,"+path)
	out := t.TempDir()
	auditInto(t, project, out)
	book, err := excelize.OpenFile(filepath.Join(out, "exceptions.xlsx"))
	require.NoError(t, err)
	defer book.Close()
	for _, sheet := range []string{"Inspections", "Exceptions"} {
		rows, err := book.GetRows(sheet)
		require.NoError(t, err)
		at := slices.Index(rows[0], "Photo")
		require.NotEqual(t, -1, at, sheet)
		found := map[string]string{}
		for i, row := range rows[1:] {
			if len(row) > at && row[at] != "" {
				cell, err := excelize.CoordinatesToCellName(at+1, i+2)
				require.NoError(t, err)
				formula, err := book.GetCellFormula(sheet, cell)
				require.NoError(t, err)
				found[row[at]] = formula
			}
		}
		require.Equal(t, map[string]string{"https://photos.example/2.jpg?a=1&b=<x>": `HYPERLINK("https://photos.example/2.jpg?a=1&b=<x>","https://photos.example/2.jpg?a=1&b=<x>")`,
			"javascript:alert(1)": "", path: `HYPERLINK("photos/4%23b.jpg","` + path + `")`}, found, sheet)
	}
	page, err := os.ReadFile(filepath.Join(out, "audit.html"))
	require.NoError(t, err)
	require.NotContains(t, string(page), `b=<x>`, "escaped")
	require.NotContains(t, string(page), `href="javascript`)
	_, photos, found := strings.Cut(string(page), `"photos":[`)
	require.True(t, found)
	numbers, _, _ := strings.Cut(photos, "]")
	require.NotContains(t, numbers, "null")
	require.Contains(t, string(page), `"photos/4%23b.jpg"`, "a link to the file, not to a place within another")
	require.Contains(t, string(page), `"javascript:alert(1)"`, "as a text of what is carried")
}

// explain names what counts; scope judges by the same; a string that nobody has looked at for too long is a note.
func TestInspectionsInOtherCommands(t *testing.T) {
	project, _ := flown(t, "  inspection_years: 1\n", "KF-02,2025-09-16,SD-132,T-020,1,B,3,,")
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"explain", project, "SD-132", "T-020", "--as-of", "2025-12-01"}, &stdout, &stderr), stderr.String())
	require.Contains(t, stdout.String(), "inspection KF-02 of 2025-09-16: circuit 1, phase B, broken 3: joined, decides")
	require.Contains(t, stdout.String(), "inspected-long-ago: ")
	stdout.Reset()
	require.Equal(t, exitUsage, run(context.Background(), []string{"explain", project, "SD-132", "T-020", "--as-of", "May"}, &stdout, &stderr))
	stdout.Reset()
	require.Equal(t, exitDone, run(context.Background(), []string{"read", project}, &stdout, &stderr))
	require.Contains(t, stdout.String(), "inspections: 1 read = 1 joined + 0 proposed + 0 not joined; 1 of them decide")

	out := t.TempDir()
	require.Equal(t, exitDone, run(context.Background(), []string{"scope", project, "--scenario", "SD-132 to 220 kV", "--out", out, "--as-of", "2025-12-01"}, &stdout, &stderr), stderr.String())
	raw, err := os.ReadFile(filepath.Join(out, "scope.json"))
	require.NoError(t, err)
	var scope struct {
		Scenarios []struct {
			Coverage []struct {
				Check string
				Today struct {
					FallsShort int `json:"falls_short"`
				}
			}
		}
	}
	require.NoError(t, json.Unmarshal(raw, &scope))
	for _, c := range scope.Scenarios[0].Coverage {
		if c.Check == "sound-units" {
			require.Equal(t, 4, c.Today.FallsShort, "three by the register, and the one that was inspected")
		}
	}

	audited := auditInto(t, project, t.TempDir())
	notes := 0
	for _, e := range audited.Exceptions {
		if e.Check == "inspected-long-ago" {
			notes++
			require.Equal(t, "note", e.Severity)
		}
	}
	require.Positive(t, notes)
}

// A scenario that states what holds already judges its lines anew, and finds by inspections of every kind what an audit finds: exceptions and
// headroom, wherever its lines are arranged anew and wherever they are taken.
func TestScenariosSeeWhatWasInspected(t *testing.T) {
	project, _ := flown(t, "  inspection_confidence: 0.5\n",
		"KF-02,2025-09-16,SD-132,T-020,1,B,3,0.9,", "KF-03,2025-09-16,SD-132,T-035,2,C,0,0.2,", "KF-04,2025-09-16,DF-220,9/3,1,R,3,0.2,", "KF-05,2025-09-16,SD-132,T-021,1,B,1,0.9,",
		"KF-06,2025-09-16,SD-132,T-021,1,B,2,0.9,", "KF-07,2025-09-16,DF-220,,,,1,0.9,", "KF-08,2027-01-01,SD-132,T-022,1,B,2,0.9,", "KF-09,2025-09-16,SD-132,T-010,1,A,0,0.9,", "KF-10,2025-09-16,SD-132,T-999,1,A,1,0.9,")
	text, err := os.ReadFile(project)
	require.NoError(t, err)
	before, _, found := bytes.Cut(text, []byte("scenarios:\n"))
	require.True(t, found)
	lines := []string{"SD-132", "DF-220", "DP-33"}
	for _, line := range append(lines, strings.Join(lines, ", ")) {
		before = append(before, fmt.Sprintf("%s  - {name: %q, lines: [%s], criteria: {position_accuracy_m: 0.5}}\n", map[bool]string{true: "scenarios:\n"}[line == lines[0]], line, line)...)
	}
	require.NoError(t, os.WriteFile(project, before, 0o600))
	p, err := read.ForScope(t.Context(), project)
	require.NoError(t, err)
	p.AsOf = audit.DayOf("2026-03-31")
	pristine := p.Pristine()
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(t.Context(), n, 1))
	today, err := audit.Assess(t.Context(), n, checks.All(), audit.Options{Workers: 1})
	require.NoError(t, err)
	of := func(r *audit.Result, line int) (found []audit.Exception) {
		for _, e := range r.Exceptions {
			if e.Line == line {
				found = append(found, e)
			}
		}
		return found
	}
	looks, inspected := 0, 0
	require.NoError(t, scope.Run(t.Context(), pristine, today, scope.Options{Workers: 1}, func(l *scope.Look) error {
		looks++
		require.Empty(t, l.New, l.Scenario.Name)
		require.Empty(t, l.Mended)
		require.Empty(t, l.Unjudged)
		require.Equal(t, today.Network.Inspected, l.Then.Network.Inspected)
		require.Equal(t, today.Project.Observed, l.Then.Project.Observed)
		for line := range l.Then.Lines {
			if !l.Then.Lines[line].Assessed {
				continue
			}
			require.Equal(t, fmt.Sprintf("%+v", of(today, line)), fmt.Sprintf("%+v", of(l.Then, line)))
			for _, e := range of(l.Then, line) {
				if strings.Contains(e.Verdict.Sentence, "So says inspection") {
					inspected++
				}
			}
		}
		chosen := func(line int) bool { return l.Chosen[line] }
		before, err := headroom.OfLines(t.Context(), today, chosen, 1)
		require.NoError(t, err)
		after, err := headroom.OfLines(t.Context(), l.Then, chosen, 1)
		require.NoError(t, err)
		require.Equal(t, fmt.Sprintf("%+v", before), fmt.Sprintf("%+v", after))
		return nil
	}))
	require.Equal(t, len(lines)+1, looks)
	require.Positive(t, inspected)
}

// What rested on an inspection that is gone is judged anew only by what is known of the same string since: another inspection of all of it that counts for
// it, the register's Inspected with a count, or that what hangs there was installed later.
func TestWhatRestedOnALostInspection(t *testing.T) {
	t.Parallel()
	const counted = "i1,2025-09-01,A,1,10,3,0.9"
	row := func(rest string) string { return "A,1,0," + rest } // of the register: phase, strings, defective, installed, inspected
	for _, c := range []struct{ name, register, seen, then, why string }{
		{"nothing", row(","), "", "", "not assessed"},
		{"as it was", row(","), counted, "", "still"},
		{"later and sound", row(","), "i2,2025-10-01,A,1,10,0,0.9", "", "does not apply"},
		{"beside it", row(","), counted + "\ni2,2025-10-01,A,1,10,0,0.9", "", "does not apply"},
		{"mended", row(","), "i1,2025-09-01,A,1,10,0,0.9", "", "does not apply"},
		{"another of the day", row(","), "i2,2025-09-01,A,1,10,0,0.9", "", "not assessed"},
		{"mended, and nothing was seen", row(","), "i1,2025-09-01,A,1,,not seen,0.9", "", "not assessed"},
		{"later, and nothing was seen", row(","), "i2,2025-10-01,A,1,,not seen,0.9", "", "not assessed"},
		{"earlier", row(","), "i2,2025-08-01,A,1,10,0,0.9", "", "not assessed"},
		{"of too little confidence", row(","), "i2,2025-10-01,A,1,10,0,0.2", "", "not assessed"},
		{"without a date", row(","), "i2,,A,1,10,0,0.9", "", "not assessed"},
		{"after the day of the audit", row(","), "i2,2027-10-01,A,1,10,0,0.9", "", "not assessed"},
		{"of another string", "A,2,0,,", "i2,2025-10-01,A,2,10,0,0.9", "", "not assessed"},
		{"of both strings", "A,2,0,,", "i2,2025-10-01,A,,20,0,0.9", "", "does not apply"},
		{"of another phase", "ABC,1,0,,", "i2,2025-10-01,B,1,10,0,0.9", "", "not assessed"},
		{"of all phases", "ABC,1,0,,", "i2,2025-10-01,,1,30,0,0.9", "", "does not apply"},
		{"before what hung there", row("2020,"), "i2,2019-10-01,A,1,10,0,0.9", "", "not assessed"},
		{"installed since", row(","), "", row("2025-12-01,"), "does not apply"},
		{"installed since, a blank", row(","), "", "A,1,,2025-12-01,", "does not apply"},
		{"installed before", row(","), "", row("2025-08-31,"), "not assessed"},
		{"installed in that year", row(","), "", row("2025,"), "not assessed"},
		{"installed on a day to come", row(","), "", row("2026-12-01,"), "not assessed"},
		{"installed on a day that cannot be read", row(","), "", row("soon,"), "not assessed"},
		{"inspected since", row(","), "", row(",2025-10-01"), "does not apply"},
		{"inspected since, of which a blank tells nothing", row(","), "", "A,1,,,2025-10-01", "not assessed"},
		{"inspected before", row(","), "", row(",2025-08-01"), "not assessed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			write := func(name, text string) {
				require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
			}
			register := func(row string) {
				phases, rest, _ := strings.Cut(row, ",")
				text := "Line,Structure,Circuit,Duty,Unit,Units per string,Phase,Strings,Defective units,Installed,Inspected\n"
				for i := range 4 {
					text += fmt.Sprintf("L,%d,1,suspension,U70BL,10,%q,%s\n", i+1, strings.Join(strings.Split(phases, ""), ","), rest)
				}
				write("Assemblies.csv", text)
			}
			inspections := func(rows string) {
				text := "Line,Structure,Inspection,Date,Phase,String,Units seen,Units broken,Confidence\nL,2,i0,2025-09-01,A,1,10,0,0.9\n"
				for line := range strings.Lines(rows) {
					text += "L,3," + line
				}
				write("inspections.csv", text)
			}
			audited := func(day string) (of flownJSON) {
				auditInto(t, filepath.Join(dir, "audit.yaml"), filepath.Join(dir, "out"), "--as-of", day)
				raw, err := os.ReadFile(filepath.Join(dir, "out", "audit.json"))
				require.NoError(t, err)
				require.NoError(t, json.Unmarshal(raw, &of))
				return of
			}
			var structures []string
			for i := range 4 {
				structures = append(structures, fmt.Sprintf("L,%d,%d,%.3f,50", i+1, i+1, 10+0.004*float64(i)))
			}
			write("structures.csv", "line,structure,Sequence,Longitude,Latitude\n"+strings.Join(structures, "\n")+"\n")
			write("Lines.csv", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV)\nL,1,ABC,132,145\n")
			write("audit.yaml", "structures: {file: structures.csv}\nregister: {file: [Assemblies.csv, Lines.csv]}\ninspections: {file: inspections.csv}\ncriteria: {default_class: b, inspection_confidence: 0.5}\n")
			register(c.register)
			inspections(counted)
			require.True(t, slices.ContainsFunc(audited("2026-01-01").Exceptions, func(e struct{ Check, Severity, Structure, Reason, State string }) bool {
				return e.Check == "sound-units" && e.Structure == "3"
			}))

			if c.then != "" {
				register(c.then)
			}
			inspections(c.seen)
			said, of := "", audited("2026-02-01")
			for _, e := range of.Exceptions {
				if e.Check == "sound-units" && e.Structure == "3" {
					said = "still"
				}
			}
			for _, e := range of.Cleared {
				if e.Check == "sound-units" && e.Structure == "3" {
					said += e.Why
				}
			}
			require.Equal(t, c.why, said)
		})
	}
}
