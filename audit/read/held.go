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
	"strings"
)

// held is an input that is read more than once, or not in its order: the file itself, as it was when it was opened, or a
// private copy of what comes only once or has to be unpacked. What is hashed is what is read: of the file every reading goes
// through the descriptor that the hash was taken from, and where it has to be opened again it is hashed again.
type held struct {
	name string // as the project file names it
	path string
	file *os.File // nil while it is put aside
	size int64
	own  bool        // a private copy, which nobody else changes and which close removes
	was  fs.FileInfo // of the file when it was opened
	sum  string      // of the file, hexadecimal; empty while it is not known
}

// errChanged says that an input is not what it was when the run began to read it.
var errChanged = errors.New("was changed while it was read")

const changedHint = "wait until nothing writes to it, and run again"

// held keeps the input, whose descriptor is from then on closed by what is returned. unpacked asks for the content of a
// compressed input, not for the file.
func (in *input) held(unpacked bool) (*held, error) {
	if file, is := in.file.(*os.File); is && in.was != nil && !(unpacked && in.packed != notPacked) {
		in.taken = true
		return &held{name: in.name, path: in.path, file: file, size: in.was.Size(), was: in.was}, nil
	}
	if in.was == nil && in.query == "" && in.isNoise() {
		return nil, &InputError{File: in.name, Message: "is no file, and what comes out of it is neither text nor of a format that is read", Hint: pathsHint}
	}
	file, err := temporaryFile()
	if err != nil {
		return nil, in.noRoom(err)
	}
	h := &held{name: in.name, path: file.Name(), file: file, own: true}
	copied := &copied{to: file}
	h.size, err = io.CopyN(copied, in, largestOnDisk+1)
	switch {
	case copied.err != nil && in.ctx.Err() == nil:
		return nil, errors.Join(in.noRoom(copied.err), h.close())
	case err == io.EOF:
		err = nil
	case h.size > largestOnDisk:
		err = fmt.Errorf("it is longer than the %d GiB of a temporary file", largestOnDisk>>30)
	}
	if err != nil {
		return nil, errors.Join(in.problem(err), h.close())
	}
	return h, nil
}

// copied writes a copy, and keeps what goes wrong with it apart from what goes wrong with the input.
type copied struct {
	to  io.Writer
	err error
}

func (c *copied) Write(p []byte) (n int, err error) {
	n, c.err = c.to.Write(p)
	return n, c.err
}

// noRoom words an error of a temporary file, which is nothing that the input can help.
func (in *input) noRoom(err error) error {
	why := err
	if at := (*fs.PathError)(nil); errors.As(err, &at) {
		why = at.Err
	}
	return &InputError{File: in.name, Message: fmt.Sprintf("cannot be copied into the folder of temporary files, %s: %v", os.TempDir(), why), Err: err,
		Hint: "make room there, or name another folder by the environment variable TMPDIR (on Windows TMP)"}
}

// isNoise tells by its first bytes that a content is nothing that is read. A device may have no end, and would fill the
// folder of temporary files first.
func (in *input) isNoise() bool {
	start, _ := in.body.(*bufio.Reader).Peek(noiseBytes)
	for _, binary := range []string{"PK\x03\x04", "\xd0\xcf\x11\xe0", "SQLite format 3\x00", "PAR1", "\x00\x00\x27\x0a", "\xff\xfe", "\xfe\xff"} {
		if strings.HasPrefix(string(start), binary) {
			return false
		}
	}
	if len(start) == noiseBytes && strings.Trim(string(start), "\x00") == "" {
		return true
	}
	// Text of two bytes a character has a few bytes below a space, besides those that part its lines.
	var low [' ']bool
	kinds := 0
	for _, b := range start {
		if b < ' ' && !low[b] {
			low[b] = true
			kinds++
		}
	}
	return kinds > mostLowBytes
}

// A content is known by noiseBytes bytes at its start, of which those of a text have no more than mostLowBytes different
// values below that of a space.
const (
	noiseBytes   = 512
	mostLowBytes = 12
)

// largestOnDisk is the largest content of an input that is put into a temporary file, in bytes.
const largestOnDisk = 16 << 30

// again starts to read the content from its start, with a hash of its own.
func (h *held) again(ctx context.Context, most int64) (*input, error) {
	in := &input{ctx: ctx, name: h.name, most: most, file: io.NopCloser(io.NewSectionReader(h.file, 0, h.size)), hash: sha256.New(), room: h.size}
	if err := in.unpack(); err != nil {
		return nil, err
	}
	return in, nil
}

// takeSum takes the hash of the file, by which later readings are known to be of the same.
func (h *held) takeSum() error {
	sum := sha256.New()
	_, err := io.Copy(sum, io.NewSectionReader(h.file, 0, h.size))
	h.sum = hex.EncodeToString(sum.Sum(nil))
	return err
}

// stillThere reads what is left of the input and tells whether it is the file that was hashed before, and still lies at its
// path.
func (h *held) stillThere(in *input) error {
	if h.own {
		return nil
	}
	if is, err := os.Stat(h.path); err != nil || !os.SameFile(is, h.was) {
		return h.changed()
	}
	if _, err := io.Copy(io.Discard, rawInput{in}); err != nil {
		return in.problem(err)
	}
	return h.same(in.hash)
}

// unchanged tells by its size and time whether the file is still what it was when it was opened.
func (h *held) unchanged() error {
	if h.own || h.file == nil {
		return nil
	}
	is, err := h.file.Stat()
	if err != nil {
		return h.problem(err)
	}
	if is.Size() != h.was.Size() || !is.ModTime().Equal(h.was.ModTime()) {
		return h.changed()
	}
	return nil
}

// same compares the hash of a whole reading with that of the run.
func (h *held) same(sum hash.Hash) error {
	if !h.own && h.sum != "" && hex.EncodeToString(sum.Sum(nil)) != h.sum {
		return h.changed()
	}
	return nil
}

// whole compares the hash of a whole reading with that of the run, which it is where none was taken before.
func (h *held) whole(sum hash.Hash) error {
	if h.sum == "" && !h.own {
		h.sum = hex.EncodeToString(sum.Sum(nil))
		return nil
	}
	return h.same(sum)
}

// problem words an error of reading the file; nil stays nil.
func (h *held) problem(err error) error {
	if err == nil {
		return nil
	}
	return &InputError{File: h.name, Message: openProblem(err), Err: err, Hint: readableHint}
}

func (h *held) changed() error {
	return &InputError{File: h.name, Message: errChanged.Error(), Err: errChanged, Hint: changedHint}
}

// putAside closes the file until it is taken up again. A private copy stays open, since its lock ends with it.
func (h *held) putAside() error {
	if h.file == nil || h.own {
		return nil
	}
	return h.closeFile()
}

func (h *held) closeFile() error {
	if h.file == nil {
		return nil
	}
	file := h.file
	h.file = nil
	return file.Close()
}

// takeUp opens the file again that was put aside, and looks whether it is still the same.
func (h *held) takeUp() error {
	if h.file != nil {
		return nil
	}
	file, err := os.Open(h.path)
	if err != nil {
		return h.problem(err)
	}
	h.file = file
	if h.was, err = file.Stat(); err != nil {
		return h.problem(err)
	}
	sum := sha256.New()
	if _, err := io.Copy(sum, io.NewSectionReader(file, 0, h.was.Size())); err != nil {
		return h.problem(err)
	}
	if h.was.Size() != h.size {
		return h.changed()
	}
	return h.same(sum)
}

// close closes the file, and removes a private copy.
func (h *held) close() error {
	err := h.closeFile()
	if h.own {
		err = errors.Join(err, os.Remove(h.path))
	}
	return err
}
