package read

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Words that would change again the names that they gave are told, since a register written with these names must not be read by them
// a second time.
func TestWordsThatChangeTheirOwnNames(t *testing.T) {
	for name, c := range map[string]struct{ words, want string }{
		"none":                    {"", ""},
		"a name of the project":   {"words: {Unit: {disc: U120B}}\n", ""},
		"its own name":            {"words: {Unit: {u120b: U120B}}\n", ""},
		"a chain":                 {"words: {Unit: {disc: U70BL, U70BL: U120B}}\n", `Unit "U70BL"`},
		"circuits from 0":         {`words: {Circuit: {"0": "1", "1": "2"}}` + "\n", `Circuit "1"`},
		"a circuit of a new row":  {`words: {Circuit: {"1": "2"}}` + "\n", `Circuit "1"`},
		"a duty of a new row":     {"words: {Duty: {tension: pin}}\n", `Duty "tension"`},
		"a side of a new row":     {"words: {Side: {ahead: back}}\n", `Side "ahead"`},
		"a unit of the catalogue": {"words: {Unit: {U40B: U120B}}\n", `Unit "U40B"`},
		"a kind of unit":          {"words: {Kind: {pin: post}}\n", `Kind "pin"`},
		"a word of a layer":       {"words: {class: {a: b}}\n", ""},
		"phases in turn":          {"words: {Phase: {R: A, Y: B, B: C}}\n", `Phase "B"`},
		"a structure with no row": {"words: {Structure: [{match: '^T(.*)$', as: '$1'}]}\n", ""},
		"zeros in front":          {"words: {Structure: [{match: '^0*(\\d+)$', as: '$1'}]}\n", ""},
		"a letter more each time": {"words: {Structure: [{match: '^(.*)$', as: 'T$1'}]}\n", `Structure "T1"`},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.project = c.words + b.project
			require.Equal(t, c.want, b.mustRead(t).WordsTwice)
		})
	}
}
