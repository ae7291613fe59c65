package report

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// program finds another program that checks an output. Where it is not installed the test is skipped, under CI=true
// it fails.
func program(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		absent(t, name)
	}
	return path
}

func absent(t *testing.T, name string) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatal(name + " is not installed")
	}
	t.Skip(name + " is not installed")
}

// run runs a program and returns what it writes to its standard output.
func run(t *testing.T, name string, arguments ...string) string {
	t.Helper()
	var said, complaints strings.Builder
	command := exec.Command(name, arguments...)
	command.Stdout, command.Stderr = &said, &complaints
	require.NoError(t, command.Run(), complaints.String())
	return said.String()
}

// saved writes an output into a folder of its own and returns its path.
func saved(t *testing.T, name string, content []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, content, 0o666))
	return path
}

// alwaysRecalculate has LibreOffice compute every formula anew, whatever values the workbook holds.
const alwaysRecalculate = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>`

// converted has LibreOffice open a file and write it in another format.
func converted(t *testing.T, path, format string) string {
	t.Helper()
	office := program(t, "soffice")
	out, profile := t.TempDir(), t.TempDir()
	require.NoError(t, os.MkdirAll(filepath.Join(profile, "user"), 0o777))
	require.NoError(t, os.WriteFile(filepath.Join(profile, "user", "registrymodifications.xcu"), []byte(alwaysRecalculate), 0o666))
	run(t, office, "-env:UserInstallation=file://"+filepath.ToSlash(profile), "--headless", "--convert-to", format, "--outdir", out, path)
	found, err := filepath.Glob(filepath.Join(out, "*."+format))
	require.NoError(t, err)
	require.Len(t, found, 1)
	return found[0]
}

func bookBytes(t *testing.T, r *audit.Result) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, writeWorkbook(context.Background(), &b, r, nil))
	return b.Bytes()
}

// A second program opens the workbook and prints it.
func TestLibreOfficeOpensTheWorkbook(t *testing.T) {
	pdf := converted(t, saved(t, "exceptions.xlsx", bookBytes(t, fixtureResult(t))), "pdf")
	info, err := os.Stat(pdf)
	require.NoError(t, err)
	require.Greater(t, info.Size(), int64(10_000))
}

// A third program reads the workbook: its sheets, its stored values, and that the input's text is no formula.
func TestOpenpyxlReadsTheWorkbook(t *testing.T) {
	python := program(t, "/usr/bin/python3")
	if exec.Command(python, "-c", "import openpyxl").Run() != nil {
		absent(t, "openpyxl")
	}
	path := saved(t, "exceptions.xlsx", bookBytes(t, fixtureResult(t)))
	said := run(t, python, "-c", `
import openpyxl, sys
book = openpyxl.load_workbook(sys.argv[1])
values = openpyxl.load_workbook(sys.argv[1], data_only=True)
print(",".join(book.sheetnames))
sheet = book["Exceptions"]
print(sheet["D2"].data_type, sheet["E2"].data_type, values["Exceptions"]["E2"].value, values["Exceptions"]["L2"].value)
print(len(book["Overview"]._charts))
`, path)
	want := ""
	for i, sheet := range allSheets {
		if i > 0 {
			want += ","
		}
		want += sheet
	}
	require.Equal(t, want+"\ns f "+formulaText+" 2655\n4\n", said)
}

func number64(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return x
}

func openFile(t *testing.T, path string) *excelize.File {
	t.Helper()
	file, err := excelize.OpenFile(path)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, file.Close()) })
	return file
}

// Gnumeric reads every sheet of the workbook, with the rows that excelize reads.
func TestGnumericReadsTheWorkbook(t *testing.T) {
	gnumeric := program(t, "ssconvert")
	book := bookBytes(t, fixtureResult(t))
	path := saved(t, "exceptions.xlsx", book)
	out := filepath.Join(t.TempDir(), "sheet-%n.csv")
	run(t, gnumeric, "--export-file-per-sheet", "--export-type=Gnumeric_stf:stf_csv", path, out)
	file := openFile(t, path)
	for i, sheet := range allSheets {
		text, err := os.ReadFile(strings.Replace(out, "%n", strconv.Itoa(i), 1))
		require.NoError(t, err, sheet)
		rows, err := file.GetRows(sheet)
		require.NoError(t, err)
		require.NotEmpty(t, rows, sheet)
		require.GreaterOrEqual(t, strings.Count(string(text), "\n"), len(rows), sheet)
	}
}
