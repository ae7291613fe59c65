package audit

import (
	"context"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// Line B goes from north to south over the first span of line A; C runs beside A. What the layer of crossings has there tells of it.
func TestLinesOfTheInputsThatCrossAreTold(t *testing.T) {
	river := func(lon float64) Crossing { return Crossing{Lines: [][]orb.Point{{{lon, 49.9}, {lon, 50.1}}}} }
	rules := func(s *sketch) { s.p.Criteria.CrossingRules = []CrossingRule{{Kind: "line", Double: true}} }
	for name, c := range map[string]struct {
		change func(s *sketch)
		want   string
	}{
		"nobody asks": {func(*sketch) {}, ""},
		"asked":       {rules, `3 spans cross a span of another line of the inputs and nothing that the layer of crossings has, such as that from 1 to 2 of line "A", which crosses the one from 1 to 2 of line "B"; `},
		"by a factor": {func(s *sketch) {
			s.p.Criteria.InsulatorFactor.By = []ExactFactor{{For: []FactorOf{TensionFactor}, Crossings: []string{"line"}, Factor: 3, Basis: "own rule"}}
		}, "3 spans cross a span of another line"},
		"long spans alone": {func(s *sketch) { s.p.Criteria.CrossingRules = []CrossingRule{{Kind: LongSpanKind, Double: true}} }, ""},
		"no layer":         {func(s *sketch) { rules(s); s.p.CrossingsGiven = false }, ""},
		"told of one": {func(s *sketch) {
			rules(s)
			s.p.Crossings = []Crossing{{Kind: s.p.Symbols.Number("line"), Lines: [][]orb.Point{{{10.0005, 49.9999}, {10.0005, 50.0001}}}}}
		}, `1 span crosses a span of another line of the inputs and nothing that the layer of crossings has, that from 1 to 2 of line "B", which crosses the one from 1 to 2 of line "A"; `},
	} {
		s := newSketch(t)
		s.straight("A", 3)
		s.line("A")
		s.line("B")
		s.line("C")
		s.structure("B", "1", 10.001, 50.001)
		s.structure("B", "2", 10.001, 49.999)
		for i := range 3 {
			p := s.p.Structures.At(i)
			s.structure("C", string(rune('1'+i)), p.Lon, p.Lat+0.00001)
		}
		s.p.CrossingsGiven, s.p.Crossings = true, []Crossing{river(11)}
		c.change(s)
		r, err := Assess(context.Background(), s.network(), []*Check{sizing()}, Options{Workers: 1})
		require.NoError(t, err)
		told := ""
		for _, a := range r.Run.Assumptions {
			if strings.Contains(a.Text, "of another line of the inputs and nothing") {
				told = a.Text
			}
		}
		if c.want == "" {
			require.Empty(t, told, name)
		} else {
			require.Contains(t, told, c.want, name)
		}
	}
}
