package main

import (
	"fmt"
	"io"
	"os"
	"sync"

	"dryarc/report"
)

// progress shows on one line of a terminal what the run is at. Where stderr is no terminal, or one that only prints, it shows nothing.
type progress struct {
	mu    sync.Mutex
	w     io.Writer // nil where nothing is to be shown
	on    screen
	shown bool
	say   func(what string) // where it is said line by line; else nil
}

func newProgress(stderr io.Writer, quiet bool) *progress {
	on := screenOf(stderr, os.Getenv)
	if quiet || !on.moves {
		return &progress{}
	}
	return &progress{w: stderr, on: on}
}

const eraseLine = "\r\x1b[K"

func (p *progress) stage(what string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.say != nil {
		p.say(what)
	}
	if p.w != nil {
		fmt.Fprint(p.w, eraseLine, p.on.cut(report.Visible(what)+" …"))
		p.shown = true
	}
}

func (p *progress) lines(done, total int) {
	if p.w != nil {
		p.stage(fmt.Sprintf("assessing line %d of %d", done, total))
	}
}

// writing tells how many of the outputs are written, where that is shown.
func (p *progress) writing(folder string) func(done, total int) {
	return func(done, total int) {
		if p.w != nil {
			p.stage(fmt.Sprintf("written %d of %d files, to %s", done, total, folder))
		}
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
