package audit

import (
	"fmt"
	"math"
)

// Source is where a row stood in the inputs: the index of its table in Project.Tables, and the row as people count
// it there (the spreadsheet's own number, the number of the GeoJSON feature, the line of a text file).
type Source struct {
	Table uint16
	Row   uint32
}

// Before tells whether a row stood before another in the inputs.
func (s Source) Before(other Source) bool {
	return s.Table < other.Table || s.Table == other.Table && s.Row < other.Row
}

// Table is one sheet of a workbook, or one file that has no sheets.
type Table struct {
	File    string            // as the project file names it
	Sheet   string            // empty where the file has none
	Kind    string            // of a sheet of the register, such as Assemblies; empty of a layer
	Columns map[string]string // spreadsheet letter of each column by its heading; nil where the file is no spreadsheet
	OfQuery bool              // its rows are those of a query
	// WithoutPhase tells that the table lists assemblies and has no column for their phase.
	WithoutPhase bool
	Balance
}

// Balance accounts for the rows of a sheet, or the features of a layer: each that was read is used, left out, or passed over
// since the project file does not choose it. Of a sheet of assemblies or lines Arrange decides what is used, see
// Network.Balances. A row that makes an assembly for each phase is one row, which is used if any of them is.
type Balance struct {
	Read, Used, LeftOut int
	PassedOver          int
	Above               int // rows above the headings, which are taken for titles; they are not among those read
	Aside               int // rows among the data that are none: totals, headings again, units, notes; nor are they
}

func (t Table) String() string {
	if t.Sheet == "" {
		return t.File
	}
	return t.File + "!" + t.Sheet
}

// Symbol numbers a text that many rows repeat: a line, a circuit, a phase as it was written. 0 is the empty text.
type Symbol uint32

// Symbols is a vocabulary of repeated texts. The zero value is ready to use; it is not safe for concurrent writing.
type Symbols struct {
	texts   []string
	numbers map[string]Symbol
}

// Number returns the symbol of text, a new one if the text is new.
func (s *Symbols) Number(text string) Symbol {
	if text == "" {
		return 0
	}
	if n, ok := s.numbers[text]; ok {
		return n
	}
	if s.numbers == nil {
		s.numbers = map[string]Symbol{}
		s.texts = append(s.texts, "")
	}
	text = string(append([]byte(nil), text...))
	n := Symbol(len(s.texts))
	s.texts = append(s.texts, text)
	s.numbers[text] = n
	return n
}

// Find returns the symbol of text, and whether the vocabulary has it.
func (s *Symbols) Find(text string) (Symbol, bool) {
	if text == "" {
		return 0, true
	}
	n, ok := s.numbers[text]
	return n, ok
}

// Text returns the text of a symbol.
func (s *Symbols) Text(n Symbol) string {
	if n == 0 {
		return ""
	}
	return s.texts[n]
}

// TextAt is the place of a text that few rows share (a structure number, a remark) in Texts. 0 is the empty text.
type TextAt uint32

// Texts keeps many short texts in one block, so that rows hold an offset and no pointer. The zero value is ready.
type Texts struct{ block []byte }

// longestText is the longest text that Texts keeps whole, in bytes.
const longestText = math.MaxUint16

// Add stores a text and returns its place. A text beyond 65 535 bytes is cut there and ends in "…".
// It fails only when four gigabytes of text are full.
func (t *Texts) Add(text string) (TextAt, error) {
	if text == "" {
		return 0, nil
	}
	if len(text) > longestText {
		const mark = "…"
		text = text[:longestText-len(mark)] + mark
	}
	if len(t.block) == 0 {
		t.block = append(t.block, 0)
	}
	if len(t.block)+len(text)+2 > math.MaxUint32 {
		return 0, fmt.Errorf("the inputs hold more than 4 GB of structure numbers and remarks")
	}
	at := TextAt(len(t.block))
	t.block = append(t.block, byte(len(text)), byte(len(text)>>8))
	t.block = append(t.block, text...)
	return at, nil
}

// Get returns the text at a place.
func (t *Texts) Get(at TextAt) string { return string(t.bytes(at)) }

func (t *Texts) bytes(at TextAt) []byte {
	if at == 0 {
		return nil
	}
	n := int(t.block[at]) | int(t.block[at+1])<<8
	return t.block[at+2 : int(at)+2+n]
}
