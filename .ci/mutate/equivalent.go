package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
)

// equivalents are the keys of changes that make no difference, each with the reason.
type equivalents map[string]string

// readEquivalents reads the file of them: a line each of file, function, operator, change and reason, with tabs
// between; a line that starts with # is a remark.
func readEquivalents(path string) (equivalents, error) {
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("the file of changes that make no difference: %w", err)
	} else if err != nil {
		return nil, err
	}
	known := equivalents{}
	number := 0
	for line := range strings.Lines(string(text)) {
		number++
		line = strings.TrimRight(line, "\r\n")
		if strings.TrimSpace(line) == "" || strings.HasPrefix(line, "#") {
			continue
		}
		i := strings.LastIndex(line, "\t")
		if i < 0 || strings.Count(line, "\t") != 4 || strings.TrimSpace(line[i+1:]) == "" {
			return nil, fmt.Errorf("%s:%d: %q is not file, function, operator, change and reason with tabs between", path, number, line)
		}
		if known[line[:i]] != "" {
			return nil, fmt.Errorf("%s:%d: %q stands there twice", path, number, line[:i])
		}
		known[line[:i]] = line[i+1:]
	}
	return known, nil
}
