package read

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	jsontext "dryarc/audit/read/json"
	"dryarc/audit/read/shp"
)

// isShapefile tells a part of a shapefile by the first bytes of the shapes, and by the name.
func (in *input) isShapefile() bool {
	return strings.HasPrefix(string(in.head), shp.Magic) || in.otherPart() != "" || path.Ext(in.plainName()) == string(shp.Shapes)
}

// otherPart is which part of a shapefile the input is by its name, if it is not that with the shapes; empty where it is none.
func (in *input) otherPart() shp.Part {
	part := shp.Part(path.Ext(in.plainName()))
	if slices.Contains([]shp.Part{shp.Index, shp.Table, projectionPart, shp.Page}, part) {
		return part
	}
	return ""
}

// plainName is the name of the file without the ending of compressed ones.
func (in *input) plainName() string { return strings.ToLower(unpackedName(in.name)) }

// projectionPart names the system of the positions.
const projectionPart shp.Part = ".prj"

// longestNote is how many bytes the parts may have that name an encoding or a system.
const longestNote = 64 << 10

// partReader opens a part of a shapefile from its start; nil without an error where it is not there.
type partReader func(part shp.Part) (io.ReadCloser, error)

// readShapefile calls each for every feature of a shapefile whose parts lie beside each other.
func (l *layer) readShapefile(f *half, in *input, each func(*feature) error) (int, error) {
	if in.path == "" {
		return 0, &InputError{File: in.name, Message: "holds the shapes of a shapefile alone, expected its other parts beside them",
			Hint: "name the file ending in .shp in the project file, or give all parts as a zip archive"}
	}
	if part := in.otherPart(); part != "" {
		return 0, &InputError{File: in.name, Message: fmt.Sprintf("is the part %s of a shapefile, expected that with the shapes, %s", part, shp.Shapes),
			Hint: fmt.Sprintf("name the file of the same name that ends in %s", shp.Shapes)}
	}
	read := map[shp.Part]*input{}
	open := func(part shp.Part) (io.ReadCloser, error) {
		if part == shp.Shapes {
			return io.NopCloser(in), nil
		}
		name, err := partBeside(unpackedName(in.path), part)
		if name == "" {
			return nil, err
		}
		called, at := path.Join(path.Dir(filepath.ToSlash(in.name)), name), filepath.Join(filepath.Dir(in.path), name)
		if info, err := os.Stat(at); err == nil && !info.Mode().IsRegular() { // a pipe would wait, a device may never end
			return nil, &InputError{File: called, Message: fmt.Sprintf("is no regular file, expected the part %s of a shapefile", part), Hint: shapesHint}
		}
		opened, err := f.openAt(in.ctx, called, at)
		if err != nil {
			return nil, err
		}
		if read[part] != nil {
			read[part].file.Close()
		}
		read[part] = opened
		return keptOpen{opened}, nil
	}
	count, err := l.readShapes(in, open, each)
	for _, part := range [...]shp.Part{shp.Index, shp.Table, projectionPart, shp.Page} {
		if opened := read[part]; opened != nil {
			defer opened.file.Close()
			if err == nil {
				err = opened.finish(l.project)
			}
		}
	}
	return count, err
}

// keptOpen is an input that is closed later, when it has been hashed.
type keptOpen struct{ *input }

func (keptOpen) Close() error { return nil }

// partBeside finds the name of a part beside the shapes, whatever the case of its letters; empty where there is none.
func partBeside(shapes string, part shp.Part) (string, error) {
	entries, err := os.ReadDir(filepath.Dir(shapes))
	if err != nil {
		return "", err
	}
	stem := strings.TrimSuffix(filepath.Base(shapes), filepath.Ext(shapes))
	found := ""
	for _, entry := range entries {
		switch name := entry.Name(); {
		case name == stem+string(part):
			return name, nil
		case found == "" && strings.EqualFold(name, stem+string(part)):
			found = name
		}
	}
	return found, nil
}

// readShapes reads a shapefile from its parts.
func (l *layer) readShapes(in *input, open partReader, each func(*feature) error) (count int, err error) {
	if err := l.placeShapes(in, open); err != nil {
		return 0, err
	}
	parts, closeParts, err := l.openParts(in, open)
	defer func() {
		if closing := closeParts(); err == nil {
			err = closing
		}
	}()
	if err != nil {
		return 0, l.shapesProblem(in, err)
	}
	account, err := shp.Read(parts, func(f *shp.Feature) error {
		given := shapeFeature(f)
		return each(&given)
	})
	l.noteShapes(account, parts.Encoding)
	if err != nil {
		return account.Features, l.shapesProblem(in, err)
	}
	return account.Features, nil
}

// placeShapes takes up the system of the positions.
func (l *layer) placeShapes(in *input, open partReader) error {
	text, err := wholePart(in, open, projectionPart)
	switch {
	case err != nil:
		return l.shapesProblem(in, err)
	case strings.TrimSpace(string(text)) != "":
		return l.placing.declareProjection(string(text))
	case l.placing.keyed:
		return nil
	}
	return &InputError{File: in.name, Message: fmt.Sprintf("does not say its reference system: it has no part %s", projectionPart), Hint: convertFromHint(in.name, l.section)}
}

// openParts opens the parts with shapes and properties, and finds out what the texts are in.
func (l *layer) openParts(in *input, open partReader) (parts shp.Parts, closeAll func() error, err error) {
	var opened []io.Closer
	closeAll = func() error {
		var errs []error
		for _, part := range opened {
			errs = append(errs, part.Close())
		}
		return errors.Join(errs...)
	}
	get := func(part shp.Part) io.Reader {
		if err != nil {
			return nil
		}
		var from io.ReadCloser
		if from, err = open(part); from == nil {
			return nil
		}
		opened = append(opened, from)
		return from
	}
	named, err := wholePart(in, open, shp.Page)
	if table := get(shp.Table); table == nil {
		if err == nil {
			err = &InputError{File: in.name, Message: fmt.Sprintf("has no part %s with the properties of its features", shp.Table),
				Hint: "put all the files of the shapefile, .shp, .dbf, .shx and .prj, beside each other"}
		}
		return parts, closeAll, err
	} else if l.stated.given() {
		parts.Encoding, err = l.stated.ofTable(in.name, l.section, named)
	} else {
		parts.Encoding, err = shp.FindEncoding(named, table)
	}
	if err != nil {
		return parts, closeAll, err
	}
	parts.Shapes, parts.Table = get(shp.Shapes), get(shp.Table)
	if index := get(shp.Index); index != nil {
		parts.Index = index
	}
	return parts, closeAll, err
}

// wholePart reads a small part; nothing where it is not there.
func wholePart(in *input, open partReader, part shp.Part) ([]byte, error) {
	from, err := open(part)
	if from == nil {
		return nil, err
	}
	content, err := io.ReadAll(io.LimitReader(from, longestNote+1))
	if closing := from.Close(); err == nil {
		err = closing
	}
	if err == nil && len(content) > longestNote {
		err = &InputError{File: in.name, Message: fmt.Sprintf("has a part %s of more than %d bytes, expected one line of text", part, longestNote),
			Hint: fmt.Sprintf("look at it with an editor: it may be blanks, or no %s at all; export the layer again", part)}
	}
	return content, err
}

// noteShapes tells what is worth knowing of a shapefile.
func (l *layer) noteShapes(account shp.Account, encoding shp.Encoding) {
	if encoding.Why != "" {
		l.notes = append(l.notes, fmt.Sprintf("texts in %s, %s", encoding.Name, encoding.Why))
	}
	if encoding.Guessed {
		l.encoding = encoding.Name
	}
	if account.Deleted > 0 {
		l.notes = append(l.notes, fmt.Sprintf("features that are marked as deleted, which are left out: %d", account.Deleted))
	}
	if account.Starred > 0 {
		l.notes = append(l.notes, fmt.Sprintf("numbers of asterisks alone, which are taken as blank: %d", account.Starred))
	}
	if account.Cut > 0 {
		l.notes = append(l.notes, fmt.Sprintf("texts that fill their field and end in a part of a character, which is left out: %d", account.Cut))
	}
}

// shapesProblem words why a shapefile cannot be read; other errors stay what they are.
func (l *layer) shapesProblem(in *input, err error) error {
	var known *InputError
	var damage *shp.DamageError
	var encoding *shp.EncodingError
	switch {
	case in.ctx.Err() != nil:
		return in.ctx.Err()
	case errors.As(err, &known):
		return known
	case errors.Is(err, context.Canceled):
		return err
	case errors.As(err, &damage):
		return &InputError{File: in.name, Message: "is no shapefile that can be read: its part " + damage.Error(), Err: err, Hint: shapesHint}
	case errors.As(err, &encoding) && l.stated.given():
		return &InputError{File: in.name, Message: encoding.Error() + ", as the project file says", Err: err, Hint: statedHint}
	case errors.As(err, &encoding):
		return &InputError{File: in.name, Message: encoding.Error(), Err: err,
			Hint: fmt.Sprintf("write the name of the encoding, such as UTF-8 or 1252, into a file beside it that ends in %s", shp.Page)}
	}
	return in.problem(err)
}

const shapesHint = "export the layer again, and give all the files of it"

// shapeFeature is a feature of a shapefile in the form of the other layers.
func shapeFeature(f *shp.Feature) feature {
	given := feature{kind: "Feature", number: f.Number, decoded: f.Geometry, undecoded: f.Problem}
	for i, name := range f.Names {
		value := jsonOf(f.Values[i])
		if number, is := f.Values[i].(shp.Number); is {
			value = []byte(number)
		}
		given.members = append(given.members, jsontext.Member{Name: []byte(name), Value: value})
	}
	return given
}
