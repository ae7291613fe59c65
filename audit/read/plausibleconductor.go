package read

import (
	"fmt"
	"math"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// doubtConductor finds figures of a conductor that none has together; neither of two is used.
func (r *register) doubtConductor(c *conductor, at audit.Source) {
	type figure struct {
		heading, in string
		as          float64
		own         *float64
		cell        audit.Cell
	}
	figures := map[basis.ConductorFigure]figure{
		basis.ConductorMass:     {"Mass", "kg/m", c.MassKgPerM, &c.MassKgPerM, audit.CellWeight},
		basis.ConductorDiameter: {"Diameter", "mm", c.DiameterMM, &c.DiameterMM, audit.CellDiameter},
		basis.ConductorStrength: {"Rated strength", "kN", c.RatedStrengthKN, &c.RatedStrengthKN, audit.CellRating},
		basis.ConductorArea:     {"Area", "mm²", c.AreaMM2, &c.AreaMM2, audit.CellConductor},
	}
	for _, share := range basis.ConductorShares(&c.Conductor) {
		if !share.Contradicts() {
			continue
		}
		says, beside := figures[share.Of], figures[share.By]
		if c.stated&audit.ConductorFigure(says.heading) == 0 { // of the catalogue
			says, beside = beside, says
		}
		r.fault(at, audit.Implausible, says.heading, inDigits(says.as), fmt.Sprintf("is implausible for a conductor of %s %g %s, which makes %.3g %s, expected %g to %g; neither is used",
			strings.ToLower(beside.heading), beside.as, beside.in, share.Value, share.In, share.Least, share.Most))
		for _, doubted := range [...]figure{says, beside} {
			*doubted.own, c.faulty = math.NaN(), c.faulty.With(doubted.cell)
		}
	}
}
