package read

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"

	"dryarc/audit"
	"dryarc/audit/read/postgres"
)

// input is a file, or the standard input, that is hashed while it is read. What is compressed is unpacked,
// whatever its name. Reading stops when the context ends.
type input struct {
	ctx  context.Context
	name string // as the project file names it
	path string // of the file; empty for the standard input
	file io.ReadCloser

	query  string           // whose rows it is; empty for a file
	stream *postgres.Stream // of the query
	was    fs.FileInfo      // of a regular file, which can be read again; nil for a pipe and the like
	most   int64            // bytes to which it may unpack, or that may come where it is no file
	once   bool             // it is no file, so that nobody knows how much comes
	hash   hash.Hash
	body   io.Reader // the content
	head   []byte    // the first bytes of the content

	packed packing // what has to be unpacked; empty for a content that stands as it is
	raw    int64   // bytes of the file that were read
	size   int64   // of the content that was read
	room   int64   // that the content takes; 0 where that is not known

	text    *textReader // of the content, where it is read as text
	taken   bool        // somebody else closes the file
	lastRow string      // as audit.Input has it
}

// standardInput is the name of the one input that may come from a pipe.
const standardInput = "-"

// A compressed input may unpack to defaultUnpacked bytes unless the project file states another limit.
const (
	gigabyte        = 1e9
	defaultUnpacked = 4 * gigabyte
)

// largestContent is the largest content of an input in bytes; more than that is no input but a mistake.
const largestContent = 64 << 30

// A content larger than suspectContent bytes that unpacks to more than highestRatio times its size is no table or layer.
const (
	suspectContent = 100 << 20
	highestRatio   = 500
)

// open opens an input that the project file names.
func (f *projectFile) open(ctx context.Context, name string) (*input, error) {
	if name == standardInput {
		return f.openAt(ctx, name, "")
	}
	return f.openAt(ctx, name, pathIn(f.folder, name))
}

// openAt opens an input at a path; without one it is the standard input.
func (f *projectFile) openAt(ctx context.Context, name, path string) (*input, error) {
	in := &input{ctx: ctx, name: name, path: path, most: f.largestUnpacked, hash: sha256.New()}
	if path == "" {
		in.file, in.once = io.NopCloser(f.stdin), true
	} else {
		if namesDevice(path) { // of which opening or reading may never end
			return nil, &InputError{File: name, Message: "has a name that Windows keeps for a device, expected a file", Hint: "give the file another name"}
		}
		if name := filepath.Base(path); runtime.GOOS == "windows" && strings.TrimRight(name, ". ") != name && name != ".." && name != "." {
			return nil, &InputError{File: in.name, Message: "ends in a dot or a blank, which Windows leaves away", Hint: "write the name as the file has it"}
		}
		if leavesRootOpen(path) {
			return nil, &InputError{File: name, Message: `names a drive and not from where on it, expected such as D:\data\x.csv`, Hint: pathsHint}
		}
		file, err := os.Open(path)
		if err != nil {
			hint := pathsHint
			if heldOpen(err) {
				hint = heldHint
			}
			return nil, &InputError{File: name, Message: openProblem(err), Err: err, Hint: hint}
		}
		in.file = file
		if info, err := file.Stat(); err == nil && info.IsDir() {
			file.Close()
			return nil, &InputError{File: name, Message: "is a folder, expected a file", Hint: pathsHint}
		} else if err == nil && info.Mode().IsRegular() {
			in.room, in.was = info.Size(), info
		} else {
			in.once = true
		}
	}
	if err := in.unpack(); err != nil {
		in.file.Close()
		return nil, err
	}
	return in, nil
}

// namesDevice tells whether a path ends in a name that the system keeps for a device, such as NUL or AUX on Windows.
func namesDevice(path string) bool {
	name := filepath.Base(path)
	return runtime.GOOS == "windows" && name != ".." && !filepath.IsLocal(name)
}

// heldOpen tells the error of a file that another program has open and lets nobody read meanwhile, as Windows knows it.
func heldOpen(err error) bool {
	const sharingViolation, lockViolation = syscall.Errno(32), syscall.Errno(33)
	return runtime.GOOS == "windows" && (errors.Is(err, sharingViolation) || errors.Is(err, lockViolation))
}

// close closes the file, unless somebody else does.
func (in *input) close() {
	if !in.taken {
		in.file.Close()
	}
}

// unpack finds out what the content is.
func (in *input) unpack() error {
	raw := bufio.NewReaderSize(rawInput{in}, 64<<10)
	in.body = raw
	start, _ := raw.Peek(packingMark)
	if in.packed = packingOf(start); in.packed != notPacked {
		content, err := in.packed.open(raw)
		if err != nil {
			return in.problem(err)
		}
		in.room = 0
		in.body = bufio.NewReaderSize(content, 64<<10)
	}
	in.head, _ = in.body.(*bufio.Reader).Peek(16)
	return nil
}

// rawInput is the input as it stands in the file.
type rawInput struct{ in *input }

// Read reads on and takes what it reads into the hash.
func (r rawInput) Read(p []byte) (int, error) {
	if err := r.in.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := r.in.file.Read(p)
	r.in.raw += int64(n)
	r.in.hash.Write(p[:n])
	return n, err
}

// Read reads on in the content.
func (in *input) Read(p []byte) (int, error) {
	n, err := in.body.Read(p)
	switch in.size += int64(n); {
	case in.packed != notPacked && in.size > in.most:
		return n, in.unpacksToMore()
	case in.once && in.size > in.most:
		return n, in.bringsMore()
	case in.size > largestContent:
		return n, errTooMuch
	case in.packed != notPacked && in.size > suspectContent && in.size/highestRatio > in.raw:
		return n, errTooDense
	}
	return n, err
}

// unpacksToMore is the error of an input that unpacks to more than it may.
func (in *input) unpacksToMore() error {
	return fmt.Errorf("it unpacks to more than %.3g GB; if it may be that large, write largest_unpacked_gb into the project file", float64(in.most)/gigabyte)
}

// bringsMore is the error of an input that is no file and of which more comes than may.
func (in *input) bringsMore() error {
	return &InputError{File: in.name, Message: fmt.Sprintf("is no file, and more than %.3g GB come out of it", float64(in.most)/gigabyte),
		Hint: "if it may be that long, write largest_unpacked_gb into the project file, or give it as a file"}
}

var (
	errTooMuch  = fmt.Errorf("it has more than %d GiB", largestContent>>30)
	errTooDense = fmt.Errorf("it unpacks to more than %d times its size", highestRatio)
)

// finish reads what is left and adds the input to those of the project.
func (in *input) finish(p *audit.Project) error {
	if _, err := io.Copy(io.Discard, in); err != nil {
		return in.problem(err)
	}
	return in.note(p)
}

// note adds the input to those of the project. Of what is left of it, only the file is read.
func (in *input) note(p *audit.Project) error {
	if _, err := io.Copy(io.Discard, rawInput{in}); err != nil {
		return in.problem(err)
	}
	p.Inputs = append(p.Inputs, audit.Input{File: in.name, Path: in.path, SHA256: hex.EncodeToString(in.hash.Sum(nil)), LastRow: in.lastRow})
	return nil
}

// problem words an error of reading; an interruption stays what it is.
func (in *input) problem(err error) error {
	if in.ctx.Err() != nil {
		return in.ctx.Err()
	}
	if known := (*InputError)(nil); errors.As(err, &known) {
		return known
	}
	if in.query != "" {
		return queryProblem(in.name, err)
	}
	if in.packed != notPacked {
		return &InputError{File: in.name, Message: fmt.Sprintf("is compressed by %s and cannot be unpacked: %v", in.packed, err), Err: err, Hint: readableHint}
	}
	return &InputError{File: in.name, Message: openProblem(err), Err: err, Hint: readableHint}
}

const (
	pathsHint    = "paths in the project file are relative to the folder it is in"
	readableHint = "see that the file is whole and that you may read it"
	heldHint     = "it is open in another program, such as a spreadsheet; close it there and run again"
)

// moreLike estimates how many rows come after so many that have been read, from the part of the file that they took; 0 where that is not known.
func (in *input) moreLike(rows int) int {
	if in.was == nil || in.raw == 0 {
		return 0
	}
	const margin = 1.05 // for what is read ahead
	return int(max(0, margin*float64(rows)*float64(in.was.Size()-in.raw)/float64(in.raw)))
}
