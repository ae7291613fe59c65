package report

import (
	"fmt"
	"path/filepath"
	"runtime"
	"strings"
)

// KeptName tells why Windows makes no file or folder of a name that a path has, or one of another name; nil elsewhere.
func KeptName(path string) error {
	if runtime.GOOS != "windows" {
		return nil
	}
	const instead = "give it another name"
	path = strings.TrimPrefix(path, `\\?\`)
	for part := range strings.FieldsFuncSeq(path[len(filepath.VolumeName(path)):], func(r rune) bool { return r == '/' || r == '\\' }) {
		switch {
		case part == "." || part == "..":
		case !filepath.IsLocal(part):
			return fmt.Errorf("%q has a meaning of its own to Windows, as devices have; %s", part, instead)
		case strings.TrimRight(part, ". ") != part:
			return fmt.Errorf("%q ends in a dot or a blank, which Windows leaves away; %s", part, instead)
		}
	}
	return nil
}
