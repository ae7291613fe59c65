package audit

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestNamesThatLookAlike holds that rows which name a line or structure in letters that only look like its own are told so, and left out.
func TestNamesThatLookAlike(t *testing.T) {
	for name, c := range map[string]struct{ line, number, rowLine, rowNumber, want string }{
		"Greek":              {"L1", "7Α", "L1", "7A", `"7A" is no structure of line "L1"; the row is left out; it looks like "7Α", but is written with other letters (A is U+0041 here and U+0391 there)`},
		"Cyrillic":           {"L1", "7A", "L1", "7А", `"7А" is no structure of line "L1"; the row is left out; it looks like "7A", but is written with other letters (А is U+0410 here and U+0041 there)`},
		"Greek and Cyrillic": {"L1", "7Α", "L1", "7А", `"7А" is no structure of line "L1"; the row is left out; it looks like "7Α", but is written with other letters (А is U+0410 here and U+0391 there)`},
		"cedilla":            {"Sebeș", "1", "Sebeş", "1", `"Sebeş" is no line of the structures; the row is left out; it looks like "Sebeș", but is written with other letters (ş is U+015F here and U+0219 there)`},
		"another letter":     {"L1", "7B", "L1", "7A", `"7A" is no structure of line "L1"; the row is left out`},
	} {
		t.Run(name, func(t *testing.T) {
			p := &Project{Tables: []Table{{File: "a"}}, Makeups: make([]Makeup, 1)}
			number := func(text string) TextAt {
				at, err := p.Texts.Add(text)
				require.NoError(t, err)
				return at
			}
			p.Structures.Append(StructureRow{Line: p.Symbols.Number(c.line), Number: number(c.number)})
			p.Assemblies.Append(AssemblyRow{RowOwn: RowOwn{Line: p.Symbols.Number(c.rowLine), Number: number(c.rowNumber), Source: Source{Row: 2}}})
			p.Lines = []LineRow{{Line: p.Symbols.Number(c.rowLine), Source: Source{Row: 2}}}
			n, err := Arrange(p)
			require.NoError(t, err)
			require.Empty(t, n.placed)
			said := ""
			for _, fault := range p.Faults.List() {
				said += fault.Message() + "\n"
			}
			require.Contains(t, said, c.want+"\n")
			if c.line != c.rowLine { // of its row on the sheet Lines too
				require.Contains(t, said, strings.Replace(c.want, "; the row is left out", "", 1)+"\n")
			}
		})
	}
}
