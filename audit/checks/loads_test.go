package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// A V set is a double string only where each leg is double.
func TestVSetsAtCrossings(t *testing.T) {
	for strings, want := range map[int]audit.Outcome{2: audit.FallsShort, 3: audit.FallsShort, 4: audit.Meets} {
		check, s := example(t, "double-at-crossing")
		s.Assembly.Arrangement, s.Assembly.Strings = audit.VSet, strings
		require.Equal(t, want, check.Run(s, nil).Outcome, "%d strings", strings)
	}
}

// Strings of one leg share a load, those of two legs do not, and none shares the weight of another.
func TestSharingOnTheLegsOfAVSet(t *testing.T) {
	share := func(strings int, weightKg float64) float64 {
		_, s := example(t, "swing")
		s.Assembly.Unit.WeightKg = weightKg
		s.Assembly.Arrangement, s.Assembly.Strings, s.Assembly.VAngleDeg = audit.VSet, strings, 90
		even, reason := s.WorstPull(0)
		require.Equal(t, audit.NoReason, reason)
		s.Criteria.UnequalSharing = audit.Stated(1.2)
		uneven, reason := s.WorstPull(0)
		require.Equal(t, audit.NoReason, reason)
		return uneven.KN / even.KN
	}
	require.InDelta(t, 1, share(2, math.NaN()), 1e-12)
	require.InDelta(t, 1, share(2, 5), 1e-12)
	require.InDelta(t, 1.2, share(4, math.NaN()), 1e-12)
	require.Less(t, share(4, 5), 1.19)
}

// From 300 kV up lines have bundles, and nobody may take one conductor for granted.
func TestSubconductorsNotStated(t *testing.T) {
	for highestKV, want := range map[float64]audit.Reason{math.NaN(): audit.SubconductorsNotStated, 245: audit.NoReason, 299: audit.NoReason, 300: audit.SubconductorsNotStated, 420: audit.SubconductorsNotStated} {
		_, s := example(t, "strength")
		s.Line.HighestKV, s.Line.Row.Subconductors = highestKV, -1
		_, reason := s.WorstPull(0)
		require.Equal(t, want, reason, "%g kV", highestKV)
		s.Line.Row.Subconductors = 1
		_, reason = s.WorstPull(0)
		require.Equal(t, audit.NoReason, reason, "%g kV", highestKV)
	}
}

// The strength of a tension string goes by the tension, whatever the ground; that of a suspension string does not.
func TestTensionStrengthWithoutGround(t *testing.T) {
	check, s := example(t, "strength")
	want := check.Run(s, nil)
	s.Structure.HeightBackM, s.Structure.HeightM, s.Structure.HeightAheadM = math.NaN(), math.NaN(), math.NaN()
	s.Structure.SpanBackM = 300
	require.Equal(t, want.Outcome, check.Run(s, nil).Outcome)
	require.InDelta(t, want.Required.Number, check.Run(s, nil).Required.Number, 1e-9)
	s.Assembly.Duty, s.Structure.Role = audit.Suspension, audit.Tangent
	require.Equal(t, audit.GroundUnknown, check.Run(s, nil).Reason)
}

// Beside geometry that is more likely a mistake of the data, what loads by the spans is an advisory; a tension is not.
func TestLoadsBesideDoubtfulGeometry(t *testing.T) {
	swing, s := example(t, "swing")
	require.Equal(t, audit.Shortfall, swing.Run(s, nil).Severity)
	s.Structure.Doubtful = true
	v := swing.Run(s, nil)
	require.Equal(t, audit.FallsShort, v.Outcome)
	require.Equal(t, audit.Advisory, v.Severity)
	require.Contains(t, v.Sentence, "doubtful")
	strength, s := example(t, "strength")
	s.Structure.Doubtful = true
	require.Equal(t, audit.Shortfall, strength.Run(s, nil).Severity)
	_, s = example(t, "swing")
	s.Assembly.Direct.RatingKN, s.Structure.Doubtful = 1, true
	v = strength.Run(s, nil)
	require.Equal(t, audit.FallsShort, v.Outcome)
	require.Equal(t, audit.Advisory, v.Severity)
}

// Of a V set with two strings a leg one may break, and its leg then hangs on the other; of single legs the one that is left bears all, at whatever angle.
func TestAStringOfAVSetBreaks(t *testing.T) {
	check, s := example(t, "strength-one-string-broken")
	_, hung := example(t, "swing")
	s.Structure, s.Line, s.Criteria.LoadCases = hung.Structure, hung.Line, hung.Criteria.LoadCases
	s.Assembly.Duty, s.Assembly.Side, s.Assembly.Arrangement, s.Assembly.VAngleDeg = audit.Suspension, audit.NoSide, audit.VSet, 90
	s.Assembly.Strings, s.Assembly.Unit.WeightKg = 2, 5
	left := check.Run(s, nil)
	s.Assembly.Arrangement = audit.Parallel
	require.Equal(t, check.Run(s, nil).Required, left.Required)
	s.Assembly.Arrangement, s.Assembly.Strings, s.Assembly.Unit.WeightKg = audit.VSet, 4, math.NaN()
	require.LessOrEqual(t, check.Run(s, nil).Outcome, audit.FallsShort)
	intact, reason := s.WorstPull(0)
	require.Equal(t, audit.NoReason, reason)
	broken, reason := s.WorstPull(1)
	require.Equal(t, audit.NoReason, reason)
	require.InDelta(t, 2*intact.KN, broken.KN, 1e-9)
}

// Nothing is left of a composite with a defect, along its axis or across.
func TestStrengthOfFailedInsulators(t *testing.T) {
	check, s := example(t, "strength")
	s.Assembly.Unit.Kind, s.Assembly.Unit.CantileverKN, s.Assembly.UnitsPerString, s.Assembly.Defective = basis.Composite, 40, 1, 1
	v := check.Run(s, nil)
	require.Equal(t, audit.FallsShort, v.Outcome)
	require.Zero(t, v.Observed.Number)
	require.Contains(t, v.Sentence, "failed")
	_, hung := example(t, "swing")
	s.Structure, s.Line, s.Criteria.LoadCases = hung.Structure, hung.Line, hung.Criteria.LoadCases
	s.Assembly.Duty, s.Assembly.Side, s.Assembly.Mounting, s.Assembly.Unit.CompressionKN = audit.Post, audit.NoSide, audit.Upright, 60
	v = check.Run(s, nil)
	require.Equal(t, audit.FallsShort, v.Outcome)
	require.Zero(t, v.Observed.Number)
	s.Assembly.Defective = 0
	v = check.Run(s, nil)
	require.Equal(t, audit.Meets, v.Outcome, "the same one sound")
	require.Equal(t, 1.0, v.Required.Number)
}

// A turn that cannot be told may pull: what it loads is not assessed. A line end has none, and a tension string bears it anyway.
func TestLoadsWhereTheDeviationIsUnknown(t *testing.T) {
	swing, s := example(t, "swing")
	s.Structure.DeviationDeg = math.NaN()
	require.Equal(t, audit.DeviationUnknown, swing.Run(s, nil).Reason)
	_, reason := s.WorstPull(0)
	require.Equal(t, audit.DeviationUnknown, reason)
	s.Assembly.Duty, s.Assembly.Side = audit.Tension, audit.Back
	_, reason = s.WorstPull(0)
	require.Equal(t, audit.NoReason, reason)
}
