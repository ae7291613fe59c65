package audit

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit/basis"
)

// CreepageVoltage is what the project takes for the voltage along a string where the neutral is not earthed: the voltage of a sound phase during an
// earth fault, or that of service where earth faults do not stand. There is no default: which of the two it is rests on how long they stand.
type CreepageVoltage struct {
	Isolated, Resonant basis.Base // NoBase where it is not stated
	EarthFaults        string     // how long they may stand, in the project's words; stated wherever one of the two is Um/√3
}

// of is what is stated for a system; NoBase where nothing is.
func (c *CreepageVoltage) of(system System) basis.Base {
	switch system {
	case Isolated:
		return c.Isolated
	case Resonant:
		return c.Resonant
	}
	return basis.NoBase
}

func (c *CreepageVoltage) held() held {
	var texts []string
	plain := map[string]string{}
	for _, of := range []struct {
		name string
		base basis.Base
	}{{Isolated.String(), c.Isolated}, {Resonant.String(), c.Resonant}} {
		if of.base != basis.NoBase {
			plain[of.name] = of.base.String()
			texts = append(texts, of.name+": "+of.base.String())
		}
	}
	if c.EarthFaults != "" {
		plain["earth_faults"] = c.EarthFaults
		texts = append(texts, "earth faults: "+c.EarthFaults)
	}
	return held{text: strings.Join(texts, ", "), stated: len(texts) > 0, plain: plain, left: len(texts) == 0}
}

// DirectCreepage are the project's specific creepages of direct current in mm per kV of the pole-to-earth voltage, by class; NaN where none is
// stated. There is no default: IEC TS 60815-4 gives them from the site's severity.
type DirectCreepage struct {
	MMPerKV [basis.ClassF + 1]float64
}

func unknownDirectCreepage() (own DirectCreepage) {
	for i := range own.MMPerKV {
		own.MMPerKV[i] = math.NaN()
	}
	return own
}

func (own *DirectCreepage) held() held {
	var texts []string
	plain := map[string]float64{}
	for i, mmPerKV := range own.MMPerKV {
		if !math.IsNaN(mmPerKV) {
			class := basis.Class(i).String()
			plain[class] = mmPerKV
			texts = append(texts, fmt.Sprintf("%s: %g", class, mmPerKV))
		}
	}
	return held{text: strings.Join(texts, ", "), stated: len(texts) > 0, plain: plain, left: len(texts) == 0}
}

// IsStated tells whether any figure is.
func (own *DirectCreepage) IsStated() bool {
	return slices.ContainsFunc(own.MMPerKV[:], func(mmPerKV float64) bool { return mmPerKV > 0 })
}

// SpecificCreepageOn returns the specific creepage of a class in mm/kV on a line: of direct current on its pole-to-earth voltage, where the project
// states any, else on the basis of alternating current. NaN where there is none.
func (c *Criteria) SpecificCreepageOn(l *Line, class basis.Class) float64 {
	if l.GoesByPole(c) {
		return c.DirectCreepage.MMPerKV[class]
	}
	return c.SpecificCreepage(class)
}

// GoesByPole tells whether specific creepages on the line are those of direct current.
func (l *Line) GoesByPole(c *Criteria) bool {
	return l.Row.System.IsDirect() && c.DirectCreepage.IsStated()
}

// creepageBasis is the basis whose formula gives the creepage that a line needs: that of direct current is of the form of the unified one.
func (l *Line) creepageBasis(c *Criteria) basis.CreepageBasis {
	if l.GoesByPole(c) {
		return basis.Unified
	}
	return c.CreepageBasis
}

// CreepageNeeded is the creepage in mm that a string of the subject needs for a specific creepage, a diameter factor and an altitude factor.
func (s *Subject) CreepageNeeded(mmPerKV, kad, ka float64) float64 {
	return basis.RequiredCreepage(s.Line.creepageBasis(s.Criteria), mmPerKV, s.Line.PhaseToEarthKV, kad, ka)
}

// GoesByPole tells whether the subject is judged by specific creepages of direct current.
func (s *Subject) GoesByPole() bool { return s.Line.GoesByPole(s.Criteria) }

// CreepageSource says where the specific creepage that the subject is judged by comes from.
func (s *Subject) CreepageSource() basis.Clause {
	if s.GoesByPole() {
		return basis.OwnFigure
	}
	return s.Criteria.CreepageSource(s.Structure.Class, s.Structure.SpecificCreepage)
}

// CreepageInWords says the specific creepage that the subject is judged by, in mm/kV with its base.
func (s *Subject) CreepageInWords() string {
	if s.GoesByPole() {
		return fmt.Sprintf("%g mm/kV from pole to earth", s.Structure.SpecificCreepage)
	}
	return s.Criteria.CreepageInWords(s.Structure)
}

// Along says what stands along a string of a line for creepage.
type Along uint8

// What may.
const (
	AlongUnknown Along = iota
	AlongPhase         // Um/√3
	AlongWhole         // Um: of a neutral that is not earthed, where the project says so, and of a railway, whose voltages are those to earth
	AlongStated        // the creepage voltage of the Lines sheet
)

// findAlong finds what stands along the strings of a line, or why that is not known.
func (l *Line) findAlong(c *Criteria) (Along, Reason) {
	row := &l.Row
	switch {
	case row.SystemUnread():
		return AlongUnknown, FaultyField
	case row.System.IsDirect() && !c.DirectCreepage.IsStated():
		return AlongUnknown, NoDirectCreepage
	case !math.IsNaN(row.CreepageKV) && l.isLowVoltage():
		return AlongUnknown, LowVoltage
	case !math.IsNaN(row.CreepageKV):
		return AlongStated, NoReason
	case row.Faulty.Has(CellVoltage):
		return AlongUnknown, row.lacks(CellVoltage)
	case row.System == DirectCurrent:
		return AlongUnknown, PoleVoltageNotStated
	case math.IsNaN(l.HighestKV) && math.IsNaN(row.NominalKV):
		return AlongUnknown, VoltageUnknown
	case l.isLowVoltage():
		return AlongUnknown, LowVoltage
	case math.IsNaN(l.HighestKV):
		return AlongUnknown, VoltageNotStandard
	case row.System.IsRailway():
		return AlongWhole, NoReason
	case row.System == SystemUnknown || row.System == Earthed:
		return AlongPhase, NoReason
	}
	switch c.CreepageVoltage.of(row.System) {
	case basis.PerPhaseToEarth:
		return AlongPhase, NoReason
	case basis.PerPhaseToPhase:
		return AlongWhole, NoReason
	}
	if row.System == SinglePhase {
		return AlongUnknown, NeutralNotEarthed
	}
	return AlongUnknown, NeutralVoltageNotStated
}

// isLowVoltage tells whether a line is of low voltage, for which there are no specific creepages: of alternating current by what it has between phases, else by
// its creepage voltage; of direct current by what it has to earth as well.
func (l *Line) isLowVoltage() bool {
	row := &l.Row
	switch {
	case basis.IsLowVoltage(row.NominalKV), basis.IsLowVoltage(l.HighestKV):
		return true
	case row.System.IsDirect() && !math.IsNaN(row.CreepageKV):
		return basis.IsLowDirectVoltage(row.CreepageKV)
	case row.System.IsDirect():
		return basis.IsLowDirectVoltage(l.HighestKV)
	}
	return math.IsNaN(row.NominalKV) && math.IsNaN(l.HighestKV) && basis.IsLowVoltage(row.CreepageKV)
}

// resolveAlong finds the voltage along the strings of a line, and what it is.
func (l *Line) resolveAlong(c *Criteria) {
	l.Along, l.NoVoltage = l.findAlong(c)
	l.PhaseToEarthKV = l.alongKV()
}

// alongKV is the voltage along a string in kV; NaN if unknown.
func (l *Line) alongKV() float64 {
	switch l.Along {
	case AlongPhase:
		return basis.PhaseToEarth(l.HighestKV)
	case AlongWhole:
		return l.HighestKV
	case AlongStated:
		return l.Row.CreepageKV
	}
	return math.NaN()
}

// NominalAlongKV is the voltage along a string in service that goes with the nominal one, in kV: all of it of a railway, else that of a phase,
// however the neutral is treated. NaN if unknown.
func (l *Line) NominalAlongKV() float64 {
	if l.Row.System.IsRailway() {
		return l.Row.NominalKV
	}
	return basis.PhaseToEarth(l.Row.NominalKV)
}

// HighestOf is the highest voltage in kV that is standard for a nominal one on a system, of a railway by its own table; ok is false where
// none is.
func (s System) HighestOf(nominalKV float64, table basis.VoltageTable) (highestKV float64, ok bool) {
	switch {
	case s.IsRailway():
		return basis.RailwayHighestVoltage(nominalKV, s.IsDirect())
	case s.IsDirect(): // the tables are of alternating current
		return math.NaN(), false
	}
	return table.Highest(nominalKV)
}
