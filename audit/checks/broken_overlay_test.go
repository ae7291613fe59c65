package checks_test

import (
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/geo"

	"github.com/stretchr/testify/require"
)

// A crossing whose place is broken leaves open what its kind asks for where it may lie, and nothing else.
func TestOverlaysOfABrokenCrossing(t *testing.T) {
	for _, c := range []struct {
		name            string
		kind            string
		anywhere        bool
		double, tension []int // structures without a verdict
	}{
		{"a river near 3", "river", false, []int{3, 4}, nil},
		{"a river somewhere", "river", true, []int{1, 2, 3, 4, 5, 6, 7, 8, 9}, nil},
		{"a railway near 3", "railway", false, nil, []int{3, 4}},
		{"a kind that asks for nothing", "road", true, nil, nil},
		{"a kind that cannot be read", "", false, []int{3, 4}, []int{3, 4}},
	} {
		t.Run(c.name, func(t *testing.T) {
			for check, want := range map[string][]int{"double-at-crossing": c.double, "tension-at-crossing": c.tension} {
				b := newBase(t)
				crossing := audit.Crossing{Kind: b.Symbols.Number(c.kind), Broken: true, Anywhere: c.anywhere}
				if !c.anywhere {
					crossing.Polygons = []geo.Polygon{square(10.0105, 50, 0.001)}
				}
				b.Crossings = []audit.Crossing{crossing}
				told := b.told(check)
				for number := 1; number <= 9; number++ {
					open := slices.ContainsFunc(at(number, slices.Clone(told)), func(v string) bool { return strings.Contains(v, "not assessed") })
					require.Equal(t, slices.Contains(want, number), open, "%s %d", check, number)
				}
			}
		})
	}
}

// A zone that may lie anywhere may be the worse one near by.
func TestOverlayOfANearZoneThatMayBeAnywhere(t *testing.T) {
	b := newBase(t)
	b.Zones = []audit.Zone{{Polygons: []geo.Polygon{square(0, 0, 90)}, Class: basis.ClassE, Broken: true, Anywhere: true}}
	told := b.told("near-worse-zone")
	require.NotEmpty(t, told)
	for _, v := range told {
		require.Contains(t, v, "not assessed")
	}
}
