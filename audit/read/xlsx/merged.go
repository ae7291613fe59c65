package xlsx

import (
	"bytes"
	"encoding/xml"
	"io"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Area is a merged area of a sheet that is more than one row high; only its first cell holds a value.
type Area struct {
	Column      int // its first, from 0
	First, Last uint32
}

// Across is a merged area of a sheet that is more than one column wide; only its first cell holds a value.
type Across struct {
	Column, LastColumn int // from 0
	First, Last        uint32
}

// mergedAreas lists the merged areas in the XML of a sheet that are more than one row high.
func mergedAreas(part io.Reader) []Area {
	var areas []Area
	eachMerged(part, func(a Across) {
		if a.Last > a.First {
			areas = append(areas, Area{a.Column, a.First, a.Last})
		}
	})
	return areas
}

// mergedAcross lists the merged areas in the XML of a sheet that are more than one column wide and begin in one of its first rows.
func mergedAcross(part io.Reader, last uint32) []Across {
	var areas []Across
	eachMerged(part, func(a Across) {
		if a.LastColumn > a.Column && a.First <= last {
			areas = append(areas, a)
		}
	})
	return areas
}

func eachMerged(part io.Reader, take func(Across)) {
	for _, reference := range mergeReferences(part) {
		from, to, found := strings.Cut(reference, ":")
		column, first, err := excelize.CellNameToCoordinates(from)
		if !found || err != nil {
			continue
		}
		if lastColumn, last, err := excelize.CellNameToCoordinates(to); err == nil {
			take(Across{column - 1, lastColumn - 1, uint32(first), uint32(last)})
		}
	}
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

// rowsTag ends the tag behind the rows.
const rowsTag = "sheetData>"

// longestRowsTag is the longest end tag of the rows, its prefix included, that is looked for, in bytes.
const longestRowsTag = 64

// endOfRows returns the place behind the last end tag of the rows, 0 where there is none.
func endOfRows(text []byte) int {
	end := 0
	for i := 0; ; {
		next := bytes.Index(text[i:], []byte(rowsTag))
		if next < 0 {
			return end
		}
		before := text[max(0, i+next-longestRowsTag) : i+next]
		i += next + len(rowsTag)
		if start := bytes.LastIndexByte(before, '<'); start >= 0 && start+1 < len(before) && before[start+1] == '/' {
			end = i
		}
	}
}
