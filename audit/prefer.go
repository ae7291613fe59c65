package audit

import "strings"

// Preference is a respect in which one remedy is better than another.
type Preference uint8

// The respects.
const (
	FewestChanges Preference = iota // the smaller move, then fewer units to fit
	LeastPrice
	LeastLength
)

// PreferenceWords are the spellings of the criterion remedy.
func PreferenceWords() []Spelling[Preference] {
	return []Spelling[Preference]{{"fewest changes", FewestChanges}, {"price", LeastPrice}, {"length", LeastLength}}
}

func (p Preference) String() string { return PreferenceWords()[p].Text }

// MarshalText writes the word of a preference.
func (p Preference) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// RemedyRule says how remedies are chosen.
type RemedyRule struct {
	Prefer []Preference `json:"prefer"` // what counts first; nil where not stated
}

// Order is the order in which the respects count: those stated, then the others in their own order.
func (r *RemedyRule) Order() (order []Preference) {
	seen := [LeastLength + 1]bool{}
	for _, p := range append(r.Prefer[:len(r.Prefer):len(r.Prefer)], FewestChanges, LeastPrice, LeastLength) {
		if !seen[p] {
			order, seen[p] = append(order, p), true
		}
	}
	return order
}

// OrderInWords says what counts first: "fewest changes, then price, then length".
func OrderInWords(order []Preference) string {
	words := make([]string, len(order))
	for i, p := range order {
		words[i] = p.String()
	}
	return strings.Join(words, ", then ")
}
