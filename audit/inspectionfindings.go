package audit

import (
	"math"
	"slices"
)

// A list may have a row for each thing that was found. What a row counts may be of the unit that another of the day is of, or of one beside it.

// observation is what tells things apart that were seen of the same string on one day. Two whose units seen are stated, and that have the same
// name, picture and remark, are one that was told twice, or by two; so are two of which one is of a string and one of several.
type observation struct {
	circuit, phase      Symbol
	side                Side
	str                 int16
	name, photo, remark string
}

// tellFindings tells those apart that were seen of a row and may be of one unit or of several.
func (j *joining) tellFindings(list []sighting) {
	found := 0
	for i := range list {
		if list[i].isFinding() {
			found++
		}
	}
	if found < 2 {
		return
	}
	p := j.n.Project
	for i := range list {
		if s := &list[i]; s.isFinding() {
			in := &p.Inspections.Rows[s.inspection]
			s.finding = &observation{in.Circuit, in.Phase, in.Side, in.String, p.Texts.Get(in.Name), p.Texts.Get(in.Photo), p.Texts.Get(in.Remark)}
			s.whole = in.UnitsSeen >= 0
		}
	}
}

func (s *sighting) isFinding() bool { return s.from > 0 && !s.unknown }

// isSame tells whether two things that were seen of a string on one day are one.
func (s *sighting) isSame(t *sighting) bool {
	if s == t || !s.whole || !t.whole {
		return s == t
	}
	a, b := *s.finding, *t.finding
	a.name, a.photo, a.remark = b.name, b.photo, b.remark
	return a != b || *s.finding == *t.finding
}

// isApart tells whether two things were seen on different days for sure.
func (s *sighting) isApart(t *sighting) bool {
	return s.isAfter(t.last, t.zone) || t.isAfter(s.last, s.zone)
}

// withOthers is how many units findings of a string come to that are not told apart from one by their days, if each is of another unit: those
// without the ones of too little confidence, and all; and how many others these are. A string of 0 units is of nobody knows how many.
func (s *sighting) withOthers(findings []*sighting, units int16) (sure, all int16, others int) {
	var added []*sighting
	ofSure, of := 0, 0
	for _, t := range findings {
		if s.isApart(t) || slices.ContainsFunc(added, t.isSame) {
			continue
		}
		added = append(added, t)
		if of += int(t.to); !t.low {
			ofSure += int(t.to)
		}
	}
	most := math.MaxInt16
	if units > 0 {
		most = int(units)
	}
	return int16(min(ofSure, most)), int16(min(of, most)), len(added) - 1
}
