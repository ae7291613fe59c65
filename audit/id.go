package audit

import (
	"crypto/sha256"
	"encoding/hex"
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

func (r *Result) findIDs() []string {
	ids := make([]string, len(r.Exceptions))
	full := make([][sha256.Size]byte, len(r.Exceptions))
	order := make([]int, len(r.Exceptions))
	var text, hash []byte
	for i := range r.Exceptions {
		text = r.Key(i).append(text[:0])
		full[i], order[i] = sha256.Sum256(text), i
	}
	slices.SortFunc(order, func(a, b int) int {
		if c := slices.Compare(full[a][:], full[b][:]); c != 0 {
			return c
		}
		return r.Network.compareLocations(&r.Exceptions[a].Location, &r.Exceptions[b].Location)
	})
	nth := 0
	for k, i := range order {
		hash = hex.AppendEncode(hash[:0], full[i][:])
		digits := idDigits
		for _, beside := range [...]int{k - 1, k + 1} {
			if beside >= 0 && beside < len(order) && full[order[beside]] != full[i] {
				digits = max(digits, 1+shared(full[order[beside]], full[i]))
			}
		}
		if nth++; k == 0 || full[order[k-1]] != full[i] {
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
