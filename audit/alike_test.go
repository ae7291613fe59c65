package audit

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"dryarc/audit/basis"
	"dryarc/geo"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// requireAlike holds every field of two views to each other: numbers to about a micrometre, all else exactly.
func requireAlike(t require.TestingT, want, got any, what string) {
	a, b := reflect.ValueOf(want), reflect.ValueOf(got)
	for i := range a.NumField() {
		name := what + ": " + a.Type().Field(i).Name
		if a.Field(i).Kind() != reflect.Float64 {
			require.Equal(t, fmt.Sprintf("%+v", a.Field(i)), fmt.Sprintf("%+v", b.Field(i)), name)
			continue
		}
		x, y := a.Field(i).Float(), b.Field(i).Float()
		require.Equal(t, math.IsNaN(x), math.IsNaN(y), "%s: %g, %g", name, x, y)
		if !math.IsNaN(x) {
			require.InDelta(t, x, y, 1e-6*(1+math.Abs(x)), name)
		}
	}
}

// spot is a structure of an invented line, with what the span ahead of it carries and crosses.
type spot struct {
	lon, lat, groundM, attachmentM float64
	role                           DeclaredRole
	conductor                      string
	tension, continues             bool
}

func drawLine(r *rapid.T) (spots []spot) {
	number := func(low, high float64) float64 { return rapid.Float64Range(low, high).Draw(r, "number") }
	lon, heights := 10.0, rapid.Bool().Draw(r, "heights")
	for range rapid.IntRange(2, 7).Draw(r, "structures") {
		s := spot{lon: lon, lat: 50 + number(-0.001, 0.001), groundM: number(0, 60), attachmentM: math.NaN(),
			role:      rapid.SampledFrom([]DeclaredRole{0, 0, 0, 0, Transposition, Gantry, CableEnd, DeclaredTerminal}).Draw(r, "role"),
			conductor: rapid.SampledFrom([]string{"Wolf", "Wolf", "Wolf", "Lynx"}).Draw(r, "conductor"), tension: rapid.Bool().Draw(r, "tension"),
			continues: rapid.IntRange(0, 9).Draw(r, "continues") == 0}
		if heights {
			s.attachmentM = number(10, 30)
		}
		spots = append(spots, s)
		lon += number(0.002, 0.006)
	}
	return spots
}

// derived builds a network of one line. shiftDeg moves everything along its parallel.
func derived(t *testing.T, spots []spot, shiftDeg float64, reverse bool) *Network {
	s := newSketch(t)
	c := &s.p.Criteria
	c.LongSpanM, c.ZoneMarginM, c.DefaultClass = Stated(350), Stated(500), basis.ClassB
	c.CrossingRules = []CrossingRule{{Kind: "river", Double: true}, {Kind: "railway", Tension: true}}
	s.p.Conductors = basis.Conductors()
	row := s.line("L")
	row.Conductor, row.ColdTensionKN, row.NominalKV = s.p.Symbols.Number("Wolf"), 20, 132
	side := Back
	if reverse {
		side = Ahead
	}
	count := len(spots)
	for k := range spots {
		i, span := k, k // the span ahead of a structure is the one behind it where the line runs the other way
		if reverse {
			i, span = count-1-k, count-2-k
		}
		st := s.structure("L", fmt.Sprint(i+1), spots[i].lon+shiftDeg, spots[i].lat)
		st.GroundM, st.AttachmentM, st.Role, st.Continues = spots[i].groundM, spots[i].attachmentM, spots[i].role, spots[i].continues
		if span >= 0 {
			st.ConductorAhead = s.p.Symbols.Number(spots[span].conductor)
		}
		if spots[i].tension {
			s.assembly("L", fmt.Sprint(i+1), "1", "A", Tension, side)
		}
	}
	for k, lon := range []float64{10.003, 10.009, 10.0135} {
		kind := []string{"river", "railway", "pipeline"}[k]
		s.p.Crossings = append(s.p.Crossings, Crossing{Kind: s.p.Symbols.Number(kind), Lines: [][]orb.Point{{{lon + shiftDeg, 49.9}, {lon + shiftDeg, 50.1}}}})
	}
	s.p.Zones = []Zone{{Class: basis.ClassD, Polygons: []geo.Polygon{{Flat: []float64{10.006 + shiftDeg, 49.9, 10.011 + shiftDeg, 49.9,
		10.011 + shiftDeg, 50.1, 10.006 + shiftDeg, 50.1, 10.006 + shiftDeg, 49.9}, Ends: []int{10}}}}}
	return s.network()
}

// A line that is read from its other end has its sides changed over, turns to the other hand, counts its chainage from
// there, and is otherwise the same.
func TestALineReadFromItsOtherEnd(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		spots := drawLine(r)
		n, m := derived(t, spots, 0, false), derived(t, spots, 0, true)
		last := len(spots) - 1
		length := m.ChainageM(0, last)
		for i := range spots {
			want, got := n.Structure(0, i), m.Structure(0, last-i)
			got.SpanBackM, got.SpanAheadM = got.SpanAheadM, got.SpanBackM
			got.HeightBackM, got.HeightAheadM = got.HeightAheadM, got.HeightBackM
			got.RulingBackM, got.RulingAheadM = got.RulingAheadM, got.RulingBackM
			got.SlackBack, got.SlackAhead = got.SlackAhead, got.SlackBack
			got.CarriesBack, got.CarriesAhead = got.CarriesAhead, got.CarriesBack
			got.NoRiseBack, got.NoRiseAhead = got.NoRiseAhead, got.NoRiseBack
			got.Back, got.Ahead = got.Ahead, got.Back
			got.DeviationDeg = -got.DeviationDeg
			require.InDelta(r, n.ChainageM(0, i), length-m.ChainageM(0, last-i), 1e-6*(1+length))
			if before, after, named := strings.Cut(strings.TrimPrefix(got.Changes, "the conductor changes from "), " to "); named && strings.HasPrefix(got.Changes, "the conductor") {
				got.Changes = "the conductor changes from " + after + " to " + before
			}
			got.Index, got.Source, got.Number = want.Index, want.Source, want.Number
			requireAlike(r, want, got, fmt.Sprintf("structure %d of %d", i+1, len(spots)))
		}
		a, b := n.SectionsAsRegistered(0), m.SectionsAsRegistered(0)
		slices.Reverse(b)
		require.Len(r, b, len(a))
		for k := range a {
			b[k].First, b[k].Last = last-b[k].Last, last-b[k].First
			requireAlike(r, a[k], b[k], "section")
		}
	})
}

// Moved along its parallel with all that is around it, a line stays what it is.
func TestALineMovedAlongItsParallel(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		spots := drawLine(r)
		shift := rapid.Float64Range(-180, 169).Draw(r, "shift")
		n, m := derived(t, spots, 0, false), derived(t, spots, shift, false)
		for i := range spots {
			want, got := n.Structure(0, i), m.Structure(0, i)
			got.Position = want.Position
			require.InDelta(r, want.DeviationDeg, got.DeviationDeg, 1e-5)
			got.DeviationDeg = want.DeviationDeg
			require.InDelta(r, n.ChainageM(0, i), m.ChainageM(0, i), 1e-6*(1+n.ChainageM(0, i)))
			requireAlike(r, want, got, fmt.Sprintf("structure %d of %d", i+1, len(spots)))
		}
	})
}
