package basis

import (
	"fmt"
	"slices"
	"strings"
)

// SwitchingPair is a standard switching impulse level of range II, phase to earth, with the lightning impulse levels that go with it, kV peak.
type SwitchingPair struct {
	SwitchingKV  float64
	LightningsKV []float64
}

// pairsByUm lists the pairs of range II by Um. IEC 60071-1: 362 and 420 kV in tables of transformer levels (published), the rest value from
// memory, H. Above 800 kV none was seen.
var pairsByUm = [...]struct {
	umKV  float64
	pairs []SwitchingPair
}{
	{300, []SwitchingPair{{750, []float64{850, 950}}, {850, []float64{950, 1050}}}},
	{362, []SwitchingPair{{850, []float64{950, 1050}}, {950, []float64{1050, 1175}}}},
	{420, []SwitchingPair{{850, []float64{1050, 1175}}, {950, []float64{1175, 1300}}, {1050, []float64{1300, 1425}}}},
	{550, []SwitchingPair{{950, []float64{1175, 1300}}, {1050, []float64{1300, 1425}}, {1175, []float64{1425, 1550}}}},
	{800, []SwitchingPair{{1300, []float64{1675, 1800}}, {1425, []float64{1800, 1950}}, {1550, []float64{1950, 2100}}}},
}

// Levels that national standards add, kV peak: the same tables of transformer levels (published). What goes with them was not seen.
var (
	nationalLightning = [...]struct{ umKV, levelKV float64 }{{36, 200}, {72.5, 350}}
	nationalSwitching = [...]struct{ umKV, levelKV float64 }{{420, 1175}}
)

// SwitchingPairs returns the standard pairs of a highest voltage Um of range II in kV, lowest first. A Um that is not in the table is false.
//
// Source: IEC 60071-1, see LevelPairSource.
func SwitchingPairs(umKV float64) (pairs []SwitchingPair, ok bool) {
	for _, r := range pairsByUm {
		if same(r.umKV, umKV) {
			return slices.Clone(r.pairs), true
		}
	}
	return nil, false
}

// LevelPairSource returns the source of the standard pairs of a highest voltage in kV: from memory where one of them is.
func LevelPairSource(umKV float64) Clause {
	levels, _ := InsulationLevels(umKV)
	unseen := func(l InsulationLevel) bool { return unseenLevel(umKV, l.LightningKV) }
	if IsRangeTwo(umKV) && !same(362, umKV) && !same(420, umKV) || slices.ContainsFunc(levels, unseen) {
		return InsulationLevelsSource
	}
	return InsulationLevelsSeen
}

// PairStanding is how the levels of a line stand to the standard pairs of its highest voltage.
type PairStanding uint8

// The standings.
const (
	NoPairsKnown     PairStanding = iota // Um is in no table
	StandardPair                         // in range I: a lightning level that belongs to a pair
	NationalAddition                     // a lightning level of range I that national standards add
	PairNotKnown                         // a switching level that national standards add, whose pairs were not seen
	NoSuchPair
)

// LevelPair tells how a lightning level stands to the standard pairs of a highest voltage, in range II with a switching level, all in kV. In range I
// the switching level is not looked at.
//
// Source: IEC 60071-1, see LevelPairSource.
func LevelPair(umKV, lightningKV, switchingKV float64) PairStanding {
	if pairs, ok := SwitchingPairs(umKV); ok {
		for _, p := range pairs {
			if same(p.SwitchingKV, switchingKV) && slices.ContainsFunc(p.LightningsKV, func(kV float64) bool { return same(kV, lightningKV) }) {
				return StandardPair
			}
		}
		for _, n := range nationalSwitching {
			if same(n.umKV, umKV) && same(n.levelKV, switchingKV) {
				return PairNotKnown
			}
		}
		return NoSuchPair
	}
	if _, ok := InsulationLevels(umKV); !ok {
		return NoPairsKnown
	}
	if _, ok := PowerFrequencyLevel(umKV, lightningKV); ok {
		return StandardPair
	}
	for _, n := range nationalLightning {
		if same(n.umKV, umKV) && same(n.levelKV, lightningKV) {
			return NationalAddition
		}
	}
	return NoSuchPair
}

// LevelPairsInWords names the standard pairs of a highest voltage in kV, with what national standards add; empty where none are known.
func LevelPairsInWords(umKV float64) string {
	var words []string
	if pairs, ok := SwitchingPairs(umKV); ok {
		for _, p := range pairs {
			var with []string
			for _, kV := range p.LightningsKV {
				with = append(with, fmt.Sprintf("%g", kV))
			}
			words = append(words, fmt.Sprintf("%g with %s", p.SwitchingKV, strings.Join(with, " or ")))
		}
	} else if levels, ok := InsulationLevels(umKV); ok {
		for _, l := range levels {
			words = append(words, fmt.Sprintf("%g/%g", l.LightningKV, l.PowerFrequencyKV))
		}
	}
	for _, n := range append(nationalLightning[:], nationalSwitching[:]...) {
		if same(n.umKV, umKV) {
			words = append(words, fmt.Sprintf("by national addition %g", n.levelKV))
		}
	}
	return strings.Join(words, ", ")
}
