package main

import (
	"bytes"
	"io"
	"sync"

	"dryarc/report"
)

// talk is a writer of text for people. What it is given reaches w line by line, with what a terminal would act on shown
// as escapes (report.Visible), since names and values of inputs are part of it. The first error stays, so that a caller
// need not look at each line.
type talk struct {
	mu   sync.Mutex
	w    io.Writer
	line bytes.Buffer // what has no end yet
	err  error
}

func (t *talk) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	for rest := p; len(rest) > 0; {
		line, after, ends := bytes.Cut(rest, []byte{'\n'})
		t.line.Write(line)
		if ends {
			t.put("\n")
		}
		rest = after
	}
	return len(p), t.err
}

// put writes the line that is kept.
func (t *talk) put(end string) {
	text := report.Visible(t.line.String()) + end
	t.line.Reset()
	if t.err == nil {
		_, t.err = io.WriteString(t.w, text)
	}
}

// end writes what has no end and returns the first error.
func (t *talk) end() error {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.line.Len() > 0 {
		t.put("")
	}
	return t.err
}
