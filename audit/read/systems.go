package read

import (
	"fmt"
	"math"
	"strconv"

	"github.com/go-spatial/proj/core"
	_ "github.com/go-spatial/proj/operations" // the projections
	"github.com/go-spatial/proj/support"
	"github.com/paulmach/orb"
)

// system is a coordinate reference system whose positions can be taken to WGS 84. Whatever order its authority has for
// the axes, the first coordinate is the easting or longitude and the second the northing or latitude, as GIS files have
// them.
//
// The projections are those of github.com/go-spatial/proj, which ports PROJ to Go. A system is listed here only where
// its positions agree with those of PROJ's cs2cs within 1 mm all over its area of use, which the test of the list holds
// (measured: 0.1 µm for the projections, 0.05 mm for longitude and latitude). Datums other than WGS 84 are taken as
// WGS 84, as PROJ takes those listed here; those that PROJ shifts, by Helmert parameters or grids, are not listed.
type system struct {
	code    int                 // of the EPSG dataset
	datumM  float64             // how well its datum agrees with WGS 84, in metres; 0 where it is WGS 84
	project core.IConvertLPToXY // nil where positions are longitude and latitude
	origin  bool                // positions close to 0, 0 may be meant

	// elsewhere are areas in which another transformation is in force than the null one, around longitude and latitude
	elsewhere []orb.Bound

	// limits within which positions are believed, in metres
	east, north [2]float64
	use         useArea
}

const (
	wgs84         = 4326
	wgs84Geodetic = 4979 // the same with heights
	webMercator   = 3857
)

// reachM is how far from the central meridian positions are believed, in metres. The widest area of use, that of
// EPSG:9377 with its sea, reaches 1320 km.
const reachM = 1.4e6

// family is a family of transverse Mercator systems, one for each code: that of a zone, or of each zone of a grid.
type family struct {
	first, last int // EPSG codes
	name        string
	datumM      float64 // accuracy of its transformation to WGS 84 in the EPSG dataset, a null one
	ellipsoid   string  // as PROJ names it

	meridian, meridianStep float64 // of the first, and to the next, in degrees
	latitude               float64 // of the origin, in degrees
	scale                  float64
	easting, eastingStep   float64 // of the origin of the first, and to the next, in metres
	northing               float64 // of the origin, in metres
}

// families lists the families of projected systems.
//
// Source: EPSG Geodetic Parameter Dataset, as PROJ 9.1 has it.
func families() []family {
	return []family{
		{32601, 32660, "WGS 84 / UTM", 0, "WGS84", -177, 6, 0, 0.9996, 500e3, 0, 0},
		{32701, 32760, "WGS 84 / UTM", 0, "WGS84", -177, 6, 0, 0.9996, 500e3, 0, 10e6},
		{25828, 25838, "ETRS89 / UTM", 1, "GRS80", -15, 6, 0, 0.9996, 500e3, 0, 0},
		{4647, 4647, "ETRS89 / UTM", 1, "GRS80", 9, 0, 0, 0.9996, 32.5e6, 0, 0},
		{5650, 5650, "ETRS89 / UTM", 1, "GRS80", 15, 0, 0, 0.9996, 33.5e6, 0, 0},
		{3067, 3067, "ETRS89 / TM35FIN", 1, "GRS80", 27, 0, 0, 0.9996, 500e3, 0, 0},
		{3873, 3885, "ETRS89 / GKnFIN", 1, "GRS80", 19, 1, 0, 1, 19.5e6, 1e6, 0},
		{3006, 3006, "SWEREF99 TM", 1, "GRS80", 15, 0, 0, 0.9996, 500e3, 0, 0},
		{3007, 3011, "SWEREF99", 1, "GRS80", 12, 1.5, 0, 1, 150e3, 0, 0},
		{3012, 3018, "SWEREF99", 1, "GRS80", 14.25, 1.5, 0, 1, 150e3, 0, 0},
		{5105, 5130, "ETRS89 / NTM", 1, "GRS80", 5.5, 1, 58, 1, 100e3, 0, 1e6},
		{2180, 2180, "ETRF2000-PL / CS92", 1, "GRS80", 19, 0, 0, 0.9993, 500e3, 0, -5.3e6},
		{2176, 2179, "ETRF2000-PL / CS2000", 1, "GRS80", 15, 3, 0, 0.999923, 5.5e6, 1e6, 0},
		{3346, 3346, "LKS94 / Lithuania TM", 1, "GRS80", 24, 0, 0, 0.9998, 500e3, 0, 0},
		{3059, 3059, "LKS92 / Latvia TM", 1, "GRS80", 24, 0, 0, 0.9996, 500e3, 0, -6e6},
		{3765, 3765, "HTRS96 / Croatia TM", 1, "GRS80", 16.5, 0, 0, 0.9999, 500e3, 0, 0},
		{3794, 3794, "Slovene National Grid", 1, "GRS80", 15, 0, 0, 0.9999, 500e3, 0, -5e6},
		{3763, 3763, "ETRS89 / Portugal TM06", 1, "GRS80", -(8 + 7.0/60 + 59.19/3600), 0, 39 + 40.0/60 + 5.73/3600, 1, 0, 0, 0},
		{2157, 2157, "Irish Transverse Mercator", 1, "GRS80", -8, 0, 53.5, 0.99982, 600e3, 0, 750e3},
		{4082, 4083, "REGCAN95 / UTM", 1, "GRS80", -21, 6, 0, 0.9996, 500e3, 0, 0},
		{5253, 5259, "TUREF / TM", 1, "GRS80", 27, 3, 0, 1, 500e3, 0, 0},
		{5269, 5275, "TUREF / Gauss-Krüger", 1, "GRS80", 27, 3, 0, 1, 9.5e6, 1e6, 0},
		{26906, 26923, "NAD83 / UTM", 4, "GRS80", -147, 6, 0, 0.9996, 500e3, 0, 0},
		{6328, 6329, "NAD83(2011) / UTM", 2, "GRS80", 171, 6, 0, 0.9996, 500e3, 0, 0},
		{6330, 6348, "NAD83(2011) / UTM", 2, "GRS80", -177, 6, 0, 0.9996, 500e3, 0, 0},
		{6366, 6371, "Mexico ITRF2008 / UTM", 1, "GRS80", -117, 6, 0, 0.9996, 500e3, 0, 0},
		{4484, 4489, "Mexico ITRF92 / UTM", 1, "GRS80", -117, 6, 0, 0.9996, 500e3, 0, 0},
		{31965, 31976, "SIRGAS 2000 / UTM", 1, "GRS80", -117, 6, 0, 0.9996, 500e3, 0, 0},
		{6210, 6211, "SIRGAS 2000 / UTM", 1, "GRS80", -45, 6, 0, 0.9996, 500e3, 0, 0},
		{31977, 31985, "SIRGAS 2000 / UTM", 1, "GRS80", -81, 6, 0, 0.9996, 500e3, 0, 10e6},
		{5396, 5396, "SIRGAS 2000 / UTM", 1, "GRS80", -27, 0, 0, 0.9996, 500e3, 0, 10e6},
		{9377, 9377, "MAGNA-SIRGAS / Origen-Nacional", 1, "GRS80", -73, 0, 4, 0.9992, 5e6, 0, 2e6},
		{22181, 22187, "POSGAR 94 / Argentina", 1, "WGS84", -72, 3, -90, 1, 1.5e6, 1e6, 0},
		{28348, 28358, "GDA94 / MGA", 3, "GRS80", 105, 6, 0, 0.9996, 500e3, 0, 10e6},
		{7846, 7859, "GDA2020 / MGA", 3, "GRS80", 93, 6, 0, 0.9996, 500e3, 0, 10e6},
		{2193, 2193, "NZTM2000", 1, "GRS80", 173, 0, 0, 0.9996, 1.6e6, 0, 10e6},
		{6688, 6692, "JGD2011 / UTM", 1, "GRS80", 123, 6, 0, 0.9996, 500e3, 0, 0},
		{3097, 3101, "JGD2000 / UTM", 1, "GRS80", 123, 6, 0, 0.9996, 500e3, 0, 0},
		{5179, 5179, "Korea 2000 / Unified CS", 1, "GRS80", 127.5, 0, 38, 0.9996, 1e6, 0, 2e6},
		{5185, 5188, "Korea 2000 / Belt 2010", 1, "GRS80", 125, 2, 38, 1, 200e3, 0, 600e3},
		{3825, 3826, "TWD97 / TM2", 1, "GRS80", 119, 2, 0, 0.9999, 250e3, 0, 0},
	}
}

// geographic is a system of longitude and latitude whose datum is taken as WGS 84.
type geographic struct {
	code      int
	name      string
	datumM    float64
	elsewhere []orb.Bound
}

// geographics lists the systems of longitude and latitude beside WGS 84. Of NAD83 it is the transformation for North America; the Aleutians
// and Hawaii have others.
//
// Source: as for families.
func geographics() []geographic {
	nad83 := []orb.Bound{
		{Min: orb.Point{-163.74, 15.56}, Max: orb.Point{-151.27, 25.58}}, // EPSG:1252
		{Min: orb.Point{-180, 51.3}, Max: orb.Point{-164.84, 54.34}},     // EPSG:1251
		{Min: orb.Point{172.42, 51.3}, Max: orb.Point{180, 54.34}},
	}
	return []geographic{
		{4258, "ETRS89", 1, nil}, {4619, "SWEREF99", 1, nil}, {4171, "RGF93", 1, nil}, {4765, "Slovenia 1996", 1, nil}, {4081, "REGCAN95", 1, nil}, {5252, "TUREF", 1, nil},
		{4269, "NAD83", 4, nad83}, {4759, "NAD83(NSRS2007)", 2, nil}, {6318, "NAD83(2011)", 2, nil}, {4483, "Mexico ITRF92", 1, nil}, {4674, "SIRGAS 2000", 1, nil}, {4686, "MAGNA-SIRGAS", 1, nil}, {4694, "POSGAR 94", 1, nil}, {4190, "POSGAR 98", 1, nil},
		{5381, "SIRGAS-ROU98", 1, nil}, {4189, "REGVEN", 1, nil}, {6706, "RDN2008", 1, nil}, {4023, "MOLDREF99", 1, nil}, {4148, "Hartebeesthoek94", 1, nil}, {4283, "GDA94", 3, nil}, {7844, "GDA2020", 3, nil},
		{4167, "NZGD2000", 1, nil}, {6668, "JGD2011", 1, nil}, {4612, "JGD2000", 1, nil}, {4737, "Korea 2000", 1, nil}, {3824, "TWD97", 1, nil},
	}
}

// systemOf finds a reference system among those that are read.
func systemOf(code int) (*system, bool) {
	switch code {
	case wgs84, wgs84Geodetic:
		return &system{code: wgs84}, true
	case webMercator:
		const radius = "6378137"
		s := &system{code: code, origin: true, project: projection("+proj=merc +a=" + radius + " +b=" + radius + " +lon_0=0 +k=1 +x_0=0 +y_0=0")}
		edge := s.forward(180, 85.06) // of its area of use
		s.east, s.north = [2]float64{-edge[0], edge[0]}, [2]float64{-edge[1], edge[1]}
		return s, true
	}
	for _, g := range geographics() {
		if g.code == code {
			return &system{code: code, datumM: g.datumM, elsewhere: g.elsewhere}, true
		}
	}
	for _, g := range families() {
		if g.first <= code && code <= g.last {
			return g.system(code), true
		}
	}
	return nil, false
}

func (g *family) system(code int) *system {
	zone := float64(code - g.first)
	meridian, easting := g.meridian+zone*g.meridianStep, g.easting+zone*g.eastingStep
	s := &system{code: code, datumM: g.datumM, origin: g.easting == 0, project: projection(fmt.Sprintf(
		"+proj=etmerc +ellps=%s +lon_0=%v +lat_0=%v +k=%v +x_0=%.0f +y_0=%.0f", g.ellipsoid, meridian, g.latitude, g.scale, easting, g.northing))}
	s.use = g.useArea(meridian, easting)
	s.east = [2]float64{easting - reachM, easting + reachM}
	pole := func(latitude float64) float64 { return s.forward(meridian, latitude)[1] }
	s.north = [2]float64{pole(-90), pole(90)}
	return s
}

// projection makes a projection from a definition of the lists, which the library knows.
func projection(definition string) core.IConvertLPToXY {
	words, err := support.NewProjString(definition)
	if err == nil {
		var made core.IOperation
		if _, made, err = core.NewSystem(words); err == nil {
			return made.(core.IConvertLPToXY)
		}
	}
	panic("read: " + definition + ": " + err.Error())
}

// forward projects a position of the lists' own.
func (s *system) forward(lon, lat float64) [2]float64 {
	at, err := s.project.Forward(&core.CoordLP{Lam: lon * math.Pi / 180, Phi: lat * math.Pi / 180})
	if err != nil {
		panic(fmt.Sprintf("read: %v at %v, %v: %v", s, lon, lat, err))
	}
	return [2]float64{at.X, at.Y}
}

func (s *system) String() string { return "EPSG:" + strconv.Itoa(s.code) }

// limits words what positions are believed.
func (s *system) limits() string {
	return fmt.Sprintf("easting %.0f to %.0f and northing %.0f to %.0f", s.east[0], s.east[1], s.north[0], s.north[1])
}
