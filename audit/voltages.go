package audit

import (
	"math"

	"dryarc/audit/basis"
)

// VoltageKV is the nominal voltage, else the highest: what tells whether two lines are of the same voltage and whether a
// line is of low voltage; NaN if unknown.
func (l *Line) VoltageKV() float64 {
	if !math.IsNaN(l.Row.NominalKV) || l.Row.Faulty.Has(CellVoltage) {
		return l.Row.NominalKV
	}
	return l.HighestKV
}

// resolveVoltages finds for each line the highest voltage and the voltage along a string.
func (n *Network) resolveVoltages() {
	for i := range n.Lines {
		line := &n.Lines[i]
		line.HighestKV = line.Row.HighestKV
		if math.IsNaN(line.HighestKV) && !line.Row.Faulty.Has(CellVoltage) {
			if um, ok := basis.HighestVoltage(line.Row.NominalKV); ok {
				line.HighestKV, line.HighestAssumed = um, true
			}
		}
		line.PhaseToEarthKV, line.NoVoltage = phaseToEarth(line)
		line.WetKV = wetLevel(line)
	}
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

func sameVoltage(a, b *Line) bool {
	x, y := a.VoltageKV(), b.VoltageKV()
	return math.IsNaN(x) || math.IsNaN(y) || compare(x, y) == 0
}

// Level is the withstand voltage that a line requires of one shape, before any correction for altitude; NaN if unknown.
func (l *Line) Level(shape Shape) float64 {
	return [...]float64{l.Row.LightningKV, l.Row.SwitchingKV, l.WetKV}[shape]
}
