package audit

import (
	"cmp"
	"math"
	"strings"

	"dryarc/audit/basis"
)

// heightM is the height of the conductor's attachment above sea level, or the ground level on a line none of whose structures
// states its attachment height: the conductor is then taken to hang equally high everywhere. On any other line the height of a
// structure that leaves it blank is unknown, so that no span is judged on both bases.
func (n *Network) heightM(line *Line, i int) float64 {
	groundM := n.own(i).GroundM
	if line.AttachmentsStated {
		return groundM + n.said(i).AttachmentM
	}
	return groundM
}

func zeroIfNone(figure float64) float64 {
	if math.IsNaN(figure) {
		return 0
	}
	return figure
}

// setProfile fills what loads need of the spans of a structure.
func (n *Network) setProfile(s *Structure, line *Line, previous, i, next int) {
	s.WindSpanM = basis.WindSpan(zeroIfNone(s.SpanBackM), zeroIfNone(s.SpanAheadM))
	s.HeightBackM, s.HeightM, s.HeightAheadM = math.NaN(), n.heightM(line, i), math.NaN()
	here := n.said(i)
	s.OwnErrorsM[1], s.ByZero[1] = n.ownErrorM(here), here.ByZero
	s.RulingBackM, s.RulingAheadM = math.NaN(), n.profiles[i].rulingAheadM
	if previous >= 0 {
		back := n.said(previous)
		s.HeightBackM, s.TerrainBack = n.heightM(line, previous), back.Terrain != 0
		s.RulingBackM = n.profiles[previous].rulingAheadM
		s.OwnErrorsM[0], s.ByZero[0] = n.ownErrorM(back), back.ByZero
		s.CarriesBack = n.carried(line, previous)
		s.NoRiseBack = n.noRise(line, previous, i)
		if s.DatumTakenBack = n.datums(previous, i) == datumTaken; s.NoRiseBack == DatumsDiffer {
			s.HeightBackM = math.NaN()
		}
		s.SlackBack = (back.Role == Gantry) != (here.Role == Gantry)
	}
	if next >= 0 {
		ahead := n.said(next)
		s.HeightAheadM, s.TerrainAhead = n.heightM(line, next), ahead.Terrain != 0
		s.OwnErrorsM[2], s.ByZero[2] = n.ownErrorM(ahead), ahead.ByZero
		s.CarriesAhead = n.carried(line, i)
		s.NoRiseAhead = n.noRise(line, i, next)
		if s.DatumTakenAhead = n.datums(i, next) == datumTaken; s.NoRiseAhead == DatumsDiffer {
			s.HeightAheadM = math.NaN()
		}
		s.SlackAhead = (ahead.Role == Gantry) != (here.Role == Gantry)
	}
}

// ownErrorM is the standard error in m that is stated of the raster that the level of a structure is from, 0 for none.
func (n *Network) ownErrorM(of *saidStructure) float64 {
	if number := of.Terrain; number != 0 {
		return n.Project.Terrain[number-1].AccuracyM
	}
	return 0
}

// leavesAccuracyOut tells whether a level of a line comes from a raster of which no accuracy is stated.
func (n *Network) leavesAccuracyOut(l int) bool {
	for i := n.Lines[l].First; i < n.Lines[l].End; i++ {
		if said := n.said(i); said.Terrain != 0 && n.ownErrorM(said) == 0 {
			return true
		}
	}
	return false
}

// noRise is why the height of one of two structures is not known, NoReason where both are.
func (n *Network) noRise(line *Line, a, b int) (reason Reason) {
	for _, i := range [...]int{a, b} {
		row := n.said(i)
		switch {
		case row.Faulty.Has(CellGround), line.AttachmentsStated && row.Faulty.Has(CellAttachment):
			return FaultyField
		case math.IsNaN(n.own(i).GroundM):
			reason = noGround(row.NoGround)
		case reason == NoReason && line.AttachmentsStated && math.IsNaN(row.AttachmentM):
			reason = AttachmentUnknown
		}
	}
	if reason == NoReason && n.datums(a, b) == datumsDiffer {
		return DatumsDiffer
	}
	return reason
}

// noGround is why a ground level is not known that no cell leaves so: the rasters' reason, else that nobody states one.
func noGround(byRasters Reason) Reason { return cmp.Or(byRasters, GroundUnknown) }

// isNoGround tells whether a reason is one of those.
func (r Reason) isNoGround() bool { return r >= GroundUnknown && r <= GroundTorn }

// datums is what is known of the vertical datums of the levels of two structures.
func (n *Network) datums(a, b int) datums {
	from, to := n.said(a).Terrain, n.said(b).Terrain
	if from == to || math.IsNaN(n.own(a).GroundM) || math.IsNaN(n.own(b).GroundM) {
		return oneDatum
	}
	var of [2]string
	for k, number := range [...]uint16{from, to} {
		if number != 0 {
			of[k] = n.Project.Terrain[number-1].Vertical
		}
	}
	switch {
	case of[0] == "" || of[1] == "":
		return datumTaken
	case strings.EqualFold(of[0], of[1]):
		return oneDatum
	}
	return datumsDiffer
}

// datums tells whether two levels are above one vertical datum.
type datums uint8

const (
	oneDatum     datums = iota // both stated, of one raster, or of rasters that name the same
	datumTaken                 // at most one of them is known: they are taken to be
	datumsDiffer               // both are known and differ
)

// WeightSpanM is the length of conductor that hangs on the structure, from low point to low point of exact catenaries on
// horizontal distances, in m. constantM is the catenary constant T/w. At a line end it is the share of the one span.
// NaN where a ground level is unknown or a span has no length.
func (s *Structure) WeightSpanM(constantM float64) float64 {
	switch noBack, noAhead := math.IsNaN(s.SpanBackM), math.IsNaN(s.SpanAheadM); {
	case noBack && noAhead:
		return 0
	case noBack:
		return basis.LowPoint(s.SpanAheadM, s.HeightAheadM-s.HeightM, constantM)
	case noAhead:
		return basis.FromLowPoint(s.SpanBackM, s.HeightM-s.HeightBackM, constantM)
	}
	return basis.WeightSpan(s.SpanBackM, s.SpanAheadM, s.HeightBackM, s.HeightM, s.HeightAheadM, constantM)
}

// arcM is the length of conductor of which that is the horizontal distance, along its arc on both sides, in m, between two spans.
func (s *Structure) arcM(constantM float64) float64 {
	return basis.ArcFromLowPoint(basis.FromLowPoint(s.SpanBackM, s.HeightM-s.HeightBackM, constantM), constantM) +
		basis.ArcFromLowPoint(basis.LowPoint(s.SpanAheadM, s.HeightAheadM-s.HeightM, constantM), constantM)
}

// TerrainErrors are the standard errors of the ground levels behind, here and ahead, in m, 0 where a level is stated, NaN where the accuracy of its
// raster is not; false where none comes from a raster whose accuracy is stated.
func (s *Subject) TerrainErrors() (errorsM [3]float64, any bool) {
	st := s.Structure
	if st == nil {
		return errorsM, false
	}
	for i, from := range [...]bool{st.TerrainBack, st.Terrain != 0, st.TerrainAhead} {
		switch {
		case !from:
		case st.OwnErrorsM[i] > 0:
			errorsM[i], any = st.OwnErrorsM[i], true
		case s.Criteria.TerrainAccuracyM.Known():
			errorsM[i], any = s.Criteria.TerrainAccuracyM.Value, true
		default:
			errorsM[i] = math.NaN()
		}
	}
	return errorsM, any
}

// Taken is what is taken for granted of the ground levels here and at the far ends of the spans behind and ahead, as far as these are asked for.
func (s *Subject) Taken(back, ahead bool) (set Taken) {
	st := s.Structure
	if back && st.DatumTakenBack || ahead && st.DatumTakenAhead {
		set |= OneDatumTaken
	}
	known, leftOut := false, false
	e, _ := s.TerrainErrors()
	for i, asked := range [...]bool{back, true, ahead} {
		known = known || asked && e[i] > 0
		leftOut = leftOut || asked && math.IsNaN(e[i])
		if asked && st.ByZero[i] {
			set |= ZeroTaken
		}
	}
	if known && leftOut {
		set |= AccuracyLeftOut
	}
	return set
}

// LowPointSlopes are by how much the low points behind and ahead of a structure move for each metre of rise, 0 where there is no span.
func (s *Structure) LowPointSlopes(constantM float64) (back, ahead float64) {
	return zeroIfNone(basis.LowPointSlope(s.SpanBackM, s.HeightM-s.HeightBackM, constantM)), zeroIfNone(basis.LowPointSlope(s.SpanAheadM, s.HeightAheadM-s.HeightM, constantM))
}

// WeightSpanSigmaM is the standard error of a weight span by ground levels from rasters, in m, 0 where nothing tells it, or not that of each.
// constantM is the catenary constant.
func (s *Subject) WeightSpanSigmaM(constantM float64) float64 {
	e, any := s.TerrainErrors()
	if !any {
		return 0
	}
	back, ahead := s.Structure.LowPointSlopes(constantM)
	return zeroIfNone(basis.WeightSpanSigma(e[0], e[1], e[2], back, ahead))
}

// OffLevels is the subject with what rests on ground levels from rasters some standard errors larger than these give it, or smaller: the
// weight spans of its loads, the pull of a span where it is attached, and its own level, as far as altitude goes by it.
func (s *Subject) OffLevels(sigmas int8) *Subject {
	off := *s
	off.sigmas, off.loads = sigmas, nil
	if e, _ := s.TerrainErrors(); e[1] > 0 {
		st := *s.Structure
		st.GroundM = min(max(st.GroundM+float64(sigmas)*e[1], basis.LeastAltitudeM), basis.MostAltitudeM)
		off.Structure = &st
	}
	return &off
}

// riseErrorM is the standard error of the rise of the span on one side, in m, 0 where nothing tells it, or not that of both ends.
func (s *Subject) riseErrorM(side Side) float64 {
	e, _ := s.TerrainErrors()
	if side == Back {
		return zeroIfNone(math.Hypot(e[0], e[1]))
	}
	return zeroIfNone(math.Hypot(e[1], e[2]))
}

// farFromLowPoint is how far the attachment of a span is from its low point, in m, given how far that is at a rise: with the rise some
// standard errors off, to where the pull is larger, or smaller.
func (s *Subject) farFromLowPoint(side Side, riseM float64, at func(riseM float64) float64) float64 {
	x := at(riseM)
	off := math.Abs(float64(s.sigmas)) * s.riseErrorM(side)
	if off == 0 || math.IsNaN(x) {
		return x
	}
	a, b := at(riseM-off), at(riseM+off)
	switch {
	case s.sigmas > 0:
		return math.Max(math.Abs(a), math.Abs(b))
	case a*b < 0: // between them is a rise with the low point here
		return 0
	}
	return math.Min(math.Abs(a), math.Abs(b))
}

// ChordSlope is the rise of the span ahead of a structure over its length, NaN where unknown.
func (n *Network) ChordSlope(line, i int) float64 {
	l := &n.Lines[line]
	next := n.next(l, i)
	if next < 0 || n.datums(i, next) == datumsDiffer {
		return math.NaN()
	}
	return basis.ChordSlope(n.courses[i].spanAheadM, n.heightM(l, next)-n.heightM(l, i))
}
