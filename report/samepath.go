package report

import (
	"os"
	"path/filepath"
	"strings"

	"golang.org/x/text/unicode/norm"
)

// SamePath tells whether two paths are of one file or folder, however each is written: by a link, a share and a drive, in another case. Where
// neither is there yet, the nearest folders that are there and the names from them on tell; case and the way of writing accents part no such
// names, since not every file system tells them apart.
func SamePath(a, b string) bool {
	x, errA := os.Stat(filepath.Clean(a))
	y, errB := os.Stat(filepath.Clean(b))
	switch {
	case errA == nil && errB == nil:
		return os.SameFile(x, y)
	case errA == nil || errB == nil:
		return false
	}
	x, belowA := nearestThere(a)
	y, belowB := nearestThere(b)
	return x != nil && y != nil && os.SameFile(x, y) && strings.EqualFold(norm.NFC.String(belowA), norm.NFC.String(belowB))
}

// nearestThere is the nearest folder above a path that is there, and the path from it on; nil where none is.
func nearestThere(path string) (there os.FileInfo, below string) {
	path, err := filepath.Abs(path)
	for err == nil {
		if there, err = os.Stat(path); err == nil {
			return there, below
		}
		above := filepath.Dir(path)
		if above == path {
			break
		}
		path, below, err = above, filepath.Join(filepath.Base(path), below), nil
	}
	return nil, ""
}
