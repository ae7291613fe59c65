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
		"a chain":                 {"words: {Unit: {disc: U70BL, U70BL: U120B}}\n", "U70BL"},
		"circuits from 0":         {`words: {Circuit: {"0": "1", "1": "2"}}` + "\n", "1"},
		"zeros in front":          {"words: {Structure: [{match: '^0*(\\d+)$', as: '$1'}]}\n", ""},
		"a letter more each time": {"words: {Structure: [{match: '^(.*)$', as: 'T$1'}]}\n", "T1"},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.project = c.words + b.project
			require.Equal(t, c.want, b.mustRead(t).WordsTwice)
		})
	}
}
