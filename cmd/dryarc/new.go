package main

import (
	"errors"
	"fmt"

	"dryarc/audit/read"
	"dryarc/report"
	"dryarc/report/draft"
	"dryarc/report/template"
)

type newCommand struct {
	Dir  string   `arg:"" help:"Folder for the new project; files that are there are not overwritten."`
	From bool     `help:"Write a project file that reads the files named behind it where they are: layers and tables as they were exported."`
	File []string `arg:"" optional:"" help:"Files to read, with --from."`
}

// Run writes a new project that audits as it stands, or a project file for files that are there.
func (c *newCommand) Run(at surroundings) error {
	if c.Dir == "" {
		return &usage{`new "" names no folder, expected the folder for the new project`}
	}
	if c.From != (len(c.File) > 0) {
		return &usage{"new takes files with --from, and --from takes files\n  hint: dryarc new DIR --from structures.gpkg register.xlsx"}
	}
	if err := report.KeptName(c.Dir); err != nil {
		return &report.WriteError{File: c.Dir, Err: err}
	}
	files, err := c.write(at)
	var left *template.LeftBehind
	if errors.As(err, &left) {
		fmt.Fprintln(at.stderr, left)
		err = nil
	}
	var input *read.InputError
	if errors.As(err, &input) || at.ctx.Err() != nil {
		return err
	}
	if err != nil {
		return &report.WriteError{File: c.Dir, Err: err}
	}
	for _, file := range files {
		if _, err := fmt.Fprintln(at.stdout, file); err != nil {
			return err
		}
	}
	return nil
}

func (c *newCommand) write(at surroundings) ([]string, error) {
	if !c.From {
		return template.Write(c.Dir)
	}
	path, err := draft.Write(at.ctx, c.Dir, c.File)
	return []string{path}, err
}
