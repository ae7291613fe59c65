package report

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"dryarc/audit"
)

// sparesInputs fails where writing would take the place of an input or remove it: by an output, by a file that writing
// needs for itself, or among what it takes for left by a run that ended early.
func sparesInputs(dir string, p *audit.Project, list []output) error {
	inputs := inputsOf(p)
	names := []string{lockFile, journalFile}
	for _, o := range list {
		names = append(names, o.name)
	}
	for _, name := range names {
		path := filepath.Join(dir, name)
		if input := inputs.at(path); input != "" {
			return &WriteError{name, fmt.Errorf("%s is %s; %s", path, input, elsewhere(dir))}
		}
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil // what is wrong with the folder shows when it is written to
	}
	for _, entry := range entries {
		if left, err := (folder{realDisk{}, dir}).isLeftover(entry); !left || err != nil { // an error shows when it is written to
			continue
		}
		if path, input := inputs.below(filepath.Join(dir, entry.Name())); input != "" {
			return &WriteError{dir, fmt.Errorf("%s is %s, and %s is what runs leave there and later ones remove; rename it, or %s",
				path, input, entry.Name(), elsewhere(dir))}
		}
	}
	return nil
}

func elsewhere(dir string) string {
	return fmt.Sprintf("choose another folder for the outputs, such as --out %s", filepath.Join(dir, "out"))
}

// inputFiles are the files that a run has read.
type inputFiles []inputFile

type inputFile struct {
	name string
	info os.FileInfo
}

func inputsOf(p *audit.Project) (files inputFiles) {
	add := func(name string, info os.FileInfo, err error) {
		if err == nil {
			files = append(files, inputFile{name, info})
		}
	}
	info, err := os.Stat(p.File)
	add("the project file "+p.File, info, err)
	for _, input := range p.Inputs {
		if input.Query != "" {
			continue
		}
		if input.Path == "" { // the standard input, which a file may stand behind
			info, err = os.Stdin.Stat()
		} else {
			info, err = os.Stat(input.Path)
		}
		add("the input "+input.File, info, err)
	}
	return files
}

// at names the input that is the file of a path; empty where that is none or nothing is there.
func (files inputFiles) at(path string) string {
	info, err := os.Stat(path)
	if err != nil {
		return ""
	}
	for _, file := range files {
		if os.SameFile(info, file.info) {
			return file.name
		}
	}
	return ""
}

// below finds an input that is a path or, where that is a folder, in it.
func (files inputFiles) below(path string) (found, input string) {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	// What cannot be looked into cannot be removed either.
	_ = filepath.WalkDir(path, func(at string, _ fs.DirEntry, err error) error {
		if err != nil {
			return nil
		}
		if input = files.at(at); input != "" {
			found = at
			return fs.SkipAll
		}
		return nil
	})
	return found, input
}
