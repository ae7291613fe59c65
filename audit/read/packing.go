package read

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"strings"

	"github.com/klauspost/compress/gzip"
	"github.com/klauspost/compress/zstd"
)

// packing is how an input is compressed.
type packing string

const (
	notPacked packing = ""
	byGzip    packing = "gzip"
	byZstd    packing = "zstd"
)

// packingMark is how many bytes at the start of a file tell how it is compressed.
const packingMark = 4

// packingOf tells how a file is compressed by its first bytes. What several programs at a time have packed by zstd begins with a frame to be
// skipped, whose mark is one of sixteen.
func packingOf(start []byte) packing {
	switch {
	case bytes.HasPrefix(start, []byte("\x1f\x8b")):
		return byGzip
	case bytes.HasPrefix(start, []byte("\x28\xb5\x2f\xfd")), len(start) >= packingMark && start[0]&0xf0 == 0x50 && string(start[1:packingMark]) == "\x2a\x4d\x18":
		return byZstd
	}
	return notPacked
}

// packedEndings are what the names of compressed files end in.
func packedEndings() []string { return []string{".gz", ".zst"} }

// unpackedName is a name without the ending of compressed files, whatever its case.
func unpackedName(name string) string {
	for _, ending := range packedEndings() {
		if at := len(name) - len(ending); at >= 0 && strings.EqualFold(name[at:], ending) {
			return name[:at]
		}
	}
	return name
}

// farthestBack is how far what is unpacked by zstd may reach back, in bytes: what its own program takes without being asked.
const farthestBack = 128 << 20

// open starts to unpack.
func (p packing) open(raw *bufio.Reader) (io.Reader, error) {
	if p == byZstd {
		// without workers of its own nothing has to be closed
		content, err := zstd.NewReader(raw, zstd.WithDecoderConcurrency(1), zstd.WithDecoderLowmem(true), zstd.WithDecoderMaxWindow(farthestBack))
		if err != nil {
			return nil, err
		}
		return &failsOn{from: content}, nil
	}
	zip, err := gzip.NewReader(raw)
	if err != nil {
		return nil, err
	}
	zip.Multistream(false)
	return &failsOn{from: &gzipMembers{raw, zip}}, nil
}

// errCutShort is that of what is compressed and ends too early. It is an error of its own, since io.ErrUnexpectedEOF is also what filling a
// block says of a content that ends as it should.
var errCutShort = errors.New("unexpected EOF")

// failsOn goes on failing where reading failed once: the error may be met by somebody who only looks ahead, and what follows it must not
// be taken for the end.
type failsOn struct {
	from io.Reader
	err  error
}

func (f *failsOn) Read(p []byte) (n int, err error) {
	if f.err == nil {
		if n, f.err = f.from.Read(p); f.err == io.ErrUnexpectedEOF {
			f.err = errCutShort
		}
	}
	return n, f.err
}

// gzipMembers unpacks all members of a file, behind the last of which there may be zero bytes: tapes and some file systems pad so.
type gzipMembers struct {
	raw *bufio.Reader
	zip *gzip.Reader
}

func (g *gzipMembers) Read(p []byte) (int, error) {
	n, err := g.zip.Read(p)
	switch {
	case err != io.EOF:
		return n, err
	case n > 0:
		return n, nil
	}
	padded := false
	for {
		c, err := g.raw.ReadByte()
		switch {
		case err != nil:
			return 0, err // the end, most likely
		case c == 0:
			padded = true
			continue
		case padded:
			return 0, gzip.ErrHeader
		}
		if err := g.raw.UnreadByte(); err != nil {
			return 0, err
		}
		if err := g.zip.Reset(g.raw); err != nil {
			return 0, err
		}
		g.zip.Multistream(false)
		return g.Read(p)
	}
}
