package report

import (
	"bufio"
	"bytes"
	"io"
	"iter"

	"github.com/klauspost/compress/zstd"
)

// spool keeps values as the JSON that is written of them, compressed, until it is known where they go: of a large network there are
// too many to hold as they are.
type spool struct {
	packed pieces
	packer *zstd.Encoder
	line   []byte
	err    error
}

// spoolWindow is how far back what is packed may repeat itself, in bytes: a few hundred records (a choice of this program).
const spoolWindow = 256 << 10

func newSpool() *spool {
	s := &spool{}
	s.packer, s.err = zstd.NewWriter(&s.packed, zstd.WithEncoderLevel(zstd.SpeedFastest), zstd.WithEncoderConcurrency(1), zstd.WithWindowSize(spoolWindow), zstd.WithLowerEncoderMem(true))
	return s
}

func (s *spool) add(value any) {
	if s.err != nil {
		return
	}
	if own, ok := value.(appender); ok {
		s.line = own.appendJSON(s.line[:0])
	} else if s.line, s.err = appendEncoded(s.line[:0], value); s.err != nil {
		return
	}
	s.line = append(s.line, '\n')
	_, s.err = s.packer.Write(s.line)
}

// close ends the adding.
func (s *spool) close() {
	if s.err == nil {
		s.err = s.packer.Close()
	}
	s.packer, s.line = nil, nil
}

// spooled is a value of a spool, the JSON that is written of it.
type spooled []byte

func (v spooled) appendJSON(b []byte) []byte { return append(b, v...) }

// each yields the values in their order, each as long as the next is not asked for. An error goes to out.
func (s *spool) each(out *jsonStream) iter.Seq[spooled] {
	return func(yield func(spooled) bool) {
		if s.err != nil {
			out.fail(s.err)
			return
		}
		unpacked, err := zstd.NewReader(s.packed.reader(), zstd.WithDecoderConcurrency(1), zstd.WithDecoderLowmem(true))
		if err != nil {
			out.fail(err)
			return
		}
		defer unpacked.Close()
		lines := bufio.NewReaderSize(unpacked, 1<<16)
		var whole []byte
		for {
			part, err := lines.ReadSlice('\n')
			if err == nil && len(whole) == 0 { // as most are
				if !yield(spooled(part[:len(part)-1])) {
					return
				}
				continue
			}
			if whole = append(whole, part...); err == bufio.ErrBufferFull {
				continue
			}
			if len(whole) > 0 && !yield(spooled(bytes.TrimSuffix(whole, []byte("\n")))) {
				return
			}
			whole = whole[:0]
			switch err {
			case nil:
			case io.EOF:
				return
			default:
				out.fail(err)
				return
			}
		}
	}
}
