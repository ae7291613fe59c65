package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"
	"unicode/utf8"

	"dryarc/audit"
	"dryarc/audit/history"
	"dryarc/report"
)

// logRecord is what is said on the standard error as a program reads it: one object on a line.
type logRecord struct {
	Time    string          `json:"time"`
	Level   string          `json:"level"` // info, hint or error
	Message string          `json:"message"`
	Closing *report.Closing `json:"run,omitempty"` // with the last words of a run that wrote its outputs
}

// asRecords makes what is said records from here on.
func (t *talk) asRecords() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.records = true
}

// record says something as a record.
func (t *talk) record(message string, closing *report.Closing) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.putRecord(message, closing)
}

// putRecord writes one line of talk as a record; its level shows in how it begins.
func (t *talk) putRecord(line string, closing *report.Closing) {
	r := logRecord{Time: time.Now().Format(time.RFC3339), Level: "info", Message: strings.ToValidUTF8(strings.TrimSpace(line), string(utf8.RuneError)), Closing: closing}
	if text, is := strings.CutPrefix(r.Message, "dryarc: "); is {
		r.Level, r.Message = "error", text
	}
	if text, is := strings.CutPrefix(r.Message, "hint: "); is {
		r.Level, r.Message = "hint", text
	}
	text, err := json.Marshal(r)
	if err == nil {
		_, _ = t.w.Write(append(text, '\n')) // the stream keeps the error
	}
}

// closing says the last words of a run: a summary for people, or a record.
func (c *auditCommand) closing(at surroundings, r *audit.Result, changes *history.Changes, others func()) {
	switch {
	case c.Quiet:
	case c.Log == formatJSON:
		closing := report.ClosingOf(r, changes, c.Also...)
		at.stderr.record("done", &closing)
	default:
		others()
	}
}

// noticeApart refuses a file for the news that would take the place of an output, or of its own other form, and one that
// cannot be made, before the run has worked for it.
func (c *auditCommand) noticeApart() error {
	if err := report.KeptName(c.Notify); err != nil {
		return &report.WriteError{File: c.Notify, Err: err}
	}
	if strings.EqualFold(filepath.Ext(c.Notify), ".html") {
		return &usage{fmt.Sprintf("--notify %q ends in .html, which the other form of the news takes; name a text file such as news.txt", c.Notify)}
	}
	if report.SamePath(filepath.Dir(c.Notify), c.Out) {
		return &usage{fmt.Sprintf("--notify %q lies in the folder of the outputs, expected another folder", c.Notify)}
	}
	for _, run := range []string{"audit.json", "scope.json"} {
		if _, err := os.Stat(filepath.Join(filepath.Dir(c.Notify), run)); err == nil {
			return &usage{fmt.Sprintf("--notify %q lies in a folder where outputs of a run are, with %s, expected another folder", c.Notify, run)}
		}
	}
	for _, form := range []string{c.Notify, report.NoticePage(c.Notify)} {
		if report.SamePath(form, c.Since) {
			return &usage{fmt.Sprintf("--notify writes to %q, with which --since compares; expected another file", form)}
		}
		if there, err := os.Stat(form); err == nil && !there.IsDir() && !there.Mode().IsRegular() {
			return &usage{fmt.Sprintf("--notify would put %q in the place of what is no file (a device or a pipe), expected a file", form)}
		}
	}
	return nil
}
