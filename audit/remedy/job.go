package remedy

import (
	"dryarc/audit"
	"dryarc/audit/basis"
)

// Job is what one structure of one line needs.
type Job struct {
	Line, Structure int
	// Exceptions are those that the job is for, in audit.Result.Exceptions; none where the work is to keep up with that on
	// other structures of the line.
	Exceptions []int
	// AlsoMends are other exceptions at the structure, in audit.Result.Exceptions, that are gone with the work although no job is for them.
	AlsoMends []int
	Remedies  []Remedy
	// Open is what the job leaves: exceptions it cannot mend, and what could not be judged of what hangs there afterwards.
	Open []Open
	// StoppedBy says what kept the best candidates from serving, by circuit and duty; empty where all is mended.
	StoppedBy    []Stop
	Alternatives []Alternative
	Candidates   Candidates
	// NeededBy are the structures of the line whose work makes this job necessary, or more of it, or does not serve without it, so that it has to be done before; Needs
	// are those with such jobs for this one. Jobs that need each other, at once or by way of others, are done together.
	NeededBy, Needs []int
	Trace           []string // what was tried and why this was taken, a step each

	beside  []string // of Trace: what the audit with all work done tells
	keepsUp keepsUp
	// without is the job that it was before advisories that other work brings asked for more; none where they did not.
	without []Job
	yields  bool             // it may bring advisories of habit, see seekYielding
	restsOn []int            // structures of the line without whose work it would not serve
	inRing  []int            // of NeededBy and Needs, those that need this job too and are needed, so that none is first
	holds   []audit.Symbol   // circuits that it holds in tension to divide a section
	rows    []audit.TrialRow // changed and new ones
	dropped []repeated
}

// repeated is a row of the register that repeats one that changes.
type repeated struct {
	repeat int
	row    audit.TrialRow // as the first one is to be
	second bool           // it is the other set of a pair, and stays one
}

// Remedy is what to hang for one circuit and duty.
type Remedy struct {
	Circuit audit.Symbol
	Duty    audit.Duty   // of what hangs there, or of what is missing
	Sides   []audit.Side // on which there is anything to do
	Phases  audit.Phases // on which there is
	From    string       // what hangs there in words, empty where the register has nothing
	// Unregistered tells that it is the register that has nothing, so that what hangs has to be looked at first: the work is for where
	// nothing does.
	Unregistered bool
	To           Set // on the first of its rows; what hangs on each is in Changes
	Move         Move
	Fit          []Count
	Remove       []Count
	Fewer        []Count // of Fit: so many may hang there already, how many do is not known
	Changes      []Change
	// RemoveUnknown tells that what hangs there is removed whole and its number, or a part of it, is not known, so that Remove lacks it.
	RemoveUnknown bool
	// AtLeast tells that defective units are replaced in strings of which it is not known how many each has, as the register counts those of the worst alone, or
	// which of unlike units they are, so that
	// there may be More to fit and to remove, and whether a defective unit is left is not known until somebody has looked.
	AtLeast  bool
	More     []Count
	Sets     int     // assemblies that need fittings they do not have: new ones, those of another duty, those with more strings
	Price    float64 // of the units to fit; NaN where one has no price
	LengthMM float64 // of one string; NaN if unknown
}

// Set is an assembly to hang.
type Set struct {
	Duty           audit.Duty
	Arrangement    audit.Arrangement
	Unit           string
	UnitsPerString int
	Strings        int
	VAngleDeg      float64 // of a V set; 0 of others, and where it is not known
}

// Count is a number of units of one type.
type Count struct {
	Unit  string
	Count int
}

// Open is something that a job leaves open.
type Open struct {
	Check     int
	Circuit   audit.Symbol
	Exception int          // in audit.Result.Exceptions; −1 where the check could not be judged or speaks of the records
	Reason    audit.Reason // why it could not be judged
	// RowsContradict tells that rows contradict each other of what hangs there, so that what it needs shows when somebody has looked.
	RowsContradict bool
	// Brought tells that it is a note that the work brings, as on a string that is then unlike those around it.
	Brought bool
	// Advisory tells that of a shortfall, which Exception is, the work leaves an advisory alone.
	Advisory bool

	beside bool // the audit with all work done tells it
}

// Stop is what kept the best candidate of one circuit and duty from serving.
type Stop struct {
	Circuit audit.Symbol
	Duty    audit.Duty
	Check   int  // −1 where no check does: the longest string of the line, or nothing to choose from
	TooLong bool // it is the longest string of the line
	// Unjudged tells that nothing is known to stop the candidate: whether it serves cannot be judged, for what the sentence names.
	Unjudged bool
	// Couplings are those of the units that were looked at, where others were passed over since they do not fit what hangs there.
	Couplings []string
	Lacks     string // what is not known where no check tells what it cannot judge; empty for a length or coupling
	Sentence  string
}

// Alternative is another answer to one of the remedies of a job that is not worse in every respect.
type Alternative struct {
	Remedy   int // in Job.Remedies
	To       Set
	Hangs    string // in words what hangs then, which may differ by phase or side
	Move     Move
	Fit      []Count
	Remove   []Count
	Price    float64
	LengthMM float64
}

// Candidates says which units could be chosen from.
type Candidates uint8

// Where candidates come from.
const (
	Stocked    Candidates = iota // units that the register marks so
	InUse                        // none is marked: units in use on the line
	Catalogue                    // none is marked and none in use serves: all of the catalogue
	Bought                       // units may be bought: those of the sheet Units and those in use on the line, in stock or not
	BoughtToo                    // units may be bought, and none of those serves: all of the catalogue
	NotStocked                   // others are marked, but sound units take the place of defective ones of their type
)

func (c Candidates) String() string {
	return [...]string{"units marked as stocked", "units in use on the line, since none is marked as stocked",
		"units of the catalogue, since none is marked as stocked and none in use on the line serves",
		"units of the sheet Units and those in use on the line, in stock or not",
		"units of the catalogue, since none of the sheet Units or in use on the line serves",
		"units of the type that hangs there, which is not marked as stocked and has to be got"}[c]
}

// Move is a kind of change, the smallest first.
type Move uint8

// The moves.
const (
	SoundUnits Move = iota
	MoreUnits
	FewerUnits
	NewUnits
	OtherUnit
	MoreStrings
	OtherDuty
	NewAssembly
)

func (m Move) String() string {
	return [...]string{"sound units for defective ones", "more units", "fewer units", "new units for all that hang there", "another unit", "more strings side by side", "another duty", "a new assembly"}[m]
}

// Options are what a search is told.
type Options struct {
	Advisories bool   // mend them too
	Buy        bool   // units need not be in stock
	Workers    int    // lines worked on at a time; less than 1 means 1
	Lines      []bool // by line of the network: those whose exceptions are mended; nil means all
	forgets    bool   // nothing is remembered of one structure for others; of tests
}

// mends tells whether the exceptions of a line are mended.
func (o *Options) mends(line int) bool { return o.Lines == nil || o.Lines[line] }

// fits tells whether units of a kind are made for a duty.
func fitsDuty(kind basis.Kind, duty audit.Duty) bool {
	switch duty {
	case audit.Pin:
		return kind == basis.Pin
	case audit.Post:
		return kind == basis.Post
	case audit.Shackle:
		return kind == basis.Shackle
	}
	return kind == basis.CapAndPin || kind == basis.LongRod || kind == basis.Composite
}
