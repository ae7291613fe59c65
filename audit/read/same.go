package read

import (
	"crypto/sha256"
	"encoding/binary"
	"math"

	"dryarc/audit"
)

// noteSame notes of each file of zones or crossings the first other of its section that holds the same features, in whatever order, format and
// packing: the same figures at the same positions. Names of zones do not count.
func noteSame(p *audit.Project) {
	noteSameOf(p, "zones", len(p.Zones), func(i int, f *featureBytes) audit.Source {
		z := &p.Zones[i]
		f.add(float64(z.Class), z.SpecificCreepage, float64(z.Unknown), truth(z.Broken), truth(z.Anywhere))
		for _, polygon := range z.Polygons {
			f.add(float64(len(polygon.Ends)))
			f.add(polygon.Flat...)
		}
		return z.Source
	})
	noteSameOf(p, "crossings", len(p.Crossings), func(i int, f *featureBytes) audit.Source {
		c := &p.Crossings[i]
		f.add(float64(c.Kind), truth(c.Broken), truth(c.Anywhere))
		for _, line := range c.Lines {
			f.add(float64(len(line)))
			for k := range line {
				f.add(line[k][:]...)
			}
		}
		for _, polygon := range c.Polygons {
			f.add(float64(len(polygon.Ends)))
			f.add(polygon.Flat...)
		}
		return c.Source
	})
}

// noteSameOf does so for the features of a section, each of which is put into bytes and tells where it stood.
func noteSameOf(p *audit.Project, section string, count int, put func(i int, f *featureBytes) audit.Source) {
	files := 0
	for i := range p.Inputs {
		if p.Inputs[i].Section == section {
			files++
		}
	}
	if files < 2 {
		return
	}
	sums := map[string]featureSum{} // by file
	var feature featureBytes
	for i := range count {
		feature = feature[:0]
		file := p.Tables[put(i, &feature).Table].File
		sum := sums[file]
		sum.add(feature)
		sums[file] = sum
	}
	first := map[featureSum]*audit.Input{}
	for i := range p.Inputs {
		input := &p.Inputs[i]
		sum, there := sums[input.File]
		if !there || input.Section != section {
			continue
		}
		other := first[sum]
		if other == nil {
			first[sum] = input
			continue
		}
		input.SameAs = other.File
		if other.SameAs == "" {
			other.SameAs = input.File
		}
	}
}

// featureSum is the sum of the hashes of some features, whatever their order, and their number.
type featureSum struct {
	sum   [sha256.Size / 8]uint64
	count int
}

func (s *featureSum) add(feature featureBytes) {
	hash := sha256.Sum256(feature)
	for i := range s.sum {
		s.sum[i] += binary.LittleEndian.Uint64(hash[8*i:])
	}
	s.count++
}

// featureBytes is what makes a feature.
type featureBytes []byte

func (f *featureBytes) add(numbers ...float64) {
	for _, number := range numbers {
		*f = binary.LittleEndian.AppendUint64(*f, math.Float64bits(number))
	}
}

func truth(is bool) float64 {
	if is {
		return 1
	}
	return 0
}
