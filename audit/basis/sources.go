package basis

// The sources of the rules and tables in this package. They are values and never change.
var (
	// CommonPractice stands for a fact of the trade without a document.
	CommonPractice = Clause{Tag: Practice}
	// Arithmetic stands for a result that follows from the formula beside it.
	Arithmetic = Clause{Tag: Computed}
	// OwnFigure stands for what the project, its register or its layers state in the place of a published figure.
	OwnFigure = Clause{Tag: Own}
	// ProgramChoice stands for a default without a source: somebody had to draw the line somewhere.
	ProgramChoice = Clause{Tag: Choice}

	// SpecificCreepageUnified is the table of unified specific creepage distances.
	SpecificCreepageUnified = Clause{Document: "IEC TS 60815-1", Edition: "2008", Tag: Published}
	// SpecificCreepageLevels is the table of specific creepage distances by pollution level.
	SpecificCreepageLevels = Clause{Document: "IEC 815", Edition: "1986", Tag: Published}
	// DiameterFactorSource is the correction of creepage for large average diameters.
	DiameterFactorSource = Clause{Document: "IEC TS 60815-2", Edition: "2008", Tag: Memory}
	// CreepageAltitudeSource is the range of altitude exponents for polluted insulation.
	CreepageAltitudeSource = Clause{Document: "IEC 60071-2", Tag: Memory}

	// HighestVoltageSource is the list of highest voltages for equipment by nominal voltage.
	HighestVoltageSource = Clause{Document: "IEC 60038", Tag: Memory}
	// RailwayVoltageSource is the list of highest permanent voltages of electrified railways by nominal voltage.
	RailwayVoltageSource = Clause{Document: "EN 50163", Clause: "highest permanent voltages, as public tables of supply voltages of railways print them", Tag: Published}
	// HighestVoltageNorthAmerican is the same list in the practice of North America.
	HighestVoltageNorthAmerican = Clause{Document: "RUS Bulletin 1724E-200", Edition: "2005", Clause: "clause 4.2.2", Tag: Published}
	// InsulationLevelsSeen is the standard levels that were seen in print, in tables of transformers.
	InsulationLevelsSeen = Clause{Document: "IEC 60071-1", Clause: "as tables of transformer levels after IEC 60076-3 and NBR 5356-3 print it", Tag: Published}
	// InsulationLevelsSource is the tables of standard insulation levels.
	InsulationLevelsSource = Clause{Document: "IEC 60071-1", Tag: Memory}
	// AltitudeFromSeaLevel is the altitude correction of a withstand voltage required at the site.
	AltitudeFromSeaLevel = Clause{Document: "IEC 60071-2", Edition: "2018", Clause: "clause 6.2.2", Tag: Published}
	// AltitudeFrom1000m is the altitude correction of equipment rated for sites up to 1000 m.
	AltitudeFrom1000m = Clause{Document: "IEC 62271-1", Tag: Published}

	// DiscStringTablePositive is the column of positive lightning impulse of the table below, from two discs up.
	DiscStringTablePositive = Clause{Document: "printed tables of strings of 146 × 254 mm discs", Clause: "positive impulse", Tag: Published}
	// DiscStringTable is the flashover table of strings of standard discs.
	DiscStringTable = Clause{Document: "RUS Bulletin 1724E-200", Clause: "chapter 8", Tag: Memory}
	// SwitchingExponentSource is the exponent of the altitude correction for switching impulse, simplified.
	SwitchingExponentSource = Clause{Document: "IEC 62271-1", Tag: Published}
	// GapFactorSource is the gap factor of a string in a tower window.
	GapFactorSource = Clause{Tag: Memory}
	// GapFormulas is the flashover formulas of dry gaps.
	GapFormulas = Clause{Document: "IEC 60071-2", Edition: "2018", Tag: Published}
	// FlashoverMinimaSource, DryFlashoverMinimaSource and DryFlashoverNESCSource are tables of the least flashover by the voltage of a line.
	FlashoverMinimaSource    = Clause{Document: "California General Order 64", Clause: "rule 64 (b), table 6", Tag: Published}
	DryFlashoverMinimaSource = Clause{Document: "California General Order 64-A", Clause: "rule 55.3, table 9", Tag: Published}
	DryFlashoverNESCSource   = Clause{Document: "NESC", Clause: "table 273-1", Tag: Memory}
	// StrengthStatistics is the statistics of overvoltages on insulation: its strength curve, several insulations in parallel, the risk of failure.
	StrengthStatistics = Clause{Document: "IEC 60071-2", Tag: Memory}
	// SeverityStatistics is the statistics of site severity on the severity that a string withstands.
	SeverityStatistics = Clause{Document: "statistics of pollution flashover, lognormal severities", Tag: Memory}
	// PunctureRule limits dry flashover to a share of the puncture voltage.
	PunctureRule = Clause{Document: "California General Order 64-A", Clause: "rule 55.3", Tag: Published}

	// DiscDimensions is the table of cap-and-pin units.
	DiscDimensions = Clause{Document: "IEC 60305", Tag: Memory}
	// DiscDimensionsSeen is the rows of the same table that were seen in print.
	DiscDimensionsSeen = Clause{Document: "IEC 60305", Tag: Published}
	// DiscDimensionsANSI is the table of wet-process porcelain suspension units.
	DiscDimensionsANSI = Clause{Document: "ANSI C29.2", Tag: Memory}

	// SwingSource is the swing of a suspension string under wind and the pull of a turn.
	SwingSource = Clause{Document: "RUS Bulletin 1724E-200", Clause: "chapter 7", Tag: Memory}
	// ClearanceSource is the swing that a clearance from a wall or a crossarm allows a string of some length.
	ClearanceSource = Clause{Document: "plane geometry of a string beside a wall and under a crossarm", Tag: Computed}
	// StrandLoadsSource is the rated strength of a stranded conductor from its strand loads.
	StrandLoadsSource = Clause{Document: "IS 398-2", Tag: Published}
	// ConductorTable is the dimensions of the conductors by trade name.
	ConductorTable = Clause{Document: "manufacturers' tables of ACSR conductors", Tag: Memory}
	// ConductorTableSeen is the entries of those tables that were seen in print.
	ConductorTableSeen = Clause{Document: "manufacturers' tables of ACSR conductors", Tag: Published}
	// ChangeOfStateSource is the change-of-state equation in its usual form.
	ChangeOfStateSource = Clause{Document: "change-of-state equation, standard form", Tag: Memory}
)
