package audit

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"dryarc/audit/basis"
)

// Ageing says from what age assemblies get a note, by the type of their units or by the material. There is no default: without it no age is looked at.
type Ageing []AgeRule

// AgeRule is the age for one type or material.
type AgeRule struct {
	Of    string  `json:"of"`
	Years float64 `json:"years"`
}

// years is the age for a unit: that of its type, else that of its material, in any case of their letters. ok is false where there is none.
func (r Ageing) years(unit *basis.Unit) (years float64, ok bool) {
	for _, name := range [...]string{unit.Name, strings.TrimSpace(unit.Material)} {
		for _, rule := range r {
			if name != "" && strings.EqualFold(rule.Of, name) {
				return rule.Years, true
			}
		}
	}
	return math.NaN(), false
}

// ofNone are the names that no unit is called by or made of.
func (r Ageing) ofNone(units []basis.Unit) (names []string) {
	for _, rule := range r {
		if !slices.ContainsFunc(units, func(u basis.Unit) bool {
			return strings.EqualFold(rule.Of, u.Name) || strings.EqualFold(rule.Of, strings.TrimSpace(u.Material))
		}) {
			names = append(names, rule.Of)
		}
	}
	return names
}

// Aged is how old what hangs at a structure is, against the ages that the criteria state. Nothing is known while nobody asks.
type Aged struct {
	// Of what is the most above its age, or else the nearest below: years since it was installed, at least, or at most where it is not above, and its age.
	Years, Limit float64
	Since        Day // when it was installed
	Looked       int32
	Unknown      int32 // assemblies of which it is not known whether they are above their age
	Later        bool  // some of them are stated to be installed after the day of the audit
}

// aged tells how old what hangs at the structure at hand is.
func (v *visitor) aged(rules Ageing) Aged {
	n, p := v.n, v.n.Project
	g := Aged{Years: math.NaN(), Limit: math.NaN(), Since: NoDay}
	for i := range v.assemblies {
		a := &v.assemblies[i]
		limit, open := a.ageLimit(rules)
		if math.IsNaN(limit) && !open {
			continue
		}
		g.Looked++
		if math.IsNaN(limit) || a.Row < 0 || v.tried(a.Row) {
			g.Unknown++
			continue
		}
		at := uint32(a.Row)
		row := p.Assemblies.At(a.Row)
		n.lessWhatRepeatsDeny(v.structure.Index, at, &row, 0, nil)
		if row.Makeup == 0 {
			g.Unknown++
			continue
		}
		installed := []Day{row.Installed}
		if k, paired := slices.BinarySearchFunc(n.pairs, at, func(of pair, row uint32) int { return cmp.Compare(of.first, row) }); paired {
			first, second := p.Assemblies.At(a.Row), p.Assemblies.At(int(n.pairs[k].second))
			installed = []Day{first.Installed, second.Installed}
		}
		for _, day := range installed {
			least, most := p.yearsSince(day)
			switch {
			case !(most >= 0): // not known, or after the day of the audit
				g.Unknown++
				g.Later = g.Later || day.isBeyond(p.AsOf)
				continue
			case compare(least, limit) <= 0 && (open || compare(most, limit) > 0):
				g.Unknown++
			}
			years := least
			if compare(most, limit) <= 0 {
				years = most
			}
			if !(years-limit <= g.Years-g.Limit) {
				g.Years, g.Limit, g.Since = years, limit, day
			}
		}
	}
	return g
}

// ageLimit is the least age that is stated for the units of an assembly, NaN where none is; open tells that there may be a lesser one, since the type or the
// material of a unit is not known.
func (a *Assembly) ageLimit(rules Ageing) (limit float64, open bool) {
	if a.Makeup == nil || a.Faulty.Has(CellUnit) {
		return math.NaN(), true
	}
	limit = math.NaN()
	for _, unit := range a.Units() {
		years, ok := rules.years(unit)
		switch {
		case ok && !(years >= limit):
			limit = years
		case !ok && strings.TrimSpace(unit.Material) == "":
			open = true
		}
	}
	return limit, open
}

// yearsSince are the years from a date to the day of the audit, at least and at most as the date is given; NaN where either is not known, or
// the date has not been.
func (p *Project) yearsSince(day Day) (least, most float64) {
	if day == NoDay || p.AsOf == NoDay || p.AsOf == 0 || day.isBeyond(p.AsOf) {
		return math.NaN(), math.NaN()
	}
	from, to := day.Between()
	return float64(p.AsOf-to) / daysAYear, float64(p.AsOf-from) / daysAYear
}

const daysAYear = 365.25
