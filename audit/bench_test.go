package audit

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"dryarc/audit/basis"
	"dryarc/geo"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// invented is a network for benchmarks: lines of 300 structures that wander over a country of 10° by 10°, three
// assemblies a structure, 2000 zones of 500 vertices, 1000 rivers, ground levels and conductors. Seeded.
func invented(tb testing.TB, structures int) *Project {
	const perLine = 300
	random := rand.New(rand.NewPCG(1, 2))
	p := &Project{Criteria: DefaultCriteria(), RegisterGiven: true, Makeups: []Makeup{{}, {Text: "disc", Parts: []Part{{Unit: 0}}}},
		Conductors: basis.Conductors(), CrossingsGiven: true}
	p.AddTable(Table{File: "structures.geojson"})
	p.AddTable(Table{File: "register.xlsx", Sheet: "Assemblies"})
	disc := basis.UnknownUnit()
	disc.Name, disc.Kind, disc.CreepageMM = "disc", basis.CapAndPin, 295
	p.Units = []basis.Unit{disc}
	p.Structures.Grow(structures)
	numbers := make([]TextAt, perLine)
	for i := range numbers {
		var err error
		numbers[i], err = p.Texts.Add(fmt.Sprint(i + 1))
		require.NoError(tb, err)
	}
	phase := [...]Symbol{p.Symbols.Number("A"), p.Symbols.Number("B"), p.Symbols.Number("C")}
	circuit, wolf := p.Symbols.Number("1"), p.Symbols.Number("Wolf")
	var lon, lat, azimuth float64
	for i := range structures {
		k := i % perLine
		line := p.Symbols.Number(fmt.Sprintf("line %d", i/perLine))
		if k == 0 {
			lon, lat, azimuth = random.Float64()*10, 40+random.Float64()*10, random.Float64()*2*math.Pi
			row := UnknownLineRow()
			row.Line, row.NominalKV, row.Conductor, row.ColdTensionKN = line, 132, wolf, 24
			p.Lines = append(p.Lines, row)
		}
		azimuth += (random.Float64() - 0.5) * 0.05
		lon += 0.004 * math.Sin(azimuth)
		lat += 0.003 * math.Cos(azimuth)
		p.Structures.Append(StructureRow{Lon: lon, Lat: lat, Sequence: float64(k), GroundM: random.Float64() * 20,
			AttachmentM: math.NaN(), DeviationLimitDeg: math.NaN(), Line: line, Number: numbers[k], Source: Source{0, uint32(i + 1)}})
		for f, name := range phase {
			p.Assemblies.Append(AssemblyRow{
				RowOwn:  RowOwn{Line: line, Number: numbers[k], Source: Source{1, uint32(3*i + f + 2)}},
				RowSaid: RowSaid{Circuit: circuit, Phase: name, Phases: 1 << f, Makeup: 1, UnitsPerString: 9, Strings: 1, Duty: Suspension},
			})

		}
	}
	p.RowsRead = p.Assemblies.Len()
	for range 2000 {
		p.Zones = append(p.Zones, Zone{Polygons: []geo.Polygon{blob(random, 500)}, Class: basis.ClassB + basis.Class(random.IntN(4))})
	}
	river := p.Symbols.Number("river")
	for range 1000 {
		x, y := random.Float64()*10, 40+random.Float64()*10
		p.Crossings = append(p.Crossings, Crossing{Kind: river, Lines: [][]orb.Point{{{x, y}, {x + 0.1, y + 0.1}, {x + 0.3, y}}}})
	}
	return p
}

// blob is a star-shaped polygon about 20 km across.
func blob(random *rand.Rand, vertices int) geo.Polygon {
	x, y := random.Float64()*10, 40+random.Float64()*10
	var flat []float64
	for i := range vertices {
		a, r := 2*math.Pi*float64(i)/float64(vertices), 0.1+0.02*random.Float64()
		flat = append(flat, x+r*math.Cos(a), y+r*math.Sin(a))
	}
	flat = append(flat, flat[0], flat[1])
	return geo.Polygon{Flat: flat, Ends: []int{len(flat)}}
}

// BenchmarkDerive reports the time to derive a network of a million structures with 2000 zones of 500 vertices.
func BenchmarkDerive(b *testing.B) {
	const structures = 1_000_000
	p := invented(b, structures)
	b.ReportAllocs()
	for b.Loop() {
		b.StopTimer()
		n, err := Arrange(p)
		require.NoError(b, err)
		p.Faults = Faults{}
		b.StartTimer()
		require.NoError(b, Derive(context.Background(), n, 1))
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/structures, "ns/structure")
}

// BenchmarkHeld reports the bytes that a network holds per structure and per assembly.
func BenchmarkHeld(b *testing.B) {
	const structures = 100_000
	held := func(assemblies bool) float64 {
		runtime.GC()
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		p := invented(b, structures)
		p.Zones, p.Crossings = nil, nil
		if !assemblies {
			p.Assemblies = AssemblyRows{}
		}
		n, err := Arrange(p)
		require.NoError(b, err)
		require.NoError(b, Derive(context.Background(), n, 2))
		p.Faults = Faults{}
		runtime.GC()
		runtime.ReadMemStats(&after)
		runtime.KeepAlive(n)
		return float64(after.HeapAlloc) - float64(before.HeapAlloc)
	}
	var bare, full float64
	for b.Loop() {
		bare, full = held(false), held(true)
	}
	b.ReportMetric(bare/structures, "B/structure")
	b.ReportMetric((full-bare)/(3*structures), "B/assembly")
}
