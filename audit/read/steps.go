package read

import (
	"fmt"
	"math"

	"dryarc/audit"
)

// steps counts how far the structures of a line stand from one another in the order in which a file has them.
type steps struct {
	lon, lat   float64 // of the last
	table      uint16
	known      bool
	near, made int
	longestM   float64
}

// A line most of whose steps are below nearestStructuresM, and none longer than longestStepM, is none: of fewestSteps or more (choices of
// this program). Poles that stand in pairs have long steps beside the short ones.
const (
	nearestStructuresM = 1
	longestStepM       = 10
	fewestSteps        = 2
)

// note takes up the next structure. One that stands where the last does may be the same once more.
func (s *steps) note(row *audit.StructureRow) {
	const metresPerDegree = 111e3 // of a meridian, rounded
	if s.known && row.Source.Table == s.table {
		north, east := row.Lat-s.lat, (row.Lon-s.lon)*math.Cos(row.Lat*math.Pi/180)
		if distance := metresPerDegree * math.Hypot(north, east); distance > 1e-3 {
			s.made++
			s.longestM = max(s.longestM, distance)
			if distance < nearestStructuresM {
				s.near++
			}
		}
	}
	s.lon, s.lat, s.table, s.known = row.Lon, row.Lat, row.Source.Table, true
}

// areNone tells whether the steps are below what a line can have.
func (s *steps) areNone() bool {
	return s.made >= fewestSteps && 2*s.near > s.made && s.longestM < longestStepM
}

// checkSteps refuses positions of a projected system in which the structures of a line stand within a metre of one another: their
// figures are in another unit, or points that part thousands are taken for decimal ones.
func (r *structureReader) checkSteps() error {
	var trouble problems
	for _, row := range r.project.Structures.All() {
		s := r.stepsOf[row.Line]
		if s == nil || !s.areNone() {
			continue
		}
		delete(r.stepsOf, row.Line) // said once
		if trouble.stop(&InputError{File: r.project.Tables[s.table].File,
			Message: fmt.Sprintf("most structures of line %q stand less than %d m from the one before, and none %d m, expected eastings and northings in metres", r.project.Symbols.Text(row.Line), nearestStructuresM, longestStepM),
			Hint:    `give the coordinates in metres, or say in the heading that they are not, as "Easting (km)"; where points part thousands in them, say decimal: comma under structures in the project file`}) {
			break
		}
	}
	return trouble.err()
}
