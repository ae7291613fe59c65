package gpkg

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/binary"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	geom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"
)

var day = time.Date(2026, 3, 31, 0, 0, 0, 0, time.UTC)

const hostile = `'; DROP TABLE "poles"; --` + "\U0001F600\u202e"

func layers() []Layer {
	return []Layer{
		{Name: "poles", Description: "Poles", Geometry: Point, Columns: []Column{{Name: "name", Type: Text}, {Name: "height", Type: Real}, {Name: "count", Type: Integer}, {Name: "old", Type: Boolean}},
			Rows: slices.Values([]Row{
				{Geometry: geom.NewPointFlat(geom.XY, []float64{5.5, 60.25}), Values: []any{hostile, 12.5, int64(3), true}},
				{Values: []any{nil, math.NaN(), nil, false}},
				{Geometry: geom.NewPointFlat(geom.XY, []float64{-3, -17}), Values: []any{"=1+1", 1.0, int64(0), true}},
			})},
		{Name: `ways "of" wire`, Geometry: MultiLineString, Columns: []Column{{Name: "select", Type: Text}},
			Rows: slices.Values([]Row{{Geometry: geom.NewMultiLineStringFlat(geom.XY, []float64{0, 0, 2, 1}, []int{4}), Values: []any{"x"}}})},
		{Name: "none", Geometry: Point, Rows: slices.Values([]Row(nil))},
		{Name: "facts", Columns: []Column{{Name: "value", Type: Text}}, Rows: slices.Values([]Row{{Values: []any{"a"}}})},
	}
}

func written(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(context.Background(), &b, "", day, layers()))
	return b.Bytes()
}

func opened(t *testing.T) *sql.DB {
	t.Helper()
	path := filepath.Join(t.TempDir(), "a.gpkg")
	require.NoError(t, os.WriteFile(path, written(t), 0o666))
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, db.Close()) })
	return db
}

func TestTheSameLayersGiveTheSameBytes(t *testing.T) {
	require.True(t, bytes.Equal(written(t), written(t)))
}

// The header of an SQLite file holds the user version at byte 60 and the application's number at byte 68 (SQLite file
// format, published).
func TestTheFileSaysWhatItIs(t *testing.T) {
	b := written(t)
	require.Equal(t, "SQLite format 3\x00", string(b[:16]))
	require.Equal(t, uint32(10300), binary.BigEndian.Uint32(b[60:]))
	require.Equal(t, "GPKG", string(b[68:72]))
}

func TestContents(t *testing.T) {
	db := opened(t)
	type entry struct {
		name, kind, changed    string
		minX, minY, maxX, maxY sql.NullFloat64
		srs                    sql.NullInt64
	}
	rows, err := db.Query("SELECT table_name, data_type, last_change, min_x, min_y, max_x, max_y, srs_id FROM gpkg_contents ORDER BY rowid")
	require.NoError(t, err)
	var got []entry
	for rows.Next() {
		var e entry
		require.NoError(t, rows.Scan(&e.name, &e.kind, &e.changed, &e.minX, &e.minY, &e.maxX, &e.maxY, &e.srs))
		got = append(got, e)
	}
	require.NoError(t, rows.Err())
	known := func(x float64) sql.NullFloat64 { return sql.NullFloat64{Float64: x, Valid: true} }
	const at = "2026-03-31T00:00:00Z" // as the driver reads a DATETIME
	srs := sql.NullInt64{Int64: 4326, Valid: true}
	require.Equal(t, []entry{
		{"poles", "features", at, known(-3), known(-17), known(5.5), known(60.25), srs},
		{`ways "of" wire`, "features", at, known(0), known(0), known(2), known(1), srs},
		{name: "none", kind: "features", changed: at, srs: srs},
		{name: "facts", kind: "attributes", changed: at},
	}, got)
	var check string
	require.NoError(t, db.QueryRow("PRAGMA integrity_check").Scan(&check))
	require.Equal(t, "ok", check)
	violations, err := db.Query("PRAGMA foreign_key_check")
	require.NoError(t, err)
	require.False(t, violations.Next(), "a foreign key leads nowhere")
	require.NoError(t, violations.Close())
}

func TestRowsAndGeometries(t *testing.T) {
	db := opened(t)
	var stored []byte
	var name string
	var height sql.NullFloat64
	var old bool
	require.NoError(t, db.QueryRow("SELECT geom, name, height, old FROM poles WHERE fid = 1").Scan(&stored, &name, &height, &old))
	require.Equal(t, hostile, name)
	require.Equal(t, 12.5, height.Float64)
	require.True(t, old)
	require.Equal(t, []byte{'G', 'P', 0, 1, 0xE6, 0x10, 0, 0}, stored[:8], "a point has no envelope")
	point, err := wkb.Unmarshal(stored[8:])
	require.NoError(t, err)
	require.Equal(t, []float64{5.5, 60.25}, point.FlatCoords())

	require.NoError(t, db.QueryRow("SELECT geom, height FROM poles WHERE fid = 2").Scan(&stored, &height))
	require.Nil(t, stored)
	require.False(t, height.Valid)

	require.NoError(t, db.QueryRow(`SELECT geom FROM "ways ""of"" wire"`).Scan(&stored))
	require.Equal(t, byte(3), stored[3], "little endian, envelope of two axes")
	for i, want := range []float64{0, 2, 0, 1} {
		require.Equal(t, want, math.Float64frombits(binary.LittleEndian.Uint64(stored[8+8*i:])))
	}
	way, err := wkb.Unmarshal(stored[40:])
	require.NoError(t, err)
	require.Equal(t, []float64{0, 0, 2, 1}, way.FlatCoords())
}

func TestTheIndexFindsWhatIsNear(t *testing.T) {
	db := opened(t)
	var fid, count int
	require.NoError(t, db.QueryRow("SELECT id FROM rtree_poles_geom WHERE maxx > 5 AND minx < 6 AND maxy > 60 AND miny < 61").Scan(&fid))
	require.Equal(t, 1, fid)
	require.NoError(t, db.QueryRow("SELECT count(*) FROM rtree_poles_geom").Scan(&count))
	require.Equal(t, 2, count, "a row without a position is not in the index")
	require.NoError(t, db.QueryRow("SELECT count(*) FROM sqlite_master WHERE type = 'trigger'").Scan(&count))
	require.Equal(t, 3*6, count)
	require.NoError(t, db.QueryRow("SELECT count(*) FROM gpkg_extensions WHERE extension_name = 'gpkg_rtree_index'").Scan(&count))
	require.Equal(t, 3, count)
}

func TestAnEndedRunWritesNothing(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var b bytes.Buffer
	require.ErrorIs(t, Write(ctx, &b, "", day, layers()), context.Canceled)
	require.Zero(t, b.Len())
}

// Ended between two rows, when the database has closed its statements already.
func TestARunThatEndsHalfWaySaysThatItEnded(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	ending := layers()
	rows := ending[0].Rows
	ending[0].Rows = func(yield func(Row) bool) {
		for row := range rows {
			cancel()
			time.Sleep(20 * time.Millisecond)
			if !yield(row) {
				return
			}
		}
	}
	require.ErrorIs(t, Write(ctx, &bytes.Buffer{}, t.TempDir(), day, ending), context.Canceled)
}

func TestAValueThatDoesNotFitIsAnError(t *testing.T) {
	broken := []Layer{{Name: "facts", Columns: []Column{{Name: "value", Type: Text}}, Rows: slices.Values([]Row{{Values: []any{struct{}{}}}})}}
	require.ErrorContains(t, Write(context.Background(), &bytes.Buffer{}, t.TempDir(), day, broken), "layer facts: row 1")
}
