package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"cmp"
	"compress/gzip"
	"io/fs"
	"slices"
	"time"
)

// member is a file of an archive.
type member struct {
	name    string // with / between folders
	content []byte
	runs    bool
}

func (m *member) mode() fs.FileMode {
	if m.runs {
		return 0o755
	}
	return 0o644
}

// sorted are members by name, in a folder.
func sorted(folder string, members []member) []member {
	list := slices.Clone(members)
	for i := range list {
		list[i].name = folder + "/" + list[i].name
	}
	slices.SortFunc(list, func(a, b member) int { return cmp.Compare(a.name, b.name) })
	return list
}

// tarred packs members into a folder of a tar archive, compressed by gzip: sorted, of one time and of nobody.
func tarred(folder string, members []member, at time.Time) ([]byte, error) {
	var b bytes.Buffer
	packed, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	w := tar.NewWriter(packed)
	for _, m := range sorted(folder, members) {
		header := tar.Header{Name: m.name, Mode: int64(m.mode()), Size: int64(len(m.content)), ModTime: at, Format: tar.FormatUSTAR}
		if err := w.WriteHeader(&header); err != nil {
			return nil, err
		}
		if _, err := w.Write(m.content); err != nil {
			return nil, err
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	err = packed.Close()
	return b.Bytes(), err
}

// zipped packs members into a folder of a zip archive: sorted and of one time.
func zipped(folder string, members []member, at time.Time) ([]byte, error) {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, m := range sorted(folder, members) {
		header := zip.FileHeader{Name: m.name, Method: zip.Deflate, Modified: at}
		header.SetMode(m.mode())
		to, err := w.CreateHeader(&header)
		if err != nil {
			return nil, err
		}
		if _, err := to.Write(m.content); err != nil {
			return nil, err
		}
	}
	err := w.Close()
	return b.Bytes(), err
}
