package audit

import (
	"fmt"
	"math"
	"strconv"

	"dryarc/audit/basis"
)

// VoltageKV is the nominal voltage, else the highest: what tells whether a line is of low voltage; NaN if unknown.
func (l *Line) VoltageKV() float64 {
	if !math.IsNaN(l.Row.NominalKV) || l.Row.Faulty.Has(CellVoltage) {
		return l.Row.NominalKV
	}
	return l.HighestKV
}

// SystemUnread tells whether the system may be stated and cannot be read: whether voltages are alternating, between phases or to earth is not known then.
func (row *LineRow) SystemUnread() bool {
	return row.System == SystemUnknown && row.Faulty.Has(CellVoltage)
}

// resolveVoltages finds the highest voltage of a line and the voltage along a string.
func (n *Network) resolveVoltages(line *Line) {
	n.doubtVoltages(line)
	line.HighestKV, line.voltages = line.Row.HighestKV, n.criteriaOf(line).Voltages
	if math.IsNaN(line.HighestKV) && !line.Row.Faulty.Has(CellVoltage) {
		if um, ok := line.Row.System.HighestOf(line.Row.NominalKV, line.voltages); ok {
			line.HighestKV, line.HighestAssumed = um, true
		}
	}
	line.resolveAlong(n.criteriaOf(line))
	n.doubtLevel(line)
	n.doubtSwitchingLevel(line)
	n.doubtCreepageVoltage(line)
	line.WetKV = wetLevel(line)
}

// doubtVoltages finds a highest voltage that is hardly more than the nominal one, or less, or far above it. Which of the two is wrong nobody can tell, so neither is
// used, but for what is the same by either: that a line of less than 300 kV has no bundles.
func (n *Network) doubtVoltages(line *Line) {
	row := &line.Row
	if row.System == DirectCurrent || basis.IsHighestOf(row.HighestKV, row.NominalKV) {
		return
	}
	expected, built := fmt.Sprintf("at least %g times the nominal voltage", basis.LeastHighestShare), ""
	if !(row.HighestKV > row.NominalKV) {
		expected = "more than the nominal voltage"
	}
	if basis.IsFarAbove(row.HighestKV, row.NominalKV) {
		expected, built = fmt.Sprintf("no more than %g times the nominal voltage", basis.MostHighestShare), "; of a line that is built for more, state the nominal voltage that it is built for"
	}
	n.Project.Faults.Add(Fault{Kind: Implausible, At: row.Source, Column: "Highest voltage", Value: strconv.FormatFloat(row.HighestKV, 'g', -1, 64),
		Expected: fmt.Sprintf("is implausible, expected %s, %g kV; nothing is judged by either%s", expected, row.NominalKV, built)})
	line.oneConductor = !basis.NominalMayHaveBundles(row.NominalKV) && !basis.MayHaveBundles(row.HighestKV)
	row.NominalKV, row.HighestKV, row.Faulty = math.NaN(), math.NaN(), row.Faulty.With(CellVoltage)
}

// doubtLevel finds a lightning level that no line of its Um has: likely another voltage, or a slip of the pen.
func (n *Network) doubtLevel(line *Line) {
	low, high := basis.PlausibleLightningLevels(line.HighestKV)
	if line.Row.System.IsRailway() { // whose voltages are to earth: of a three-phase line they would be √3 as much
		_, high = basis.PlausibleLightningLevels(math.Sqrt(3) * line.HighestKV)
	}
	level := line.Row.LightningKV
	if line.LevelImplausible = level < low || level > high; !line.LevelImplausible {
		return
	}
	n.Project.Faults.Add(Fault{Kind: Implausible, At: line.Row.Source, Column: "Lightning level", Value: strconv.FormatFloat(level, 'g', -1, 64),
		Expected: fmt.Sprintf("is implausible at Um %g kV, expected %s; nothing is judged by it", line.HighestKV, between(low, high))})
}

// doubtSwitchingLevel finds a switching level of range II that no line of its Um has, or that is no less than the lightning level: which of the
// two is wrong then nobody can tell, so neither is used.
func (n *Network) doubtSwitchingLevel(line *Line) {
	row := &line.Row
	level := row.SwitchingKV
	if math.IsNaN(level) || row.System.IsDirect() || !basis.IsRangeTwo(line.HighestKV) {
		return
	}
	fault := Fault{Kind: Implausible, At: row.Source, Column: "Switching level", Value: strconv.FormatFloat(level, 'g', -1, 64)}
	switch low, high := basis.PlausibleSwitchingLevels(line.HighestKV); {
	case compare(level, low) < 0 || compare(level, high) > 0:
		fault.Expected = fmt.Sprintf("is implausible at Um %g kV, expected %s; nothing is judged by it", line.HighestKV, between(math.Ceil(low), high))
	case !line.LevelImplausible && !math.IsNaN(row.LightningKV) && compare(level, row.LightningKV) >= 0:
		fault.Expected = fmt.Sprintf("is implausible, expected less than the lightning level, %g kV; nothing is judged by either", row.LightningKV)
		row.LightningKV = math.NaN()
	default:
		return
	}
	n.Project.Faults.Add(fault)
	row.SwitchingKV, row.Faulty = math.NaN(), row.Faulty.With(CellTested)
}

// doubtCreepageVoltage finds a creepage voltage that cannot stand along the strings of its line: less than there is between phase and earth of a
// three-phase line, whatever its neutral, than half the voltage of direct current, which may be that between poles, or than the highest voltage of a railway to earth;
// or far more than there is between phases, between poles, or of a railway to earth.
func (n *Network) doubtCreepageVoltage(line *Line) {
	row := &line.Row
	what, kV := "a three-phase line of Um", line.HighestKV
	if math.IsNaN(kV) || !math.IsNaN(row.NominalKV) && row.System == DirectCurrent {
		what, kV = "a three-phase line of", row.NominalKV
	}
	least, most := basis.LeastAlongShare*basis.PhaseToEarth(kV), basis.MostCreepageVoltageShare*kV
	if line.HighestAssumed { // where the highest voltage may be less than that of the table
		least = basis.LeastAlongShare * basis.PhaseToEarth(row.NominalKV)
	}
	switch {
	case row.System == SinglePhase: // along whose strings may be less
		what, least = "a single-phase line of", 0
	case row.System == DirectCurrent:
		what, least = "direct current of", basis.LeastCreepageShare*kV
	case row.System.IsRailway():
		what, least, most = "a railway of", kV, math.Sqrt(3)*most // its feeders may have twice as much between them
	}
	if !(row.CreepageKV < least || row.CreepageKV > most) {
		return
	}
	line.Along, line.PhaseToEarthKV, line.NoVoltage = AlongUnknown, math.NaN(), FaultyField
	n.Project.Faults.Add(Fault{Kind: Implausible, At: row.Source, Column: "Creepage voltage", Value: strconv.FormatFloat(row.CreepageKV, 'g', -1, 64),
		Expected: fmt.Sprintf("is implausible on %s %g kV, expected %.3g to %.4g kV; nothing is judged by it", what, kV, least, most)})
}

// between says a range of voltages in words, of which either end may be open.
func between(low, high float64) string {
	switch {
	case math.IsInf(high, 1):
		return fmt.Sprintf("%g kV or more", low)
	case low == 0:
		return fmt.Sprintf("%g kV or less", high)
	}
	return fmt.Sprintf("%g to %g kV", low, high)
}

// wetLevel is the standard power frequency level of the pair to which the line's lightning level belongs; range I
// only, NaN where the level is no standard one. The pairs are those of three-phase lines.
func wetLevel(line *Line) float64 {
	if line.Row.System.IsRailway() || line.Row.System.IsDirect() {
		return math.NaN()
	}
	level, _ := basis.PowerFrequencyLevel(line.HighestKV, line.Row.LightningKV)
	return level
}

// sameVoltage tells whether two lines may be of one voltage: they have one Um in force, or that of one of them is unknown.
// 132 and 138 kV, or 380 and 400 kV, are names of one voltage. Where a nominal voltage is no standard one and no Um is stated, or
// both have theirs from different tables, the nominal voltages are compared.
func sameVoltage(a, b *Line) bool {
	x, y := a.umToCompareKV(), b.umToCompareKV()
	if math.IsNaN(x) || math.IsNaN(y) || a.HighestAssumed && b.HighestAssumed && a.voltages != b.voltages {
		x, y = a.Row.NominalKV, b.Row.NominalKV
	}
	return math.IsNaN(x) || math.IsNaN(y) || compare(x, y) == 0
}

// umToCompareKV is the Um in force, else the standard one of the nominal voltage; NaN if unknown.
func (l *Line) umToCompareKV() float64 {
	if !math.IsNaN(l.HighestKV) {
		return l.HighestKV
	}
	um, _ := l.Row.System.HighestOf(l.Row.NominalKV, l.voltages)
	return um
}

// Level is the withstand voltage that a line requires of one shape, before any correction for altitude; NaN if unknown.
func (l *Line) Level(shape Shape) float64 {
	return [...]float64{l.Row.LightningKV, l.Row.SwitchingKV, l.WetKV}[shape]
}

// unreadLevel tells that the level by which a shape is judged may be stated and cannot be read; of power frequency that is the lightning level,
// with which it goes. A level that is known is, whatever the other one is.
func (l *Line) unreadLevel(shape Shape) bool {
	level := l.Row.LightningKV
	if shape == Switching {
		level = l.Row.SwitchingKV
	}
	return math.IsNaN(level) && l.Row.Faulty.Has(CellTested)
}

// lacksLevels tells that a level which strings of the line may be judged by cannot be read.
func (l *Line) lacksLevels() bool {
	return l.unreadLevel(Lightning) || l.unreadLevel(Switching) && !basis.IsRangeOne(l.HighestKV)
}
