package report

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"io"
	"io/fs"
	"math"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/history"
)

// historyFile is the log of the runs into a folder.
const historyFile = "history.csv"

var historyHeading = []string{"as_of", "line", "lines", "structures", "shortfalls", "advisories", "notes", "new", "cleared", "decided", "judged_percent", "run"}

// The words of the column lines: whether the run was of all lines, or of some that were chosen.
const wholeRun, partialRun = "all", "chosen"

// runLog is a log as it stands. What the program did not write, as a person may have put there, stays where it is.
type runLog struct {
	text []byte
	rows []loggedRow
}

// loggedRow is a row of a log, whose Line is the text of its cell, and where it stands in the text.
type loggedRow struct {
	history.LogRow
	from, to int
}

// readLog reads the log in a folder.
func (f folder) readLog() (*runLog, error) {
	text, err := f.disk.ReadFile(f.path(historyFile))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, &WriteError{historyFile, err}
	}
	return parseLog(text), nil
}

// longestLogRow is more bytes than a row of the log takes, whose line has a name of 1000 characters at most.
const longestLogRow = 1 << 14

// parseLog takes up the rows that the program wrote. Each is looked for at the beginning of a line, so that whatever a person wrote
// before it, a quotation mark that is left open among that, takes nothing with it.
func parseLog(text []byte) *runLog {
	log := &runLog{text: text}
	for from := 0; from < len(text); {
		end := from + 1 + bytes.IndexByte(text[from:], '\n')
		if end == from {
			end = len(text)
		}
		if row, length, ok := rowAt(text[from:], end-from); ok {
			log.rows = append(log.rows, loggedRow{row, from, from + length})
			end = from + length
		}
		from = end
	}
	return log
}

// rowAt reads the row at the beginning of a text whose first line is so long; a name in quotation marks may hold ends of lines.
func rowAt(text []byte, line int) (row history.LogRow, length int, ok bool) {
	if bytes.IndexByte(text[:line], '"') < 0 {
		row, ok = parseLogRow(strings.Split(strings.TrimRight(string(text[:line]), "\r\n"), ","))
		return row, line, ok
	}
	in := csv.NewReader(bytes.NewReader(text[:min(len(text), longestLogRow)]))
	in.FieldsPerRecord = -1
	fields, err := in.Read()
	if err != nil {
		return row, 0, false
	}
	row, ok = parseLogRow(fields)
	return row, int(in.InputOffset()), ok
}

// parseLogRow reads a row that the program wrote; others, the heading among them, are none.
func parseLogRow(fields []string) (row history.LogRow, ok bool) {
	if len(fields) != len(historyHeading) || fields[2] != wholeRun && fields[2] != partialRun {
		return row, false
	}
	ok = true
	count := func(field string) int {
		if field == "" {
			return -1
		}
		n, err := strconv.Atoi(field)
		ok = ok && err == nil
		return n
	}
	row = history.LogRow{AsOf: strings.Clone(fields[0]), Line: strings.Clone(fields[1]), Whole: fields[2] == wholeRun, Structures: count(fields[3]),
		Shortfalls: count(fields[4]), Advisories: count(fields[5]), Notes: count(fields[6]), New: count(fields[7]), Cleared: count(fields[8]),
		Decided: count(fields[9]), JudgedPercent: math.NaN(), Run: strings.Clone(fields[11])}
	if fields[10] != "" {
		var err error
		row.JudgedPercent, err = strconv.ParseFloat(fields[10], 64)
		ok = ok && err == nil
	}
	return row, ok
}

// logCell is the text of a line's name as a cell of the log has it.
func logCell(line string) string { return csvField(line) }

// trend is how the lines stood from run to run, this one included.
func (log *runLog) trend(r *audit.Result, c *history.Changes) []history.Point {
	own := history.LogRows(r, c)
	kept := log.kept(own, r.Run.AsOf)
	rows := make([]history.LogRow, 0, len(kept)+len(own))
	for _, row := range kept {
		rows = append(rows, row.LogRow)
	}
	for _, row := range own {
		row.Line = logCell(row.Line)
		rows = append(rows, row)
	}
	return history.Trend(rows)
}

// kept are the rows of a log that stay beside those of a run: all but those at the end that it repeats, of its as-of and its lines.
func (log *runLog) kept(own []history.LogRow, asOf string) []loggedRow {
	first := len(log.rows)
	for first > 0 && log.rows[first-1].AsOf == asOf {
		first--
	}
	lines := map[string]bool{}
	for _, row := range own {
		lines[logCell(row.Line)] = true
	}
	return append(slices.Clone(log.rows[:first]), slices.DeleteFunc(slices.Clone(log.rows[first:]), func(row loggedRow) bool { return lines[row.Line] })...)
}

// writeHistory writes the log with a row for each line of the run. All that stood there stays as it is, byte for byte, but for rows
// that the run repeats.
func writeHistory(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	own, log := history.LogRows(r, a.since(r)), a.runs()
	if err := log.writeKept(w, own, r.Run.AsOf); err != nil {
		return err
	}
	var rows bytes.Buffer
	t := newCSV(ctx, &rows, historyHeading...)
	if err := t.writer.Flush(); err != nil {
		return err
	}
	if bytes.Contains(log.text, bytes.TrimSpace(rows.Bytes())) {
		rows.Reset()
	}
	for _, row := range own {
		lines := wholeRun
		if !row.Whole {
			lines = partialRun
		}
		judged := ""
		if !math.IsNaN(row.JudgedPercent) {
			judged = strconv.FormatFloat(row.JudgedPercent, 'f', 1, 64)
		}
		t.add(row.AsOf, row.Line, lines, row.Structures, row.Shortfalls, row.Advisories, row.Notes, countOrBlank(row.New), countOrBlank(row.Cleared), row.Decided, judged, row.Run)
	}
	if err := t.end(); err != nil {
		return err
	}
	_, err := w.Write(rows.Bytes())
	return err
}

// writeKept writes the text of a log without the rows that a run repeats, and ends its last line.
func (log *runLog) writeKept(w io.Writer, own []history.LogRow, asOf string) error {
	kept := log.kept(own, asOf)
	var text []byte
	from, k := 0, 0
	for _, row := range log.rows {
		if k < len(kept) && kept[k].from == row.from {
			k++
			continue
		}
		text = append(text, log.text[from:row.from]...)
		from = row.to
	}
	text = append(text, log.text[from:]...)
	if len(text) > 0 && text[len(text)-1] != '\n' {
		text = append(text, "\r\n"...)
	}
	_, err := w.Write(text)
	return err
}

// countOrBlank is a count, blank where it is not known.
func countOrBlank(n int) any {
	if n < 0 {
		return nil
	}
	return n
}
