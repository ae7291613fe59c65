package read

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"hash"
	"io"
	"os"
	"path/filepath"

	"dryarc/audit"
)

// input is a file that is hashed while it is read. Reading stops when the context ends.
type input struct {
	ctx  context.Context
	name string // as the project file names it
	file *os.File
	hash hash.Hash
}

// open opens an input that the project file names.
func (f *projectFile) open(ctx context.Context, name string) (*input, error) {
	path := name
	if !filepath.IsAbs(path) {
		path = filepath.Join(f.folder, filepath.FromSlash(name))
	}
	file, err := os.Open(path)
	if err == nil {
		if info, statErr := file.Stat(); statErr == nil && info.IsDir() {
			file.Close()
			return nil, &InputError{File: name, Message: "is a folder, expected a file", Hint: pathsHint}
		}
		return &input{ctx: ctx, name: name, file: file, hash: sha256.New()}, nil
	}
	return nil, &InputError{File: name, Message: openProblem(err), Err: err,
		Hint: pathsHint}
}

// Read reads on and takes what it reads into the hash.
func (in *input) Read(p []byte) (int, error) {
	if err := in.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := in.file.Read(p)
	in.hash.Write(p[:n])
	return n, err
}

// finish reads what is left and adds the input to those of the project.
func (in *input) finish(p *audit.Project) error {
	if _, err := io.Copy(io.Discard, in); err != nil {
		return in.problem(err)
	}
	p.Inputs = append(p.Inputs, audit.Input{File: in.name, SHA256: hex.EncodeToString(in.hash.Sum(nil))})
	return nil
}

// problem words an error of reading; an interruption stays what it is.
func (in *input) problem(err error) error {
	if in.ctx.Err() != nil {
		return in.ctx.Err()
	}
	return &InputError{File: in.name, Message: openProblem(err), Err: err, Hint: readableHint}
}

const (
	pathsHint    = "paths in the project file are relative to the folder it is in"
	readableHint = "see that the file is whole and that you may read it"
)
