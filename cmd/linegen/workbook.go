package main

import (
	"archive/zip"
	"bufio"
	"encoding/xml"
	"fmt"
	"os"
	"strconv"
)

const (
	xmlHead   = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>`
	mainSpace = `http://schemas.openxmlformats.org/spreadsheetml/2006/main`
	linkSpace = `http://schemas.openxmlformats.org/officeDocument/2006/relationships`
	packSpace = `http://schemas.openxmlformats.org/package/2006/`
	typeStart = `application/vnd.openxmlformats-officedocument.spreadsheetml.`
)

// writeWorkbook writes a workbook as spreadsheet programs do, with shared texts, but in a fraction of their time. What
// looks like a number is stored as one.
func writeWorkbook(path string, tables []table) error {
	file, err := os.Create(path)
	if err != nil {
		return err
	}
	b := &bookWriter{archive: zip.NewWriter(file), shared: numbering{}}
	b.write(tables)
	if b.err == nil {
		b.err = b.archive.Close()
	}
	if closing := file.Close(); b.err == nil {
		b.err = closing
	}
	return b.err
}

// bookWriter writes the parts of a workbook. The first error stays.
type bookWriter struct {
	archive *zip.Writer
	shared  numbering
	err     error
}

// numbering gives texts the numbers under which a workbook shares them, in the order in which they come. Of a text that comes once it
// remembers nothing.
type numbering struct {
	known map[string]int
	count int
}

func (n *numbering) of(text string, once bool) (number int, first bool) {
	if number, there := n.known[text]; there && !once {
		return number, false
	}
	number = n.count
	n.count++
	if !once {
		if n.known == nil {
			n.known = map[string]int{}
		}
		n.known[text] = number
	}
	return number, true
}

// cells gives the cells of a table that are not blank, by row and column from 1; number is what those have that are texts, first whether the text is new.
func (n *numbering) cells(t table, row func(row int), cell func(column int, text string, isText bool, number int, first bool)) {
	at := 0
	t.rows(func(cells []string) {
		at++
		row(at)
		for i, text := range cells {
			if text == "" {
				continue
			}
			if _, err := strconv.ParseFloat(text, 64); err == nil {
				cell(i+1, text, false, 0, false)
				continue
			}
			number, first := n.of(text, i+1 == t.once && at > 1)
			cell(i+1, text, true, number, first)
		}
	})
}

func (b *bookWriter) part(name string, write func(w *bufio.Writer)) {
	if b.err != nil {
		return
	}
	entry, err := b.archive.Create(name)
	if err != nil {
		b.err = err
		return
	}
	w := bufio.NewWriter(entry)
	fmt.Fprint(w, xmlHead)
	write(w)
	b.err = w.Flush()
}

func (b *bookWriter) write(tables []table) {
	for i, t := range tables {
		b.part(fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1), func(w *bufio.Writer) { b.sheet(w, t) })
	}
	b.part("xl/sharedStrings.xml", func(w *bufio.Writer) {
		fmt.Fprintf(w, `<sst xmlns="%s" uniqueCount="%d">`, mainSpace, b.shared.count)
		var again numbering // the same once more, which costs less than to hold the texts
		for _, t := range tables {
			again.cells(t, func(int) {}, func(_ int, text string, _ bool, _ int, first bool) {
				if !first {
					return
				}
				fmt.Fprint(w, "<si><t>")
				_ = xml.EscapeText(w, []byte(text)) // Flush returns the error
				fmt.Fprint(w, "</t></si>")
			})
		}
		fmt.Fprint(w, "</sst>")
	})
	b.part("xl/workbook.xml", func(w *bufio.Writer) {
		fmt.Fprintf(w, `<workbook xmlns="%s" xmlns:r="%s"><sheets>`, mainSpace, linkSpace)
		for i, t := range tables {
			fmt.Fprintf(w, `<sheet name="%s" sheetId="%d" r:id="rId%d"/>`, t.name, i+1, i+1)
		}
		fmt.Fprint(w, `</sheets></workbook>`)
	})
	b.part("xl/_rels/workbook.xml.rels", func(w *bufio.Writer) {
		fmt.Fprintf(w, `<Relationships xmlns="%srelationships">`, packSpace)
		for i := range tables {
			fmt.Fprintf(w, `<Relationship Id="rId%d" Type="%s/worksheet" Target="worksheets/sheet%d.xml"/>`, i+1, linkSpace, i+1)
		}
		fmt.Fprintf(w, `<Relationship Id="rId%d" Type="%s/sharedStrings" Target="sharedStrings.xml"/></Relationships>`, len(tables)+1, linkSpace)
	})
	b.part("_rels/.rels", func(w *bufio.Writer) {
		fmt.Fprintf(w, `<Relationships xmlns="%srelationships"><Relationship Id="rId1" Type="%s/officeDocument" Target="xl/workbook.xml"/></Relationships>`, packSpace, linkSpace)
	})
	b.part("[Content_Types].xml", func(w *bufio.Writer) {
		fmt.Fprintf(w, `<Types xmlns="%scontent-types"><Default Extension="xml" ContentType="application/xml"/>`, packSpace)
		fmt.Fprintf(w, `<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>`)
		override := func(name, kind string) {
			fmt.Fprintf(w, `<Override PartName="%s" ContentType="%s%s+xml"/>`, name, typeStart, kind)
		}
		override("/xl/workbook.xml", "sheet.main")
		override("/xl/sharedStrings.xml", "sharedStrings")
		for i := range tables {
			override(fmt.Sprintf("/xl/worksheets/sheet%d.xml", i+1), "worksheet")
		}
		fmt.Fprint(w, "</Types>")
	})
}

func (b *bookWriter) sheet(w *bufio.Writer, t table) {
	fmt.Fprintf(w, `<worksheet xmlns="%s"><sheetData>`, mainSpace)
	begun := 0
	b.shared.cells(t, func(row int) {
		if begun > 0 {
			fmt.Fprint(w, `</row>`)
		}
		begun = row
		fmt.Fprintf(w, `<row r="%d">`, row)
	}, func(column int, text string, isText bool, number int, _ bool) {
		place := string(rune('A'+column-1)) + strconv.Itoa(begun)
		if isText {
			fmt.Fprintf(w, `<c r="%s" t="s"><v>%d</v></c>`, place, number)
		} else {
			fmt.Fprintf(w, `<c r="%s"><v>%s</v></c>`, place, text)
		}
	})
	fmt.Fprint(w, `</row></sheetData></worksheet>`)
}
