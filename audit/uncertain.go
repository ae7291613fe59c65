package audit

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit/basis"
	"dryarc/geo"
)

// Uncertain is an input whose values a project may state a standard error of.
type Uncertain uint8

// The uncertain inputs.
const (
	OfPositions     Uncertain = iota // of structures, each by itself
	OfRasterLevels                   // ground levels from rasters, each by itself
	OfStatedHeights                  // ground levels and attachment heights that are stated, each by itself
	OfZoneBorders                    // all together
	OfTensions                       // of a line, all together
	UncertainInputs
)

var uncertainNames = [UncertainInputs]string{"positions", "ground levels from rasters", "stated heights", "zone borders", "stated tensions"}

func (u Uncertain) String() string { return uncertainNames[u] }

// Key is the criterion that states its standard error.
func (u Uncertain) Key() string {
	return [UncertainInputs]string{"position_accuracy_m", "terrain_accuracy_m", "height_accuracy_m", "zone_accuracy_m", "tension_accuracy_percent"}[u]
}

// Measure is the unit of measure of its standard error.
func (u Uncertain) Measure() string {
	if u == OfTensions {
		return "%"
	}
	return "m"
}

// accuracy is the criterion that states its standard error.
func (u Uncertain) accuracy(c *Criteria) Number {
	return [UncertainInputs]Number{c.PositionAccuracyM, c.TerrainAccuracyM, c.HeightAccuracyM, c.ZoneAccuracyM, c.TensionAccuracyPercent}[u]
}

// Errs says through what the errors of inputs move a verdict on an assembly.
type Errs uint8

// What moves a verdict.
const (
	ErrsTurn             Errs = 1 << iota // the deviation, by positions
	ErrsSpans                             // the lengths of the spans, by positions
	ErrsRises                             // how far the spans rise, by levels and attachment heights
	ErrsAltitude                          // the level of the structure itself
	ErrsCreepageAltitude                  // that, as far as the criteria raise creepage with it
	ErrsZone                              // what the zones ask for, by their borders and by its position
	ErrsTension
	ErrsLoads = ErrsTurn | ErrsSpans | ErrsRises | ErrsTension
)

// The figures beside an assembly that may be off: the deviation, how far the structures behind, here and ahead stand along the line, their ground
// levels and attachment heights, and the tensions.
const (
	offTurn       = 0
	offAlong      = 1
	offGround     = 4
	offAttachment = 7
	offTension    = 10
	offFigures    = 11
)

// off is by how much figures are off: degrees, metres, and of the tensions a share.
type off [offFigures]float64

// errorsBeside are the standard errors of the figures beside a subject that move a verdict by errs, and of which input each is; 0 where nobody
// states one, and where there is nothing to be off.
func errorsBeside(s *Subject, errs Errs) (e off, of [offFigures]Uncertain) {
	c, st := s.Criteria, s.Structure
	of[offTension] = OfTensions
	positionM := zeroIfNone(c.PositionAccuracyM.Value)
	if errs&ErrsTurn != 0 && positionM > 0 && !math.IsNaN(st.DeviationDeg) {
		e[offTurn] = zeroIfNone(geo.DeviationSigma(positionM, st.SpanBackM, st.SpanAheadM))
	}
	if errs&ErrsSpans != 0 {
		for i, there := range [...]bool{!math.IsNaN(st.SpanBackM), true, !math.IsNaN(st.SpanAheadM)} {
			if there {
				e[offAlong+i] = positionM
			}
		}
	}
	rasterM, _ := s.TerrainErrors()
	heightM := zeroIfNone(c.HeightAccuracyM.Value)
	heights := [...]float64{st.HeightBackM, st.HeightM, st.HeightAheadM}
	for i, raster := range [...]bool{st.TerrainBack, st.Terrain != 0, st.TerrainAhead} {
		of[offGround+i], of[offAttachment+i] = OfStatedHeights, OfStatedHeights
		if raster {
			of[offGround+i] = OfRasterLevels
		}
		levels := errs&ErrsRises != 0 && !math.IsNaN(heights[i]) || i == 1 && errs.byAltitude(c) && !math.IsNaN(st.GroundM)
		switch {
		case !levels:
		case raster:
			e[offGround+i] = zeroIfNone(rasterM[i])
		default:
			e[offGround+i] = heightM
		}
		if errs&ErrsRises != 0 && s.Line.AttachmentsStated && !math.IsNaN(heights[i]) {
			e[offAttachment+i] = heightM
		}
	}
	if errs&ErrsTension != 0 {
		e[offTension] = zeroIfNone(c.TensionAccuracyPercent.Value) / 100
	}
	return e, of
}

// inputsBeside tells by which inputs a verdict on a subject goes that errs move, and of which of them nobody states the standard error.
func inputsBeside(s *Subject, errs Errs, zones bool) (rests, unstated [UncertainInputs]bool) {
	c, st := s.Criteria, s.Structure
	zones = zones && errs&ErrsZone != 0
	rests[OfPositions], unstated[OfPositions] = errs&(ErrsTurn|ErrsSpans) != 0 || zones, !c.PositionAccuracyM.Known()
	rests[OfZoneBorders], unstated[OfZoneBorders] = zones, !c.ZoneAccuracyM.Known()
	rests[OfTensions], unstated[OfTensions] = errs&ErrsTension != 0, !c.TensionAccuracyPercent.Known()
	unstated[OfStatedHeights] = !c.HeightAccuracyM.Known()
	rasterM, _ := s.TerrainErrors()
	heights := [...]float64{st.HeightBackM, st.HeightM, st.HeightAheadM}
	for i, raster := range [...]bool{st.TerrainBack, st.Terrain != 0, st.TerrainAhead} {
		rises := errs&ErrsRises != 0 && !math.IsNaN(heights[i])
		switch {
		case !rises && (i != 1 || !errs.byAltitude(c) || math.IsNaN(st.GroundM)):
		case raster:
			rests[OfRasterLevels] = true
			unstated[OfRasterLevels] = unstated[OfRasterLevels] || !(rasterM[i] >= 0) || rasterM[i] == 0 && !c.TerrainAccuracyM.Known()
			rests[OfStatedHeights] = rests[OfStatedHeights] || rises && s.Line.AttachmentsStated
		default:
			rests[OfStatedHeights] = true
		}
	}
	for input := range rests {
		unstated[input] = unstated[input] && rests[input]
	}
	return rests, unstated
}

// byAltitude tells whether what a verdict goes by rises with the altitude.
func (errs Errs) byAltitude(c *Criteria) bool {
	return errs&ErrsAltitude != 0 || errs&ErrsCreepageAltitude != 0 && c.CreepageAltitudeExponent.Value > 0
}

// leastSpanM is what is left of a span that is no longer than its errors.
const leastSpanM = 0.001

// displaced is a subject with figures beside it off by so much: what an audit would tell of it where they are stated so. The rest stays: the
// ruling spans of its sections, what its spans cross, its tees and the strings around it.
func (s *Subject) displaced(by *off) Subject {
	of := *s
	of.loads, of.off = nil, true
	st := *s.Structure
	of.Structure = &st
	st.DeviationDeg += by[offTurn]
	st.SpanBackM = max(st.SpanBackM+by[offAlong+1]-by[offAlong], leastSpanM)
	st.SpanAheadM = max(st.SpanAheadM+by[offAlong+2]-by[offAlong+1], leastSpanM)
	st.WindSpanM = basis.WindSpan(zeroIfNone(st.SpanBackM), zeroIfNone(st.SpanAheadM))
	if st.Role == Tangent || st.Role == Angle {
		st.Role, st.Family = role(&st, false, false)
	}
	if by[offGround+1] != 0 {
		st.GroundM = min(max(st.GroundM+by[offGround+1], basis.LeastAltitudeM), basis.MostAltitudeM)
	}
	for i, height := range [...]*float64{&st.HeightBackM, &st.HeightM, &st.HeightAheadM} {
		*height += by[offGround+i] + by[offAttachment+i]
	}
	if by[offTension] != 0 {
		of.Line, of.Criteria = s.Line.pulledBy(1+by[offTension]), s.Criteria.pulledBy(1+by[offTension])
	}
	if !math.IsNaN(st.WeightSpanColdM) || by[offTension] != 0 {
		st.WeightSpanColdM = math.NaN()
		if load, reason := of.Line.cold(of.Criteria, &st); reason == NoReason {
			st.WeightSpanColdM = load.WeightSpanM
		}
	}
	return of
}

// pulledBy is a line with the tensions of its row so many times as large; one that comes above the strength of its conductor is not believed any more.
func (l *Line) pulledBy(times float64) *Line {
	pulled := *l
	pulled.everydayKN *= times
	strength := l.strengthKN()
	for _, kN := range [...]*float64{&pulled.Row.MaximumTensionKN, &pulled.Row.EverydayTensionKN, &pulled.Row.ColdTensionKN} {
		if *kN *= times; basis.Contradicts(strength, *kN) {
			*kN, pulled.Row.Faulty = math.NaN(), pulled.Row.Faulty.With(CellTension)
		}
	}
	return &pulled
}

// pulledBy are criteria with the tensions that load cases state so many times as large.
func (c *Criteria) pulledBy(times float64) *Criteria {
	pulled := *c
	pulled.LoadCases = slices.Clone(c.LoadCases)
	for i := range pulled.LoadCases {
		pulled.LoadCases[i].TensionKN *= times
		pulled.LoadCases[i].Share *= times
	}
	return &pulled
}

// StandardError says how far off figures of an input may be, and who says so.
type StandardError struct {
	Of    Uncertain
	Least float64 // of its figures, in its measure; NaN where none states any
	Most  float64
	From  string // the criterion or the file that states it
}

func (e *StandardError) String() string {
	figure := strconv.FormatFloat(e.Least, 'g', -1, 64)
	if e.Most != e.Least {
		figure += " to " + strconv.FormatFloat(e.Most, 'g', -1, 64)
	}
	return fmt.Sprintf("%s %s (%s)", figure, e.Of.Measure(), e.From)
}

// standardError is that of an input by some criteria and the rasters that give levels, which are told by 1 + their place among those of the project.
func (n *Network) standardError(of Uncertain, c *Criteria, rasters map[uint16]bool) StandardError {
	e := StandardError{Of: of, Least: math.NaN(), Most: math.NaN()}
	var from []string
	take := func(figure float64, who string) {
		if !(e.Least <= figure) {
			e.Least = figure
		}
		if !(e.Most >= figure) {
			e.Most = figure
		}
		if !slices.Contains(from, who) {
			from = append(from, who)
		}
	}
	byCriterion := of != OfRasterLevels
	if of == OfRasterLevels {
		for number := range n.Project.Terrain {
			if !rasters[uint16(number+1)] {
				continue
			}
			if raster := &n.Project.Terrain[number]; raster.AccuracyM > 0 {
				take(raster.AccuracyM, "accuracy_m of "+raster.File)
			} else {
				byCriterion = true
			}
		}
	}
	if number := of.accuracy(c); byCriterion && number.Known() {
		take(number.Value, of.Key())
	}
	e.From = strings.Join(from, ", ")
	return e
}
