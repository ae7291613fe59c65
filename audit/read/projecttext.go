package read

import (
	"bytes"
	"fmt"
	"unicode/utf8"

	"github.com/goccy/go-yaml/token"
)

// otherEncoding says which encoding a project file is in that is text, but not in UTF-8.
func otherEncoding(content []byte) *ProjectFileError {
	const looked = 64 // bytes that tell UTF-16 without its mark by the zeros of plain letters
	head := content[:min(len(content), looked)]
	zeros := [2]int{}
	for i, c := range head {
		if c == 0 {
			zeros[i%2]++
		}
	}
	most, rest := max(zeros[0], zeros[1]), min(zeros[0], zeros[1])
	switch {
	case bytes.HasPrefix(content, []byte("\xff\xfe")), bytes.HasPrefix(content, []byte("\xfe\xff")), len(head) > 3 && rest == 0 && 3*most > len(head):
		return &ProjectFileError{Message: "is in UTF-16, expected UTF-8", Hint: utf16Hint}
	case utf8.Valid(content) || bytes.IndexByte(content, 0) >= 0 || len(content) > longestProjectFile:
		return nil
	}
	line, start := 1, 0
	for i := 0; i < len(content); {
		r, size := utf8.DecodeRune(content[i:])
		if r == utf8.RuneError && size <= 1 {
			start = i - bytes.LastIndexByte(content[:i], '\n')
			break
		}
		if r == '\n' {
			line++
		}
		i += size
	}
	return &ProjectFileError{Line: line, Column: start, Message: "is not in UTF-8; it may be in Windows-1252 or another encoding of one byte a letter", Hint: encodingHint}
}

const utf16Hint = "save it as UTF-8, for example: iconv -f UTF-16 -t UTF-8 in > out"

// Nobody nests a project file deeper than mostNested lists and mappings in brackets, nor writes an entry of a list as far to
// the right as farthestEntry. The parser takes room that grows with the square of the depth.
const (
	mostNested    = 50
	farthestEntry = 200
)

// tooDeep refuses a project file that is nested deeper than any has to be.
func tooDeep(tokens token.Tokens) *ProjectFileError {
	depth := 0
	for _, t := range tokens {
		switch t.Type {
		case token.SequenceStartType, token.MappingStartType:
			depth++
		case token.SequenceEndType, token.MappingEndType:
			depth = max(0, depth-1)
		case token.SequenceEntryType:
			if t.Position.Column <= farthestEntry {
				continue
			}
			depth = mostNested + 1
		}
		if depth > mostNested {
			return &ProjectFileError{Line: t.Position.Line, Column: t.Position.Column,
				Message: fmt.Sprintf("%q where no more than %d nested lists and mappings should be", t.Value, mostNested), Hint: yamlHint}
		}
	}
	return nil
}

const plainHint = "write the value itself, in quotes if it begins with one of ! & * %"

// notPlain refuses tags, anchors, aliases, merge keys and directives of YAML. What they stand for is easily another value than the one
// that is read here, and nobody needs them in a project file.
func notPlain(tokens token.Tokens) *ProjectFileError {
	key := ""
	for i, t := range tokens {
		what := ""
		switch t.Type {
		case token.MappingValueType:
			if i > 0 {
				key = tokens[i-1].Value
			}
			continue
		case token.TagType:
			what = "tag"
		case token.AnchorType:
			what = "anchor"
		case token.AliasType:
			what = "alias"
		case token.MergeKeyType:
			what = "merge key"
		case token.DirectiveType:
			what = "directive"
		default:
			continue
		}
		text := t.Value
		if i+1 < len(tokens) && (t.Type == token.AnchorType || t.Type == token.AliasType || t.Type == token.DirectiveType) {
			text += tokens[i+1].Value
		}
		where := ""
		if key != "" {
			where = fmt.Sprintf(" behind the key %q", key)
		}
		return &ProjectFileError{Line: t.Position.Line, Column: t.Position.Column,
			Message: fmt.Sprintf("%q%s is a YAML %s, which is not read here", text, where, what), Hint: plainHint}
	}
	return nil
}
