package report

import (
	"bufio"
	"context"
	"io"
	"strconv"
	"strings"
)

// csvTable writes rows of values as RFC 4180 has them: UTF-8, a heading, commas, CR LF. The first error stays.
//
// Text that a spreadsheet would take for a formula gets an apostrophe in front (guarded), in the heading too, which may hold headings of
// the inputs. A text that a spreadsheet would
// divide stands in quotes, also where it takes semicolons or tabs for the ends of fields.
type csvTable struct {
	ctx    context.Context
	writer *bufio.Writer
	fields []string
	rows   int
	err    error
}

func newCSV(ctx context.Context, w io.Writer, heading ...string) *csvTable {
	t := &csvTable{ctx: ctx, writer: bufio.NewWriter(w)}
	for _, name := range heading {
		t.fields = append(t.fields, csvField(name))
	}
	t.write(t.fields)
	return t
}

// write writes a row of fields.
func (t *csvTable) write(fields []string) {
	for i, field := range fields {
		if i > 0 {
			_ = t.writer.WriteByte(',') // the writer keeps the first error
		}
		if strings.ContainsAny(field, ",;\t\"\r\n ") {
			field = `"` + strings.ReplaceAll(field, `"`, `""`) + `"`
		}
		_, _ = t.writer.WriteString(field)
	}
	_, t.err = t.writer.WriteString("\r\n")
}

// add writes a row of texts, numbers and truths. What is not known is empty.
func (t *csvTable) add(values ...any) {
	if t.err == nil && t.rows%1024 == 0 {
		t.err = t.ctx.Err()
	}
	if t.err != nil {
		return
	}
	t.rows++
	t.fields = t.fields[:0]
	for _, value := range values {
		t.fields = append(t.fields, csvField(value))
	}
	t.write(t.fields)
}

func csvField(value any) string {
	switch v := value.(type) {
	case string:
		return guarded(plainText(v))
	case float64:
		if !unknown(v) {
			return strconv.FormatFloat(shortFloat(v), 'g', -1, 64)
		}
	case int:
		return strconv.Itoa(v)
	case bool:
		return strconv.FormatBool(v)
	}
	return ""
}

// shortFloat leaves off what only the arithmetic of the machine adds: 1.95 of 1.9500000000000002.
func shortFloat(x float64) float64 {
	const digits = 15
	short, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', digits, 64), 64)
	if err != nil {
		return x
	}
	return short
}

// guarded keeps a spreadsheet from taking text for a formula: one that starts with = + - or @, in full width too, or
// with what a spreadsheet passes over before it looks for these.
func guarded(text string) string {
	if strings.IndexAny(text, "=+-@\t\r\ufeff＝＋－＠") == 0 {
		return "'" + text
	}
	return text
}

// end writes what is left and returns the first error.
func (t *csvTable) end() error {
	if err := t.writer.Flush(); t.err == nil {
		t.err = err
	}
	return t.err
}
