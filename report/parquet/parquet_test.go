package parquet

import (
	"bytes"
	"context"
	"math"
	"slices"
	"strconv"
	"testing"

	reader "dryarc/audit/read/parquet"

	"github.com/stretchr/testify/require"
	geom "github.com/twpayne/go-geom"
)

// layerOf is a layer of so many rows, some without a position or a value.
func layerOf(rows int) Layer {
	return Layer{Description: "Rows, run 0123456789abcdef", Version: "1", Columns: []Column{{Name: "z", Type: Text, Title: "Z"}, {Name: "a", Type: Integer}, {Name: "r", Type: Real}, {Name: "b", Type: Boolean}},
		Rows: func(yield func(Row) bool) {
			for i := range rows {
				row := Row{Values: []any{"text " + strconv.Itoa(i%7), int64(i), float64(i) / 4, i%2 == 0}}
				switch i % 4 {
				case 0:
					row.Geometry = geom.NewPointFlat(geom.XY, []float64{float64(i%180) - 20, 41})
				case 1:
					row.Geometry = geom.NewMultiLineStringFlat(geom.XY, []float64{1, 2, 3, 4}, []int{4})
				case 2:
					row.Values = []any{nil, nil, math.NaN(), nil}
				}
				if !yield(row) {
					return
				}
			}
		}}
}

func written(t *testing.T, l Layer) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(context.Background(), &b, l))
	return b.Bytes()
}

// TestRoundTrip holds what is written to be read again as it was, over several groups of rows, and the bytes to be the same each time.
func TestRoundTrip(t *testing.T) {
	const rows = 2*groupRows + 5
	content := written(t, layerOf(rows))
	require.Equal(t, content, written(t, layerOf(rows)))
	require.Contains(t, string(content), "run 0123456789abcdef")
	f, err := reader.Open(bytes.NewReader(content), int64(len(content)))
	require.NoError(t, err)
	require.Equal(t, reader.System{Name: "OGC:CRS84"}, f.Geometry().System)
	var names []string
	for _, c := range f.Columns() {
		names = append(names, c.Name)
	}
	require.Equal(t, []string{"z", "a", "r", "b"}, names, "in their order, and without the extents")
	got := f.Rows()
	defer got.Close()
	for want := range layerOf(rows).Rows {
		more, err := got.Next(context.Background())
		require.NoError(t, err)
		require.True(t, more)
		require.NoError(t, got.Problem)
		i := int(got.Number) - 1
		cells := []string{"text " + strconv.Itoa(i%7), strconv.Itoa(i), strconv.FormatFloat(float64(i)/4, 'f', -1, 64), strconv.FormatBool(i%2 == 0)}
		if i%4 == 2 {
			cells = make([]string, 4)
		}
		require.Equal(t, cells, got.Cells)
		if want.Geometry == nil {
			require.Nil(t, got.Geometry)
			continue
		}
		require.Equal(t, want.Geometry.FlatCoords(), got.Geometry.FlatCoords())
	}
	more, err := got.Next(context.Background())
	require.NoError(t, err)
	require.False(t, more)
}

// TestNothing writes a layer without rows.
func TestNothing(t *testing.T) {
	content := written(t, layerOf(0))
	f, err := reader.Open(bytes.NewReader(content), int64(len(content)))
	require.NoError(t, err)
	require.NotNil(t, f.Geometry())
}

func TestRefused(t *testing.T) {
	l := layerOf(1)
	l.Columns[0].Type = Real
	require.ErrorContains(t, Write(context.Background(), &bytes.Buffer{}, l), `column "z": a value of string`)
	l = layerOf(1)
	l.Columns[1].Name = geometryColumn
	require.ErrorContains(t, Write(context.Background(), &bytes.Buffer{}, l), "two columns")
	l = layerOf(1)
	l.Rows = slices.Values([]Row{{}})
	require.ErrorContains(t, Write(context.Background(), &bytes.Buffer{}, l), "0 values for 4 columns")
}
