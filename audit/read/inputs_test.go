package read

import (
	"bytes"
	"cmp"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"dryarc/audit"

	"github.com/klauspost/compress/zstd"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// inputsFolder holds small awkward inputs, one archive of texts each: a sentence on the quirk, the files and what is to be
// read of them. A word behind the name of a file says what is done to its text before it is written: bom, crlf, cr,
// latin1, utf16, gzip, zstd, cut. A workbook is a text of sheets in brackets, cells between bars, and the words merge and hide. A
// shapefile is a description for package shptest, an archive such descriptions below their names in brackets.
// What a case does not bring comes from the base project.
const inputsFolder = "../../testdata/inputs"

// TestInputs reads every awkward input. DRYARC_UPDATE=1 writes what is read of them anew; look at each difference.
func TestInputs(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(inputsFolder, "*.txtar"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 60)
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			raw, err := os.ReadFile(file)
			require.NoError(t, err)
			given, want, _ := strings.Cut(string(raw), "-- want --\n")
			comment, parts := partsOf(given)
			require.NotEmpty(t, strings.TrimSpace(comment), "say what is awkward")
			got := readInputs(t, parts, largeSheet)
			if os.Getenv("DRYARC_UPDATE") != "" {
				require.NoError(t, os.WriteFile(file, []byte(given+"-- want --\n"+got), 0o644))
			}
			require.Equal(t, want, got)
		})
	}
}

// inputPart is a file of a case.
type inputPart struct{ name, changes, text string }

// partsOf takes a case apart at its lines "-- name --".
func partsOf(text string) (comment string, parts []inputPart) {
	for line := range strings.Lines(text) {
		if head, ok := strings.CutPrefix(line, "-- "); ok && strings.HasSuffix(head, " --\n") {
			name, changes, _ := strings.Cut(strings.TrimSuffix(head, " --\n"), " ")
			parts = append(parts, inputPart{name: name, changes: changes})
			continue
		}
		if len(parts) == 0 {
			comment += line
		} else {
			parts[len(parts)-1].text += line
		}
	}
	return comment, parts
}

// TestInputsAsLargeSheets holds that a sheet too large to look for merged areas before its rows is read as any other.
func TestInputsAsLargeSheets(t *testing.T) {
	for _, name := range [...]string{"workbook-merged", "workbook-merged-numbers", "workbook-merged-optional", "register-fixed-merged", "fill-down-workbook", "workbook-merged-filled"} {
		raw, err := os.ReadFile(filepath.Join(inputsFolder, name+".txtar"))
		require.NoError(t, err)
		given, want, _ := strings.Cut(string(raw), "-- want --\n")
		_, parts := partsOf(given)
		require.Equal(t, want, readInputs(t, parts, 1), name)
	}
}

func readInputs(t *testing.T, parts []inputPart, large uint64) string {
	t.Helper()
	folder := t.TempDir()
	given := map[string]bool{}
	stdin := ""
	for _, part := range parts {
		given[part.name] = true
		switch content := changed(t, []byte(part.text), part.changes); {
		case part.name == "stdin":
			stdin = string(content)
		case filepath.Ext(part.name) == ".shp":
			for extension, content := range shapefileParts(t, string(content)) {
				require.NoError(t, os.WriteFile(filepath.Join(folder, strings.TrimSuffix(part.name, ".shp")+extension), content, 0o600))
			}
		case filepath.Ext(part.name) == ".zip":
			require.NoError(t, os.WriteFile(filepath.Join(folder, part.name), zipped(t, string(content)), 0o600))
		case filepath.Ext(part.name) == ".xlsx" && bytes.HasPrefix(content, []byte("[")):
			writeDescribed(t, filepath.Join(folder, part.name), string(content))
		default:
			require.NoError(t, os.WriteFile(filepath.Join(folder, part.name), content, 0o600))
		}
	}
	b := newBase()
	if !given["structures.geojson"] {
		require.NoError(t, os.WriteFile(filepath.Join(folder, "structures.geojson"), []byte(b.structures), 0o600))
	}
	if !given["audit.yaml"] {
		project := "structures: {file: structures.geojson}\n"
		for _, section := range [...]string{"routes", "zones", "crossings", "places"} {
			if given[section+".geojson"] {
				project += section + ": {file: " + section + ".geojson}\n"
			}
		}
		for _, register := range [...]string{"assemblies.csv", "assemblies.csv.gz", "register.csv", "register.xlsx"} {
			if given[register] {
				project += "register: {file: " + register + "}\n"
			}
		}
		require.NoError(t, os.WriteFile(filepath.Join(folder, "audit.yaml"), []byte(project), 0o600))
	}
	path := filepath.Join(folder, "audit.yaml")
	f, err := readProjectFile(path)
	if err != nil {
		return told(err, folder)
	}
	f.stdin, f.largeSheet = strings.NewReader(stdin), large
	p, understood, err := f.read(context.Background(), path)
	if err != nil {
		return told(err, folder)
	}
	var out strings.Builder
	dump(&out, p, given["structures.geojson"] || p.Assemblies.Len() == 0)
	for _, taken := range p.FilesTaken {
		fmt.Fprintln(&out, "files:", taken)
	}
	for _, u := range understood {
		dumpUnderstanding(&out, u)
	}
	for _, fault := range faultsOf(p) {
		fmt.Fprintln(&out, "fault", fault)
	}
	return out.String()
}

func changed(t *testing.T, content []byte, changes string) []byte {
	t.Helper()
	for _, change := range strings.Fields(changes) {
		switch change {
		case "bom":
			content = append([]byte("\xef\xbb\xbf"), content...)
		case "crlf":
			content = bytes.ReplaceAll(content, []byte("\n"), []byte("\r\n"))
		case "cr":
			content = bytes.ReplaceAll(content, []byte("\n"), []byte("\r"))
		case "latin1":
			var narrow []byte
			for _, r := range string(content) {
				narrow = append(narrow, byte(r))
			}
			content = narrow
		case "utf16":
			wide := []byte("\xff\xfe")
			for _, unit := range utf16.Encode([]rune(string(content))) {
				wide = append(wide, byte(unit), byte(unit>>8))
			}
			content = wide
		case "gzip":
			var packed bytes.Buffer
			w := gzip.NewWriter(&packed)
			_, err := w.Write(content)
			require.NoError(t, err)
			require.NoError(t, w.Close())
			content = packed.Bytes()
		case "zstd":
			w, err := zstd.NewWriter(nil)
			require.NoError(t, err)
			content = w.EncodeAll(content, nil)
			require.NoError(t, w.Close())
		case "cut":
			content = content[:len(content)*2/3]
		case "xls":
			content = append([]byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"), content...)
		default:
			t.Fatalf("%q is no change", change)
		}
	}
	return content
}

// writeDescribed writes a workbook from its description. A cell with a quote in front is a text, one with = a formula,
// whose stored value may follow behind an arrow; the number format of a cell stands behind it in braces.
func writeDescribed(t *testing.T, path, description string) {
	t.Helper()
	book := excelize.NewFile()
	defer func() { require.NoError(t, book.Close()) }()
	sheet, row, count := "", 0, 0
	for line := range strings.Lines(description) {
		line = strings.TrimSuffix(line, "\n")
		word, rest, _ := strings.Cut(line, " ")
		switch {
		case strings.HasPrefix(line, "["):
			if sheet, row = strings.Trim(line, "[]"), 0; count == 0 {
				require.NoError(t, book.SetSheetName("Sheet1", sheet))
			} else {
				_, err := book.NewSheet(sheet)
				require.NoError(t, err)
			}
			count++
		case word == "merge":
			from, to, _ := strings.Cut(rest, ":")
			require.NoError(t, book.MergeCell(sheet, from, to))
		case word == "hide":
			number, err := strconv.Atoi(rest)
			require.NoError(t, err)
			require.NoError(t, book.SetRowVisible(sheet, number, false))
		default:
			row++
			for i, cell := range strings.Split(line, "|") {
				place, err := excelize.CoordinatesToCellName(i+1, row)
				require.NoError(t, err)
				require.NoError(t, setDescribed(book, sheet, place, strings.TrimSpace(cell)))
			}
		}
	}
	require.NoError(t, book.SaveAs(path))
}

func setDescribed(book *excelize.File, sheet, place, cell string) error {
	if value, format, found := strings.Cut(strings.TrimSuffix(cell, "}"), "{"); found {
		style, err := book.NewStyle(&excelize.Style{CustomNumFmt: &format})
		if err != nil {
			return err
		}
		if err := book.SetCellStyle(sheet, place, place, style); err != nil {
			return err
		}
		cell = value
	}
	number, isNumber := parseNumber(cell)
	switch {
	case cell == "":
		return nil
	case strings.HasPrefix(cell, "'"):
		return book.SetCellStr(sheet, place, cell[1:])
	case strings.HasPrefix(cell, "="):
		formula, stored, found := strings.Cut(cell, "→")
		if found {
			if err := setDescribed(book, sheet, place, strings.TrimSpace(stored)); err != nil {
				return err
			}
		}
		return book.SetCellFormula(sheet, place, strings.TrimSpace(formula))
	case isNumber:
		return book.SetCellFloat(sheet, place, number, -1, 64)
	}
	return book.SetCellStr(sheet, place, cell)
}

// told is an error with its hint as people see them, or several.
func told(err error, folder string) string {
	var out strings.Builder
	for _, one := range Each(err) {
		var project *ProjectFileError
		var input *InputError
		hint := ""
		switch {
		case errors.As(one, &project):
			hint = project.Hint
		case errors.As(one, &input):
			hint = input.Hint
		}
		fmt.Fprintf(&out, "error %v\nhint %s\n", one, hint)
	}
	return strings.ReplaceAll(out.String(), folder+string(filepath.Separator), "")
}

// dump writes what was read, known figures only.
func dump(out *strings.Builder, p *audit.Project, structures bool) {
	figure := func(name string, value float64) {
		if !math.IsNaN(value) {
			fmt.Fprintf(out, " %s %g", name, value)
		}
	}
	// a transformed position has last digits of its own on other processors
	place := func(degrees float64) float64 { return math.Round(degrees*1e9) / 1e9 }
	for _, s := range p.Structures.All() {
		if !structures {
			break
		}
		fmt.Fprintf(out, "structure %s %s at %g %g", p.Symbols.Text(s.Line), p.Texts.Get(s.Number), place(s.Lon), place(s.Lat))
		figure("sequence", s.Sequence)
		figure("ground", s.GroundM)
		figure("attachment", s.AttachmentM)
		if s.Duty != audit.DutyUnknown || s.Role != audit.NoDeclaredRole {
			fmt.Fprintf(out, " %s %s", s.Duty, s.Role)
		}
		if texts := p.CarriedAt(s.Source); len(texts) > 0 {
			fmt.Fprintf(out, " carried %q", texts)
		}
		out.WriteString("\n")
	}
	for _, input := range p.Inputs {
		if input.System != "" {
			fmt.Fprintf(out, "positions of %s in %s", input.File, input.System)
			figure("datum within", cmp.Or(input.DatumM, math.NaN()))
			out.WriteString("\n")
		}
		for _, text := range input.Assumed {
			fmt.Fprintf(out, "assumed: %s\n", text)
		}
	}
	for _, r := range p.Routes {
		for _, part := range r.Parts {
			for i, at := range part {
				part[i] = orb.Point{place(at[0]), place(at[1])}
			}
		}
		fmt.Fprintf(out, "route %s %v\n", p.Symbols.Text(r.Line), r.Parts)
	}
	for _, z := range p.Zones {
		fmt.Fprintf(out, "zone %s %.4g %q of %d polygons", z.Class, z.SpecificCreepage, z.Label, len(z.Polygons))
		if z.Broken {
			fmt.Fprintf(out, ", broken, in %v", z.Polygons[0].Bound())
		}
		if z.Unknown != audit.NoReason {
			fmt.Fprintf(out, ", unknown: %s", z.Unknown)
		}
		out.WriteString("\n")
	}
	for _, c := range p.Crossings {
		fmt.Fprintf(out, "crossing %s of %d lines, %d polygons", p.Symbols.Text(c.Kind), len(c.Lines), len(c.Polygons))
		if c.Broken {
			out.WriteString(", broken")
		}
		out.WriteString("\n")
	}
	if p.CrossingsGiven && len(p.Crossings) == 0 {
		out.WriteString("no crossings\n")
	}
	for _, place := range p.Places {
		fmt.Fprintf(out, "place %q at %.6g %.6g", p.Symbols.Text(place.Name), place.Lon, place.Lat)
		figure("rank", place.Rank)
		out.WriteString("\n")
	}
	for _, l := range p.Lines {
		fmt.Fprintf(out, "line %s", p.Symbols.Text(l.Line))
		figure("nominal", l.NominalKV)
		figure("highest", l.HighestKV)
		out.WriteString("\n")
	}
	if p.RowsPassedOver+p.RowsMade > 0 {
		fmt.Fprintf(out, "rows read %d, passed over %d, made %d\n", p.RowsRead, p.RowsPassedOver, p.RowsMade)
	}
	for _, a := range p.Assemblies.All() {
		if texts := p.CarriedAt(a.Source); len(texts) > 0 {
			fmt.Fprintf(out, "carried %q of %q: ", texts, p.Carried.Names)
		}
		fmt.Fprintf(out, "assembly %d: %s %s circuit %s phase %q %s %s %s %d × %q, %d strings, %d defective", a.Source.Row, p.Symbols.Text(a.Line), p.Texts.Get(a.Number),
			p.Symbols.Text(a.Circuit), p.Symbols.Text(a.Phase), a.Side, a.Duty, a.Arrangement, a.UnitsPerString, p.Makeups[a.Makeup].Text, a.Strings, a.Defective)
		if a.VAngleDeg > 0 {
			fmt.Fprintf(out, " at %g°", a.VAngleDeg)
		}
		if a.Direct > 0 {
			d := p.Direct[a.Direct-1]
			figure("creepage", d.CreepageMM)
			figure("rating", math.Round(d.RatingKN*1e6)/1e6)
			figure("length", d.LengthMM)
		}
		if a.Installed != audit.NoDay {
			fmt.Fprintf(out, " installed %s", a.Installed)
		}
		if a.Remarks != 0 {
			fmt.Fprintf(out, " %q", p.Texts.Get(a.Remarks))
		}
		out.WriteString("\n")
	}
}

// dumpUnderstanding writes what is not plain in how a table was understood.
func dumpUnderstanding(out *strings.Builder, u Understanding) {
	for _, c := range u.Columns {
		if headingKey(c.Written) != headingKey(c.For) && headingKey(c.Written) != headingKey(c.For+c.Kept) || c.From != c.Kept {
			units := ""
			if c.Kept != "" {
				units = c.From + " to " + c.Kept
			}
			fmt.Fprintf(out, "%s: %q is %s %s\n", u.Table, c.Written, c.For, units)
		}
	}
	for _, c := range u.Ignored {
		fmt.Fprintf(out, "%s: %q is not used %s\n", u.Table, c.Written, c.Why)
	}
	for _, note := range u.Notes {
		fmt.Fprintf(out, "%s: %s\n", u.Table, note)
	}
}
