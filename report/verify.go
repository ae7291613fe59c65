package report

import (
	"archive/zip"
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"dryarc/audit/filelock"
)

// Verification is what a folder of outputs was found to be.
type Verification struct {
	Runs    []VerifiedRun // one for each output that says what the others are: of an audit, of a run over scenarios, or both
	Damage  []string      // a line for each thing that keeps the folder from being one whole run of each
	Remarks []string      // what is said and is no damage
}

// VerifiedRun is a run whose outputs lie in a folder.
type VerifiedRun struct {
	Run, AsOf string
	Files     int // that are of the run and unchanged, the one that lists the others included
}

// Whole tells whether all files are of one run and unchanged since.
func (v *Verification) Whole() bool { return len(v.Damage) == 0 }

// NoRun is the error of a folder whose audit.json does not say what the others must be.
type NoRun struct {
	File string
	Err  error
}

func (e *NoRun) Error() string { return fmt.Sprintf("%s cannot be read: %v", e.File, e.Err) }

func (e *NoRun) Unwrap() error { return e.Err }

// Verify compares the files of a folder with what its audit.json says of them, or the scope.json of a run over scenarios, and writes nothing.
// These themselves are what the rest is held against. The error is a *NoRun, beside which stands what else was found.
func Verify(dir string) (v Verification, err error) {
	release, err := shareLock(filepath.Join(dir, lockFile))
	var held *Held
	if errors.As(err, &held) {
		v.Damage = []string{fmt.Sprintf("a run writes there now (%s): ask again when it is done", held.By)}
		return v, nil
	}
	if err != nil {
		v.Remarks = append(v.Remarks, fmt.Sprintf("%s could not be looked at, so that a run may be writing there now: %v", lockFile, err))
	}
	defer release()
	cut, err := exists(realDisk{}, filepath.Join(dir, journalFile))
	if err != nil {
		return v, &NoRun{filepath.Join(dir, journalFile), err}
	}
	if cut {
		v.Damage = append(v.Damage, "a run was cut short while it replaced the files: the next one into this folder puts the earlier files back first")
	}
	var none error
	for _, m := range manifests(dir) {
		name := m.name
		of, listed, damage, err := readManifest(filepath.Join(dir, name))
		v.Damage = append(v.Damage, damage...)
		if err != nil && cut {
			v.Damage = append(v.Damage, err.Error())
			return v, nil
		}
		if err != nil {
			if errors.Is(err, fs.ErrNotExist) && len(m.listed) > 0 {
				v.Damage = append(v.Damage, fmt.Sprintf("%s: missing, so that nothing says what %s must be", name, enumerated(m.listed, 4)))
			}
			none = cmp.Or(none, err)
			continue
		}
		of.Files++
		others, own := "", false // the id that unchanged files carry, and whether any carries that of the manifest
		for _, o := range listed {
			path := filepath.Join(dir, o.File)
			if damage := damageOf(path, o, of.Run); damage != "" {
				v.Damage = append(v.Damage, o.File+": "+damage)
				continue
			}
			of.Files++
			if carried := runCarried(path); carried != "" {
				others, own = carried, own || carried == of.Run
			}
		}
		if others != "" && !own {
			v.Damage = append(v.Damage, fmt.Sprintf("%s: says that it is of run %s, and the files that it lists carry %s", name, of.Run, others))
		}
		if name == AuditFile {
			v.remarkOthers(dir, of.Run, listed)
		}
		v.Runs = append(v.Runs, of)
	}
	v.remarkUnmarked(dir)
	return v, none
}

// manifest is an output that says what the others are, and which of those lie there.
type manifest struct {
	name   string
	listed []string
}

// manifests are those that lie in a folder, or must: that of an audit, of a run over scenarios, or both. Where nothing lies there it is the first.
func manifests(dir string) (found []manifest) {
	ofAudit, err := chosen(&account{}, Also())
	ofScope := (&Scope{}).onRequest((&Scope{}).outputs(), []string{AlsoRegister, AlsoLines})
	if err != nil { // Also names known outputs only
		return []manifest{{name: AuditFile}}
	}
	for _, outputs := range [][]output{ofAudit, ofScope} {
		m := manifest{name: outputs[len(outputs)-1].name}
		for _, o := range outputs[:len(outputs)-1] {
			if isOurs(dir, o.name) {
				m.listed = append(m.listed, o.name)
			}
		}
		if there, err := exists(realDisk{}, filepath.Join(dir, m.name)); there || err != nil || len(m.listed) > 0 {
			found = append(found, m)
		}
	}
	if len(found) == 0 {
		return []manifest{{name: AuditFile}}
	}
	return found
}

// isOurs tells whether a file lies in a folder that some run has written.
func isOurs(dir, name string) bool {
	path := filepath.Join(dir, name)
	if there, err := exists(realDisk{}, path); !there || err != nil {
		return false
	}
	return name == historyFile && hasLogRows(path) || runCarried(path) != "" || hasOwnHeading(path)
}

// remarkUnmarked mentions folders that no run removes, though an earlier version may have left them.
func (v *Verification) remarkUnmarked(dir string) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return // its files could be read
	}
	for _, entry := range entries {
		if folder := (folder{realDisk{}, dir}); folder.mayBeLeftover(entry) {
			v.Remarks = append(v.Remarks, entry.Name()+": holds outputs, and is named as an earlier version named what a run that was ended early left; it stays, so remove it if it is nobody's")
		}
	}
}

// shareLock keeps runs from writing until it is released; without a lock file, or without locks, it keeps nobody. The
// error is a *Held where a run writes already, else of a lock that could not be taken, without which all goes on.
func shareLock(path string) (release func(), err error) {
	release = func() {}
	file, err := openRegular(path)
	if errors.Is(err, fs.ErrNotExist) {
		return release, nil
	}
	if err != nil {
		return release, err
	}
	switch err := filelock.Try(file, false); {
	case errors.Is(err, filelock.ErrHeld):
		file.Close()
		return release, &Held{By: holderOf(path)}
	case err != nil && !errors.Is(err, filelock.ErrNone):
		file.Close()
		return release, err
	}
	return func() { file.Close() }, nil
}

// readManifest reads which run an audit.json or scope.json is of and what the other outputs are, and tells what was done to it since.
func readManifest(path string) (of VerifiedRun, listed []Output, damage []string, err error) {
	file, err := openRegular(path)
	if err != nil {
		return of, nil, nil, &NoRun{path, err}
	}
	defer file.Close()
	var content manifestContent
	decoder := json.NewDecoder(file)
	switch err := content.read(decoder); {
	case err != nil:
		return of, nil, nil, &NoRun{path, err}
	case content.Run == nil || content.Run.Outputs == nil:
		return of, nil, nil, &NoRun{path, errors.New("it does not say what the other outputs are; an earlier version may have written it")}
	}
	if _, err := decoder.Token(); err != io.EOF {
		damage = append(damage, filepath.Base(path)+": has text behind its end, so it was changed since")
	}
	of.Run, of.AsOf = content.Run.ID, content.Run.AsOf
	for _, o := range *content.Run.Outputs {
		if !isFileName(o.File) {
			return of, nil, damage, &NoRun{path, fmt.Errorf("output %q is no file of the folder", o.File)}
		}
	}
	return of, *content.Run.Outputs, damage, nil
}

// damageOf says what is wrong with a file that must be an output of a run; empty where nothing is.
func damageOf(path string, o Output, run string) string {
	file, err := openRegular(path)
	if errors.Is(err, fs.ErrNotExist) {
		return "missing"
	}
	if err != nil {
		return "cannot be read: " + err.Error()
	}
	defer file.Close()
	hash := sha256.New()
	if _, err := io.Copy(hash, file); err != nil {
		return "cannot be read: " + err.Error()
	}
	if hex.EncodeToString(hash.Sum(nil)) == o.SHA256 {
		return ""
	}
	switch carried := runCarried(path); {
	case carried != "" && carried != run:
		return "of another run, " + carried
	case carried != "" && filepath.Ext(path) == ".xlsx":
		return "edited by hand or saved by another program"
	case carried == "" && hasNoRows(path):
		return "not as the run wrote it, by its hash; " + runUntold
	}
	return "changed since"
}

// runUntold says why it cannot be told of which run a file is.
const runUntold = "it has no rows, and only rows name the run, so that it cannot be told of which it is"

// hasNoRows tells whether a file is a table of text with headings and nothing below them.
func hasNoRows(path string) bool {
	if filepath.Ext(path) != ".csv" {
		return false
	}
	file, err := openRegular(path)
	if err != nil {
		return false
	}
	defer file.Close()
	const longest = 64 << 10 // bytes of headings
	start, err := io.ReadAll(io.LimitReader(file, longest))
	end := bytes.IndexByte(start, '\n')
	return err == nil && end >= 0 && len(bytes.TrimSpace(start[end:])) == 0
}

// remarkOthers mentions outputs that the run did not write.
func (v *Verification) remarkOthers(dir, run string, listed []Output) {
	all, err := chosen(&account{}, Also())
	if err != nil {
		return // Also names known outputs only
	}
	for _, o := range all {
		written := slices.ContainsFunc(listed, func(l Output) bool { return l.File == o.name })
		path := filepath.Join(dir, o.name)
		if there, _ := exists(realDisk{}, path); !there || written || o.name == AuditFile {
			continue
		}
		switch carried := runCarried(path); carried {
		case "":
			why := "and carries the id of none"
			if hasNoRows(path) {
				why = "as audit.json does not name it; " + runUntold
			}
			v.Remarks = append(v.Remarks, o.name+": not of this run, "+why)
		case run:
			v.Remarks = append(v.Remarks, o.name+": left by an earlier run of the same inputs")
		default:
			v.Remarks = append(v.Remarks, o.name+": left by another run, "+carried)
		}
	}
}

// How each kind of output carries the id of its run.
var carries = map[string]*regexp.Regexp{
	".csv":     regexp.MustCompile(`[,;]"?([0-9a-f]{16})"?\r?\n`),
	".geojson": regexp.MustCompile(`"run": ?"([0-9a-f]{16})"`),
	".gpkg":    regexp.MustCompile(`run ([0-9a-f]{16})`),
	".html":    regexp.MustCompile(`, run ([0-9a-f]{16}), as of`),
	".json":    regexp.MustCompile(`\A\{\s*"run": ?"([0-9a-f]{16})"`),
	".kml":     regexp.MustCompile(`Run ([0-9a-f]{16}), as of`),
	".kmz":     regexp.MustCompile(`Run ([0-9a-f]{16}), as of`),
	".parquet": regexp.MustCompile(`run ([0-9a-f]{16})`),
	".prom":    regexp.MustCompile(`# Run ([0-9a-f]{16}) as of`),
	".qml":     regexp.MustCompile(`Run ([0-9a-f]{16}), as of`),
	".xlsx":    regexp.MustCompile(`run ([0-9a-f]{16})`),
}

// runCarried is the id of the run that an output says it is of; empty where it says none, and of the log, which names many.
func runCarried(path string) string {
	how := carries[strings.ToLower(filepath.Ext(path))]
	if how == nil || filepath.Base(path) == historyFile {
		return ""
	}
	if ext := strings.ToLower(filepath.Ext(path)); ext == ".xlsx" || ext == ".kmz" {
		return runInParts(path, how)
	}
	file, err := openRegular(path)
	if err != nil {
		return ""
	}
	defer file.Close()
	return firstMatch(file, how)
}

// runInParts looks through the parts of a file that is packed of several.
func runInParts(path string, how *regexp.Regexp) string {
	file, err := openRegular(path)
	if err != nil {
		return ""
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return ""
	}
	book, err := zip.NewReader(file, info.Size())
	if err != nil {
		return ""
	}
	for _, part := range book.File {
		content, err := part.Open()
		if err != nil {
			continue
		}
		id := firstMatch(content, how)
		content.Close()
		if id != "" {
			return id
		}
	}
	return ""
}

// firstMatch returns what the group of a pattern matches first. A match is shorter than overlap.
func firstMatch(r io.Reader, pattern *regexp.Regexp) string {
	const overlap = 64
	buffer := make([]byte, 1<<20)
	kept := 0
	for {
		n, err := io.ReadFull(r, buffer[kept:])
		text := buffer[:kept+n]
		if found := pattern.FindSubmatch(text); found != nil {
			return string(found[1])
		}
		if err != nil {
			return ""
		}
		kept = copy(buffer, text[len(text)-overlap:])
	}
}
