package read

import "io"

// plainJSON lets a JSON decoder read what GeoJSON files hold in practice: a byte order mark and the record separators
// of RFC 8142 become blanks, and the NaN and Infinity that some programs write become null.
type plainJSON struct {
	from   io.Reader
	input  []byte // read and not yet looked at
	output []byte // looked at and not yet given out
	block  []byte
	buffer []byte // what output lies in
	err    error

	started, quoted, escaped bool
}

func newPlainJSON(from io.Reader) *plainJSON {
	return &plainJSON{from: from, block: make([]byte, 64<<10)}
}

// Read gives out the JSON text.
func (r *plainJSON) Read(p []byte) (int, error) {
	for len(r.output) == 0 {
		if r.err != nil && len(r.input) == 0 {
			return 0, r.err
		}
		if r.err == nil {
			n, err := r.from.Read(r.block)
			r.input, r.err = append(r.input, r.block[:n]...), err
		}
		r.translate()
	}
	n := copy(p, r.output)
	r.output = r.output[n:]
	return n, nil
}

// longestWord is the longest word that translate has to see whole.
const longestWord = len("-Infinity")

// translate moves input to output. While more may come it holds back the last bytes, which may be the start of a word.
func (r *plainJSON) translate() {
	if !r.started {
		if len(r.input) < 3 && r.err == nil {
			return
		}
		r.started = true
		if len(r.input) >= 3 && string(r.input[:3]) == "\xef\xbb\xbf" {
			r.input = r.input[3:]
		}
	}
	out, i := r.buffer[:0], 0
	for i < len(r.input) {
		c := r.input[i]
		switch {
		case r.escaped:
			r.escaped = false
		case r.quoted:
			r.escaped, r.quoted = c == '\\', c != '"'
		case c == '"':
			r.quoted = true
		case c == 0x1e:
			c = ' '
		case c == 'N' || c == 'I' || c == '-':
			if len(r.input)-i < longestWord && r.err == nil {
				r.input, r.output, r.buffer = append(r.input[:0], r.input[i:]...), out, out
				return
			}
			if n := notFinite(r.input[i:]); n > 0 {
				out = append(out, "null"...)
				i += n
				continue
			}
		}
		out = append(out, c)
		i++
	}
	r.input, r.output, r.buffer = r.input[:0], out, out
}

// notFinite returns the length of a NaN or Infinity at the start of text, 0 where there is none.
func notFinite(text []byte) int {
	for _, word := range [...]string{"NaN", "Infinity", "-Infinity", "-NaN"} {
		if len(text) >= len(word) && string(text[:len(word)]) == word {
			return len(word)
		}
	}
	return 0
}
