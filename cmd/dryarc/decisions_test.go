package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// decidable is a copy of the demo project that keeps decisions.
type decidable struct {
	t                   *testing.T
	project, out, store string
}

func newDecidable(t *testing.T) *decidable {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(filepath.Join("..", "..", "testdata", "demo"))))
	d := &decidable{t, filepath.Join(dir, "audit.yaml"), filepath.Join(dir, "out"), filepath.Join(dir, "decisions.csv")}
	d.append("\ndecisions: decisions.csv\n")
	return d
}

func (d *decidable) append(text string) {
	d.t.Helper()
	file, err := os.OpenFile(d.project, os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(d.t, err)
	_, err = file.WriteString(text)
	require.NoError(d.t, err)
	require.NoError(d.t, file.Close())
}

func (d *decidable) run(args ...string) (code int, said string) {
	var out, errs bytes.Buffer
	code = run(context.Background(), args, &out, &errs)
	return code, errs.String()
}

// audit audits as of a day, and fails unless it ends with a code.
func (d *decidable) audit(day string, want int, flags ...string) string {
	d.t.Helper()
	code, said := d.run(append([]string{"audit", d.project, "--out", d.out, "--as-of", day}, flags...)...)
	require.Equal(d.t, want, code, said)
	return said
}

func (d *decidable) workbook() string { return filepath.Join(d.out, "exceptions.xlsx") }

// decided are the decisions in the store, each as its cells from line to ended but for the reason, without blanks at the end.
func (d *decidable) decided() (rows []string) {
	d.t.Helper()
	text, err := os.ReadFile(d.store)
	if os.IsNotExist(err) {
		return nil
	}
	require.NoError(d.t, err)
	all, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(d.t, err)
	for _, row := range all[1:] {
		rows = append(rows, strings.TrimRight(strings.Join(slices.Concat(row[1:7], row[9:10]), " "), " "))
	}
	return rows
}

// editing is a script for openpyxl: it decides by check, structure and line, and then does to the rows and columns of the sheet what its
// arguments say.
const editing = `
import sys, json, random, datetime, openpyxl
path, what, said = sys.argv[1], sys.argv[2].split('+'), json.loads(sys.argv[3])
book = openpyxl.load_workbook(path)
for sheet in ('Exceptions', 'Work'):
    ws = book[sheet]
    rows = [[c.value for c in row] for row in ws.iter_rows()]
    head, data = rows[0], [r for r in rows[1:] if r[2] is not None]
    at = {h: i for i, h in enumerate(head)}
    done = 0
    for s in said:
        if s['sheet'] != sheet:
            continue
        for r in data:
            if r[at['Line']] == s['line'] and r[at['Structure']] == s['structure'] and ('check' not in s or r[at['Check']] == s['check']):
                for h in ('Decision', 'Until', 'By', 'Reason'):
                    r[at[h]] = s.get(h)
                if 'dated' in what and s.get('Until'):
                    r[at['Until']] = datetime.date.fromisoformat(s['Until'])
                done += 1
                break
        else:
            raise SystemExit('no row for %r' % s)
    random.seed(1)
    if 'sorted' in what:
        data.sort(key=lambda r: (str(r[at['What is wrong']]), str(r[at['Structure']])), reverse=True)
    if 'deleted' in what:
        named = {(s['line'], s['structure']) for s in said}
        data = [r for i, r in enumerate(data) if i % 2 or (r[at['Line']], r[at['Structure']]) in named]
    if 'apart' in what: # the columns before Id are sorted without it
        for r, own in zip(data, [r[at['As written']:] + ([r[at['Id']]] if 'Id' in at else []) for r in data][1:] + [None]):
            if own:
                if 'Id' in at:
                    r[at['Id']] = own.pop()
                r[at['As written']:] = own
    if 'twice' in what:
        head.append('Decision')
        for r in data:
            r.append('accept')
    order = list(range(len(head)))
    if 'moved' in what:
        random.shuffle(order)
    if 'cut' in what:
        order = [i for i in order if head[i] not in ('Remarks', 'Observed', 'What hangs', 'Id')]
    top = [['Seen by the committee'], []] if 'headed' in what else []
    ws.delete_rows(1, ws.max_row)
    ws.auto_filter.ref = None
    ws.data_validations.dataValidation = []
    for r in top + [[r[i] for i in order] for r in [head] + data]:
        ws.append(r)
    for i, r in enumerate(data):
        if 'hidden' in what and i % 3 == 0:
            ws.row_dimensions[i + 2].hidden = True
    if 'filtered' in what:
        ws.auto_filter.ref = ws.dimensions
        ws.auto_filter.add_filter_column(0, ['advisory'])
        for i, r in enumerate(data):
            if r[0] != 'advisory':
                ws.row_dimensions[i + 2].hidden = True
book.save(path)
`

// editor returns what edits a workbook with openpyxl.
func editor(t *testing.T) func(path, what string, said ...map[string]string) {
	t.Helper()
	python := "/usr/bin/python3"
	if exec.Command(python, "-c", "import openpyxl").Run() != nil {
		python = tool(t, "python3")
		if exec.Command(python, "-c", "import openpyxl").Run() != nil {
			require.NotEqual(t, "true", os.Getenv("CI"), "openpyxl must be installed under CI")
			t.Skip("openpyxl is not installed")
		}
	}
	return func(path, what string, said ...map[string]string) {
		t.Helper()
		text, err := json.Marshal(append([]map[string]string{}, said...))
		require.NoError(t, err)
		told, err := exec.Command(python, "-c", editing, path, what, string(text)).CombinedOutput()
		require.NoError(t, err, string(told))
	}
}

// resaved saves a workbook anew with LibreOffice.
func resaved(t *testing.T, office, path string) {
	t.Helper()
	profile, converted := t.TempDir(), t.TempDir()
	told, err := exec.Command(office, "-env:UserInstallation=file://"+filepath.ToSlash(profile), "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", converted, path).CombinedOutput()
	require.NoError(t, err, string(told))
	text, err := os.ReadFile(filepath.Join(converted, filepath.Base(path)))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, text, 0o666))
}

func exceptionSaid(line, structure, check, decision, until, by, reason string) map[string]string {
	return map[string]string{"sheet": "Exceptions", "line": line, "structure": structure, "check": check, "Decision": decision, "Until": until, "By": by, "Reason": reason}
}

func workSaid(line, structure, decision, until string) map[string]string {
	return map[string]string{"sheet": "Work", "line": line, "structure": structure, "Decision": decision, "Until": until}
}

// firstEdits are decisions in the workbook of the demo project, and firstStore what the store then holds.
var (
	firstEdits = []map[string]string{
		exceptionSaid("DP-33-T1", "23/9", "tension-at-terminal", "accept", "2027-05-31", "K. Lee", "+the old line, \"as is\"; é"),
		exceptionSaid("DP-33", "31", "tension-at-deviation", "done", "", "Möller", ""),
		exceptionSaid("SD-132", "T-060", "tension-at-terminal", "plan", "2026-12-24", "K. Lee", "spring"), // a row of three phases
		workSaid("DF-220", "5/1", "plan", "2027-01-01"),
	}
	firstStore = []string{
		"DF-220 5/1  plan 2027-01-01",
		"DP-33 31 tension-at-deviation done  Möller",
		"DP-33-T1 23/9 tension-at-terminal accept 2027-05-31 K. Lee",
		"SD-132 T-060 tension-at-terminal plan 2026-12-24 K. Lee",
		"SD-132 T-060 tension-at-terminal plan 2026-12-24 K. Lee",
		"SD-132 T-060 tension-at-terminal plan 2026-12-24 K. Lee",
	}
)

// Decisions that are typed into the workbook reach the store whatever else is done to its rows and columns, are filled in by the run that
// takes them, and are no edits for the next one, nor where the workbook was only saved anew. Of what is done one by one and all together, two of six
// are done in go test by each program; with DRYARC_HARD=1 all.
func TestDecisionsSurviveWhatPeopleDoToAWorkbook(t *testing.T) {
	t.Parallel()
	edit := editor(t)
	const everything = "sorted+hidden+deleted+moved+headed+cut+dated"
	office, noOffice := exec.LookPath("soffice")
	for _, what := range []string{"plain", "sorted+hidden", "filtered+dated", "deleted+moved", "headed+cut", everything} {
		for _, by := range []string{"openpyxl", "LibreOffice"} {
			if by == "LibreOffice" && (noOffice != nil || testing.Short() || what != everything && (what != "plain" || !hard())) {
				continue
			}
			if by == "openpyxl" && what != "filtered+dated" && !hard() {
				continue
			}
			t.Run(what+" by "+by, func(t *testing.T) {
				t.Parallel()
				d := newDecidable(t)
				d.audit("2026-11-25", exitDone)
				edit(d.workbook(), what, firstEdits...)
				if by == "LibreOffice" {
					resaved(t, office, d.workbook())
				}
				said := d.audit("2026-11-26", exitDone)
				require.Equal(t, firstStore, d.decided(), said)
				require.Contains(t, said, "1 still there though reported done, 5 in force (3 lapse within 30 days)")
				text, err := os.ReadFile(d.store)
				require.NoError(t, err)
				require.Contains(t, string(text), `"'+the old line, ""as is""; é"`, "a reason is kept as it is, and is no formula")
				edit(d.workbook(), what)
				if by == "LibreOffice" {
					resaved(t, office, d.workbook())
				}
				require.NotContains(t, d.audit("2026-11-27", exitDone), "decisions taken")
				again, err := os.ReadFile(d.store)
				require.NoError(t, err)
				require.Equal(t, string(text), string(again))

				// What is filled in can be changed and taken away.
				edit(d.workbook(), what, exceptionSaid("DP-33-T1", "23/9", "tension-at-terminal", "", "", "", ""), workSaid("DF-220", "5/1", "plan", "2027-02-02"))
				said = d.audit("2026-11-28", exitDone)
				require.Contains(t, said, "0 new, 1 replaced, 1 withdrawn, 0 against another")
				require.Contains(t, d.decided(), "DP-33-T1 23/9 tension-at-terminal accept 2027-05-31 K. Lee withdrawn 2026-11-28")
				require.Contains(t, d.decided(), "DF-220 5/1  plan 2027-01-01  replaced 2026-11-28")
				require.Contains(t, d.decided(), "DF-220 5/1  plan 2027-02-02")
			})
		}
	}
}

// What was reported done is taken from its own row when the rows were sorted after it was entered, on Work and on Exceptions, at more structures than one.
func TestDoneIsTakenWhateverTheOrderOfRows(t *testing.T) {
	t.Parallel()
	edit := editor(t)
	for _, what := range []string{"plain", "sorted"} {
		d := newDecidable(t)
		d.audit("2026-11-25", exitDone)
		edit(d.workbook(), what, workSaid("DF-220", "5/1", "done", ""), workSaid("DP-33", "31", "done", ""), exceptionSaid("SD-132", "T-060", "tension-at-terminal", "done", "", "KL", ""))
		require.Contains(t, d.audit("2026-11-26", exitDone), "decisions: 5 still there though reported done", what)
		require.Equal(t, []string{"DF-220 5/1  done", "DP-33 31  done", "SD-132 T-060 tension-at-terminal done  KL", "SD-132 T-060 tension-at-terminal done  KL", "SD-132 T-060 tension-at-terminal done  KL"}, d.decided(), what)
	}
}

func TestCollectTakesWorkbooksThatCameBack(t *testing.T) {
	t.Parallel()
	edit := editor(t)
	d := newDecidable(t)
	d.audit("2026-11-25", exitDone)
	var mailed []string
	for i := range 3 {
		path := filepath.Join(t.TempDir(), fmt.Sprintf("back %d.xlsx", i))
		text, err := os.ReadFile(d.workbook())
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(path, text, 0o666))
		mailed = append(mailed, path)
	}
	edit(mailed[0], "sorted", exceptionSaid("DP-33-T1", "23/9", "tension-at-terminal", "accept", "2027-05-31", "KL", ""))
	edit(mailed[1], "moved", exceptionSaid("DP-33-T1", "23/9", "tension-at-terminal", "accept", "2027-05-31", "KL", ""), workSaid("DF-220", "5/1", "plan", "2027-01-01"))
	edit(mailed[2], "plain", exceptionSaid("DP-33-T1", "23/9", "tension-at-terminal", "plan", "2027-05-31", "MN", ""))

	code, said := d.run("collect", d.project, mailed[0], mailed[1], "--as-of", "2026-11-26")
	require.Equal(t, exitDone, code, said)
	require.Contains(t, said, "2 new, 0 replaced")
	code, said = d.run("collect", d.project, mailed[0], filepath.Join(t.TempDir(), "lost.xlsx"))
	require.Equal(t, exitInputs, code, said)
	require.Contains(t, said, "lost.xlsx: does not exist")
	code, said = d.run("collect", d.project, d.store)
	require.Equal(t, exitInputs, code, said)
	require.Contains(t, said, "is no workbook")
	require.Contains(t, d.audit("2026-11-26", exitDone), "decisions: 2 in force")

	code, said = d.run("collect", d.project, mailed[2], "--as-of", "2026-11-27")
	require.Equal(t, exitDone, code, said)
	require.Contains(t, said, "1 against another")
	require.Contains(t, said, "plan until 2027-05-31, MN stands against accept until 2027-05-31, KL; neither is applied")
	require.Len(t, d.decided(), 3, "both stand in the store")
	require.Contains(t, d.audit("2026-11-27", exitDone), "1 in force, 2 contradictory")
	require.Len(t, d.decided(), 3)
}

// Where no shell puts files in the place of a pattern, collect does; what it cannot look at is an input that cannot be used.
func TestCollectTakesPatterns(t *testing.T) {
	t.Parallel()
	d := newDecidable(t)
	d.audit("2026-11-25", exitDone)
	back := t.TempDir()
	text, err := os.ReadFile(d.workbook())
	require.NoError(t, err)
	for _, name := range []string{"exceptions M\u00fcller.xlsx", "exceptions (2).XLSX", "what?.xlsx"} {
		require.NoError(t, os.WriteFile(filepath.Join(back, name), text, 0o666))
	}
	require.NoError(t, os.WriteFile(filepath.Join(back, "~$exceptions (2).xlsx"), []byte("open"), 0o666))
	for _, c := range []struct {
		name string
		code int
		says string
	}{
		{filepath.Join(back, "exc*.xlsx"), exitDone, "0 rows with decisions in 2 workbooks"},
		{filepath.Join(back, "*.xlsx"), exitDone, "0 rows with decisions in 3 workbooks"},
		{filepath.Join(back, "what?.xlsx"), exitDone, "0 rows with decisions in 1 workbook,"},
		{filepath.Join(d.out, "exc*.xlsx"), exitDone, "0 rows with decisions in 1 workbook,"},
		{filepath.Join(back, "none*.xlsx"), exitInputs, "none*.xlsx: finds no file\n  hint: in a pattern * stands for any text within a name and ? for one letter: assemblies-*.csv\n"},
		{filepath.Join(back, "~*.xlsx"), exitInputs, "hidden or temporary, and passed over"},
		{filepath.Join(back, strings.Repeat("x", 300)), exitInputs, "cannot be read: file name too long\n  hint: give the path of a workbook that an audit wrote"},
	} {
		code, said := d.run("collect", d.project, c.name)
		require.Equal(t, c.code, code, said)
		require.Contains(t, said, c.says)
	}
}

// A decision that is none is named where it was typed, and on every run after where it is kept; what stands under In stock of a workbook that
// came back is told to be left.
func TestWhatIsNotTakenIsNamed(t *testing.T) {
	t.Parallel()
	edit := editor(t)
	d := newDecidable(t)
	d.audit("2026-11-25", exitDone)
	edit(d.workbook(), "plain", workSaid("DF-220", "9/3", "accepted", "2027-05-01"))
	said := d.audit("2026-11-26", exitDone)
	require.Regexp(t, `Work.* row \d+: decision "accepted" is none of accept, plan, data wrong, done; nothing is decided by it`, said)
	require.NotRegexp(t, `Work.* row \d+: decision "accepted"`, d.audit("2026-11-27", exitDone))
	require.Contains(t, d.audit("2026-11-27", exitDone), `decisions.csv row 2: decision "accepted" is none of accept, plan, data wrong, done`)

	mailed := filepath.Join(t.TempDir(), "mailed.xlsx")
	text, err := os.ReadFile(d.workbook())
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(mailed, text, 0o666))
	_, said = d.run("collect", d.project, mailed)
	require.NotContains(t, said, "In stock")
	onMaterial(t, mailed, func(rows [][]string) [][]string {
		at := slices.Index(rows[0], "In stock")
		for i := range rows[:4] {
			rows[i] = append(rows[i], make([]string, len(rows[0])-len(rows[i]))...)
			rows[i][at] = map[bool]string{true: "In stock", false: "9"}[i == 0]
		}
		return rows
	})
	_, said = d.run("collect", d.project, mailed)
	require.Contains(t, said, "mailed.xlsx: In stock is not taken, which has 3 cells filled in; a run takes it from the workbook that it replaces alone")
}

func TestGatesCountWhatIsOpen(t *testing.T) {
	t.Parallel()
	d := newDecidable(t)
	require.NoError(t, os.WriteFile(d.store, []byte("exception,line,structure,check,decision,until,by,reason,decided,ended,was\n,DP-33,,tension-at-deviation,accept,2026-11-30\n"), 0o666))
	code, said := d.run("audit", d.project, "--out", d.out, "--as-of", "2026-11-25", "--max-shortfalls", "39")
	require.Equal(t, exitDone, code, said)
	require.Contains(t, said, "exceptions: 40 shortfalls", "what is decided stays an exception")
	d.audit("2026-11-25", exitDone, "--fail-on", "lapsed", "--also", "csv")
	layer, err := os.ReadFile(filepath.Join(d.out, "exceptions.geojson"))
	require.NoError(t, err)
	values, err := os.ReadFile(filepath.Join(d.out, "exceptions.csv"))
	require.NoError(t, err)
	decided := strings.Count(string(layer), `"decision":"accept","decision_status":"in force"`)
	require.Positive(t, decided)
	require.Equal(t, decided, strings.Count(string(values), `,accept,"in force",`))
	log, err := os.ReadFile(filepath.Join(d.out, "history.csv"))
	require.NoError(t, err)
	require.Contains(t, string(log), fmt.Sprintf(",%d,", decided))
	require.Contains(t, d.audit("2026-12-01", exitFound, "--fail-on", "lapsed"), "1 decision that lapsed (--fail-on lapsed)")
	d.audit("2026-12-01", exitFound, "--max-shortfalls", "39")
	for _, word := range []string{"done", "data wrong"} {
		require.NoError(t, os.WriteFile(d.store, []byte("exception,line,structure,check,decision,until,by,reason,decided,ended,was\n,DP-33,,tension-at-deviation,"+word+",2027-11-30\n"), 0o666))
		require.NoError(t, os.Remove(d.workbook()))
		d.audit("2026-11-25", exitFound, "--max-shortfalls", "39")
	}
}

// What would lose a decision is refused, with the outputs as they were.
func TestNoDecisionIsLost(t *testing.T) {
	t.Parallel()
	edit := editor(t)
	d := newDecidable(t)
	d.audit("2026-11-25", exitDone)
	edit(d.workbook(), "plain", firstEdits...)
	before := snapshot(t, d.out)

	sound, err := os.ReadFile(d.project)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(d.project, bytes.ReplaceAll(sound, []byte("decisions: decisions.csv"), nil), 0o666))
	require.Contains(t, d.audit("2026-11-26", exitOutputs), "decisions that are kept nowhere else")
	require.Equal(t, before, snapshot(t, d.out))

	require.NoError(t, os.WriteFile(d.project, bytes.ReplaceAll(sound, []byte("decisions: decisions.csv"), []byte("decisions: out/history.csv")), 0o666))
	require.Contains(t, d.audit("2026-11-26", exitOutputs), "is the file of decisions")
	require.NoError(t, os.WriteFile(d.project, sound, 0o666))

	require.NoError(t, os.WriteFile(d.store, []byte("decision\naccept\n"), 0o666))
	require.Contains(t, d.audit("2026-11-26", exitInputs), `has no column "exception"`)
	renamed := []byte("exception,line,structure,check,decision,valid until,by,reason,decided,ended,was\n,DP-33,,tension-at-deviation,accept,2026-11-30\n")
	require.NoError(t, os.WriteFile(d.store, renamed, 0o666))
	require.Contains(t, d.audit("2026-11-26", exitInputs), `decisions.csv: row 1: has no column "until", but "valid until"`)
	left, err := os.ReadFile(d.store)
	require.NoError(t, err)
	require.Equal(t, string(renamed), string(left))
	require.NoError(t, os.Remove(d.store))

	whole, err := os.ReadFile(d.workbook())
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(d.workbook(), whole[:len(whole)/2], 0o666))
	require.Contains(t, d.audit("2026-11-26", exitInputs), "it may hold decisions")
	require.NoError(t, os.WriteFile(d.workbook(), whole, 0o666))
	require.Equal(t, before, snapshot(t, d.out))

	d.audit("2026-11-26", exitDone)
	require.Equal(t, firstStore, d.decided())

	stored, err := os.ReadFile(d.store)
	require.NoError(t, err)
	before = snapshot(t, d.out)
	cut := bytes.SplitAfter(stored, []byte("\n"))
	require.NoError(t, os.WriteFile(d.store, bytes.Join(cut[:len(cut)-3], nil), 0o666)) // at the end of a row
	require.Contains(t, d.audit("2026-11-27", exitInputs, "--quiet"), "does not have 2 decisions any more that the run before filled in from it, such as ")
	require.Equal(t, before, snapshot(t, d.out))
	require.NoError(t, os.WriteFile(d.store, stored, 0o666))

	require.NoError(t, os.Remove(d.store)) // lost, and still in the workbook
	d.audit("2026-11-27", exitDone)
	require.Equal(t, firstStore, d.decided())
}

// Where the columns before those that say what a row is of were sorted without them, no decision changes hands.
func TestRowsSortedApartFromTheirIds(t *testing.T) {
	t.Parallel()
	edit := editor(t)
	d := newDecidable(t)
	d.audit("2026-11-25", exitDone)
	edit(d.workbook(), "plain", firstEdits...)
	d.audit("2026-11-26", exitDone)
	whole, err := os.ReadFile(d.workbook())
	require.NoError(t, err)
	edit(d.workbook(), "apart")
	before, store := snapshot(t, d.out), d.decided()
	said := d.audit("2026-11-27", exitInputs)
	require.Contains(t, said, "cannot be told what the decision")
	require.Contains(t, said, "sort whole rows")
	require.Equal(t, before, snapshot(t, d.out))
	require.Equal(t, store, d.decided())
	code, said := d.run("collect", d.project, d.workbook())
	require.Equal(t, exitInputs, code, said)
	require.Equal(t, store, d.decided())

	require.NoError(t, os.WriteFile(d.workbook(), whole, 0o666))
	edit(d.workbook(), "twice")
	require.Contains(t, d.audit("2026-11-27", exitInputs), `has 2 columns "Decision"`)
	require.Equal(t, store, d.decided())
}

// A run that was cut short while it replaced the outputs may have left its workbook, in which people decide before the next one puts the
// earlier set back.
func TestDecisionsInAWorkbookThatIsPutBack(t *testing.T) {
	t.Parallel()
	edit := editor(t)
	d := newDecidable(t)
	d.audit("2026-11-25", exitDone)
	edit(d.workbook(), "plain", firstEdits[:2]...)
	earlier, err := os.ReadFile(d.workbook())
	require.NoError(t, err)
	d.audit("2026-11-26", exitDone)
	edit(d.workbook(), "plain", append([]map[string]string{exceptionSaid("DP-33-T1", "23/9", "tension-at-terminal", "", "", "", "")}, firstEdits[2:]...)...)

	const staging = ".dryarc-1-0123456789abcdef"
	require.NoError(t, os.Mkdir(filepath.Join(d.out, staging), 0o777))
	require.NoError(t, os.WriteFile(filepath.Join(d.out, staging, ".dryarc-staging"), nil, 0o666))
	require.NoError(t, os.WriteFile(filepath.Join(d.out, staging, "old-exceptions.xlsx"), earlier, 0o666))
	require.NoError(t, os.WriteFile(filepath.Join(d.out, ".dryarc-swap"), []byte(`{"staging":"`+staging+`","files":[{"name":"exceptions.xlsx","had":true}]}`), 0o666))
	said := d.audit("2026-11-27", exitDone)
	want := slices.Clone(firstStore)
	want[2] += " withdrawn 2026-11-27"
	require.Equal(t, want, d.decided(), said)
	require.NoDirExists(t, filepath.Join(d.out, staging))
}
