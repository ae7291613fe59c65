package report

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"slices"

	"github.com/klauspost/compress/flate"
	"github.com/xuri/excelize/v2"
)

// bookZip takes the parts of a workbook from excelize and puts the rows of the tables into theirs.
type bookZip struct {
	*zip.Writer
	rows map[string]*packed // by the name of the part; those that were put are deleted
	name string             // of the part that waits for its rows
	part bytes.Buffer
}

// writeTo writes the workbook with the rows of its tables. excelize keeps a whole workbook in memory before it gives it
// away, so this writes past it.
func (b *book) writeTo(w io.Writer) error {
	z := &bookZip{Writer: zip.NewWriter(w), rows: map[string]*packed{}}
	z.RegisterCompressor(zip.Deflate, func(out io.Writer) (io.WriteCloser, error) { return flate.NewWriter(out, flate.BestSpeed) })
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
	if z.rows[name] == nil {
		return z.Writer.Create(name)
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

// noRows is what stands in a part where its rows belong.
const noRows = "<sheetData></sheetData>"

// flush writes the part that waits for its rows.
func (z *bookZip) flush() error {
	if z.name == "" {
		return nil
	}
	before, after, found := bytes.Cut(z.part.Bytes(), []byte(noRows))
	if !found {
		return fmt.Errorf("part %s has no place for rows", z.name)
	}
	head, err := packText(string(before)+"<sheetData>", false)
	if err != nil {
		return err
	}
	tail, err := packText("</sheetData>"+string(after), true)
	if err != nil {
		return err
	}
	if err := writePacked(z.Writer, z.name, head, z.rows[z.name], tail); err != nil {
		return err
	}
	delete(z.rows, z.name)
	z.name = ""
	z.part.Reset()
	return nil
}
