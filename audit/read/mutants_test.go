package read

import (
	"bytes"
	"compress/gzip"
	"context"
	"database/sql"
	"encoding/binary"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"
	"github.com/xuri/excelize/v2"
)

// demoFolder holds the demo project, whose inputs are sound.
const demoFolder = "../../testdata/demo"

// A mutant takes no longer than longestMutant to read, and allocates no more than mostOfMutant MiB, all in all.
const (
	longestMutant = 60 * time.Second
	mostOfMutant  = 400
)

// mutated is a project of sound inputs, one of whose files is changed for each mutant.
type mutated struct {
	name, project, file string
	content             []byte
}

// TestMutants changes the inputs of the demo project in 360 small ways drawn from a seed, forty for each file, each reader's own format among
// them, and reads and arranges each. It is refused with the file's name and a hint, or every row and feature is accounted for.
// DRYARC_HARD=1 takes a hundred thousand, as far as they fit 45 minutes; DRYARC_MUTANT names the one to begin with.
func TestMutants(t *testing.T) {
	count, until := 360, time.Now().Add(10*time.Minute)
	if raceDetector { // which makes each ten times as long, and looks for something else
		count = 150
	}
	if os.Getenv("DRYARC_HARD") != "" {
		count, until = 100_000, time.Now().Add(45*time.Minute)
	}
	first, _ := strconv.Atoi(os.Getenv("DRYARC_MUTANT"))
	folder := t.TempDir()
	projects := soundProjects(t, folder)
	for _, p := range projects {
		accepted, err := p.read(folder, p.content)
		require.NoError(t, err, p.name)
		require.True(t, accepted, p.name)
	}
	acceptedOf, refusedOf := map[string]int{}, map[string]int{}
	seed := first
	for ; seed < first+count && time.Now().Before(until); seed++ {
		p := projects[seed%len(projects)]
		random := rand.New(rand.NewPCG(uint64(seed), 17))
		content := p.content
		for range 1 + random.IntN(3) {
			content = p.change(random, content)
		}
		accepted, err := p.read(folder, content)
		if err != nil {
			kept := filepath.Join(os.TempDir(), fmt.Sprintf("mutant %d of %s", seed, filepath.Base(p.file)))
			require.NoError(t, os.WriteFile(kept, content, 0o600))
			t.Fatalf("mutant %d of %s, kept as %s: %v", seed, p.name, kept, err)
		}
		if accepted {
			acceptedOf[p.name]++
		} else {
			refusedOf[p.name]++
		}
	}
	accepted, refused := 0, 0
	for _, p := range projects {
		t.Logf("%s: %d accepted, %d refused", p.name, acceptedOf[p.name], refusedOf[p.name])
		accepted, refused = accepted+acceptedOf[p.name], refused+refusedOf[p.name]
		require.NotZero(t, refusedOf[p.name], p.name)
		require.NotZero(t, acceptedOf[p.name], p.name)
	}
	t.Logf("mutants: %d; accepted: %d; refused: %d", seed-first, accepted, refused)
}

// soundProjects writes the demo project, and copies of it whose inputs have other formats, and lists them by the file to
// change.
func soundProjects(t *testing.T, folder string) []mutated {
	t.Helper()
	for _, name := range []string{"structures.geojson", "zones.geojson", "crossings.geojson", "places.geojson", "inspections.csv", "assemblies.xlsx"} {
		content, err := os.ReadFile(filepath.Join(demoFolder, name))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), content, 0o600))
	}
	text, err := os.ReadFile(filepath.Join(demoFolder, "audit.yaml"))
	require.NoError(t, err)
	project := string(text)
	book, err := excelize.OpenFile(filepath.Join(folder, "assemblies.xlsx"))
	require.NoError(t, err)
	var texts []string
	for _, sheet := range book.GetSheetList() {
		if !slices.Contains(sheetNames[:], sheet) {
			continue
		}
		rows, err := book.GetRows(sheet, excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		var out bytes.Buffer
		w := csv.NewWriter(&out)
		require.NoError(t, w.WriteAll(rows))
		name := strings.ToLower(sheet) + ".csv"
		texts = append(texts, name)
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), out.Bytes(), 0o600))
		if sheet == assembliesSheet {
			var packed bytes.Buffer
			z := gzip.NewWriter(&packed)
			_, err := z.Write(out.Bytes())
			require.NoError(t, errors.Join(err, z.Close()))
			require.NoError(t, os.WriteFile(filepath.Join(folder, name+".gz"), packed.Bytes(), 0o600))
		}
	}
	require.NoError(t, book.Close())
	require.Contains(t, texts, "assemblies.csv")
	writeStructuresPackage(t, folder)
	replaced := func(old, new string) string {
		require.Contains(t, project, old)
		return strings.Replace(project, old, new, 1)
	}
	list := "[" + strings.Join(texts, ", ") + "]"
	projects := []mutated{
		{name: "workbook", project: project, file: "assemblies.xlsx"},
		{name: "text", project: replaced("assemblies.xlsx", list), file: "assemblies.csv"},
		{name: "text of lines", project: replaced("assemblies.xlsx", list), file: "lines.csv"},
		{name: "compressed text", project: replaced("assemblies.xlsx", strings.Replace(list, "assemblies.csv", "assemblies.csv.gz", 1)), file: "assemblies.csv.gz"},
		{name: "structures", project: project, file: "structures.geojson"},
		{name: "zones", project: project, file: "zones.geojson"},
		{name: "crossings", project: project, file: "crossings.geojson"},
		{name: "GeoPackage", project: replaced("structures.geojson", "structures.gpkg"), file: "structures.gpkg"},
		{name: "project file", project: project, file: "audit.yaml"},
	}
	for i := range projects {
		p := &projects[i]
		if p.content = []byte(project); p.file != "audit.yaml" {
			p.content, err = os.ReadFile(filepath.Join(folder, p.file))
			require.NoError(t, err)
		}
	}
	return projects
}

// writeStructuresPackage writes the structures of the demo project as a GeoPackage.
func writeStructuresPackage(t *testing.T, folder string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, "structures.geojson"))
	require.NoError(t, err)
	var layer struct {
		Features []struct {
			Properties map[string]any
			Geometry   struct{ Coordinates []float64 }
		}
	}
	require.NoError(t, json.Unmarshal(text, &layer))
	db, err := sql.Open("sqlite", filepath.Join(folder, "structures.gpkg"))
	require.NoError(t, err)
	defer func() { require.NoError(t, db.Close()) }()
	do := func(query string, values ...any) {
		_, err := db.Exec(query, values...)
		require.NoError(t, err)
	}
	do(`PRAGMA journal_mode = OFF`)
	do(`CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT, srs_id INTEGER PRIMARY KEY, organization TEXT, organization_coordsys_id INTEGER, definition TEXT)`)
	do(`INSERT INTO gpkg_spatial_ref_sys VALUES ('WGS 84', 4326, 'EPSG', 4326, 'undefined')`)
	do(`CREATE TABLE gpkg_contents (table_name TEXT PRIMARY KEY, data_type TEXT, srs_id INTEGER)`)
	do(`INSERT INTO gpkg_contents VALUES ('towers', 'features', 4326)`)
	do(`CREATE TABLE gpkg_geometry_columns (table_name TEXT, column_name TEXT, geometry_type_name TEXT, srs_id INTEGER, z INTEGER, m INTEGER)`)
	do(`INSERT INTO gpkg_geometry_columns VALUES ('towers', 'geom', 'POINT', 4326, 2, 0)`)
	do(`CREATE TABLE towers (fid INTEGER PRIMARY KEY, geom BLOB, line TEXT, structure TEXT, sequence REAL, ground_m REAL, attachment_m REAL)`)
	for _, f := range layer.Features {
		body, err := wkb.Marshal(geom.NewPointFlat(geom.XY, f.Geometry.Coordinates[:2]), binary.LittleEndian)
		require.NoError(t, err)
		do(`INSERT INTO towers (geom, line, structure, sequence, ground_m, attachment_m) VALUES (?, ?, ?, ?, ?, ?)`,
			append([]byte{'G', 'P', 0, 1, 0xe6, 0x10, 0, 0}, body...), f.Properties["line"], fmt.Sprint(f.Properties["structure"]), f.Properties["sequence"], f.Properties["ground_m"], f.Properties["attachment_m"])
	}
}

// read reads a mutant and tells whether it is accepted. The error is what must not be.
func (p *mutated) read(folder string, content []byte) (accepted bool, err error) {
	project := []byte(p.project)
	if p.file == "audit.yaml" {
		project = content
	} else if err := os.WriteFile(filepath.Join(folder, p.file), content, 0o600); err != nil {
		return false, err
	}
	if err := os.WriteFile(filepath.Join(folder, "audit.yaml"), project, 0o600); err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, os.WriteFile(filepath.Join(folder, p.file), p.content, 0o600)) }()
	type outcome struct {
		accepted bool
		err      error
	}
	ended := make(chan outcome, 1)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	go func() {
		var o outcome
		o.accepted, o.err = readAndArrange(filepath.Join(folder, "audit.yaml"))
		ended <- o
	}()
	select {
	case o := <-ended:
		runtime.ReadMemStats(&after)
		if mib := (after.TotalAlloc - before.TotalAlloc) >> 20; mib > mostOfMutant && o.err == nil {
			o.err = fmt.Errorf("%d MiB were allocated", mib)
		}
		return o.accepted, o.err
	case <-time.After(longestMutant):
		return false, fmt.Errorf("it takes longer than %s", longestMutant)
	}
}

// readAndArrange reads and arranges a project and looks for what must not be, whatever is in its files.
func readAndArrange(path string) (accepted bool, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("panic: %v", p)
		}
	}()
	p, understood, err := Understood(context.Background(), path)
	if err != nil {
		var input *InputError
		var project *ProjectFileError
		switch {
		case errors.As(err, &input) && input.File != "" && input.Hint != "" && input.Message != "":
			return false, nil
		case errors.As(err, &project) && project.File != "" && project.Hint != "" && project.Message != "":
			return false, nil
		}
		return false, fmt.Errorf("an error without a file or a hint: %w", err)
	}
	n, err := audit.Arrange(p)
	if err != nil {
		return false, fmt.Errorf("arranging: %w", err)
	}
	return true, balanced(p, n, understood)
}

// balanced tells what is not accounted for.
func balanced(p *audit.Project, n *audit.Network, understood []Understanding) error {
	faults := make([]int, len(p.Tables))
	for _, fault := range p.Faults.List() {
		faults[fault.At.Table]++
		if fault.Where(p.Tables)+fault.Message() == "" {
			return fmt.Errorf("a fault says nothing")
		}
	}
	assemblies, balances := 0, n.Balances()
	for _, u := range understood {
		b := balances[u.Number]
		switch {
		case b.Read != u.Rows || b.Read != b.Used+b.LeftOut:
			return fmt.Errorf("%s: %+v of %d rows", u.Table, b, u.Rows)
		case b.LeftOut > 0 && faults[u.Number] == 0:
			return fmt.Errorf("%s: %+v, and no fault tells of it", u.Table, b)
		}
		if _, is := numberOfSheet(u.Table.Sheet, assembliesSheet); is || u.Table.Sheet == "" && strings.HasPrefix(u.Table.File, "assemblies.") {
			assemblies += b.Read
		}
	}
	placed := 0
	for i := range n.Lines {
		placed += n.Lines[i].RowsPlaced
	}
	switch {
	case p.RowsRead != n.RowsPlaced+n.RowsLeftOut || p.RowsRead != assemblies:
		return fmt.Errorf("%d rows of assemblies read, %d of their tables, %d placed, %d left out", p.RowsRead, assemblies, n.RowsPlaced, n.RowsLeftOut)
	case placed != n.RowsPlaced:
		return fmt.Errorf("%d rows are placed, %d on lines", n.RowsPlaced, placed)
	}
	return nil
}
