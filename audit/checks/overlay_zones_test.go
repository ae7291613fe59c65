package checks_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"
	"dryarc/geo"

	"github.com/stretchr/testify/require"
)

// run runs the audit.
func (b *base) run() *audit.Result {
	n, err := audit.Arrange(b.Project)
	require.NoError(b.t, err)
	require.NoError(b.t, audit.Derive(context.Background(), n, 2))
	r, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{Workers: 2})
	require.NoError(b.t, err)
	return r
}

// outcomes tells what a check says of each subject of a structure, with its reason.
func outcomes(r *audit.Result, check string, structure int) (said []string) {
	for _, d := range audit.Explain(r.Network, r.Checks, 0, structure-1) {
		if d.Check.ID != check {
			continue
		}
		text := d.Verdict.Outcome.String()
		if d.Verdict.Reason != audit.NoReason {
			text += ": " + d.Verdict.Reason.String()
		}
		if !slices.Contains(said, text) {
			said = append(said, text)
		}
	}
	return said
}

// around is the square around a structure of the base, which reaches no other.
func around(structure int) []geo.Polygon {
	return []geo.Polygon{square(10+0.0042*float64(structure-1), 50, 0.0005)}
}

const (
	unreadable = "not assessed: class of the zone not readable"
	nowhere    = "not assessed: a worse zone may lie here, whose area is not readable"
)

// The strings of the base have 9 × 295 = 2655 mm. At Um 145 kV class a needs 1841.8, b 2327.3, c 2904.9, d 3624.9 mm.
func TestOverlaysOfZonesInDoubt(t *testing.T) {
	unknown := func(polygons []geo.Polygon) audit.Zone {
		return audit.Zone{Polygons: polygons, Unknown: audit.ZoneClassUnreadable}
	}
	for _, o := range []struct {
		name     string
		change   func(b *base)
		creepage string // of structure 3
		want     []string
	}{
		{"unknown class outside every other zone", func(b *base) { b.Zones = []audit.Zone{unknown(around(3))} }, unreadable, nil},
		{"unknown class where the default would fall short", func(b *base) {
			b.Criteria.DefaultClass, b.Zones = basis.ClassA, []audit.Zone{unknown(around(3))}
			for _, row := range b.rows(3) {
				row.Direct = b.direct(func(d *audit.DirectValues) { d.CreepageMM = 1800 })
			}
		}, unreadable, nil},
		{"unknown class over a class that meets", func(b *base) {
			b.Zones = []audit.Zone{unknown(around(3)), {Class: basis.ClassA, Polygons: around(3)}}
		}, unreadable, nil},
		{"unknown class over a class that falls short", func(b *base) {
			b.Zones = []audit.Zone{unknown(around(3)), {Class: basis.ClassC, Polygons: around(3)}}
		}, "falls short", each("creepage", 3)},
		{"broken area of a worse class", func(b *base) {
			b.Zones = []audit.Zone{{Class: basis.ClassC, Broken: true, Polygons: around(3)}}
		}, nowhere, nil},
		{"broken area of a worse class, no default", func(b *base) {
			b.Criteria.DefaultClass, b.Zones = basis.ClassUnknown, []audit.Zone{{Class: basis.ClassC, Broken: true, Polygons: around(3)}}
		}, nowhere, nil},
		{"broken area of a worse class where the known one falls short", func(b *base) {
			b.Zones = []audit.Zone{{Class: basis.ClassC, Polygons: around(3)}, {Class: basis.ClassE, Broken: true, Polygons: around(3)}}
		}, "falls short", each("creepage", 3)},
		{"broken area of the class in force", func(b *base) {
			b.Zones = []audit.Zone{{Class: basis.ClassB, Broken: true, Polygons: around(3)}}
		}, "meets", nil},
		{"broken area of a better class than the default", func(b *base) {
			b.Zones = []audit.Zone{{Class: basis.ClassA, Broken: true, Polygons: around(3)}}
		}, "meets", nil},
		{"broken area of a better class than the default, by which alone it falls short", func(b *base) {
			b.Criteria.DefaultClass, b.Zones = basis.ClassC, []audit.Zone{{Class: basis.ClassA, Broken: true, Polygons: []geo.Polygon{square(10, 50, 0.1)}}}
		}, nowhere, nil},
		{"broken area of a better class than the zone in force", func(b *base) {
			b.Zones = []audit.Zone{{Class: basis.ClassC, Polygons: around(3)}, {Class: basis.ClassA, Broken: true, Polygons: around(3)}}
		}, "falls short", each("creepage", 3)},
		{"one broken area better, one worse", func(b *base) {
			b.Criteria.DefaultClass = basis.ClassC
			b.Zones = []audit.Zone{{Class: basis.ClassA, Broken: true, Polygons: []geo.Polygon{square(10, 50, 0.1)}}, {Class: basis.ClassE, Broken: true, Polygons: around(3)}}
		}, nowhere, nil},
		{"broken area of unknown class", func(b *base) {
			zone := unknown(around(3))
			zone.Broken = true
			b.Zones = []audit.Zone{zone}
		}, unreadable, nil},
		{"class c anywhere", func(b *base) { b.Zones = []audit.Zone{{Class: basis.ClassC, Broken: true, Anywhere: true}} }, nowhere, nil},
		{"class c anywhere, where c is in force", func(b *base) {
			b.Zones = []audit.Zone{{Class: basis.ClassC, Broken: true, Anywhere: true}, {Class: basis.ClassC, Polygons: around(3)}}
		}, "falls short", each("creepage", 3)},
		{"class b anywhere, where b is in force by default", func(b *base) { b.Zones = []audit.Zone{{Class: basis.ClassB, Broken: true, Anywhere: true}} }, "meets", nil},
		{"class a anywhere, and the default falls short", func(b *base) {
			b.Criteria.DefaultClass, b.Zones = basis.ClassC, []audit.Zone{{Class: basis.ClassA, Broken: true, Anywhere: true}}
		}, nowhere, nil},
		{"class c anywhere, no default", func(b *base) {
			b.Criteria.DefaultClass, b.Zones = basis.ClassUnknown, []audit.Zone{{Class: basis.ClassC, Broken: true, Anywhere: true}}
		}, nowhere, nil},
		{"unknown class anywhere", func(b *base) {
			zone := unknown(nil)
			zone.Broken, zone.Anywhere = true, true
			b.Zones = []audit.Zone{zone, {Class: basis.ClassA, Polygons: around(3)}}
		}, unreadable, nil},
		{"two classes anywhere", func(b *base) {
			b.Zones = []audit.Zone{{Class: basis.ClassA, Broken: true, Anywhere: true}, {Class: basis.ClassC, Broken: true, Anywhere: true}}
		}, nowhere, nil},
		{"two broken areas, by the lesser of which it meets", func(b *base) {
			b.Criteria.DefaultClass = basis.ClassD
			b.Zones = []audit.Zone{{Class: basis.ClassC, Broken: true, Polygons: []geo.Polygon{square(10, 50, 0.1)}}, {Class: basis.ClassA, Broken: true, Polygons: []geo.Polygon{square(10, 50, 0.1)}}}
		}, nowhere, nil},
		{"two broken areas, by the lesser of which it falls short", func(b *base) {
			b.Criteria.DefaultClass = basis.ClassE
			b.Zones = []audit.Zone{{Class: basis.ClassC, Broken: true, Polygons: around(3)}, {Class: basis.ClassD, Broken: true, Polygons: around(3)},
				{Class: basis.ClassB, Polygons: []geo.Polygon{square(10.0021, 50, 0.003)}}, {Class: basis.ClassB, Polygons: []geo.Polygon{square(10.0252, 50, 0.0135)}}}
		}, "falls short", each("creepage", 3)},
	} {
		t.Run(o.name, func(t *testing.T) {
			b := newBase(t)
			o.change(b)
			r := b.run()
			require.Equal(t, []string{o.creepage}, outcomes(r, "creepage", 3))
			require.Equal(t, o.want, b.exceptions())
			doubt := r.Network.Structure(0, 2)
			if o.creepage != "meets" && doubt.Doubt != audit.NoReason {
				require.Equal(t, basis.ClassUnknown, doubt.ClassInForce())
				require.NotEqual(t, -1, doubt.DoubtfulZone)
			}
		})
	}
}

// What other checks make of a structure whose class is in doubt.
func TestChecksWhereTheClassIsInDoubt(t *testing.T) {
	unknownAt := func(structure int) audit.Zone {
		return audit.Zone{Polygons: around(structure), Unknown: audit.ZoneClassUnreadable}
	}
	t.Run("string-too-long", func(t *testing.T) {
		b := newBase(t)
		b.Zones = []audit.Zone{unknownAt(3), {Class: basis.ClassB, Polygons: around(3)}, unknownAt(4), {Class: basis.ClassE, Polygons: around(4)}}
		r := b.run()
		require.Equal(t, []string{unreadable}, outcomes(r, "string-too-long", 3))
		require.Equal(t, []string{"falls short"}, outcomes(r, "string-too-long", 4), "16 units of 146 mm; the line allows 2000 mm")
	})
	t.Run("sound-units", func(t *testing.T) {
		b := newBase(t)
		b.Zones = []audit.Zone{unknownAt(3), {Class: basis.ClassB, Polygons: around(3)}}
		b.Lines[0].LightningKV = 450
		b.rows(3)[0].Defective = 1 // 8 × 295 = 2360 mm
		require.Contains(t, outcomes(b.run(), "sound-units", 3), unreadable)
		b.rows(3)[0].Defective = 2 // 2065 mm, below class b; but whether the string as built had enough is not known
		require.Contains(t, outcomes(b.run(), "sound-units", 3), unreadable)
		require.Empty(t, b.exceptions())
		b.Criteria.SoundUnits = []audit.SoundUnitsRule{{NominalKV: 132, Units: 8}}
		require.Equal(t, []string{"sound-units 3 A"}, b.exceptions(), "the project's own minimum has nothing to do with the class")
	})
	t.Run("near-worse-zone", func(t *testing.T) {
		north := func(lat float64) []geo.Polygon { return []geo.Polygon{square(10+0.0042*2, lat, 0.0006)} }
		near, farther := north(50.0012), north(50.0013) // 67 m and 78 m off
		b := newBase(t)
		b.Zones = []audit.Zone{{Polygons: near, Unknown: audit.ZoneClassUnreadable}}
		require.Equal(t, []string{unreadable}, outcomes(b.run(), "near-worse-zone", 3))
		b.Zones = append(b.Zones, audit.Zone{Polygons: farther, Class: basis.ClassD})
		require.Equal(t, []string{unreadable}, outcomes(b.run(), "near-worse-zone", 3), "the one in doubt is the nearer")
		b.Zones[0].Polygons, b.Zones[1].Polygons = farther, near
		require.Equal(t, []string{"falls short"}, outcomes(b.run(), "near-worse-zone", 3))
		b.Zones = []audit.Zone{{Polygons: near, Class: basis.ClassD, Broken: true}}
		require.Equal(t, []string{nowhere}, outcomes(b.run(), "near-worse-zone", 3))
		b.Zones = []audit.Zone{{Polygons: near, Class: basis.ClassB, Broken: true}}
		require.Equal(t, []string{"not applicable: no worse zone within the margin"}, outcomes(b.run(), "near-worse-zone", 3))
		b.Zones = []audit.Zone{unknownAt(3)}
		require.Equal(t, []string{unreadable}, outcomes(b.run(), "near-worse-zone", 3), "it stands in one itself")
		b.Zones = []audit.Zone{{Polygons: around(3), Class: basis.ClassA, Broken: true}}
		require.Equal(t, []string{nowhere}, outcomes(b.run(), "near-worse-zone", 3), "what is worse than a need not be worse than b")
		b.Zones = append(b.Zones, audit.Zone{Polygons: near, Class: basis.ClassD})
		require.Equal(t, []string{nowhere}, outcomes(b.run(), "near-worse-zone", 3))
	})
	t.Run("tension-fewer-units", func(t *testing.T) {
		b := newBase(t)
		for _, row := range b.rows(9) {
			row.UnitsPerString = 8
		}
		require.Equal(t, []string{"falls short"}, outcomes(b.run(), "tension-fewer-units", 9))
		b.Zones = []audit.Zone{unknownAt(9), {Class: basis.ClassB, Polygons: around(9)}}
		require.Equal(t, []string{unreadable}, outcomes(b.run(), "tension-fewer-units", 9))
		b = newBase(t) // strings of unknown site are no usual strings
		for i := range b.Structures.Len() {
			b.Zones = append(b.Zones, unknownAt(i+1))
		}
		b.Zones = b.Zones[:8]
		require.Equal(t, []string{"not assessed: whether the strings to compare with are in the same class is not known, see Faults"}, outcomes(b.run(), "tension-fewer-units", 9))
	})
	t.Run("odd-one-out", func(t *testing.T) {
		b := newBase(t)
		for _, row := range b.rows(4) {
			row.UnitsPerString = 10
		}
		b.Zones = []audit.Zone{{Class: basis.ClassB, Polygons: []geo.Polygon{square(10.01, 50, 1)}}, {Class: basis.ClassA, Polygons: around(7)}}
		require.Equal(t, []string{"falls short"}, outcomes(b.run(), "odd-one-out", 4), "the better class under another changes nothing")
		b.Zones[1].Unknown = audit.ZoneClassUnreadable
		require.Equal(t, []string{"not assessed: whether the strings to compare with are in the same class is not known, see Faults"}, outcomes(b.run(), "odd-one-out", 4))
		b.Zones[1].Polygons = b.Zones[0].Polygons
		require.Equal(t, []string{"falls short"}, outcomes(b.run(), "odd-one-out", 4), "all of them are in the same zones, whatever these are")
		b.Zones[1].Broken, b.Zones[1].Class, b.Zones[1].Unknown = true, basis.ClassC, audit.NoReason
		require.Equal(t, []string{"not assessed: whether the strings to compare with are in the same class is not known, see Faults"}, outcomes(b.run(), "odd-one-out", 4),
			"some may be in the broken one, others not")
		b.Zones[1].Broken, b.Zones[1].Class, b.Zones[1].Unknown = false, basis.ClassUnknown, audit.ZoneClassUnreadable
		b.Zones[1].Polygons = around(7)
		b.rows(2)[0].UnitsPerString = 8
		require.Equal(t, []string{"meets"}, outcomes(b.run(), "odd-one-out", 4), "the run behind is not alike, whatever is ahead")
		b.rows(2)[0].UnitsPerString = 9
		b.rows(4)[0].UnitsPerString = 9
		b.Zones[1].Polygons = around(7)
		require.Contains(t, outcomes(b.run(), "odd-one-out", 4), "falls short", "the others of the structure are alike")
	})
	t.Run("one class worse", func(t *testing.T) {
		b := newBase(t)
		all := b.run().Lines[0].OneClassWorse
		b.Zones = []audit.Zone{unknownAt(3)}
		require.Equal(t, all-3, b.run().Lines[0].OneClassWorse, "three strings of which nothing is known")
	})
	t.Run("schedule of requirements", func(t *testing.T) {
		b := newBase(t)
		b.Zones = []audit.Zone{unknownAt(3), {Class: basis.ClassC, Polygons: around(3)}}
		r := b.run()
		schedule := r.Network.Schedule(0, checks.All())
		three, four := schedule.Requirements[2], schedule.Requirements[3]
		require.Zero(t, three.Units)
		require.Nil(t, three.Governs)
		require.True(t, math.IsNaN(three.CreepageMM))
		require.Equal(t, audit.Suspension, three.Duty)
		require.False(t, math.IsNaN(three.RatingKN))
		require.Equal(t, int32(8), four.Units)
		b.Zones = []audit.Zone{{Class: basis.ClassA, Broken: true, Polygons: around(3)}}
		require.Equal(t, int32(8), b.run().Network.Schedule(0, checks.All()).Requirements[2].Units, "no more than the default asks for")
		require.InDelta(t, 27.8*145/math.Sqrt(3), four.CreepageMM, 1e-6)
	})
}

// A basis that nobody states: what meets by one edition only is an advisory. 16 mm/kV of Um 145 kV are 2320 mm, 27.8 mm/kV
// of Um/√3 are 2327.3 mm; 25 and 43.3 are 3625 and 3624.9 mm (IEC 815:1986 and IEC TS 60815-1:2008, published).
func TestOverlayOfABasisThatIsOnlyTheDefault(t *testing.T) {
	const advises = "On the %s basis it meets; the project states no creepage_basis, so this is an advisory."
	for _, c := range []struct {
		name      string
		class     basis.Class
		mm        float64
		stated    bool
		want      string // severity, empty where it meets
		otherwise string // the basis by which it meets
	}{
		{"short by both", basis.ClassB, 2319, false, "shortfall", ""},
		{"just enough of 1986", basis.ClassB, 2320, false, "advisory", "1986"},
		{"just short of unified", basis.ClassB, 2327.2, false, "advisory", "1986"},
		{"enough for both", basis.ClassB, 2327.4, false, "", ""},
		{"just enough of 1986, basis stated", basis.ClassB, 2320, true, "shortfall", ""},
		{"between, where 1986 asks for more", basis.ClassD, 3624.95, false, "advisory", "unified"},
		{"between, basis stated", basis.ClassD, 3624.95, true, "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase(t)
			b.Criteria.DefaultClass, b.Criteria.CreepageBasisStated = c.class, c.stated
			for i := range b.Assemblies.Len() {
				b.Assemblies.Row(i).Direct = b.direct(func(d *audit.DirectValues) { d.CreepageMM = c.mm })
			}
			r := b.run()
			found := map[string]int{}
			for i := range r.Exceptions {
				e := &r.Exceptions[i]
				if r.Checks[e.Check].ID != "creepage" {
					continue
				}
				found[e.Verdict.Severity.String()]++
				if c.otherwise != "" {
					require.Contains(t, e.Verdict.Sentence, fmt.Sprintf(advises, c.otherwise))
				} else {
					require.NotContains(t, e.Verdict.Sentence, "advisory")
				}
				require.Less(t, e.Verdict.Observed.Number, e.Verdict.Required.Number)
			}
			if c.want == "" {
				require.Empty(t, found)
			} else {
				require.Equal(t, map[string]int{c.want: b.Assemblies.Len()}, found)
			}
		})
	}
	t.Run("an own figure is of no edition", func(t *testing.T) {
		b := newBase(t)
		b.Criteria.OwnSpecificCreepage = own(basis.ClassB, 27.8)
		b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.CreepageMM = 2320 })
		r := b.run()
		require.Len(t, r.Exceptions, 2) // and odd-one-out
		require.Equal(t, audit.Shortfall, r.Exceptions[0].Verdict.Severity)
	})
	t.Run("sound units", func(t *testing.T) {
		b := newBase(t)
		row := b.rows(3)[0]
		row.Direct, row.Defective = b.direct(func(d *audit.DirectValues) { d.CreepageMM = 2320 / 8.0 * 9 }), 1
		r := b.run()
		require.Equal(t, []string{"odd-one-out 3 A", "sound-units 3 A"}, b.exceptions())
		require.Equal(t, audit.Advisory, r.Exceptions[0].Verdict.Severity)
	})
	t.Run("string too long", func(t *testing.T) {
		b := newBase(t)
		b.unit("U120B").CreepageMM = 290 // 8 units are 2320 mm, so that the unified basis asks for 9
		b.Lines[0].LongestStringMM = 8 * 146
		as8 := b.direct(func(d *audit.DirectValues) { d.CreepageMM, d.LightningKV, d.WetKV = 2700, 800, 400 }) // what hangs is no longer than that
		for i := range b.Assemblies.Len() {
			b.Assemblies.Row(i).UnitsPerString, b.Assemblies.Row(i).Direct = 8, as8
		}
		r := b.run()
		require.NotEmpty(t, r.Exceptions)
		for i := range r.Exceptions {
			require.Equal(t, "string-too-long", r.Checks[r.Exceptions[i].Check].ID)
			require.Equal(t, audit.Advisory, r.Exceptions[i].Verdict.Severity)
		}
	})
}

// Own figures of the criteria hold on either basis of the project.
func TestOverlayOfOwnFiguresOnTheOtherBase(t *testing.T) {
	for _, chosen := range []basis.CreepageBasis{basis.Unified, basis.Levels1986} {
		b := newBase(t)
		b.Criteria.CreepageBasis, b.Criteria.CreepageBasisStated = chosen, true
		b.Criteria.OwnSpecificCreepage.MMPerKV[basis.ClassB], b.Criteria.OwnSpecificCreepage.Base = 20, basis.PerPhaseToPhase // 2900 mm
		require.Len(t, b.exceptions(), 30)
		b.Criteria.OwnSpecificCreepage.MMPerKV[basis.ClassB] = 18.3 // 2653.5 mm
		require.Empty(t, b.exceptions())
	}
}

// Zones all of which lie far away are a fault, whatever else may lie anywhere.
func TestOverlayOfZonesFarAway(t *testing.T) {
	for _, c := range []struct {
		lat   float64
		fault string
	}{
		{50.04, ""}, {50.0501, ""}, // 4448 m and, within its half, 5 km less a little
		{50.06, `zones.geojson: geometry "1 zones" lie far from every structure: the nearest is 6 km away, expected one within 5 km; see that both are of the same area and system`},
		{52, `zones.geojson: geometry "1 zones" lie far from every structure: the nearest is 222 km away, expected one within 5 km; see that both are of the same area and system`},
		{-30, `zones.geojson: geometry "1 zones" lie far from every structure: the nearest is 8860 km away, expected one within 5 km; see that both are of the same area and system`},
	} {
		b := newBase(t)
		table := b.AddTable(audit.Table{File: "zones.geojson"})
		b.Zones = []audit.Zone{{Class: basis.ClassE, Polygons: []geo.Polygon{square(10.0168, c.lat, 0.006)}, Source: audit.Source{Table: table, Row: 1}}}
		b.run()
		var faults []string
		for _, fault := range b.Faults.List() {
			faults = append(faults, fault.Where(b.Tables)+": "+fault.Message())
		}
		b.Zones = append(b.Zones, audit.Zone{Class: basis.ClassF, Broken: true, Anywhere: true})
		before := b.Faults.Total()
		b.run()
		require.Equal(t, 2*before, b.Faults.Total())
		if c.fault == "" {
			require.Empty(t, faults, c.lat)
		} else {
			require.Equal(t, []string{c.fault}, faults)
		}
	}
}
