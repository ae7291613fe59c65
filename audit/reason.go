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
	NoAgeStated
	NotComposite
	NoRingsFromHere
	NoWorseZone
	NoneDeclared
	IsRangeOne
	IsRangeTwo
	NotCapAndPin
	NotThreePhase
	NotTensionString
	NotPinInsulator
	NotShackle
	OneKindOfUnit
	CannotPuncture
	NothingAlike
	SingleString
	WrongDutyAtEnd
	NotSuspension
	NoneOfThree
	PullsOneSidedly
	NotVSet
	VSetDoesNotSwing
	FewSuspensionStrings
	NoneDefective
	InsulatorFailed
	AsBuiltFallsShort
	NotTensionStructure
	SideIsEmpty
	PhaseHasNothing
	PhaseHasNoSides
	HasNoFittings

	// remarks on what meets
	WithinSurveyAccuracy
	WithinTerrainAccuracy
	OutcomeWithinTerrainAccuracy
	OutcomeWithinErrors
	TensionStandsAnywhere
	NoLevelIn1986
	GeometryDoubtful
	WeightSpanOfEqualHeights
	WithinPrintedTables
	MetByFlashover

	// what is taken for granted of ground levels, alone or beside a remark: see Taking
	firstTaking
	lastTaking = firstTaking + takingReasons - 1

	// not assessed
	FaultyField Reason = iota - 2 + takingReasons
	FigureUnknown
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
	NeutralVoltageNotStated
	PoleVoltageNotStated
	NoDirectCreepage
	ZoneOfAlternating
	DiameterOnDirect
	NoClass
	ZoneClassUnreadable
	ZoneFigureUnreadable
	ZoneAreaUnreadable
	ZonesAroundUnknown
	LastSeenUnknown
	AgeUnknown
	InstalledLater
	WatchedUnknown
	RingsNotStated
	ClassWithoutFigure
	GroundUnknown
	GroundOutsideRasters
	GroundVoid
	GroundBeyond
	GroundTorn
	DatumsDiffer
	AttachmentUnknown
	PhasesUnknown
	ConductorUnknown
	ColdTensionUnknown
	OtherConductor
	SpansDiffer
	SubconductorsNotStated
	BeyondExtract
	SectionLimitNotStated
	NoCrossingRule
	KindWithoutRule
	CrossingsMissing
	NoCrossings
	NoZoneMargin
	NoInspectionYears
	NoAges
	NoWatchList
	NoRingsAsked
	NoLoadCases
	NoBrokenConductor
	NoFlashoverMinimum
	NoFittingRatings
	LoadCasesMissing
	FactorNotStated
	NoFittingFactor
	FittingImplausible
	FactorAsksMaterial
	FactorAsksInstalled
	FactorAsksCrossings
	FactorAsksEnd
	CaseKindNotStated
	MaximumTensionUnknown
	EverydayTensionUnknown
	GivenTensionUnknown
	CaseTensionImplausible
	OwnFigureSuperseded
	LineFigureSuperseded
	StrengthUnknown
	StateUnknown
	VAngleUnknown
	TensionInV
	UnitNotOfDuty
	PullTooSmall
	RatingUnknown
	ResidualNotStated
	MaterialUnknown
	KindNotStated
	UnitKindNotStated
	CantileverUnknown
	StackCantileverUnknown
	CompressionUnknown
	AxialRatingUnknown
	MountingNotStated
	NoCompressionFactor
	NoAxialFactor
	NoShareLeft
	NoBrokenFactor
	NoBrokenFitting
	SlipImplausible
	OwnSlipSuperseded
	SwingLimitNotStated
	ClearanceNotStated
	CaseClearanceNotStated
	NoClearance
	WallDistanceNotStated
	WallSideNotStated
	FittingsNotStated
	FittingsContradict
	RoomContradicts
	AttachmentsInWall
	LoadCaseNotNamed
	SwingLimitOfShorter
	WindAreaUnknown
	SlackSpan
	LightningLevelNotStated
	SwitchingLevelNotStated
	WetLevelUnknown
	NoStandardPairs
	PairNotKnown
	AltitudeOutOfRange
	WithstandUnknown
	SeriesNotTested
	UnitTestedAlone
	WetAcrossHorns
	OutsideGapFormula
	OutsideFlashoverTable
	MinimaBetweenPhases
	UnitsLessThanTable
	FlashoverUnknown
	WithstandTellsNothing
	DryAcrossHorns
	LongestStringNotStated
	SpacingUnknown
	CouplingUnknown
	PunctureUnknown
	NothingRegisteredHere
	StringsNotStated
	NoRegister
	LineNotInRegister
	ShackleOnDirectCurrent
	PhaseNotHeld
	StructureMayBeMissing
	NumberMisspelt
	ManyStrayRows
	CheckFailed

	reasons
)

var reasonTexts = withTakings([reasons]string{
	NoReason: "",

	NotAtTerminal:        "the line does not end here",
	NotAtTee:             "no other line ends here",
	CarriesNoPhase:       "earth-wire and guy insulators carry no phase conductor",
	IsJumper:             "jumper strings hang in suspension at tension structures",
	AtLineEnd:            "the line ends here, there is no deviation",
	NoCrossing:           "no span of it crosses anything the rules name",
	NothingChanges:       "nothing changes here",
	NotComposite:         "no composite",
	NoRingsFromHere:      "the criteria ask for no grading rings at this voltage",
	NoAgeStated:          "no age is stated for what hangs here",
	NoWorseZone:          "no worse zone within the margin",
	NoneDeclared:         "no duty declared",
	IsRangeOne:           "range I (Um up to 245, or 252, kV) is not judged by switching impulse",
	IsRangeTwo:           "range II (Um above 245, or 252, kV) is not judged by wet power frequency",
	NotCapAndPin:         "no string of cap-and-pin units",
	NotThreePhase:        "direct current or single-phase; the counting rule is of three-phase lines",
	NotTensionString:     "no tension assembly",
	NotPinInsulator:      "no pin insulator",
	NotShackle:           "no shackle insulator",
	OneKindOfUnit:        "the string is of one kind of unit",
	CannotPuncture:       "long rods, posts and composites cannot puncture",
	WrongDutyAtEnd:       "no tension assembly at a line end; tension-at-terminal speaks",
	SingleString:         "no parallel strings",
	NotSuspension:        "no suspension assembly",
	NoneOfThree:          "no suspension, pin or post assembly",
	PullsOneSidedly:      "the line or the circuit ends here, where one span alone pulls at all times",
	NotVSet:              "no V set",
	VSetDoesNotSwing:     "a V set does not swing",
	NothingAlike:         "no uniform strings around it to compare with",
	FewSuspensionStrings: "fewer than three suspension strings of the line in this class to compare with",
	InsulatorFailed:      "a long rod or composite with a defect has failed; sound-units says so",
	NoneDefective:        "no defective unit",
	AsBuiltFallsShort:    "the string as built already falls short",
	NotTensionStructure:  "no tension assembly of this circuit here",
	SideIsEmpty:          "nothing on this side; side-missing speaks",
	PhaseHasNothing:      "a phase has nothing on this side; phase-missing speaks",
	PhaseHasNoSides:      "a phase of the circuit does not hang in tension here, so that it has no sides",

	HasNoFittings: "pins, posts and shackles have no fittings of a string",

	WithinSurveyAccuracy:         "the deviation limit is within survey accuracy",
	WithinTerrainAccuracy:        "zero is within the accuracy of ground levels from rasters",
	OutcomeWithinTerrainAccuracy: "another outcome is within the accuracy of ground levels from rasters",
	OutcomeWithinErrors:          "another outcome is within two standard errors of the inputs",
	TensionStandsAnywhere:        "a tension assembly may stand anywhere",
	GeometryDoubtful:             "beside doubtful geometry, see Faults",
	WithinPrintedTables:          "within the difference of printed tables",
	MetByFlashover:               "by its flashover: its rule asks for withstand, and the wet share of the flashover is less",
	WeightSpanOfEqualHeights:     "attachment heights not stated, taken as equal above ground",
	NoLevelIn1986:                "the levels of 1986 have none for class a; 22.0/√3 mm/kV was used",

	FaultyField:             "a field it needs is faulty, see Faults",
	FigureUnknown:           "a figure is unknown",
	DutyNotStated:           "duty not stated",
	SideNotStated:           "side of the tension assembly not stated",
	UnitNotStated:           "unit not stated",
	UnitCreepageUnknown:     "creepage of the unit unknown",
	UnitsNotStated:          "units per string not stated",
	DefectiveNotStated:      "defective units not stated",
	DeviationUnknown:        "deviation unknown",
	PinLimitNotStated:       "no deviation limit stated for pin and post assemblies",
	VoltageUnknown:          "voltage of the line not stated",
	VoltageNotStandard:      "no highest voltage stated, and none is standard for the nominal voltage",
	LowVoltage:              "low voltage (up to 1 kV, of direct current 1.5 kV), outside the creepage standard",
	DirectCurrentLine:       "direct current, of which creepage alone is judged",
	NeutralNotEarthed:       "neutral not earthed or single-phase, and no creepage voltage stated",
	NeutralVoltageNotStated: "neutral not earthed, and neither a creepage voltage nor in the criteria what stands along strings, Um or Um/√3, stated",
	PoleVoltageNotStated:    "direct current, and no pole-to-earth voltage stated, which is its creepage voltage",
	NoDirectCreepage:        "direct current, and no specific creepage of it stated for the class",
	ZoneOfAlternating:       "direct current, and the zone states no class but a specific creepage of alternating current",
	DiameterOnDirect:        "direct current, and units of 300 mm or more on average, for which there is no diameter factor here",
	NoClass:                 "outside every pollution zone, and no default class",
	ZoneClassUnreadable:     "class of the zone not readable",
	ZoneFigureUnreadable:    "specific creepage of the zone not readable, without its base, or at odds with its class",
	ZoneAreaUnreadable:      "a worse zone may lie here, whose area is not readable",
	AgeUnknown:              "whether all that hangs here is below its age is not known",
	InstalledLater:          "whether all that hangs here is below its age is not known: a date of installation is later than the day of the audit, see Faults",
	WatchedUnknown:          "whether something that hangs here is on the watch list is not known: its type, make, material or year of installation",
	RingsNotStated:          "grading rings of the composite not stated",
	LastSeenUnknown:         "when all that hangs here was last inspected, or installed, is not known",
	ZonesAroundUnknown:      "whether the strings to compare with are in the same class is not known, see Faults",
	ClassWithoutFigure:      "the class has no specific creepage on this basis",
	GroundUnknown:           "ground level unknown",
	GroundOutsideRasters:    "ground level unknown: the rasters have none here, outside all their samples",
	GroundVoid:              "ground level unknown: a sample of the raster beside it has no value",
	GroundBeyond:            "ground level unknown: a sample of the raster beside it is no height of ground",
	GroundTorn:              "ground level unknown: a sample of the raster beside it is exactly 0 and another stands high",
	DatumsDiffer:            "ground levels of the span are above different vertical datums",
	AttachmentUnknown:       "attachment height unknown beside others that the line states",
	PhasesUnknown:           "which phases the circuit has is not known",
	ConductorUnknown:        "conductor of the line not stated, or not in the catalogue",
	ColdTensionUnknown:      "cold tension of the line not stated",
	BeyondExtract:           "the line goes on beyond the extract, and a span of it is not known",
	SubconductorsNotStated:  "subconductors of the line not stated; from 300 kV up one is not taken for granted",
	OtherConductor:          "a span carries another conductor than the line's, and the load case does not give its tension",
	SpansDiffer:             "the two spans carry different conductors or bundles",
	SectionLimitNotStated:   "section limit of the line not stated",
	NoCrossingRule:          "crosses something for which the criteria have no rule",
	KindWithoutRule:         "crosses something for which the criteria have no rule, though they have some",
	CrossingsMissing:        "no crossings given, though the criteria have rules for them",
	NoCrossings:             "no crossings and no long-span limit given",
	NoZoneMargin:            "no zone margin in the criteria",
	NoAges:                  "no ages in the criteria",
	NoWatchList:             "no watch list in the criteria",
	NoRingsAsked:            "no grading rings in the criteria",
	NoInspectionYears:       "no interval of inspections in the criteria",
	NoFittingRatings:        "no rating of fittings stated",
	NoLoadCases:             "no load cases in the criteria",
	NoBrokenConductor:       "no broken conductor in the criteria",
	NoFlashoverMinimum:      "no table of flashover minima in the criteria",
	LoadCasesMissing:        "no load cases in the criteria, though an insulator factor or a swing limit asks for them",
	FactorNotStated:         "no insulator factor for this duty in the criteria",
	FittingImplausible:      "a fitting is rated at more than five times what the strings are together, or where that is not known more than the strongest units, which is likely another unit of measure",
	NoFittingFactor:         "no insulator factor for fittings in the criteria",
	FactorAsksMaterial:      "material of a unit not stated, by which insulator factors go that would not judge alike",
	FactorAsksInstalled:     "when it was installed is not known, by which insulator factors go that would not judge alike",
	FactorAsksCrossings:     "no crossings given, by which insulator factors go that would not judge alike",
	FactorAsksEnd:           "whether the line or the circuit ends here is in doubt, by which insulator factors go that would not judge alike",
	CaseKindNotStated:       "a load case states no kind, by which insulator factors go that would not judge alike",
	MaximumTensionUnknown:   "maximum tension of the line not stated",
	EverydayTensionUnknown:  "everyday tension or temperature of the line not stated",
	GivenTensionUnknown:     "what the load case gives in kN is the tension of a conductor that the line has no more",
	CaseTensionImplausible:  "the tension that a load case states is above the rated strength of the conductor, or so low that spans would hang as on no line, or below the everyday tension, see Faults",
	OwnFigureSuperseded:     "what the structure itself states is superseded: it is for a voltage or a conductor that the line has no more",
	LineFigureSuperseded:    "what the line stated went with what the scenario replaces (voltage, neutral, conductor or load), and the scenario states nothing in its place",
	StrengthUnknown:         "rated strength of the conductor unknown",
	StateUnknown:            "modulus, area, expansion or a temperature unknown, so that the tension cannot be calculated",
	PullTooSmall:            "the pull stated at the support is less than the weight of its spans makes it, or what they weigh is not known",
	VAngleUnknown:           "angle of the V set not stated",
	TensionInV:              "a V arrangement of a tension assembly is not judged",
	UnitNotOfDuty:           "a pin or post is said to be a string or shackle, a shackle to hang in suspension, or a disc or long rod to be a pin, post or shackle: duty and unit contradict each other",
	RatingUnknown:           "rating of the string unknown",
	ResidualNotStated:       "defective units, and the criteria state no residual strength for their material",
	MaterialUnknown:         "defective units whose material is not stated",
	KindNotStated:           "defective units of a kind that is not stated, which may have failed the whole string",
	UnitKindNotStated:       "kind of the unit not stated",
	CantileverUnknown:       "cantilever rating of the insulator unknown",
	StackCantileverUnknown:  "cantilever rating of a stack of posts unknown, of which that of one tells too much; one unit of the sheet Units may state that of the stack",
	CompressionUnknown:      "compression rating of the pin or post unknown",
	AxialRatingUnknown:      "rating of the pin or post for a pull along its axis unknown",
	MountingNotStated:       "mounting of the post not stated, and upright and horizontal it would not be judged alike",
	NoCompressionFactor:     "no insulator factor for compression in the criteria",
	NoAxialFactor:           "no insulator factor for tension in the criteria, which the pull along the axis of a pin or post needs",
	NoShareLeft:             "no share of the tension that a broken conductor leaves, for this duty, in the criteria",
	NoBrokenFactor:          "no factor for a broken conductor, for this duty, in the criteria",
	NoBrokenFitting:         "no factor for fittings under a broken conductor in the criteria",
	SlipImplausible:         "the slip load is less than a tenth of the tension, which holds no conductor in place",
	OwnSlipSuperseded:       "the slip load that the assembly states is superseded: it is for a conductor that the line has no more",
	SwingLimitNotStated:     "neither a swing limit nor a clearance stated",
	ClearanceNotStated:      "neither clearance nor swing limit stated for a load case",
	CaseClearanceNotStated:  "clearance not stated for a load case",
	NoClearance:             "no clearance stated",
	WallSideNotStated:       "on which side of the V set the wall stands is not stated, and the turn pulls to one of them",
	WallDistanceNotStated:   "wall distance not stated, which a clearance asks for",
	FittingsNotStated:       "neither length of the string with its fittings nor fittings of the line stated, which a clearance asks for",
	FittingsContradict:      "the length stated of the string is more than that of its units, but less than theirs with the fittings of the line",
	RoomContradicts:         "the wall distance is more than the arm length",
	AttachmentsInWall:       "the attachments of the V set, by its angle and the length of its legs, are behind the wall",
	SwingLimitOfShorter:     "the swing limit is stated in degrees, for the shorter string that hangs; state Arm length or Wall distance and Clearance to have a longer one judged",
	LoadCaseNotNamed:        "a swing limit, a clearance or the broken conductor names a load case that the criteria do not have",
	WindAreaUnknown:         "neither wind area nor diameter and spacing of the unit known",
	SlackSpan:               "a slack span to a gantry has a tension of its own, which is not stated",
	LightningLevelNotStated: "lightning level of the line not stated",
	SwitchingLevelNotStated: "switching level of the line not stated",
	WetLevelUnknown:         "no standard power frequency level goes with the line's lightning level",
	NoStandardPairs:         "no standard pairs of insulation levels are known for the line's highest voltage",
	PairNotKnown:            "the switching level is a national addition, whose pairs are not known",
	AltitudeOutOfRange:      "altitude outside the range of the altitude formula",
	WithstandUnknown:        "no tested value, outside the disc table, and no arcing distance or no formula for it",
	SeriesNotTested:         "long rods, composites or posts in series with other units, and no tested value of the string",
	UnitTestedAlone:         "tested values of one unit are not used for a string of several, which is outside the disc table and states no arcing distance",
	WetAcrossHorns:          "the arcing distance is shorter than the string, and there is no wet formula for it",
	OutsideGapFormula:       "arcing distance or gap factor outside the range of the gap formula",
	OutsideFlashoverTable:   "the table of flashover minima that the criteria choose has none for the line's voltage",
	UnitsLessThanTable:      "a unit states less flashover or withstand than a disc of the table has, and of several nobody states it",
	MinimaBetweenPhases:     "the tables of flashover minima go by the voltage between phases, which a railway and a single phase have not or do not tell",
	FlashoverUnknown:        "dry or wet flashover of the string unknown: outside the disc table, and its unit states none",
	WithstandTellsNothing:   "the tested wet withstand is less than the table asks for, and what the string flashes over at may be more",
	DryAcrossHorns:          "the arcing distance is shorter than the string, and the flashover across it is not known",
	LongestStringNotStated:  "longest string of the line not stated",
	SpacingUnknown:          "spacing of the unit unknown",
	CouplingUnknown:         "coupling of a unit unknown",
	PunctureUnknown:         "dry flashover or puncture voltage of the unit unknown",
	NothingRegisteredHere:   "no assembly registered here",
	StringsNotStated:        "number of strings not stated",
	NoRegister:              "no register given",
	LineNotInRegister:       "the register has no row of this line",
	ShackleOnDirectCurrent:  "direct current of more than 1 kV and up to 1.5 kV, for which nobody says whether shackles serve",
	PhaseNotHeld:            "a phase is not registered on both sides of a tension structure within it",
	StructureMayBeMissing:   "a structure may be missing beside it, see Faults",
	NumberMisspelt:          "a row left out names the structure in another spelling, see Faults",
	ManyStrayRows:           "more than a tenth of the line's rows stand on no structure, see Faults",
	CheckFailed:             "the check failed, an error of the program, see Run",
})

func (r Reason) String() string { return reasonTexts[r] }

// IsFaulty tells whether something is stated that cannot count: what it says is not known, and nothing stands in for it.
func (r Reason) IsFaulty() bool {
	return r == FaultyField || r == CaseTensionImplausible || r == OwnFigureSuperseded || r == LineFigureSuperseded || r == OwnSlipSuperseded
}
