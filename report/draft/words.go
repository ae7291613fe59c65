package draft

import (
	"context"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/read"
)

// structureList is the list whose words are patterns; what a number may mean is behind what is wrong with it.
const structureList = "Structure"

// openWord is a word or a name that nobody knows.
type openWord struct {
	audit.OpenWord
	expected string
	rows     int
}

// words reads the inputs by a draft and asks for each word that nobody knows, those of the most rows first.
func (d *draft) words(ctx context.Context, path, text string) string {
	p, _, err := read.UnderstoodText(ctx, path, []byte(text))
	if p == nil {
		return ""
	}
	renumbering := ""
	if err == nil {
		var n *audit.Network
		if n, err = audit.Arrange(p); err == nil {
			renumbering = n.Renumbering
		}
	}
	open := map[audit.OpenWord]*openWord{}
	for _, fault := range p.Faults.List() {
		asks := fault.Asks
		if asks.List == "" || asks.Text == "" {
			continue
		}
		if open[asks] == nil {
			expected := fault.Expected
			if last := strings.LastIndex(expected, "; "); last >= 0 && asks.List != structureList {
				expected = expected[:last] // what to write is asked for here
			}
			open[asks] = &openWord{OpenWord: asks, expected: expected}
		}
		open[asks].rows += max(1, fault.Rows)
	}
	var b page
	if err != nil {
		for _, one := range read.Each(err) {
			b.remark(0, "Open, before anything is read: "+one.Error())
		}
	}
	if renumbering != "" {
		b.remark(0, "The numbers of register and structures differ by what stands before them. If they mean the same structures, put this line in, under words where that is there:")
		b.ask(0, renumbering, "is it so?")
	}
	if len(open) == 0 {
		return b.String()
	}
	b.remark(0, "Words and names that nobody knows, those of the most rows first: take out the # and write what each means.")
	b.add(0, "words:", "")
	byList := map[string][]*openWord{}
	for _, word := range open {
		byList[word.List] = append(byList[word.List], word)
	}
	rowsOf := func(list string) (rows int) {
		for _, word := range byList[list] {
			rows += word.rows
		}
		return rows
	}
	lists := slices.SortedFunc(maps.Keys(byList), func(a, b string) int {
		if c := rowsOf(b) - rowsOf(a); c != 0 {
			return c
		}
		return strings.Compare(a, b)
	})
	for _, list := range lists {
		b.add(1, list+":", "")
		slices.SortFunc(byList[list], func(x, y *openWord) int {
			if c := y.rows - x.rows; c != 0 {
				return c
			}
			return strings.Compare(x.Text, y.Text)
		})
		for i, word := range byList[list] {
			const most = 40 // words of a list that are asked for (a choice of this program)
			if i == most {
				b.remark(2, fmt.Sprintf("and %d more, which dryarc read lists", len(byList[list])-most))
				break
			}
			b.ask(2, word.line(), fmt.Sprintf("%d rows; %s", word.rows, d.choices(word)))
		}
	}
	return b.String()
}

// line is the line of the project file that says what a word means, as soon as it is filled in.
func (w *openWord) line() string {
	if w.List == structureList {
		return fmt.Sprintf("- {match: %q, as: %q}", "^"+regexp.QuoteMeta(w.Text)+"$", "?")
	}
	return fmt.Sprintf("%q: %q", w.Text, "?")
}

// choices says what a word may mean.
func (d *draft) choices(word *openWord) string {
	if word.List != "Line" {
		return word.expected
	}
	names := slices.Clone(d.lines)
	if close := read.Near(word.Text, names); close != "" {
		names = append([]string{close}, slices.DeleteFunc(names, func(name string) bool { return name == close })...)
	}
	return "which of " + named(names, 12) + "?"
}
