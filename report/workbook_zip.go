package report

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"regexp"
	"slices"
	"time"

	"github.com/klauspost/compress/flate"
	"github.com/xuri/excelize/v2"
)

// bookZip takes the parts of a workbook from excelize and puts the rows of the tables into theirs.
type bookZip struct {
	*zip.Writer
	rows map[string]*packed // by the name of the part; those that were put are deleted
	name string             // of the part that waits to be written
	part bytes.Buffer
}

// writeTo writes the workbook with the rows of its tables. excelize keeps a whole workbook in memory before it gives it
// away, so this writes past it.
func (b *book) writeTo(w io.Writer) error {
	z := &bookZip{Writer: zip.NewWriter(w), rows: map[string]*packed{}}
	z.RegisterCompressor(zip.Deflate, func(out io.Writer) (io.WriteCloser, error) {
		lent := lentDeflater{deflaters.Get().(*flate.Writer)}
		lent.Reset(out)
		return lent, nil
	})
	for _, t := range b.tables {
		i := slices.Index(b.file.GetSheetList(), t.sheet)
		z.rows[fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1)] = t.rows.packed
	}
	b.file.SetZipWriter(func(io.Writer) excelize.ZipWriter { return z })
	if err := b.file.Write(io.Discard); err != nil {
		return err
	}
	if len(z.rows) > 0 {
		return fmt.Errorf("%d of %d sheets did not get their rows", len(z.rows), len(b.tables))
	}
	return nil
}

func (z *bookZip) Create(name string) (io.Writer, error) {
	if err := z.flush(); err != nil {
		return nil, err
	}
	if z.rows[name] == nil && name != contentTypes {
		return z.create(name)
	}
	z.name = name
	return &z.part, nil
}

func (z *bookZip) Close() error {
	if err := z.flush(); err != nil {
		return err
	}
	return z.Writer.Close()
}

// create begins an entry. Its time is the first that a zip file can state, since the workbook knows no clock.
func (z *bookZip) create(name string) (io.Writer, error) {
	return z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)})
}

// contentTypes is the part whose defaults excelize writes in any order.
const contentTypes = "[Content_Types].xml"

var defaultType = regexp.MustCompile(`<Default [^>]*?(/>|></Default>)`)

// sortedTypes puts the defaults of the content types in order.
func sortedTypes(part []byte) []byte {
	defaults := defaultType.FindAll(part, -1)
	for i := range defaults {
		defaults[i] = bytes.Clone(defaults[i])
	}
	slices.SortFunc(defaults, bytes.Compare)
	i := 0
	return defaultType.ReplaceAllFunc(part, func([]byte) []byte {
		i++
		return defaults[i-1]
	})
}

// The rows of a part stand between these. What excelize has there are at most the headings of a table, which the rows begin with.
const rowsBegin, rowsEnd = "<sheetData>", "</sheetData>"

// flush writes the part that waits.
func (z *bookZip) flush() error {
	if z.name == "" {
		return nil
	}
	defer func() { z.name = "" }()
	defer z.part.Reset()
	if z.name == contentTypes {
		w, err := z.create(z.name)
		if err != nil {
			return err
		}
		_, err = w.Write(sortedTypes(z.part.Bytes()))
		return err
	}
	before, rest, found := bytes.Cut(z.part.Bytes(), []byte(rowsBegin))
	_, after, ended := bytes.Cut(rest, []byte(rowsEnd))
	if !found || !ended {
		return fmt.Errorf("part %s has no place for rows", z.name)
	}
	head, err := packText(string(before)+rowsBegin, false)
	if err != nil {
		return err
	}
	tail, err := packText(rowsEnd+string(after), true)
	if err != nil {
		return err
	}
	if err := writePacked(z.Writer, z.name, head, z.rows[z.name], tail); err != nil {
		return err
	}
	delete(z.rows, z.name)
	return nil
}
