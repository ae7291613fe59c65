package postgres

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgtype"
)

// Kind is what the cells of a column stand for.
type Kind int

// The kinds of column.
const (
	Text   Kind = iota
	Number      // NaN and Infinity stand there as the server writes them
	Truth       // true or false
	Moment      // a date, or date and time in UTC
	JSON
	Unread
)

// Column is a column of values.
type Column struct {
	Name string
	Kind Kind
	Why  string // of a column that is not read, or not as it may be meant, what it is

	Instead string // of a column that is not read, what a query can have in its place
	Short   bool   // its numbers have about seven digits
}

// What a query can have in place of what is not read. AsGeometry is for what may hold positions.
const (
	AsGeometry = "st_setsrid(…::geometry, 4326), with the number of the system of its positions"
	asText     = "…::text"
	asOneText  = "array_to_string(…, ', ')"
)

// column is a column of a query, or what is known of a type.
type column struct {
	Column
	shape  string // geometry or geography; empty where it is neither
	scaled bool   // its numbers are written with as many decimals as the column has, zeros too
}

// kinds are the types that are read, by their number.
var kinds = map[uint32]Kind{
	pgtype.TextOID: Text, pgtype.VarcharOID: Text, pgtype.BPCharOID: Text, pgtype.NameOID: Text, pgtype.QCharOID: Text, pgtype.UUIDOID: Text, pgtype.UnknownOID: Text,
	pgtype.Int2OID: Number, pgtype.Int4OID: Number, pgtype.Int8OID: Number, pgtype.Float4OID: Number, pgtype.Float8OID: Number, pgtype.NumericOID: Number,
	pgtype.BoolOID: Truth,
	pgtype.DateOID: Moment, pgtype.TimestampOID: Moment, pgtype.TimestamptzOID: Moment,
	pgtype.JSONOID: JSON, pgtype.JSONBOID: JSON,
}

// typeOf is what a type holds, by its number, name, sort and category in the catalogue, and its name in words.
//
// Source: PostgreSQL 15 documentation, "pg_type".
func typeOf(number uint32, name, sort, category, words string) column {
	kind, is := kinds[number]
	switch {
	case number == pgtype.TimestamptzOID:
		return column{Column: Column{Kind: kind, Why: "is a time with time zone and read in UTC, where a day that begins elsewhere may be the day before; if it holds days, write in the query such as (at at time zone 'Europe/Berlin')::date"}}
	case is:
		return column{Column: Column{Kind: kind, Short: number == pgtype.Float4OID}, scaled: number == pgtype.NumericOID}
	case name == "geometry" || name == "geography":
		return column{shape: name}
	case sort == "e" || category == "S":
		return column{Column: Column{Kind: Text}}
	}
	c := column{Column: Column{Kind: Unread, Why: "is of the type " + words, Instead: asText}}
	switch number {
	case pgtype.ByteaOID, pgtype.PointOID, pgtype.PathOID, pgtype.PolygonOID: // which PostGIS turns into its own
		c.Instead = AsGeometry
	}
	return c
}

// columns finds what the columns of a query hold. The geometry, if there is one, is that at the place returned, else −1.
func (m *moment) columns(fields []pgconn.FieldDescription) (columns []column, geometry int, err error) {
	geometry = -1
	seen := map[string]bool{}
	for i, field := range fields {
		if seen[field.Name] {
			return nil, 0, fmt.Errorf("returns two columns %q, expected one; give each a name of its own by as", field.Name)
		}
		seen[field.Name] = true
		c, known := m.types[field.DataTypeOID]
		if !known {
			c = column{Column: Column{Kind: Unread, Why: "holds several values in a cell", Instead: asOneText}}
		}
		if c.Name = field.Name; c.shape != "" {
			if geometry >= 0 {
				return nil, 0, fmt.Errorf("returns two geometries, %q and %q, expected one", fields[geometry].Name, field.Name)
			}
			geometry = i
		}
		columns = append(columns, c)
	}
	return columns, geometry, nil
}

// plainNumber is a number of the type numeric without the zeros that end its decimals, so that it is the same text in every column.
func plainNumber(written []byte) []byte {
	if bytes.IndexByte(written, '.') < 0 {
		return written
	}
	return bytes.TrimSuffix(bytes.TrimRight(written, "0"), []byte("."))
}

// momentText is a time as the server writes it, in the form of ISO 8601, with a Z where it is by the clock of UTC and not by one that nobody
// states; one at midnight is a date.
func momentText(written []byte) string {
	text, inUTC := strings.CutSuffix(string(written), "+00")
	day, clock, isTime := strings.Cut(text, " ")
	switch {
	case !isTime || len(day) != len("2006-01-02") || strings.HasSuffix(clock, "BC"): // also before our era, and infinity
		return text
	case clock == "00:00:00":
		return day
	}
	if inUTC {
		clock += "Z"
	}
	return day + "T" + clock
}
