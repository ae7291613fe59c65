package audit

import "math"

// A list may have a row for each thing that was found. Where rows do not say how many units were seen, what one counts may be of the unit that another
// is of, or of one beside it.

// findingCells are the cells of an inspection that its keys do not stand for. Rows that agree in all are one observation told twice.
type findingCells struct {
	name, method, inspector, photo, remark string
	line, circuit, phase                   Symbol
	number                                 string
	side                                   Side
	date                                   Day
	zone, str, broken, flashed             int16
	confidence, lon, lat                   uint64 // bits
	unread                                 InspectionCells
}

// tellFindings tells those apart that were seen of a row and may be of one unit or of several.
func (j *joining) tellFindings(list []sighting) {
	p := j.n.Project
	isFinding := func(s *sighting) bool {
		return s.from > 0 && !s.unknown && p.Inspections.Rows[s.inspection].UnitsSeen < 0
	}
	found := 0
	for i := range list {
		if isFinding(&list[i]) {
			found++
		}
	}
	if found < 2 {
		return
	}
	first := map[findingCells]int{}
	for i := range list {
		s := &list[i]
		if !isFinding(s) {
			continue
		}
		in := &p.Inspections.Rows[s.inspection]
		cells := findingCells{p.Texts.Get(in.Name), p.Texts.Get(in.Method), p.Texts.Get(in.Inspector), p.Texts.Get(in.Photo), p.Texts.Get(in.Remark), in.Line, in.Circuit, in.Phase,
			p.Texts.Get(in.Number), in.Side, in.Date, in.Zone, in.String, in.Broken, in.Flashed, math.Float64bits(in.Confidence), math.Float64bits(in.Lon), math.Float64bits(in.Lat), in.Unread}
		if _, known := first[cells]; !known {
			first[cells] = s.inspection + 1
		}
		s.finding = first[cells]
	}
}

// isApart tells whether two things were seen on different days for sure.
func (s *sighting) isApart(t *sighting) bool {
	return s.isAfter(t.last, t.zone) || t.isAfter(s.last, s.zone)
}

// withOthers is how many units findings of a string come to that are not told apart from one by their days, if each is of another unit: those
// without the ones of too little confidence, and all; and how many others these are. A string of 0 units is of nobody knows how many.
func (s *sighting) withOthers(findings []*sighting, units int16) (sure, all int16, others int) {
	added := map[int]bool{}
	ofSure, of := 0, 0
	for _, t := range findings {
		if added[t.finding] || s.isApart(t) {
			continue
		}
		added[t.finding] = true
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
