package main

import (
	"io"
	"os"
	"regexp"
	"strings"
	"unicode/utf8"

	"golang.org/x/term"
	"golang.org/x/text/width"
)

// screen is what a stream shows text on. The zero screen is none: a pipe, a file.
type screen struct {
	columns int  // 0 where lines are not to be broken
	colours bool // whether it shows colours, and is to
	moves   bool // whether what was written can be written over
}

// screenOf looks at a stream and at what the terminal says of itself.
func screenOf(w io.Writer, getenv func(string) string) screen {
	file, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(file.Fd())) {
		return screen{}
	}
	columns, _, err := term.GetSize(int(file.Fd()))
	if err != nil || columns < fewestColumns {
		columns = 0
	}
	if !obeysEscapes(file) {
		return screen{columns: columns}
	}
	return screen{columns: columns, moves: getenv("TERM") != "dumb", colours: wantsColours(getenv)}
}

// fewestColumns is the width below which breaking lines helps nobody.
const fewestColumns = 24

// wantsColours tells whether a terminal shows colours and the user has nothing against them. NO_COLOR forbids them whatever its value, unless
// that is empty (the convention of no-color.org).
func wantsColours(getenv func(string) string) bool {
	if getenv("NO_COLOR") != "" || getenv("TERM") == "dumb" {
		return false
	}
	return getenv("TERM") != "" || getenv("WT_SESSION") != "" // the latter on Windows
}

// columnsOf is how many columns a text takes.
func columnsOf(text string) (columns int) {
	for _, r := range text {
		switch width.LookupRune(r).Kind() {
		case width.EastAsianWide, width.EastAsianFullwidth:
			columns++
		}
		columns++
	}
	return columns
}

// broken breaks a line at blanks so that no part is wider than the screen, but a word that is by itself. The parts behind the first stand as far in
// as the line does, and a little more.
func (s screen) broken(line string) string {
	if s.columns == 0 || columnsOf(line) <= s.columns {
		return line
	}
	start := len(line) - len(strings.TrimLeft(line, " "))
	indent := strings.Repeat(" ", min(start+2, s.columns/3))
	var b strings.Builder
	rest := line
	for columnsOf(rest) > s.columns {
		at, columns := -1, 0
		for i, r := range rest {
			if r == ' ' && strings.TrimLeft(rest[:i], " ") != "" {
				if columns > s.columns {
					if at < 0 {
						at = i
					}
					break
				}
				at = i
			}
			columns += columnsOf(string(r))
		}
		if at < 0 {
			break
		}
		b.WriteString(strings.TrimRight(rest[:at], " ") + "\n")
		rest = indent + strings.TrimLeft(rest[at:], " ")
	}
	return b.String() + rest
}

// cut is a text within the screen, for what is written over.
func (s screen) cut(text string) string {
	for s.columns > 0 && columnsOf(text) >= s.columns && text != "" {
		_, size := utf8.DecodeLastRuneInString(text)
		text = text[:len(text)-size]
	}
	return text
}

// The colours, by what they are of: those that every terminal has, and weight beside them, since a word says the same.
var paints = [...]struct {
	what *regexp.Regexp
	on   string
}{
	{regexp.MustCompile(`(?:^|[\d\x{202f}]+ |  )shortfalls?\b`), "1;33"},
	{regexp.MustCompile(`(?:^|[\d\x{202f}]+ |  )(?:advisory|advisories)\b`), "34"},
	{regexp.MustCompile(`^dryarc:`), "1;31"},
	{regexp.MustCompile(`^  hint:`), "1"},
	{regexp.MustCompile(`^screening only:`), "1"},
}

// painted is a line in colours, where the screen shows them.
func (s screen) painted(line string) string {
	if !s.colours {
		return line
	}
	for _, p := range paints {
		line = p.what.ReplaceAllString(line, "\x1b["+p.on+"m$0\x1b[0m")
	}
	return line
}
