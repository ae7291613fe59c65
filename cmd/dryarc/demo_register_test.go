package main

import (
	"math"
	"math/rand/v2"
	"time"
)

// demoRow is one row of the Assemblies sheet. Zero values leave their cell blank, but for units, which may be text.
type demoRow struct {
	line, structure string
	circuit         int
	phase, side     string
	duty            string
	arrangement     string
	vAngleDeg       int
	mounting        string
	unit            string
	units           any
	strings         int
	defective       int
	creepageMM      int
	installed       time.Time
	inspected       time.Time
	remarks         string
}

// demoHung is what hangs at the phases of a row.
type demoHung struct {
	unit    string
	units   int
	strings int
}

// demoScheme says how the assemblies of a line are chosen when nothing goes wrong.
type demoScheme struct {
	line          demoLine
	circuits      []int // 0 leaves the circuit blank
	suspended     []string
	tensioned     []string     // phases as the rows write them
	sections      map[int]bool // tension structures on a straight run, by sequence
	limitDeg      float64      // a larger turn gets a tension assembly
	straightDuty  func(sequence int) string
	hung          func(s demoStructure, circuit int, duty string) demoHung
	jumperFromDeg float64 // a turn this large gets jumper strings; 0: none
	earthWire     bool
	guys          bool
	built         map[int]int // year by circuit
}

type demoRegister struct {
	network demoNetwork
	rows    []demoRow
	planted []demoMistake
}

// newDemoRegister fills the register as it should be, then plants the mistakes.
func newDemoRegister(network demoNetwork) *demoRegister {
	r := &demoRegister{network: network}
	for i, scheme := range demoSchemes(network) {
		r.fill(scheme, rand.New(rand.NewPCG(demoSeed, uint64(1000+i))))
	}
	r.plant()
	return r
}

func demoSchemes(network demoNetwork) []demoScheme {
	pole := demoScheme{
		line: network.pole, circuits: []int{0}, suspended: []string{"ABC"}, tensioned: []string{"A", "B", "C"},
		sections: map[int]bool{demoTeeAt: true, 28: true}, limitDeg: 5,
		straightDuty: demoPinOrPost, hung: demoPoleHung, guys: true, built: map[int]int{0: 1996},
	}
	tap := pole
	tap.line, tap.sections, tap.tensioned, tap.built = network.tap, nil, []string{"ABC"}, map[int]int{0: 2008}
	tap.straightDuty = func(int) string { return "pin" }
	return []demoScheme{pole, tap, {
		line: network.coast, circuits: []int{1, 2}, suspended: []string{"A", "B", "C"}, tensioned: []string{"A", "B", "C"},
		sections: map[int]bool{21: true}, limitDeg: 2,
		straightDuty: func(int) string { return "suspension" }, hung: demoCoastHung, jumperFromDeg: 30, earthWire: true,
		built: map[int]int{1: 2001, 2: 2012},
	}, {
		line: network.river, circuits: []int{1}, suspended: []string{"R", "Y", "B"}, tensioned: []string{"R,Y,B"},
		sections: map[int]bool{demoRiverAhead - 1: true, demoRiverAhead + 2: true, demoRailAhead + 1: true}, limitDeg: 2,
		straightDuty: func(int) string { return "suspension" }, hung: demoRiverHung, jumperFromDeg: 30, earthWire: true,
		built: map[int]int{1: 2009},
	}}
}

// demoPinOrPost: the poles beyond number 29 were rebuilt with line posts.
func demoPinOrPost(sequence int) string {
	if sequence > 30 {
		return "post"
	}
	return "pin"
}

// Um 36: class b asks for 577.8 mm, c 721.2 mm.
func demoPoleHung(_ demoStructure, _ int, duty string) demoHung {
	switch duty {
	case "pin":
		return demoHung{"P33-940", 1, 1}
	case "post":
		return demoHung{"LP33-1000", 1, 1}
	}
	return demoHung{"U70BL", 4, 1}
}

// Um 145: class b asks for 2327.3 mm, c 2904.9 mm, d 3624.9 mm, e 4495.5 mm. Circuit 1 has composites on the shore.
func demoCoastHung(s demoStructure, circuit int, duty string) demoHung {
	tension := duty == "tension"
	switch s.class {
	case "e":
		if tension {
			return demoHung{"U120BP", 12, 1}
		}
		if circuit == 1 && duty == "suspension" {
			return demoHung{"CLR-145", 1, 1}
		}
		return demoHung{"U120BP", 11, 1}
	case "d":
		if tension {
			return demoHung{"U120BP", 10, 1}
		}
		return demoHung{"U120BP", 9, 1}
	case "c":
		if tension {
			return demoHung{"U120B", 12, 1}
		}
		return demoHung{"U70BL", 11, 1}
	}
	if tension {
		return demoHung{"U120B", 10, 1}
	}
	return demoHung{"U70BL", 9, 1}
}

// Um 245: class b asks for 3932.3 mm, c 4908.3 mm. The river and the railway have double strings.
func demoRiverHung(s demoStructure, _ int, duty string) demoHung {
	strings := 1
	river := s.sequence >= demoRiverAhead-1 && s.sequence <= demoRiverAhead+2
	if duty != "jumper" && (river || s.sequence == demoRailAhead || s.sequence == demoRailAhead+1) {
		strings = 2
	}
	units := 13
	if duty == "tension" {
		units = 14
	}
	if s.class == "c" {
		units += 2
	}
	if river {
		return demoHung{"U210B", units, strings}
	}
	return demoHung{"U160BL", units, strings}
}

func (r *demoRegister) fill(scheme demoScheme, random *rand.Rand) {
	last := len(scheme.line.structures)
	for _, s := range scheme.line.structures {
		terminal := s.sequence == 1 || s.sequence == last
		tension := terminal || scheme.sections[s.sequence] || math.Abs(s.turnDeg) > scheme.limitDeg
		for _, circuit := range scheme.circuits {
			row := demoRow{line: scheme.line.id, structure: s.number, circuit: circuit}
			row.installed, row.inspected = demoDates(random, scheme.built[circuit])
			duty := scheme.straightDuty(s.sequence)
			if tension {
				duty = "tension"
			}
			if wrong, ok := r.wrongDuty(scheme.line.id, s.sequence, circuit); ok {
				duty = wrong.duty
			}
			phases, sides := scheme.suspended, []string{""}
			if duty == "tension" {
				phases, sides = scheme.tensioned, demoSides(s.sequence, last)
			}
			if duty == "pin" && scheme.sections[s.sequence] {
				phases = scheme.tensioned
			}
			for _, side := range sides {
				for _, phase := range phases {
					row.side, row.phase = side, phase
					r.hang(row, duty, scheme.hung(s, circuit, duty))
				}
			}
			if duty == "tension" && scheme.jumperFromDeg > 0 && math.Abs(s.turnDeg) > scheme.jumperFromDeg {
				for _, phase := range scheme.suspended {
					row.side, row.phase = "", phase
					r.hang(row, "jumper", scheme.hung(s, circuit, "jumper"))
				}
			}
		}
		supports := demoRow{line: scheme.line.id, structure: s.number}
		supports.installed, supports.inspected = demoDates(random, scheme.built[scheme.circuits[0]])
		if scheme.earthWire && tension {
			r.hang(supports, "earth wire", demoHung{"U70BS", 1, 1})
		}
		if scheme.guys && tension && s.sequence != demoTeeAt {
			r.hang(supports, "guy", demoHung{"GR-33", 1, 1})
		}
	}
}

// demoSides: a terminal has its line side only.
func demoSides(sequence, last int) []string {
	switch sequence {
	case 1:
		return []string{"ahead"}
	case last:
		return []string{"back"}
	}
	return []string{"back", "ahead"}
}

func (r *demoRegister) hang(row demoRow, duty string, hung demoHung) {
	row.duty, row.unit, row.units, row.strings = duty, hung.unit, hung.units, hung.strings
	if hung.strings > 1 {
		row.arrangement = "parallel"
	}
	row.mounting = ""
	if duty == "post" { // arms of the rebuilt poles; a pin has but one way to stand
		row.mounting = "horizontal"
	}
	r.rows = append(r.rows, row)
}

// demoDates spreads the building of a circuit over a year, renews one structure in nine later, and inspects each once.
func demoDates(random *rand.Rand, year int) (installed, inspected time.Time) {
	installed = time.Date(year, time.February, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, random.IntN(280))
	if random.IntN(9) == 0 {
		installed = time.Date(max(year+6, 2014), time.March, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, random.IntN(1800))
	}
	inspected = time.Date(2024, time.April, 8, 0, 0, 0, 0, time.UTC).AddDate(0, 0, random.IntN(400))
	return installed, inspected
}
