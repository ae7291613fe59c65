package audit

// LackedBy is what a datum is stated of that keeps verdicts back.
type LackedBy uint8

// What lacks a datum.
const (
	LackedByNothing   LackedBy = iota // no datum would judge it
	LackedByUnit                      // a type of unit
	LackedByRow                       // rows of the register
	LackedByStructure                 // structures, or what is around them
	LackedByLine                      // lines, by the sheet Lines, or their conductors
	LackedByCriteria                  // the project file
)

// lacks says of what a datum is stated, and where it has a place of its own in the inputs by which name: the heading of its column, the
// property of its structure, the key of its criterion.
type lacks struct {
	of   LackedBy
	name string
}

// lackedBy has each reason for which nothing is judged though the project asks for it, but for FaultyField, which is told by its fault.
var lackedBy = [reasons]lacks{
	UnitCreepageUnknown:    {LackedByUnit, "Creepage (mm)"},
	WithstandUnknown:       {LackedByUnit, ""},
	SeriesNotTested:        {LackedByUnit, ""},
	UnitTestedAlone:        {LackedByUnit, ""},
	WetAcrossHorns:         {LackedByUnit, ""},
	OutsideGapFormula:      {LackedByUnit, ""},
	FlashoverUnknown:       {LackedByUnit, ""},
	DryAcrossHorns:         {LackedByUnit, ""},
	RatingUnknown:          {LackedByUnit, "Rating (kN)"},
	MaterialUnknown:        {LackedByUnit, "Material"},
	KindNotStated:          {LackedByUnit, "Kind"},
	UnitKindNotStated:      {LackedByUnit, "Kind"},
	CantileverUnknown:      {LackedByUnit, "Cantilever (kN)"},
	StackCantileverUnknown: {LackedByUnit, "Cantilever (kN)"},
	CompressionUnknown:     {LackedByUnit, "Compression (kN)"},
	AxialRatingUnknown:     {LackedByUnit, "Rating (kN)"},
	WindAreaUnknown:        {LackedByUnit, "Wind area (m2)"},
	SpacingUnknown:         {LackedByUnit, "Spacing (mm)"},
	CouplingUnknown:        {LackedByUnit, "Coupling"},
	PunctureUnknown:        {LackedByUnit, ""},

	FigureUnknown:      {LackedByRow, ""},
	DutyNotStated:      {LackedByRow, "Duty"},
	UnitNotOfDuty:      {LackedByRow, "Duty"},
	SideNotStated:      {LackedByRow, "Side"},
	UnitNotStated:      {LackedByRow, "Unit"},
	UnitsNotStated:     {LackedByRow, "Units per string"},
	DefectiveNotStated: {LackedByRow, "Defective units"},
	LastSeenUnknown:    {LackedByRow, "Inspected"},
	AgeUnknown:         {LackedByRow, "Installed"},
	InstalledLater:     {LackedByRow, "Installed"},
	WatchedUnknown:     {LackedByRow, ""},
	RingsNotStated:     {LackedByRow, "Grading rings"},
	StringsNotStated:   {LackedByRow, "Strings"},
	VAngleUnknown:      {LackedByRow, "V angle (deg)"},
	MountingNotStated:  {LackedByRow, "Mounting"},
	FittingsContradict: {LackedByRow, ""},
	SlipImplausible:    {LackedByRow, "Slip load (kN)"},
	FittingImplausible: {LackedByRow, ""},
	OwnSlipSuperseded:  {LackedByRow, "Slip load (kN)"},
	NumberMisspelt:     {LackedByRow, ""},
	PhaseNotHeld:       {LackedByRow, ""},

	DeviationUnknown:      {LackedByStructure, ""},
	ZoneClassUnreadable:   {LackedByStructure, ""},
	ZoneFigureUnreadable:  {LackedByStructure, ""},
	ZoneAreaUnreadable:    {LackedByStructure, ""},
	ZoneOfAlternating:     {LackedByStructure, ""},
	ZonesAroundUnknown:    {LackedByStructure, ""},
	GroundUnknown:         {LackedByStructure, "ground_m"},
	GroundOutsideRasters:  {LackedByStructure, "ground_m"},
	GroundVoid:            {LackedByStructure, "ground_m"},
	GroundBeyond:          {LackedByStructure, "ground_m"},
	GroundTorn:            {LackedByStructure, "ground_m"},
	DatumsDiffer:          {LackedByStructure, "ground_m"},
	AttachmentUnknown:     {LackedByStructure, "attachment_m"},
	PullTooSmall:          {LackedByStructure, ""},
	BeyondExtract:         {LackedByStructure, ""},
	OtherConductor:        {LackedByStructure, ""},
	SpansDiffer:           {LackedByStructure, ""},
	SlackSpan:             {LackedByStructure, ""},
	RoomContradicts:       {LackedByStructure, ""},
	AttachmentsInWall:     {LackedByStructure, ""},
	OwnFigureSuperseded:   {LackedByStructure, ""},
	NothingRegisteredHere: {LackedByStructure, ""},
	StructureMayBeMissing: {LackedByStructure, ""},

	PhasesUnknown:          {LackedByLine, "Phases"},
	VoltageUnknown:         {LackedByLine, "Nominal voltage (kV)"},
	VoltageNotStandard:     {LackedByLine, "Highest voltage (kV)"},
	NeutralNotEarthed:      {LackedByLine, "Creepage voltage (kV)"},
	PoleVoltageNotStated:   {LackedByLine, "Creepage voltage (kV)"},
	ConductorUnknown:       {LackedByLine, "Conductor"},
	SubconductorsNotStated: {LackedByLine, "Subconductors"},
	MaximumTensionUnknown:  {LackedByLine, "Maximum tension (kN)"},
	EverydayTensionUnknown: {LackedByLine, ""},
	ColdTensionUnknown:     {LackedByLine, "Cold tension (kN)"},
	GivenTensionUnknown:    {LackedByLine, ""},
	StrengthUnknown:        {LackedByLine, ""},
	StateUnknown:           {LackedByLine, ""},
	ClearanceNotStated:     {LackedByLine, "Clearance (mm)"},
	CaseClearanceNotStated: {LackedByLine, "Clearance (mm)"},
	LineFigureSuperseded:   {LackedByLine, ""},
	WallSideNotStated:      {LackedByLine, "Wall side"},
	WallDistanceNotStated:  {LackedByLine, "Wall distance (mm)"},
	FittingsNotStated:      {LackedByLine, "Fittings (mm)"},
	WetLevelUnknown:        {LackedByLine, ""},
	LineNotInRegister:      {LackedByLine, ""},
	ManyStrayRows:          {LackedByLine, ""},

	NeutralVoltageNotStated: {LackedByCriteria, "creepage_voltage"},

	PinLimitNotStated:      {LackedByCriteria, "pin_deviation_limit_deg"},
	NoClass:                {LackedByCriteria, "default_class"},
	ClassWithoutFigure:     {LackedByCriteria, "specific_creepage"},
	NoDirectCreepage:       {LackedByCriteria, "direct_current_creepage"},
	KindWithoutRule:        {LackedByCriteria, "crossing_rules"},
	CrossingsMissing:       {LackedByCriteria, "crossings"},
	CaseTensionImplausible: {LackedByCriteria, "load_cases"},
	LoadCasesMissing:       {LackedByCriteria, "load_cases"},
	FactorNotStated:        {LackedByCriteria, "insulator_factor"},
	NoFittingFactor:        {LackedByCriteria, "insulator_factor"},
	FactorAsksMaterial:     {LackedByUnit, "Material"},
	FactorAsksInstalled:    {LackedByRow, "Installed"},
	FactorAsksCrossings:    {LackedByCriteria, "crossings"},
	FactorAsksEnd:          {LackedByLine, "Circuits"},
	CaseKindNotStated:      {LackedByCriteria, "load_cases"},
	NoCompressionFactor:    {LackedByCriteria, "insulator_factor"},
	NoAxialFactor:          {LackedByCriteria, "insulator_factor"},
	NoShareLeft:            {LackedByCriteria, "broken_conductor"},
	NoBrokenFactor:         {LackedByCriteria, "broken_conductor"},
	NoBrokenFitting:        {LackedByCriteria, "broken_conductor"},
	ResidualNotStated:      {LackedByCriteria, "residual_strength"},
	SwingLimitOfShorter:    {LackedByLine, "Clearance (mm)"},
	LoadCaseNotNamed:       {LackedByCriteria, "load_cases"},
	NoRegister:             {LackedByCriteria, "register"},

	LowVoltage:             {},
	OutsideFlashoverTable:  {},
	MinimaBetweenPhases:    {},
	UnitsLessThanTable:     {},
	WithstandTellsNothing:  {},
	NoStandardPairs:        {},
	PairNotKnown:           {},
	DirectCurrentLine:      {},
	DiameterOnDirect:       {},
	AltitudeOutOfRange:     {},
	TensionInV:             {},
	ShackleOnDirectCurrent: {},
	CheckFailed:            {},
}

// LackedBy says of what the datum is stated for want of which nothing is judged, and its name in the inputs, empty where it has none of its own.
func (r Reason) LackedBy() (of LackedBy, name string) { return lackedBy[r].of, lackedBy[r].name }
