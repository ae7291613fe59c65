package audit

import (
	"context"
	"math"
	"slices"

	"dryarc/audit/basis"
)

// Schedule is what structures of one line need, whatever hangs there.
type Schedule struct {
	Unit        *basis.Unit // in which units are counted; nil where the catalogue has none
	UnitAssumed bool        // the unit is not the line's own
	// LevelAssumed tells that the lightning level is the highest standard one of the line's Um, since none is stated.
	LevelAssumed bool
	Requirements []Requirement // of the structures of the line, in their order, or of those alone that were asked for (Result.ScheduleOnly)
	structures   []int32       // which these are, counted from the first of the line; nil for all
	errors       CheckErrors   // of the checks that were tried
}

// Of is what a structure needs, counted from the first of its line; nil where that was not asked for.
func (s *Schedule) Of(structure int) *Requirement {
	at, found := structure, structure < len(s.Requirements)
	if s.structures != nil {
		at, found = slices.BinarySearch(s.structures, int32(structure))
	}
	if !found {
		return nil
	}
	return &s.Requirements[at]
}

// Requirement is what one structure needs.
type Requirement struct {
	// Own is the post or pin insulator in which a structure that carries its conductors on such is counted; nil where strings of the
	// reference unit are.
	Own        *basis.Unit
	Governs    *Check  // the check that asks for most units, or that none can be shown to meet; nil where none can be judged
	CreepageMM float64 // required; NaN if unknown
	RatingKN   float64 // that a single string needs in the worst load case and beside a broken conductor where that is asked for, of a post or pin across its axis; NaN if unknown
	Units      int32   // of the reference unit, or of the structure's own; 0 where nothing can be judged, or where no string of it can be shown to do
	Strings    int32   // parallel strings of the reference unit that its rating and the crossings ask for, 1 of a post or pin that is strong enough; 0 if unknown
	Duty       Duty    // by Network.Requires; DutyUnknown where that cannot be told
}

// LengthMM is the length of a string that a requirement of the schedule asks for; NaN if unknown.
func (s *Schedule) LengthMM(r *Requirement) float64 {
	if r.Units == 0 {
		return math.NaN()
	}
	return float64(r.Units) * s.CountedIn(r).SpacingMM
}

// CountedIn is the unit in which a requirement is counted: the structure's own post or pin, else the reference unit; nil where
// there is none.
func (s *Schedule) CountedIn(r *Requirement) *basis.Unit {
	if r.Own != nil {
		return r.Own
	}
	return s.Unit
}

// Schedules finds the schedules of the assessed lines, that of a line at its index in Network.Lines. They are found when
// they are first asked for, with the workers of the run, and kept. It fails only when ctx ends.
func (r *Result) Schedules(ctx context.Context) ([]Schedule, error) {
	r.scheduling.Do(func() {
		r.schedules = make([]Schedule, len(r.Network.Lines))
		assessed := func(line int) bool { return r.Lines[line].Assessed }
		r.unscheduled = r.Network.eachLine(ctx, r.workers, assessed, func(line int) {
			r.schedules[line] = r.Network.schedule(line, r.Checks, r.scheduled)
		})
	})
	return r.schedules, r.unscheduled
}

// ScheduleOnly says of which structures the schedules are to tell, for who writes no others. It holds where they have not been asked for yet.
func (r *Result) ScheduleOnly(structure func(structure int) bool) { r.scheduled = structure }

// Schedule finds what the structures of a line need. Where no lightning level is stated, the highest standard one of the
// highest voltage is assumed, and marked; where a level cannot be read nothing stands in for it, and no number of units is known.
func (n *Network) Schedule(line int, checks []*Check) Schedule { return n.schedule(line, checks, nil) }

// schedule is Schedule of the wanted structures; nil means all.
func (n *Network) schedule(line int, checks []*Check, wanted func(structure int) bool) Schedule {
	l := n.Lines[line] // a copy, which may hold an assumed level
	out := Schedule{}
	if wanted == nil {
		out.Requirements = make([]Requirement, 0, l.End-l.First)
	} else {
		out.structures = []int32{}
	}
	if l.assumesLevel() {
		levels, _ := basis.LightningLevels(l.HighestKV)
		l.Row.LightningKV, out.LevelAssumed = levels[len(levels)-1], true
		l.WetKV = wetLevel(&l)
	}
	out.Unit, out.UnitAssumed = n.referenceUnit(line)
	var structure Structure
	s := Subject{Criteria: n.Criteria(line), Line: &l, Structure: &structure, Name: n.Project.Symbols.Text, Trial: true}
	if out.Unit != nil {
		trial := TrialOf(out.Unit)
		s.Assembly = &trial
	}
	tried := TrialsOf(checks)
	sized := sizedAt{readsSite: !slices.ContainsFunc(checks, func(c *Check) bool { return (c.Sizes || c.Headroom) && c.Reads == 0 })}
	var alike alikeShares
	for i := l.First; i < l.End; i++ {
		if wanted != nil {
			if !wanted(i) {
				continue
			}
			out.structures = append(out.structures, int32(i-l.First))
		}
		structure = n.Structure(line, i)
		tried.at, tried.failed = AtStructure(line, i), nil
		needed, _ := n.Requires(&structure)
		var r Requirement
		if own, as := n.ownKind(i); own != nil && needed != Tension {
			r = requirementInKind(s, tried, needed, own, as)
		} else {
			r = requirement(&s, tried, needed, &sized)
		}
		if l.lacksLevels() || r.Own == nil && (s.sizedByGap() && n.hasWetBelowFormula(&l, i) || n.hasTestedLess(&s, i, &alike)) { // how many units it asks for is not known
			r.Units, r.Governs = 0, nil
		}
		out.Requirements = append(out.Requirements, r)
	}
	out.errors = *tried.errors
	return out
}

// sizedByGap tells whether the trial string is judged by the formula of dry gaps where the line states a switching level.
func (s *Subject) sizedByGap() bool {
	return s.Assembly != nil && basis.IsRangeTwo(s.Line.HighestKV) && !math.IsNaN(s.Line.Level(Switching)) &&
		s.Assembly.Withstand(Switching, s.Assembly.UnitsPerString, s.Criteria).IsByGap()
}

// hasWetBelowFormula tells whether a string at a structure has less wet than that formula gives for it.
func (n *Network) hasWetBelowFormula(l *Line, structure int) bool {
	return slices.ContainsFunc(n.AssemblyRows(structure), func(row uint32) bool {
		a := n.Assembly(row)
		return a.WetBelowFormula(n.criteriaOf(l))
	})
}

// assumesLevel tells whether the schedule assumes a lightning level.
func (l *Line) assumesLevel() bool {
	_, standard := basis.LightningLevels(l.HighestKV)
	return standard && !l.Row.System.IsDirect() && !l.Row.System.IsRailway() && math.IsNaN(l.Row.LightningKV) && !l.Row.Faulty.Has(CellVoltage) && !l.unreadLevel(Lightning)
}

// sizedAt is what sizing checks ask of a string of the reference unit at the structure that was looked at last: the next one mostly has the
// same site.
type sizedAt struct {
	readsSite  bool // the checks say what they read of it
	known      bool
	site       SiteKey
	units      int
	governs    *Check
	creepageMM float64
}

// find finds what the checks ask for at the structure of a subject, on a line that is that of the last one.
func (z *sizedAt) find(s *Subject, tried *Trials) {
	if z.readsSite {
		site := s.siteReads()
		if z.known && z.site == site {
			return
		}
		z.site = site
	}
	s.Assembly.Duty = Suspension
	if z.units, z.governs = tried.UnitsNeeded(s); z.units > MostUnitsAsked {
		z.units = 0
	}
	s.Assembly.setUnits(1)
	z.creepageMM = requiredFigure(s, tried)
	z.known = z.readsSite && len(tried.failed) == 0 // a check that fails does so at each structure
}

// requirement finds what a structure needs, by a trial string of the reference unit; without one, the duty alone.
func requirement(s *Subject, tried *Trials, needed Duty, sized *sizedAt) Requirement {
	r := Requirement{Duty: needed, CreepageMM: math.NaN(), RatingKN: math.NaN()}
	if s.Assembly == nil {
		return r
	}
	sized.find(s, tried)
	r.Units, r.Governs, r.CreepageMM = int32(sized.units), sized.governs, sized.creepageMM
	s.Assembly.setUnits(max(sized.units, 1))
	if s.Assembly.Duty = Suspension; r.Duty == Tension {
		s.Assembly.Duty = Tension
	}
	r.strengthen(s)
	if s.Structure.Doubt != NoReason && s.Structure.LesserCreepage == 0 { // how many units its creepage needs is not known
		r.Units, r.Governs, r.CreepageMM = 0, nil, math.NaN()
	}
	return r
}

// ownKind is the post or pin insulator that most rows of a structure name, and how it stands, where all stand alike; nil where a string of another kind
// carries a conductor there too, or nothing does.
func (n *Network) ownKind(structure int) (own *basis.Unit, as standing) {
	p, count := n.Project, map[int]int{}
	best := nowhere
	for _, row := range n.AssemblyRows(structure) {
		r := p.Assemblies.At(int(row))
		parts := p.Makeups[r.Makeup].Parts
		switch {
		case !r.Duty.CarriesPhase() && r.Duty != DutyUnknown:
			continue
		case r.Duty != Pin && r.Duty != Post || len(parts) != 1 || p.Units[parts[0].Unit].Kind.HasUnitCount():
			return nil, standing{}
		}
		unit := parts[0].Unit
		if count[unit]++; best < 0 || count[unit] > count[best] {
			best, as.duty = unit, r.Duty
		}
		as.note(&r)
	}
	if best < 0 {
		return nil, standing{}
	}
	return &p.Units[best], as
}

// requirementInKind finds what a structure needs that carries its conductors on posts or pins: whether one of its own does, and the
// check that leaves it the least margin.
func requirementInKind(s Subject, tried *Trials, needed Duty, own *basis.Unit, as standing) Requirement {
	trial := TrialOf(own)
	as.put(&trial)
	s.Assembly = &trial
	r := Requirement{Own: own, Duty: needed, RatingKN: s.cantileverNeededKN(), CreepageMM: requiredFigure(&s, tried)}
	least, meets := math.Inf(1), true
	for i, check := range tried.checks {
		if !check.Sizes {
			continue
		}
		v := tried.run(i, &s)
		if v.Outcome <= FallsShort && (r.Governs == nil || v.Margin < least) {
			r.Governs, least = check, v.Margin
		}
		meets = meets && v.Outcome != FallsShort && v.Reason != CheckFailed
	}
	if meets && r.Governs != nil {
		r.Units = 1
	}
	if bearing, reason := s.PostBearing(0); reason == NoReason && !bearing.Overloaded() && s.bearsBreak() {
		r.Strings = 1
	}
	return r
}

// requiredFigure is the creepage that the sizing check with headroom asks for, in mm; NaN if it cannot be judged.
func requiredFigure(s *Subject, tried *Trials) float64 {
	for i, check := range tried.checks {
		if check.Headroom {
			if v := tried.run(i, s); v.Outcome <= FallsShort {
				return v.Required.Number
			}
		}
	}
	return math.NaN()
}

// strengthen finds the rating that a single string needs and how many parallel strings of the unit give it.
func (r *Requirement) strengthen(s *Subject) {
	if s.Structure.Back.Double != "" || s.Structure.Ahead.Double != "" {
		r.Strings = 2
	}
	pull, reason := s.MostPull(0)
	if reason != NoReason || pull.Unsure != NoReason {
		return
	}
	needed := pull.Required
	if s.asksBroken() {
		broken, reason := s.WorstBroken()
		if reason != NoReason || broken.Unsure != NoReason {
			return
		}
		needed = math.Max(needed, broken.Required)
	}
	r.RatingKN = needed
	if rating := s.Assembly.Unit.RatingKN; !math.IsNaN(rating) {
		r.Strings = max(r.Strings, int32(basis.UnitsNeeded(needed, rating)), 1)
	}
}
