package read

import (
	"archive/zip"
	"errors"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"

	"dryarc/audit/read/shp"
)

// archiveEnd parts the name of an archive from that of a file in it: layers.zip!towers.shp.
const archiveEnd = ".zip!"

// archiveMember takes the name of an input apart into that of an archive and that of a file in it, if it names one.
func archiveMember(name string) (archive, member string) {
	at := strings.Index(strings.ToLower(name), archiveEnd)
	if at < 0 {
		return name, ""
	}
	return name[:at+len(archiveEnd)-1], name[at+len(archiveEnd):]
}

// isArchive tells zip archives by their first bytes.
func (in *input) isArchive() bool { return strings.HasPrefix(string(in.head), "PK\x03\x04") }

// readArchive calls each for every feature of the shapefile in an archive, whatever folder it is in: that which is wanted,
// else the only one. It returns the number of features and the name of the shapes.
func (l *layer) readArchive(in *input, wanted string, each func(*feature) error) (count int, name string, err error) {
	content, err := in.held(true)
	if err != nil {
		return 0, "", err
	}
	in.taken = false // the rest of it is hashed at the end
	if content.own {
		defer func() { err = errors.Join(err, content.close()) }()
	}
	if err := content.takeSum(); err != nil {
		return 0, "", in.problem(err)
	}
	archive, err := zip.NewReader(content.file, content.size)
	if err != nil {
		return 0, "", &InputError{File: in.name, Message: "is no zip archive that can be unpacked: " + err.Error(), Err: err, Hint: readableHint}
	}
	shapes, err := chosenShapes(in.name, archive, wanted, l.section)
	if err != nil {
		return 0, "", err
	}
	stem := strings.TrimSuffix(shapes.Name, path.Ext(shapes.Name))
	open := func(part shp.Part) (io.ReadCloser, error) {
		file, err := onlyMember(in.name, archive, stem+string(part))
		if file == nil {
			return nil, err
		}
		from, err := file.Open()
		if err != nil {
			return nil, (&memberReader{in: in, file: file}).problem(err)
		}
		return &memberReader{in: in, from: from, file: file}, nil
	}
	if count, err = l.readShapes(in, open, each); err != nil {
		return count, shapes.Name, err
	}
	return count, shapes.Name, content.stillThere(in)
}

// onlyMember finds the file of a name in an archive, whatever the case of its letters where none has it exactly; nil without an error
// where there is none.
func onlyMember(archive string, in *zip.Reader, name string) (*zip.File, error) {
	var exact, alike []*zip.File
	for _, file := range in.File {
		if file.Name == name {
			exact = append(exact, file)
		} else if strings.EqualFold(file.Name, name) {
			alike = append(alike, file)
		}
	}
	found := exact
	if len(found) == 0 {
		found = alike
	}
	switch len(found) {
	case 0:
		return nil, nil
	case 1:
		return found[0], nil
	}
	return nil, &InputError{File: archive, Message: fmt.Sprintf("has %d files %q, expected one", len(found), name), Hint: "export the layer again into an archive of its own"}
}

// chosenShapes finds the shapes of a name in an archive, by their path or its last part, or the only ones.
func chosenShapes(archive string, in *zip.Reader, wanted, section string) (*zip.File, error) {
	var all, meant []*zip.File
	var names []string
	for _, file := range in.File {
		base := path.Base(file.Name)
		if !strings.EqualFold(path.Ext(base), string(shp.Shapes)) || strings.HasPrefix(base, ".") {
			continue // what starts with a point is hidden: the archives of some systems keep notes on each file there
		}
		all, names = append(all, file), append(names, file.Name)
		if wanted != "" && (file.Name == wanted || base == wanted) {
			meant = append(meant, file)
		}
	}
	if exact := slices.IndexFunc(meant, func(file *zip.File) bool { return file.Name == wanted }); exact >= 0 {
		return meant[exact], nil
	}
	switch {
	case len(all) == 0:
		return nil, &InputError{File: archive, Message: fmt.Sprintf("is a zip archive without a shapefile, expected one with a file that ends in %s", shp.Shapes),
			Hint: "a layer is GeoJSON, GeoPackage, a table of points or a shapefile; unpack what is none of these"}
	case len(meant) == 1:
		return meant[0], nil
	case wanted == "" && len(all) == 1:
		return all[0], nil
	case wanted != "" && len(meant) == 0:
		return nil, &InputError{File: archive, Message: fmt.Sprintf("has no shapefile %q; those there are %s", wanted, quotedList(names)),
			Hint: fmt.Sprintf("name one of them under %s in the project file: file: %q", section, archive+"!"+names[0])}
	}
	return nil, &InputError{File: archive, Message: fmt.Sprintf("has %d shapefiles, expected one or a name: %s", len(all), quotedList(names)),
		Hint: fmt.Sprintf("name one of them under %s in the project file: file: %q", section, archive+"!"+names[0])}
}

// memberReader unpacks a file of an archive, as long as it is no mistake.
type memberReader struct {
	in   *input
	from io.ReadCloser
	file *zip.File
	size int64
}

func (m *memberReader) Read(p []byte) (int, error) {
	if err := m.in.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := m.from.Read(p)
	switch m.size += int64(n); {
	case m.size > m.in.most:
		return n, m.in.unpacksToMore()
	case m.size > suspectContent && uint64(m.size/highestRatio) > m.file.CompressedSize64:
		return n, errTooDense
	case err != nil && err != io.EOF:
		return n, m.problem(err)
	}
	return n, err
}

// problem words why the file cannot be unpacked.
func (m *memberReader) problem(err error) error {
	return &InputError{File: m.in.name, Message: fmt.Sprintf("has a file %q that cannot be unpacked: %v", m.file.Name, err), Err: err, Hint: readableHint}
}

// Close tells again what Read has told of a file that is damaged.
func (m *memberReader) Close() error {
	if err := m.from.Close(); err != nil {
		return m.problem(err)
	}
	return nil
}
