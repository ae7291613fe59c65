package audit

import (
	"math"

	"dryarc/audit/basis"
)

// Standing is how far a verdict is from its limit, in standard errors of what it goes by.
type Standing struct {
	// Errors is the distance over the standard error, below 0 where the subject falls short; NaN where no error that is stated moves the verdict.
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
	for i, step := range m.steps {
		s.Sigmas[m.of[i]] = math.Hypot(s.Sigmas[m.of[i]], step)
	}
	if sigma := m.sigma(); sigma > 0 {
		s.Distance, s.Errors = m.distance, m.distance/sigma
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
	return m != nil && math.Abs(m.distance) < basis.SurveyBandSigmas*m.sigma()
}

// borderM is how near the border is beyond which the outcome is another, NaN where none is near.
func (u *Uncertainty) borderM(m *mover, steps zoneSteps) float64 {
	nearest := math.NaN()
	for _, side := range [...][]zoneStep{steps.more, steps.less} {
		for _, step := range side {
			if nearest <= step.distM {
				break
			}
			if u.inZone(m, step.zone) != m.verdict.Outcome {
				nearest = step.distM
				break
			}
		}
	}
	return nearest
}

// inZone is the outcome where the structure stands in another zone.
func (u *Uncertainty) inZone(m *mover, zone int32) Outcome {
	of := *m.base
	of.Structure, of.off = u.borders.standIn(*m.base.Structure, zone), true
	v, _ := m.check.try(&of, nil)
	return v.Outcome
}

// mover judges a subject with figures beside it off.
type mover struct {
	check    *Check
	base     *Subject
	part     *aspect // that alone counts for base; nil where all do
	verdict  Verdict
	errs     Errs
	distance float64 // of the verdict from its limit, below 0 where it falls short
	errors   off
	of       [offFigures]Uncertain
	steps    off // by how much each figure, off by its standard error, changes the distance: towards the limit, or away where nothing brings it nearer
	toward   off // by how much it brings the verdict towards its limit, or beyond
	signs    off // on which side of each that is
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

// prepare finds what brings the verdict nearer to its limit.
func (m *mover) prepare() {
	m.errors, m.of = errorsBeside(m.base, m.errs)
	m.distance = distanceOf(&m.verdict)
	if math.IsNaN(m.distance) {
		return
	}
	for i, e := range m.errors {
		if e == 0 {
			continue
		}
		var nearer [2]float64 // by how much the verdict comes nearer to its limit, or beyond it, with the figure more and with it less
		for k, sign := range [...]float64{1, -1} {
			nearer[k] = m.nearer(i, sign*e)
		}
		for k := range nearer { // where it is not judged it would go on as it does to the other side
			if math.IsNaN(nearer[k]) {
				nearer[k] = -nearer[1-k]
			}
		}
		for k, sign := range [...]float64{1, -1} {
			if nearer[k] > m.toward[i] {
				m.toward[i], m.signs[i] = nearer[k], sign
			}
		}
		switch m.steps[i] = m.toward[i]; {
		case m.toward[i] == 0:
			m.steps[i] = zeroIfNone(math.Abs(min(nearer[0], nearer[1])))
		case m.toward[i] > math.Abs(m.distance): // how steep it is up to the limit tells, not what is beyond
			share := max(math.Abs(m.distance)/m.toward[i], leastStep)
			if step := m.nearer(i, m.signs[i]*share*e) / share; step > 0 {
				m.steps[i] = step
			}
		}
	}
}

// leastStep is the least share of a standard error by which a figure is off where it is asked how steep a verdict is.
const leastStep = 1e-3

// nearer is by how much a verdict comes nearer to its limit, or beyond it, with a figure off; NaN where no figures of its measure say it.
func (m *mover) nearer(figure int, offBy float64) float64 {
	var by off
	by[figure] = offBy
	v := m.at(&by)
	switch step := m.distance - distanceOf(&v); {
	case v.Observed.Measure != m.verdict.Observed.Measure:
		return math.NaN()
	case m.verdict.Outcome == FallsShort:
		return -step
	default:
		return step
	}
}

// sigma is the standard error of the distance.
func (m *mover) sigma() (sigma float64) {
	for _, step := range m.steps {
		sigma = math.Hypot(sigma, step)
	}
	return sigma
}

// offBy is where the figures of an input are that bring the verdict nearest to its limit, or farthest beyond it, of all that are so many standard
// errors off together; false where they move nothing.
func (m *mover) offBy(input Uncertain, sigmas float64) (by off, moves bool) {
	total := 0.0
	for i := range m.toward {
		if m.of[i] == input {
			total = math.Hypot(total, m.toward[i])
		}
	}
	if total == 0 {
		return by, false
	}
	for i := range m.toward {
		if m.of[i] == input {
			by[i] = sigmas * m.signs[i] * m.errors[i] * m.toward[i] / total
		}
	}
	return by, true
}
