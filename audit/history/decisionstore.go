package history

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"dryarc/audit"
)

// Store is what the file of decisions holds.
type Store struct {
	Decisions []Decision
	Others    []string  // headings of columns that are not the program's, which stay
	empty     bool      // there is not even a heading
	lacking   []lacking // what a workbook that nobody edited has of it, and it has not
}

// lacking is a decision that was filled in on a row and that the store does not have.
type lacking struct {
	Decision
	where string
}

// storeColumns are the columns of the store, in their order.
func storeColumns(d *Decision) []storeColumn {
	return []storeColumn{
		{"exception", &d.Exception}, {"line", &d.Line}, {"structure", &d.Structure}, {"check", &d.Check},
		{"decision", &d.Word}, {"until", &d.Until}, {"by", &d.By}, {"reason", &d.Reason},
		{"decided", &d.Decided}, {"ended", &d.Ended}, {"was", &d.Was},
	}
}

type storeColumn struct {
	name string
	text *string
}

// StoreError says what in a file of decisions cannot be read. Row is 0 where all of it is meant.
type StoreError struct {
	Row     int
	Message string
}

func (e *StoreError) Error() string {
	if e.Row == 0 {
		return e.Message
	}
	return fmt.Sprintf("row %d: %s", e.Row, e.Message)
}

// ParseStore reads a file of decisions: a heading and a row for each, columns by heading, with commas or semicolons between them. An
// empty file holds none. The error is a *StoreError.
func ParseStore(text []byte) (*Store, error) {
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	s := &Store{}
	if len(bytes.TrimSpace(text)) == 0 {
		s.empty = true
		return s, nil
	}
	if !utf8.Valid(text) || bytes.IndexByte(text, 0) >= 0 {
		return nil, &StoreError{0, "is no text in UTF-8"}
	}
	in := csv.NewReader(bytes.NewReader(text))
	in.FieldsPerRecord = -1
	if first, _, _ := bytes.Cut(text, []byte("\n")); bytes.Count(first, []byte(";")) > bytes.Count(first, []byte(",")) {
		in.Comma = ';'
	}
	heading, err := in.Read()
	if err != nil {
		return nil, unreadable(err)
	}
	places, err := s.understand(heading)
	if err != nil {
		return nil, err
	}
	doubtful := headingTrouble(heading)
	for {
		fields, err := in.Read()
		if errors.Is(err, io.EOF) {
			return s, nil
		}
		if err != nil {
			return nil, unreadable(err)
		}
		row, _ := in.FieldPos(0)
		if len(fields) > len(heading) && slices.ContainsFunc(fields[len(heading):], func(f string) bool { return f != "" }) {
			return nil, &StoreError{row, fmt.Sprintf("has %d fields, expected %d as in the heading; put text with commas in quotation marks", len(fields), len(heading))}
		}
		if !slices.ContainsFunc(fields, func(f string) bool { return strings.TrimSpace(f) != "" }) {
			continue
		}
		if doubtful != "" { // a column under another heading would say nothing, and the rows mean something else
			return nil, &StoreError{1, doubtful}
		}
		d := Decision{Row: row}
		columns := storeColumns(&d)
		for i, place := range places {
			if place >= 0 && place < len(fields) {
				*columns[i].text = unguarded(strings.TrimSpace(fields[place]))
			}
		}
		d.Said = d.tidy()
		for _, name := range s.Others {
			value := ""
			if i := slices.Index(heading, name); i < len(fields) {
				value = fields[i]
			}
			d.Others = append(d.Others, value)
		}
		s.Decisions = append(s.Decisions, d)
	}
}

func unreadable(err error) error {
	var at *csv.ParseError
	if errors.As(err, &at) {
		return &StoreError{at.Line, at.Err.Error()}
	}
	return &StoreError{0, err.Error()}
}

// headingTrouble says why rows under a heading may not mean what they meant: a column of the program is missing, or another column is
// called nearly like one. It is empty where neither is so.
func headingTrouble(heading []string) string {
	expected := fmt.Sprintf("; expected the headings %s, and others called otherwise", strings.Join(StoreHeading(), ", "))
	var missing, others []string
	for _, name := range StoreHeading() {
		if !slices.ContainsFunc(heading, func(h string) bool { return isHeading(h, name) }) {
			missing = append(missing, name)
		}
	}
	near := ""
	for _, h := range heading {
		if strings.TrimSpace(h) == "" || slices.ContainsFunc(StoreHeading(), func(name string) bool { return isHeading(h, name) }) {
			continue
		}
		others = append(others, fmt.Sprintf("%q", h))
		if name := audit.Near(strings.TrimSpace(h), StoreHeading()); name != "" && near == "" {
			near = fmt.Sprintf("has a column %q, which may be meant for %q", h, name)
		}
	}
	switch {
	case len(missing) > 0 && len(others) > 0:
		return fmt.Sprintf("has no column %q, but %s, which is not known and may be meant for it%s", missing[0], strings.Join(others, ", "), expected)
	case len(missing) > 0:
		return fmt.Sprintf("has no column %q%s", missing[0], expected)
	case near != "":
		return near + expected
	}
	return ""
}

func isHeading(written, name string) bool { return strings.EqualFold(strings.TrimSpace(written), name) }

// understand finds the columns by their headings, and notes the others.
func (s *Store) understand(heading []string) (places []int, err error) {
	known := map[string]bool{}
	for _, c := range storeColumns(&Decision{}) {
		place := slices.IndexFunc(heading, func(h string) bool { return isHeading(h, c.name) })
		if place < 0 && (c.name == "decision" || c.name == "line" || c.name == "exception") {
			return nil, &StoreError{1, fmt.Sprintf("has no column %q; expected the headings %s", c.name, strings.Join(StoreHeading(), ", "))}
		}
		places = append(places, place)
		if place >= 0 && slices.ContainsFunc(heading[place+1:], func(h string) bool { return isHeading(h, c.name) }) {
			return nil, &StoreError{1, fmt.Sprintf("has two columns %q", c.name)}
		}
		if place >= 0 {
			known[heading[place]] = true
		}
	}
	for _, h := range heading {
		if !known[h] && strings.TrimSpace(h) != "" {
			if slices.Contains(s.Others, h) {
				return nil, &StoreError{1, fmt.Sprintf("has two columns %q", h)}
			}
			s.Others = append(s.Others, h)
		}
	}
	return places, nil
}

// StoreHeading lists the columns of the store.
func StoreHeading() (names []string) {
	for _, c := range storeColumns(&Decision{}) {
		names = append(names, c.name)
	}
	return names
}

// Text is the store as a file: sorted, each decision on a row of its own, so that two versions of it can be compared line by line. It
// numbers the rows.
func (s *Store) Text() []byte {
	slices.SortStableFunc(s.Decisions, func(a, b Decision) int { return compareDecisions(&a, &b) })
	var b bytes.Buffer
	out := csv.NewWriter(&b)
	_ = out.Write(append(StoreHeading(), s.Others...)) // a buffer takes everything
	row := 2
	for i := range s.Decisions {
		d := &s.Decisions[i]
		d.Row = row
		var fields []string
		for _, c := range storeColumns(d) {
			fields = append(fields, guarded(oneLine(*c.text)))
		}
		for k := range s.Others {
			value := ""
			if k < len(d.Others) {
				value = d.Others[k]
			}
			fields = append(fields, value)
			row += strings.Count(value, "\n")
		}
		_ = out.Write(fields)
		row++
	}
	out.Flush()
	return b.Bytes()
}

func compareDecisions(a, b *Decision) int {
	return cmp.Or(audit.NaturalCompare(a.Line, b.Line), audit.NaturalCompare(a.Structure, b.Structure), cmp.Compare(a.Check, b.Check), cmp.Compare(a.Exception, b.Exception),
		cmp.Compare(a.Decided, b.Decided), cmp.Compare(a.Ended, b.Ended), cmp.Compare(a.Word, b.Word), cmp.Compare(a.Until, b.Until), cmp.Compare(a.By, b.By), cmp.Compare(a.Reason, b.Reason))
}

// oneLine is a text without line ends, so that a decision stays on one row, and with U+FFFD for what would make the file none of text.
func oneLine(text string) string {
	text = strings.ToValidUTF8(strings.ReplaceAll(text, "\x00", string(utf8.RuneError)), string(utf8.RuneError))
	return strings.Join(strings.Fields(text), " ")
}

// guards are what a text may start with that a spreadsheet takes for a formula, and the apostrophe that keeps it from that.
const guards = "=+-@＝＋－＠\ufeff'"

// guarded keeps a spreadsheet from taking text for a formula; unguarded takes that back.
func guarded(text string) string {
	if strings.IndexAny(text, guards) == 0 {
		return "'" + text
	}
	return text
}

func unguarded(text string) string {
	if len(text) > 1 && text[0] == '\'' && strings.IndexAny(text[1:], guards) == 0 {
		return text[1:]
	}
	return text
}
