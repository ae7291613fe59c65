package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParseBase(t *testing.T) {
	for text, want := range map[string]Base{
		"Um/√3": PerPhaseToEarth, "um / sqrt(3)": PerPhaseToEarth, "UM/1.732": PerPhaseToEarth, "phase-to-earth": PerPhaseToEarth, "Phase to ground": PerPhaseToEarth,
		"line-to-ground": PerPhaseToEarth, "unified": PerPhaseToEarth,
		"Um": PerPhaseToPhase, "phase–to–phase": PerPhaseToPhase, "Line to Line": PerPhaseToPhase, "phase phase": PerPhaseToPhase, "1986": PerPhaseToPhase,
	} {
		got, ok := ParseBase(text)
		require.True(t, ok, text)
		require.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "-", "phase", "earth", "Un", "Um/3", "Um/2", "kV", "31", "√3", "2008"} {
		got, ok := ParseBase(text)
		require.False(t, ok, text)
		require.Equal(t, NoBase, got, text)
	}
	for _, base := range []Base{PerPhaseToEarth, PerPhaseToPhase} {
		got, ok := ParseBase(base.String())
		require.True(t, ok)
		require.Equal(t, base, got)
	}
}

func TestOnBase(t *testing.T) {
	// 31 mm/kV on Um is 31·√3 = 53.694 on Um/√3; 43.3/√3 = 24.9993 (computed)
	require.InDelta(t, 53.694, OnBase(31, PerPhaseToPhase, PerPhaseToEarth), 0.001)
	require.InDelta(t, 24.9993, OnBase(43.3, PerPhaseToEarth, PerPhaseToPhase), 0.0001)
	require.Equal(t, 31.0, OnBase(31, PerPhaseToPhase, PerPhaseToPhase))
	require.True(t, math.IsNaN(OnBase(31, NoBase, PerPhaseToPhase)))
	require.True(t, math.IsNaN(OnBase(31, PerPhaseToEarth, NoBase)))
	require.Equal(t, 22.0, LeastSpecificCreepage(PerPhaseToEarth))
	require.Equal(t, 12.7, LeastSpecificCreepage(PerPhaseToPhase))
}

// A figure asks for the same distance on either base.
func TestBaseDoesNotChangeTheDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mmPerKV, voltageKV := rapid.Float64Range(12, 100).Draw(t, "mm/kV"), rapid.Float64Range(1, 700).Draw(t, "kV")
		unified := RequiredCreepage(Unified, OnBase(mmPerKV, PerPhaseToPhase, Unified.Base()), voltageKV, 1, 1)
		levels := RequiredCreepage(Levels1986, OnBase(mmPerKV, PerPhaseToPhase, Levels1986.Base()), voltageKV, 1, 1)
		require.InEpsilon(t, levels, unified, 1e-12)
	})
}

func TestIsOfClass(t *testing.T) {
	// Printed values of the two editions, and 27.7 and 34.6, which are 16·√3 and 20·√3 rounded (computed).
	for _, c := range []struct {
		mmPerKV float64
		on      Base
		class   Class
		want    bool
	}{
		{53.7, PerPhaseToEarth, ClassE, true}, {31, PerPhaseToPhase, ClassE, true}, {27.7, PerPhaseToEarth, ClassB, true}, {27.8, PerPhaseToEarth, ClassB, true},
		{34.6, PerPhaseToEarth, ClassC, true}, {16, PerPhaseToPhase, ClassB, true}, {12.7, PerPhaseToPhase, ClassA, true}, {22, PerPhaseToEarth, ClassA, true},
		{31, PerPhaseToEarth, ClassE, false}, {53.7, PerPhaseToPhase, ClassE, false}, {27.6, PerPhaseToEarth, ClassB, false}, {27.9, PerPhaseToEarth, ClassB, false},
		{54, PerPhaseToEarth, ClassE, false}, {25, PerPhaseToPhase, ClassE, false}, {60, PerPhaseToEarth, ClassF, false}, {0, PerPhaseToEarth, ClassF, false}, {31, NoBase, ClassE, false},
	} {
		require.Equal(t, c.want, IsOfClass(c.mmPerKV, c.on, c.class), "%g on %s, class %s", c.mmPerKV, c.on, c.class)
	}
}

func TestClassesIn(t *testing.T) {
	for text, want := range map[string][]Class{
		"Very Heavy (IV)": {ClassE}, "VERY HEAVY": {ClassE}, "Heavy (III)": {ClassD}, "II - Medium": {ClassC}, "ii-médium": {ClassC}, "medı\u0301um": nil,
		"Me\u0301dium": {ClassC}, "\u00a0light\t(b) ": {ClassB}, "very  light": {ClassA}, "Ⅲ": {ClassD}, "SPS class d - Heavy": {ClassD}, "e/IV": {ClassE},
		"Pollution level: II": {ClassC}, "veryheavy": {ClassE},
		"Very Heavy (III)": {ClassE, ClassD}, "b to c": nil, "b, c": {ClassB, ClassC}, "II-III": {ClassC, ClassD}, "heavy or very heavy": nil, "very": nil, "very IV": nil,
	} {
		got, ok := ClassesIn(text)
		require.Equal(t, want != nil, ok, text)
		require.Equal(t, want, got, text)
		class, one := ParseClass(text)
		require.Equal(t, len(want) == 1, one, text)
		require.Equal(t, one, class != ClassUnknown, text)
	}
}

func TestTheOtherEdition(t *testing.T) {
	require.Equal(t, Levels1986, Unified.Other())
	require.Equal(t, Unified, Levels1986.Other())
	require.Equal(t, PerPhaseToEarth, Unified.Base())
	require.Equal(t, PerPhaseToPhase, Levels1986.Base())
}
