package raster

import (
	"math"
)

// Seams finds values at positions between grids that lie beside each other: their samples stand on one lattice, and each position has the four
// around it in more than one of them. It takes the grids one after the other and keeps what it has of each position. The zero value has none yet.
type Seams struct {
	lattices []affine // each as its first grid has it
	found    map[seamPosition]*corners
}

type seamPosition struct{ position, lattice int }

// corners are the samples around a position that are known so far.
type corners struct {
	z    [4]float64
	have [4]bool
}

// offLattice is by how much the samples of a grid may stand off the lattice of another, in samples (a choice of this program).
const offLattice = 0.01

// At takes from a grid, moved along x by a distance, the samples around a position that lies beyond its samples, and returns the value once all
// of them are known: the state is Outside until then. number tells positions apart. Of a sample that two grids have the first counts.
func (s *Seams) At(number int, g *Grid, moved, x, y float64, believed Believed) (float64, State, error) {
	geo := g.geo
	geo.x0 += moved
	column, row := geo.toSample(x, y)
	if !(column > -1 && column < float64(g.Width) && row > -1 && row < float64(g.Height)) {
		return math.NaN(), Outside, nil
	}
	lattice, firstColumn, firstRow := s.lattice(geo, g.Width, g.Height)
	column, row = s.lattices[lattice].toSample(x, y)
	whole, part := [2]float64{}, [2]float64{}
	for axis, at := range [...]float64{column, row} {
		whole[axis], part[axis] = floor(at)
	}
	weights := weightsOf(part[0], part[1])
	at := seamPosition{number, lattice}
	known := s.found[at]
	if known == nil {
		known = new(corners)
	}
	all := true
	for i, weight := range weights {
		if weight == 0 || known.have[i] {
			continue
		}
		c, r := whole[0]+float64(i%2)-firstColumn, whole[1]+float64(i/2)-firstRow
		if !(c >= 0 && c < float64(g.Width) && r >= 0 && r < float64(g.Height)) {
			all = false
			continue
		}
		z, err := g.samples.at(int(c), int(r))
		if err != nil {
			return math.NaN(), Void, err
		}
		known.z[i], known.have[i] = z, true
	}
	if all {
		delete(s.found, at)
		z, state := blend(known.z, weights, believed)
		return z, state, nil
	}
	if s.found == nil {
		s.found = map[seamPosition]*corners{}
	}
	s.found[at] = known
	return math.NaN(), Outside, nil
}

// lattice finds the lattice on which the samples of a grid stand, and where on it the first of them does.
func (s *Seams) lattice(geo affine, width, height int) (number int, column, row float64) {
	for number, l := range s.lattices {
		column, row := l.toSample(geo.x0, geo.y0)
		column, row = math.Round(column), math.Round(row)
		on := func(c, r float64) bool {
			x, y := l.toSample(geo.x0+geo.xc*c+geo.xr*r, geo.y0+geo.yc*c+geo.yr*r)
			return math.Abs(x-column-c) <= offLattice && math.Abs(y-row-r) <= offLattice
		}
		if across, down := float64(max(width-1, 1)), float64(max(height-1, 1)); on(0, 0) && on(across, 0) && on(0, down) {
			return number, column, row
		}
	}
	s.lattices = append(s.lattices, geo)
	return len(s.lattices) - 1, 0, 0
}
