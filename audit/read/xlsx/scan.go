package xlsx

import (
	"archive/zip"
	"cmp"
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"github.com/klauspost/compress/flate"
)

// scanBook is a workbook (.xlsx) of which the cells are read as they come out of the archive, in a fraction of the time
// and room that a library takes which can also write. It gives the stored values of the cells, as excelize does with
// RawCellValue, except that
//
//   - shared texts are found where the workbook says, whatever the name of the part;
//   - a reference to a shared text that is not there, rows or cells out of order and cells that hold more than 32 767
//     characters are errors;
//   - faulty fonts and phonetic guides in texts do not matter;
//   - a declaration of a document type is an error;
//   - elements called row that come after the rows of a sheet, such as those of drawings, are no rows.
//
// What it does not know is errNotRecognised: other encodings than UTF-8 and UTF-16, encryption, and elements
// or attributes in rows and cells that do not belong there.
type scanBook struct {
	file     io.ReaderAt
	size     int64
	files    map[string]*zip.File
	sheets   []sheetEntry // in their order, of any kind
	from1904 bool         // see Book
	strings  string       // the name of the part with the shared texts, empty if there is none
	styles   string       // that with the number formats
	formats  []string     // by style; nil until they are needed

	shared       sharedTexts
	sharedLoaded bool

	library *libraryBook // nil until it is needed
}

// sheetEntry is a sheet and the name of its part.
type sheetEntry struct{ name, part string }

// Limits of what is unpacked, in bytes.
const (
	chunkSize     = 128 << 10
	largestIndex  = 16 << 20 // lists of sheets, relationships
	largestShared = 256 << 20
	mostShared    = 8_000_000 // texts
	largestPart   = 4 << 30
	// A part larger than suspectPart that unpacks to more than highestRatio times its size is no table of anything.
	suspectPart  = 100 << 20
	highestRatio = 500
	mostParts    = 10_000 // more than any workbook has
)

// relationships lists what a part refers to.
type relationships struct {
	List []struct {
		ID     string `xml:"Id,attr"`
		Type   string `xml:"Type,attr"`
		Target string `xml:"Target,attr"`
	} `xml:"Relationship"`
}

// openScan opens a workbook. It reads the list of its sheets.
func openScan(r io.ReaderAt, size int64) (*scanBook, error) {
	archive, err := zip.NewReader(r, size)
	if err != nil {
		return nil, fmt.Errorf("archive %w: %w", errNotRecognised, err)
	}
	archive.RegisterDecompressor(zip.Deflate, flate.NewReader) // in a quarter less time than compress/flate
	if len(archive.File) > mostParts {
		return nil, fmt.Errorf("%w: it holds %d files, expected no more than %d", ErrTooLarge, len(archive.File), mostParts)
	}
	b := &scanBook{file: r, size: size, files: map[string]*zip.File{}}
	for _, file := range archive.File {
		name := strings.ReplaceAll(file.Name, `\`, "/")
		b.files[name] = file
		if err := checkProlog(name, file); err != nil {
			return nil, fmt.Errorf("%s %w", name, err)
		}
	}
	book, err := b.findBook()
	if err != nil {
		return nil, err
	}
	var content struct {
		XMLName    xml.Name `xml:"workbook"`
		Properties struct {
			Date1904 bool `xml:"date1904,attr"`
		} `xml:"workbookPr"`
		Sheets []struct {
			Name string `xml:"name,attr"`
			ID   string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
			// of the strict form
			StrictID string `xml:"http://purl.oclc.org/ooxml/officeDocument/relationships id,attr"`
		} `xml:"sheets>sheet"`
	}
	if err := b.decode(book, &content); err != nil {
		return nil, err
	}
	if !isSpreadsheetSpace(content.XMLName.Space) {
		return nil, fmt.Errorf("name space of %s %w", book, errNotRecognised)
	}
	var links relationships
	if err := b.decode(path.Join(path.Dir(book), "_rels", path.Base(book)+".rels"), &links); err != nil {
		return nil, err
	}
	parts := map[string]string{}
	for _, link := range links.List {
		part := inArchive(path.Dir(book), link.Target)
		parts[link.ID] = part
		if path.Base(link.Type) == "sharedStrings" {
			b.strings = part
		}
		if path.Base(link.Type) == "styles" {
			b.styles = part
		}
	}
	if _, there := b.files["xl/sharedStrings.xml"]; there && b.strings == "" {
		b.strings = "xl/sharedStrings.xml"
	}
	b.from1904 = content.Properties.Date1904
	known := map[string]bool{}
	for _, sheet := range content.Sheets {
		if key := strings.ToLower(sheet.Name); known[key] {
			return nil, fmt.Errorf("second sheet %q %w", sheet.Name, errNotRecognised)
		} else {
			known[key] = true
		}
		b.sheets = append(b.sheets, sheetEntry{sheet.Name, parts[cmp.Or(sheet.ID, sheet.StrictID)]})
	}
	if len(b.sheets) == 0 {
		return nil, fmt.Errorf("workbook without sheets %w", errNotRecognised)
	}
	return b, nil
}

// findBook returns the name of the part that lists the sheets.
func (b *scanBook) findBook() (string, error) {
	var links relationships
	if err := b.decode("_rels/.rels", &links); err != nil {
		return "", err
	}
	for _, link := range links.List {
		switch link.Type {
		case "http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument",
			"http://purl.oclc.org/ooxml/officeDocument/relationships/officeDocument":
			return inArchive("", link.Target), nil
		}
	}
	return "", fmt.Errorf("archive without workbook %w", errNotRecognised)
}

// inArchive returns the name of the part that a relationship of a part in a folder refers to. It is looked up among the
// names in the archive and never anywhere else.
func inArchive(folder, target string) string {
	target = strings.ReplaceAll(target, `\`, "/")
	if !strings.HasPrefix(target, "/") {
		target = folder + "/" + target
	}
	return strings.TrimPrefix(path.Clean(target), "/")
}

// decode reads a small part.
func (b *scanBook) decode(name string, into any) error {
	file := b.files[name]
	if file == nil {
		return fmt.Errorf("archive without %s %w", name, errNotRecognised)
	}
	entry, err := file.Open()
	if err != nil {
		return fmt.Errorf("%s %w: %w", name, errNotRecognised, err)
	}
	defer entry.Close()
	limited := &io.LimitedReader{R: inUTF8(entry), N: largestIndex}
	if err := xml.NewDecoder(limited).Decode(into); err != nil {
		return fmt.Errorf("%s %w: %w", name, errNotRecognised, err)
	}
	if _, err := io.Copy(io.Discard, limited); err != nil { // by which the archive proves that it came out right
		return fmt.Errorf("%s is damaged: %w", name, err)
	}
	return nil
}

// unpack starts to unpack a part while what it gives is read. Its reader must be closed.
func (b *scanBook) unpack(ctx context.Context, name string, largest int64) (io.ReadCloser, error) {
	file := b.files[name]
	if file == nil {
		return nil, fmt.Errorf("archive without %s %w", name, errNotRecognised)
	}
	r, w := io.Pipe()
	go func() { w.CloseWithError(unpackInto(ctx, w, file, largest)) }()
	return r, nil
}

func unpackInto(ctx context.Context, w io.Writer, file *zip.File, largest int64) error {
	entry, err := file.Open()
	if err != nil {
		return err
	}
	defer entry.Close()
	text, chunk, total := inUTF8(entry), make([]byte, chunkSize), int64(0)
	for err == nil {
		n := 0
		for n < len(chunk) && err == nil {
			var more int
			more, err = text.Read(chunk[n:])
			n += more
		}
		total += int64(n)
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case total > largest:
			return fmt.Errorf("%w: it unpacks to more than %d MiB", ErrTooLarge, largest>>20)
		case total > suspectPart && uint64(total)/highestRatio > file.CompressedSize64:
			return fmt.Errorf("%w: it unpacks to more than %d times its size", ErrTooLarge, highestRatio)
		}
		if _, failed := w.Write(chunk[:n]); failed != nil {
			return failed
		}
	}
	if err == io.EOF {
		return nil
	}
	return err
}

// inPart names the part in which something is wrong.
func inPart(name string, err error) error {
	if errors.Is(err, ErrTooLarge) || errors.Is(err, ErrDeclared) {
		return fmt.Errorf("%s %w", name, err)
	}
	return fmt.Errorf("%s: %w", name, err)
}

// loadShared reads the shared texts.
func (b *scanBook) loadShared(ctx context.Context) error {
	if b.sharedLoaded || b.strings == "" {
		return nil
	}
	if b.files[b.strings] == nil {
		return nil // some programs name a list that they do not write where they have no texts
	}
	part, err := b.unpack(ctx, b.strings, largestShared)
	if err != nil {
		return err
	}
	defer part.Close()
	if b.shared, err = readSharedTexts(part); err == nil {
		_, err = io.Copy(io.Discard, part)
	}
	b.sharedLoaded = err == nil
	if err != nil && ctx.Err() == nil {
		return inPart(b.strings, err)
	}
	return err
}
