package read

import (
	"errors"
	"strings"
)

// A table of points is converted to GeoJSON, as nothing takes the positions of one that it writes itself; the command has to name the columns
// of the coordinates, which are put into it where they are known.

const (
	openX = "-oo X_POSSIBLE_NAMES=… "
	openY = "-oo Y_POSSIBLE_NAMES=… "
)

// findColumns finds the columns of the coordinates of a table whose positions are in a system that is not read.
func (l *layer) findColumns(f *half, in *input) {
	if !in.isTable() {
		return
	}
	anySystem, err := newPlacing(in.name, l.section, anyMetres)
	if err != nil {
		return
	}
	anySystem.looked = true
	before := l.placing
	l.placing = anySystem
	_, _ = l.readPoints(f, in, func(*feature) error { return nil }) // what is wrong with the table is said once its system is read
	l.placing = before
}

// withColumns puts the columns of the coordinates into the command that converts a table.
func (l *layer) withColumns(err error) error {
	var problem *InputError
	if l.pointsAt[0] == "" || !errors.As(err, &problem) || !strings.Contains(problem.Hint, openX) {
		return err
	}
	for i, open := range [...]string{openX, openY} {
		problem.Hint = strings.ReplaceAll(problem.Hint, open, strings.Replace(open, "…", shellWord(l.pointsAt[i]), 1))
	}
	return err
}

// shellWord is a text as one word of a command: in quotes where it holds more than letters, digits and the marks of paths.
func shellWord(text string) string {
	plain := strings.IndexFunc(text, func(r rune) bool {
		return r != '…' && !strings.ContainsRune("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_./-:", r)
	}) < 0
	if plain && text != "" {
		return text
	}
	return `"` + strings.NewReplacer(`"`, `\"`, `$`, `\$`, "`", "\\`").Replace(text) + `"`
}
