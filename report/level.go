package report

import (
	"math"

	"dryarc/audit"
)

// level is where the ground level of a structure is from and how well it is known; the zero value where the project has no rasters.
type level struct {
	from   string  // stated, the raster, or why there is none
	errorM float64 // standard error in m; NaN where nobody states it
}

// levelNames are the members that tell of it, of a project with rasters.
var levelNames = []string{"ground_from", "ground_error_m"}

// tellsLevels tells whether the outputs of a result say where levels are from: where the project has rasters.
func tellsLevels(r *audit.Result) bool { return len(r.Project.Terrain) > 0 }

func levelOf(r *audit.Result, s *audit.Structure) level {
	if !tellsLevels(r) {
		return level{}
	}
	subject := audit.Subject{Criteria: r.Network.Criteria(s.Line), Structure: s}
	if lacks := subject.LacksGround(); lacks != audit.NoReason {
		return level{lacks.String(), math.NaN()}
	}
	if s.Terrain == 0 {
		return level{"stated", math.NaN()}
	}
	l := level{r.Project.Terrain[s.Terrain-1].File, math.NaN()}
	if e, _ := subject.TerrainErrors(); e[1] > 0 {
		l.errorM = e[1]
	}
	return l
}

// inWords is where a level is from with its standard error, empty of a project without rasters.
func (l level) inWords() string {
	if l.from == "" || unknown(l.errorM) {
		return l.from
	}
	return l.from + ", σ " + Value(audit.Figure(l.errorM, "m"))
}
