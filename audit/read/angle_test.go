package read

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestAngle(t *testing.T) {
	for text, want := range map[string]float64{
		"45N": 45, "s 0.5": -0.5, "45°": 45, "45°30'": 45.5, "45° 30′ 36″ S": -45.51, "45:30": 0, "45 30 N": 45.5, "45°30,6'": 45.51, `-0°0'36"`: -0.01, "+45 N": 45,
	} {
		got, problem := coordinateColumn{name: "latitude", factor: 1, axis: 1}.angle(text)
		if want == 0 {
			require.NotEmpty(t, problem, text)
			continue
		}
		require.Empty(t, problem, text)
		require.InDelta(t, want, got, 1e-12, text)
	}
	west := coordinateColumn{name: "longitude", factor: -1, against: true}
	got, problem := west.angle("10°30'")
	require.Empty(t, problem)
	require.Equal(t, -10.5, got)
	got, problem = west.angle("10.5 W")
	require.Empty(t, problem)
	require.Equal(t, -10.5, got)
	for _, text := range []string{"", "N", "°", "45°°", "4e1 N", "45°-12'", "45°12'N30\"", "45;12", "NaN N", "45°12'30\"5", "1°60.0'", "1 2 3 4", "12' 30\"", "1..2 N", "1,2,3 N", "\xff N"} {
		_, problem := coordinateColumn{name: "latitude", factor: 1, axis: 1}.angle(text)
		require.NotEmpty(t, problem, text)
	}
}

// TestAnglesAgainstPROJ holds degrees, minutes and seconds to be what PROJ makes of them.
func TestAnglesAgainstPROJ(t *testing.T) {
	transform := projTool(t, "cs2cs")
	var lines []string
	var texts [][2]string
	for i := range 200 {
		lat := fmt.Sprintf(`%dd%d'%d.%03d"%c`, i*7%90, i*13%60, i*17%60, i*31%1000, "NS"[i%2])
		lon := fmt.Sprintf(`%dd%d.%02d'%c`, i*11%180, i*19%60, i*3%100, "EW"[i/2%2])
		texts, lines = append(texts, [2]string{lat, lon}), append(lines, lat+" "+lon)
	}
	for i, line := range toolSays(t, lines, transform, "-f", "%.12f", "EPSG:4326", "EPSG:4326") {
		words := strings.Fields(line)
		for axis, text := range texts[i] {
			want, err := strconv.ParseFloat(words[axis], 64)
			require.NoError(t, err, line)
			got, problem := coordinateColumn{factor: 1, axis: 1 - axis}.angle(text)
			require.Empty(t, problem, text)
			require.InDelta(t, want, got, 1e-11, text)
		}
	}
}
