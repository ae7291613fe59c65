package audit

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// structureNumber takes a number apart: what stands before its first digit, and the rest without zeros in front.
func structureNumber(number string) (prefix, rest string, ok bool) {
	at := strings.IndexFunc(number, unicode.IsDigit)
	if at < 0 {
		return "", "", false
	}
	rest = strings.TrimLeft(number[at:], "0")
	if rest == "" || !unicode.IsDigit([]rune(rest)[0]) {
		rest = "0" + rest
	}
	return number[:at], rest, true
}

// findRenumbering finds how numbers would have to be written for nearly all rows to stand that stand on no structure, where that is by leaving
// out a few prefixes and the zeros behind them. It is suggested and never applied: nothing where it would make two structures of a line one, or
// take a row from its structure. How many prefixes and rows are enough is a choice of this program.
func (n *Network) findRenumbering(strays []stray, at []int32) {
	const mostPrefixes, nearly = 4, 0.9
	p := n.Project
	text := func(row int) string { return p.Texts.Get(p.Assemblies.At(row).Number) }
	rests := make([]map[string]int32, len(n.Lines)) // of each line: structures by the rest of their numbers; −1 for several
	wanted := map[int32]bool{}
	for _, s := range strays {
		wanted[s.line] = true
	}
	prefixes := map[string]bool{}
	for line := range n.Lines {
		if !wanted[int32(line)] {
			continue
		}
		rests[line] = map[string]int32{}
		for i := n.Lines[line].First; i < n.Lines[line].End; i++ {
			prefix, rest, ok := structureNumber(n.Number(i))
			if !ok {
				continue
			}
			if _, twice := rests[line][rest]; twice {
				rests[line][rest] = nowhere
			} else {
				rests[line][rest] = int32(i)
			}
			prefixes[prefix] = true
		}
	}
	served, numbers := 0, map[string]bool{}
	for _, s := range strays {
		prefix, rest, ok := structureNumber(text(int(s.row)))
		if !ok {
			continue
		}
		if structure, found := rests[s.line][rest]; found && structure >= 0 {
			served++
			numbers[rest] = true
			prefixes[prefix] = true
		}
	}
	delete(prefixes, "")
	if len(numbers) < 2 || float64(served) < nearly*float64(len(strays)) || len(prefixes) > mostPrefixes {
		return
	}
	var names []string
	for prefix := range prefixes {
		names = append(names, regexp.QuoteMeta(prefix))
	}
	slices.SortFunc(names, func(a, b string) int { return strings.Compare(b, a) }) // the longer of two that start alike first
	match := `^0*(\d.*)$`
	if len(names) > 0 {
		match = "^(?:" + strings.Join(names, "|") + `)?0*(\d.*)$`
	}
	if n.renumbers(regexp.MustCompile(match), strays, at, nearly) {
		n.Renumbering = fmt.Sprintf("words: {Structure: [{match: '%s', as: '$1'}]}", strings.ReplaceAll(match, "'", "''"))
	}
}

// renumbers tells whether a pattern keeps the structures of every line apart and every row where it is, and places nearly all that stand nowhere.
func (n *Network) renumbers(match *regexp.Regexp, strays []stray, at []int32, nearly float64) bool {
	p := n.Project
	known := map[string]string{}
	as := func(number string) string {
		written, is := known[number]
		if !is {
			written = match.ReplaceAllString(number, "$1")
			known[number] = written
		}
		return written
	}
	structures := make([]map[string]string, len(n.Lines)) // as they were, by what they become
	for line := range n.Lines {
		structures[line] = map[string]string{}
		for i := n.Lines[line].First; i < n.Lines[line].End; i++ {
			number := n.Number(i)
			if before, twice := structures[line][as(number)]; twice && before != number {
				return false
			}
			structures[line][as(number)] = number
		}
	}
	placed := 0
	for _, s := range strays {
		if _, found := structures[s.line][as(p.Texts.Get(p.Assemblies.At(int(s.row)).Number))]; found {
			placed++
		}
	}
	lines := n.lineOf()
	type numberOf struct {
		line   int32
		number string
	}
	written := map[numberOf]string{} // prefixes of the rows, by what their numbers become
	for i := range p.Assemblies.Len() {
		line := lines[p.Assemblies.At(i).Line]
		if line < 0 {
			continue
		}
		number := p.Texts.Get(p.Assemblies.At(i).Number)
		if at[i] >= 0 && structures[line][as(number)] != n.Number(int(at[i])) {
			return false
		}
		prefix, _, _ := structureNumber(number)
		now := numberOf{line, as(number)}
		if before, twice := written[now]; twice && before != prefix {
			return false // two numbers of the register would be one
		}
		written[now] = prefix
	}
	return float64(placed) >= nearly*float64(len(strays))
}
