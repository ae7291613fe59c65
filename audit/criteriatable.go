package audit

import (
	"fmt"
	"math"

	"dryarc/audit/basis"
)

// Criteria are the rules of one audit. What each means, its range and its default stand in AllCriteria. A default in
// use is listed as an assumption of the result.
type Criteria struct {
	DeviationLimitDeg        Number
	PinDeviationLimitDeg     Number
	PositionAccuracyM        Number
	TerrainAccuracyM         Number
	HeightAccuracyM          Number
	ZoneAccuracyM            Number
	TensionAccuracyPercent   Number
	TeeToleranceM            Number
	TensionAtTee             bool
	TensionAtTeeStated       bool
	Voltages                 basis.VoltageTable
	VoltagesStated           bool
	DefaultClass             basis.Class // ClassUnknown: creepage is not assessed outside every zone
	CreepageBasis            basis.CreepageBasis
	CreepageBasisStated      bool
	OwnSpecificCreepage      OwnCreepage
	CreepageVoltage          CreepageVoltage
	DirectCreepage           DirectCreepage
	CreepageAltitudeExponent Number
	AltitudeBasis            basis.AltitudeBasis
	AltitudeBasisStated      bool
	SwitchingExponent        Number
	GapFactor                Number
	ArcingDistance           ArcingDistance
	WetShare                 Number
	PunctureShare            Number
	FlashoverMinimum         basis.FlashoverTable // NoFlashoverTable: dry-wet-minimum is not asked for
	SoundUnits               []SoundUnitsRule
	ZoneMarginM              Number
	SpanLimitM               Number
	RouteToleranceM          Number
	LongSpanM                Number
	CrossingRules            []CrossingRule // long spans are the kind LongSpanKind, double unless a rule says otherwise
	InsulatorFactor          InsulatorFactor
	LoadCases                []LoadCase
	StatedTension            basis.StatedTension
	StatedTensionStated      bool
	UnequalSharing           Number
	ResidualStrength         ResidualStrength
	BrokenConductor          BrokenConductor
	CombinedLoads            CombinedLoads
	CombinedLoadsStated      bool
	InspectionConfidence     Number
	InspectionYears          Number
	Remedy                   RemedyRule
	Priority                 PriorityRule
	CohortYears              Number
	Ageing                   Ageing
	Risk                     RiskRule
	GradingRings             GradingRings
	WatchList                WatchList
}

// Criterion declares one criterion: all that is known of it stands here, and the project file, the defaults, the
// assumptions, the template, the README and every output follow.
type Criterion struct {
	Key     string // in the project file and in audit.json; permanent
	Name    string // in words
	Measure string // unit of measure in words, empty for what is none
	Meaning string
	// Low and High are the range of its numbers, both included; both 0 where it has no numbers or each has a range of its
	// own. Ranges are wide: they find slips of the pen and of the unit.
	Low, High float64
	Whole     bool         // its number has no fraction
	Default   float64      // of a number, where Clause is not zero
	Otherwise string       // what holds where it is not stated and no single value does
	Clause    basis.Clause // of the default; zero where there is none
	Example   string       // as a project file writes it, where there is no default to show
	// In finds it among criteria: a *Number, a Choice, or a pointer to what it holds.
	In func(*Criteria) any

	lastInJSON bool // after those that are not, as programs have read them so far

	assumed string                         // what a result then assumes; {value} and {source} of the default are filled in
	when    func(*Criteria) bool           // when it does; nil: while it is not stated
	touches func(r *Result, line int) bool // the lines for which it does; nil: all
}

// Choice is the place of a criterion that is one of several words, and of whether it is stated. Its default is its zero
// value.
type Choice[T any] struct {
	Value  *T
	Stated *bool
}

// AllCriteria returns the table of criteria, in the order of every list.
func AllCriteria() []Criterion {
	return []Criterion{
		{
			Key: "deviation_limit_deg", Name: "deviation limit", Measure: "degrees", Low: 0, High: 180, Default: basis.SuspensionDeviationDeg, Clause: basis.CommonPractice,
			Meaning: "largest deviation for suspension assemblies",
			In:      func(c *Criteria) any { return &c.DeviationLimitDeg },
			assumed: "Suspension assemblies are taken to bear a deviation up to {value}° ({source}); nobody stated a limit, so what exceeds it is an advisory.",
			touches: func(r *Result, l int) bool {
				row := &r.line(l).Row
				return math.IsNaN(row.DeviationLimitDeg) && !row.Faulty.Has(CellDeviationLimit)
			},
		},
		{
			Key: "pin_deviation_limit_deg", Name: "deviation limit of pins and posts", Measure: "degrees", Low: 0, High: 180, Example: "5",
			Meaning: "largest deviation for pin and post assemblies",
			In:      func(c *Criteria) any { return &c.PinDeviationLimitDeg },
		},
		{
			Key: "position_accuracy_m", Name: "accuracy of positions", Measure: "metres", Low: 0, High: 1000, Example: "0.5",
			Meaning: "standard error of a position per horizontal axis",
			In:      func(c *Criteria) any { return &c.PositionAccuracyM },
			assumed: "The accuracy of the positions is not stated; deviations are judged as computed, without a survey band.",
		},
		{
			Key: "terrain_accuracy_m", Name: "accuracy of levels from rasters", Measure: "metres", Low: 0, High: 1000, Example: "2",
			Meaning: "standard error of a ground level from a raster whose entry under terrain states no accuracy_m, on all lines; makes a band in uplift, swing, slack legs, strength (weight span, pull at the support), withstand and creepage (altitude)",
			In:      func(c *Criteria) any { return &c.TerrainAccuracyM },
			assumed: "The accuracy of ground levels from rasters is not stated; what rests on these levels is judged as computed, without a band for it: uplift, swing, slack legs, strength with and without a broken string, lightning, switching and wet withstand, sound units, and creepage where an altitude exponent is stated.",
			touches: func(r *Result, l int) bool { return r.Network.leavesAccuracyOut(l) },
		},
		{
			Key: "height_accuracy_m", Name: "accuracy of stated heights", Measure: "metres", Low: 0, High: 1000, Example: "0.3",
			Meaning: "standard error of a ground level that is stated, and of an attachment height, each by itself; tells how many standard errors verdicts are from their limits and changes none",
			In:      func(c *Criteria) any { return &c.HeightAccuracyM },
		},
		{
			Key: "zone_accuracy_m", Name: "accuracy of zone borders", Measure: "metres", Low: 0, High: 100000, Example: "100",
			Meaning: "standard error of where the borders of pollution zones are; tells how many standard errors verdicts are from their limits and changes none",
			In:      func(c *Criteria) any { return &c.ZoneAccuracyM },
		},
		{
			Key: "tension_accuracy_percent", Name: "accuracy of stated tensions", Measure: "per cent", Low: 0, High: 50, Example: "5",
			Meaning: "standard error of the tensions of a line, all of them together: those of the Lines sheet and those that load cases state; tells how many standard errors verdicts are from their limits and changes none",
			In:      func(c *Criteria) any { return &c.TensionAccuracyPercent },
		},
		{
			Key: "tee_tolerance_m", Name: "tolerance of tees", Measure: "metres", Low: 0, High: 1000, Default: 0.5, Clause: basis.ProgramChoice,
			Meaning: "how near another line must end to make a tee",
			In:      func(c *Criteria) any { return &c.TeeToleranceM },
			assumed: "A line that ends within {value} m of a structure of another makes a tee there ({source}).",
			touches: func(r *Result, _ int) bool { return len(r.Network.Lines) > 1 },
		},
		{
			Key: "tension_at_tee", Name: "tension at tees", Clause: basis.CommonPractice,
			Meaning: "tension assemblies required on the through line of a tee",
			In:      func(c *Criteria) any { return Choice[bool]{&c.TensionAtTee, &c.TensionAtTeeStated} },
			assumed: "Tension assemblies on the through line of a tee are not asked for ({source}), so where there are none it is an advisory.",
			touches: func(r *Result, l int) bool { return r.judged("tension-at-tee", l) },
		},
		{
			Key: "voltages", Name: "table of highest voltages", Otherwise: basis.IEC60038.String(),
			Meaning: "where the highest voltage of a line that states its nominal one alone is looked up: IEC 60038, or north american (69, 115, 138, 161 and 230 kV, RUS Bulletin 1724E-200:2005, clause 4.2.2); what is not in the table chosen has none",
			In:      func(c *Criteria) any { return Choice[basis.VoltageTable]{&c.Voltages, &c.VoltagesStated} },
		},
		{
			Key: "default_class", Name: "default class", Example: "b",
			Meaning:    "pollution class outside every zone",
			In:         func(c *Criteria) any { return &c.DefaultClass },
			lastInJSON: true,
			assumed:    "Structures outside every zone stand in class {value}, the default class there.",
			when:       func(c *Criteria) bool { return c.DefaultClass != basis.ClassUnknown },
			touches:    func(r *Result, l int) bool { return r.Lines[l].classes.byDefault > 0 },
		},
		{
			Key: "creepage_basis", Name: "creepage basis", Clause: basis.SpecificCreepageUnified,
			Meaning:    "unified specific creepage of 2008, or the levels of 1986",
			In:         func(c *Criteria) any { return Choice[basis.CreepageBasis]{&c.CreepageBasis, &c.CreepageBasisStated} },
			lastInJSON: true,
			assumed:    "Required creepage follows the unified specific creepage of IEC TS 60815:2008; the project states no basis.",
		},
		{
			Key: "specific_creepage", Name: "own specific creepage", Measure: "mm/kV", Low: basis.LeastSpecificCreepage(basis.PerPhaseToPhase), High: basis.MostSpecificCreepage,
			Otherwise: "the tables of the creepage basis", Example: "{base: Um/√3, d: 44, e: 55}",
			Meaning: fmt.Sprintf("the project's own figures by class a to f, and their base: %s, on which the range starts at %g",
				basis.BaseWords, basis.LeastSpecificCreepage(basis.PerPhaseToEarth)),
			In:         func(c *Criteria) any { return &c.OwnSpecificCreepage },
			lastInJSON: true,
		},
		{
			Key: "creepage_voltage", Name: "voltage along strings without an earthed neutral", Example: "{isolated: Um, resonant: Um/√3, earth_faults: cut off within 10 s}",
			Meaning: "what stands along strings for creepage where the neutral is isolated or resonant, Um or Um/√3; beside Um/√3 earth_faults says how long earth faults may stand. A creepage voltage of the Lines sheet wins",
			In:      func(c *Criteria) any { return &c.CreepageVoltage },
		},
		{
			Key: "direct_current_creepage", Name: "specific creepage of direct current", Measure: "mm/kV", Low: 10, High: basis.MostSpecificCreepage, Example: "{c: 50, d: 60}",
			Meaning: "the project's own figures by class a to f for direct current, on the pole-to-earth voltage",
			In:      func(c *Criteria) any { return &c.DirectCreepage },
		},
		{
			Key: "creepage_altitude_exponent", Name: "altitude exponent of creepage", Low: 0, High: 1, Default: 0, Clause: basis.ProgramChoice,
			Meaning: "altitude exponent on polluted insulation, 0 is off",
			In:      func(c *Criteria) any { return &c.CreepageAltitudeExponent },
			assumed: fmt.Sprintf("Required creepage is not raised with altitude, and structures stand above %g m.", basis.HighGroundM),
			when:    func(c *Criteria) bool { return c.CreepageAltitudeExponent.Value == 0 },
			touches: func(r *Result, l int) bool { return r.Lines[l].classes.high > 0 },
		},
		{
			Key: "altitude_basis", Name: "altitude basis", Clause: basis.AltitudeFrom1000m,
			Meaning:    "what a withstand level of the Lines sheet covers: sites up to 1000 m, or sea level",
			In:         func(c *Criteria) any { return Choice[basis.AltitudeBasis]{&c.AltitudeBasis, &c.AltitudeBasisStated} },
			lastInJSON: true,
			assumed:    "The withstand levels of the Lines sheet are taken to cover sites up to 1000 m, as standard levels do; the project states no altitude basis.",
			touches:    (*Result).hasLevel,
		},
		{
			Key: "switching_exponent", Name: "altitude exponent of switching impulse", Low: 0, High: 1, Default: basis.SwitchingExponent, Clause: basis.SwitchingExponentSource,
			Meaning: "altitude exponent for switching impulse",
			In:      func(c *Criteria) any { return &c.SwitchingExponent },
			assumed: "The altitude exponent for switching impulse is {value} (simplification of {source}); it properly follows a curve.",
			touches: func(r *Result, l int) bool { return !math.IsNaN(r.line(l).Row.SwitchingKV) },
		},
		{
			Key: "gap_factor", Name: "gap factor", Low: 1, High: 2, Default: basis.DefaultGapFactor, Clause: basis.GapFactorSource,
			Meaning: "gap factor K of the gap formulas",
			In:      func(c *Criteria) any { return &c.GapFactor },
			assumed: "The gap factor is {value}, that of a string in a tower window ({source}).",
			touches: (*Result).usesGapFormula,
		},
		{
			Key: "arcing_distance", Name: "arcing distance", Example: ArcingOverUnits.String(),
			Meaning: "dry arcing distance of strings of cap-and-pin units that state none, for the gap formulas: string length less hardware, which is units times spacing; a Length with fittings is not used",
			In:      func(c *Criteria) any { return &c.ArcingDistance },
		},
		{
			Key: "wet_share", Name: "wet share", Low: 0.1, High: 1, Default: basis.WetShare, Clause: basis.CommonPractice,
			Meaning: "share of the wet flashover that a string withstands",
			In:      func(c *Criteria) any { return &c.WetShare },
			assumed: "A string of discs is taken to withstand {value} of its wet flashover ({source}).",
			touches: func(r *Result, l int) bool { return r.judged("wet-withstand", l) },
		},
		{
			Key: "puncture_share", Name: "puncture share", Low: 0.1, High: 1, Default: basis.PunctureLimit, Clause: basis.PunctureRule,
			Meaning: "largest share of the puncture voltage for dry flashover",
			In:      func(c *Criteria) any { return &c.PunctureShare },
			assumed: "The dry flashover of an insulator may be {value} of its puncture voltage at most ({source}); the project states no share.",
			touches: func(r *Result, l int) bool { return r.judged("puncture-margin", l) },
		},
		{
			Key: "flashover_minimum", Name: "flashover minimum", Example: basis.GO64Table6.String(),
			Meaning: "table of the least dry and wet flashover of strings by nominal voltage: " + basis.FlashoverTablesInWords(),
			In:      func(c *Criteria) any { return &c.FlashoverMinimum },
		},
		{
			Key: "sound_units", Name: "sound units", Low: 1, High: 200, Example: "{110: 5}",
			Meaning: "least number of sound units by nominal voltage",
			In:      func(c *Criteria) any { return &c.SoundUnits },
		},
		{
			Key: "zone_margin_m", Name: "margin of zones", Measure: "metres", Low: 0, High: 100_000, Example: "500",
			Meaning: "how near a worse zone is looked at",
			In:      func(c *Criteria) any { return &c.ZoneMarginM },
		},
		{
			Key: "span_limit_m", Name: "span limit", Measure: "metres", Low: 1, High: 20_000, Example: "2000",
			Otherwise: fmt.Sprintf("%g above %g kV and %g below", basis.TransmissionSpanM, basis.DistributionMaxKV, basis.DistributionSpanM), Clause: basis.CommonPractice,
			Meaning: "span beyond which a structure is likely missing",
			In:      func(c *Criteria) any { return &c.SpanLimitM },
			assumed: fmt.Sprintf("A span beyond %g m, or %g m on a line of up to %g kV, is taken for a missing structure ({source}).", basis.TransmissionSpanM, basis.DistributionSpanM, basis.DistributionMaxKV),
		},
		{
			Key: "route_tolerance_m", Name: "tolerance of routes", Measure: "metres", Low: 0, High: 10_000, Default: 50, Clause: basis.ProgramChoice,
			Meaning: "how far from its route a structure may stand",
			In:      func(c *Criteria) any { return &c.RouteToleranceM },
			assumed: "Structures may stand up to {value} m off the route of their line ({source}).",
			touches: func(r *Result, l int) bool { return r.line(l).route != nil && r.line(l).Ordering != ByRouteVertex },
		},
		{
			Key: "long_span_m", Name: "long spans", Measure: "metres", Low: 1, High: 20_000, Example: "800",
			Meaning: "span from which the rule for long spans holds",
			In:      func(c *Criteria) any { return &c.LongSpanM },
		},
		{
			Key: "crossing_rules", Name: "rules for crossings", Example: "{river: double, railway: tension and double}",
			Meaning: "what a crossed kind asks for",
			In:      func(c *Criteria) any { return &c.CrossingRules },
		},
		{
			Key: "insulator_factor", Name: "insulator factor", Low: 1, High: 20,
			Example: "{basis: own rule, tension: 2, suspension: 2, cantilever: 2.5, compression: 2, one_string_broken: 1.5, fitting: 2.5}",
			Meaning: "rating over load, and the document it follows; of fittings by a factor of their own, fitting and fitting_one_string_broken, without which they are not assessed. More exact ones stand under by, each for what it names: " +
				"for (one or more of the keys beside by), case or kind of load case, material or unit, installed_before and installed_from (years), at: terminal, and crossing (kinds); with its factor and basis. One that names all that another names, and more, or fewer of its words or years, takes its place, as each does of the general one; of " +
				"others that apply the largest holds. Where it is not known whether one applies, nothing meets or falls short but what does by each that may",
			In:      func(c *Criteria) any { return &c.InsulatorFactor },
			assumed: "The insulator factor follows a document that limits it: " + basis.FactorRemark("NESC 277") + "; which of the load cases, if any, is of 250C the project says, by a factor of its own for it.",
			when:    func(c *Criteria) bool { return c.InsulatorFactor.Remark() != "" },
			touches: (*Result).isLoaded,
		},
		{
			Key: "load_cases", Name: "load cases",
			Example: "[{name: wind, wind_Pa: 400, tension: maximum}, {name: cold, tension: cold, uplift: true}]",
			Meaning: "weathers in which assemblies are loaded; kind is a word of the project by which insulator factors may go",
			In:      func(c *Criteria) any { return &c.LoadCases },
		},
		{
			Key: "stated_tension", Name: "stated tensions", Clause: basis.CommonPractice,
			Meaning: "what the tensions of the Lines sheet and of the load cases are: horizontal, or at support, from which each structure's horizontal tension is reckoned by the heights of its spans",
			In:      func(c *Criteria) any { return Choice[basis.StatedTension]{&c.StatedTension, &c.StatedTensionStated} },
			assumed: "Tensions are taken to be horizontal ({source}), so that a tension assembly holds more where its span rises or sags; the project does not say which they are.",
			touches: (*Result).isLoaded,
		},
		{
			Key: "unequal_sharing", Name: "unequal sharing", Low: 1, High: 2, Default: 1, Clause: basis.CommonPractice,
			Meaning: "how much more than an equal share the worst of parallel strings carries",
			In:      func(c *Criteria) any { return &c.UnequalSharing },
			assumed: "Parallel strings are taken to share their load equally ({source}).",
			touches: func(r *Result, l int) bool { return r.isLoaded(l) && r.hasParallelStrings(l) },
		},
		{
			Key: "residual_strength", Name: "residual strength", Low: 0, High: 1, Example: "{porcelain: 0.6, glass: 0.65}",
			Meaning: "share of the rating that a string with shattered or punctured discs keeps, by the material of its units as the Units sheet writes it",
			In:      func(c *Criteria) any { return &c.ResidualStrength },
		},
		{
			Key: "broken_conductor", Name: "broken conductor",
			Example: "{share: {suspension: 0.7, pin: 1, post: 1}, case: everyday, factor: 2, fitting: 2, basis: own rule}",
			Meaning: "what suspension, pin and post assemblies bear where a conductor breaks in the span behind or ahead: share of the horizontal tension that is left (0.01 to 1) and factor between that load and the rating (1 to 20), each one number or by duty; fitting is the factor of the fittings of suspension assemblies, of which those that are rated are not assessed without it; " +
				"case is the load case that gives the tension, everyday (no wind, no ice) where it names none; subconductors is how many of a phase break, all where not stated; basis is the document that they follow",
			In: func(c *Criteria) any { return &c.BrokenConductor },
		},
		{
			Key: "combined_loads", Name: "combined loads", Clause: basis.CommonPractice,
			Meaning:    "what must not exceed 1 of a pin or post that is bent and pulled or pushed at once: the sum of its utilisations, each load times its factor over its strength (sum), or the largest of them (each)",
			In:         func(c *Criteria) any { return Choice[CombinedLoads]{&c.CombinedLoads, &c.CombinedLoadsStated} },
			lastInJSON: true,
			assumed:    "The utilisations of a pin or post across and along its axis are added, and their sum is to be 1 at most ({source}); the project states no rule for combined loads.",
			touches:    func(r *Result, l int) bool { return r.bearsLoads(l, Pin, Post) },
		},
		{
			Key: "inspection_confidence", Name: "confidence of inspections", Low: 0, High: 1, Example: "0.6",
			Meaning: "below it an observation is an advisory, and takes no defect away",
			In:      func(c *Criteria) any { return &c.InspectionConfidence },
		},
		{
			Key: "inspection_years", Name: "interval of inspections", Measure: "years", Low: 0.1, High: 100, Example: "10",
			Meaning: "longest time since what hangs was inspected or installed",
			In:      func(c *Criteria) any { return &c.InspectionYears },
		},
		{
			Key: "remedy", Name: "choice of remedies", Otherwise: "fewest changes, then price, then length",
			Example: "{prefer: [price, fewest changes, length]}",
			Meaning: "what counts first between remedies that serve",
			In:      func(c *Criteria) any { return &c.Remedy },
		},
		{
			Key: "priority", Name: "order of doing", Low: 0.001, High: 1000, Otherwise: "by severity, danger and shortage",
			Example: "{base: 1, crossings: {railway: 4, river: 2}, voltages: {132: 2}, circuits: {2: 1.5}, tee: 1.5, terminal: 2, carried: {District: {Hale: 1.2}}, without_figure: 1}",
			Meaning: "what a failure weighs: base times the factor of what the spans beside it cross (the largest), of the voltage, of the circuits of the line, of a tee or terminal and of what is carried through by value; " +
				"times how far the assembly falls short it puts jobs in order, after severity. A value that is not named counts 1, a factor whose datum is not known is left out and told; without_figure is the shortage of what has no figure",
			In: func(c *Criteria) any { return &c.Priority },
		},
		{
			Key: "cohort_years", Name: "years of a cohort", Measure: "years", Low: 1, High: 100, Whole: true,
			Otherwise: fmt.Sprintf("%d (a choice of this program)", CohortYears), Example: "5",
			Meaning: "how many years of installation make one band of cohorts; no verdict rests on it",
			In:      func(c *Criteria) any { return &c.CohortYears },
		},
		{
			Key: "ageing", Name: "ages that ask for a note", Measure: "years", Low: 1, High: 200, Example: "{porcelain: 40, U70BL: 50}",
			Meaning: "age above which what hangs at a structure gets a note, by the type of its units, else by their material, as the Units sheet names them",
			In:      func(c *Criteria) any { return &c.Ageing },
		},
		{
			Key: "grading_rings", Name: "grading rings of composites", Measure: "kV", Low: 1, High: 1500, Example: "{220: live, 400: both}",
			Meaning: "at which ends of their strings composites have grading rings (live or both), from which highest voltage of the line on; what has others, by the column Grading rings, gets a note",
			In:      func(c *Criteria) any { return &c.GradingRings },
		},
		{
			Key: "watch_list", Name: "watch list", Low: 1800, High: 2200, Example: "[{make: Harrow, material: silicone, installed_until: 1998, note: rod cracks at the end fitting}]",
			Meaning: "makes and generations that get a note in the project's words (note) where they hang: by unit (type), make, material and years of installation (installed_from, installed_until, both included), all that an entry states together; " +
				"the make is that of a column Make of the sheet Units, or of one that carry names",
			In: func(c *Criteria) any { return &c.WatchList },
		},
		{
			Key: "risk", Name: "figures of the ranking by risk",
			Example: "{measure: mg/cm² ESDD, site_severity: {b: {median: 0.02, sigma: 0.6}}, withstand: {U70BL: {A_kV_per_unit: 6, a: 0.22, sigma: 0.08}}, lightning: {mean_kV: 700, sigma_kV: 70, strength_sigma: 0.03, strings: 10}}",
			Meaning: "what --also risk ranks lines and structures by: the severity of sites by pollution class in the measure that it names (median, and standard deviation of its logarithm), what strings withstand by type of unit (U50 = n·A·S^(−a) of n units), else by type or material (L·A·S^(−a), L metres of creepage), " +
				"with the standard deviation as a share, and the overvoltages of lightning and switching with the scatter of strength and how many strings are stressed at once; with direct_current: true all of them are of direct current and hold on such lines alone, else on all others; no verdict rests on it",
			In: func(c *Criteria) any { return &c.Risk },
		},
	}
}
