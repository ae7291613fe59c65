package basis

import (
	"math"
	"strings"
)

// Kind is the construction of an insulator.
type Kind uint8

// The kinds of insulator.
const (
	KindUnknown Kind = iota
	CapAndPin
	LongRod
	Composite
	Pin
	Post
	Shackle
)

var kindNames = [...]string{"unknown", "cap-and-pin", "long rod", "composite", "pin", "post", "shackle"}

// ParseKind reads a kind in any case and in the spellings of the trade: "cap-and-pin", "cap & pin", "disc", "long
// rod", "composite", "polymer", "pin", "line post", "shackle", "spool". Anything else is false.
func ParseKind(text string) (Kind, bool) {
	key := strings.NewReplacer("-", "", " ", "", "_", "", "&", "and").Replace(strings.ToLower(text))
	key = strings.TrimSuffix(strings.TrimSuffix(key, "s"), "insulator")
	switch key {
	case "capandpin", "cappin", "disc", "disk", "suspensiondisc", "suspensiondisk", "caperuzayvástago", "caperuzayvastago", "caperuzavástago", "campânulaepino",
		"capotettige", "kappenisolator", "kappenisolatoren":
		return CapAndPin, true
	case "longrod", "rod", "langstab", "langstabisolator", "fûtlong":
		return LongRod, true
	case "composite", "polymer", "polymeric", "siliconerubber", "compositelongrod", "compuesto", "polimérico", "polimérica", "verbund", "verbundisolator":
		return Composite, true
	case "pin", "pintype":
		return Pin, true
	case "post", "linepost", "solidpost":
		return Post, true
	case "shackle", "shackletype", "spool":
		return Shackle, true
	}
	return KindUnknown, false
}

// String returns the name of the kind.
func (k Kind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return kindNames[KindUnknown]
}

// CanPuncture reports whether the insulator can puncture: cap-and-pin, pin and shackle types can (class B of
// IEC 60383-1), long rods, solid posts and composites cannot (class A).
func (k Kind) CanPuncture() bool { return k == CapAndPin || k == Pin || k == Shackle }

// HasUnitCount reports whether a string is built of a number of units that share its length, which only cap-and-pin
// units do.
func (k Kind) HasUnitCount() bool { return k == CapAndPin }

// MayCountUnits reports whether a string of a number of units may be built of units that share its length: of cap-and-pin units it is, and of
// several units of a kind that nobody states it may be.
func (k Kind) MayCountUnits(units int) bool { return k.HasUnitCount() || k == KindUnknown && units > 1 }

// Unit is one insulator as a catalogue or a register describes it. A number that is not known is NaN.
//
// The voltages belong to one unit and do not multiply with the number of units in a string. DryKV and WetKV are power
// frequency flashover, LightningKV the lightning impulse flashover on the smaller polarity, PunctureKV
// the power frequency puncture voltage.
type Unit struct {
	Name              string
	Kind              Kind
	Material          string
	Make              string  // maker
	RatingKN          float64 // specified mechanical or electromechanical failing load
	CantileverKN      float64 // failing load across the axis, posts and pins
	CompressionKN     float64 // failing load along the axis, pushed, posts and pins; RatingKN is pulled
	SpacingMM         float64 // the length one unit adds to a string
	CreepageMM        float64 // a tabulated minimum
	DiameterMM        float64 // overall, a tabulated maximum
	AverageDiameterMM float64 // the diameter DiameterFactor takes
	WeightKg          float64
	WindAreaM2        float64
	Coupling          string // designation of the coupling; only equal couplings fit
	DryKV             float64
	WetKV             float64
	LightningKV       float64
	PunctureKV        float64
	// LightningWithstandKV and WetWithstandKV are withstand voltages, which win over what follows from flashover, as WetSwitchingKV is of
	// switching impulse in rain.
	LightningWithstandKV float64
	WetWithstandKV       float64
	WetSwitchingKV       float64
	ArcingMM             float64 // dry arcing distance including horns
	Stocked              bool
	Price                float64
	Clause               Clause // where the figures come from; none where a project states some of them
	// RatingClause and CreepageClause are where these two come from that a project leaves as they are in the catalogue; none where it
	// states them, or where Clause says it.
	RatingClause, CreepageClause Clause
}

// RatingSource returns where the rating comes from, no clause where a project states it.
func (u *Unit) RatingSource() Clause { return u.sourceOr(u.RatingClause) }

// CreepageSource returns where the creepage comes from, no clause where a project states it.
func (u *Unit) CreepageSource() Clause { return u.sourceOr(u.CreepageClause) }

func (u *Unit) sourceOr(own Clause) Clause {
	if !u.Clause.IsZero() {
		return u.Clause
	}
	return own
}

// UnknownUnit returns a unit of which nothing is known: every number is NaN.
func UnknownUnit() Unit {
	nan := math.NaN()
	return Unit{
		RatingKN: nan, CantileverKN: nan, CompressionKN: nan, SpacingMM: nan, CreepageMM: nan, DiameterMM: nan, AverageDiameterMM: nan,
		WeightKg: nan, WindAreaM2: nan, DryKV: nan, WetKV: nan, LightningKV: nan, PunctureKV: nan, ArcingMM: nan,
		LightningWithstandKV: nan, WetWithstandKV: nan, WetSwitchingKV: nan,
		Price: nan,
	}
}

// WindAreaAtMostM2 is the area of a unit that the wind meets: what it states, else the rectangle of its diameter and its spacing, in
// which it stands; NaN if unknown.
//
//	D·P
//
// Source: geometry (computed).
func (u *Unit) WindAreaAtMostM2() float64 {
	if !math.IsNaN(u.WindAreaM2) {
		return u.WindAreaM2
	}
	return u.DiameterMM * u.SpacingMM / 1e6
}
