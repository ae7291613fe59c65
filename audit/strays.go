package audit

import (
	"strings"
	"unicode"
)

// stray is a row of the register whose line has no structure of its number.
type stray struct {
	line int32
	row  uint32
}

// Strays are the rows of a line that stand on no structure of it.
type Strays struct {
	Rows      int    // how many
	OfRows    int    // of so many rows of the line
	Row       string // the structure number of one of them, of one that a structure bears in another spelling where there is one
	Structure string // that structure's number, empty where there is none
}

// mostStray is the share of a line's rows that may stand on no structure before nobody can tell a structure without rows from
// one whose rows name it otherwise. A choice of this program.
const mostStray = 0.1

// Many tells whether the stray rows are so many that they may be those of structures without rows.
func (s Strays) Many() bool { return float64(s.Rows) > mostStray*float64(s.OfRows) }

// noteStrays finds for each stray row the structure that it may mean: one whose number differs in spelling only.
func (n *Network) noteStrays(strays []stray) {
	if len(strays) == 0 {
		return
	}
	p := n.Project
	lines := n.lineOf()
	for i := range p.Assemblies.Len() {
		if l := lines[p.Assemblies.At(i).Line]; l >= 0 {
			n.Lines[l].Strays.OfRows++
		}
	}
	type spelling struct {
		line int32
		key  string
	}
	bySpelling := map[spelling]uint32{}
	for _, s := range strays {
		number := p.Texts.Get(p.Assemblies.At(int(s.row)).Number)
		line := &n.Lines[s.line].Strays
		line.Rows++
		if line.Row == "" {
			line.Row = number
		}
		key := spelling{s.line, numberKey(number)}
		if _, known := bySpelling[key]; !known {
			bySpelling[key] = s.row
		}
	}
	n.misspelt = map[int]string{}
	meant := map[spelling]bool{}
	for l := range n.Lines {
		line := &n.Lines[l]
		for i := line.First; i < line.End && line.Strays.Rows > 0; i++ {
			row, found := bySpelling[spelling{int32(l), numberKey(n.Number(i))}]
			if !found {
				continue
			}
			n.misspelt[i] = p.Texts.Get(p.Assemblies.At(int(row)).Number)
			meant[spelling{int32(l), numberKey(n.Number(i))}] = true
			if line.Strays.Structure == "" {
				line.Strays.Row, line.Strays.Structure = n.misspelt[i], n.Number(i)
			}
		}
	}
	for key, row := range bySpelling {
		if !meant[key] {
			n.strayNumbers = append(n.strayNumbers, stray{key.line, row})
		}
	}
}

// numberKey is a structure number whatever its case, blanks, dashes, leading zeros and a ".0" behind it, which
// spreadsheets and people add and take away.
func numberKey(number string) string {
	text := strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.Is(unicode.Dash, r) || r == '_' || r == '\u2212' {
			return -1
		}
		return unicode.ToLower(r)
	}, number)
	return numberTail(text)
}

// numberTail drops a ".0" behind a number in lower case and the zeros before its digits.
func numberTail(text string) string {
	text = strings.TrimSuffix(text, ".0")
	var key strings.Builder
	leading := true // the next digit begins a number
	for i := 0; i < len(text); i++ {
		digit := isDigit(text[i])
		if leading && text[i] == '0' && i+1 < len(text) && isDigit(text[i+1]) {
			continue
		}
		leading = !digit && text[i] != '.' // what stands behind a point is a fraction
		key.WriteByte(text[i])
	}
	return key.String()
}
