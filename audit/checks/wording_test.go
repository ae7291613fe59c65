package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// Below the level of the sea the altitude factor is 1, and its formula says so.
func TestAltitudeFormulaBelowTheSea(t *testing.T) {
	check, s := example(t, "lightning-withstand")
	s.Criteria.AltitudeBasis, s.Structure.GroundM = basis.SeaLevel, -400
	trace := new(audit.Trace)
	check.Judge(&s, trace)
	step := stepOf(t, *trace, "K_a")
	require.Equal(t, 1.0, step.Result.Number)
	require.Contains(t, step.Formula, "never below 1")
}

// Of two mountings that nobody states the derivation says why the one governs.
func TestWhyAMountingGoverns(t *testing.T) {
	for cantileverKN, why := range map[float64]string{0.5: "the milder of the two, which governs since both fall short", 500: "the worse of the two, which governs since both meet"} {
		b := newBase(t)
		b.pinAt(3, audit.Post, basis.Post)
		b.rows(3)[0].Mounting = audit.MountingUnknown
		unit := &b.Units[b.Makeups[b.rows(3)[0].Makeup].Parts[0].Unit]
		unit.CantileverKN, unit.CompressionKN, unit.RatingKN, unit.WeightKg = cantileverKN, 500, 500, math.NaN()
		_, subjects := b.ofPhaseA("strength", 3)
		check, _ := example(t, "strength")
		trace := new(audit.Trace)
		check.Judge(&subjects[0], trace)
		require.Contains(t, stepOf(t, *trace, "mounting").Result.Word, why)
	}
}
