package history

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
)

// Word is what people decided.
type Word uint8

// The words of decisions. Only Accept and Plan take an exception out of the gates, and none of them changes a verdict.
const (
	Unread    Word = iota // the word is none of the others
	Accept                // it may stay as it is
	Plan                  // it will be mended
	DataWrong             // the line is sound and the record is not
	Done                  // it is mended
)

var wordNames = [...]string{"", "accept", "plan", "data wrong", "done"}

func (w Word) String() string { return wordNames[w] }

// Words lists the words of decisions.
func Words() []string { return slices.Clone(wordNames[1:]) }

// parseWord reads a word; case, spaces and hyphens do not count.
func parseWord(text string) Word {
	for i, name := range wordNames[1:] {
		if text == name || plainWord(text) == plainWord(name) {
			return Word(i + 1)
		}
	}
	return Unread
}

func plainWord(text string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(" -_", r) {
			return -1
		}
		return unicode.ToLower(r)
	}, text)
}

// Decision is a row of the store.
type Decision struct {
	// What it is of: an exception by its id, of which line, structure and check only tell; else a structure and check, a structure,
	// or a line and check.
	Exception              string
	Line, Structure, Check string

	Said
	Decided string // the day on which the store took it
	Ended   string // how and when it was withdrawn or replaced; empty while it stands
	Was     string // the figures of what it is of, when it was decided; empty before a run has seen it
	Others  []string
	Row     int // in the store, from 2
}

// Said is a decision as people write it.
type Said struct{ Word, Until, By, Reason string }

// thing is what a decision is of.
type thing struct{ exception, line, structure, check string }

func (d *Decision) thing() thing {
	if d.Exception != "" {
		return thing{exception: d.Exception}
	}
	return thing{line: d.Line, structure: d.Structure, check: d.Check}
}

// stands tells whether nobody has withdrawn or replaced a decision.
func (d *Decision) stands() bool { return d.Ended == "" }

// String is what was said in one line.
func (s Said) String() string {
	text := s.Word
	if s.Until != "" {
		text += " until " + s.Until
	}
	if s.By != "" {
		text += ", " + s.By
	}
	if s.Reason != "" {
		text += ": " + s.Reason
	}
	return text
}

// tidy is what was said without what programs change on the way: blanks around and between, line ends, the spelling of a date.
func (s Said) tidy() Said {
	for _, part := range [...]*string{&s.Word, &s.Until, &s.By, &s.Reason} {
		*part = strings.Join(strings.Fields(*part), " ")
	}
	if w := parseWord(s.Word); w != Unread {
		s.Word = w.String()
	}
	if day, ok := parseDay(s.Until); ok {
		s.Until = day.Format(time.DateOnly)
	}
	return s
}

// agrees tells whether two decisions come to the same: by whom and why is not part of it.
func (s Said) agrees(other Said) bool { return s.Word == other.Word && s.Until == other.Until }

// Unreadable tells whether the word of a decision is none.
func (s Said) Unreadable() bool { return s.Word != "" && parseWord(s.Word) == Unread }

// parseDay reads a date as year, month and day.
func parseDay(text string) (time.Time, bool) {
	head, _, _ := strings.Cut(strings.ReplaceAll(text, "/", "-"), "T")
	day, err := time.Parse("2006-1-2", strings.TrimSpace(head))
	return day, err == nil
}

// hashDigits is the length of the hashes in a workbook, which tell one text from another and guard nothing.
const hashDigits = 8

// Hash is a short hash of what was said; that of nothing is "0".
func (s Said) Hash() string {
	s = s.tidy()
	if s == (Said{}) {
		return "0"
	}
	sum := sha256.Sum256(fmt.Appendf(nil, "%q %q %q %q", s.Word, s.Until, s.By, s.Reason))
	return hex.EncodeToString(sum[:])[:hashDigits]
}

// state is a short hash of the decisions that stand of one thing, or where none does of those that have ended; "0" where there was never
// one. So a row that was written before a decision was made and withdrawn is not taken for one that was written since.
func state(standing, over []*Decision) string {
	hashes := make([]string, 0, len(standing))
	for _, d := range standing {
		hashes = append(hashes, d.Hash()+unplaced(d.Was))
	}
	if len(hashes) == 0 {
		for _, d := range over {
			hashes = append(hashes, d.Hash()+d.Ended)
		}
	}
	if len(hashes) == 0 {
		return "0"
	}
	slices.Sort(hashes)
	sum := sha256.Sum256([]byte(strings.Join(hashes, " ")))
	return hex.EncodeToString(sum[:])[:hashDigits]
}
