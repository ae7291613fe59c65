package postgres

import (
	"encoding/hex"
	"fmt"
	"io"
	"iter"
	"math"
	"strconv"

	geom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/ewkb"
)

// copied is the rows of a table in the text format of the statement COPY.
//
// Source: PostgreSQL 15 documentation, "COPY", "Text Format".
type copied struct {
	next       func() (Row, bool)
	stop       func()
	run        string
	written    string // the time; empty where the table has no column for it
	withShapes bool

	block []byte
	ready []byte // of the block, not yet read
	err   error  // of a row, which is not the server's
	ended bool
}

func newCopied(rows iter.Seq[Row], run, written string, withShapes bool) *copied {
	c := &copied{run: run, written: written, withShapes: withShapes}
	c.next, c.stop = iter.Pull(rows)
	return c
}

// full is how many bytes are made ready at a time.
const full = 64 << 10

func (c *copied) Read(p []byte) (int, error) {
	for len(c.ready) == 0 {
		if c.ended {
			return 0, io.EOF
		}
		for c.block = c.block[:0]; len(c.block) < full && !c.ended; {
			row, more := c.next()
			if c.ended = !more; more {
				if c.err = c.put(&row); c.err != nil {
					return 0, c.err
				}
			}
		}
		c.ready = c.block
	}
	n := copy(p, c.ready)
	c.ready = c.ready[n:]
	return n, nil
}

// nothing is how the format writes no value.
const nothing = `\N`

func (c *copied) put(row *Row) error {
	c.text(c.run)
	for _, value := range row.Values {
		c.block = append(c.block, '\t')
		switch v := value.(type) {
		case nil:
			c.block = append(c.block, nothing...)
		case string:
			c.text(v)
		case int64:
			c.block = strconv.AppendInt(c.block, v, 10)
		case bool:
			c.block = strconv.AppendBool(c.block, v)
		case float64:
			if math.IsNaN(v) {
				c.block = append(c.block, nothing...)
			} else {
				c.block = strconv.AppendFloat(c.block, v, 'g', -1, 64)
			}
		default:
			return fmt.Errorf("a value is a %T", value)
		}
	}
	if c.written != "" {
		c.block = append(append(c.block, '\t'), c.written...)
	}
	if c.withShapes {
		c.block = append(c.block, '\t')
		if err := c.shape(row.Geometry); err != nil {
			return err
		}
	}
	c.block = append(c.block, '\n')
	return nil
}

// shape puts a geometry in extended well-known binary, as the type takes it.
func (c *copied) shape(shape geom.T) error {
	if shape == nil {
		c.block = append(c.block, nothing...)
		return nil
	}
	placed, err := geom.SetSRID(shape, wgs84)
	if err != nil {
		return err
	}
	bytes, err := ewkb.Marshal(placed, ewkb.NDR)
	c.block = hex.AppendEncode(c.block, bytes)
	return err
}

// text puts a text, in which the characters that part rows and values are told by others. The server keeps no zero byte.
func (c *copied) text(text string) {
	for i := range len(text) {
		switch b := text[i]; b {
		case '\\':
			c.block = append(c.block, `\\`...)
		case '\t':
			c.block = append(c.block, `\t`...)
		case '\n':
			c.block = append(c.block, `\n`...)
		case '\r':
			c.block = append(c.block, `\r`...)
		case 0:
			c.block = append(c.block, "\ufffd"...)
		default:
			c.block = append(c.block, b)
		}
	}
}
