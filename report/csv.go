package report

import (
	"context"
	"encoding/csv"
	"io"
	"strconv"
)

// csvTable writes rows of values as RFC 4180 has them: UTF-8, a heading, commas, CR LF. The first error stays.
//
// Text that a spreadsheet would take for a formula, since it starts with = + - @ or a tab, gets an apostrophe in front.
type csvTable struct {
	ctx    context.Context
	writer *csv.Writer
	fields []string
	rows   int
	err    error
}

func newCSV(ctx context.Context, w io.Writer, heading ...string) *csvTable {
	t := &csvTable{ctx: ctx, writer: csv.NewWriter(w)}
	t.writer.UseCRLF = true
	t.err = t.writer.Write(heading)
	return t
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
	t.err = t.writer.Write(t.fields)
}

func csvField(value any) string {
	switch v := value.(type) {
	case string:
		return guarded(plainText(v))
	case float64:
		if !unknown(v) {
			return strconv.FormatFloat(v, 'g', -1, 64)
		}
	case int:
		return strconv.Itoa(v)
	case bool:
		return strconv.FormatBool(v)
	}
	return ""
}

// guarded keeps a spreadsheet from taking text for a formula.
func guarded(text string) string {
	if text == "" {
		return text
	}
	switch text[0] {
	case '=', '+', '-', '@', '\t':
		return "'" + text
	}
	return text
}

// end writes what is left and returns the first error.
func (t *csvTable) end() error {
	t.writer.Flush()
	if t.err == nil {
		t.err = t.writer.Error()
	}
	return t.err
}
