package draft

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/read"
)

// openWord is a word or a name that nobody knows.
type openWord struct {
	list, text, expected string
	rows                 int
}

// words reads the inputs by a draft and asks for each word that nobody knows, those of the most rows first.
func (d *draft) words(ctx context.Context, path, text string) string {
	p, _, err := read.UnderstoodText(ctx, path, []byte(text))
	if p == nil {
		return ""
	}
	if err == nil {
		_, err = audit.Arrange(p)
	}
	open := map[[2]string]*openWord{}
	for _, fault := range p.Faults.List() {
		list, expected := listOf(fault)
		if list == "" || fault.Value == "" {
			continue
		}
		key := [2]string{list, fault.Value}
		if open[key] == nil {
			open[key] = &openWord{list: list, text: fault.Value, expected: expected}
		}
		open[key].rows += max(1, fault.Rows)
	}
	var b page
	if err != nil {
		for _, one := range read.Each(err) {
			b.remark(0, "Open, before anything is read: "+one.Error())
		}
	}
	if len(open) == 0 {
		return b.String()
	}
	b.remark(0, "Words and names that nobody knows, those of the most rows first: take out the # and write what each means.")
	b.add(0, "words:", "")
	byList := map[string][]*openWord{}
	for _, word := range open {
		byList[word.list] = append(byList[word.list], word)
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
			return strings.Compare(x.text, y.text)
		})
		for i, word := range byList[list] {
			const most = 40
			if i == most {
				b.remark(2, fmt.Sprintf("and %d more, which dryarc read lists", len(byList[list])-most))
				break
			}
			b.ask(2, fmt.Sprintf("%s: %q", quotedWord(word.text), "?"), fmt.Sprintf("%d rows; %s", word.rows, d.choices(word)))
		}
	}
	return b.String()
}

// quotedWord writes a word as YAML reads it as text.
func quotedWord(text string) string { return fmt.Sprintf("%q", text) }

// choices says what a word may mean.
func (d *draft) choices(word *openWord) string {
	if word.list != "Line" {
		return word.expected
	}
	names := slices.Clone(d.lines)
	if close := read.Near(word.text, names); close != "" {
		names = append([]string{close}, slices.DeleteFunc(names, func(name string) bool { return name == close })...)
	}
	return "which of " + named(names, 12) + "?"
}

// listOf is the list of words in which the project file may say what the word of a fault means, with what was expected; empty where
// there is none.
func listOf(fault audit.Fault) (list, expected string) {
	if fault.Kind == audit.NoSuchLine {
		return "Line", fault.Expected
	}
	const mark = "words: {"
	behind := strings.LastIndex(fault.Expected, "; ")
	found := behind >= 0
	expected = fault.Expected[:max(behind, 0)]
	if at := strings.LastIndex(fault.Expected, mark); at >= 0 && found {
		list, _, _ = strings.Cut(fault.Expected[at+len(mark):], ":")
		return list, expected
	}
	return "", ""
}
