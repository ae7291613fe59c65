package xlsx

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Every text is found again whatever the blocks that they stand in: empty ones, at the ends of blocks too, and one that is longer than a block.
func TestSharedTexts(t *testing.T) {
	var long []string
	for i := range 3000 {
		long = append(long, strings.Repeat(string(rune('a'+i%26)), i%97), "")
	}
	for name, texts := range map[string][]string{
		"none":           nil,
		"empty":          {"", ""},
		"few":            {"L-1", "", "é & ü", ""},
		"many":           long,
		"exactly full":   {strings.Repeat("x", sharedBlock), "", "y"},
		"full in two":    {strings.Repeat("x", sharedBlock-1), "y", "z", ""},
		"beyond a block": {"a", strings.Repeat("x", 3*sharedBlock), "b"},
	} {
		var part strings.Builder
		part.WriteString(xmlHead + `<sst ` + mainSpace + `>`)
		for _, text := range texts {
			fmt.Fprintf(&part, "<si><t>%s</t></si>", strings.ReplaceAll(text, "&", "&amp;"))
		}
		part.WriteString("</sst>")
		read, err := readSharedTexts(strings.NewReader(part.String()))
		require.NoError(t, err, name)
		require.Len(t, read.places, len(texts), name)
		for i, text := range texts {
			require.Equal(t, text, read.text(uint64(i)), "%s %d", name, i)
		}
	}
}
