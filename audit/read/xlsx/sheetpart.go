package xlsx

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"path"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// What the row iterator of the workbook library does not tell is found in the XML of the sheet itself: formulas
// without a stored value, and rows it never came to because the XML is damaged.

// sheetPart returns the XML of a sheet; nil if it is not found.
func sheetPart(book *excelize.File, sheet string) []byte {
	var list struct {
		Sheets []struct {
			Name string `xml:"name,attr"`
			ID   string `xml:"id,attr"`
		} `xml:"sheets>sheet"`
	}
	var links struct {
		Relationships []struct {
			ID     string `xml:"Id,attr"`
			Target string `xml:"Target,attr"`
		} `xml:"Relationship"`
	}
	if xml.Unmarshal(part(book, "xl/workbook.xml"), &list) != nil ||
		xml.Unmarshal(part(book, "xl/_rels/workbook.xml.rels"), &links) != nil {
		return nil
	}
	for _, s := range list.Sheets {
		for _, link := range links.Relationships {
			if s.Name == sheet && s.ID == link.ID {
				target := link.Target
				if !strings.HasPrefix(target, "/") {
					target = "/xl/" + target
				}
				return part(book, strings.TrimPrefix(path.Clean(target), "/"))
			}
		}
	}
	return nil
}

func part(book *excelize.File, name string) []byte {
	content, _ := book.Pkg.Load(name)
	xml, _ := content.([]byte)
	return xml
}

// lastRow returns the number of the last row in the XML of a sheet, sound or not, 0 where none is found.
func lastRow(part io.Reader) (last uint32) {
	const longestTag = 256
	text := make([]byte, 0, chunkSize)
	for {
		n, err := part.Read(text[len(text):cap(text)])
		text = text[:len(text)+n]
		if start := bytes.LastIndex(text, []byte("<row ")); start >= 0 {
			last = max(last, numberOfRow(text[start:]))
		}
		if err != nil {
			return last
		}
		text = append(text[:0], text[max(0, len(text)-longestTag):]...)
	}
}

// numberOfRow returns the number that the tag of a row gives.
func numberOfRow(text []byte) uint32 {
	tag, _, found := bytes.Cut(text, []byte(">"))
	if !found {
		return 0
	}
	_, number, _ := bytes.Cut(tag, []byte(` r="`))
	number, _, _ = bytes.Cut(number, []byte(`"`))
	n, _ := strconv.ParseUint(string(number), 10, 32)
	return uint32(n)
}

// checkOrder refuses a sheet whose rows or cells stand out of order, or twice, of which the library would leave out some.
func checkOrder(part []byte) error {
	decoder := xml.NewDecoder(bytes.NewReader(part))
	row, column, inRows := 0, 0, false
	for {
		token, err := decoder.Token()
		if err != nil {
			return nil // whoever reads the rows tells
		}
		if end, is := token.(xml.EndElement); is && end.Name.Local == "sheetData" {
			return nil
		}
		start, is := token.(xml.StartElement)
		switch {
		case !is:
		case start.Name.Local == "sheetData":
			inRows = true
		case inRows && start.Name.Local == "row":
			number := row + 1
			if n, err := strconv.Atoi(attributeOf(start, "r")); err == nil {
				number = n
			}
			if number <= row {
				return &CellError{fmt.Sprintf("is damaged: row %d stands after row %d", number, row)}
			}
			row, column = number, 0
		case inRows && start.Name.Local == "c":
			next, of, err := excelize.CellNameToCoordinates(attributeOf(start, "r"))
			switch {
			case err != nil:
				next = column + 1
			case of != row:
				return &CellError{fmt.Sprintf("is damaged: cell %s stands in row %d", cellName(next-1, uint32(of)), row)}
			case next <= column:
				return &CellError{fmt.Sprintf("is damaged: cell %s stands after cell %s", cellName(next-1, uint32(row)), cellName(column-1, uint32(row)))}
			}
			column = next
		}
	}
}

func attributeOf(start xml.StartElement, name string) string {
	for _, a := range start.Attr {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value
		}
	}
	return ""
}

// emptyFormulas finds the formulas of a sheet that have no stored value, by row from 1 and column from 0.
func emptyFormulas(part []byte) map[uint32]map[int]string {
	if !bytes.Contains(part, []byte("<f>")) && !bytes.Contains(part, []byte("<f ")) {
		return nil
	}
	found := map[uint32]map[int]string{}
	decoder := xml.NewDecoder(bytes.NewReader(part))
	for {
		token, err := decoder.Token()
		if err != nil {
			return found
		}
		start, ok := token.(xml.StartElement)
		if !ok || start.Name.Local != "c" {
			continue
		}
		var cell struct {
			Name    string  `xml:"r,attr"`
			Type    string  `xml:"t,attr"`
			Formula *string `xml:"f"`
			Value   *string `xml:"v"`
		}
		if decoder.DecodeElement(&cell, &start) != nil {
			return found
		}
		stored := cell.Value != nil && (*cell.Value != "" || cell.Type == "str")
		column, row, err := excelize.CellNameToCoordinates(cell.Name)
		if cell.Formula == nil || stored || err != nil {
			continue
		}
		if found[uint32(row)] == nil {
			found[uint32(row)] = map[int]string{}
		}
		found[uint32(row)][column-1] = "=" + strings.TrimPrefix(*cell.Formula, "=")
	}
}
