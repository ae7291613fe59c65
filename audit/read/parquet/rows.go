package parquet

import (
	"context"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"dryarc/audit/read/wkb"

	"github.com/parquet-go/parquet-go"
	"github.com/parquet-go/parquet-go/encoding"
	geom "github.com/twpayne/go-geom"
)

// Rows goes through the rows of a file. It must be closed.
type Rows struct {
	Number   int64    // of the row, from 1
	Cells    []string // by column; blank where there is nothing, used again for the next row
	Geometry geom.T   // nil where there is none or it cannot be used
	Problem  error    // why the geometry cannot be used

	file    *File
	groups  []parquet.RowGroup // that come after the one at hand
	left    int64              // rows of the group at hand
	cursors []*cursor          // by column; nil for those that are not read
	shapes  *cursor            // of the geometry; nil where there is none
	texts   int64              // bytes of the cells so far
}

// Rows starts to read the rows.
func (f *File) Rows() *Rows {
	return &Rows{Cells: make([]string, len(f.columns)), file: f, groups: f.file.RowGroups(), cursors: make([]*cursor, len(f.columns))}
}

// Cells that come to more than suspectTexts bytes and more than highestRatio times the file are no table.
const (
	suspectTexts = 100 << 20
	highestRatio = 500
)

var errTooDense = fmt.Errorf("it unpacks to more than %d times its size", highestRatio)

func tooDense(bytes, file int64) bool { return bytes > suspectTexts && bytes/highestRatio > file }

// Next goes to the next row; false without an error is the end.
func (r *Rows) Next(ctx context.Context) (more bool, err error) {
	if r.Number%1024 == 0 && ctx.Err() != nil {
		return false, ctx.Err()
	}
	defer caught(&err)
	for r.left == 0 {
		if err := r.atEnd(); err != nil {
			return false, err
		}
		if len(r.groups) == 0 {
			return false, nil
		}
		if err := r.open(r.groups[0]); err != nil {
			return false, err
		}
		r.groups = r.groups[1:]
	}
	r.left--
	r.Number++
	for i, c := range r.cursors {
		if c == nil {
			continue
		}
		column := &r.file.columns[i]
		value, err := c.next()
		if err != nil {
			return false, fmt.Errorf("row %d, column %q: %w", r.Number, column.Name, err)
		}
		r.Cells[i] = ""
		if !value.IsNull() {
			r.Cells[i] = column.text(value)
		}
		if column.Kind == Text && !utf8.ValidString(r.Cells[i]) {
			return false, fmt.Errorf("row %d, column %q: the text %q is not in UTF-8", r.Number, column.Name, r.Cells[i])
		}
		r.texts += int64(len(r.Cells[i])) + 1
	}
	if tooDense(r.texts, r.file.size) {
		return false, errTooDense
	}
	return true, r.takeShape()
}

// atEnd holds the columns of the group at hand to have no values beyond its rows.
func (r *Rows) atEnd() error {
	for i, c := range append(r.cursors, r.shapes) {
		if c == nil {
			continue
		}
		_, err := c.next()
		switch {
		case err == errValues:
			continue
		case err == nil:
			err = errMoreValues
		}
		if i < len(r.cursors) {
			return fmt.Errorf("after row %d, column %q: %w", r.Number, r.file.columns[i].Name, err)
		}
		return fmt.Errorf("after row %d, column %q: %w", r.Number, r.file.geometry.Column, err)
	}
	return nil
}

// takeShape reads the geometry of the row.
func (r *Rows) takeShape() error {
	r.Geometry, r.Problem = nil, nil
	if r.shapes == nil {
		return nil
	}
	value, err := r.shapes.next()
	if err != nil {
		return fmt.Errorf("row %d, column %q: %w", r.Number, r.file.geometry.Column, err)
	}
	if !value.IsNull() {
		r.Geometry, r.Problem = wkb.Decode(value.ByteArray())
	}
	return nil
}

// open starts to read a group of rows.
func (r *Rows) open(group parquet.RowGroup) error {
	r.Close()
	r.left = group.NumRows()
	chunks := group.ColumnChunks()
	all := r.file.file.Metadata().RowGroups
	told := all[len(all)-len(r.groups)].Columns
	start := func(leaf int, name string) (*cursor, error) {
		if err := r.file.checkPages(&told[leaf].MetaData); err != nil {
			return nil, fmt.Errorf("after row %d, column %q: %w", r.Number, name, err)
		}
		return &cursor{pages: chunks[leaf].Pages()}, nil
	}
	var err error
	for i, column := range r.file.columns {
		if column.Kind != Unread {
			if r.cursors[i], err = start(column.leaf, column.Name); err != nil {
				return err
			}
		}
	}
	if g := r.file.geometry; g != nil {
		r.shapes, err = start(g.leaf, g.Column)
	}
	return err
}

// Close ends the reading.
func (r *Rows) Close() {
	for _, c := range append(r.cursors, r.shapes) {
		if c != nil {
			c.close()
		}
	}
}

// cursor goes through the values of a column of a group, of which it holds one page.
type cursor struct {
	pages  parquet.Pages
	page   parquet.Page
	values parquet.ValueReader
	room   [256]parquet.Value
	ahead  []parquet.Value
}

var (
	errValues     = errors.New("is damaged, as it has fewer values than rows")
	errMoreValues = errors.New("is damaged, as it has more values than rows")
)

// next is the next value, good until the one after it.
func (c *cursor) next() (parquet.Value, error) {
	for len(c.ahead) == 0 {
		if c.values == nil {
			page, err := c.pages.ReadPage()
			if err == io.EOF {
				err = errValues
			}
			if err != nil {
				return parquet.Value{}, err
			}
			c.page, c.values = page, page.Values()
			if !isWhole(page) {
				return parquet.Value{}, errMoreValues
			}
		}
		n, err := c.values.ReadValues(c.room[:])
		if c.ahead = c.room[:n]; n > 0 {
			break
		}
		if err != io.EOF {
			return parquet.Value{}, errors.Join(errValues, err)
		}
		parquet.Release(c.page)
		c.page, c.values = nil, nil
	}
	value := c.ahead[0]
	c.ahead = c.ahead[1:]
	return value, nil
}

// isWhole tells whether the texts of a page are all that it has: the library only warns where its levels tell of fewer.
func isWhole(page parquet.Page) bool {
	values := page.Data()
	if values.Kind() != encoding.ByteArray {
		return true
	}
	texts, offsets := values.ByteArray()
	return len(offsets) == 0 || int(offsets[len(offsets)-1]) == len(texts)
}

func (c *cursor) close() {
	if c.page != nil {
		parquet.Release(c.page)
	}
	c.page, c.values, c.ahead = nil, nil, nil
	_ = c.pages.Close() // nothing is written
}
