package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// L 400 m, T 30 kN, w 15.97 N/m sag by 10.657 m on the catenary, 10.647 m as a parabola (computed): from the middle of that
// span to its end the conductor rises by its sag, and its low point is where it starts.
func TestSagOfALevelSpan(t *testing.T) {
	c := CatenaryConstant(30, 15.97)
	require.InDelta(t, 1878.52, c, 0.005) // 30 000/15.97 (computed)
	require.InDelta(t, 200, LowPoint(400, 0, c), 1e-9)
	const perMetre = 9.4 // the low point of a span of 200 m moves by C/L for a metre of rise
	require.InDelta(t, 0, LowPoint(200, 10.657, c), 5e-4*perMetre)
	require.Greater(t, math.Abs(LowPoint(200, 10.647, c)), 5e-4*perMetre, "a parabola's sag is another")
}

// 600 m with a rise of 400 m, T 58 kN, w 15.97 N/m: T·cosh(x/C) is 73.1 kN at the upper end, x from the low point (computed).
func TestLowPointGivesTheTensionAtTheSupport(t *testing.T) {
	c := CatenaryConstant(58, 15.97)
	require.InDelta(t, 73.1, 58*math.Cosh(FromLowPoint(600, 400, c)/c), 0.05)
}

func TestRulingSpan(t *testing.T) {
	require.InDelta(t, 406.34, RulingSpan([]float64{350, 200, 450, 500, 325}), 0.005) // published spans
	require.InDelta(t, 300, RulingSpan([]float64{300, 300}), 1e-9)
	require.True(t, math.IsNaN(RulingSpan(nil)))
}

// 220, 180, 260 m: 227.16 m (computed). ΣL³/ΣL² = 229.49 is a wrong formula seen in print.
func TestRulingSpanIsNotTheFormulaSeenInPrint(t *testing.T) {
	got := RulingSpan([]float64{220, 180, 260})
	require.InDelta(t, 227.16, got, 0.005)
	require.Greater(t, 229.49-got, 2.0)
}

func TestWeightSpan(t *testing.T) {
	// Horizontal spans, heights of the attachments, catenary constant; weight span of the parabola
	// (L1 + L2)/2 + C·((h2 − h1)/L1 + (h2 − h3)/L2) and exact, m (computed).
	for _, c := range []struct {
		back, ahead, hBack, h, hAhead, constant, parabola, exact float64
	}{
		{300, 400, 100, 110, 95, 1500, 456.25, 455.98},
		{300, 300, 120, 100, 115, 1500, 125, 125.40},
		{300, 300, 120, 100, 115, 3000, -50, -49.64}, // the cold case lifts
	} {
		weight := WeightSpan(c.back, c.ahead, c.hBack, c.h, c.hAhead, c.constant)
		require.InDelta(t, c.exact, weight, 0.005)
		require.InDelta(t, c.parabola, weight, 0.41, "a parabola is near a catenary as flat as this")
		require.Equal(t, c.constant == 3000, Lifts(weight))
		// The shares of the two spans, as at line ends.
		require.InEpsilon(t, weight, FromLowPoint(c.back, c.h-c.hBack, c.constant)+LowPoint(c.ahead, c.hAhead-c.h, c.constant), 1e-12)
	}
	require.InDelta(t, 350, WindSpan(300, 400), 1e-12) // computed
}

func TestLifts(t *testing.T) {
	// Statics: a weight span of zero is uplift (common practice).
	for weight, want := range map[float64]bool{0.001: false, 0: true, -0.001: true, 300: false} {
		require.Equal(t, want, Lifts(weight), weight)
	}
	require.False(t, Lifts(math.NaN()))
}

// Two attachments at one position have no span between them, whatever their heights.
func TestASpanWithoutLengthHasNoLowPoint(t *testing.T) {
	for _, span := range []float64{0, -1, math.NaN()} {
		for _, rise := range []float64{0, 5, -5} {
			require.True(t, math.IsNaN(LowPoint(span, rise, 1500)), "%g %g", span, rise)
			require.True(t, math.IsNaN(FromLowPoint(span, rise, 1500)))
			require.True(t, math.IsNaN(WeightSpan(span, 300, 100, 100+rise, 100, 1500)))
		}
	}
}

func TestLowPointLiesOnTheCatenary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		span := rapid.Float64Range(20, 1500).Draw(t, "span")
		rise := rapid.Float64Range(-0.8, 0.8).Draw(t, "slope") * span
		c := rapid.Float64Range(400, 5000).Draw(t, "constant")
		x := LowPoint(span, rise, c)
		require.InDelta(t, rise, c*(math.Cosh((span-x)/c)-math.Cosh(x/c)), 1e-6)
		require.InDelta(t, span, x+LowPoint(span, -rise, c), 1e-6) // the same span seen from its other end
	})
}

func TestWeightSpansOfARunSumToItsLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spans := rapid.SliceOfN(rapid.Float64Range(20, 1200), 1, 30).Draw(t, "spans")
		c := rapid.Float64Range(400, 5000).Draw(t, "constant")
		level := rapid.Bool().Draw(t, "level")
		heights := []float64{2000}
		length := 0.0
		for _, l := range spans {
			rise := 0.0
			if !level {
				rise = rapid.Float64Range(-0.5, 0.5).Draw(t, "slope") * l
			}
			heights = append(heights, heights[len(heights)-1]+rise)
			length += l
		}
		last := len(spans)
		sum := LowPoint(spans[0], heights[1]-heights[0], c)
		for i := 1; i < last; i++ {
			weight := WeightSpan(spans[i-1], spans[i], heights[i-1], heights[i], heights[i+1], c)
			if level {
				require.InEpsilon(t, WindSpan(spans[i-1], spans[i]), weight, 1e-9)
			}
			sum += weight
		}
		sum += spans[last-1] - LowPoint(spans[last-1], heights[last]-heights[last-1], c)
		require.InEpsilon(t, length, sum, 1e-6)
	})
}

func TestChordSlope(t *testing.T) {
	require.InDelta(t, 45, ChordSlope(100, 100), 1e-12) // computed
	require.InDelta(t, -5.7106, ChordSlope(300, -30), 5e-5)
	require.Zero(t, ChordSlope(300, 0))
}

// elastic is a conductor with the typical final modulus and expansion of its stranding (value from memory, M): 80 GPa and
// 17.8e-6/K for 30/7, 69 GPa and 19.3e-6/K for 54/7.
func elastic(t *testing.T, name string) Conductor {
	t.Helper()
	c := conductor(t, name)
	c.ModulusGPa, c.Expansion1e6PerK = 80, 17.8
	if c.Stranding.Aluminium == 54 {
		c.ModulusGPa, c.Expansion1e6PerK = 69, 19.3
	}
	return c
}

// bisect solves the change-of-state equation as it is printed, in N, by halving an interval.
func bisect(known ConductorState, w2, t2, span float64, c Conductor) float64 {
	ea := c.ModulusGPa * 1e9 * c.AreaMM2 * 1e-6
	alpha := c.Expansion1e6PerK * 1e-6
	t1 := known.TensionKN * 1000
	f := func(x float64) float64 {
		bracket := x - t1 + ea*alpha*(t2-known.TemperatureC) +
			ea*known.WeightNPerM*known.WeightNPerM*span*span/(24*t1*t1)
		return x*x*bracket - ea*w2*w2*span*span/24
	}
	low, high := 0.0, 1e9
	for range 200 {
		if mid := (low + high) / 2; f(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return high / 1000
}

func TestTensionAtAgainstBisection(t *testing.T) {
	conductors := []Conductor{elastic(t, "Panther"), elastic(t, "Zebra")}
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SampledFrom(conductors).Draw(t, "conductor")
		known := ConductorState{
			TensionKN:    rapid.Float64Range(2, 60).Draw(t, "tension"),
			WeightNPerM:  rapid.Float64Range(3, 30).Draw(t, "weight 1"),
			TemperatureC: rapid.Float64Range(-30, 80).Draw(t, "temperature 1"),
		}
		w2 := rapid.Float64Range(3, 60).Draw(t, "weight 2")
		t2 := rapid.Float64Range(-40, 90).Draw(t, "temperature 2")
		span := rapid.Float64Range(30, 1200).Draw(t, "ruling span")
		got, err := TensionAt(known, w2, t2, span, c)
		require.NoError(t, err)
		require.InEpsilon(t, bisect(known, w2, t2, span, c), got, 1e-9)

		back, err := TensionAt(ConductorState{got, w2, t2}, known.WeightNPerM, known.TemperatureC, span, c)
		require.NoError(t, err)
		require.InEpsilon(t, known.TensionKN, back, 1e-6) // there and back again

		same, err := TensionAt(known, known.WeightNPerM, known.TemperatureC, span, c)
		require.NoError(t, err)
		require.InEpsilon(t, known.TensionKN, same, 1e-9) // identity: T2 = T1

		colder, err := TensionAt(known, w2, t2-5, span, c)
		require.NoError(t, err)
		require.Greater(t, colder, got)
	})
}

func TestTensionOutOfRange(t *testing.T) {
	c := elastic(t, "Panther")
	known := ConductorState{20, 9.55, 15}
	for name, call := range map[string]func() (float64, error){
		"tension":                 func() (float64, error) { return TensionAt(ConductorState{0, 9.55, 15}, 9.55, 0, 300, c) },
		"weight of the new state": func() (float64, error) { return TensionAt(known, 0, 0, 300, c) },
		"ruling span":             func() (float64, error) { return TensionAt(known, 9.55, 0, math.NaN(), c) },
		"modulus":                 func() (float64, error) { return TensionAt(known, 9.55, 0, 300, conductor(t, "Panther")) },
		"area": func() (float64, error) {
			drake := conductor(t, "Drake")
			drake.ModulusGPa, drake.Expansion1e6PerK = 74, 18.8
			return TensionAt(known, 15.965, 0, 300, drake)
		},
	} {
		got, err := call()
		var out *OutOfRange
		require.ErrorAs(t, err, &out, name)
		require.Equal(t, name, out.Quantity)
		require.True(t, math.IsNaN(got))
	}
}

func TestSwing(t *testing.T) {
	// Loads published: 879.657 Pa on 27.73 mm over 440 m, 15.102 N/m over 275 m, string 754.131 N. The sheet prints
	// 67.00°, its own ratio of loads gives 67.12 (computed).
	s := SwingCase{WindSpanM: 440, WeightSpanM: 275, WindPa: 879.657, DiameterMM: 27.73, WeightNPerM: 15.102,
		StringWeightN: 754.131, Subconductors: 1}
	require.InDelta(t, 10732.87, s.WindN(), 0.01)
	require.InDelta(t, 4530.12, s.VerticalN()+s.StringWeightN/2, 0.01)
	require.InDelta(t, 67.12, s.AngleDeg(), 0.005)

	// T 28.02 kN, w 15.965 N/m, d 28.14 mm, 300/300 m, 290 Pa, string 600 N, 2°: 33.95°, without wind 10.88° (computed).
	s = SwingCase{TensionKN: 28.02, DeviationDeg: 2, WindSpanM: 300, WeightSpanM: 300, WindPa: 290, DiameterMM: 28.14,
		WeightNPerM: 15.965, StringWeightN: 600, Subconductors: 1}
	require.InDelta(t, 33.95, s.AngleDeg(), 0.005)
	s.WindPa = 0
	require.InDelta(t, 10.88, s.AngleDeg(), 0.005)
}

func TestSwingTriesBothWinds(t *testing.T) {
	s := SwingCase{TensionKN: 20, DeviationDeg: -1, WindSpanM: 300, WeightSpanM: 300, WindPa: 300, DiameterMM: 21,
		WeightNPerM: 9.55, StringWeightN: 500, StringWindN: 200, Subconductors: 2}
	with, against := s.Angles()
	require.Positive(t, with)
	require.Negative(t, against)
	require.Equal(t, with, s.AngleDeg())
	// Two subconductors, half of the string's wind and weight (computed).
	turn, wind, down := 2*2*20000*math.Sin(math.Pi/360), 2*300*6.3+100, 2*300*9.55+250
	require.InDelta(t, math.Atan((turn+wind)/down)*180/math.Pi, with, 1e-9)
	require.InDelta(t, math.Atan((turn-wind)/down)*180/math.Pi, against, 1e-9)
	require.InDelta(t, math.Hypot(turn+wind-100, down-250), s.ResultantN(), 1e-9)
}

func TestUpliftSwingsPastTheHorizontal(t *testing.T) {
	s := SwingCase{TensionKN: 20, DeviationDeg: 1, WindSpanM: 300, WeightSpanM: -100, WindPa: 300, DiameterMM: 21,
		WeightNPerM: 9.55, StringWeightN: 500, Subconductors: 1}
	require.Greater(t, s.AngleDeg(), 90.0)
}
