package headroom

import (
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// marksOf are the values worth reading a curve at, and the load case that it is of.
func marksOf(r *audit.Result, criteria *audit.Criteria, c *Curve) (loadCase string, marks []Mark) {
	line := &r.Network.Lines[c.Line]
	system := line.Row.System
	ofThreePhases := !system.IsRailway() && !system.IsDirect() // as the highest voltages and levels of the standard are
	switch c.Drive.Quantity {
	case audit.DriveVoltage:
		for _, um := range basis.LevelledUm() {
			if um > line.HighestKV && ofThreePhases {
				marks = append(marks, Mark{fmt.Sprintf("Um %g kV", um), um})
			}
		}
	case audit.DriveSpecificCreepage:
		for class := basis.ClassA; class <= basis.ClassF; class++ {
			if figure := criteria.SpecificCreepageOn(line, class); !math.IsNaN(figure) {
				marks = append(marks, Mark{"class " + class.String(), figure})
			}
		}
	case audit.DriveLightningLevel:
		for _, um := range basis.LevelledUm() {
			if levels, ok := basis.LightningLevels(um); ok && ofThreePhases && !(um < line.HighestKV) {
				marks = append(marks, Mark{fmt.Sprintf("lowest standard level of Um %g kV", um), levels[0]},
					Mark{fmt.Sprintf("highest standard level of Um %g kV", um), levels[len(levels)-1]})
			}
		}
	case audit.DriveMaximumTension:
		if !math.IsInf(c.To, 1) {
			marks = append(marks, Mark{"rated strength of " + line.Conductor.Name, c.To})
		}
	case audit.DriveWind:
		loadCase = criteria.LoadCases[c.Drive.Case].Name
	case audit.DriveAltitude:
		if criteria.AltitudeBasis == basis.Rated1000 && r.Checks[c.Check].ID != "creepage" { // whose factor always counts from sea level
			marks = append(marks, Mark{"as if the levels were those at sea level", basis.RatedAltitudeM})
		}
	}
	return loadCase, marks
}
