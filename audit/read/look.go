package read

import (
	"archive/zip"
	"context"
	"errors"
	"fmt"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"dryarc/audit"
	"dryarc/audit/read/gpkg"
	"dryarc/audit/read/raster"
	"dryarc/audit/read/shp"
	"dryarc/audit/read/xlsx"
)

// Look is what a file holds, looked at before a project file says what it is for.
type Look struct {
	File     string // its path
	Format   string
	Encoding string // of its texts, where they alone tell it; empty where they are in UTF-8 or told
	Layers   []LayerLook
	Sheets   []SheetLook
	Raster   *RasterLook // nil where it is none

	table bool // it is looked at as a table of points
}

// LookedColumn is a property or a column with its values.
type LookedColumn struct {
	Name   string
	Values []LookedValue // in the order in which they stand, up to mostLooked
	Rows   int           // that hold anything in it
	Cut    bool          // there are more values
}

// LookedValue is a value and how many rows have it.
type LookedValue struct {
	Text string
	Rows int
}

// mostLooked is how many different values of a column are looked at (a choice of this program).
const mostLooked = 5000

// tally counts the values of a column.
type tally struct {
	LookedColumn
	place map[string]int
}

func (t *tally) note(text string) {
	if text == "" {
		return
	}
	text = excerptOf(text)
	t.Rows++
	i, known := t.place[text]
	switch {
	case known:
		t.Values[i].Rows++
	case len(t.Values) == mostLooked:
		t.Cut = true
	default:
		text = strings.Clone(text)
		t.place[text] = len(t.Values)
		t.Values = append(t.Values, LookedValue{text, 1})
	}
}

func newTally(name string) *tally {
	return &tally{LookedColumn: LookedColumn{Name: strings.Clone(name)}, place: map[string]int{}}
}

// LookAt looks at a file in any format that the layers, the register or the rasters of ground levels may have. It neither writes nor keeps anything. The error is an
// *InputError or the context's own.
func LookAt(ctx context.Context, name string) (*Look, error) {
	if name == standardInput {
		return nil, &InputError{File: name, Message: "is the standard input, expected a file, which can be read more than once", Hint: "write it into a file"}
	}
	f := &half{projectFile: newProjectFile()}
	in, err := f.open(ctx, filepath.ToSlash(name))
	if err != nil {
		return nil, err
	}
	l := &Look{File: name}
	table := in.isTable()
	switch {
	case raster.Is(in.plainName(), in.head):
		l.Format = "raster"
		err = l.raster(f, in)
	case in.isGeoPackage():
		l.Format = "GeoPackage"
		err = l.layersOf(ctx, f, in)
	case in.isParquet():
		l.Format = "Parquet"
		var shapes bool
		if shapes, err = l.hasShapes(in); err == nil && shapes {
			err = l.layer(ctx, f, "", "")
		} else if err == nil {
			err = l.sheets(ctx, f)
			if asLayer := (&Look{File: name, table: true}); err == nil && asLayer.layer(ctx, f, "", "") == nil {
				l.Layers = asLayer.Layers
			}
		}
	case in.isShapefile():
		l.Format = "shapefile"
		err = l.layer(ctx, f, "", "")
	case in.isArchive() && !slices.Contains([]string{".xlsx", ".xlsm"}, path.Ext(in.plainName())):
		l.Format = "zip archive"
		err = l.archive(ctx, f)
	case isWorkbook(in.name, in.head):
		l.Format = "workbook"
		if err = l.sheets(ctx, f); err == nil && in.isPointBook() {
			if asLayer := (&Look{File: name, table: true}); asLayer.layer(ctx, f, "", "") == nil {
				l.Layers = asLayer.Layers
			}
		}
	case !table && slices.Contains([]byte("{\xef\xff\xfe\x1e"), in.first()):
		l.Format = "GeoJSON"
		err = l.layer(ctx, f, "", "")
	default:
		l.Format = "text"
		if err = l.sheets(ctx, f); err == nil && table {
			if asLayer := (&Look{File: name, table: true}); asLayer.layer(ctx, f, "", "") == nil {
				l.Layers = asLayer.Layers
			} else if points := l.Sheets[0].asPoints(); points != nil {
				l.Layers = []LayerLook{*points}
			}
		}
	}
	in.close()
	return l, err
}

// first is the first byte of the content that is no blank.
func (in *input) first() byte {
	if head := strings.TrimLeft(string(in.head), " \t\r\n"); head != "" {
		return head[0]
	}
	return 0
}

// layersOf looks at every layer of a GeoPackage.
func (l *Look) layersOf(ctx context.Context, f *half, in *input) (err error) {
	content, err := in.held(true)
	if err != nil {
		return err
	}
	in.taken = false
	if content.own {
		defer func() { err = errors.Join(err, content.close()) }()
	}
	file, err := gpkg.Open(ctx, content.path)
	if err != nil {
		return l.unusable(err)
	}
	layers, err := file.Layers(ctx)
	if err = errors.Join(err, file.Close()); err != nil {
		return l.unusable(err)
	}
	for _, layer := range layers {
		if err := l.layer(ctx, f, layer.Name, ""); err != nil {
			return err
		}
	}
	if len(layers) == 1 {
		l.Layers[0].Name = "" // the file says enough
	}
	return nil
}

func (l *Look) unusable(err error) error {
	return &InputError{File: l.File, Message: "cannot be read: " + err.Error(), Err: err, Hint: readableHint}
}

// archive looks at every shapefile in a zip archive.
func (l *Look) archive(ctx context.Context, f *half) error {
	archive, err := zip.OpenReader(l.File)
	if err != nil {
		return l.unusable(err)
	}
	var names []string
	for _, file := range archive.File {
		if strings.EqualFold(path.Ext(file.Name), string(shp.Shapes)) && !strings.HasPrefix(path.Base(file.Name), ".") {
			names = append(names, file.Name)
		}
	}
	if err := archive.Close(); err != nil {
		return l.unusable(err)
	}
	if len(names) < 2 {
		return l.layer(ctx, f, "", "") // which says what is wrong where it has none
	}
	for _, name := range names {
		if err := l.layer(ctx, f, "", name); err != nil {
			return err
		}
	}
	return nil
}

// sheetTallies are the rows of a sheet on the way to what is told of it.
type sheetTallies struct {
	first  []rowAbove // the rows among which the headings are
	rows   [][]string
	across []xlsx.Across // of the first rows
}

// mostLookedRows is how many rows of a sheet are looked at for their values (a choice of this program).
const mostLookedRows = 200_000

// sheets looks at the sheets of a workbook, or at a file of text as the one sheet that it is.
func (l *Look) sheets(ctx context.Context, f *half) (err error) {
	name := filepath.ToSlash(l.File)
	entry := &registerEntry{fileList: fileList{asStated: []string{name}, files: []string{name}}, sheets: []sheetUse{{name: path.Base(name), kind: assembliesSheet}}}
	f.register.entries = []registerEntry{*entry}
	w, err := openWorkbook(ctx, f, &audit.Project{}, entry, name)
	if w == nil {
		return err
	}
	defer func() { err = errors.Join(err, w.close()) }()
	if err != nil {
		return err
	}
	if w.isText {
		w.list = []string{namesOfText(name)[3]}
	}
	for _, sheet := range w.list {
		grid, err := openSheet(ctx, w.content, sheet)
		if err != nil {
			return err
		}
		rows, numbers, separator := sheetTallies{}, numbersTally{}, byte(0)
		for len(rows.rows) < mostLookedRows && grid.next() {
			rows.rows = append(rows.rows, slices.Clone(grid.cells))
			numbers.note(grid.cells, grid.from.isNumber)
			if len(rows.first) < headingRows {
				rows.first = append(rows.first, rowAbove{grid.number, rows.rows[len(rows.rows)-1]})
			}
		}
		if len(rows.first) > 0 {
			rows.across = w.content.mergedAcross(ctx, sheet, rows.first[len(rows.first)-1].number)
		}
		if text, is := grid.from.(*textRows); is {
			l.Encoding, separator = text.records.text.guessed(), text.records.comma
		}
		err = grid.problem(name)
		grid.close()
		if err != nil {
			return err
		}
		looked := rows.look(sheet)
		looked.Numbers = numbers.look(separator)
		l.Sheets = append(l.Sheets, looked)
	}
	return nil
}

// valid keeps what is no text out of what is told.
func valid(text string) string {
	if utf8.ValidString(text) {
		return text
	}
	return fmt.Sprintf("%q", text)
}
