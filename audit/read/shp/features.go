package shp

import (
	"io"

	geom "github.com/twpayne/go-geom"
)

// Parts are the parts of a shapefile that Read goes through, each from its start.
type Parts struct {
	Shapes, Table io.Reader
	Index         io.Reader // nil where there is none
	Encoding      Encoding  // of the table
}

// Feature is a shape with the row of the table that goes with it. It is good until the next one.
type Feature struct {
	Number   uint32   // from 1
	Geometry geom.T   // nil where there is none
	Problem  error    // what is wrong with the shape; the geometry then holds what positions it has
	Names    []string // of the fields
	Values   []any    // nil, bool, Number, string or time.Time
}

// Account tells what Read saw besides features.
type Account struct {
	Features int
	Deleted  int // rows that are marked as deleted; they are passed over with their shapes
	Starred  int // numbers of asterisks alone, which are taken as blank
	Cut      int // texts that fill their field and end in a part of a character, which is left out
}

// Read calls each for every feature that is not deleted, in order.
func Read(parts Parts, each func(*Feature) error) (account Account, err error) {
	shapes, err := newShapeReader(parts.Shapes, parts.Index)
	if err != nil {
		return account, err
	}
	rows, err := newTable(parts.Table, parts.Encoding)
	if err != nil {
		return account, err
	}
	f := Feature{}
	for _, field := range rows.fields {
		f.Names = append(f.Names, field.name)
	}
	for {
		more, err := shapes.next()
		if err != nil {
			return account, err
		}
		if !more {
			break
		}
		if more, err = rows.next(); err != nil {
			return account, err
		}
		if !more {
			return account, damaged(Table, "has %d rows, but the shapes go on with record %d", rows.rows, shapes.number)
		}
		if rows.deleted() {
			account.Deleted++
			continue
		}
		f.Number = shapes.number
		f.Geometry, f.Problem = geometry(shapes.kind, shapes.content.Bytes())
		if f.Values, err = rows.values(f.Values[:0]); err != nil {
			return account, err
		}
		account.Features, account.Starred, account.Cut = account.Features+1, rows.starred, rows.cut
		if err := each(&f); err != nil {
			return account, err
		}
	}
	if rows.number < rows.rows {
		return account, damaged(Table, "has %d rows, but there are %d shapes", rows.rows, shapes.number)
	}
	return account, rows.end()
}
