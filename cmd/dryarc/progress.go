package main

import (
	"fmt"
	"io"
	"os"
	"sync"

	"dryarc/report"

	"golang.org/x/term"
)

// progress shows on one line of a terminal what the run is at. Where stderr is no terminal it shows nothing.
type progress struct {
	mu    sync.Mutex
	w     io.Writer // nil where nothing is to be shown
	shown bool
	say   func(what string) // where it is said line by line; else nil
}

func newProgress(stderr io.Writer, quiet bool) *progress {
	file, ok := stderr.(*os.File)
	if quiet || !ok || !term.IsTerminal(int(file.Fd())) {
		return &progress{}
	}
	return &progress{w: stderr}
}

const eraseLine = "\r\x1b[K"

func (p *progress) stage(what string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.say != nil {
		p.say(what)
	}
	if p.w != nil {
		fmt.Fprint(p.w, eraseLine, report.Visible(what), " …")
		p.shown = true
	}
}

func (p *progress) lines(done, total int) {
	if p.w != nil {
		p.stage(fmt.Sprintf("assessing line %d of %d", done, total))
	}
}

func (p *progress) clear() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.shown {
		fmt.Fprint(p.w, eraseLine)
		p.shown = false
	}
}
