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

// resolveVoltages finds the highest voltage of a line and the voltage along a string.
func (n *Network) resolveVoltages(line *Line) {
	n.doubtVoltages(line)
	line.HighestKV, line.voltages = line.Row.HighestKV, n.criteriaOf(line).Voltages
	if math.IsNaN(line.HighestKV) && !line.Row.Faulty.Has(CellVoltage) {
		if um, ok := line.voltages.Highest(line.Row.NominalKV); ok {
			line.HighestKV, line.HighestAssumed = um, true
		}
	}
	line.PhaseToEarthKV, line.NoVoltage = phaseToEarth(line)
	n.doubtLevel(line)
	n.doubtCreepageVoltage(line)
	line.WetKV = wetLevel(line)
}

// doubtVoltages finds a highest voltage that is no more than the nominal one. Which of the two is wrong nobody can tell, so neither is
// used.
func (n *Network) doubtVoltages(line *Line) {
	row := &line.Row
	if row.System == DirectCurrent || basis.IsHighestOf(row.HighestKV, row.NominalKV) {
		return
	}
	n.Project.Faults.Add(Fault{Kind: Implausible, At: row.Source, Column: "Highest voltage", Value: strconv.FormatFloat(row.HighestKV, 'g', -1, 64),
		Expected: fmt.Sprintf("is implausible, expected more than the nominal voltage, %g kV; nothing is judged by either", row.NominalKV)})
	row.NominalKV, row.HighestKV, row.Faulty = math.NaN(), math.NaN(), row.Faulty.With(CellVoltage)
}

// doubtLevel finds a lightning level that no line of its Um has: likely another voltage, or a slip of the pen.
func (n *Network) doubtLevel(line *Line) {
	low, high := basis.PlausibleLightningLevels(line.HighestKV)
	level := line.Row.LightningKV
	if line.LevelImplausible = level < low || level > high; !line.LevelImplausible {
		return
	}
	n.Project.Faults.Add(Fault{Kind: Implausible, At: line.Row.Source, Column: "Lightning level", Value: strconv.FormatFloat(level, 'g', -1, 64),
		Expected: fmt.Sprintf("is implausible at Um %g kV, expected %s; nothing is judged by it", line.HighestKV, between(low, high))})
}

// doubtCreepageVoltage finds a creepage voltage of a three-phase line that is less than half of what stands along its strings
// with earthed neutral, the least there can be.
func (n *Network) doubtCreepageVoltage(line *Line) {
	row := &line.Row
	least := basis.LeastCreepageShare * basis.PhaseToEarth(line.HighestKV)
	if !row.System.ThreePhase() || !(row.CreepageKV < least) {
		return
	}
	line.PhaseToEarthKV, line.NoVoltage = math.NaN(), FaultyField
	n.Project.Faults.Add(Fault{Kind: Implausible, At: row.Source, Column: "Creepage voltage", Value: strconv.FormatFloat(row.CreepageKV, 'g', -1, 64),
		Expected: fmt.Sprintf("is implausible on a three-phase line of Um %g kV, expected %.3g kV or more; nothing is judged by it", line.HighestKV, least)})
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

func phaseToEarth(line *Line) (float64, Reason) {
	row := &line.Row
	switch {
	case row.System == DirectCurrent:
		return math.NaN(), DirectCurrentLine
	case !math.IsNaN(row.CreepageKV):
		return row.CreepageKV, NoReason
	case row.Faulty.Has(CellVoltage):
		return math.NaN(), FaultyField
	case math.IsNaN(line.HighestKV) && math.IsNaN(row.NominalKV):
		return math.NaN(), VoltageUnknown
	case basis.IsLowVoltage(row.NominalKV) || basis.IsLowVoltage(line.HighestKV):
		return math.NaN(), LowVoltage
	case math.IsNaN(line.HighestKV):
		return math.NaN(), VoltageNotStandard
	case row.System != SystemUnknown && row.System != Earthed:
		return math.NaN(), NeutralNotEarthed
	}
	return basis.PhaseToEarth(line.HighestKV), NoReason
}

// wetLevel is the standard power frequency level of the pair to which the line's lightning level belongs; range I
// only, NaN where the level is no standard one.
func wetLevel(line *Line) float64 {
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
	um, _ := l.voltages.Highest(l.Row.NominalKV)
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
