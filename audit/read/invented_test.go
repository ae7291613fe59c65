package read

import (
	"archive/zip"
	"bufio"
	"context"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// invented is a network for benchmarks: lines of about 300 structures that wander over a country of 10° by 10°, zones,
// and a register of three rows a structure with 20 columns. It is seeded, so that it is always the same.
type invented struct {
	structures int
	random     *rand.Rand
}

func newInvented(structures int) *invented {
	return &invented{structures: structures, random: rand.New(rand.NewPCG(7, 11))}
}

// inventedHeadings are the columns of the register; the last is one that the audit does not know.
var inventedHeadings = []string{"Line", "Structure", "Circuit", "Phase", "Side", "Duty", "Arrangement", "Unit", "Units per string", "Strings", "Defective units",
	"Installed", "Inspected", "Remarks", "Creepage (mm)", "Rating (kN)", "Length (mm)", "Arcing (mm)", "Lightning withstand (kV)", "Photo"}

// write puts the project with a register of some format into a folder and returns the path of its project file.
func (n *invented) write(tb testing.TB, register string) string {
	tb.Helper()
	folder := tb.TempDir()
	n.text(tb, filepath.Join(folder, "structures.geojson"), n.writeStructures)
	n.text(tb, filepath.Join(folder, "zones.geojson"), n.writeZones)
	rows := func(each func([]string)) { n.registerRows(each) }
	switch filepath.Ext(register) {
	case ".csv":
		n.text(tb, filepath.Join(folder, register), func(w *bufio.Writer) {
			rows(func(row []string) { fmt.Fprintln(w, strings.Join(row, ",")) })
		})
	default:
		writeFastWorkbook(tb, filepath.Join(folder, register), rows)
	}
	project := "structures: {file: structures.geojson}\nzones: {file: zones.geojson}\nregister: {file: " + register + "}\n"
	path := filepath.Join(folder, "audit.yaml")
	require.NoError(tb, os.WriteFile(path, []byte(project), 0o600))
	return path
}

func (n *invented) text(tb testing.TB, path string, write func(*bufio.Writer)) {
	file, err := os.Create(path)
	require.NoError(tb, err)
	w := bufio.NewWriter(file)
	write(w)
	require.NoError(tb, w.Flush())
	require.NoError(tb, file.Close())
}

// line and number name a structure.
func (n *invented) line(i int) string   { return fmt.Sprintf("L-%04d", i/300) }
func (n *invented) number(i int) string { return strconv.Itoa(i%300 + 1) }

func (n *invented) writeStructures(w *bufio.Writer) {
	fmt.Fprintln(w, `{"type":"FeatureCollection","name":"structures","features":[`)
	var lon, lat, azimuth float64
	for i := range n.structures {
		if i%300 == 0 {
			lon, lat, azimuth = n.random.Float64()*10, 40+n.random.Float64()*10, n.random.Float64()*2*math.Pi
		}
		azimuth += (n.random.Float64() - 0.5) * 0.05
		lon += 0.004 * math.Sin(azimuth)
		lat += 0.003 * math.Cos(azimuth)
		end := ","
		if i == n.structures-1 {
			end = ""
		}
		fmt.Fprintf(w, `{"type":"Feature","properties":{"line":%q,"structure":%q,"sequence":%d,"ground_m":%.1f,"attachment_m":18.5,"owner":"north","duty":null},"geometry":{"type":"Point","coordinates":[%.7f,%.7f]}}%s`+"\n",
			n.line(i), n.number(i), i%300, n.random.Float64()*200, lon, lat, end)
	}
	fmt.Fprintln(w, "]}")
}

func (n *invented) writeZones(w *bufio.Writer) {
	const zones, corners = 200, 400
	for i := range zones {
		lon, lat := n.random.Float64()*10, 40+n.random.Float64()*10
		fmt.Fprintf(w, `{"type":"Feature","properties":{"class":%q,"label":"zone %d"},"geometry":{"type":"Polygon","coordinates":[[`, string(rune('a'+i%5)), i)
		for k := range corners + 1 {
			angle := 2 * math.Pi * float64(k%corners) / corners
			radius := 0.2 + 0.02*math.Sin(9*angle)
			fmt.Fprintf(w, "[%.7f,%.7f]", lon+radius*math.Cos(angle), lat+radius*math.Sin(angle))
			if k < corners {
				w.WriteByte(',')
			}
		}
		fmt.Fprintln(w, "]]}}")
	}
}

func (n *invented) registerRows(each func([]string)) {
	each(inventedHeadings)
	row := make([]string, len(inventedHeadings))
	for i := range n.structures {
		for f, phase := range [...]string{"A", "B", "C"} {
			side, duty := "", "suspension"
			if i%300 == 0 {
				side, duty = "ahead", "tension"
			}
			defective, remark := "0", ""
			if (i+f)%97 == 0 {
				defective, remark = "1", fmt.Sprintf("chipped shed on unit %d", i%9+1)
			}
			copy(row, []string{n.line(i), n.number(i), "1", phase, side, duty, "single", "U120B", "10", "1", defective, strconv.Itoa(35000 + i%9000),
				strconv.Itoa(44000 + i%900), remark, "3200", "120", "1460", "1500", "650", fmt.Sprintf("P%07d.jpg", 3*i+f)})
			each(row)
		}
	}
}

// writeFastWorkbook writes a workbook as spreadsheet programs do, with shared texts, but in a fraction of their time.
// What looks like a number is stored as one.
func writeFastWorkbook(tb testing.TB, path string, rows func(func([]string))) {
	file, err := os.Create(path)
	require.NoError(tb, err)
	archive := zip.NewWriter(file)
	part := func(name, text string) {
		w, err := archive.Create(name)
		require.NoError(tb, err)
		_, err = io.WriteString(w, text)
		require.NoError(tb, err)
	}
	const head = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>`
	const main = `http://schemas.openxmlformats.org/spreadsheetml/2006/main`
	const office = `http://schemas.openxmlformats.org/officeDocument/2006/relationships`
	const pack = `http://schemas.openxmlformats.org/package/2006/`
	part("[Content_Types].xml", head+`<Types xmlns="`+pack+`content-types"><Default Extension="xml" ContentType="application/xml"/>`+
		`<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>`+
		`<Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>`+
		`<Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>`+
		`<Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/></Types>`)
	part("_rels/.rels", head+`<Relationships xmlns="`+pack+`relationships"><Relationship Id="rId1" Type="`+office+`/officeDocument" Target="xl/workbook.xml"/></Relationships>`)
	part("xl/workbook.xml", head+`<workbook xmlns="`+main+`" xmlns:r="`+office+`"><sheets><sheet name="Assemblies" sheetId="1" r:id="rId1"/></sheets></workbook>`)
	part("xl/_rels/workbook.xml.rels", head+`<Relationships xmlns="`+pack+`relationships"><Relationship Id="rId1" Type="`+office+`/worksheet" Target="worksheets/sheet1.xml"/>`+
		`<Relationship Id="rId2" Type="`+office+`/sharedStrings" Target="sharedStrings.xml"/></Relationships>`)
	w, err := archive.Create("xl/worksheets/sheet1.xml")
	require.NoError(tb, err)
	out := bufio.NewWriter(w)
	fmt.Fprint(out, head, `<worksheet xmlns="`, main, `"><sheetData>`)
	shared, order, number := map[string]int{}, []string{}, 0
	rows(func(row []string) {
		number++
		fmt.Fprintf(out, `<row r="%d">`, number)
		for i, cell := range row {
			if cell == "" {
				continue
			}
			place := string(rune('A'+i)) + strconv.Itoa(number)
			if _, isNumber := parseNumber(cell); isNumber {
				fmt.Fprintf(out, `<c r="%s"><v>%s</v></c>`, place, cell)
				continue
			}
			k, known := shared[cell]
			if !known {
				k = len(order)
				shared[cell], order = k, append(order, cell)
			}
			fmt.Fprintf(out, `<c r="%s" t="s"><v>%d</v></c>`, place, k)
		}
		fmt.Fprint(out, `</row>`)
	})
	fmt.Fprint(out, `</sheetData></worksheet>`)
	require.NoError(tb, out.Flush())
	w, err = archive.Create("xl/sharedStrings.xml")
	require.NoError(tb, err)
	out = bufio.NewWriter(w)
	fmt.Fprintf(out, `%s<sst xmlns="%s" uniqueCount="%d">`, head, main, len(order))
	for _, text := range order {
		fmt.Fprint(out, "<si><t>")
		require.NoError(tb, xml.EscapeText(out, []byte(text)))
		fmt.Fprint(out, "</t></si>")
	}
	fmt.Fprint(out, "</sst>")
	require.NoError(tb, out.Flush())
	require.NoError(tb, archive.Close())
	require.NoError(tb, file.Close())
}

// TestInvented holds the network for benchmarks to be one in which nothing is wrong.
func TestInvented(t *testing.T) {
	p, err := Project(context.Background(), newInvented(700).write(t, "register.xlsx"))
	require.NoError(t, err)
	require.Empty(t, faultsOf(p))
	require.Len(t, p.Structures, 700)
	require.Equal(t, 2100, p.RowsRead)
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.Equal(t, 2100, n.RowsPlaced)
	require.Len(t, n.Lines, 3)
	require.Len(t, p.Zones, 200)
}
