package audit

import (
	"crypto/sha256"
	"encoding/hex"
	"strconv"
	"unicode/utf8"
)

// Key is what tells an exception from others, in words: of what it says nothing, so that the same exception has the same key in
// every run, whatever became of the rows around it. Text is valid UTF-8, as the outputs have it.
type Key struct{ Check, Line, Structure, To, Circuit, Phase, Side string }

// ID is the short hash of a key, that of an exception where no other in its run shares the digits.
func (k Key) ID() string {
	sum := sha256.Sum256(k.append(nil))
	return hex.EncodeToString(sum[:])[:idDigits]
}

// append appends the parts of a key, each in quotation marks.
func (k Key) append(text []byte) []byte {
	for _, part := range [...]string{k.Check, k.Line, k.Structure, k.To, k.Circuit, k.Phase, k.Side} {
		text = strconv.AppendQuote(text, part)
	}
	return text
}

// KeyOf is the key that an exception of a check at a location has, which lacks the phases that a place lacks.
func (r *Result) KeyOf(check int, at *Location, missing Phases) Key {
	n, p := r.Network, r.Project
	k := Key{Check: r.Checks[check].ID, Line: valid(p.Symbols.Text(n.Lines[at.Line].Symbol)), Circuit: valid(p.Symbols.Text(at.Circuit)), Side: at.Side.String()}
	if at.Structure >= 0 {
		k.Structure = valid(n.Number(at.Structure))
	}
	if at.To >= 0 {
		k.To = valid(n.Number(at.To))
	}
	if missing != 0 {
		k.Phase = missing.String()
	} else {
		k.Phase = valid(p.Symbols.Text(at.Phase))
	}
	return k
}

// Key is the key of an exception of the result.
func (r *Result) Key(exception int) Key {
	e := &r.Exceptions[exception]
	return r.KeyOf(e.Check, &e.Location, e.Verdict.Missing)
}

// valid is a text as JSON has it: every byte that is not of it as U+FFFD.
func valid(text string) string {
	if utf8.ValidString(text) {
		return text
	}
	return string([]rune(text))
}
