package read

import (
	"strconv"
	"strings"
)

// wktNode is a node of the well-known text of a reference system: a word with what stands in the brackets behind it.
//
// Source: OGC 01-009 (Coordinate Transformation Services, 2001), clause 7, of which the parts .prj of shapefiles are a dialect.
type wktNode struct {
	word    string // in capitals; of a text and a number empty
	text    string // of a text or a number
	entries []wktNode
}

// deepestText is how deep nodes are read; those of systems are no deeper than six.
const deepestText = 32

// readWKT reads a text of one node; ok is false where it is none.
func readWKT(text string) (node wktNode, ok bool) {
	node, rest, ok := nextNode(text, 0)
	rest = strings.TrimSpace(rest)
	return node, ok && node.word != "" && (rest == "" || strings.HasPrefix(rest, ",")) // heights may follow
}

func nextNode(text string, depth int) (node wktNode, rest string, ok bool) {
	text = strings.TrimLeft(text, " \t\r\n")
	if depth > deepestText || text == "" {
		return node, text, false
	}
	if text[0] == '"' {
		node.text, rest, ok = strings.Cut(text[1:], `"`)
		return node, rest, ok
	}
	end := strings.IndexAny(text, "[](),")
	if end < 0 {
		end = len(text)
	}
	word := strings.TrimSpace(text[:end])
	rest = text[end:]
	if rest == "" || rest[0] != '[' && rest[0] != '(' {
		node.text = word
		return node, rest, word != ""
	}
	node.word = strings.ToUpper(word)
	for {
		var entry wktNode
		if entry, rest, ok = nextNode(rest[1:], depth+1); !ok {
			return node, rest, false
		}
		node.entries = append(node.entries, entry)
		rest = strings.TrimLeft(rest, " \t\r\n")
		switch {
		case rest == "":
			return node, rest, false
		case rest[0] == ']' || rest[0] == ')':
			return node, rest[1:], word != ""
		case rest[0] != ',':
			return node, rest, false
		}
	}
}

// find returns the first entry of one of some words.
func (n *wktNode) find(words ...string) (*wktNode, bool) {
	for i := range n.entries {
		for _, word := range words {
			if n.entries[i].word == word {
				return &n.entries[i], true
			}
		}
	}
	return &wktNode{}, false
}

// name is the first entry of a node, as text.
func (n *wktNode) name() string {
	if len(n.entries) == 0 {
		return ""
	}
	return n.entries[0].text
}

// number is the entry at a place, as a number.
func (n *wktNode) number(at int) (float64, bool) {
	if at >= len(n.entries) {
		return 0, false
	}
	value, err := strconv.ParseFloat(n.entries[at].text, 64)
	return value, err == nil
}

// epsg is the code that the node names for itself.
func (n *wktNode) epsg() (int, bool) {
	by, ok := n.find("AUTHORITY", "ID")
	if !ok || len(by.entries) < 2 || !strings.EqualFold(by.entries[0].text, "EPSG") {
		return 0, false
	}
	code, err := strconv.Atoi(by.entries[1].text)
	return code, err == nil
}
