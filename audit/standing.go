package audit

import (
	"math"

	"dryarc/audit/basis"
)

// Standing is how far a verdict is from its limit, in standard errors of what it goes by.
type Standing struct {
	// Errors is the distance over the standard error, below 0 where the subject falls short; NaN where no error that is stated brings the verdict towards
	// its limit.
	// Where borders of zones move it too it is the lesser of both.
	Errors float64
	// Sigmas are by input the standard errors of observed less required, in Measure; of borders that of their distance, in metres. 0 where the input
	// moves nothing or nobody states its error.
	Sigmas  [UncertainInputs]float64
	Measure string
	// Part names the part of the verdict that this is of, where the check judges several and its figures, Observed and Required, are not the verdict's.
	Part               string
	Observed, Required Value
	// Distance is that of the verdict from its limit, in Measure, and BorderM how far the border is beyond which the outcome is another; both below
	// 0 where the subject falls short, NaN where there is none.
	Distance, BorderM float64
	// Unstated are the inputs that may move it and of which nobody states a standard error.
	Unstated [UncertainInputs]bool
}

// Moves tells whether any input moves the verdict.
func (s *Standing) Moves() bool { return !math.IsNaN(s.Errors) }

// Uncertainty finds how verdicts of a network stand by the errors of their inputs. It is safe for concurrent use.
type Uncertainty struct {
	n       *Network
	borders *borders
}

// NewUncertainty makes a network that is derived ready for it.
func NewUncertainty(n *Network) *Uncertainty { return &Uncertainty{n, n.newBorders()} }

// AnyStated tells whether a line's criteria, or a raster that gives levels, state a standard error.
func (u *Uncertainty) AnyStated(line int) bool {
	c := u.n.Criteria(line)
	for input := range UncertainInputs {
		if input.accuracy(c).Known() {
			return true
		}
	}
	for i := range u.n.Project.Terrain {
		if u.n.Project.Terrain[i].AccuracyM > 0 {
			return true
		}
	}
	return false
}

// Stated is what is stated of the errors of an input beside a subject.
func (u *Uncertainty) Stated(of Uncertain, s *Subject) StandardError {
	rasters := map[uint16]bool{}
	for _, i := range [...]int{u.n.previous(s.Line, s.Structure.Index), s.Structure.Index, u.n.next(s.Line, s.Structure.Index)} {
		if i >= 0 && u.n.said(i).Terrain != 0 {
			rasters[u.n.said(i).Terrain] = true
		}
	}
	return u.n.standardError(of, s.Criteria, rasters)
}

// Standing is how a verdict of a check on an assembly stands.
func (u *Uncertainty) Standing(check *Check, s *Subject, v *Verdict) (standing Standing) {
	standing = Standing{Errors: math.NaN(), Distance: math.NaN(), BorderM: math.NaN(), Measure: v.Required.Measure}
	if check.Errs == 0 || s.Assembly == nil || v.Outcome != Meets && v.Outcome != FallsShort {
		return standing
	}
	_, standing.Unstated = inputsBeside(s, check.Errs, len(u.n.Zones) > 0)
	if m := decisive(check.movers(s, v)); m != nil {
		standing.take(m, v)
	}
	if check.Errs&ErrsZone == 0 {
		return standing
	}
	sigmaM := math.Hypot(zeroIfNone(s.Criteria.ZoneAccuracyM.Value), zeroIfNone(s.Criteria.PositionAccuracyM.Value))
	distM := u.borderM(&mover{check: check, base: s, verdict: *v}, u.borders.around(s.Structure, sigmaM))
	if math.IsNaN(distM) {
		return standing
	}
	standing.Sigmas[OfZoneBorders], standing.BorderM = sigmaM, distM
	if v.Outcome == FallsShort {
		standing.BorderM = -distM
	}
	if byBorder := standing.BorderM / sigmaM; !(math.Abs(standing.Errors) < distM/sigmaM) {
		standing.Errors = byBorder
	}
	return standing
}

// take takes what is known of the part of a verdict that decides.
func (s *Standing) take(m *mover, v *Verdict) {
	if !math.IsNaN(m.apart) {
		s.Distance, s.Errors = m.distance, m.apart
		for i, step := range m.toward {
			s.Sigmas[m.of[i]] = math.Hypot(s.Sigmas[m.of[i]], step)
		}
	}
	s.Measure, s.Observed, s.Required = m.verdict.Required.Measure, m.verdict.Observed, m.verdict.Required
	if m.part != nil && (s.Observed != v.Observed || s.Required != v.Required) {
		s.Part = m.part.inWords(m.check, m.base)
	}
}

// statesErrors tells whether criteria state errors of heights or tensions, which no check has a band for: verdicts within them get a remark.
func (c *Criteria) statesErrors() bool {
	return c.HeightAccuracyM.Known() || c.TensionAccuracyPercent.Known()
}

// isWithinErrors tells whether another outcome is within two standard errors of what a verdict goes by, borders of zones left aside.
func (c *Check) isWithinErrors(s *Subject, v *Verdict) bool {
	alone := *s
	alone.Repeats = nil
	m := decisive(c.movers(&alone, v))
	return m != nil && math.Abs(m.apart) < basis.SurveyBandSigmas
}

// borderM is how near the border is beyond which the outcome is another, NaN where none is near.
func (u *Uncertainty) borderM(m *mover, steps zoneSteps) float64 {
	nearest := math.NaN()
	for _, side := range [...][]zoneStep{steps.more, steps.less} {
		for _, step := range side {
			if nearest <= step.distM {
				break
			}
			if there := u.inZone(m, step.zone); there.byItself() != m.verdict.Outcome {
				nearest = step.distM
				break
			}
		}
	}
	return nearest
}

// inZone is the verdict where the structure stands in another zone.
func (u *Uncertainty) inZone(m *mover, zone int32) Verdict {
	of := *m.base
	of.Structure, of.off = u.borders.standIn(*m.base.Structure, zone), true
	v, _ := m.check.try(&of, nil)
	return v
}

// mover judges a subject with figures beside it off.
type mover struct {
	check    *Check
	base     *Subject
	part     *aspect // that alone counts for base; nil where all do
	verdict  Verdict
	distance float64 // of the verdict from its limit, below 0 where it falls short
	errors   off
	of       [offFigures]Uncertain
	toward   off     // by how much each figure, off by its standard error, brings the verdict towards its limit, or beyond
	signs    off     // on which side of each that is
	straight bool    // the deviation brings it there as far as straight, and away beyond
	apart    float64 // the distance in standard errors, NaN where nothing brings the verdict towards its limit
}

func (c *Check) mover(s *Subject, v *Verdict) mover {
	m := mover{check: c, base: s, verdict: *v}
	m.errors, m.of = errorsBeside(s, c.Errs)
	return m
}

// byItself is the outcome of a verdict by its own figures: what falls short as built falls short all the more without its defective units.
func (v *Verdict) byItself() Outcome {
	if v.Reason == AsBuiltFallsShort {
		return FallsShort
	}
	return v.Outcome
}

// distanceOf is how far a verdict is from its limit, below 0 where it falls short; NaN where no figures say it.
func distanceOf(v *Verdict) float64 {
	distance := math.Abs(v.Observed.Number - v.Required.Number)
	switch v.Outcome {
	case Meets:
		return distance
	case FallsShort:
		return -distance
	}
	return math.NaN()
}

// at is the verdict with the figures off.
func (m *mover) at(by *off) Verdict {
	of := m.base.displaced(by)
	v, _ := m.check.try(&of, nil)
	return v
}

// step is by how much figures that are off bring the verdict towards its limit, or beyond, and away from it below 0; NaN where the outcome is another
// that has no distance.
func (m *mover) step(by *off) float64 {
	v := m.at(by)
	step := m.distance - distanceOf(&v)
	switch {
	case v.Observed.Measure == m.verdict.Observed.Measure && !math.IsNaN(step):
	case v.byItself() == m.verdict.Outcome:
		return 0
	default:
		return math.NaN()
	}
	if m.verdict.Outcome == FallsShort {
		return -step
	}
	return step
}

// bothSigns are the sides on which a figure may be off.
var bothSigns = [...]float64{1, -1}

// prepare finds what brings the verdict nearer to its limit.
func (m *mover) prepare() {
	m.distance, m.apart = distanceOf(&m.verdict), math.NaN()
	if math.IsNaN(m.distance) {
		return
	}
	for i, e := range m.errors {
		if e == 0 {
			continue
		}
		var steps [len(bothSigns)]float64
		for side, sign := range bothSigns {
			var by off
			by[i] = sign * e
			steps[side] = m.step(&by)
		}
		for side, step := range steps {
			if math.IsNaN(step) { // another outcome, as far away as the other side tells
				if step = -steps[1-side]; !(step > 0) {
					step = math.Abs(m.distance)
				}
			}
			if step > m.toward[i] {
				m.toward[i], m.signs[i] = step, bothSigns[side]
			}
		}
	}
	m.straighten()
	m.prepareApart()
}

// straighten finds what the deviation does as far as straight, where it may be on the other side: within less than its standard error both sides may
// be worse.
func (m *mover) straighten() {
	e, deviation := m.errors[offTurn], m.base.Structure.DeviationDeg
	if !(math.Abs(deviation) < e) || deviation == 0 {
		return
	}
	var by off
	by[offTurn] = -deviation
	step := m.step(&by)
	if step > math.Abs(m.distance) { // so that the limit is on this side
		step *= e / math.Abs(deviation)
	}
	if step > m.toward[offTurn] {
		m.toward[offTurn], m.signs[offTurn], m.straight = step, -math.Copysign(1, deviation), true
	}
}

// prepareApart finds the distance in standard errors: over √(Σσ²), but where all figures, off together, tell otherwise whether the limit is within two,
// by what these do.
func (m *mover) prepareApart() {
	sigma := 0.0
	for _, step := range m.toward {
		sigma = math.Hypot(sigma, step)
	}
	if sigma == 0 {
		return
	}
	m.apart = m.distance / sigma
	within, most := math.Abs(m.apart) < basis.SurveyBandSigmas, math.Inf(-1)
	for _, sigmas := range [...]float64{basis.SurveyBandSigmas, 1} {
		by, _ := m.offBy(UncertainInputs, sigmas)
		step := m.step(&by)
		if math.IsNaN(step) || within && step > math.Abs(m.distance) {
			return
		}
		most = max(most, step)
		if !within {
			break
		}
	}
	switch {
	case within == (most > math.Abs(m.distance)):
	case most > 0:
		m.apart = basis.SurveyBandSigmas * m.distance / most
	default:
		m.apart = math.NaN()
	}
}

// offBy is where the figures of an input, or of all for UncertainInputs, are that bring the verdict nearest to its limit, or farthest beyond it, of all
// that are so many standard errors off together; false where they move nothing.
func (m *mover) offBy(input Uncertain, sigmas float64) (by off, moves bool) {
	total := 0.0
	for i := range m.toward {
		if m.of[i] == input || input == UncertainInputs {
			total = math.Hypot(total, m.toward[i])
		}
	}
	if total == 0 {
		return by, false
	}
	for i := range m.toward {
		if m.of[i] == input || input == UncertainInputs {
			by[i] = sigmas * m.signs[i] * m.errors[i] * m.toward[i] / total
		}
	}
	if deviation := m.base.Structure.DeviationDeg; m.straight && math.Abs(by[offTurn]) > math.Abs(deviation) {
		by[offTurn] = -deviation
	}
	return by, true
}
