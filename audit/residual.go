package audit

import (
	"cmp"
	"math"
	"strings"
)

// ResidualStrength says what share of its rating a string with defective discs keeps, by the material of its units. There is
// no default: without it the strength of such strings is not assessed.
type ResidualStrength []ResidualShare

// ResidualShare is the share for one material.
type ResidualShare struct {
	Material string  `json:"material"`
	Share    float64 `json:"share"`
}

// share is the share for a material, in any case of its letters; ok is false where there is none.
func (r ResidualStrength) share(material string) (share float64, ok bool) {
	for _, rule := range r {
		if strings.EqualFold(rule.Material, strings.TrimSpace(material)) {
			return rule.Share, true
		}
	}
	return 0, false
}

// LeftKN is the rating of the worst string as it hangs there, with its defective units. Any of its units may be a defective one,
// so the weakest governs. A long rod or composite with a defect has none left. Where reason says why it is not known it is kN at most, since a share of
// a rating is no more than that: NaN where nothing tells.
func (a *Assembly) LeftKN(c *Criteria) (kN float64, reason Reason) {
	rating := a.RatingKN()
	switch {
	case a.Defective < 0:
		return rating, a.lacks(true, CellDefective, DefectiveNotStated)
	case a.Defective == 0:
		return rating, NoReason
	case a.HasFailed():
		return 0, NoReason
	case a.Makeup == nil:
		return math.NaN(), a.lacksString()
	}
	kN = rating
	for _, unit := range a.Units() {
		share, ok := c.ResidualStrength.share(unit.Material)
		switch {
		case !ok && a.Faulty.Has(CellUnit):
			return math.NaN(), FaultyField
		case !ok && len(c.ResidualStrength) > 0 && strings.TrimSpace(unit.Material) == "":
			reason, share = cmp.Or(reason, MaterialUnknown), 1
		case !ok:
			reason, share = cmp.Or(reason, ResidualNotStated), 1
		}
		whole := unit.RatingKN
		if !math.IsNaN(a.Direct.RatingKN) {
			whole = a.Direct.RatingKN
		}
		kN = math.Min(kN, share*whole)
	}
	return kN, reason
}
