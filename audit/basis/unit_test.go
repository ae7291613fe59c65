package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func find(t *testing.T, name string) Unit {
	t.Helper()
	for _, u := range Catalogue() {
		if u.Name == name {
			return u
		}
	}
	t.Fatalf("no unit %q in the catalogue", name)
	return Unit{}
}

func TestCatalogue(t *testing.T) {
	// IEC 60305 (value from memory, H; U160 rows published) and ANSI C29.2 (value from memory).
	nan := math.NaN()
	for i, c := range []struct {
		name                                     string
		ratingKN, diameterMM, spacingMM, creepMM float64
		coupling                                 string
	}{
		{"U40B", 40, 175, 110, 190, "11"},
		{"U70BS", 70, 255, 127, 295, "16"},
		{"U70BL", 70, 255, 146, 295, "16"},
		{"U70BLP", 70, 280, 146, 440, "16"},
		{"U100BS", 100, 255, 127, 295, "16"},
		{"U100BL", 100, 255, 146, 295, "16"},
		{"U100BLP", 100, 280, 146, 440, "16"},
		{"U120B", 120, 255, 146, 295, "16"},
		{"U120BP", 120, 280, 146, 440, "16"},
		{"U160BS", 160, 280, 146, 315, "20"},
		{"U160BSP", 160, 330, 146, 440, "20"},
		{"U160BL", 160, 280, 170, 340, "20"},
		{"U160BLP", 160, 330, 170, 525, "20"},
		{"U210B", 210, 300, 170, 370, "20"},
		{"U210BP", 210, 330, 170, 525, "20"},
		{"U300B", 300, 330, 195, 390, "24"},
		{"U300BP", 300, 400, 195, 590, "24"},
		{"U400B", 400, 380, 205, 525, "28"},
		{"U530B", 530, 380, 240, 600, "32"},
		{"52-1", 44.5, nan, 140, 178, ""},
		{"52-3", 66.7, 254, 146, 292, ""},
		{"52-5", 111.2, nan, 146, 279, ""},
		{"52-8", 160.1, nan, 146, 279, ""},
		{"52-11", 222.4, nan, 156, 279, ""},
	} {
		u := find(t, c.name)
		require.Equal(t, c.name, Catalogue()[i].Name)
		require.Equal(t, c.ratingKN, u.RatingKN)
		if math.IsNaN(c.diameterMM) {
			require.True(t, math.IsNaN(u.DiameterMM))
		} else {
			require.Equal(t, c.diameterMM, u.DiameterMM)
		}
		require.Equal(t, c.spacingMM, u.SpacingMM)
		require.Equal(t, c.creepMM, u.CreepageMM)
		require.Equal(t, c.coupling, u.Coupling)
	}
	require.Len(t, Catalogue(), 24)
	require.Equal(t, Published, find(t, "U160BL").Clause.Tag)
	require.Equal(t, Memory, find(t, "U70BL").Clause.Tag)
	require.Equal(t, 110.0, find(t, "52-3").PunctureKV)
	require.Equal(t, []float64{80, 50, 125}, []float64{find(t, "52-3").DryKV, find(t, "52-3").WetKV, find(t, "52-3").LightningKV})
}

func TestCatalogueIsConsistent(t *testing.T) {
	seen := map[string]bool{}
	for _, u := range Catalogue() {
		require.False(t, seen[u.Name], u.Name)
		seen[u.Name] = true
		require.True(t, u.Kind.HasUnitCount(), u.Name)
		require.Greater(t, u.CreepageMM, u.SpacingMM, u.Name) // creepage follows the shed, so it exceeds the spacing
		require.True(t, math.IsNaN(u.AverageDiameterMM), "the catalogue has overall diameters only: %s", u.Name)
		require.False(t, u.Clause.IsZero(), u.Name)
	}
	units := Catalogue()
	units[0].Name = "changed"
	require.Equal(t, "U40B", Catalogue()[0].Name)
}

// 111.2 kN (25 000 lb) is not a 120 kN unit (computed: 25 000 lb = 111.2 kN).
func TestRating111IsNot120(t *testing.T) {
	require.InDelta(t, 25000*0.45359237*Gravity/1000, find(t, "52-5").RatingKN, 0.05)
	require.Less(t, find(t, "52-5").RatingKN, find(t, "U120B").RatingKN)
}

func TestUnknownUnitKnowsNothing(t *testing.T) {
	u := UnknownUnit()
	for _, v := range []float64{
		u.RatingKN, u.CantileverKN, u.CompressionKN, u.SpacingMM, u.CreepageMM, u.DiameterMM, u.AverageDiameterMM, u.WeightKg, u.WindAreaM2,
		u.DryKV, u.WetKV, u.LightningKV, u.PunctureKV, u.ArcingMM, u.Price,
	} {
		require.True(t, math.IsNaN(v))
	}
	require.Equal(t, KindUnknown, u.Kind)
}

func TestKinds(t *testing.T) {
	for text, want := range map[string]Kind{
		"cap-and-pin": CapAndPin, "Cap & Pin": CapAndPin, "disc": CapAndPin, "Disk insulators": CapAndPin,
		"long rod": LongRod, "LONG-ROD": LongRod, "composite": Composite, "Polymer": Composite, "pin": Pin, "pin type": Pin,
		"post": Post, "line post insulator": Post, "shackle": Shackle, "spool": Shackle,
	} {
		got, ok := ParseKind(text)
		require.True(t, ok, text)
		require.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "insulator", "glass", "unknown"} {
		_, ok := ParseKind(text)
		require.False(t, ok, text)
	}
	for k := CapAndPin; k <= Shackle; k++ {
		got, ok := ParseKind(k.String())
		require.True(t, ok)
		require.Equal(t, k, got)
		require.Equal(t, k == CapAndPin, k.HasUnitCount())
		// Class A of IEC 60383-1 cannot puncture (value from memory).
		require.Equal(t, k != LongRod && k != Post && k != Composite, k.CanPuncture())
	}
	require.False(t, KindUnknown.CanPuncture())
	require.Equal(t, "unknown", Kind(99).String())
}
