package audit

// Field is something a check may need to know of its subject.
type Field uint8

// The fields. A row that holds a faulty value stays in the audit with that field unknown.
const (
	FieldDuty Field = iota
	FieldSide
	FieldPhase
	FieldUnit
	FieldUnitsPerString
	FieldStrings
	FieldDefective
	FieldCreepage
	FieldArrangement
	FieldRating
	FieldLength
	FieldArcing
	FieldTested // withstand voltages stated by the row
	FieldDate
	FieldRemarks
	FieldGround
	FieldAttachment
	FieldSequence
	FieldDeclared // duty, role or continuation that the GIS declares
	FieldDeviationLimit
	FieldVoltage
	FieldCircuits
	FieldConductor
	FieldTension
	FieldLimits
	FieldDeviation
	FieldSpecificCreepage
	FieldPhaseToEarth
	FieldWeightSpan
	FieldSectionLimit
	FieldLightningWithstand // level, altitude and withstand of the string
	FieldSwitchingWithstand
	FieldWetWithstand
	FieldNominalVoltage
	FieldHighestVoltage
	FieldStringLength
	FieldLongestString
	FieldCouplings
	FieldPuncture
	FieldPull       // load of the worst load case on one string
	FieldPullBroken // the same with one of the parallel strings broken
	FieldSwing
	FieldSwingLimit
	FieldRatingOfString
	FieldCreepageAltitude // the ground level, where the criteria raise creepage with altitude
	fields
)

var fieldNames = [fields]string{
	"duty", "side", "phase", "unit", "units per string", "strings", "defective units", "creepage of the string",
	"arrangement", "rating", "length", "arcing distance", "tested withstand", "date", "remarks", "ground level",
	"attachment height", "sequence", "declared duty or role", "deviation limit", "voltage", "circuits and phases",
	"conductor", "tension", "limits of the line", "deviation", "specific creepage of the site",
	"phase-to-earth voltage", "weight span in the cold case", "section limit",
	"lightning level, ground level and lightning withstand", "switching level, ground level and switching withstand",
	"power frequency level, ground level and wet withstand", "nominal voltage", "highest voltage", "length of the string",
	"longest string of the line", "couplings of the units", "dry flashover and puncture voltage of the unit",
	"load cases, factor, conductor, tension and ground levels", "load cases, factor for a broken string, conductor, tension and ground levels",
	"load cases, conductor, tension and ground levels", "swing limit", "rating of the string, of pin, post and shackle insulators the cantilever rating", "ground level, where creepage is raised with altitude",
}

func (f Field) String() string { return fieldNames[f] }

// FieldSet is a set of fields.
type FieldSet uint32

// Has tells whether the set holds a field.
func (s FieldSet) Has(f Field) bool { return s&(1<<f) != 0 }

// With returns the set with one more field.
func (s FieldSet) With(f Field) FieldSet { return s | 1<<f }
