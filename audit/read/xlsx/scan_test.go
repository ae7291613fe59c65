package xlsx

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

// valueRow is a row that holds anything, as both readers give it.
type valueRow struct {
	Number uint32
	Cells  []string
}

// scanRows reads the first sheet of a workbook with the scanner.
func scanRows(content []byte) (rows []valueRow, err error) {
	err = eachScanned(content, func(s *scannedSheet) {
		row := valueRow{Number: s.number}
		for _, c := range s.cells {
			for len(row.Cells) < c.column {
				row.Cells = append(row.Cells, "")
			}
			row.Cells = append(row.Cells, c.text)
		}
		rows = append(rows, row)
	})
	return rows, err
}

func eachScanned(content []byte, visit func(*scannedSheet)) error {
	book, err := openScan(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		return err
	}
	s, err := book.scan(context.Background(), book.sheets[0].name)
	if err != nil {
		return err
	}
	defer s.close()
	for s.next() {
		visit(s)
	}
	return s.err
}

// excelizeRows reads the first sheet of a workbook with the library.
func excelizeRows(content []byte) (found []valueRow, err error) {
	text, size, err := archiveInUTF8(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		return nil, err
	}
	book, err := excelize.OpenReader(io.NewSectionReader(text, 0, size), excelize.Options{RawCellValue: true, UnzipXMLSizeLimit: largestForLibrary})
	if err != nil {
		return nil, err
	}
	defer book.Close()
	rows, err := book.Rows(book.GetSheetList()[0])
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for number := uint32(1); rows.Next(); number++ {
		cells, err := rows.Columns()
		if err != nil {
			return found, err
		}
		if len(cells) > 0 {
			found = append(found, valueRow{number, cells})
		}
	}
	return found, rows.Error()
}

func requireSameRows(t require.TestingT, content []byte) []valueRow {
	want, err := excelizeRows(content)
	require.NoError(t, err)
	got, err := scanRows(content)
	require.NoError(t, err)
	require.Equal(t, want, got)
	return got
}

const (
	mainSpace = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
	xmlHead   = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n"
)

// smallBook is a workbook of one sheet; a test changes parts in it.
func smallBook(rows, strings string) map[string]string {
	const relations = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	return map[string]string{
		"[Content_Types].xml": xmlHead + `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>`,
		"_rels/.rels": xmlHead + `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="` +
			relations + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
		"xl/workbook.xml": xmlHead + `<workbook ` + mainSpace + ` xmlns:r="` + relations + `"><sheets><sheet name="One" sheetId="1" r:id="r1"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": xmlHead + `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="` +
			relations + `/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`,
		"xl/worksheets/sheet1.xml": xmlHead + `<worksheet ` + mainSpace + `><sheetData>` + rows + `</sheetData></worksheet>`,
		"xl/sharedStrings.xml":     xmlHead + `<sst ` + mainSpace + `>` + strings + `</sst>`,
	}
}

func zipped(t require.TestingT, parts map[string]string) []byte {
	return archived(t, parts, zip.Deflate)
}

func archived(t require.TestingT, parts map[string]string, method uint16) []byte {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, name := range []string{"[Content_Types].xml", "_rels/.rels", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml",
		"xl/styles.xml", "xl/texts.xml"} {
		if parts[name] == "" {
			continue
		}
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: method})
		require.NoError(t, err)
		_, err = io.WriteString(w, parts[name])
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return out.Bytes()
}

const someTexts = `<si><t>zero</t></si><si><t xml:space="preserve"> one </t></si><si><r><rPr><b/><sz val="11"/></rPr><t>ri</t></r><r><t>ch</t></r><rPh sb="0" eb="1"><t>guide</t></rPh></si>` +
	`<si/><si><t/></si><si><t>a&amp;b&#10;c&#xe9;&lt;&quot;&apos;&gt;</t></si><si><t>x_x000D_y_x005F_x000D_ _x00e9_ _xD800_ _x12_</t></si><si><t><![CDATA[<raw> & ]] ]]>tail</t></si>` +
	`<si><t>Chañar` + "\r\n" + `línea 日本 🗼</t></si>`

// soundSheets are rows that both readers must read alike.
var soundSheets = map[string]string{
	"shared texts": `<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c><c r="C1" t="s"><v>2</v></c><c r="D1" t="s"><v>3</v></c><c r="E1" t="s"><v>4</v></c>` +
		`<c r="F1" t="s"><v>5</v></c><c r="G1" t="s"><v>6</v></c><c r="H1" t="s"><v>7</v></c><c r="I1" t="s"><v> 8 </v></c><c r="J1" t="s"><v></v></c><c r="K1" t="s"/></row>`,
	"inline texts": `<row r="1"><c r="A1" t="inlineStr"><is><t>plain _x000A_</t></is></c><c r="B1" t="inlineStr"><is><r><t>ru</t></r><r><rPr><i/></rPr><t xml:space="preserve">ns </t></r></is></c>` +
		`<c r="C1" t="inlineStr"><is/></c><c r="D1" t="inlineStr"><is><t/></is></c><c r="E1" t="inlineStr"><v>value</v></c><c r="F1" t="inlineStr"/><c r="G1"><is><t>ignored</t></is><v>3</v></c></row>`,
	"plain inline texts": `<row r="1"><c r="A1" t="inlineStr"><is><t>plain</t></is></c><c r="B1" s="2" t="inlineStr"><is><t> two words</t></is></c><c r="C1" t="inlineStr"><is><t>x_x000D_</t></is></c>` +
		`<c r="D1" t="inlineStr"><is><t>a&amp;b</t></is></c><c r="E1" t="inlineStr"><is><t>é]</t></is></c><c r="F1" t="inlineStr"><is><t></t></is></c><c r="G1" t="inlineStr"><is><t>12</t></is></c><c r="H1" t="str"><v>text</v></c></row>`,
	"numbers":              `<row r="1"><c r="A1"><v>1</v></c><c r="B1" t="n"><v>-1.5E-3</v></c><c r="C1"><v>1.1000000000000001</v></c><c r="D1"><v> 7 </v></c><c r="E1"><v>text</v></c><c r="F1" t=""><v>0</v></c></row>`,
	"numbers as text":      `<row r="1"><c r="A1" t="str"><v>0012</v></c><c r="B1" t="inlineStr"><is><t>1e5</t></is></c></row>`,
	"booleans":             `<row r="1"><c r="A1" t="b"><v>1</v></c><c r="B1" t="b"><v>0</v></c><c r="C1" t="b"/></row>`,
	"errors":               `<row r="1"><c r="A1" t="e"><v>#N/A</v></c><c r="B1" t="e"><f>1/0</f><v>#DIV/0!</v></c></row>`,
	"dates":                `<row r="1"><c r="A1" t="d"><v>2019-05-31</v></c><c r="B1" t="d"><v>2019-05-31T10:00:00Z</v></c><c r="C1" s="3"><v>43616</v></c></row>`,
	"formulas":             `<row r="1"><c r="A1"><f>1+1</f><v>2</v></c><c r="B1"><f>A1</f></c><c r="C1" t="str"><f>A1&amp;"x"</f><v>2x</v></c><c r="D1" t="str"><f>""</f><v></v></c><c r="E1"><f/></c><c r="F1"><f t="shared" si="0" ref="F1:F2" ca="1">A1</f><v/></c></row>`,
	"value before formula": `<row r="1"><c r="A1"><v>2</v><f>1+1</f></c></row>`,
	"sparse":               `<row r="3"><c r="C3"><v>3</v></c><c r="XFD3"><v>4</v></c></row><row r="7"/><row r="8"><c r="A8"/></row><row r="1048576"><c r="B1048576"><v>5</v></c></row>`,
	"no numbers":           `<row><c><v>1</v></c><c/><c><v>3</v></c></row><row/><row r="5"><c><v>1</v></c><c r="D5"><v>4</v></c><c><v>5</v></c></row><row><c><v>6</v></c></row>`,
	"prefixes":             `<x:row r="1" xmlns:x="urn:x"><x:c r="A1" t="s"><x:v>2</x:v></x:c><x:c r="B1" t="inlineStr"><x:is><x:t>in</x:t></x:is></x:c></x:row>`,
	"quotes and order":     `<row spans='1:2' r='1' ><c t='s'  r = 'A1'><v>1</v ></c><c s="0" t="inlineStr" r="B1" cm="1"><is><t a=">">'"</t></is></c ></row >`,
	"comments":             `<!-- <row r="9"/> --><row r="1"><?ins ?><c r="A1"><!-- - --><v>1<!----><?x?>2<![CDATA[3]]></v></c></row><?end <row>?>`,
	"white space":          "\n <row r=\"1\">\n\t<c r=\"A1\">\r\n<v>1</v>\n</c> </row>\n",
	"lower case":           `<row r="1"><c r="a1"><v>1</v></c><c r="aB1"><v>2</v></c></row>`,
	"entities":             `<row r="1"><c r="A1" t="str"><v>&lt;&#x41;&#65;&#13;&#xD800;</v></c></row>`,
	"extra attributes":     `<row r="1" hidden="1" ht="12.5" customHeight="1" x:dyDescent="0.25"><c r="A1" vm="1" ph="0"><v>1</v></c></row>`,
	"nothing":              ``,
}

func TestScanLikeExcelize(t *testing.T) {
	for name, rows := range soundSheets {
		t.Run(name, func(t *testing.T) { requireSameRows(t, zipped(t, smallBook(rows, someTexts))) })
	}
}

func TestScanValues(t *testing.T) {
	got := requireSameRows(t, zipped(t, smallBook(soundSheets["shared texts"], someTexts)))
	require.Equal(t, []valueRow{{1, []string{"zero", " one ", "rich", "", "", "a&b\ncé<\"'>", "x\ry_x000D_ é  _x12_", "<raw> & ]] tail", "Chañar\nlínea 日本 🗼"}}}, got)
}

func TestScanCells(t *testing.T) {
	type cell struct {
		column          int
		text            string
		formula, stored bool
		source          string
	}
	for name, want := range map[string][]cell{
		"formulas": {
			{0, "2", true, true, ""}, {1, "", true, false, "=A1"}, {2, "2x", true, true, ""},
			{3, "", true, true, ""}, {4, "", true, false, "="}, {5, "", true, false, "=A1"},
		},
		"dates":        {{0, "2019-05-31", false, true, ""}, {1, "2019-05-31T10:00:00Z", false, true, ""}, {2, "43616", false, true, ""}},
		"booleans":     {{0, "1", false, true, ""}, {1, "0", false, true, ""}},
		"errors":       {{0, "#N/A", false, true, ""}, {1, "#DIV/0!", true, true, ""}},
		"inline texts": {{0, "plain \n", false, true, ""}, {1, "runs ", false, true, ""}, {4, "value", false, true, ""}, {6, "3", false, true, ""}},
	} {
		t.Run(name, func(t *testing.T) {
			var got []cell
			require.NoError(t, eachScanned(zipped(t, smallBook(soundSheets[name], someTexts)), func(s *scannedSheet) {
				for _, c := range s.cells {
					got = append(got, cell{c.column, c.text, c.formula, c.stored, c.source})
				}
			}))
			require.Equal(t, want, got)
		})
	}
}

func TestScanHiddenRows(t *testing.T) {
	var hidden []bool
	rows := `<row hidden="1"><c><v>1</v></c></row><row hidden="true"><c><v>1</v></c></row><row hidden="0"><c><v>1</v></c></row><row><c><v>1</v></c></row>`
	require.NoError(t, eachScanned(zipped(t, smallBook(rows, "")), func(s *scannedSheet) { hidden = append(hidden, s.hidden) }))
	require.Equal(t, []bool{true, true, false, false}, hidden)
}

func TestScanParts(t *testing.T) {
	const rows = `<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1"><v>2</v></c></row>`
	const around = `<dimension ref="A1:B1"/><sheetViews><sheetView workbookViewId="0"/></sheetViews><cols><col min="1" max="2"/></cols>`
	for name, change := range map[string]func(map[string]string){
		"as it is": func(map[string]string) {},
		"with a mark": func(p map[string]string) {
			p["xl/worksheets/sheet1.xml"] = "\xef\xbb\xbf" + p["xl/worksheets/sheet1.xml"]
		},
		"no head": func(p map[string]string) {
			p["xl/worksheets/sheet1.xml"] = p["xl/worksheets/sheet1.xml"][len(xmlHead):]
		},
		"single quotes": func(p map[string]string) {
			p["xl/worksheets/sheet1.xml"] = strings.ReplaceAll(p["xl/worksheets/sheet1.xml"], `"`, "'")
		},
		"prefixed": func(p map[string]string) {
			sheet := strings.ReplaceAll(strings.ReplaceAll(p["xl/worksheets/sheet1.xml"][len(xmlHead):], "</", "</m:"), "<", "<m:")
			p["xl/worksheets/sheet1.xml"] = strings.Replace(strings.ReplaceAll(sheet, "<m:/", "</"), "xmlns=", "xmlns:m=", 1)
		},
		"with surroundings": func(p map[string]string) {
			p["xl/worksheets/sheet1.xml"] = strings.Replace(p["xl/worksheets/sheet1.xml"], "<sheetData>", around+"<sheetData>", 1)
		},
		"absolute target": func(p map[string]string) {
			p["xl/_rels/workbook.xml.rels"] = strings.Replace(p["xl/_rels/workbook.xml.rels"], "worksheets/", "/xl/worksheets/", 1)
		},
		"roundabout target": func(p map[string]string) {
			p["xl/_rels/workbook.xml.rels"] = strings.Replace(p["xl/_rels/workbook.xml.rels"], "worksheets/", "../../xl/./worksheets/", 1)
			p["xl/_rels/workbook.xml.rels"] = strings.Replace(p["xl/_rels/workbook.xml.rels"], "../../", "../", 1)
		},
		"strict": func(p map[string]string) {
			for name, part := range p {
				part = strings.ReplaceAll(part, "http://schemas.openxmlformats.org/spreadsheetml/2006/main", "http://purl.oclc.org/ooxml/spreadsheetml/main")
				p[name] = strings.ReplaceAll(part, "http://schemas.openxmlformats.org/officeDocument/2006/relationships", "http://purl.oclc.org/ooxml/officeDocument/relationships")
			}
		},
		"a list of texts that is not there": func(p map[string]string) {
			delete(p, "xl/sharedStrings.xml")
			p["xl/_rels/workbook.xml.rels"] = strings.Replace(p["xl/_rels/workbook.xml.rels"], "</Relationships>",
				`<Relationship Id="r2" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="sharedStrings.xml"/></Relationships>`, 1)
			p["xl/worksheets/sheet1.xml"] = strings.Replace(p["xl/worksheets/sheet1.xml"], `t="s"><v>0</v>`, `t="str"><v>zero</v>`, 1)
		},
		"more in the list of texts": func(p map[string]string) {
			p["xl/sharedStrings.xml"] = strings.Replace(p["xl/sharedStrings.xml"], "</sst>", `<extLst><ext uri="x"><si><t>no</t></si></ext></extLst></sst>`, 1)
		},
	} {
		t.Run(name, func(t *testing.T) {
			parts := smallBook(rows, someTexts)
			change(parts)
			require.Equal(t, []valueRow{{1, []string{"zero", "2"}}}, requireSameRows(t, zipped(t, parts)))
		})
	}
}

// TestScanSharedTextsElsewhere is a deliberate difference: the library looks for them under one name only.
func TestScanSharedTextsElsewhere(t *testing.T) {
	parts := smallBook(`<row r="1"><c r="A1" t="s"><v>0</v></c></row>`, someTexts)
	parts["xl/texts.xml"] = parts["xl/sharedStrings.xml"]
	delete(parts, "xl/sharedStrings.xml")
	parts["xl/_rels/workbook.xml.rels"] = strings.Replace(parts["xl/_rels/workbook.xml.rels"], "</Relationships>",
		`<Relationship Id="r2" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="texts.xml"/></Relationships>`, 1)
	got, err := scanRows(zipped(t, parts))
	require.NoError(t, err)
	require.Equal(t, []valueRow{{1, []string{"zero"}}}, got)
}

func TestScanNotRecognised(t *testing.T) {
	sheet := func(change func(string) string) func(map[string]string) {
		return func(p map[string]string) { p["xl/worksheets/sheet1.xml"] = change(p["xl/worksheets/sheet1.xml"]) }
	}
	replaced := func(old, new string) func(map[string]string) {
		return sheet(func(s string) string { return strings.Replace(s, old, new, 1) })
	}
	for name, change := range map[string]func(map[string]string){
		"other name space": replaced("http://schemas.openxmlformats.org/spreadsheetml/2006/main", "urn:x"),
		"other workbook": func(p map[string]string) {
			p["xl/workbook.xml"] = strings.ReplaceAll(p["xl/workbook.xml"], "http://schemas.openxmlformats.org/spreadsheetml/2006/main", "urn:x")
		},
		"other encoding": replaced("UTF-8", "ISO-8859-1"),
		"four bytes a letter": sheet(func(s string) string {
			return "\xff\xfe\x00\x00" + strings.Join(strings.Split(s, ""), "\x00\x00\x00") + "\x00\x00\x00"
		}),
		"other root":         sheet(func(s string) string { return strings.ReplaceAll(s, "worksheet", "chartsheet") }),
		"kind of cell":       replaced(`r="A1"`, `r="A1" t="q"`),
		"style":              replaced(`r="A1"`, `r="A1" s="-1"`),
		"place":              replaced(`r="A1"`, `r="$A$1"`),
		"place in other row": replaced(`r="A1"`, `r="A2"`),
		"row 0":              replaced(`row r="1"`, `row r="0"`),
		"prefixed place":     replaced(`r="A1"`, `x:r="A1"`),
		"in a row":           replaced("<c ", "<other/><c "),
		"in a cell":          replaced("<v>", "<other/><v>"),
		"in a value":         replaced("<v>", "<v><b/>"),
		"two values":         replaced("<v>", "<v/><v>"),
		"formula attribute":  replaced("<v>", `<f ca="maybe"/><v>`),
		"among rows":         replaced("<row ", "<other/><row "),
		"row before":         replaced("<sheetData>", "<x><row/></x><sheetData>"),
		"texts beside runs": func(p map[string]string) {
			p["xl/sharedStrings.xml"] = xmlHead + `<sst ` + mainSpace + `><si><r><t>b</t></r><t>a</t></si></sst>`
		},
		"no relationships": func(p map[string]string) { delete(p, "_rels/.rels") },
		"no sheet":         func(p map[string]string) { delete(p, "xl/worksheets/sheet1.xml") },
		"outside target": func(p map[string]string) {
			p["xl/_rels/workbook.xml.rels"] = strings.Replace(p["xl/_rels/workbook.xml.rels"], "worksheets/", "../../../../../../etc/", 1)
		},
		"two sheets of a name": func(p map[string]string) {
			p["xl/workbook.xml"] = strings.Replace(p["xl/workbook.xml"], "</sheets>", `<sheet name="ONE" sheetId="2" r:id="r1"/></sheets>`, 1)
		},
	} {
		t.Run(name, func(t *testing.T) {
			parts := smallBook(`<row r="1"><c r="A1"><v>1</v></c></row>`, "")
			change(parts)
			_, err := scanRows(zipped(t, parts))
			require.ErrorIs(t, err, errNotRecognised)
		})
	}
	_, err := scanRows([]byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"))
	require.ErrorIs(t, err, errNotRecognised)
}

// malformedSheets end in something that no reader can go beyond.
var malformedSheets = map[string]string{
	"unclosed":            `<row r="1"><c r="A1"><v>1</v></row>`,
	"crossed":             `<row r="1"><c r="A1"><v>1</c></v></row>`,
	"other prefix":        `<x:row r="1"></row>`,
	"control character":   "<row r=\"1\"><c r=\"A1\"><v>1\x0b</v></c></row>",
	"control reference":   `<row r="1"><c r="A1"><v>&#11;</v></c></row>`,
	"no such entity":      `<row r="1"><c r="A1"><v>&nbsp;</v></c></row>`,
	"lone ampersand":      `<row r="1"><c r="A1"><v>a & b;</v></c></row>`,
	"broken letters":      "<row r=\"1\"><c r=\"A1\"><v>\xc3(</v></c></row>",
	"end of verbatim":     `<row r="1"><c r="A1"><v>]]></v></c></row>`,
	"dashes in a comment": `<!-- -- --><row r="1"/>`,
	"no quotes":           `<row r=1/>`,
	"no value":            `<row r/>`,
	"sign in a value":     `<row r="<"/>`,
	"slash":               `<row / r="1"/>`,
	"extra end":           `<row></row></row>`,
	"odd letters":         "<row r=\"1\"><c r=\"A1\"><v>\xef\xbf\xbe</v></c></row>",
}

func TestScanMalformed(t *testing.T) {
	for name, rows := range malformedSheets {
		t.Run(name, func(t *testing.T) {
			parts := smallBook(rows, "")
			require.False(t, wellFormedRows(parts["xl/worksheets/sheet1.xml"]))
			_, err := scanRows(zipped(t, parts))
			require.ErrorIs(t, err, errMalformed)
		})
	}
}

// wellFormedRows says whether encoding/xml comes to the end of the rows of a sheet.
func wellFormedRows(sheet string) bool {
	decoder := xml.NewDecoder(strings.NewReader(sheet))
	for {
		switch token, err := decoder.Token(); end := token.(type) {
		case xml.EndElement:
			if end.Name.Local == "sheetData" {
				return true
			}
		case nil:
			return errors.Is(err, io.EOF)
		}
	}
}

func TestScanCellErrors(t *testing.T) {
	for rows, message := range map[string]string{
		`<row r="1"><c r="B1"><v>1</v></c><c r="A1"><v>1</v></c></row>`:            "is damaged: cell A1 stands after cell B1",
		`<row r="1"><c r="B1"><v>1</v></c><c r="B1"><v>1</v></c></row>`:            "is damaged: cell B1 stands after cell B1",
		`<row r="3"/><row r="2"/>`:                                                 "is damaged: row 2 stands after row 3",
		`<row r="3"/><row r="3"/>`:                                                 "is damaged: row 3 stands after row 3",
		`<row r="1"><c r="A1" t="s"><v>9</v></c></row>`:                            `is damaged: cell A1 refers to the shared text "9" of 9`,
		`<row r="1"><c r="A1" t="s"><v>-1</v></c></row>`:                           `is damaged: cell A1 refers to the shared text "-1" of 9`,
		`<row r="1"><c r="A1" t="s"><v>x</v></c></row>`:                            `is damaged: cell A1 refers to the shared text "x" of 9`,
		`<row r="2"><c r="C2"><v>` + strings.Repeat("é", 32768) + `</v></c></row>`: "cell C2 holds more than the 32767 characters of a cell",
		`<row r="1048576"/><row/>`:                                                 "has more rows than the 1048576 of a sheet",
		`<row r="1048577"/>`:                                                       "has more rows than the 1048576 of a sheet",
		`<row r="99999999999999999999"/>`:                                          "has more rows than the 1048576 of a sheet",
		`<row r="2"><c r="XFE2"><v>1</v></c></row>`:                                "has more cells in row 2 than the 16384 columns of a sheet",
	} {
		_, err := scanRows(zipped(t, smallBook(rows, someTexts)))
		var cell *CellError
		require.ErrorAs(t, err, &cell)
		require.Equal(t, message, err.Error())
	}
	requireSameRows(t, zipped(t, smallBook(`<row r="2"><c r="C2"><v>`+strings.Repeat("é", 32767)+`</v></c></row>`, "")))
}

func TestScanLimits(t *testing.T) {
	for name, rows := range map[string]string{
		"a long text": `<row r="1"><c r="A1"><v>` + strings.Repeat("1", 2<<20) + `</v></c></row>`,
		"a long tag":  `<row r="1"` + strings.Repeat(" ", 2<<20) + `/>`,
	} {
		t.Run(name, func(t *testing.T) {
			_, err := scanRows(zipped(t, smallBook(rows, "")))
			require.ErrorIs(t, err, ErrTooLarge)
		})
	}
}

func TestScanEmptyRows(t *testing.T) {
	rows := strings.Repeat("<row/>", 1_000_000) + `<row><c><v>1</v></c></row>`
	got, err := scanRows(zipped(t, smallBook(rows, "")))
	require.NoError(t, err)
	require.Equal(t, []valueRow{{1_000_001, []string{"1"}}}, got)
	_, err = scanRows(zipped(t, smallBook(strings.Repeat("<row/>", 1_100_000), "")))
	require.EqualError(t, err, "has more rows than the 1048576 of a sheet")
}

func TestScanInterrupted(t *testing.T) {
	content := zipped(t, smallBook(strings.Repeat(`<row><c><v>1</v></c></row>`, 100_000), ""))
	book, err := openScan(bytes.NewReader(content), int64(len(content)))
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	s, err := book.scan(ctx, "One")
	require.NoError(t, err)
	defer s.close()
	require.True(t, s.next())
	cancel()
	rows := 1
	for s.next() {
		rows++
	}
	require.ErrorIs(t, s.err, context.Canceled)
	require.Less(t, rows, 100_000)
}

func TestScanBookOfExcelize(t *testing.T) {
	book := excelize.NewFile()
	defer book.Close()
	yes := true
	require.NoError(t, book.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes}))
	date, err := book.NewStyle(&excelize.Style{NumFmt: 14})
	require.NoError(t, err)
	for cell, value := range map[string]any{"A1": "text", "B1": 12.5, "C1": true, "D1": " space ", "E1": "línea\n2", "F3": "0012", "B4": 43616, "C4": 0.5} {
		require.NoError(t, book.SetCellValue("Sheet1", cell, value))
	}
	require.NoError(t, book.SetCellRichText("Sheet1", "A3", []excelize.RichTextRun{{Text: "ri", Font: &excelize.Font{Bold: true}}, {Text: "ch"}}))
	require.NoError(t, book.SetCellFormula("Sheet1", "A4", "=B1*2"))
	require.NoError(t, book.SetCellStyle("Sheet1", "B4", "B4", date))
	var out bytes.Buffer
	require.NoError(t, book.Write(&out))
	requireSameRows(t, out.Bytes())

	scanned, err := openScan(bytes.NewReader(out.Bytes()), int64(out.Len()))
	require.NoError(t, err)
	require.True(t, scanned.From1904())
	require.Equal(t, []sheetEntry{{"Sheet1", "xl/worksheets/sheet1.xml"}}, scanned.sheets)
}

// TestScanRandomSheets compares both readers on sheets written by hand in many ways.
func TestScanRandomSheets(t *testing.T) {
	text := rapid.StringOfN(rapid.RuneFrom([]rune("ab 1.&<>\"'\n\t]_x0D5Fñé日🗼")), 0, 12, -1)
	escape := func(s string) string {
		return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;", "\n", "&#xA;").Replace(s)
	}
	rapid.Check(t, func(t *rapid.T) {
		var rows, texts strings.Builder
		count := rapid.IntRange(0, 5).Draw(t, "texts")
		for range count {
			s := escape(text.Draw(t, "shared"))
			texts.WriteString(rapid.SampledFrom([]string{"<si><t>" + s + "</t></si>", "<si><r><t>" + s + "</t></r><r><rPr/><t>+</t></r></si>", "<si><t>" + s + "</t><rPh><t>no</t></rPh></si>"}).Draw(t, "item"))
		}
		number := 0
		for range rapid.IntRange(0, 6).Draw(t, "rows") {
			number += rapid.IntRange(1, 3).Draw(t, "gap")
			fmt.Fprintf(&rows, `<row r="%d">`, number)
			column := 0
			for range rapid.IntRange(0, 6).Draw(t, "cells") {
				column += rapid.IntRange(1, 40).Draw(t, "step")
				name, err := excelize.CoordinatesToCellName(column, number)
				require.NoError(t, err)
				s := escape(text.Draw(t, "text"))
				kinds := []string{
					`<c r="%s"><v>` + s + `</v></c>`, `<c r="%s" t="str"><f>` + s + `</f><v>` + s + `</v></c>`, `<c r="%s" t="inlineStr"><is><t>` + s + `</t></is></c>`,
					`<c r="%s"><f>` + s + `</f></c>`, `<c r="%s"/>`, `<c r="%s" t="b"><v>1</v></c>`, "<c\tr='%s' s=\"0\"\n><v>1.5</v></c>", `<c r="%s"><v><![CDATA[` + strings.ReplaceAll(s, "]", "") + `]]></v></c>`,
				}
				if count > 0 {
					kinds = append(kinds, fmt.Sprintf(`<c r="%%s" t="s"><v>%d</v></c>`, rapid.IntRange(0, count-1).Draw(t, "index")))
				}
				rows.WriteString(strings.Replace(rapid.SampledFrom(kinds).Draw(t, "kind"), "%s", name, 1))
			}
			rows.WriteString("</row>")
		}
		requireSameRows(t, zipped(t, smallBook(rows.String(), texts.String())))
	})
}

// TestScanAndes compares both readers on the real register of the shared test data.
func TestScanAndes(t *testing.T) {
	cases := os.Getenv("DRYARC_CASES")
	if cases == "" {
		t.Skip("DRYARC_CASES is not set: it names the folder with the shared test data")
	}
	content, err := os.ReadFile(filepath.Join(cases, "andes", "assemblies.xlsx"))
	require.NoError(t, err)
	require.Len(t, requireSameRows(t, content), 59_222)
}

// largeBook is a workbook of 300 000 rows and 20 columns: shared texts, numbers and a formula.
func largeBook(b *testing.B) []byte {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	parts := smallBook("", "")
	for i := range 1000 {
		parts["xl/sharedStrings.xml"] = strings.Replace(parts["xl/sharedStrings.xml"], "</sst>", fmt.Sprintf("<si><t>text %d</t></si></sst>", i), 1)
	}
	for name, content := range parts {
		w, err := z.Create(name)
		require.NoError(b, err)
		if name != "xl/worksheets/sheet1.xml" {
			_, err = io.WriteString(w, content)
			require.NoError(b, err)
			continue
		}
		head, tail, _ := strings.Cut(content, "</sheetData>")
		_, err = io.WriteString(w, head)
		require.NoError(b, err)
		var row []byte
		for r := 1; r <= 300_000; r++ {
			row = fmt.Appendf(row[:0], `<row r="%d" spans="1:20">`, r)
			for c := range 20 {
				place := fmt.Sprintf("%c%d", 'A'+c, r)
				if c%2 == 0 {
					row = fmt.Appendf(row, `<c r="%s" t="s"><v>%d</v></c>`, place, (r*7+c*31)%1000)
				} else {
					row = fmt.Appendf(row, `<c r="%s" s="1"><v>%d.5</v></c>`, place, (r*13+c)%977)
				}
			}
			_, err = w.Write(append(row, "</row>"...))
			require.NoError(b, err)
		}
		_, err = io.WriteString(w, "</sheetData>"+tail)
		require.NoError(b, err)
	}
	require.NoError(b, z.Close())
	return out.Bytes()
}

func BenchmarkScan(b *testing.B) {
	content := largeBook(b)
	b.ReportAllocs()
	for b.Loop() {
		cells := 0
		require.NoError(b, eachScanned(content, func(s *scannedSheet) { cells += len(s.cells) }))
		require.Equal(b, 6_000_000, cells)
	}
}

func BenchmarkExcelize(b *testing.B) {
	content := largeBook(b)
	b.ReportAllocs()
	for b.Loop() {
		book, err := excelize.OpenReader(bytes.NewReader(content), excelize.Options{RawCellValue: true, UnzipXMLSizeLimit: largestForLibrary})
		require.NoError(b, err)
		rows, err := book.Rows("One")
		require.NoError(b, err)
		cells := 0
		for rows.Next() {
			row, err := rows.Columns()
			require.NoError(b, err)
			cells += len(row)
		}
		require.NoError(b, rows.Close())
		require.Equal(b, 6_000_000, cells)
		require.NoError(b, book.Close())
	}
}
