package xlsx

import (
	"archive/zip"
	"encoding/xml"
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// FuzzScan compares the scanner with the library on the XML of a sheet and of the shared texts. What the scanner reads
// the library reads alike, if the XML is well formed; what the scanner calls malformed is.
func FuzzScan(f *testing.F) {
	for _, seeds := range []map[string]string{soundSheets, malformedSheets} {
		for _, rows := range seeds {
			parts := smallBook(strings.ReplaceAll(rows, "1048576", "19"), someTexts)
			f.Add(parts["xl/worksheets/sheet1.xml"], parts["xl/sharedStrings.xml"])
		}
	}
	f.Fuzz(func(t *testing.T, sheet, texts string) {
		if len(sheet)+len(texts) > 1<<16 || texts == "" {
			return
		}
		parts := smallBook("", "")
		parts["xl/worksheets/sheet1.xml"], parts["xl/sharedStrings.xml"] = sheet, texts
		content := archived(t, parts, zip.Store)
		got, err := scanRows(content)
		sound := wellFormedRows(sheet) && wellFormedRoot(texts)
		var cell *CellError
		switch {
		case errors.Is(err, errMalformed):
			require.False(t, sound, "sound XML is called malformed")
			return
		case err != nil:
			require.True(t, errors.Is(err, errNotRecognised) || errors.Is(err, ErrTooLarge) || errors.Is(err, ErrDeclared) || errors.As(err, &cell), "%v", err)
			return
		}
		_, after, _ := strings.Cut(sheet, "sheetData>")
		if _, after, _ = strings.Cut(after, "sheetData"); !sound || strings.Contains(after, "row") {
			return // the library finds rows even after those of the sheet
		}
		want, err := excelizeRows(content)
		if err == nil {
			require.Equal(t, want, got)
		}
	})
}

// wellFormedRoot says whether encoding/xml comes to the end of the root element.
func wellFormedRoot(part string) bool {
	decoder := xml.NewDecoder(strings.NewReader(part))
	for depth := 0; ; {
		switch token, _ := decoder.Token(); token.(type) {
		case xml.StartElement:
			depth++
		case xml.EndElement:
			if depth--; depth == 0 {
				return true
			}
		case nil:
			return false
		}
	}
}

// FuzzScanArchive feeds the scanner with damaged archives: it gives rows or an error.
func FuzzScanArchive(f *testing.F) {
	for _, rows := range soundSheets {
		f.Add(zipped(f, smallBook(rows, someTexts)))
	}
	f.Fuzz(func(t *testing.T, content []byte) {
		last := uint32(0)
		err := eachScanned(content, func(s *scannedSheet) {
			require.Greater(t, s.number, last)
			require.NotEmpty(t, s.cells)
			last = s.number
		})
		require.True(t, err != nil || last <= MostRows)
	})
}
