package read

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const (
	mainSpace = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
	xmlHead   = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n"

	sheetHead = xmlHead + `<worksheet ` + mainSpace + `><sheetData>` + `<row r="1">` +
		`<c r="A1" t="inlineStr"><is><t>Line</t></is></c><c r="B1" t="inlineStr"><is><t>Structure</t></is></c><c r="C1" t="inlineStr"><is><t>Duty</t></is></c>` +
		`<c r="D1" t="inlineStr"><is><t>Unit</t></is></c><c r="E1" t="inlineStr"><is><t>Units per string</t></is></c><c r="F1" t="inlineStr"><is><t>Remarks</t></is></c></row>`
	sheetTail = `</sheetData></worksheet>`
	textsPart = "xl/sharedStrings.xml"
)

// emptyBook are the parts of a workbook whose one sheet, called One, is empty.
func emptyBook() map[string]string {
	const relations = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	const links = xmlHead + `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="` + relations
	return map[string]string{
		"[Content_Types].xml":        xmlHead + `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>`,
		"_rels/.rels":                links + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
		"xl/workbook.xml":            xmlHead + `<workbook ` + mainSpace + ` xmlns:r="` + relations + `"><sheets><sheet name="One" sheetId="1" r:id="r1"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": links + `/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`,
		firstSheet:                   xmlHead + `<worksheet ` + mainSpace + `><sheetData></sheetData></worksheet>`,
		textsPart:                    xmlHead + `<sst ` + mainSpace + `></sst>`,
	}
}

// soundRow is a row of assemblies; a remark may follow.
func soundRow(number int, remark string) string {
	return fmt.Sprintf(`<row r="%[1]d"><c r="A%[1]d" t="str"><v>L1</v></c><c r="B%[1]d"><v>1</v></c><c r="C%[1]d" t="str"><v>suspension</v></c><c r="D%[1]d" t="str"><v>U120B</v></c>`+
		`<c r="E%[1]d"><v>9</v></c>%[2]s</row>`, number, remark)
}

// swollen is a part that unpacks to a head, a text repeated many times, and a tail.
type swollen struct {
	head, repeated string
	times          int
	tail           string
}

// hostileBook is a sound register in which some parts are others.
func hostileBook(t *testing.T, sheet string, parts map[string]swollen) []byte {
	t.Helper()
	var out bytes.Buffer
	archive := zip.NewWriter(&out)
	all := map[string]swollen{}
	for name, text := range emptyBook() {
		all[name] = swollen{head: strings.Replace(text, `name="One"`, `name="`+sheet+`"`, 1)}
	}
	all[firstSheet] = swollen{head: sheetHead + soundRow(2, "") + sheetTail}
	maps.Copy(all, parts)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		part := all[name]
		if part.times == 0 {
			w, err := archive.Create(name)
			require.NoError(t, err)
			_, err = w.Write([]byte(part.head + part.tail))
			require.NoError(t, err)
			continue
		}
		packed := deflated(t, part)
		w, err := archive.CreateRaw(&zip.FileHeader{Name: name, Method: zip.Deflate, CompressedSize64: uint64(len(packed)),
			UncompressedSize64: uint64(len(part.head) + part.times*len(part.repeated) + len(part.tail))})
		require.NoError(t, err)
		_, err = w.Write(packed)
		require.NoError(t, err)
	}
	require.NoError(t, archive.Close())
	return out.Bytes()
}

// deflated compresses a part; what is repeated in it but once.
func deflated(t *testing.T, part swollen) []byte {
	var out bytes.Buffer
	for _, text := range [...]string{part.head, part.repeated, part.tail} {
		start := out.Len()
		w, err := flate.NewWriter(&out, flate.DefaultCompression)
		require.NoError(t, err)
		_, err = w.Write([]byte(text))
		require.NoError(t, err)
		require.NoError(t, w.Flush())
		if text == part.repeated {
			block := bytes.Clone(out.Bytes()[start:])
			for range part.times - 1 {
				out.Write(block)
			}
		}
	}
	out.Write([]byte{3, 0}) // a last block that is empty
	return out.Bytes()
}

func TestHostileWorkbook(t *testing.T) {
	const hint = "\nhint open it in a spreadsheet program and save it as .xlsx"
	const mib = 1 << 20
	inSheet := func(start, repeated string, times int, end string) []byte {
		return hostileBook(t, assembliesSheet, map[string]swollen{firstSheet: {sheetHead + soundRow(2, "") + start, repeated, times, end + sheetTail}})
	}
	with := func(part, head, repeated string, times int, tail string) []byte {
		return hostileBook(t, assembliesSheet, map[string]swollen{part: {head, repeated, times, tail}})
	}
	blanks, manyRows, manyCells := strings.Repeat(" ", mib/2), strings.Repeat("<row/>", mib/6), strings.Repeat("<c><v>1</v></c>", mib/15)
	long := `<c r="F%d" t="inlineStr"><is><t>` + strings.Repeat("x", 32767) + `</t></is></c>`
	var longRows, longRow strings.Builder
	for i := range 300 {
		longRows.WriteString(soundRow(i+3, fmt.Sprintf(long, i+3)))
	}
	for range 600 {
		longRow.WriteString(`<c t="inlineStr"><is><t>` + strings.Repeat("x", 32767) + `</t></is></c>`)
	}
	const texts = xmlHead + `<sst ` + mainSpace + `>`
	const odd = `<row r="3"><c r="$A$3"><v>1</v></c></row>`
	manyFiles := map[string]swollen{}
	for i := range 10_000 {
		manyFiles[fmt.Sprint("x", i)] = swollen{}
	}
	var manySheets strings.Builder
	for i := range 2000 {
		fmt.Fprintf(&manySheets, `<sheet name="Assemblies %d" sheetId="%d"/>`, i, i+2)
	}
	cases := map[string]hostileCase{
		"spaces":      {"a.xlsx", inSheet("", blanks+"<!---->", 400, ""), "a.xlsx!Assemblies: is too large: it unpacks to more than 500 times its size" + hint, nil, 10},
		"one text":    {"a.xlsx", inSheet(`<row r="3"><c r="A3" t="str"><v>`, blanks, 400, "</v></c></row>"), "a.xlsx!Assemblies: is too large: a tag or a text in it is longer than 1 MiB" + hint, nil, 10},
		"rows":        {"a.xlsx", inSheet("", manyRows, 400, ""), "a.xlsx!Assemblies: has more rows than the 1048576 of a sheet" + hint, nil, 10},
		"cells":       {"a.xlsx", inSheet(`<row r="3">`, manyCells, 400, "</row>"), "a.xlsx!Assemblies: has more cells in row 3 than the 16384 columns of a sheet" + hint, nil, 20},
		"row number":  {"a.xlsx", inSheet(`<row r="999999999999"><c r="ZZZZZZZ99999999999999"><v>1</v></c></row>`, "", 0, ""), "a.xlsx!Assemblies: has more rows than the 1048576 of a sheet" + hint, nil, 10},
		"texts":       {"a.xlsx", with(textsPart, texts, "<!--"+blanks+"-->", 400, "</sst>"), "a.xlsx!Assemblies: xl/sharedStrings.xml is too large: it unpacks to more than 500 times its size" + hint, nil, 10},
		"a text":      {"a.xlsx", with(textsPart, texts+"<si><t>", blanks, 400, "</t></si></sst>"), "a.xlsx!Assemblies: xl/sharedStrings.xml is too large: a tag or a text in it is longer than 1 MiB" + hint, nil, 10},
		"long texts":  {"a.xlsx", inSheet(longRows.String(), "", 0, ""), "", nil, 80},
		"a long text": {"a.xlsx", inSheet(soundRow(3, strings.Replace(fmt.Sprintf(long, 3), "x", "xx", 1)), "", 0, ""), "a.xlsx!Assemblies: cell F3 holds more than the 32767 characters of a cell" + hint, nil, 10},
		"a long row":  {"a.xlsx", inSheet(`<row r="3">`+longRow.String()+"</row>", "", 0, ""), "a.xlsx!Assemblies: holds more than 16 MiB of text in row 3" + hint, nil, 100},
		"prolog":      {"a.xlsx", with(firstSheet, "<!--", blanks, 400, "-->"+sheetHead+sheetTail), "a.xlsx: xl/worksheets/sheet1.xml is too large: more than 64 KiB stand ahead of its content" + hint, nil, 10},
		"files":       {"a.xlsx", hostileBook(t, assembliesSheet, manyFiles), "a.xlsx: is too large: it holds 10006 files, expected no more than 10000" + hint, nil, 30},
		"sheets": {"a.xlsx", with("xl/workbook.xml", strings.Replace(emptyBook()["xl/workbook.xml"], "</sheets>", manySheets.String()+"</sheets>", 1), "", 0, ""),
			"a.xlsx: has 2001 sheets, expected no more than 1000\nhint divide the inputs and audit a part of the lines at a time", nil, 20},
		"unusual": {"a.xlsx", inSheet(odd, strings.Repeat("<row/>", 1000), 10_000, ""),
			"a.xlsx: is written in an unusual way, which is read up to 16 MiB unpacked, and it has more" + hint, nil, 10},
		"name like a path": {"a.xlsx", hostileBook(t, "../../etc/passwd", nil), `a.xlsx: has no sheet "Assemblies"; the sheets there are "../../etc/passwd"` +
			"\nhint say which they are under register in the project file: sheets: {\"../../etc/passwd\": Assemblies}", nil, 10},
		"part outside": {"a.xlsx", with("xl/_rels/workbook.xml.rels", strings.Replace(emptyBook()["xl/_rels/workbook.xml.rels"], "worksheets/sheet1.xml", "../../../../etc/passwd", 1), "", 0, ""),
			"a.xlsx!Assemblies: cannot be read: sheet Assemblies does not exist" + hint, nil, 10},
	}
	const declared = `<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;"><!ENTITY c SYSTEM "file:///etc/passwd">]>`
	for name, text := range map[string]string{"xl/workbook.xml": "<workbook", "xl/_rels/workbook.xml.rels": "<Relationships", "_rels/.rels": "<Relationships",
		textsPart: "<sst", firstSheet: "<worksheet", "[Content_Types].xml": "<Types"} {
		content := emptyBook()[name]
		for place, changed := range map[string]string{"": strings.Replace(content, text, declared+text, 1), " behind a comment": strings.Replace(content, text, "<!-- > -->\n"+declared+text, 1)} {
			require.NotEqual(t, content, changed)
			cases["declaration in "+name+place] = hostileCase{"a.xlsx", with(name, strings.Replace(changed, `"One"`, `"Assemblies"`, 1), "", 0, ""),
				"a.xlsx: " + name + " holds a document type declaration, which no spreadsheet program writes" + hint, nil, 10}
		}
	}
	cases["declaration among rows"] = hostileCase{"a.xlsx", inSheet(declared, "", 0, ""),
		"a.xlsx!Assemblies: holds a document type declaration, which no spreadsheet program writes" + hint, nil, 10}
	checkHostile(t, cases)
}
