package postgres

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"time"

	"dryarc/audit/database"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgtype"
)

// The stream of a query is a head, then records, each of which begins with its kind: the system of the geometries from there on, a row, or the end
// with the number of the rows, without which a stream is not whole. A row is the lengths of its cells, the geometry behind the others, then their bytes.
// Numbers are unsigned varints.
const (
	systemRecord = 's'
	rowRecord    = 'r'
	endRecord    = 'e'
)

// head begins a stream.
type head struct {
	Columns  []Column
	Geometry string // name of its column; empty for none
	Type     string // of it: geometry or geography
}

// Stream is the rows of a query as bytes. It must be closed.
type Stream struct {
	ctx      context.Context
	cancel   context.CancelFunc
	from     *Databases
	settings string
	moment   *moment
	conn     *pgconn.PgConn
	result   *pgconn.ResultReader
	columns  []column
	geometry int // among the columns; −1 for none

	system  uint32 // of the geometries so far
	told    bool   // it was
	number  uint64 // of the rows
	ready   []byte // and not yet read
	buffer  bytes.Buffer
	ended   bool
	problem error
}

// full is how many bytes are made ready at a time.
const full = 64 << 10

// Query starts a query of a database.
func (d *Databases) Query(ctx context.Context, settings, sql string) (*Stream, error) {
	conn, m, err := d.take(ctx, settings)
	if err != nil {
		return nil, err
	}
	allowed, err := database.Rows(ctx, conn, `select setting from pg_settings where name = 'statement_timeout'`) // in ms
	if err != nil {
		return nil, err
	}
	most, err := strconv.ParseInt(string(allowed[0][0]), 10, 64)
	if err != nil {
		return nil, err
	}
	q := &Stream{from: d, settings: settings, moment: m, conn: conn}
	q.ctx, q.cancel = database.Within(ctx, time.Duration(most)*time.Millisecond)
	if err := q.start(sql); err != nil {
		q.cancel()
		return nil, err
	}
	return q, nil
}

func (q *Stream) start(sql string) error {
	statement, err := q.conn.Prepare(q.ctx, "", sql, nil)
	switch {
	case err != nil:
		return database.Problem(q.ctx, err)
	case len(statement.ParamOIDs) > 0:
		return errors.New("has a parameter such as $1, to which nothing gives a value")
	case len(statement.Fields) == 0:
		return errors.New("returns no columns, expected a select")
	}
	if q.columns, q.geometry, err = q.moment.columns(statement.Fields); err != nil {
		return err
	}
	first := head{Columns: q.Columns()}
	formats := make([]int16, len(q.columns))
	if i := q.geometry; i >= 0 {
		first.Geometry, first.Type, formats[i] = q.columns[i].Name, q.columns[i].shape, pgtype.BinaryFormatCode
	}
	written, err := json.Marshal(first)
	if err != nil {
		return err
	}
	q.putBytes(written)
	q.result = q.conn.ExecPrepared(q.ctx, "", nil, nil, formats)
	return nil
}

// HasGeometry tells whether the query returns a geometry.
func (q *Stream) HasGeometry() bool { return q.geometry >= 0 }

// Columns lists the columns but for that of the geometry.
func (q *Stream) Columns() (columns []Column) {
	for i, c := range q.columns {
		if i != q.geometry {
			columns = append(columns, c.Column)
		}
	}
	return columns
}

func (q *Stream) putNumber(n uint64) {
	q.buffer.Write(binary.AppendUvarint(q.buffer.AvailableBuffer(), n))
}

func (q *Stream) putBytes(b []byte) {
	q.putNumber(uint64(len(b)))
	q.buffer.Write(b)
}

// Read reads on in the stream.
func (q *Stream) Read(p []byte) (int, error) {
	if len(q.ready) == 0 {
		if q.problem != nil {
			return 0, q.problem
		}
		q.problem = q.fill()
		q.ready = q.buffer.Bytes()
	}
	n := copy(p, q.ready)
	if q.ready = q.ready[n:]; len(q.ready) == 0 {
		q.buffer.Reset()
	}
	if n == 0 && q.problem != nil {
		return 0, q.problem
	}
	return n, nil
}

// fill makes some rows ready, or says why there are no more.
func (q *Stream) fill() error {
	for q.buffer.Len() < full {
		if !q.result.NextRow() {
			_, err := q.result.Close()
			q.ended = true
			if err != nil {
				return database.Problem(q.ctx, err)
			}
			q.buffer.WriteByte(endRecord)
			q.putNumber(q.number)
			return io.EOF
		}
		q.number++
		if err := q.putRow(q.result.Values()); err != nil {
			return err
		}
	}
	return nil
}

// putRow makes a row ready.
func (q *Stream) putRow(values [][]byte) error {
	if q.geometry >= 0 && values[q.geometry] != nil {
		if err := q.noteSystem(values[q.geometry]); err != nil {
			return err
		}
	}
	for i, value := range values {
		switch c := &q.columns[i]; {
		case value == nil:
		case c.Kind == Unread:
			values[i] = nil
		case c.Kind == Truth:
			values[i] = truths[value[0] == 't']
		case c.scaled:
			values[i] = plainNumber(value)
		case c.Kind == Moment:
			values[i] = []byte(momentText(value))
		}
	}
	q.buffer.WriteByte(rowRecord)
	if q.geometry >= 0 {
		shape := values[q.geometry]
		values = append(append(values[:q.geometry:q.geometry], values[q.geometry+1:]...), shape)
	}
	for _, value := range values {
		q.putNumber(uint64(len(value)))
	}
	for _, value := range values {
		q.buffer.Write(value)
	}
	return nil
}

var truths = map[bool][]byte{true: []byte("true"), false: []byte("false")}

// noteSystem tells the system of the first geometry, in which all others must be.
func (q *Stream) noteSystem(shape []byte) error {
	number, ok := systemIn(shape)
	switch {
	case !ok:
		return nil // decoding it tells what is wrong
	case !q.told:
		q.told, q.system = true, number
		q.buffer.WriteByte(systemRecord)
		q.putBytes([]byte(q.name(number)))
	case number != q.system:
		return fmt.Errorf("returns geometries in several reference systems, %s and in row %d %s, expected one; transform them in the query by ST_Transform", orNone(q.name(q.system)), q.number, orNone(q.name(number)))
	}
	return nil
}

// name is the name of a reference system; empty where there is none.
func (q *Stream) name(number uint32) string {
	if name, own := q.moment.names[number]; own {
		if name == "" {
			name = fmt.Sprintf("SRID %d", number)
		}
		return name
	}
	if number == 0 {
		return ""
	}
	return fmt.Sprintf("EPSG:%d", number)
}

func orNone(system string) string {
	if system == "" {
		return "none"
	}
	return system
}

// systemIn finds the number of the system in extended well-known binary, 0 where it says none.
//
// Source: PostGIS manual, ST_AsEWKB: as well-known binary with a bit of the type that says that the number of the system follows it.
func systemIn(shape []byte) (uint32, bool) {
	const systemBit = 1 << 29
	if len(shape) < 5 {
		return 0, false
	}
	order := binary.ByteOrder(binary.BigEndian)
	if shape[0] == 1 {
		order = binary.LittleEndian
	}
	switch {
	case order.Uint32(shape[1:])&systemBit == 0:
		return 0, true
	case len(shape) < 9:
		return 0, false
	}
	return order.Uint32(shape[5:]), true
}

// Close ends the query. One that was not read to its end takes its connection with it.
func (q *Stream) Close() error {
	q.cancel()
	if q.ended && q.problem == io.EOF {
		q.ended = false
		q.from.give(q.conn, q.settings)
	}
	return nil
}
