package audit

import "dryarc/audit/basis"

// Duty is what an assembly is there to do.
type Duty uint8

// The duties of the register.
const (
	DutyUnknown Duty = iota
	Suspension
	Tension
	Pin
	Post
	Shackle
	Jumper    // pilot string that steadies the jumper at a tension structure; hangs in suspension
	EarthWire // carries no phase conductor
	Guy       // carries no phase conductor
)

var dutyNames = [...]string{"unknown", "suspension", "tension", "pin", "post", "shackle", "jumper", "earth wire", "guy"}

func (d Duty) String() string { return dutyNames[d] }

// CarriesPhase tells whether an assembly of this duty supports a phase conductor in its spans.
func (d Duty) CarriesPhase() bool { return d >= Suspension && d <= Shackle }

// HasSides tells whether assemblies of this duty belong to one side of the structure.
func (d Duty) HasSides() bool { return d == Tension }

// Side is the side of a structure, seen in the direction of rising structure order.
type Side uint8

// The sides. NoSide is written as nothing.
const (
	NoSide Side = iota
	Back
	Ahead
	BothSides // one row for a set each way
)

var sideNames = [...]string{"", "back", "ahead", "both"}

func (s Side) String() string { return sideNames[s] }

// Serves tells whether an assembly of this side belongs to another side too, or is of the same.
func (s Side) Serves(other Side) bool {
	return s == other || s == BothSides && other != NoSide || other == BothSides && s != NoSide
}

// each lists the sides that a side stands for.
func (s Side) each() []Side {
	if s == BothSides {
		return bothSides[:]
	}
	return oneSide[s : s+1]
}

var oneSide = [...]Side{NoSide, Back, Ahead}

// Arrangement is how the strings of an assembly hang together.
type Arrangement uint8

// The arrangements of the register.
const (
	ArrangementUnknown Arrangement = iota
	Single
	Parallel
	VSet
)

var arrangementNames = [...]string{"", "single", "parallel", "V"}

func (a Arrangement) String() string { return arrangementNames[a] }

// Mounting is how a pin or post insulator stands: its axis decides which load bends it and which pulls or pushes it.
type Mounting uint8

// The mountings of the register.
const (
	MountingUnknown Mounting = iota
	Upright
	Horizontal
)

var mountingNames = [...]string{"", "upright", "horizontal"}

func (m Mounting) String() string { return mountingNames[m] }

// WallSide is on which side of a string the body of its structure or a wall stands, seen along the line.
type WallSide uint8

// The sides of a wall.
const (
	WallSideUnknown WallSide = iota
	WallLeft
	WallRight
	WallsOnBothSides
)

var wallSideNames = [...]string{"", "left", "right", "both"}

func (w WallSide) String() string { return wallSideNames[w] }

// System is how the neutral of a line is treated, which decides what voltage stands along a string.
type System uint8

// The systems of the Lines sheet. An unknown one is taken as a three-phase line with earthed neutral, and that is
// listed as an assumption.
const (
	SystemUnknown System = iota
	Earthed
	Isolated
	Resonant
	SinglePhase
	DirectCurrent
	SinglePhaseRailway // the contact line of an electrified railway, and its feeders: alternating voltage to earth
	DirectRailway      // the same with direct voltage to earth
)

// ThreePhase tells whether a system is, or is taken to be, a three-phase one.
func (s System) ThreePhase() bool {
	return s != SinglePhase && s != DirectCurrent && !s.IsRailway()
}

// IsRailway tells whether the voltages of a system are those of a railway: between its contact line and earth.
func (s System) IsRailway() bool { return s == SinglePhaseRailway || s == DirectRailway }

// IsDirect tells whether a system has direct voltages.
func (s System) IsDirect() bool { return s == DirectCurrent || s == DirectRailway }

var systemNames = [...]string{"", "earthed", "isolated", "resonant", "single-phase", "direct current", "single-phase railway", "direct-current railway"}

func (s System) String() string { return systemNames[s] }

// Role is the first that applies of terminal, tee, angle, tangent.
type Role uint8

// The roles of a structure along its line.
const (
	RoleUnknown Role = iota
	Terminal
	Tee
	Angle
	Tangent
)

var roleNames = [...]string{"", "terminal", "tee", "angle", "tangent"}

func (r Role) String() string { return roleNames[r] }

// DeclaredRole is what the owner says a structure is, beyond what geometry can tell.
type DeclaredRole uint8

// The declared roles of the structure property `role`.
const (
	NoDeclaredRole DeclaredRole = iota
	DeclaredTerminal
	Gantry
	CableEnd
	Transposition
)

var declaredRoleNames = [...]string{"", "terminal", "gantry", "cable end", "transposition"}

func (r DeclaredRole) String() string { return declaredRoleNames[r] }

// Family is the group of structures by deviation that the schedule of requirements uses.
type Family uint8

// The families, from tangent to sharp in the order of basis.DeviationFamily.
const (
	FamilyUnknown Family = iota
	TangentFamily
	Light
	Medium
	Heavy
	Sharp
	TerminalFamily
)

var familyNames = [...]string{"", "tangent", "light", "medium", "heavy", "sharp", "terminal"}

func (f Family) String() string { return familyNames[f] }

// FamilyOf returns the family of a structure that is no terminal from the size of its deviation in degrees.
func FamilyOf(deviationDeg float64) Family {
	family, ok := basis.DeviationFamily(deviationDeg)
	if !ok {
		return FamilyUnknown
	}
	return TangentFamily + Family(family)
}

// Spelling is one accepted spelling of a vocabulary.
type Spelling[T any] struct {
	Text  string
	Value T
}

// DutyWords are the spellings of the Duty column.
func DutyWords() []Spelling[Duty] {
	return []Spelling[Duty]{
		{"suspension", Suspension}, {"tension", Tension}, {"pin", Pin}, {"post", Post}, {"shackle", Shackle},
		{"jumper", Jumper}, {"earth wire", EarthWire}, {"guy", Guy},
	}
}

// SideWords are the spellings of the Side column.
func SideWords() []Spelling[Side] {
	return []Spelling[Side]{{"back", Back}, {"ahead", Ahead}, {"both", BothSides}}
}

// ArrangementWords are the spellings of the Arrangement column.
func ArrangementWords() []Spelling[Arrangement] {
	return []Spelling[Arrangement]{{"single", Single}, {"parallel", Parallel}, {"V", VSet}}
}

// MountingWords are the spellings of the Mounting column.
func MountingWords() []Spelling[Mounting] {
	return []Spelling[Mounting]{{"upright", Upright}, {"horizontal", Horizontal}}
}

// WallSideWords are the spellings of the Wall side column.
func WallSideWords() []Spelling[WallSide] {
	return []Spelling[WallSide]{{"left", WallLeft}, {"right", WallRight}, {"both", WallsOnBothSides}}
}

// SystemWords are the spellings of the System column.
func SystemWords() []Spelling[System] {
	return []Spelling[System]{
		{"earthed", Earthed}, {"isolated", Isolated}, {"resonant", Resonant}, {"single-phase", SinglePhase},
		{"direct current", DirectCurrent}, {"dc", DirectCurrent}, {"single-phase railway", SinglePhaseRailway}, {"direct-current railway", DirectRailway},
	}
}

// DeclaredRoleWords are the spellings of the structure property role.
func DeclaredRoleWords() []Spelling[DeclaredRole] {
	return []Spelling[DeclaredRole]{
		{"terminal", DeclaredTerminal}, {"gantry", Gantry}, {"cable end", CableEnd}, {"transposition", Transposition},
	}
}
