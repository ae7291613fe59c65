package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"dryarc/audit"
	"dryarc/audit/history"
	"dryarc/audit/read"
	"dryarc/report"
)

// noEarlier is what --since says where nothing is to be compared with.
const noEarlier = "none"

// comparison is with what a run is compared, and what came of it.
type comparison struct {
	out     string           // folder of the outputs
	named   *history.Earlier // that --since names, other than the one in the folder
	none    bool             // --since none
	say     func(string)
	changes *history.Changes
}

// comparison reads the earlier run that --since names. One in the folder of the outputs is read once no other run writes there.
func (c *auditCommand) comparison(at surroundings, p *progress) (*comparison, error) {
	compared := &comparison{out: c.Out, none: c.Since == noEarlier, say: func(text string) {
		p.clear()
		fmt.Fprintln(at.stderr, text)
	}}
	if c.Since == "" || compared.none {
		return compared, nil
	}
	path := c.Since
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		path = filepath.Join(path, report.AuditFile)
	}
	earlier, err := readEarlier(at.ctx, path)
	if err != nil {
		return nil, &read.InputError{File: path, Message: fmt.Sprintf("the earlier run to compare with cannot be read: %v", err),
			Hint: "--since takes an audit.json, a folder with one, or none"}
	}
	if !sameFile(path, filepath.Join(c.Out, report.AuditFile)) {
		compared.named = earlier
	}
	return compared, nil
}

func sameFile(a, b string) bool {
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && os.SameFile(x, y)
}

// For how long an audit.json that is there and cannot be read is tried again, and how often: programs that look at each new file, or copy
// it, hold it for a moment.
const (
	earlierFor   = 5 * time.Second
	earlierPause = 100 * time.Millisecond
)

// readEarlier reads an audit.json; a pipe or a device is none. What the system says against opening or reading it is a *fs.PathError in the
// error, which damage is not.
func readEarlier(ctx context.Context, path string) (*history.Earlier, error) {
	for began := time.Now(); ; {
		earlier, err := openEarlier(path)
		if !unreached(err) || time.Since(began) > earlierFor {
			return earlier, err
		}
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(earlierPause):
		}
	}
}

// unreached tells the error of a file that is there, and perhaps whole, and that the system does not let be read.
func unreached(err error) bool {
	var system *fs.PathError
	return errors.As(err, &system) && !errors.Is(err, fs.ErrNotExist)
}

func openEarlier(path string) (*history.Earlier, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, errors.New("it is no regular file")
	}
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return history.Read(file)
}

// with compares a result with the earlier run. One in the folder of the outputs that is damaged is said, and the run counts as the first,
// since the outputs of tonight must not wait for it. One that cannot be reached stops the run, since what it knows would be lost for good.
func (c *comparison) with(ctx context.Context, r *audit.Result) (_ *history.Changes, err error) {
	earlier, unread := c.named, ""
	if earlier == nil && !c.none {
		earlier, err = readEarlier(ctx, filepath.Join(c.out, report.AuditFile))
		switch {
		case err == nil || errors.Is(err, fs.ErrNotExist):
		case ctx.Err() != nil:
			return nil, err
		case unreached(err):
			return nil, &report.WriteError{File: report.AuditFile, Err: fmt.Errorf("that of the run before is there and cannot be read (%w); "+
				"close what has it open, or give this run the right to read it; --since none compares with nothing", err)}
		default:
			unread = fmt.Sprintf("the %s of the run before cannot be read, so that this one counts as the first: %v", report.AuditFile, err)
			c.say(unread)
		}
	}
	if earlier != nil {
		if err := vanished(earlier.Vanished(r.Project, r.Network.Filled())); err != nil {
			return nil, err
		}
	}
	if c.changes, err = history.Compare(ctx, r, earlier, c.named != nil); err == nil && unread != "" {
		c.changes.Remarks = append(c.changes.Remarks, unread)
	}
	return c.changes, err
}

// vanished refuses to go on where files are not read any more: what they held would seem to be gone, and what is left to be judged by the
// zones and crossings that are left.
func vanished(files []history.Vanished) error {
	if len(files) == 0 {
		return nil
	}
	const most = 10 // that are named
	f, did := files[0], "was read"
	message, hint := whatIsAt(f.Path), "put it back, under any name that the project file reads, or where it is to be no more name it under without, beside file, which takes patterns too"
	if f.Kind != "" {
		message = "has fewer tables of " + f.Kind + " with rows that are used than before"
		hint = "put what they held back, or where that is to be no more compare with nothing once: --since none"
	}
	if f.Kind != "" && f.Section == "terrain" {
		message = "gives no ground level, and structures have none"
		hint = "put its levels back, or where they are to be no more compare with nothing once: --since none"
	}
	if f.Kind == "features" && f.Section == "crossings" {
		message, did = "holds no crossings", "had some"
		hint = "put them back, or where there are to be none compare with nothing once: --since none"
	}
	if f.SameAs != "" {
		message = "has come to hold the same as " + f.SameAs
		hint = "put its own content back, or where both are meant compare with nothing once: --since none"
	}
	if f.Open {
		did = "had one"
		message = "has no line end behind its last row and may be cut within it"
		hint = "export or copy it again; where it is whole, end its last line with a line end, or compare with nothing once: --since none"
	}
	message += fmt.Sprintf(", though it %s in the run as of %s", did, f.AsOf)
	switch {
	case f.Pattern != "":
		message += fmt.Sprintf(", found by the pattern %q under %s", f.Pattern, f.Section)
	case f.Section != "":
		message += ", named under " + f.Section
	}
	var others []string
	for _, other := range files[1:min(len(files), most)] {
		others = append(others, other.File)
	}
	if len(others) > 0 {
		message += "; nor are these as they were: " + strings.Join(others, ", ")
	}
	if len(files) > most {
		message += fmt.Sprintf(" and %d more", len(files)-most)
	}
	return &read.InputError{File: f.File, Message: message, Hint: hint, Err: fs.ErrNotExist}
}

// whatIsAt says what is in the place of a file that is not read.
func whatIsAt(path string) string {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "is not there any more"
	case err != nil:
		return fmt.Sprintf("is not read any more, since it cannot be looked at (%v)", errors.Unwrap(err))
	case info.IsDir():
		return "is a folder and not read any more"
	}
	return "is there and not read any more by itself"
}
