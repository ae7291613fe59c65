package report

import (
	"fmt"
	"os"
	"path/filepath"

	"dryarc/audit"
)

// sparesInputs fails where an output would take the place of an input.
func sparesInputs(dir string, p *audit.Project, list []output) error {
	type opened struct {
		name string
		info os.FileInfo
	}
	var inputs []opened
	if info, err := os.Stat(p.File); err == nil {
		inputs = append(inputs, opened{"the project file " + p.File, info})
	}
	for _, input := range p.Inputs {
		if info, err := os.Stat(input.Path); err == nil { // the standard input has no path
			inputs = append(inputs, opened{"the input " + input.File, info})
		}
	}
	for _, o := range list {
		path := filepath.Join(dir, o.name)
		info, err := os.Stat(path)
		if err != nil {
			continue // nothing is there that could be an input; what else is wrong with it shows when it is written
		}
		for _, input := range inputs {
			if os.SameFile(info, input.info) {
				return &WriteError{o.name, fmt.Errorf("%s is %s; choose another folder for the outputs, such as --out %s",
					path, input.name, filepath.Join(dir, "out"))}
			}
		}
	}
	return nil
}
