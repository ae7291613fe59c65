package read

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What stands behind the name of a coordinate that the project file names is a remark only where it can be no unit, scale or direction.
func TestRemarksBehindCoordinates(t *testing.T) {
	for _, c := range []struct {
		says      string
		projected bool
		remark    string
		factor    float64 // 0 where it is refused
	}{
		{"Sağa", true, "Sağa", 1}, {"WGS84", true, "WGS84", 1}, {"GK3", true, "GK3", 1}, {"X", true, "X", 1}, {"SIRGAS 2000", true, "SIRGAS 2000", 1}, {"UTM 23S", true, "UTM 23S", 1},
		{"UTM, m", true, "UTM, m", 1}, {"km", true, "", 1000}, {"m", true, "", 1}, {"GPS", false, "GPS", 1},
		{says: "ft", projected: true}, {says: "x1000", projected: true}, {says: "UTM 1000", projected: true}, {says: "1000 m", projected: true}, {says: "mm", projected: true}, {says: "10km", projected: true},
		{says: "us survey foot", projected: true}, {says: "W", projected: true}, {says: "southing", projected: true}, {says: "deg", projected: true}, {says: "°", projected: true}, {says: "×10", projected: true},
		{says: "gon"}, {says: "rad"}, {says: "m"}, {says: "km"}, {says: "min"},
	} {
		for _, named := range []bool{true, false} {
			got, err := coordinateColumnOf("t.csv", "E ("+c.says+")", c.says, 0, c.projected, named)
			if c.factor == 0 || !named && c.remark != "" {
				require.Error(t, err, c)
				continue
			}
			require.NoError(t, err, c)
			require.Equal(t, c.factor, got.factor, c)
			require.Equal(t, c.remark, got.remark, c)
		}
	}
}
