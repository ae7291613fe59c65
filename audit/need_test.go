package audit

import (
	"math"
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

func TestChecksWithNeedsThatDoNotFitAreRefused(t *testing.T) {
	for name, c := range map[string]struct {
		of   SubjectKind
		need Need
		says string
	}{
		"a need of the line":                  {OfLine, NeedsSectionLimit, ""},
		"a need of the structure, of a place": {OfPlace, NeedsDeviation, ""},
		"a need of the assembly, of a place":  {OfPlace, NeedsDuty, "check tried judges every place, which has no duty"},
		"a need of the structure, of a line":  {OfLine, NeedsDeviation, "check tried judges every line, which has no deviation"},
		"no need":                             {OfAssembly, Need{}, "check tried: need 1 is none of those of package audit"},
		"an answer alone":                     {OfAssembly, Need{of: ofAssembly, lacks: func(*Subject) Reason { return NoReason }}, "check tried: need 1 is none of those of package audit"},
		"a name alone":                        {OfAssembly, Need{Name: "duty"}, "check tried: need 1 is none of those of package audit"},
	} {
		t.Run(name, func(t *testing.T) {
			err := ValidateChecks([]*Check{{ID: "tried", Title: "Tried", Of: c.of, Basis: []basis.Clause{basis.CommonPractice}, Remedy: "None.",
				Method: Method{Formula: "1", Limits: "none", Example: Example{Subject: func() Subject { return Subject{} }}},
				Judge:  func(*Subject, *Trace) Verdict { return Verdict{} },
				Needs:  []Need{c.need},
			}})
			if c.says == "" {
				require.NoError(t, err)
				return
			}
			require.EqualError(t, err, c.says)
		})
	}
}

// A need finds its answer in the least that the subjects it fits hold: of a line nothing but the line, of a structure no
// assembly.
func TestNeedsAreAnsweredByWhatTheyFit(t *testing.T) {
	criteria := DefaultCriteria()
	nan := math.NaN()
	line := &Line{Row: UnknownLineRow(), HighestKV: nan, NoVoltage: VoltageUnknown}
	structure := &Structure{DeviationDeg: nan, SpecificCreepage: nan, GroundM: nan, WeightSpanColdM: nan}
	assembly := &Assembly{UnitsPerString: -1, Strings: -1, Defective: -1, CreepageMM: nan, Direct: UnknownDirectValues()}
	for _, c := range []struct {
		need Need
		want Reason
	}{
		{NeedsNominalVoltage, VoltageUnknown}, {NeedsHighestVoltage, VoltageUnknown}, {NeedsPinVoltage, VoltageUnknown}, {NeedsPhaseToEarth, VoltageUnknown},
		{NeedsLongestString, LongestStringNotStated}, {NeedsSectionLimit, SectionLimitNotStated}, {NeedsSwingLimit, SwingLimitNotStated},
		{NeedsDeviation, DeviationUnknown}, {NeedsSpecificCreepage, NoClass}, {NeedsCreepageAltitude, NoReason}, {NeedsWeightSpan, ConductorUnknown},
		{NeedsDuty, DutyNotStated}, {NeedsSide, NoReason}, {NeedsUnit, UnitNotStated}, {NeedsUnitsPerString, UnitsNotStated},
		{NeedsStrings, StringsNotStated}, {NeedsDefective, DefectiveNotStated}, {NeedsCreepage, UnitNotStated}, {NeedsStringLength, UnitNotStated},
		{NeedsRatingOfString, RatingUnknown}, {NeedsCouplings, UnitNotStated}, {NeedsPuncture, UnitNotStated},
		{NeedsPull, LoadCasesMissing}, {NeedsPullBroken, LoadCasesMissing}, {NeedsSwing, LoadCasesMissing},
		{NeedsLightningWithstand, VoltageUnknown}, {NeedsSwitchingWithstand, VoltageUnknown}, {NeedsWetWithstand, VoltageUnknown},
	} {
		s := &Subject{Criteria: &criteria, Line: line}
		if c.need.of&kinds(OfLine) == 0 {
			s.Structure = structure
		}
		if c.need.of&kinds(OfStructure) == 0 {
			s.Assembly = assembly
		}
		require.Equal(t, c.want.String(), s.Lacks(c.need).String(), c.need.Name)
	}
}
