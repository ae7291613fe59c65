package report

import (
	"fmt"
	"path/filepath"
	"runtime"
	"strings"
)

// namesFolder tells why Windows makes no folder of the name that a path has, or one of another name; nil elsewhere.
func namesFolder(path string) error {
	if runtime.GOOS != "windows" {
		return nil
	}
	const instead = "give the folder another name"
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
