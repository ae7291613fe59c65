package read

import (
	"archive/zip"
	"context"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/require"
)

// inUTF16 is a text in UTF-16, of either order.
func inUTF16(text string, mark, bigEndian bool) string {
	units := utf16.Encode([]rune(text))
	if mark {
		units = append([]uint16{0xfeff}, units...)
	}
	var out strings.Builder
	for _, unit := range units {
		if high, low := byte(unit>>8), byte(unit); bigEndian {
			out.Write([]byte{high, low})
		} else {
			out.Write([]byte{low, high})
		}
	}
	return out.String()
}

// TestEncodingsOfParts holds that a workbook whose parts are in another encoding is read alike, formulas without a stored
// value among it, by the scanner and by the library.
func TestEncodingsOfParts(t *testing.T) {
	b := newBase()
	b.assemblies = append(b.assemblies, []any{"L1", 2, "Bä€😀", "=1+1", "suspension", "U120B", 9})
	original := b.write(t)
	want, err := readingOf(original)
	require.NoError(t, err)
	require.Contains(t, want, "no-cached-value")
	var names []string
	archive, err := zip.OpenReader(filepath.Join(filepath.Dir(original), "register.xlsx"))
	require.NoError(t, err)
	for _, file := range archive.File {
		names = append(names, file.Name)
	}
	require.NoError(t, archive.Close())
	require.Contains(t, names, "xl/sharedStrings.xml")
	for _, odd := range []string{"", `r="$A$2"`} { // what only the library reads
		for name, change := range map[string]func(string) string{
			"UTF-16":                      func(s string) string { return inUTF16(s, true, false) },
			"UTF-16 that says so":         func(s string) string { return inUTF16(strings.Replace(s, "UTF-8", "UTF-16", 1), true, false) },
			"UTF-16, the high byte first": func(s string) string { return inUTF16(strings.Replace(s, "UTF-8", "utf-16", 1), true, true) },
			"UTF-16 without a mark":       func(s string) string { return inUTF16(s, false, false) },
			"UTF-16 without a mark, high": func(s string) string { return inUTF16(s, false, true) },
			"the same":                    func(s string) string { return s },
		} {
			for _, part := range append(names, "all") {
				if part != "all" && part != firstSheet && name != "UTF-16" {
					continue
				}
				path := b.write(t)
				workbook := filepath.Join(filepath.Dir(path), "register.xlsx")
				if odd != "" {
					rewrite(t, workbook, firstSheet, func(xml string) string { return strings.Replace(xml, `r="A2"`, odd, 1) })
				}
				for _, n := range names {
					if part == n || part == "all" {
						rewrite(t, workbook, n, change)
					}
				}
				got, err := readingOf(path)
				require.NoError(t, err, "%s of %s %s", name, part, odd)
				require.Equal(t, want, got, "%s of %s %s", name, part, odd)
			}
		}
	}
}

// TestEncodingsOfSheets holds the same for a sheet in an encoding of one byte a letter, and that one in an encoding that nobody
// knows is refused.
func TestEncodingsOfSheets(t *testing.T) {
	const rows = `<row r="1"><c r="A1" t="inlineStr"><is><t>Line</t></is></c><c r="B1" t="inlineStr"><is><t>Structure</t></is></c><c r="C1" t="inlineStr"><is><t>Duty</t></is></c><c r="D1" t="inlineStr"><is><t>Unit</t></is></c>` +
		`<c r="E1" t="inlineStr"><is><t>Units per string</t></is></c><c r="F1" t="inlineStr"><is><t>Remarks</t></is></c></row>` +
		`<row r="2"><c r="A2" t="inlineStr"><is><t>L1</t></is></c><c r="B2" t="inlineStr"><is><t>1</t></is></c><c r="C2" t="inlineStr"><is><t>tension</t></is></c><c r="D2" t="inlineStr"><is><t>U120B</t></is></c>` +
		`<c r="E2"><f>5+5</f></c><c r="F2" t="inlineStr"><is><t>M` + "\xfc" + `ller</t></is></c></row>`
	sheet := func(encoding, rows string) string {
		return `<?xml version="1.0" encoding="` + encoding + `"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>` + rows + `</sheetData></worksheet>`
	}
	read := func(content string) (string, error) {
		path := newBase().write(t)
		rewrite(t, filepath.Join(filepath.Dir(path), "register.xlsx"), firstSheet, func(string) string { return content })
		p, err := Project(context.Background(), path)
		if err != nil {
			return "", err
		}
		return p.Texts.Get(p.Assemblies.Row(0).Remarks) + ": " + strings.Join(faultsOf(p), ", "), nil
	}
	for _, encoding := range []string{"ISO-8859-1", "windows-1252", "iso-8859-15"} {
		got, err := read(sheet(encoding, rows))
		require.NoError(t, err)
		require.Equal(t, `Müller: no-cached-value register.xlsx!Assemblies!E2: units per string "=5+5" is a formula without a stored value; open the workbook in a spreadsheet program and save it`, got, encoding)
	}
	_, err := read(sheet("EBCDIC-INT", rows))
	require.ErrorContains(t, err, "xl/worksheets/sheet1.xml is in an encoding that is not known")
	_, err = read(inUTF16(sheet("UTF-16", `<row r="1"><c r="A1"><v>1</v></c></row>`), true, false) + "\x00")
	require.ErrorContains(t, err, "register.xlsx!Assemblies: ")
	_, err = read(inUTF16(`<?xml version="1.0"?><!DOCTYPE worksheet [<!ENTITY a "b">]>`+sheet("UTF-16", rows)[38:], true, false))
	require.ErrorContains(t, err, "holds a document type declaration")
}

// TestLibraryRefusesDisorder holds that a sheet which only the library reads loses no rows that stand out of order.
func TestLibraryRefusesDisorder(t *testing.T) {
	for change, message := range map[[2]string]string{
		{`<row r="3"`, `<row r="2"`}: "is damaged: row 2 stands after row 2",
		{`<row r="2"`, `<row r="9"`}: "is damaged: cell A2 stands in row 9",
		{`r="B3"`, `r="A3"`}:         "is damaged: cell A3 stands after cell A3",
		{`r="B3"`, `r="B7"`}:         "is damaged: cell B7 stands in row 3",
	} {
		path := newBase().write(t)
		rewrite(t, filepath.Join(filepath.Dir(path), "register.xlsx"), firstSheet, func(xml string) string {
			xml = strings.Replace(xml, `r="A2"`, `r="$A$2"`, 1)
			require.Contains(t, xml, change[0])
			return strings.Replace(xml, change[0], change[1], 1)
		})
		_, err := Project(context.Background(), path)
		requireInputError(t, err, "register.xlsx!Assemblies: "+message, saveHint)
	}
}
