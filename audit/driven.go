package audit

import (
	"math"

	"dryarc/audit/basis"
)

// Quantity is a figure of a line or of its criteria that drives requirements: as it rises, assemblies that met fall short.
type Quantity uint8

// The quantities.
const (
	DriveVoltage          Quantity = iota // Um of the line; its nominal and its creepage voltage, where stated, rise with it in proportion; of direct current that from pole to earth
	DriveSpecificCreepage                 // reference specific creepage, one figure at every structure, on the base of the criteria
	DriveLightningLevel                   // of the line, whatever Um it goes with
	DriveSwitchingLevel                   // of the line
	DriveMaximumTension                   // of the Lines sheet
	DriveWind                             // of one load case
	DriveAltitude                         // added to every ground level of the line
	quantities
)

var quantityNames = [quantities]string{"highest voltage", "specific creepage", "lightning level", "switching level", "maximum tension", "wind pressure", "added altitude"}

func (q Quantity) String() string { return quantityNames[q] }

var quantityMeasures = [quantities]string{"kV", "mm/kV", "kV", "kV", "kN", "Pa", "m"}

// Measure is the unit of measure of a quantity.
func (q Quantity) Measure() string { return quantityMeasures[q] }

// Drive is a quantity of one line that can be put to other values.
type Drive struct {
	Quantity Quantity
	Case     int // of a wind pressure: which of the load cases of the line's criteria
}

// Drives lists the quantities that drive anything on a line under its criteria.
func (n *Network) Drives(line int) (drives []Drive) {
	v := visitor{n: n, line: line}
	criteria := v.base().Criteria
	byTension, windy := false, []Drive(nil)
	for i := range criteria.LoadCases {
		c := &criteria.LoadCases[i]
		byTension = byTension || c.From == MaximumTension
		if c.WindPa > 0 {
			windy = append(windy, Drive{DriveWind, i})
		}
	}
	for q := range quantities {
		switch {
		case q == DriveWind:
			drives = append(drives, windy...)
		case q != DriveMaximumTension || byTension:
			drives = append(drives, Drive{Quantity: q})
		}
	}
	return drives
}

// Now is the value that a drive has at a subject today, NaN where it has none that counts. Of specific creepage it is that of the site.
func (d Drive) Now(s *Subject) float64 {
	row := &s.Line.Row
	voltage := func(kV float64) float64 {
		if row.Faulty.Has(CellVoltage) {
			return math.NaN()
		}
		return kV
	}
	switch d.Quantity {
	case DriveVoltage:
		return voltage(s.Line.drivenKV())
	case DriveSpecificCreepage:
		return s.Structure.SpecificCreepage
	case DriveLightningLevel:
		if s.Line.LevelImplausible {
			return math.NaN()
		}
		return voltage(row.LightningKV)
	case DriveSwitchingLevel:
		return voltage(row.SwitchingKV)
	case DriveMaximumTension:
		if row.Faulty.Has(CellTension) {
			return math.NaN()
		}
		return row.MaximumTensionKN
	case DriveWind:
		return s.Criteria.LoadCases[d.Case].WindPa
	}
	return 0
}

// Driven makes subjects as they would be with a drive at other values. It is reused for one subject after the other; what it
// returned holds until it is asked again, and it is not safe for concurrent use.
type Driven struct {
	Drive
	line      Line
	structure Structure
	criteria  Criteria
}

// At is a subject with the drive at a value: what arranging and deriving would tell of it, were the value stated.
func (d *Driven) At(s *Subject, value float64) Subject {
	of := *s
	of.loads = nil
	switch d.Quantity {
	case DriveVoltage, DriveLightningLevel, DriveSwitchingLevel, DriveMaximumTension:
		d.line = *s.Line
		d.line.drive(d.Quantity, value, s.Criteria)
		of.Line = &d.line
	case DriveSpecificCreepage, DriveAltitude:
		d.structure = *s.Structure
		if d.Quantity == DriveAltitude {
			d.structure.GroundM += value
		} else {
			d.structure.standsIn(value, s.Criteria.CreepageBasis.Base())
		}
		of.Structure = &d.structure
	case DriveWind:
		cases := append(d.criteria.LoadCases[:0], s.Criteria.LoadCases...)
		d.criteria = *s.Criteria
		cases[d.Case].WindPa = value
		d.criteria.LoadCases = cases
		of.Criteria = &d.criteria
	}
	return of
}

// isDrivenByPole tells whether the voltage that drives requirements of a line is that from pole to earth, which nothing tells but its row.
func (l *Line) isDrivenByPole() bool { return l.Row.System == DirectCurrent }

// drivenKV is the voltage that drives requirements of a line.
func (l *Line) drivenKV() float64 {
	if l.isDrivenByPole() {
		return l.Row.CreepageKV
	}
	return l.HighestKV
}

// drive puts a quantity of a line to a value.
func (l *Line) drive(q Quantity, value float64, c *Criteria) {
	row := &l.Row
	switch q {
	case DriveVoltage:
		share := value / l.drivenKV()
		row.NominalKV, row.CreepageKV = row.NominalKV*share, row.CreepageKV*share
		if l.isDrivenByPole() {
			row.CreepageKV = value
		} else {
			row.HighestKV, l.HighestKV, l.HighestAssumed = value, value, false
		}
		if !l.NoVoltage.IsFaulty() { // a creepage voltage that cannot be stays so
			l.resolveAlong(c)
		}
		l.WetKV = wetLevel(l)
	case DriveLightningLevel:
		row.LightningKV, l.LevelImplausible = value, false
		l.WetKV = wetLevel(l)
	case DriveSwitchingLevel:
		row.SwitchingKV = value
	case DriveMaximumTension:
		row.MaximumTensionKN = value
	}
}

// standsIn puts a structure into a zone of a figure of its own, about which there is no doubt.
func (s *Structure) standsIn(specificCreepage float64, base basis.Base) {
	s.Class, s.SpecificCreepage, s.StatedBase = basis.ClassUnknown, specificCreepage, base
	s.Doubt, s.LesserCreepage, s.DoubtfulZone = NoReason, 0, nowhere
}

// Most is the largest value of a drive that is believed on a line: above it the audit would judge nothing by it. +Inf where there is
// none.
func (n *Network) Most(line int, d Drive) float64 {
	l := &n.Lines[line]
	switch d.Quantity {
	case DriveMaximumTension:
		if strength := l.strengthKN(); !math.IsNaN(strength) {
			return strength
		}
	case DriveWind:
		return MostWindPa
	case DriveAltitude:
		highest := math.Inf(-1)
		for i := l.First; i < l.End; i++ {
			if groundM := n.own(i).GroundM; groundM > highest {
				highest = groundM
			}
		}
		return max(basis.MostAltitudeM-max(highest, 0), 0)
	}
	return math.Inf(1)
}

// EachAssembly visits the assemblies of a line along it, with the subject that checks of assemblies are put to. What each is given is
// reused after it returns.
func (n *Network) EachAssembly(line int, each func(s *Subject, at *Location)) {
	v := visitor{n: n, line: line}
	base := v.base()
	for i := base.Line.First; i < base.Line.End; i++ {
		v.eachAssembly(base, i, each)
	}
}

// EachSubject visits the structures of a line along it, each with its assemblies and then its places. What each is given is reused after it
// returns.
func (n *Network) EachSubject(line int, each func(kind SubjectKind, s *Subject, at *Location)) {
	v := visitor{n: n, line: line}
	base := v.base()
	for i := base.Line.First; i < base.Line.End; i++ {
		v.visitStructure(base, i, func(kind SubjectKind, s Subject, at Location) { each(kind, &s, &at) })
	}
}

// EachAssemblyAt visits the assemblies of one structure of a line, as EachAssembly does.
func (n *Network) EachAssemblyAt(line, structure int, each func(s *Subject, at *Location)) {
	v := visitor{n: n, line: line}
	v.eachAssembly(v.base(), structure, each)
}

func (v *visitor) eachAssembly(base Subject, structure int, each func(s *Subject, at *Location)) {
	v.visitStructure(base, structure, func(kind SubjectKind, s Subject, at Location) {
		if kind == OfAssembly {
			each(&s, &at)
		}
	})
}
