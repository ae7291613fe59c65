package main

import (
	"fmt"

	"dryarc/report"
	"dryarc/report/template"
)

type newCommand struct {
	Dir string `arg:"" help:"Folder for the new project; files that are there are not overwritten."`
}

// Run writes a new project that audits as it stands.
func (c *newCommand) Run(at surroundings) error {
	if c.Dir == "" {
		return &usage{`new "" names no folder, expected the folder for the new project`}
	}
	files, err := template.Write(c.Dir)
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
