package basis

import "strings"

// SameCoupling tells whether two designations of a coupling mean the same: 16, 16 mm and 16A of IEC 60120 are one ball and
// socket, 16B is another (value from memory).
func SameCoupling(a, b string) bool { return couplingKey(a) == couplingKey(b) }

func couplingKey(text string) string {
	key := strings.ToLower(strings.Join(strings.Fields(text), ""))
	key = strings.TrimSuffix(key, "mm")
	if size := strings.TrimSuffix(key, "a"); size != "" && strings.Trim(size, "0123456789") == "" {
		return size
	}
	return key
}
