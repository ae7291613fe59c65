package main

import (
	"bufio"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// perLine is how many structures a line has; rowsEach how many rows of the register a structure has.
const perLine, rowsEach = 300, 3

// write puts a project into the folder of the options.
func write(o options) error {
	if err := os.MkdirAll(o.Dir, 0o777); err != nil {
		return err
	}
	n := &network{structures: o.Structures, random: rand.New(rand.NewPCG(7, 11))}
	if err := inFile(filepath.Join(o.Dir, "structures.geojson"), n.writeStructures); err != nil {
		return err
	}
	if err := inFile(filepath.Join(o.Dir, "zones.geojson"), n.writeZones); err != nil {
		return err
	}
	files, err := n.writeRegister(o)
	if err != nil {
		return err
	}
	return inFile(filepath.Join(o.Dir, "audit.yaml"), func(w *bufio.Writer) {
		fmt.Fprintf(w, projectFile, strings.Join(files, ", "))
	})
}

const projectFile = `title: Invented lines
structures: {file: structures.geojson}
zones: {file: zones.geojson}
register: {file: [%s]}
criteria:
  default_class: b
  insulator_factor: {basis: NESC 277, tension: 2.0, suspension: 2.0}
  load_cases:
    - {name: high wind, wind_Pa: 400, tension: maximum}
`

func inFile(path string, write func(w *bufio.Writer)) error {
	file, err := os.Create(path)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(file) // keeps its first error, which Flush returns
	write(w)
	if err := w.Flush(); err != nil {
		_ = file.Close() // the first error tells more
		return err
	}
	return file.Close()
}

// network is lines that wander over a country of 10° by 10°.
type network struct {
	structures int
	random     *rand.Rand
}

func lineOf(structure int) string   { return fmt.Sprintf("L-%04d", structure/perLine) }
func numberOf(structure int) string { return strconv.Itoa(structure%perLine + 1) }

func (n *network) writeStructures(w *bufio.Writer) {
	fmt.Fprintln(w, `{"type":"FeatureCollection","features":[`)
	var lon, lat, azimuth float64
	for i := range n.structures {
		if i%perLine == 0 {
			lon, lat, azimuth = n.random.Float64()*10, 40+n.random.Float64()*10, n.random.Float64()*2*math.Pi
		}
		azimuth += (n.random.Float64() - 0.5) * 0.05
		lon += 0.004 * math.Sin(azimuth)
		lat += 0.003 * math.Cos(azimuth)
		comma := ","
		if i == n.structures-1 {
			comma = ""
		}
		fmt.Fprintf(w, `{"type":"Feature","properties":{"line":%q,"structure":%q,"sequence":%d,"ground_m":%.1f,"owner":"north","duty":null},"geometry":{"type":"Point","coordinates":[%.7f,%.7f]}}%s`+"\n",
			lineOf(i), numberOf(i), i%perLine, 200+20*n.random.Float64(), lon, lat, comma)
	}
	fmt.Fprintln(w, "]}")
}

// writeZones writes 2000 zones of 500 vertices, about 20 km across.
func (n *network) writeZones(w *bufio.Writer) {
	const zones, corners = 2000, 500
	fmt.Fprintln(w, `{"type":"FeatureCollection","features":[`)
	for i := range zones {
		lon, lat := n.random.Float64()*10, 40+n.random.Float64()*10
		fmt.Fprintf(w, `{"type":"Feature","properties":{"class":%q,"label":"zone %d"},"geometry":{"type":"Polygon","coordinates":[[`, string(rune('b'+i%2)), i)
		for k := range corners + 1 {
			angle := 2 * math.Pi * float64(k%corners) / corners
			radius := 0.1 + 0.01*math.Sin(9*angle) + 0.002*math.Sin(173*angle)
			fmt.Fprintf(w, "[%.7f,%.7f]", lon+radius*math.Cos(angle), lat+radius*math.Sin(angle))
			if k < corners {
				w.WriteByte(',')
			}
		}
		end := "]]}},"
		if i == zones-1 {
			end = "]]}}"
		}
		fmt.Fprintln(w, end)
	}
	fmt.Fprintln(w, "]}")
}
