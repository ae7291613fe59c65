package history

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"dryarc/audit"
)

// Place is where a row of a workbook says that it is, as its cells have it: of several phases or sides all in one cell. A cell that
// is empty, or whose column somebody deleted, says nothing.
type Place struct{ Line, Structure, Check, To, Circuit, Phase, Side string }

func (p *Place) cells() [7]string {
	return [...]string{p.Line, p.Structure, p.Check, p.To, p.Circuit, p.Phase, p.Side}
}

// placeDigits is the length of the hash of a cell in a mark.
const placeDigits = 6

// hashes are those of the cells, by which a row is known that was sorted apart from its mark. What programs change on the way does not
// count.
func (p *Place) hashes() string {
	cells := p.cells()
	texts := make([]string, len(cells))
	for i, cell := range cells {
		sum := sha256.Sum256([]byte(plainCell(cell)))
		texts[i] = hex.EncodeToString(sum[:])[:placeDigits]
	}
	return strings.Join(texts, " ")
}

func plainCell(cell string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.IsControl(r) || r == utf8.RuneError {
			return -1
		}
		return r
	}, cell)
}

// Contradiction says why a row cannot be of what its Id or its mark says, as where somebody sorted the columns before it and left it where
// it was; empty where nothing speaks against it. To take such a row would decide on something else than people see there.
func (e *Edit) Contradiction() string {
	m := parseMark(e.Mark)
	ids := e.Exceptions
	if m.is && len(ids) > 0 {
		for _, id := range ids {
			if known := m.ids(); len(known) > 0 && !slices.Contains(known, id) {
				return fmt.Sprintf("its Id says %s and its column As written %s", strings.Join(ids, " "), strings.Join(known, " "))
			}
		}
	}
	if m.is && len(m.place) > 0 {
		then, now := m.place, strings.Fields(e.hashes())
		for i, cell := range e.cells() {
			if plainCell(cell) != "" && i < len(then) && then[i] != now[i] {
				return fmt.Sprintf("its column As written is that of another row than %s", e.inWords())
			}
		}
		return ""
	}
	if e.Structure == "" || e.Line == "" || e.Check == "" {
		return ""
	}
	for _, id := range ids {
		if !e.mayBe(id) {
			return fmt.Sprintf("its Id %s is that of another row than %s", id, e.inWords())
		}
	}
	return ""
}

// mayBe tells whether an exception of the row, with any of its phases and sides, has an id.
func (e *Edit) mayBe(id string) bool {
	hash, _, _ := strings.Cut(id, "-")
	any := func(cell string) []string {
		return append(strings.FieldsFunc(cell, func(r rune) bool { return strings.ContainsRune(", ;", r) }), cell, "")
	}
	for _, phase := range any(e.Phase) {
		for _, side := range any(e.Side) {
			key := audit.Key{Check: e.Check, Line: e.Line, Structure: e.Structure, To: e.To, Circuit: e.Circuit, Phase: phase, Side: side}
			if strings.HasPrefix(hash, key.ID()) {
				return true
			}
		}
	}
	return false
}

func (p *Place) inWords() string {
	var parts []string
	names := [...]string{"line ", "structure ", "", "to ", "circuit ", "phase ", "side "}
	for i, cell := range p.cells() {
		if cell != "" {
			parts = append(parts, names[i]+cell)
		}
	}
	return strings.Join(parts, ", ")
}
