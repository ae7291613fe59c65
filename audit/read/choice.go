package read

import (
	"fmt"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// choice says which rows or features of a file are read, and what of them is carried through to the outputs unread.
type choice struct {
	only  []onlyValues
	carry []string // headings or properties
}

// onlyValues are the values of a heading or property; rows with others are passed over.
type onlyValues struct {
	name   string
	values []string // as written
	keys   map[string]bool
}

const (
	onlyHint  = "write headings and the values whose rows are read: {Status: [IN SERVICE]}"
	carryHint = "write the headings to carry through: [District, Contractor]"
)

func (c *choice) keys() section {
	return section{{"only", onlyKey(&c.only)}, {"carry", carryKey(&c.carry)}}
}

// valueKey is a value whatever its case and blanks.
func valueKey(text string) string {
	return strings.ToLower(strings.Join(strings.Fields(Composed(text)), ""))
}

// holds tells whether a value is one of those read.
func (o *onlyValues) holds(text string) bool { return o.keys[valueKey(text)] }

func onlyKey(to *[]onlyValues) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		entries, ok := mapping(node)
		if !ok {
			return wrong(node, onlyHint, "%s %s is no mapping of headings to values", name, written(node))
		}
		for _, entry := range entries {
			o := onlyValues{keys: map[string]bool{}}
			o.name, _ = scalar(entry.Key)
			values := []ast.Node{valueOrKey(entry)}
			if list, is := entry.Value.(*ast.SequenceNode); is {
				values = list.Values
			} else if entry.Value == nil || entry.Value.Type() == ast.NullType {
				values = nil
			}
			if o.name == "" || len(values) == 0 {
				return wrong(entry.Key, onlyHint, "%s in %s has no values, expected those whose rows are read", written(entry.Key), name)
			}
			for _, value := range values {
				text, isText := scalar(value)
				if !isText {
					return wrong(value, onlyHint, "%s %s is no value, expected a text or a number", o.name, written(value))
				}
				o.values, o.keys[valueKey(text)] = append(o.values, text), true
			}
			*to = append(*to, o)
		}
		return nil
	}
}

func carryKey(to *[]string) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		headings := []ast.Node{node}
		if list, ok := node.(*ast.SequenceNode); ok {
			headings = list.Values
		}
		for _, heading := range headings {
			text, ok := scalar(heading)
			switch {
			case !ok || strings.TrimSpace(text) == "":
				return wrong(heading, carryHint, "%s %s is no heading", name, written(heading))
			case len(text) > longestName:
				return wrong(heading, carryHint, "%s has a heading of more than %d characters", name, longestName)
			case slices.Contains(*to, text):
				return wrong(heading, carryHint, "%s has %s twice", name, written(heading))
			}
			*to = append(*to, strings.TrimSpace(text))
		}
		return nil
	}
}

// notThere words that a file has no heading or property of a name.
func notThere(what, name, key string, there []string) (message, hint string) {
	message = fmt.Sprintf("has no %s %q, which the project file names under %s; those there are %s", what, name, key, quotedList(there))
	hint = fmt.Sprintf("write the %s under %s as it stands in the file", what, key)
	if close := near(name, there); close != "" {
		hint = fmt.Sprintf("did you mean %q?", close)
	}
	return message, hint
}
