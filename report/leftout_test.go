package report

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// A network up to the limit has every output, a larger one those that are asked for.
func TestLargeNetworksLeaveOutputsOut(t *testing.T) {
	r := fixtureResult(t)
	all := outputNames(outputs(alone))
	for _, c := range []struct {
		most int
		also []string
		left []string
	}{
		{8, nil, nil},
		{7, nil, []string{structuresFile}},
		{7, []string{"gpkg"}, []string{structuresFile}},
		{7, []string{"structures"}, nil},
	} {
		left := leftOutBeyond(r, c.also, c.most)
		require.Equal(t, c.left, outputNames(left))
		list, err := chosen(&account{leftOut: left}, c.also)
		require.NoError(t, err)
		want := slices.DeleteFunc(slices.Clone(all), func(name string) bool { return slices.Contains(c.left, name) })
		require.Subset(t, outputNames(list), want)
		require.Len(t, list, len(want)+len(c.also)-len(slices.DeleteFunc(slices.Clone(c.also), func(name string) bool { return name != "structures" })))
	}
	require.Contains(t, Also(), "structures")
}

// What is left out is said by the outputs that there are.
func TestOutputsSayWhatIsLeftOut(t *testing.T) {
	r := fixtureResult(t)
	a := &account{leftOut: leftOutBeyond(r, nil, 7)}
	var page, audit bytes.Buffer
	require.NoError(t, writeHTML(context.Background(), &page, r, a, pageLimits{structures: 3, exceptions: 9, jobs: 9, rows: 9, zonePositions: 900, routes: 90, places: 9, text: 300}))
	require.Contains(t, page.String(), "Of the files audit.gpkg (--also gpkg) and structures.parquet (--also geoparquet), recommended at this size, and structures.geojson (--also structures) have all.")
	require.NoError(t, writeAudit(context.Background(), &audit, r, a))
	require.Contains(t, audit.String(), `"left_out":[{"file":"structures.geojson","also":"structures"}]`)
	audit.Reset()
	require.NoError(t, writeAudit(context.Background(), &audit, r, alone))
	require.NotContains(t, audit.String(), `"left_out"`)

	var book bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &book, r, a, bookLimits{exceptions: 9, structures: 7, rows: 9, worked: 9}))
	file, err := excelize.OpenReader(&book)
	require.NoError(t, err)
	defer file.Close()
	for _, sheet := range []string{overviewSheet, runSheet} {
		var told strings.Builder
		for _, row := range cells(t, file, sheet) {
			told.WriteString(strings.Join(row, " ") + "\n")
		}
		require.Contains(t, told.String(), "structures.geojson is left out, as there are more than "+grouped(mostWhole)+" structures: --also gpkg writes them as a layer of audit.gpkg or --also geoparquet as structures.parquet, which are recommended at this size, --also structures the file itself.", sheet)
		require.Contains(t, told.String(), "audit.gpkg (--also gpkg) and structures.parquet (--also geoparquet), recommended at this size, and structures.geojson (--also structures) have all", sheet)
	}
}

// An output that a run leaves out does not outlive the set that it was of, unless no run has written it.
func TestWhatIsLeftOutGoesWithTheEarlierSet(t *testing.T) {
	const runOf = `{"type":"FeatureCollection","run":"0123456789abcdef","features":[]}`
	for _, c := range []struct {
		name, content string
		stays         bool
	}{{"of a run", runOf, false}, {"of somebody else", `{"type":"FeatureCollection","features":[]}`, true}} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, writeTexts(context.Background(), dir, []output{text("a", "old"), text(AuditFile, "old")}))
			require.NoError(t, os.WriteFile(filepath.Join(dir, structuresFile), []byte(c.content), 0o666))
			var removed []string
			how := How{gone: []string{structuresFile}, Removed: func(name string) { removed = append(removed, name) }}
			_, err := writeAll(context.Background(), soundDisk(), dir, nil, listed([]output{text("a", "new"), text(AuditFile, "new")}), how)
			require.NoError(t, err)
			if c.stays {
				require.Empty(t, removed)
				require.Equal(t, []string{"a", AuditFile, structuresFile}, filesIn(t, dir))
				return
			}
			require.Equal(t, []string{structuresFile}, removed)
			require.Equal(t, []string{"a", AuditFile}, filesIn(t, dir))
		})
	}
	dir := t.TempDir()
	require.NoError(t, writeTexts(context.Background(), dir, []output{text("a", "old"), text(structuresFile, runOf), text(AuditFile, "old")}))
	require.NoError(t, writeTexts(context.Background(), dir, []output{text("a", "new"), text(AuditFile, "new")}))
	require.Contains(t, filesIn(t, dir), structuresFile, "one that nobody leaves out stays")
}

// Wherever the taking away fails or stops, the earlier set is back with what was to go, or the new one stands without it.
func TestTakingAwayFailsAtEachOperation(t *testing.T) {
	const runOf = `{"type":"FeatureCollection","run":"0123456789abcdef","features":[]}`
	old := map[string]string{"a": "old", structuresFile: runOf, AuditFile: "old"}
	fresh := map[string]string{"a": "new", AuditFile: "new"}
	begin := func() string {
		dir := t.TempDir()
		require.NoError(t, writeTexts(context.Background(), dir, []output{text("a", "old"), text(structuresFile, runOf), text(AuditFile, "old")}))
		return dir
	}
	write := func(dir string, disk *faultyDisk) error {
		_, err := writeAll(context.Background(), disk, dir, nil, listed([]output{text("a", "new"), text(AuditFile, "new")}), How{gone: []string{structuresFile}})
		return err
	}
	sound := soundDisk()
	require.NoError(t, write(begin(), sound))
	require.Greater(t, sound.done, 20)
	for _, how := range troubles {
		for at := range sound.done {
			dir := begin()
			err := write(dir, newFaultyDisk(at, how))
			require.NoError(t, folder{soundDisk(), dir}.recover())
			found := contents(t, dir)
			if found["a"] == "new" {
				require.Equal(t, fresh, found, "%s at operation %d", how, at)
				continue
			}
			require.Error(t, err, "%s at operation %d", how, at)
			require.Equal(t, old, found, "%s at operation %d", how, at)
		}
	}
}

// Placemarks beyond the limit stay out, the worst first, and the document says so.
func TestPlacemarksAreCut(t *testing.T) {
	r := fixtureResult(t)
	var whole, cut bytes.Buffer
	require.NoError(t, writePlacemarks(context.Background(), &whole, r, alone, "", len(r.Exceptions)))
	require.Equal(t, len(r.Exceptions), strings.Count(whole.String(), "<Placemark>"))
	require.NotContains(t, whole.String(), "have all")
	require.NoError(t, writePlacemarks(context.Background(), &cut, r, alone, "", 2))
	require.Equal(t, 2, strings.Count(cut.String(), "<Placemark>"))
	require.Contains(t, cut.String(), "The worst 2 of 5 exceptions; exceptions.geojson and audit.json have all.</description>")
}

// The map of the brief keeps within its bytes, drawn coarser where it has to be, and says so.
func TestBriefMapKeepsWithinItsBytes(t *testing.T) {
	r := fixtureResult(t)
	changes := history.Alone(r)
	fine := briefMapOf(r, changes.Decided, nil, 180, 100, briefMapBytes)
	require.NotContains(t, fine.Left, "drawn within")
	coarse := briefMapOf(r, changes.Decided, nil, 180, 100, fine.bytes()-1)
	require.Less(t, coarse.bytes(), fine.bytes())
	require.Len(t, coarse.Routes, 1, "no element for each of many lines")
	fits := briefMapOf(r, changes.Decided, nil, 180, 100, fine.bytes()+25*len(fine.Routes))
	require.Equal(t, fine, fits, "as fine as fits")
	require.Contains(t, coarse.Left, "Lines are drawn within ")
}

// The tables of a database have what all structures need, however large the network is.
func TestTablesOfALargeNetworkHaveAllNeeds(t *testing.T) {
	needed := func(change func(r *audit.Result)) (known int) {
		r := fixtureResult(t)
		change(r)
		scheduleWhatIsWritten(r, outputs(alone), 7)
		units, err := unitsByStructure(context.Background(), r)
		require.NoError(t, err)
		for _, u := range units {
			if u.unit != "" {
				known++
			}
		}
		return known
	}
	all := needed(func(r *audit.Result) { r.Project.Write = &audit.DatabaseOutput{Schema: "audit"} })
	require.Equal(t, 8, all)
	require.Less(t, needed(func(*audit.Result) {}), all, "the files of such a network do without")
}
