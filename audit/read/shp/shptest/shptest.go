// Package shptest makes shapefiles for tests from a description of lines of text; their parts leave as bytes.
//
//	type 11                    type of the shapes
//	field line C 10            a field of the table: name, type, length, decimals
//	driver 87                  language driver of the table
//	part .prj GEOGCS[…]        a part as it stands
//	latin1                     the texts of the table are in ISO-8859-1
//	10 50 4100 | L1 | 1        a shape with its row: positions between commas, parts between slashes
//	null | L1 | 2              a null shape
//	* 10 50 4100 | L1 | 3      one whose row is marked as deleted
//	set .shp 24 00000001       bytes at an offset that are put in when all is made
//	cut .shp 7                 bytes that are taken from the end
//	drop .shx                  a part that is not there
//	rename .dbf .DBF           a part that has another ending
//	compress .shp              a part that is compressed by gzip, and ends in .gz then
package shptest

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"maps"
	"math"
	"strconv"
	"strings"
)

// writer makes the parts of one shapefile.
type writer struct {
	kind         uint32
	driver       byte
	latin1       bool
	fields       []field
	shapes, rows bytes.Buffer
	index        bytes.Buffer
	count        uint32
	given        map[string][]byte
}

type field struct {
	name             string
	kind             byte
	length, decimals int
}

// Parts makes the parts that a description asks for, by their extensions.
func Parts(description string) (map[string][]byte, error) {
	w := writer{given: map[string][]byte{}}
	var late [][]string
	for line := range strings.Lines(description) {
		line = strings.TrimSpace(line)
		words := strings.Fields(line)
		if len(words) == 0 {
			continue
		}
		var err error
		switch words[0] {
		case "type":
			w.kind, err = number32(words[1])
		case "driver":
			var driver uint32
			driver, err = number32(words[1])
			w.driver = byte(driver)
		case "latin1":
			w.latin1 = true
		case "field":
			err = w.field(words[1:])
		case "part":
			_, rest, _ := strings.Cut(line, words[1])
			w.given[words[1]] = []byte(strings.TrimSpace(rest))
		case "set", "cut", "drop", "rename", "compress":
			late = append(late, words)
		default:
			err = w.feature(line)
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", line, err)
		}
	}
	parts := w.parts()
	for _, words := range late {
		if err := damage(parts, words); err != nil {
			return nil, fmt.Errorf("%v: %w", words, err)
		}
	}
	return parts, nil
}

func number32(word string) (uint32, error) {
	value, err := strconv.ParseUint(word, 10, 32)
	return uint32(value), err
}

func (w *writer) field(words []string) error {
	f := field{name: words[0], kind: words[1][0]}
	var err error
	if f.length, err = strconv.Atoi(words[2]); err == nil && len(words) > 3 {
		f.decimals, err = strconv.Atoi(words[3])
	}
	w.fields = append(w.fields, f)
	return err
}

// feature adds a shape and its row.
func (w *writer) feature(line string) error {
	mark := byte(' ')
	if rest, starred := strings.CutPrefix(line, "*"); starred {
		mark, line = '*', rest
	}
	cells := strings.Split(line, "|")
	content, err := w.shape(strings.TrimSpace(cells[0]))
	if err != nil {
		return err
	}
	w.count++
	at := 100 + w.shapes.Len()
	w.index.Write(binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, uint32(at/2)), uint32(len(content)/2)))
	w.shapes.Write(binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w.count), uint32(len(content)/2)))
	w.shapes.Write(content)
	w.rows.WriteByte(mark)
	for i, f := range w.fields {
		cell := ""
		if i+1 < len(cells) {
			cell = strings.TrimSpace(cells[i+1])
		}
		raw := w.encoded(cell)
		raw = raw[:min(len(raw), f.length)]
		blanks := bytes.Repeat([]byte{' '}, f.length-len(raw))
		if f.kind == 'N' || f.kind == 'F' {
			raw = append(blanks, raw...)
		} else {
			raw = append(raw, blanks...)
		}
		w.rows.Write(raw)
	}
	return nil
}

func (w *writer) encoded(text string) []byte {
	if !w.latin1 {
		return []byte(text)
	}
	var raw []byte
	for _, r := range text {
		raw = append(raw, byte(r))
	}
	return raw
}

// shape writes the content of a record, with the measures that its type asks for.
func (w *writer) shape(text string) ([]byte, error) {
	if text == "null" {
		return make([]byte, 4), nil
	}
	var starts []uint32
	var flat [][]float64
	for part := range strings.SplitSeq(text, "/") {
		starts = append(starts, uint32(len(flat)))
		for position := range strings.SplitSeq(part, ",") {
			var values []float64
			for word := range strings.FieldsSeq(position) {
				value, err := strconv.ParseFloat(word, 64)
				if err != nil {
					return nil, err
				}
				values = append(values, value)
			}
			flat = append(flat, append(values, 0, 0, 0, 0)[:4])
		}
	}
	out := binary.LittleEndian.AppendUint32(nil, w.kind)
	if plane := w.kind % 10; plane != 1 {
		for _, bound := range bounds(flat) {
			out = appendNumber(out, bound)
		}
		if plane != 8 {
			out = binary.LittleEndian.AppendUint32(out, uint32(len(starts)))
		}
		out = binary.LittleEndian.AppendUint32(out, uint32(len(flat)))
		if plane != 8 {
			for _, start := range starts {
				out = binary.LittleEndian.AppendUint32(out, start)
			}
		}
	}
	for _, at := range flat {
		out = appendNumber(appendNumber(out, at[0]), at[1])
	}
	if w.kind > 10 && w.kind < 20 {
		out = w.values(out, flat, 2)
	}
	if w.kind > 10 {
		out = w.values(out, flat, 3)
	}
	return out, nil
}

// values writes the heights or measures of a shape, behind their range where there are many.
func (w *writer) values(out []byte, flat [][]float64, which int) []byte {
	if w.kind%10 != 1 {
		low, high := math.Inf(1), math.Inf(-1)
		for _, at := range flat {
			low, high = min(low, at[which]), max(high, at[which])
		}
		out = appendNumber(appendNumber(out, low), high)
	}
	for _, at := range flat {
		out = appendNumber(out, at[which])
	}
	return out
}

func bounds(flat [][]float64) [4]float64 {
	box := [4]float64{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, at := range flat {
		box = [4]float64{min(box[0], at[0]), min(box[1], at[1]), max(box[2], at[0]), max(box[3], at[1])}
	}
	return box
}

func appendNumber(out []byte, value float64) []byte {
	return binary.LittleEndian.AppendUint64(out, math.Float64bits(value))
}

func (w *writer) parts() map[string][]byte {
	header := func(length int) []byte {
		head := make([]byte, 100)
		binary.BigEndian.PutUint32(head, 9994)
		binary.BigEndian.PutUint32(head[24:], uint32(length+100)/2)
		binary.LittleEndian.PutUint32(head[28:], 1000)
		binary.LittleEndian.PutUint32(head[32:], w.kind)
		return head
	}
	parts := map[string][]byte{
		".shp": append(header(w.shapes.Len()), w.shapes.Bytes()...), ".shx": append(header(w.index.Len()), w.index.Bytes()...), ".dbf": w.table(),
		".prj": []byte(`GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]`),
	}
	maps.Copy(parts, w.given)
	return parts
}

func (w *writer) table() []byte {
	head := make([]byte, 32, 512)
	row := 1
	for _, f := range w.fields {
		one := make([]byte, 32)
		copy(one[:11], w.encoded(f.name))
		one[11], one[16], one[17] = f.kind, byte(f.length), byte(f.decimals)
		head = append(head, one...)
		row += f.length
	}
	head = append(head, '\r')
	head[0], head[29] = 3, w.driver
	binary.LittleEndian.PutUint32(head[4:], w.count)
	binary.LittleEndian.PutUint16(head[8:], uint16(len(head)))
	binary.LittleEndian.PutUint16(head[10:], uint16(row))
	return append(append(head, w.rows.Bytes()...), 0x1a)
}

// damage changes the parts as a line says.
func damage(parts map[string][]byte, words []string) error {
	part := words[1]
	switch words[0] {
	case "drop":
		delete(parts, part)
	case "rename":
		parts[words[2]] = parts[part]
		delete(parts, part)
	case "compress":
		var packed bytes.Buffer
		w := gzip.NewWriter(&packed)
		if _, err := w.Write(parts[part]); err != nil {
			return err
		}
		if err := w.Close(); err != nil {
			return err
		}
		parts[part+".gz"] = packed.Bytes()
		delete(parts, part)
	case "cut":
		n, err := strconv.Atoi(words[2])
		if err != nil || n > len(parts[part]) {
			return fmt.Errorf("cannot cut: %w", err)
		}
		parts[part] = parts[part][:len(parts[part])-n]
	case "set":
		at, err := strconv.Atoi(words[2])
		if err != nil {
			return err
		}
		raw, err := hex.DecodeString(words[3])
		if err != nil || at > len(parts[part]) {
			return fmt.Errorf("cannot set: %w", err)
		}
		parts[part] = append(parts[part][:at:at], append(raw, parts[part][min(len(parts[part]), at+len(raw)):]...)...)
	}
	return nil
}
