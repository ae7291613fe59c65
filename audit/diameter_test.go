package audit

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// That a blank average diameter counts as less than 300 mm is listed where the unit is as large as that overall.
func TestUnstatedAverageDiameterIsAnAssumption(t *testing.T) {
	for _, c := range []struct {
		overallMM, averageMM float64
		listed               bool
	}{{299, math.NaN(), false}, {300, math.NaN(), true}, {math.NaN(), math.NaN(), false}, {400, 310, false}} {
		p := invented(t, 900)
		for i := range p.Units {
			p.Units[i].DiameterMM, p.Units[i].AverageDiameterMM = c.overallMM, c.averageMM
		}
		n, err := Arrange(p)
		require.NoError(t, err)
		require.NoError(t, Derive(context.Background(), n, 1))
		check := sizing()
		check.ID = "creepage"
		r, err := Assess(context.Background(), n, []*Check{check}, Options{Workers: 1})
		require.NoError(t, err)
		listed := false
		for _, a := range r.assumptions() {
			listed = listed || strings.HasPrefix(a.Text, "The average diameter of porcelain and glass units that reach 300 mm")
		}
		require.Equal(t, c.listed, listed, "%g and %g mm", c.overallMM, c.averageMM)
	}
}
