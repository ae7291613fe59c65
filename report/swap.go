package report

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
)

// The names that writing takes in the folder of the outputs, beside those of the outputs.
const (
	lockFile     = ".dryarc.lock"
	journalFile  = ".dryarc-swap"
	stagingStart = ".dryarc-" // and the number of the process, and one drawn by lot
	asideStart   = "old-"     // and the name of an output, in the staging folder
)

// journal says what a swap is about to do. While it lies in the folder the swap is not done, and whoever holds the lock
// undoes it. Its removal is the moment at which the new set stands.
type journal struct {
	Staging string       `json:"staging"` // name of the folder that holds the new files and then the old ones
	Files   []swapMember `json:"files"`
}

// swapMember is one file of a set.
type swapMember struct {
	Name string `json:"name"`
	Had  bool   `json:"had"`            // whether there is an old one
	Gone bool   `json:"gone,omitempty"` // whether there is no new one
}

// folder is a folder of outputs whose lock is held.
type folder struct {
	disk disk
	dir  string
}

func (f folder) path(names ...string) string {
	return filepath.Join(append([]string{f.dir}, names...)...)
}

// swap puts the staged files in the place of the old ones, and takes away old ones that have no successor, all of them or none: after an error
// the old ones stand again, or, where even that is refused, the journal stays for the next run.
func (f folder) swap(staging string, names []string, gone ...string) error {
	j := journal{Staging: staging}
	for _, name := range names {
		had, err := exists(f.disk, f.path(name))
		if err != nil {
			return &WriteError{name, err}
		}
		j.Files = append(j.Files, swapMember{Name: name, Had: had})
	}
	last := max(len(j.Files)-1, 0) // before audit.json, so that who sees a new one finds no old file beside it
	for _, name := range gone {
		j.Files = slices.Insert(j.Files, last, swapMember{Name: name, Had: true, Gone: true})
	}
	err := f.writeJournal(j)
	for i := 0; err == nil && i < len(j.Files); i++ {
		err = f.swapOne(staging, j.Files[i])
	}
	if err == nil {
		err = f.disk.SyncFolder(f.path(staging))
	}
	if err == nil {
		err = f.disk.SyncFolder(f.dir)
	}
	if err == nil {
		err = f.disk.Remove(f.path(journalFile))
	}
	if err != nil {
		return errors.Join(err, f.undo(j))
	}
	// From here on the new set stands. Were the removal not on the disk after a power cut, the old set would be put
	// back from the staging folder, so that goes only afterwards; left where it is the next run removes it.
	if f.disk.SyncFolder(f.dir) == nil {
		_ = f.removeStaging(staging)
	}
	return nil
}

func (f folder) writeJournal(j journal) error {
	text, err := json.Marshal(j)
	if err != nil {
		return err
	}
	staged := f.path(j.Staging, journalFile)
	file, err := f.disk.Create(staged)
	if err != nil {
		return err
	}
	_, err = file.Write(text)
	if err == nil {
		err = file.Sync()
	}
	if err = errors.Join(err, file.Close()); err != nil {
		return err
	}
	if err := f.disk.SyncFolder(f.path(j.Staging)); err != nil {
		return err
	}
	if err := f.disk.Rename(staged, f.path(journalFile)); err != nil {
		return err
	}
	return f.disk.SyncFolder(f.dir)
}

// swapOne keeps an old file aside and gives its name to the new one, if there is one. Where the file system has links the name is
// never without a file.
func (f folder) swapOne(staging string, member swapMember) error {
	path, aside := f.path(member.Name), f.path(staging, asideStart+member.Name)
	if member.Had {
		info, err := f.disk.Lstat(path)
		if err != nil {
			return &WriteError{member.Name, err}
		}
		if member.Gone || !info.Mode().IsRegular() || f.disk.Link(path, aside) != nil {
			if err := f.disk.Rename(path, aside); err != nil {
				return &WriteError{member.Name, inUse(err)}
			}
		}
	}
	if member.Gone {
		return nil
	}
	if err := f.disk.Rename(f.path(staging, member.Name), path); err != nil {
		return &WriteError{member.Name, inUse(err)}
	}
	return nil
}

func inUse(err error) error {
	return fmt.Errorf("%w (is it open in another program, such as a spreadsheet? close it there and run again)", err)
}

// undo puts the old set back and then removes the journal. It may be stopped and begun again at any point.
func (f folder) undo(j journal) error {
	staged, err := exists(f.disk, f.path(j.Staging))
	if err != nil {
		return err
	}
	// Without a staging folder the swap was done, and only the removal of the journal did not reach the disk.
	for i := len(j.Files) - 1; staged && i >= 0; i-- {
		if err := f.undoOne(j.Staging, j.Files[i]); err != nil {
			return &WriteError{j.Files[i].Name, fmt.Errorf("the earlier file is not back in its place yet, the next run tries again: %w", err)}
		}
	}
	if err := f.disk.SyncFolder(f.dir); err != nil {
		return err
	}
	if err := removeIfThere(f.disk, f.path(journalFile)); err != nil {
		return err
	}
	return f.disk.SyncFolder(f.dir)
}

func (f folder) undoOne(staging string, member swapMember) error {
	path, aside := f.path(member.Name), f.path(staging, asideStart+member.Name)
	if member.Had {
		kept, err := exists(f.disk, aside)
		if err != nil || !kept {
			return err
		}
		if err := f.disk.Rename(aside, path); err != nil {
			return inUse(err)
		}
		return nil
	}
	waits, err := exists(f.disk, f.path(staging, member.Name))
	if err != nil || waits {
		return err
	}
	return removeIfThere(f.disk, path)
}

// recover undoes a swap that was cut short, and removes what runs that ended early left.
func (f folder) recover() error {
	text, err := f.disk.ReadFile(f.path(journalFile))
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return err
	default:
		j, err := parseJournal(text)
		if err != nil {
			return &WriteError{journalFile, err}
		}
		if err := f.undo(j); err != nil {
			return err
		}
		if err := f.removeUndone(j.Staging); err != nil {
			return err
		}
	}
	entries, err := f.disk.ReadDir(f.dir)
	if err != nil {
		return err
	}
	for _, entry := range entries {
		left, unsure := f.isLeftover(entry)
		switch {
		case unsure != nil:
			err = unsure
		case !left:
			continue
		case entry.IsDir():
			err = f.removeStaging(entry.Name())
		default:
			err = f.disk.Remove(f.path(entry.Name()))
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// removeUndone removes the staging folder of a swap that is undone. What is left in one of an earlier version does not tell that it
// is one.
func (f folder) removeUndone(staging string) error {
	in, err := f.disk.ReadDir(f.path(staging))
	if errors.Is(err, fs.ErrNotExist) || err == nil && !onlyStaged(in) {
		return nil
	}
	if err != nil {
		return err
	}
	return f.removeStaging(staging)
}

// parseJournal reads a journal. It came by a rename, so it is whole; one that names files elsewhere is none of ours.
func parseJournal(text []byte) (j journal, err error) {
	if err := json.Unmarshal(text, &j); err != nil {
		return j, fmt.Errorf("the journal of an earlier run cannot be read: %w", err)
	}
	ours := stagingPattern.MatchString(j.Staging)
	for _, member := range j.Files {
		ours = ours && isFileName(member.Name)
	}
	if !ours {
		return j, errors.New("the journal of an earlier run names files that are no outputs")
	}
	return j, nil
}

// isFileName tells a bare name from a path.
func isFileName(name string) bool {
	return filepath.IsLocal(name) && name != "." && !strings.ContainsAny(name, `/\`)
}

// removeStaging removes a staging folder with what is in it, its mark last.
func (f folder) removeStaging(name string) error {
	entries, err := f.disk.ReadDir(f.path(name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	marked := false
	for _, entry := range entries {
		if entry.Name() == markFile {
			marked = true
			continue
		}
		if entry.IsDir() {
			err = f.removeStaging(filepath.Join(name, entry.Name()))
		} else {
			err = f.disk.Remove(f.path(name, entry.Name()))
		}
		if err != nil {
			return err
		}
	}
	if marked {
		if err := f.disk.Remove(f.path(name, markFile)); err != nil {
			return err
		}
	}
	return f.disk.Remove(f.path(name))
}
