package read

import (
	"cmp"
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"dryarc/audit"
)

// Understanding says how one table of the inputs was understood: a sheet, a file of text or a layer.
type Understanding struct {
	Table   audit.Table
	Number  uint16 // of the table in the project
	Section string // of the project file
	Format  string // such as "workbook", or "text, semicolons between cells"
	Rows    int    // rows or features that hold anything, below the headings
	Columns []UnderstoodColumn
	Ignored []IgnoredColumn
	Notes   []string
}

// UnderstoodColumn is a column or property that is used.
type UnderstoodColumn struct {
	Written string // heading or property as it stands there
	For     string // the column or property of the audit
	From    string // the unit there; empty for a text or a pure number
	Kept    string // the unit in which the audit keeps it
}

// IgnoredColumn is a column or property that is not used.
type IgnoredColumn struct {
	Written string
	Why     string // why, or which known one it resembles; empty where nothing is known about it
	Near    bool   // it is only not used since its name is not quite a known one
}

// half is a half of the inputs, the layers or the register, which are read at the same time, with what has been
// understood so far.
type half struct {
	*projectFile
	understood []Understanding
	lineCells  map[audit.Source]*lineCells // of rows of the Lines sheet of which more is known than they say

	// mergedFirst tells that the merged areas of large sheets too are found before their rows are read, mergedLate that rows were read
	// without those that they lie in.
	mergedFirst, mergedLate bool
}

// Understood reads a project as Project does and tells how each of its inputs was understood. After an error it tells
// what was understood until then.
func Understood(ctx context.Context, path string) (*audit.Project, []Understanding, error) {
	return readProject(ctx, path)
}

func (l *layout[R]) account() (columns []UnderstoodColumn, ignored []IgnoredColumn) {
	var open []string // columns that stand nowhere
	for _, p := range l.columns {
		if p.index < 0 {
			continue
		}
		c := UnderstoodColumn{Written: p.heading, For: p.name()}
		if p.column.measure != nil {
			c.From, c.Kept = p.in.names[0], p.column.measure.name
		}
		columns = append(columns, c)
	}
	for i := range l.declared {
		c := &l.declared[i]
		if !slices.ContainsFunc(l.columns, func(p placed[R]) bool { return p.column == c }) {
			open = append(open, c.heading)
		}
	}
	for _, o := range l.others {
		ignored = append(ignored, ignoredColumn(o.heading, o.why, open))
	}
	return columns, ignored
}

// ignoredColumn tells why a name is not used, or which of those that are open it resembles.
func ignoredColumn(written, why string, open []string) IgnoredColumn {
	near := resembles(written, open)
	return IgnoredColumn{Written: written, Why: cmp.Or(why, near), Near: why == "" && near != ""}
}

// resembles suggests the known name that is close to one that is not used, or has its words in another order.
func resembles(written string, known []string) string {
	outside, _ := inBrackets(written)
	inOrder := func(text string) string {
		return strings.Join(slices.Sorted(strings.FieldsSeq(strings.ToLower(text))), " ")
	}
	for _, name := range known {
		if inOrder(name) == inOrder(outside) {
			return fmt.Sprintf("perhaps %q", name)
		}
	}
	if close := near(outside, known); close != "" {
		return fmt.Sprintf("perhaps %q", close)
	}
	return ""
}

// UnderstoodText reads a project whose file would have a text and stand at a path, as Understood does of one that is there.
func UnderstoodText(ctx context.Context, path string, text []byte) (*audit.Project, []Understanding, error) {
	file, problem := parseProjectFile(text)
	if problem != nil {
		problem.File = path
		return nil, nil, problem
	}
	file.folder = filepath.Dir(path)
	return file.read(ctx, path)
}
