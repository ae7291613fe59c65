package main

import (
	"bytes"
	"io"
	"sync"

	"dryarc/report"
)

// talk is a writer of text for people. What it is given reaches w line by line, with what a terminal would act on shown
// as escapes (report.Visible), since names and values of inputs are part of it. On a screen lines are broken at words.
type talk struct {
	mu   sync.Mutex
	w    *stream
	line bytes.Buffer // what has no end yet
	// records tells that each line is said as a record (logRecord).
	records bool
	screen  screen
	idle    bool // a failure of w is nobody's: what is done is done, whether or not it can be told
}

// stream is a standard stream. The first error stays, so that who prints need not look at each line.
type stream struct {
	w   io.Writer
	err error
}

func (s *stream) Write(p []byte) (n int, err error) {
	if s.err == nil {
		n, s.err = s.w.Write(p)
	}
	return n, s.err
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
	if t.idle {
		return len(p), nil
	}
	return len(p), t.w.err
}

// put writes the line that is kept.
func (t *talk) put(end string) {
	defer t.line.Reset()
	if t.records {
		t.putRecord(t.line.String(), nil)
		return
	}
	_, _ = io.WriteString(t.w, t.screen.painted(t.screen.broken(report.Visible(t.line.String())))+end) // the stream keeps the error
}

// end writes what has no end and returns the first error.
func (t *talk) end() error {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.line.Len() > 0 {
		t.put("")
	}
	return t.w.err
}
