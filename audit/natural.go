package audit

import (
	"bytes"
	"cmp"
)

// naturalCompare orders structure numbers and names as people do: runs of digits by their value, the rest letter by
// letter without regard to case, so 7/2 stands before 7/10 and 12 before 12A before 13. Texts that differ only in
// case or leading zeros are ordered by their bytes.
func naturalCompare(a, b []byte) int {
	i, j := 0, 0
	for i < len(a) && j < len(b) {
		if isDigit(a[i]) && isDigit(b[j]) {
			m, n := digitsEnd(a, i), digitsEnd(b, j)
			x, y := bytes.TrimLeft(a[i:m], "0"), bytes.TrimLeft(b[j:n], "0")
			if c := cmp.Or(cmp.Compare(len(x), len(y)), bytes.Compare(x, y)); c != 0 {
				return c
			}
			i, j = m, n
			continue
		}
		if c := cmp.Compare(lower(a[i]), lower(b[j])); c != 0 {
			return c
		}
		i++
		j++
	}
	return cmp.Or(cmp.Compare(len(a)-i, len(b)-j), bytes.Compare(a, b))
}

// NaturalCompare orders texts as people order numbers of structures and names.
func NaturalCompare(a, b string) int { return naturalCompare([]byte(a), []byte(b)) }

func digitsEnd(text []byte, from int) int {
	for from < len(text) && isDigit(text[from]) {
		from++
	}
	return from
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

func lower(c byte) byte {
	if 'A' <= c && c <= 'Z' {
		return c + 'a' - 'A'
	}
	return c
}
