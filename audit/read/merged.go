package read

import (
	"bytes"
	"context"
	"encoding/xml"
	"io"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// mergedArea is a merged area of a sheet; only its first cell holds a value.
type mergedArea struct {
	column      int // its first, from 0
	first, last uint32
}

// mergedCells knows what the first cells of merged areas hold while the rows of a sheet are gone through.
type mergedCells struct {
	byColumn map[int]*mergedColumn
}

// mergedColumn are the areas that start in one column, in the order of their rows.
type mergedColumn struct {
	areas []mergedArea
	text  string // of the first cell of areas[0], once it has been passed
}

func newMergedCells(areas []mergedArea) *mergedCells {
	m := &mergedCells{byColumn: map[int]*mergedColumn{}}
	slices.SortFunc(areas, func(a, b mergedArea) int { return int(a.first) - int(b.first) })
	for _, area := range areas {
		if area.last == area.first {
			continue
		}
		if m.byColumn[area.column] == nil {
			m.byColumn[area.column] = &mergedColumn{}
		}
		m.byColumn[area.column].areas = append(m.byColumn[area.column].areas, area)
	}
	return m
}

// pass takes notice of a row.
func (m *mergedCells) pass(number uint32, cells []string) {
	for index, column := range m.byColumn {
		for len(column.areas) > 0 && column.areas[0].last < number {
			column.areas, column.text = column.areas[1:], ""
		}
		if len(column.areas) > 0 && column.areas[0].first == number && index < len(cells) {
			column.text = strings.TrimSpace(cells[index])
		}
	}
}

// text is what the first cell of the area holds in which a cell below it lies; empty where there is none.
func (m *mergedCells) text(number uint32, index int) string {
	column := m.byColumn[index]
	if column == nil || len(column.areas) == 0 || number <= column.areas[0].first || number > column.areas[0].last {
		return ""
	}
	return column.text
}

// mergedAreas lists the merged areas of a sheet. What cannot be read has none: the rows tell why.
func (w *workbook) mergedAreas(ctx context.Context, sheet string) []mergedArea {
	var references []string
	switch {
	case w.isText:
	case w.book != nil:
		references = mergeReferences(bytes.NewReader(sheetPart(w.book, sheet)))
	default:
		part, err := w.scan.unpack(ctx, w.scan.part(sheet), largestPart)
		if err != nil {
			return nil
		}
		defer part.Close()
		references = mergeReferences(part)
	}
	var areas []mergedArea
	for _, reference := range references {
		from, to, found := strings.Cut(reference, ":")
		column, first, err := excelize.CellNameToCoordinates(from)
		if !found || err != nil {
			continue
		}
		if _, last, err := excelize.CellNameToCoordinates(to); err == nil && last > first {
			areas = append(areas, mergedArea{column - 1, uint32(first), uint32(last)})
		}
	}
	return areas
}

// mergeReferences finds the references of the merged areas in the XML of a sheet, which stand behind its rows.
func mergeReferences(part io.Reader) []string {
	chunk, kept := make([]byte, chunkSize), []byte(nil)
	found, looked := false, 0
	for {
		n, err := part.Read(chunk)
		kept = append(kept, chunk[:n]...)
		if end := endOfRows(kept[looked:]); end > 0 {
			found, kept, looked = true, append(kept[:0], kept[looked+end:]...), 0
		}
		if !found {
			kept = append(kept[:0], kept[max(0, len(kept)-longestRowsTag):]...)
		}
		looked = max(0, len(kept)-longestRowsTag)
		if err != nil || len(kept) > largestIndex {
			break
		}
	}
	var references []string
	decoder := xml.NewDecoder(bytes.NewReader(kept))
	for found {
		token, err := decoder.Token()
		if err != nil {
			return references
		}
		start, ok := token.(xml.StartElement)
		if !ok || start.Name.Local != "mergeCell" {
			continue
		}
		for _, a := range start.Attr {
			if a.Name.Local == "ref" {
				references = append(references, a.Value)
			}
		}
	}
	return references
}

// longestRowsTag is the longest end tag of the rows, its prefix included, that is looked for, in bytes.
const longestRowsTag = 64

// endOfRows returns the place behind the last end tag of the rows, 0 where there is none.
func endOfRows(text []byte) int {
	const tag = "sheetData>"
	end := 0
	for i := 0; ; {
		next := bytes.Index(text[i:], []byte(tag))
		if next < 0 {
			return end
		}
		before := text[max(0, i+next-longestRowsTag) : i+next]
		i += next + len(tag)
		if start := bytes.LastIndexByte(before, '<'); start >= 0 && start+1 < len(before) && before[start+1] == '/' {
			end = i
		}
	}
}

// isLarge tells whether finding the merged areas of a sheet costs more than a fraction of a second.
func (w *workbook) isLarge(sheet string) bool {
	if w.scan == nil {
		return false
	}
	file := w.scan.files[w.scan.part(sheet)]
	return file != nil && file.UncompressedSize64 > w.large
}

// largeSheet is how many bytes of XML a sheet has from which its merged areas are looked for only when a required cell
// is blank.
const largeSheet = 32 << 20
