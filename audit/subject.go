package audit

import (
	"math"

	"dryarc/audit/basis"
)

// Subject is what a check looks at: always the criteria and a line; a structure unless the check is of lines; an
// assembly, a place or a structure beyond a span where the check is of those. It is a value: a trial assembly is
// a Subject with another Assembly.
type Subject struct {
	Criteria  *Criteria
	Line      *Line
	Structure *Structure
	Assembly  *Assembly
	// Repeats are what later rows of the register say of the same assembly, where they differ from the first.
	Repeats []Assembly
	Place   *Place
	Section *Section
	// CrossingsGiven tells whether the project says what spans cross.
	CrossingsGiven bool
	// Trial tells that only the outcome and the figures of a verdict count, and nobody reads its sentence.
	Trial bool
	// AtLeast tells that a figure of the site which is not known counts as the least it can be: the altitude factor as 1.
	AtLeast bool
	off     bool      // figures beside it are off, see displaced: only the outcome and the figures of a verdict count
	only    *aspect   // that alone counts; nil where all do
	sigmas  int8      // standard errors by which ground levels are others than rasters give them, see OffLevels
	loads   *loadMemo // of the structure, nil where loads are found anew each time
	edition *edition  // nil where criteria of the other edition are made anew each time
	// Registered is what the register holds for the structure.
	Registered Registered
	// Inspection names an inspection by its number, for sentences.
	Inspection func(int) string
	// Name gives the text of a symbol, for sentences.
	Name func(Symbol) string
}

// edition keeps the criteria that hold on a line as they are by the other edition of specific creepages, once they are asked for.
type edition struct{ of, other *Criteria }

// CriteriaByOtherEdition are the criteria of the subject but for the edition of specific creepages, which is the other.
func (s *Subject) CriteriaByOtherEdition() *Criteria {
	keep := s.edition != nil && s.edition.of == s.Criteria // others may be other figures in the same place by and by
	if keep && s.edition.other != nil {
		return s.edition.other
	}
	other := *s.Criteria
	other.CreepageBasis = other.CreepageBasis.Other()
	if keep {
		s.edition.other = &other
	}
	return &other
}

// Registered counts the assemblies of one structure.
type Registered struct {
	Rows         int32 // all
	CarryPhase   int32 // all but earth-wire and guy insulators, jumpers included
	Duties       [Guy + 1]int32
	NoRegister   bool
	LineUnlisted bool   // no row of the whole line
	Misspelt     string // number of a row left out that names the structure in another spelling, empty where there is none
	Seen         Seen
	Aged         Aged
	Watched      Watched
}

// Seen is when what hangs at a structure was last inspected or installed: the longest ago of what hangs there, in years before the day of the
// audit. Nothing is known while nobody asks.
type Seen struct {
	LeastYears, MostYears float64 // as the dates are given: where all are days the two are the same
	Since                 Day     // the date behind LeastYears
	Unknown               int32   // assemblies without a date, or all where the day of the audit is not known
}

// NeedsSentence tells whether a verdict on the subject is to be put into words: one that falls short, unless on trial or with figures off.
func (s *Subject) NeedsSentence(v Verdict) bool { return v.Outcome == FallsShort && !s.Trial && !s.off }

// Distribution tells how the voltage spreads along a string of like units, where the line states the ratio of the
// capacitance to earth over that of a unit: the share that the unit at the conductor carries, and the string's
// efficiency. Indicative only: with this ratio alone long strings come out too pessimistic.
func (s *Subject) Distribution() (share, efficiency float64, ok bool) {
	a := s.Assembly
	if a == nil || a.Unit == nil || !a.Unit.Kind.HasUnitCount() || len(a.Makeup.Parts) > 1 || a.UnitsPerString < 1 || math.IsNaN(s.Line.Row.CapacitanceRatio) {
		return 0, 0, false
	}
	shares, err := basis.VoltageShares(a.UnitsPerString, s.Line.Row.CapacitanceRatio)
	if err != nil {
		return 0, 0, false
	}
	return shares[len(shares)-1], basis.StringEfficiency(shares), true
}
