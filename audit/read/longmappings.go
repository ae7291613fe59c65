package read

import (
	"slices"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// entriesAtOnce is how many entries of a mapping the YAML parser is given at once. It calls itself for each entry of one that is not in
// braces and copies those read so far, so its time grows with the square of their number.
const entriesAtOnce = 200

// parseYAML parses a project file. Mappings of many entries are parsed part by part and joined.
func parseYAML(tokens token.Tokens) (*ast.File, *ProjectFileError) {
	main, long := divide(tokens)
	file, err := parser.Parse(main, 0)
	if err != nil {
		return nil, yamlProblem(err)
	}
	if len(long) == 0 {
		return file, nil
	}
	var parsed []ast.Node
	for _, doc := range file.Docs {
		parsed = append(parsed, doc.Body)
	}
	rest := map[*longMapping][]*ast.MappingValueNode{}
	for _, m := range long {
		for _, part := range m.parts {
			read, err := parser.Parse(part, 0)
			if err != nil {
				return nil, yamlProblem(err)
			}
			for _, doc := range read.Docs {
				entries, ok := mapping(doc.Body)
				if !ok {
					return parseWhole(tokens)
				}
				rest[m] = append(rest[m], entries...)
				parsed = append(parsed, doc.Body)
			}
		}
	}
	found := map[*token.Token]*ast.MappingNode{}
	for _, node := range parsed {
		ast.Walk(mappingsBy(found), node)
	}
	for _, m := range long {
		whole, ok := found[m.first]
		if !ok { // it is none that divide tells from others
			return parseWhole(tokens)
		}
		whole.Values = append(whole.Values, rest[m]...)
		if problem := keyTwice(whole); problem != nil {
			return nil, problem
		}
	}
	return file, nil
}

// parseWhole parses a project file as it is.
func parseWhole(tokens token.Tokens) (*ast.File, *ProjectFileError) {
	file, err := parser.Parse(tokens, 0)
	if err != nil {
		return nil, yamlProblem(err)
	}
	return file, nil
}

// mappingsBy collects mappings by the token of their first key.
type mappingsBy map[*token.Token]*ast.MappingNode

func (m mappingsBy) Visit(node ast.Node) ast.Visitor {
	if found, is := node.(*ast.MappingNode); is && len(found.Values) > 0 {
		m[found.Values[0].Key.GetToken()] = found
	}
	return m
}

// keyTwice refuses a mapping that has a key twice, as the parser does within each part.
func keyTwice(m *ast.MappingNode) *ProjectFileError {
	seen := make(map[string]*token.Token, len(m.Values))
	for _, entry := range m.Values {
		at := entry.Key.GetToken()
		text, _ := scalar(entry.Key)
		if before, twice := seen[text]; twice {
			return wrong(entry.Key, yamlHint, "is no valid YAML: mapping key %q already defined at [%d:%d]", text, before.Position.Line, before.Position.Column)
		}
		seen[text] = at
	}
	return nil
}

// longMapping is a mapping of which the entries beyond the first are parsed by themselves.
type longMapping struct {
	first *token.Token // its first key
	parts []token.Tokens
}

// openMapping is a mapping that may have more entries.
type openMapping struct {
	longMapping
	column  int
	entries int
	around  *token.Tokens // where the tokens go that follow it
}

// divide takes the entries beyond the first of long mappings out of the tokens. Whatever it cannot tell to be an entry stays where it
// is, for the parser to judge.
func divide(tokens token.Tokens) (main token.Tokens, long []*longMapping) {
	var open []*openMapping
	to := &main
	closeTo := func(column int) {
		for len(open) > 0 && open[len(open)-1].column > column {
			last := open[len(open)-1]
			open, to = open[:len(open)-1], last.around
			if len(last.parts) > 0 {
				long = append(long, &last.longMapping)
			}
		}
	}
	tokens = slices.DeleteFunc(slices.Clone(tokens), func(t *token.Token) bool { return t.Type == token.CommentType })
	inBrackets, line := 0, 0
	for i, t := range tokens {
		starts := t.Position.Line > line // it is the first of its line
		line = t.Position.Line
		if inBrackets == 0 {
			switch isKey := i+1 < len(tokens) && tokens[i+1].Type == token.MappingValueType; {
			case t.Type == token.DocumentHeaderType || t.Type == token.DocumentEndType:
				closeTo(0)
			case starts && !isKey:
				closeTo(t.Position.Column)
			case starts || isKey && i > 0 && tokens[i-1].Type == token.SequenceEntryType:
				closeTo(t.Position.Column)
				if len(open) == 0 || open[len(open)-1].column < t.Position.Column {
					open = append(open, &openMapping{longMapping: longMapping{first: t}, column: t.Position.Column, around: to})
				}
				m := open[len(open)-1]
				if m.entries++; m.entries > entriesAtOnce && starts && m.entries%entriesAtOnce == 1 {
					m.parts = append(m.parts, nil)
					to = &m.parts[len(m.parts)-1]
				}
			}
		}
		switch t.Type {
		case token.SequenceStartType, token.MappingStartType:
			inBrackets++
		case token.SequenceEndType, token.MappingEndType:
			inBrackets = max(0, inBrackets-1)
		}
		*to = append(*to, t)
	}
	closeTo(0)
	return main, long
}
