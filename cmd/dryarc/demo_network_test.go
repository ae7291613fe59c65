package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"

	"github.com/tidwall/geodesic"
)

const demoSeed = 20250603

const (
	demoCoastLine  = "SD-132"
	demoRiverLine  = "DF-220"
	demoPoleLine   = "DP-33"
	demoTapLine    = "DP-33-T1"
	demoTeeAt      = 24 // sequence of the pole that carries the tap, number 23
	demoRiverAhead = 20 // sequence of the structure with the river span ahead
	demoRailAhead  = 30
	demoRoadAhead  = 12
	demoOtherAhead = 37
)

// demoPoint is a position in degrees, rounded to the seven decimals of the files.
type demoPoint struct{ lon, lat float64 }

// demoStructure is one structure of one line. class is the pollution class the zones are drawn to give it.
type demoStructure struct {
	number      string
	sequence    int
	at          demoPoint
	groundM     float64
	attachmentM float64
	turnDeg     float64
	class       string
}

type demoLine struct {
	id         string
	structures []demoStructure
}

type demoNetwork struct{ coast, river, pole, tap demoLine }

// inOrder lists the lines in the order of the files.
func (n demoNetwork) inOrder() []demoLine { return []demoLine{n.pole, n.tap, n.coast, n.river} }

// demoRoute says how to string out a line. Maps are keyed by sequence, which counts from 1.
type demoRoute struct {
	id          string
	start       demoPoint
	azimuthDeg  float64
	count       int
	spanM       [2]float64      // shortest and longest
	longSpanM   map[int]float64 // span ahead of the structure
	turnDeg     map[int]float64 // elsewhere the line wavers by up to demoWaverDeg
	levelM      []demoLevel
	reliefM     float64 // unevenness of the ground
	attachmentM float64
	extensionM  float64         // step of the body extensions, or of the pole lengths
	tallM       map[int]float64 // attachment height where the rule above does not hold
	classes     []demoClass
	number      func(sequence int, chainageM float64) string
}

type demoLevel struct{ sequence, groundM float64 }

type demoClass struct {
	from  int
	class string
}

const demoWaverDeg = 0.35

func newDemoNetwork() demoNetwork {
	var n demoNetwork
	n.coast = demoString(demoRoute{
		id: demoCoastLine, start: demoPoint{-19.9412, 41.4836}, azimuthDeg: 68, count: 60, spanM: [2]float64{252, 378},
		turnDeg: map[int]float64{
			6: 9.2, 11: -22.4, 17: 8.1, 22: -1.75, 26: 38.3, 31: -27.1, 38: 13.9, 43: -67.2, 50: 44.6, 57: -12.3,
		},
		levelM: []demoLevel{
			{1, 4}, {7, 12}, {12, 70}, {26, 1010}, {34, 1190}, {40, 1420}, {45, 1575}, {49, 1540}, {53, 1270}, {60, 872},
		},
		reliefM: 3, attachmentM: 20, extensionM: 1.5,
		tallM:   map[int]float64{14: 23, 54: 23},
		classes: []demoClass{{1, "e"}, {7, "d"}, {16, "b"}, {56, "c"}},
		number:  func(sequence int, _ float64) string { return fmt.Sprintf("T-%03d", sequence) },
	})
	substation := n.coast.structures[59].at
	n.river = demoString(demoRoute{
		id: demoRiverLine, start: demoOffset(substation, 100, 260), azimuthDeg: 120, count: 45, spanM: [2]float64{305, 445},
		longSpanM: map[int]float64{demoRiverAhead: 782},
		turnDeg: map[int]float64{
			5: 11.4, 10: -25.2, 15: 6.6, 25: 34.1, 30: -18.2, 35: -62.8, 40: 40.3, 43: 2.25,
		},
		levelM:  []demoLevel{{1, 868}, {6, 850}, {17, 262}, {24, 247}, {34, 520}, {45, 610}},
		reliefM: 3, attachmentM: 25, extensionM: 3,
		tallM:   map[int]float64{demoRiverAhead: 62, demoRiverAhead + 1: 62},
		classes: []demoClass{{1, "c"}, {4, "b"}},
		number:  demoKilometreNumbers(),
	})
	n.pole = demoString(demoRoute{
		id: demoPoleLine, start: demoOffset(substation, 20, 180), azimuthDeg: 350, count: 51, spanM: [2]float64{81, 109},
		turnDeg: map[int]float64{8: 12.2, 14: -35.3, 20: 3.1, 32: 9.1, 38: -71.6, 44: 24.8, 47: -2.9},
		levelM:  []demoLevel{{1, 870}, {20, 838}, {51, 794}},
		reliefM: 0.6, attachmentM: 9.5, extensionM: 0.5,
		classes: []demoClass{{1, "c"}, {14, "b"}},
		number:  demoPoleNumber,
	})
	tee := n.pole.structures[demoTeeAt-1]
	n.tap = demoString(demoRoute{
		id: demoTapLine, start: demoOffset(tee.at, 60, 0.21), azimuthDeg: 44, count: 10, spanM: [2]float64{81, 98},
		levelM:  []demoLevel{{1, tee.groundM}, {10, tee.groundM - 21}},
		reliefM: 0.6, attachmentM: 9.5, extensionM: 0.5,
		classes: []demoClass{{1, "b"}},
		number:  func(sequence int, _ float64) string { return fmt.Sprintf("%s/%d", tee.number, sequence-1) },
	})
	n.tap.structures[0].groundM, n.tap.structures[0].attachmentM = tee.groundM, tee.attachmentM
	return n
}

// demoPoleNumber counts poles from 1 with a 12A, put in later between 12 and 13.
func demoPoleNumber(sequence int, _ float64) string {
	switch {
	case sequence <= 12:
		return strconv.Itoa(sequence)
	case sequence == 13:
		return "12A"
	}
	return strconv.Itoa(sequence - 1)
}

// demoKilometreNumbers numbers structures by kilometre of the line and place within it: 3/2 is the second in the third.
func demoKilometreNumbers() func(int, float64) string {
	kilometre, place := 0, 0
	return func(_ int, chainageM float64) string {
		if k := int(chainageM/1000) + 1; k != kilometre {
			kilometre, place = k, 0
		}
		place++
		return fmt.Sprintf("%d/%d", kilometre, place)
	}
}

// demoString sets the structures of a route one after the other. Every azimuth is taken between positions as rounded,
// so that rounding does not add up.
func demoString(route demoRoute) demoLine {
	random := rand.New(rand.NewPCG(demoSeed, uint64(route.count)))
	between := func(low, high float64) float64 { return low + (high-low)*random.Float64() }
	line := demoLine{id: route.id}
	at, azimuth, chainage := demoRounded(route.start), route.azimuthDeg, 0.0
	for sequence := 1; sequence <= route.count; sequence++ {
		turn, turns := route.turnDeg[sequence]
		if !turns {
			turn = between(-demoWaverDeg, demoWaverDeg)
		}
		if sequence == 1 || sequence == route.count {
			turn = 0
		}
		smooth := demoGround(route.levelM, float64(sequence))
		ground := math.Round(10*(smooth+between(-route.reliefM, route.reliefM))) / 10
		steps := math.Round((smooth - ground) / route.extensionM)
		attachment := route.attachmentM + steps*route.extensionM
		if tall, ok := route.tallM[sequence]; ok {
			attachment = tall
		}
		line.structures = append(line.structures, demoStructure{
			number: route.number(sequence, chainage), sequence: sequence, at: at, groundM: ground, attachmentM: attachment,
			turnDeg: turn, class: demoClassAt(route.classes, sequence),
		})
		span, long := route.longSpanM[sequence]
		if !long {
			span = between(route.spanM[0], route.spanM[1])
		}
		next := demoOffset(at, azimuth+turn, span)
		var length float64
		geodesic.WGS84.Inverse(at.lat, at.lon, next.lat, next.lon, &length, nil, &azimuth)
		at, chainage = next, chainage+length
	}
	return line
}

// demoGround rounds off the corners of a profile given by its levels, by the mean over nine structures.
func demoGround(levels []demoLevel, sequence float64) float64 {
	sum := 0.0
	for k := -4.0; k <= 4; k++ {
		sum += demoLevelAt(levels, sequence+k)
	}
	return sum / 9
}

func demoLevelAt(levels []demoLevel, sequence float64) float64 {
	last := levels[0]
	for _, level := range levels {
		if sequence < level.sequence {
			if level == last {
				return level.groundM
			}
			share := (sequence - last.sequence) / (level.sequence - last.sequence)
			return last.groundM + share*(level.groundM-last.groundM)
		}
		last = level
	}
	return last.groundM
}

func demoClassAt(classes []demoClass, sequence int) string {
	class := ""
	for _, c := range classes {
		if sequence >= c.from {
			class = c.class
		}
	}
	return class
}

// demoOffset is the position metres away from a point along an azimuth.
func demoOffset(from demoPoint, azimuthDeg, metres float64) demoPoint {
	var p demoPoint
	geodesic.WGS84.Direct(from.lat, from.lon, azimuthDeg, metres, &p.lat, &p.lon, nil)
	return demoRounded(p)
}

func demoRounded(p demoPoint) demoPoint {
	return demoPoint{math.Round(p.lon*1e7) / 1e7, math.Round(p.lat*1e7) / 1e7}
}
