package read

import (
	"fmt"
	"math"

	"dryarc/audit"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// reader reads the value of one key of the project file into its place.
type reader func(name string, node ast.Node) *ProjectFileError

// key is a key of the project file and what reads its value.
type key struct {
	name string
	read reader
}

// section is the set of keys that a mapping of the project file may have.
type section []key

// read reads a mapping. A key without a value counts as not stated; a key that is not known is an error.
func (s section) read(name string, node ast.Node) *ProjectFileError {
	entries, ok := mapping(node)
	if !ok {
		return wrong(node, mappingHint, "%s %s is no mapping of keys to values", named(name), written(node))
	}
	for _, entry := range entries {
		at, ok := s.find(entry.Key)
		if !ok {
			return s.unknown(name, entry.Key)
		}
		value := entry.Value
		if value == nil || value.Type() == ast.NullType {
			continue
		}
		if problem := at.read(at.name, value); problem != nil {
			return problem
		}
	}
	return nil
}

func (s section) find(node ast.Node) (key, bool) {
	text, _ := scalar(node)
	for _, k := range s {
		if k.name == text {
			return k, true
		}
	}
	return key{}, false
}

func (s section) unknown(name string, node ast.Node) *ProjectFileError {
	names := make([]string, len(s))
	for i, k := range s {
		names[i] = k.name
	}
	text, _ := scalar(node)
	problem := wrong(node, "README.md lists the keys and what they mean", "unknown key %s%s, expected one of %s", written(node), inSection(name), quotedList(names))
	if close := near(text, names); close != "" {
		problem.Hint = fmt.Sprintf("did you mean %q?", close)
	}
	return problem
}

func inSection(name string) string {
	if name == "" {
		return ""
	}
	return " in " + name
}

func named(name string) string {
	if name == "" {
		return "the project file"
	}
	return name
}

func mapping(node ast.Node) ([]*ast.MappingValueNode, bool) {
	switch n := node.(type) {
	case nil:
		return nil, true
	case *ast.NullNode:
		return nil, true
	case *ast.MappingNode:
		return n.Values, true
	case *ast.MappingValueNode:
		return []*ast.MappingValueNode{n}, true
	}
	return nil, false
}

// scalar returns the text of a single value.
func scalar(node ast.Node) (string, bool) {
	text, ok := asWritten(node)
	return Composed(text), ok
}

// asWritten is the text of a scalar letter by letter, as the names of files have to be.
func asWritten(node ast.Node) (string, bool) {
	switch n := node.(type) {
	case *ast.StringNode:
		return n.Value, true
	case *ast.LiteralNode:
		return n.Value.Value, true
	case *ast.MappingKeyNode:
		return asWritten(n.Value)
	case ast.ScalarNode:
		return n.GetToken().Value, true
	}
	return "", false
}

// written quotes what stands in the file, a mapping or a list by what it is.
func written(node ast.Node) string {
	if node == nil {
		return `""`
	}
	if text, ok := scalar(node); ok {
		return fmt.Sprintf("%q", text)
	}
	switch node.(type) {
	case *ast.MappingNode, *ast.MappingValueNode:
		return "{…}"
	case *ast.SequenceNode:
		return "[…]"
	}
	return fmt.Sprintf("%q", node.String())
}

// What helps against the usual mistakes.
const (
	mappingHint  = "write keys and values below it, indented, or in braces: {key: value}"
	numberHint   = "write a plain number with a decimal point and without quotes, such as 0.5"
	rangeHint    = "README.md gives the unit and the meaning of each key"
	textHint     = "write one text, in quotes if it holds any of : # [ ] { }"
	pathHint     = "write a path, or a list of paths: [one, two]"
	trueHint     = "write true or false, without quotes"
	propertyHint = "write the name that the file has for it: {ground_m: elevation}, or with a unit {ground_m: {from: elev_ft, unit: ft}}"
)

// wrong is an error at a place of the project file.
func wrong(node ast.Node, hint, format string, values ...any) *ProjectFileError {
	problem := &ProjectFileError{Message: fmt.Sprintf(format, values...), Hint: hint}
	if node == nil {
		return problem
	}
	at := node.GetToken()
	if m, ok := node.(*ast.MappingNode); ok && !m.IsFlowStyle && len(m.Values) > 0 {
		at = m.Values[0].Key.GetToken()
	}
	if at != nil && at.Position != nil {
		problem.Line, problem.Column = at.Position.Line, at.Position.Column
	}
	return problem
}

func textKey(to *string) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		text, ok := scalar(node)
		if !ok {
			return wrong(node, textHint, "%s %s is no text", name, written(node))
		}
		*to = text
		return nil
	}
}

// filesKey reads one path or a list of paths.
func filesKey(to *[]string) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		paths := []ast.Node{node}
		if list, ok := node.(*ast.SequenceNode); ok {
			paths = list.Values
		}
		if len(paths) == 0 {
			return wrong(node, pathHint, "%s is an empty list, expected a path or a list of paths", name)
		}
		named := map[string]bool{}
		for _, path := range paths {
			text, ok := asWritten(path)
			switch {
			case !ok || text == "":
				return wrong(path, pathHint, "%s %s is no path, expected a path or a list of paths", name, written(path))
			case isEscaped(path, text):
				return wrong(path, escapeHint, controlWords, name, written(path))
			case named[text]:
				return wrong(path, "name each file once", "%s names %s twice", name, written(path))
			}
			named[text] = true
			*to = append(*to, text)
		}
		return nil
	}
}

func boolKey(to *bool) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		value, ok := node.(*ast.BoolNode)
		if !ok {
			return wrong(node, trueHint, "%s %s is neither true nor false", name, written(node))
		}
		*to = value.Value
		return nil
	}
}

// numberKey reads a criterion within a range, both ends included.
func numberKey(to *audit.Number, low, high float64) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		var value float64
		problem := floatKey(&value, low, high)(name, node)
		if problem == nil {
			*to = audit.Stated(value)
		}
		return problem
	}
}

func wholeNumberKey(to *audit.Number, low, high int) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		var value int
		problem := wholeKey(&value, low, high)(name, node)
		if problem == nil {
			*to = audit.Stated(float64(value))
		}
		return problem
	}
}

func floatKey(to *float64, low, high float64) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		value, ok := numeric(node)
		switch {
		case ok && !isDecimal(node):
			return wrong(node, "write it in decimal digits, without a 0 before them", "%s %s is no decimal number; in YAML it is %v", name, written(node), value)
		case !ok:
			return wrong(node, numberHint, "%s %s is not a number", name, written(node))
		case math.IsNaN(value) || value < low || value > high:
			return wrong(node, rangeHint, "%s %s is out of range, expected %v to %v", name, written(node), low, high)
		}
		*to = value
		return nil
	}
}

// isDecimal tells a number from one that YAML counts in eights, sixteens or twos, such as 0500.
func isDecimal(node ast.Node) bool {
	switch node.GetToken().Type {
	case token.OctetIntegerType, token.HexIntegerType, token.BinaryIntegerType:
		return false
	}
	return true
}

func numeric(node ast.Node) (float64, bool) {
	switch n := node.(type) {
	case *ast.FloatNode:
		return n.Value, true
	case *ast.IntegerNode:
		switch v := n.Value.(type) {
		case int64:
			return float64(v), true
		case uint64:
			return float64(v), true
		}
	}
	return 0, false
}

// wholeKey reads a whole number within a range, both ends included.
func wholeKey(to *int, low, high int) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		var value float64
		hint := fmt.Sprintf("write a whole number without quotes, from %d to %d", low, high)
		if problem := floatKey(&value, float64(low), float64(high))(name, node); problem != nil {
			if problem.Hint == numberHint {
				problem.Hint = hint
			}
			return problem
		}
		if value != math.Trunc(value) {
			return wrong(node, hint, "%s %s is not a whole number", name, written(node))
		}
		*to = int(value)
		return nil
	}
}

// lineOf is the line of the project file at which a value or key stands.
func lineOf(node ast.Node) int { return wrong(node, "", "").Line }
