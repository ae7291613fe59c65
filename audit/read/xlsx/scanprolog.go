package xlsx

import (
	"archive/zip"
	"bufio"
	"bytes"
	"fmt"
	"io"
	"path"
	"strings"
)

// checkProlog looks at what stands ahead of the root of a part: an error is a declaration of a document type, or that no
// root comes. What cannot be unpacked is left to whoever needs it, as is content that people attach to a workbook.
func checkProlog(name string, file *zip.File) error {
	if ext := path.Ext(name); ext != ".xml" && ext != ".rels" || strings.HasPrefix(name, "customXml/") {
		return nil
	}
	entry, err := file.Open()
	if err != nil {
		return nil
	}
	defer entry.Close()
	limited := &io.LimitedReader{R: inUTF8(entry), N: longestProlog}
	text := bufio.NewReader(limited)
	for {
		c, err := text.ReadByte()
		switch {
		case err == nil && c != '<':
			continue
		case err == nil:
			c, err = text.ReadByte()
		}
		switch {
		case err != nil && limited.N == 0:
			return fmt.Errorf("%w: more than %d KiB stand ahead of its content", ErrTooLarge, longestProlog>>10)
		case err != nil || c != '?' && c != '!':
			return nil
		case c == '?':
			passBehind(text, "?>")
			continue
		}
		if dashes, _ := text.Peek(2); string(dashes) != "--" {
			return ErrDeclared
		}
		text.Discard(2)
		passBehind(text, "-->")
	}
}

// longestProlog is how much may stand ahead of the root of a part, in bytes.
const longestProlog = 64 << 10

// passBehind passes over a text up to a mark, which ends in ">", and over that.
func passBehind(text *bufio.Reader, mark string) {
	for {
		passed, err := text.ReadBytes('>')
		if err != nil || bytes.HasSuffix(passed, []byte(mark)) {
			return
		}
	}
}
