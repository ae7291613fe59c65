package audit

import (
	"cmp"
	"math"

	"dryarc/audit/basis"
)

// VPlace is where a V set holds the conductor in one load case, and how near that is to the body of the structure or a wall, or to the crossarm.
type VPlace struct {
	Load        Load
	ClearanceMM float64
	DistanceMM  float64 // what is left; less than 0 is behind the wall or above the crossarm
	ToArm       bool    // from the crossarm, else from the wall
	// LeanDeg is the angle to the vertical of the load with half of what the strings weigh and catch of the wind; 0 or more to the side that counts,
	// which is that of the wall.
	LeanDeg float64
	Outward bool // that side is the outside of the turn
	LegMM   float64
	AsideMM float64 // of the middle between the attachments, to that side
	BelowMM float64 // the attachments
	WallMM  float64
	Exact   bool // DistanceMM is the distance; else it is no more, or of one that meets no less

	WholeLength
	ByArmLength bool // WallMM is the arm length: the wall is no farther
}

// LegIsSlack tells whether one leg of a V set is slack there.
func (p *VPlace) LegIsSlack(vAngleDeg float64) bool {
	return math.Abs(p.LeanDeg) > vAngleDeg/2 && math.Abs(p.LeanDeg) < 180-vAngleDeg/2
}

// lacksClearance is why nothing tells what a conductor has to keep from the structure.
func (s *Subject) lacksClearance() Reason {
	switch {
	case s.Structure.RoomFaulty && !s.Structure.RoomSuperseded:
		return s.Line.Row.lacks(CellLength)
	case s.Structure.RoomSuperseded:
		return OwnFigureSuperseded
	case !s.Structure.Room.AsksClearance():
		return NoClearance
	}
	return NoReason
}

// NearestOfV is the place at which the conductor of the subject's V set has least left of the clearance of its load case, as a share. reason is
// why it is not known whether it keeps the clearance everywhere: where it is known to fall short in one case, none is asked.
func (s *Subject) NearestOfV() (nearest VPlace, reason Reason) {
	if len(s.Criteria.LoadCases) == 0 {
		return nearest, LoadCasesMissing
	}
	if s.namesOtherCases(s.Structure.Room.ClearancesMM) {
		return nearest, LoadCaseNotNamed
	}
	short, found, lacks := false, false, NoReason
	take := func(p VPlace, isShort bool) {
		if short && !isShort {
			return
		}
		if isShort && !short || !found || p.DistanceMM/p.ClearanceMM < nearest.DistanceMM/nearest.ClearanceMM {
			nearest, found, short = p, true, isShort
		}
	}
	cases := s.cases()
	for i := range cases {
		c := &cases[i]
		load, reason := s.Load(c)
		if reason != NoReason {
			lacks = cmp.Or(lacks, reason)
			continue
		}
		least, most, reason := s.placesOfV(load)
		for k := range most {
			switch {
			case s.Piece() > 0 && s.Piece() != k+1:
			case compare(most[k].DistanceMM, most[k].ClearanceMM) < 0:
				take(most[k], true)
			case compare(least[k].DistanceMM, least[k].ClearanceMM) >= 0:
				take(least[k], false)
			case reason == NoReason:
				reason = s.lacksPlace(&least[k])
			}
		}
		lacks = cmp.Or(lacks, reason)
	}
	if short {
		return nearest, NoReason
	}
	return nearest, lacks
}

// lacksPlace is why the distance at a place is not known well enough, where it is known in part.
func (s *Subject) lacksPlace(p *VPlace) Reason {
	_, missing := s.wholeLength()
	switch {
	case !p.ToArm && !isStated(s.Structure.Room.WallDistanceMM):
		return WallDistanceNotStated
	case missing != NoReason:
		return missing
	case p.ShortestMM < p.LengthMM:
		return s.Assembly.lacksUnitsLength()
	}
	return WallSideNotStated
}

// placesOfV are the places of a V set in a load case, one for its distance from the wall and one for that from the crossarm: the nearest that
// each may be and the farthest, which are the same where all is known. Where what is stated tells nothing of one there is none of it, and
// reason says why.
func (s *Subject) placesOfV(load Load) (least, most []VPlace, reason Reason) {
	room := &s.Structure.Room
	clearance := room.clearanceIn(load.Case)
	if !isStated(clearance) {
		return nil, nil, CaseClearanceNotStated
	}
	if room.wallContradictsArm() {
		return nil, nil, RoomContradicts
	}
	length, missing := s.wholeLength()
	if math.IsNaN(length.LengthMM) {
		return nil, nil, missing
	}
	if missing != FittingsNotStated { // a string of which nothing contradicts itself is no shorter than its units
		reason = missing
	}
	inward, against := s.swingCase(load).Angles()
	sides := [2]VPlace{{LeanDeg: inward}, {LeanDeg: -against, Outward: true}}
	wallMM := room.WallDistanceMM
	if !isStated(wallMM) {
		wallMM = room.armWallMM()
	}
	for k := range sides {
		p := &sides[k]
		p.Load, p.ClearanceMM, p.WholeLength, p.WallMM, p.ByArmLength = load, clearance, length, wallMM, !isStated(room.WallDistanceMM)
	}
	if isStated(wallMM) && s.attachesBehind(wallMM, length.ShortestMM) {
		return nil, nil, AttachmentsInWall
	}
	if isStated(wallMM) {
		near, far := s.nearAndFar(&sides[0], false), s.nearAndFar(&sides[1], false)
		if side, known := s.wallIsOutward(); known {
			near = [...][2]VPlace{near, far}[side]
			far = near
		}
		lo, hi := near[0], near[1]
		if far[0].DistanceMM < lo.DistanceMM {
			lo = far[0]
		}
		if both := room.WallSide == WallsOnBothSides; (far[1].DistanceMM < hi.DistanceMM) == both {
			hi = far[1]
		}
		if !isStated(room.WallDistanceMM) {
			lo.DistanceMM = math.Inf(-1)
		}
		least, most = append(least, lo), append(most, hi)
	} else {
		reason = cmp.Or(reason, WallDistanceNotStated)
	}
	inside, outside := s.nearAndFar(&sides[0], true), s.nearAndFar(&sides[1], true)
	if outside[0].DistanceMM < inside[0].DistanceMM {
		inside[0] = outside[0]
	}
	if outside[1].DistanceMM < inside[1].DistanceMM {
		inside[1] = outside[1]
	}
	least, most = append(least, inside[0]), append(most, inside[1])
	for k := range least {
		exact := least[k].DistanceMM == most[k].DistanceMM
		least[k].Exact, most[k].Exact = exact, exact
	}
	return least, most, reason
}

// attachesBehind tells whether a V set would have to be attached behind a wall at its own level: with legs of no less than a length half its width is more
// than the wall is away from its middle, by more than lengths are believed to be off.
func (s *Subject) attachesBehind(wallMM, legMM float64) bool {
	wall := s.Structure.Room.wall()
	wall.AwayM = wallMM / 1000
	attachedMM := (1 - basis.UnitsLengthShare) * legMM * math.Sin(s.Assembly.VAngleDeg/2*math.Pi/180)
	return wall.DistanceM(attachedMM/1000, 0) < 0
}

// wallIsOutward tells whether the wall stands on the outside of the turn (1) or on the inside (0), where it stands on one side.
func (s *Subject) wallIsOutward() (outward int, known bool) {
	side := s.Structure.Room.WallSide
	if side != WallLeft && side != WallRight {
		return 0, false
	}
	if turnsRight := s.Structure.DeviationDeg > 0; turnsRight != (side == WallRight) {
		return 1, true
	}
	return 0, true
}

// nearAndFar puts the conductor where a load that leans to one side takes it, with legs as short and as long as they may be, and returns the nearer
// place and the farther. Distances grow or shrink by the same for each millimetre of leg; where legs may be of any length, without end.
func (s *Subject) nearAndFar(at *VPlace, toArm bool) (found [2]VPlace) {
	place := func(legMM float64) VPlace {
		p, wall := *at, s.Structure.Room.wall()
		p.ToArm, p.LegMM = toArm, legMM
		if p.AsideMM, p.BelowMM = basis.VHangs(legMM, s.Assembly.VAngleDeg, math.Abs(p.LeanDeg)); p.LeanDeg < 0 {
			p.AsideMM = -p.AsideMM
		}
		if p.DistanceMM = s.Structure.Room.bracketMM() + p.BelowMM; !toArm {
			wall.AwayM = p.WallMM / 1000
			p.DistanceMM = 1000 * wall.DistanceM(p.AsideMM/1000, p.BelowMM/1000)
		}
		return p
	}
	shortest, longest := place(at.ShortestMM), place(at.LengthMM)
	if at.MayBeLonger() {
		twice := place(2 * at.LengthMM)
		switch longest = shortest; {
		case twice.DistanceMM < shortest.DistanceMM:
			longest.DistanceMM = math.Inf(-1)
		case twice.DistanceMM > shortest.DistanceMM:
			longest.DistanceMM = math.Inf(1)
		}
	}
	if longest.DistanceMM < shortest.DistanceMM {
		return [2]VPlace{longest, shortest}
	}
	return [2]VPlace{shortest, longest}
}
