package audit

import (
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"math/bits"
	"slices"
	"strconv"
)

// idDigits is the length of an exception's id: at 48 bits two of a million exceptions share one in one run of five hundred.
const idDigits = 12

// ExceptionIDs returns the ids of the exceptions, in their order: hashes of check, line, structure, far structure, circuit, phase and
// side as text, so that the same exception has the same id in the next run, whatever became of the rows around it. Where two
// texts share the digits, both ids are lengthened until they differ. Where the texts are the same, as of two rows of the earth
// wire, the second along the line has -2 behind it, and so on.
func (r *Result) ExceptionIDs() []string {
	r.identifying.Do(func() { r.ids = r.findIDs() })
	return r.ids
}

// startOfHash is what hashes of exceptions are sorted by, as most differ in it.
type startOfHash struct {
	start     uint64
	exception int
}

func (r *Result) findIDs() []string {
	ids := make([]string, len(r.Exceptions))
	full := make([][sha256.Size]byte, len(r.Exceptions))
	order := make([]startOfHash, len(r.Exceptions))
	var text, hash []byte
	for i := range r.Exceptions {
		text = r.Key(i).append(text[:0])
		full[i] = sha256.Sum256(text)
		order[i] = startOfHash{binary.BigEndian.Uint64(full[i][:]), i}
	}
	slices.SortFunc(order, func(a, b startOfHash) int {
		if c := cmp.Compare(a.start, b.start); c != 0 {
			return c
		}
		if c := slices.Compare(full[a.exception][:], full[b.exception][:]); c != 0 {
			return c
		}
		return r.Network.compareLocations(&r.Exceptions[a.exception].Location, &r.Exceptions[b.exception].Location)
	})
	are := func(a, b startOfHash) bool { return a.start == b.start && full[a.exception] == full[b.exception] }
	nth := 0
	for k, is := range order {
		i := is.exception
		hash = hex.AppendEncode(hash[:0], full[i][:])
		digits := idDigits
		for _, beside := range [...]int{k - 1, k + 1} {
			if beside >= 0 && beside < len(order) && !are(order[beside], is) {
				if differ := order[beside].start ^ is.start; differ != 0 {
					digits = max(digits, 1+bits.LeadingZeros64(differ)/4)
				} else {
					digits = max(digits, 1+shared(full[order[beside].exception], full[i]))
				}
			}
		}
		if nth++; k == 0 || !are(order[k-1], is) {
			nth = 1
		}
		if ids[i] = string(hash[:digits]); nth > 1 {
			ids[i] += "-" + strconv.Itoa(nth)
		}
	}
	return ids
}

// shared is how many hexadecimal digits two hashes have in common at their start.
func shared(a, b [sha256.Size]byte) int {
	const most = 2*sha256.Size - 1
	for n := range a {
		switch differ := a[n] ^ b[n]; {
		case differ >= 1<<4:
			return 2 * n
		case differ > 0:
			return 2*n + 1
		}
	}
	return most
}
