package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"
	"dryarc/geo"

	"github.com/stretchr/testify/require"
)

// What falls short by the least that a site may ask for falls short, though more is not known of it. The strings of the base have
// 2655 mm; at Um 145 kV class b needs 2327.3, c 2904.9, e 4495.5 mm (IEC TS 60815-1:2008, computed), all at an altitude factor of 1.
func TestOverlaysOfTheLeastASiteAsksFor(t *testing.T) {
	const (
		noFigure = "not assessed: the class has no specific creepage on this basis"
		noGround = "not assessed: ground level unknown"
		faulty   = "not assessed: a field it needs is faulty, see Faults"
		short    = "falls short"
	)
	classF := func(b *base) { b.Zones = []audit.Zone{{Class: basis.ClassF, Polygons: around(3)}} }
	creepage := func(b *base, mm float64) {
		for _, row := range b.rows(3) {
			row.Direct = b.direct(func(d *audit.DirectValues) { d.CreepageMM = mm })
		}
	}
	raised := func(b *base) {
		b.Criteria.CreepageAltitudeExponent = audit.Stated(0.5)
		b.Structures.Row(2).GroundM = math.NaN()
	}
	unreadable := func(b *base) { b.Structures.Row(2).Faulty = b.Structures.At(2).Faulty.With(audit.CellGround) }
	nearBy := []geo.Polygon{square(10+0.0042*2, 50.0012, 0.0006)} // 67 m off
	classC := func(b *base) { b.Zones = []audit.Zone{{Class: basis.ClassC, Polygons: around(3)}} }
	for _, o := range []struct {
		name     string
		change   func(b *base)
		check    string // at structure 3
		want     string
		required float64 // where it falls short
		sentence string
	}{
		{"class f, short of class e", classF, "creepage", short, 4495.5, " needs 4495.5 mm, 16 units. The site is of class f, which asks for more still; nobody states its figure."},
		{"class f, enough for class e", func(b *base) { classF(b); creepage(b, 4496) }, "creepage", noFigure, 0, ""},
		{"class f, just short of class e", func(b *base) { classF(b); creepage(b, 4495) }, "creepage", noFigure, 0, ""}, // by the levels of 1986 it has enough
		{"class f, just short of class e, basis stated", func(b *base) {
			classF(b)
			creepage(b, 4495)
			b.Criteria.CreepageBasisStated = true
		}, "creepage", short, 4495.5, "class f"},
		{"class f with an own figure of class e", func(b *base) { classF(b); creepage(b, 4496); b.Criteria.OwnSpecificCreepage = own(basis.ClassE, 60) },
			"creepage", short, 5022.95, "class e (the project's own figure, 60 mm/kV on Um/√3)"},
		{"class f by default", func(b *base) { b.Criteria.DefaultClass = basis.ClassF }, "creepage", short, 4495.5, "class f"},
		{"class f by default, where one of class a may lie", func(b *base) {
			b.Criteria.DefaultClass, b.Zones = basis.ClassF, []audit.Zone{{Class: basis.ClassA, Broken: true, Polygons: around(3)}}
		}, "creepage", noFigure, 0, ""},
		{"class f in which one of unknown class may lie", func(b *base) {
			classF(b)
			b.Zones = append(b.Zones, audit.Zone{Unknown: audit.ZoneClassUnreadable, Polygons: around(3)})
		}, "creepage", short, 4495.5, "class f"},
		{"class f, length of the string", classF, "string-too-long", short, 2000, "class f"},
		{"class f, sound units", func(b *base) { classF(b); b.rows(3)[0].Defective = 1; creepage(b, 4600) }, "sound-units", noFigure, 0, ""},
		{"class f near by", func(b *base) {
			b.Zones = []audit.Zone{{Class: basis.ClassF, Polygons: nearBy}}
		}, "near-worse-zone", short, 4495.5, "class f"},
		{"class f near by, enough for class e", func(b *base) {
			b.Zones = []audit.Zone{{Class: basis.ClassF, Polygons: nearBy}}
			creepage(b, 4600)
		}, "near-worse-zone", noFigure, 0, ""},
		{"in class f, enough for class e, nothing worse", func(b *base) { classF(b); creepage(b, 4600) }, "near-worse-zone", "not applicable: no worse zone within the margin", 0, ""},

		{"ground unknown, short at sea level", func(b *base) { raised(b); classC(b) }, "creepage", short, 2904.9, " It falls short at any altitude; the ground level here is not known."},
		{"ground unknown, enough at sea level", raised, "creepage", noGround, 0, ""},
		{"ground unknown, just short by one edition", func(b *base) { raised(b); creepage(b, 2320) }, "creepage", noGround, 0, ""},
		{"ground unreadable, short at sea level", func(b *base) { raised(b); unreadable(b); classC(b) }, "creepage", short, 2904.9, "at any altitude"},
		{"ground unreadable, enough at sea level", func(b *base) { raised(b); unreadable(b) }, "creepage", faulty, 0, ""},
		{"ground unknown, nothing raised with it", func(b *base) { b.Structures.Row(2).GroundM = math.NaN() }, "creepage", "meets", 0, ""},
		{"ground below the sea raises nothing", func(b *base) { raised(b); b.ground(-400) }, "creepage", "meets", 0, ""},
		{"ground and figure unknown", func(b *base) { raised(b); classF(b) }, "creepage", short, 4495.5, "nobody states its figure. It falls short at any altitude"},
		{"ground unknown, near a worse zone", func(b *base) {
			raised(b)
			b.Zones = []audit.Zone{{Class: basis.ClassE, Polygons: nearBy}}
		}, "near-worse-zone", noGround, 0, ""},
		{"ground unknown, length of the string", func(b *base) { raised(b); b.Lines[0].LongestStringMM = 1100 }, "string-too-long", short, 1100, "at any altitude"},
		{"ground unknown, sound units", func(b *base) { raised(b); b.rows(3)[0].Defective = 1 }, "sound-units", noGround, 0, ""},

		{"level above what the string withstands", func(b *base) {
			b.Structures.Row(2).GroundM, b.Lines[0].LightningKV = math.NaN(), 850
		}, "lightning-withstand", short, 850, "850 kV is needed at any altitude; the ground level here is not known."},
		{"level that the string withstands", func(b *base) { b.Structures.Row(2).GroundM = math.NaN() }, "lightning-withstand", noGround, 0, ""},
		{"level above, ground unreadable", func(b *base) { unreadable(b); b.Lines[0].LightningKV = 850 }, "lightning-withstand", short, 850, "at any altitude"},
		{"level above, on the basis of sea level", func(b *base) {
			b.Structures.Row(2).GroundM, b.Lines[0].LightningKV = math.NaN(), 850
			b.Criteria.AltitudeBasis, b.Criteria.AltitudeBasisStated = basis.SeaLevel, true
		}, "lightning-withstand", short, 850, "at any altitude"},
		{"withstand unknown, ground unknown", func(b *base) {
			b.Structures.Row(2).GroundM = math.NaN()
			for _, row := range b.rows(3) {
				row.Makeup, row.UnitsPerString = 0, -1
			}
		}, "lightning-withstand", noGround, 0, ""},
		{"sound units at an unknown level", func(b *base) { b.Structures.Row(2).GroundM = math.NaN(); b.rows(3)[0].Defective = 1 }, "sound-units", noGround, 0, ""},
	} {
		t.Run(o.name, func(t *testing.T) {
			b := newBase(t)
			o.change(b)
			r := b.run()
			require.Contains(t, outcomes(r, o.check, 3), o.want)
			if o.want != short {
				require.NotContains(t, outcomes(r, o.check, 3), short)
				return
			}
			found := 0
			for i := range r.Exceptions {
				e := &r.Exceptions[i]
				if r.Checks[e.Check].ID != o.check || e.Structure != 2 {
					continue
				}
				found++
				require.InDelta(t, o.required, e.Verdict.Required.Number, 0.06)
				require.Contains(t, e.Verdict.Sentence, o.sentence)
				require.Equal(t, r.Checks[e.Check].Severity, e.Verdict.Severity)
			}
			require.NotZero(t, found)
		})
	}
}

// The schedule asks for nothing by halves: how many units are enough is not known.
func TestScheduleWhereOnlyTheLeastIsKnown(t *testing.T) {
	b := newBase(t)
	known := b.run().Network.Schedule(0, checks.All()).Requirements[2]
	b.Zones = []audit.Zone{{Class: basis.ClassF, Polygons: around(3)}}
	unknown := b.run().Network.Schedule(0, checks.All()).Requirements[2]
	require.False(t, math.IsNaN(known.CreepageMM))
	require.True(t, math.IsNaN(unknown.CreepageMM))
	require.NotEqual(t, "creepage", unknown.Governs.ID)
}
