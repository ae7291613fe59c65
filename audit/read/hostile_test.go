package read

import (
	"bytes"
	"compress/gzip"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// hostileCase is a project with one file that means harm, the error that it has to give, and how many MiB may be allocated
// until then, all in all.
type hostileCase struct {
	file    string
	content []byte
	want    string // empty where it is read
	faults  []string
	mostMiB uint64
}

func TestHostileText(t *testing.T) {
	const head = "Line,Structure,Duty,Unit,Units per string\n"
	const tableAdvice = "\nhint see that it is the file meant, a table with one row for each assembly"
	const quoteAdvice = "\nhint put quotes around a cell that holds one, and double those within it"
	many := func(text string, count int) string { return strings.Repeat(text, count) }
	var names []string
	for i := range 30 {
		names = append(names, fmt.Sprintf("c%d", i))
	}
	checkHostile(t, map[string]hostileCase{
		"columns": {"a.csv", []byte("Line,Structure,Duty" + many(",x", 1_000_000) + "\n"),
			"a.csv: line 1 has more than 16384 cells, expected no more than a sheet has columns" + tableAdvice, nil, 10},
		"headings": {"a.csv", []byte(strings.Join(names, ",") + "\n1\n"),
			`a.csv: has no column "Line", "Structure", "Duty", "Unit", "Units per string"; the headings there are "c0", "c1", "c2", "c3", "c4", "c5", "c6", "c7", "c8", "c9", ` +
				`"c10", "c11", "c12", "c13", "c14", "c15", "c16", "c17", "c18", "c19", "c20", "c21", "c22", "c23" and 6 more` +
				"\nhint headings that differ are mapped under register in the project file: columns: {Assemblies: {Line: …}}", nil, 10},
		"open quote": {"a.csv", []byte(head + "\nL1,1,\"" + many("x", 20<<20)),
			"a.csv: line 3 opens a quote in cell 3 that is not closed within 1 MiB" + quoteAdvice, nil, 12},
		"long cell": {"a.csv", []byte(head + "L1,1," + many("x", 20<<20)),
			"a.csv: line 2 holds more than 1 MiB in cell 3" + tableAdvice, nil, 12},
		"long row": {"a.csv", []byte(head + many(many("x", 1<<20)+",", 20)),
			"a.csv: line 2 holds more than 16 MiB" + tableAdvice, nil, 120},
		"blank lines": {"a.csv", []byte(head + many("\n", 5_000_000) + many("\r\n", 5_000_000) + "L1,1,suspension,U120B,9\n"), "", nil, 10},
		"long names": {"a.csv", []byte(head + "L1,1," + many("suspension", 200) + ",U120B,9\n"), "",
			[]string{`out-of-range a.csv row 2: duty "` + many("suspension", 6)[:59] + `…" is out of range, expected no more than 1000 characters`}, 10},
		"a zero byte far behind": {"a.csv", []byte(head + many("L1,1,suspension,U120B,9\n", 20_000) + "\x00"),
			"a.csv: line 20002 holds a zero byte, expected text\nhint see that the file is whole and that you may read it", nil, 40},
		"not UTF-8 far behind": {"a.csv", []byte(head + many("L1,1,suspension,U120B,9,é\n", 20_000) + "\xff"),
			"a.csv: line 20002 is not in UTF-8\nhint save it as UTF-8, for example: iconv -f WINDOWS-1252 -t UTF-8 in > out", nil, 40},
		"compressed long cell": {"a.csv.gz", packedTimes(t, head+"L1,1,", many("x", 1<<20), 200),
			"a.csv.gz: line 2 holds more than 1 MiB in cell 3" + tableAdvice, nil, 12},
		"compressed blank lines": {"a.csv.gz", packedTimes(t, head, many("\n", 1<<20), 200),
			"a.csv.gz: is compressed by gzip and cannot be unpacked: it unpacks to more than 500 times its size\nhint see that the file is whole and that you may read it", nil, 12},
		"compressed workbook": {"a.xlsx.gz", packedTimes(t, "PK\x03\x04", many("\x00", 1<<20), 200),
			"a.xlsx.gz: is compressed by gzip and cannot be unpacked: it unpacks to more than 500 times its size\nhint see that the file is whole and that you may read it", nil, 12},
	})
}

func TestHostileGeoJSON(t *testing.T) {
	const start = `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":`
	const exportAdvice = "\nhint export the layer again as GeoJSON"
	point := func(properties string) []byte {
		return []byte(start + `{"type":"Point","coordinates":[1,2]},"properties":{"line":"A","structure":"1"` + properties + `}}]}`)
	}
	var members strings.Builder
	for i := range 200_000 {
		fmt.Fprintf(&members, `,"k%d":1`, i)
	}
	nested := func(text string, end string, count int) string {
		return strings.Repeat(text, count) + "1" + strings.Repeat(end, count)
	}
	const tooDeep = `a.geojson: is no valid JSON after feature 0: "%s" where no more than 200 nested values should be` + exportAdvice
	checkHostile(t, map[string]hostileCase{
		"deep coordinates": {"a.geojson", []byte(start + `{"type":"Point","coordinates":` + strings.Repeat("[", 1_000_000)), fmt.Sprintf(tooDeep, "["), nil, 10},
		"deep properties":  {"a.geojson", point(`,"x":` + nested(`{"a":`, "}", 1_000_000)), fmt.Sprintf(tooDeep, "{"), nil, 10},
		"deep collections": {"a.geojson", []byte(start + nested(`{"type":"GeometryCollection","geometries":[`, "]}", 10_000) + "}]}"), fmt.Sprintf(tooDeep, "["), nil, 10},
		"many properties": {"a.geojson", point(members.String()),
			"a.geojson: none of its 1 features can be used, expected points with line and structure" +
				"\nhint of feature 1 the feature \"Feature\" has more than 16384 properties; it is left out", nil, 30},
		"many members": {"a.geojson", []byte(`{"type":"FeatureCollection","features":[{"type":"Feature"` + members.String() + `}]}`),
			"a.geojson: none of its 1 features can be used, expected points with line and structure" +
				"\nhint of feature 1 the feature \"Feature\" has more than 16384 members; it is left out", nil, 30},
		"a long property": {"a.geojson", point(`,"ground_m":"` + strings.Repeat("x", 10<<20) + `"`), "",
			[]string{`not-a-number a.geojson row 1: ground_m "` + strings.Repeat("x", 59) + `…" is not a number`}, 100},
		"nothing but blanks": {"a.geojson", []byte(strings.Repeat(" ", 20<<20)), "a.geojson: is empty, expected GeoJSON" + exportAdvice, nil, 3},
		"compressed blanks": {"a.geojson.gz", packedTimes(t, "", strings.Repeat(" ", 1<<20), 200),
			"a.geojson.gz: is compressed by gzip and cannot be unpacked: it unpacks to more than 500 times its size\nhint see that the file is whole and that you may read it", nil, 5},
	})
}

// TestHostileEndless reads what never ends.
func TestHostileEndless(t *testing.T) {
	for name, c := range map[string]struct {
		head, repeated string
		want           string
		mostMiB        uint64
	}{
		"value": {`{"type":"FeatureCollection","features":[{"x":"`, "xxxxxxxxxxxxxxxx", "a.geojson: has more than 192 MiB in one value after feature 0", 600},
		"cell":  {"Line,Structure\n", "xxxxxxxxxxxxxxxx", "a.geojson: line 2 holds more than 1 MiB in cell 1", 10},
		"cells": {"Line,Structure\n", ",,,,,,,,,,,,,,,,", "a.geojson: line 2 has more than 16384 cells, expected no more than a sheet has columns", 10},
	} {
		t.Run(name, func(t *testing.T) {
			in := &input{ctx: context.Background(), name: "a.geojson", body: io.MultiReader(strings.NewReader(c.head), endless(c.repeated))}
			var err error
			got := allocated(func() {
				if c.head[0] == '{' {
					_, err = readFeatures(in, nil, textEncoding{}, func(*feature) error { return nil })
					return
				}
				records, failed := newRecordReader(in, textEncoding{})
				for more := failed == nil; more; {
					more, failed = records.next()
				}
				err = recordProblem(in, failed)
			})
			require.EqualError(t, err, c.want)
			require.Less(t, got, c.mostMiB)
		})
	}
}

// endless is a text repeated without end.
type endless string

func (e endless) Read(p []byte) (n int, err error) {
	for n < len(p) {
		n += copy(p[n:], e)
	}
	return n, nil
}

func checkHostile(t *testing.T, cases map[string]hostileCase) {
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			folder := t.TempDir()
			project := "structures: {file: structures.geojson}\nregister: {file: " + c.file + "}\n"
			if strings.Contains(c.file, "geojson") {
				project = "structures: {file: " + c.file + "}\n"
			}
			for file, content := range map[string][]byte{"audit.yaml": []byte(project), "structures.geojson": []byte(b.structures), c.file: c.content} {
				require.NoError(t, os.WriteFile(filepath.Join(folder, file), content, 0o600))
			}
			var got, faults string
			most := allocated(func() {
				p, err := Project(context.Background(), filepath.Join(folder, "audit.yaml"))
				if err != nil {
					got = strings.TrimPrefix(strings.TrimSpace(told(err, folder)), "error ")
					return
				}
				faults = strings.Join(faultsOf(p), "\n")
			})
			require.Equal(t, c.want, got)
			require.Equal(t, strings.Join(c.faults, "\n"), faults)
			require.Less(t, most, c.mostMiB, "MiB")
		})
	}
}

// allocated is how many MiB a function allocates, whatever is freed again.
func allocated(run func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	run()
	runtime.ReadMemStats(&after)
	return (after.TotalAlloc - before.TotalAlloc) >> 20
}

// packedTimes compresses a text that ends in another so many times, which it compresses but once.
func packedTimes(t *testing.T, head, repeated string, times int) []byte {
	t.Helper()
	var out bytes.Buffer
	for _, text := range [...]string{head, repeated} {
		start := out.Len()
		w := gzip.NewWriter(&out)
		_, err := io.WriteString(w, text)
		require.NoError(t, err)
		require.NoError(t, w.Close())
		if text == repeated {
			member := bytes.Clone(out.Bytes()[start:])
			for range times - 1 {
				out.Write(member)
			}
		}
	}
	return out.Bytes()
}
