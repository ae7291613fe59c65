package report

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
)

// markFile marks a staging folder as one: its name alone might be somebody else's.
const markFile = ".dryarc-staging"

var (
	// stagingPattern matches the names of staging folders; those of earlier versions had no number drawn by lot.
	stagingPattern = regexp.MustCompile(`^\.dryarc-([0-9]+)(-[0-9a-f]{16})?$`)
	// scratchPattern matches what an output keeps beside itself while it is written.
	scratchPattern = regexp.MustCompile(`^dryarc-([0-9]+)-gpkg-[0-9]+$`)
)

// stagingName draws the name of a staging folder.
func stagingName() string {
	lot := make([]byte, 8)
	_, _ = rand.Read(lot) // it never fails
	return fmt.Sprintf("%s%d-%s", stagingStart, os.Getpid(), hex.EncodeToString(lot))
}

// makeStaging makes a staging folder with its mark.
func (f folder) makeStaging(name string) error {
	if err := f.disk.Mkdir(f.path(name)); err != nil {
		return err
	}
	file, err := f.disk.Create(f.path(name, markFile))
	if err != nil {
		return err
	}
	_, err = file.Write([]byte("dryarc stages its outputs in this folder, and removes it with all that is in it.\n"))
	return errors.Join(err, file.Close())
}

// isLeftover tells what a run that ended early left in the folder from what is somebody else's: a staging folder by its mark, and
// one without, as a run leaves that was ended before it made it or that was of an earlier version, by its name and all that is in it.
func (f folder) isLeftover(entry fs.DirEntry) (bool, error) {
	name := entry.Name()
	if !entry.IsDir() {
		return entry.Type().IsRegular() && isOldStagedFile(name), nil
	}
	parts := stagingPattern.FindStringSubmatch(name)
	if parts == nil {
		return false, nil
	}
	in, err := f.disk.ReadDir(f.path(name))
	if errors.Is(err, fs.ErrPermission) {
		return false, nil // nor could it be removed
	}
	if err != nil {
		return false, err
	}
	if isMarked(in) {
		return true, nil
	}
	ours := onlyStaged(in)
	if parts[2] != "" {
		return ours, nil
	}
	// Outputs alone may also be what somebody put away under such a name.
	return ours && slices.ContainsFunc(in, func(e fs.DirEntry) bool {
		scratch := scratchPattern.FindStringSubmatch(e.Name())
		return strings.HasPrefix(e.Name(), asideStart) || e.Name() == journalFile || scratch != nil && scratch[1] == parts[1]
	}), nil
}

// isMarked tells a staging folder by what is in it.
func isMarked(in []fs.DirEntry) bool {
	return slices.ContainsFunc(in, func(e fs.DirEntry) bool { return e.Name() == markFile && e.Type().IsRegular() })
}

// mayBeLeftover tells a folder that an earlier version may have left, and that cannot be told from one in which somebody put outputs
// away.
func (f folder) mayBeLeftover(entry fs.DirEntry) bool {
	if !entry.IsDir() || !stagingPattern.MatchString(entry.Name()) {
		return false
	}
	in, err := f.disk.ReadDir(f.path(entry.Name()))
	left, unsure := f.isLeftover(entry)
	return err == nil && unsure == nil && !left && len(in) > 0 && onlyStaged(in)
}

// onlyStaged tells whether a folder holds nothing but what staging puts there.
func onlyStaged(in []fs.DirEntry) bool {
	return !slices.ContainsFunc(in, func(e fs.DirEntry) bool {
		name := e.Name()
		if e.IsDir() {
			return !scratchPattern.MatchString(name)
		}
		return !e.Type().IsRegular() || name != journalFile && name != markFile && !isOutput(strings.TrimPrefix(name, asideStart))
	})
}

// isOldStagedFile tells the names of the single files that earlier versions staged.
func isOldStagedFile(name string) bool {
	rest, begins := strings.CutPrefix(name, stagingStart)
	output, ends := strings.CutSuffix(rest, ".tmp")
	return begins && ends && isOutput(output)
}

// isOutput tells whether a name is that of an output, on request or not.
func isOutput(name string) bool {
	return slices.ContainsFunc(outputs(&account{}), func(o output) bool { return o.name == name }) ||
		slices.ContainsFunc(onRequest(&account{}), func(o requested) bool { return o.name == name })
}
