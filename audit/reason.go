package audit

// Reason says why a check was not applicable or not assessed, or remarks on a subject that meets. Reasons are a
// vocabulary, not free text, so that Coverage can count them.
type Reason uint8

// The reasons. A new check that needs one more adds it here and in reasonTexts.
const (
	NoReason Reason = iota

	// not applicable
	NotAtTerminal
	NotAtTee
	CarriesNoPhase
	IsJumper
	AtLineEnd
	NoCrossing
	NothingChanges
	NoWorseZone
	NoneDeclared
	NoneDefective
	AsBuiltFallsShort
	NotTensionStructure
	SideIsEmpty

	// remarks on what meets
	WithinSurveyAccuracy
	TensionStandsAnywhere
	NoLevelIn1986
	GeometryDoubtful
	WeightSpanOfEqualHeights

	// not assessed
	FaultyField
	DutyNotStated
	SideNotStated
	UnitNotStated
	UnitCreepageUnknown
	UnitsNotStated
	DefectiveNotStated
	DeviationUnknown
	PinLimitNotStated
	VoltageUnknown
	VoltageNotStandard
	LowVoltage
	DirectCurrentLine
	NeutralNotEarthed
	NoClass
	ClassWithoutFigure
	GroundUnknown
	PhasesUnknown
	ConductorUnknown
	ColdTensionUnknown
	OtherConductor
	SectionLimitNotStated
	NoCrossingRule
	NoCrossings
	NoZoneMargin
	NothingRegisteredHere
	StringsNotStated
	NoRegister
	LineNotInRegister

	reasons
)

var reasonTexts = [reasons]string{
	NoReason: "",

	NotAtTerminal:       "the line does not end here",
	NotAtTee:            "no other line ends here",
	CarriesNoPhase:      "earth-wire and guy insulators carry no phase conductor",
	IsJumper:            "jumper strings hang in suspension at tension structures",
	AtLineEnd:           "the line ends here, there is no deviation",
	NoCrossing:          "no span of it crosses anything the rules name",
	NothingChanges:      "nothing changes here",
	NoWorseZone:         "no worse zone within the margin",
	NoneDeclared:        "no duty declared",
	NoneDefective:       "no defective unit",
	AsBuiltFallsShort:   "the string as built already falls short",
	NotTensionStructure: "no tension assembly of this circuit here",
	SideIsEmpty:         "nothing on this side; side-missing speaks",

	WithinSurveyAccuracy:  "meets, but the limit is within survey accuracy",
	TensionStandsAnywhere: "a tension assembly may stand anywhere",
	NoLevelIn1986:         "the levels of 1986 have none for class a; 22.0/√3 mm/kV was used",

	FaultyField:           "a field it needs is faulty, see Faults",
	DutyNotStated:         "duty not stated",
	SideNotStated:         "side of the tension assembly not stated",
	UnitNotStated:         "unit not stated",
	UnitCreepageUnknown:   "creepage of the unit unknown",
	UnitsNotStated:        "units per string not stated",
	DefectiveNotStated:    "defective units not stated",
	DeviationUnknown:      "deviation unknown",
	PinLimitNotStated:     "no deviation limit stated for pin and post assemblies",
	VoltageUnknown:        "voltage of the line not stated",
	VoltageNotStandard:    "no highest voltage stated, and none is standard for the nominal voltage",
	LowVoltage:            "up to 1 kV, outside the creepage standard",
	DirectCurrentLine:     "direct current, outside the creepage standard used here",
	NeutralNotEarthed:     "neutral not earthed or single-phase, and no creepage voltage stated",
	NoClass:               "outside every pollution zone, and no default class",
	ClassWithoutFigure:    "the class has no specific creepage on this basis",
	GroundUnknown:         "ground level unknown",
	PhasesUnknown:         "which phases the circuit has is not known",
	ConductorUnknown:      "conductor of the line not stated, or not in the catalogue",
	ColdTensionUnknown:    "cold tension of the line not stated",
	OtherConductor:        "a span carries another conductor than the line's",
	SectionLimitNotStated: "section limit of the line not stated",
	NoCrossingRule:        "crosses something for which the criteria have no rule",
	NoCrossings:           "no crossings and no long-span limit given",
	NoZoneMargin:          "no zone margin in the criteria",
	NothingRegisteredHere: "no assembly registered here",
	StringsNotStated:      "number of strings not stated",
	NoRegister:            "no register given",
	LineNotInRegister:     "the register has no row of this line",
}

func (r Reason) String() string { return reasonTexts[r] }
