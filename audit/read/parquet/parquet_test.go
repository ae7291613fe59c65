package parquet

import (
	"bytes"
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"dryarc/audit/read/parquet/parquettest"

	"github.com/parquet-go/parquet-go"
	"github.com/parquet-go/parquet-go/compress"
	"github.com/stretchr/testify/require"
)

func open(t *testing.T, content []byte) *File {
	t.Helper()
	f, err := Open(bytes.NewReader(content), int64(len(content)))
	require.NoError(t, err)
	return f
}

// TestCells holds values of each type to be the texts that a table of text would have.
func TestCells(t *testing.T) {
	text := func(s string) parquet.Value { return parquet.ByteArrayValue([]byte(s)) }
	day := time.Date(1994, 3, 12, 0, 0, 0, 0, time.UTC)
	for name, c := range map[string]struct {
		node  parquet.Node
		value parquet.Value
		kind  Kind
		want  string
	}{
		"text":             {parquet.String(), text("Nº 7"), Text, "Nº 7"},
		"enumeration":      {parquet.Enum(), text("d"), Text, "d"},
		"no value":         {parquet.Optional(parquet.String()), parquet.NullValue(), Text, ""},
		"whole":            {parquet.Int(64), parquet.Int64Value(-12), Number, "-12"},
		"small":            {parquet.Int(8), parquet.Int32Value(-7), Number, "-7"},
		"without sign":     {parquet.Uint(32), parquet.Int32Value(-1), Number, "4294967295"},
		"without sign, 64": {parquet.Uint(64), parquet.Int64Value(-1), Number, "18446744073709551615"},
		"single":           {parquet.Leaf(parquet.FloatType), parquet.FloatValue(0.1), Number, "0.1"},
		"double":           {parquet.Leaf(parquet.DoubleType), parquet.DoubleValue(1234567.5), Number, "1234567.5"},
		"whole double":     {parquet.Leaf(parquet.DoubleType), parquet.DoubleValue(1e6), Number, "1000000"},
		"no number":        {parquet.Leaf(parquet.DoubleType), parquet.DoubleValue(math.NaN()), Number, ""},
		"truth":            {parquet.Leaf(parquet.BooleanType), parquet.BooleanValue(true), Truth, "true"},
		"date":             {parquet.Date(), parquet.Int32Value(int32(day.Unix() / secondsADay)), Moment, "1994-03-12"},
		"midnight":         {parquet.Timestamp(parquet.Microsecond), parquet.Int64Value(day.UnixMicro()), Moment, "1994-03-12"},
		"moment":           {parquet.Timestamp(parquet.Millisecond), parquet.Int64Value(day.UnixMilli() + 1500), Moment, "1994-03-12T00:00:01.5Z"},
		"nanoseconds":      {parquet.Timestamp(parquet.Nanosecond), parquet.Int64Value(day.UnixNano()), Moment, "1994-03-12"},
		"decimal":          {parquet.Decimal(2, 9, parquet.Int32Type), parquet.Int32Value(-5), Number, "-0.05"},
		"wide decimal":     {parquet.Decimal(3, 18, parquet.Int64Type), parquet.Int64Value(12_500), Number, "12.5"},
		"decimal in bytes": {parquet.Decimal(1, 20, parquet.FixedLenByteArrayType(9)), parquet.FixedLenByteArrayValue([]byte{255, 255, 255, 255, 255, 255, 255, 255, 0x85}), Number, "-12.3"},
		"bytes":            {parquet.Leaf(parquet.ByteArrayType), text("x"), Unread, ""},
	} {
		t.Run(name, func(t *testing.T) {
			content, err := parquettest.File([]parquettest.Column{{Name: "c", Node: c.node}}, [][]parquet.Value{{c.value}}, nil, 10)
			require.NoError(t, err)
			f := open(t, content)
			require.Equal(t, c.kind, f.Columns()[0].Kind)
			rows := f.Rows()
			defer rows.Close()
			more, err := rows.Next(context.Background())
			require.NoError(t, err)
			require.True(t, more || c.kind == Unread)
			require.Equal(t, c.want, rows.Cells[0])
		})
	}
}

// TestHalf holds numbers of 16 bits to the examples of IEEE 754: 1, −2, the largest, the smallest above 0.
func TestHalf(t *testing.T) {
	for bits, want := range map[uint16]float64{0x3c00: 1, 0xc000: -2, 0x7bff: 65504, 0x0001: 0x1p-24, 0x7c00: math.Inf(1)} {
		require.Equal(t, want, half([]byte{byte(bits), byte(bits >> 8)}))
	}
}

// TestCompression holds columns to be read by each compression that is known, and refused by LZ4.
func TestCompression(t *testing.T) {
	for codec, problem := range map[compress.Codec]string{&parquet.Uncompressed: "", &parquet.Snappy: "", &parquet.Gzip: "", &parquet.Brotli: "", &parquet.Zstd: "",
		&parquet.Lz4Raw: `its column "c" is compressed by LZ4_RAW, expected zstd, snappy, gzip, brotli or none`} {
		content, err := parquettest.File([]parquettest.Column{{Name: "c", Node: parquet.String()}}, [][]parquet.Value{{parquet.ByteArrayValue([]byte("x"))}}, nil, 10, parquet.Compression(codec))
		require.NoError(t, err)
		count, err := readAll(context.Background(), content)
		if problem != "" {
			require.EqualError(t, err, problem)
			continue
		}
		require.NoError(t, err)
		require.Equal(t, 1, count)
	}
}

// TestMetadata holds what metadata say, or leave out, to be understood or refused.
func TestMetadata(t *testing.T) {
	const features = `{"features":[{"properties":{"a":1},"geometry":{"type":"Point","coordinates":[1,2]}}]}`
	for name, c := range map[string]struct {
		geo     string
		problem string
	}{
		"newer":          {strings.Replace(parquettest.Geo(""), "1.1.0", "2.0.0", 1), ""},
		"older":          {strings.Replace(parquettest.Geo(""), "1.1.0", "0.4.0", 1), `of version "0.4.0" of GeoParquet, expected 1.0.0 or newer`},
		"no JSON":        {"{", "are no JSON"},
		"no column":      {strings.ReplaceAll(parquettest.Geo(""), `"geometry"`, `"shape"`), `it has no column "shape"`},
		"another column": {strings.Replace(parquettest.Geo(""), `"geometry":{`, `"shape":{`, 1), `say nothing of the primary column "geometry"`},
		"no bytes":       {strings.ReplaceAll(parquettest.Geo(""), `"geometry"`, `"a"`), `its column "a" holds no bytes`},
	} {
		t.Run(name, func(t *testing.T) {
			content, err := parquettest.Layer([]byte(features), c.geo)
			require.NoError(t, err)
			f, err := Open(bytes.NewReader(content), int64(len(content)))
			if c.problem != "" {
				require.ErrorContains(t, err, c.problem)
				return
			}
			require.NoError(t, err)
			require.Equal(t, System{Name: "OGC:CRS84"}, f.Geometry().System)
		})
	}
}

// TestTypedGeometry reads a geometry that only its type tells, as newer files have it.
func TestTypedGeometry(t *testing.T) {
	point := append([]byte{1, 1, 0, 0, 0}, make([]byte, 16)...)
	for name, want := range map[string]System{"": {Name: "OGC:CRS84"}, "srid:32719": {Name: "EPSG:32719"}, "srid:0": {Undefined: true}, "EPSG:32719": {Name: "EPSG:32719"}, "projjson:ours": {Name: "EPSG:25832"}} {
		content, err := parquettest.File([]parquettest.Column{{Name: "g", Node: parquet.Geometry(name)}}, [][]parquet.Value{{parquet.ByteArrayValue(point)}}, map[string]string{"ours": `{"id":{"authority":"EPSG","code":25832}}`}, 10)
		require.NoError(t, err)
		f := open(t, content)
		require.Equal(t, want, f.Geometry().System, name)
		rows := f.Rows()
		more, err := rows.Next(context.Background())
		require.NoError(t, err)
		require.True(t, more)
		require.Equal(t, []float64{0, 0}, rows.Geometry.FlatCoords())
	}
}

// TestContradictedSystem holds a system that is missing, or that metadata and type tell otherwise, to be refused.
func TestContradictedSystem(t *testing.T) {
	const nothing = `, but its metadata have nothing under "`
	for _, c := range []struct{ geo, typed, problem string }{
		{"", "projjson:missing", `the type of its geometry names the reference system "projjson:missing"` + nothing + `missing", expected PROJJSON`},
		{"", "projjson:blank", nothing + `blank", expected PROJJSON`},
		{"", "projjson:broken", "its reference system (crs) is no PROJJSON"},
		{parquettest.Geo(""), "projjson:missing", nothing},
		{parquettest.Geo(""), "srid:4267", `its column "geometry" has the reference system "OGC:CRS84" by its metadata of GeoParquet (geo), but "EPSG:4267" by its type, expected one`},
		{parquettest.Geo(`,"crs":null`), "srid:4267", `has the reference system that is not known by its metadata`},
		{parquettest.Geo(`,"crs":{"id":{"authority":"EPSG","code":32719}}`), "srid:32718", `"EPSG:32719" by its metadata of GeoParquet (geo), but "EPSG:32718" by its type`},
		{parquettest.Geo(`,"crs":{"id":{"authority":"EPSG","code":32719}}`), "srid:32719", ""},
		{parquettest.Geo(""), "srid:4326", ""},
		{parquettest.Geo(""), "", ""},
		{parquettest.Geo(`,"crs":null`), "srid:0", ""},
	} {
		metadata := map[string]string{"blank": " ", "broken": "{"}
		if c.geo != "" {
			metadata["geo"] = c.geo
		}
		content, err := parquettest.File([]parquettest.Column{{Name: "geometry", Node: parquet.Geometry(c.typed)}}, nil, metadata, 10)
		require.NoError(t, err)
		_, err = Open(bytes.NewReader(content), int64(len(content)))
		if c.problem == "" {
			require.NoError(t, err, "%+v", c)
		} else {
			require.ErrorContains(t, err, c.problem, "%+v", c)
		}
	}
}

// TestCovering holds only a group of the sides of extents to be passed over, whatever column the metadata name.
func TestCovering(t *testing.T) {
	side := parquet.Leaf(parquet.DoubleType)
	extents := parquet.Group{"xmin": side, "ymin": side, "xmax": side, "ymax": side}
	for name, c := range map[string]struct {
		node parquet.Node
		want []string
	}{
		"extents":    {extents, nil},
		"number":     {side, []string{"bbox"}},
		"other side": {parquet.Group{"xmin": side, "ymin": side, "xmax": side, "top": side}, []string{"bbox"}},
		"texts":      {parquet.Group{"xmin": parquet.String(), "ymin": side, "xmax": side, "ymax": side}, []string{"bbox"}},
		"repeated":   {parquet.Repeated(extents), []string{"bbox"}},
	} {
		t.Run(name, func(t *testing.T) {
			geo := parquettest.Geo(`,"covering":{"bbox":{"xmin":["bbox","xmin"]}}`)
			content, err := parquettest.File([]parquettest.Column{{Name: "bbox", Node: c.node}, {Name: "geometry", Node: parquet.Leaf(parquet.ByteArrayType)}}, nil, map[string]string{"geo": geo}, 10)
			require.NoError(t, err)
			var names []string
			for _, column := range open(t, content).Columns() {
				names = append(names, column.Name)
			}
			require.Equal(t, c.want, names)
		})
	}
}

// sample is a file of several groups of rows.
func sample(t testing.TB) []byte {
	var rows [][]parquet.Value
	for i := range 300 {
		point := append([]byte{1, 1, 0, 0, 0}, make([]byte, 16)...)
		point[10] = byte(i)
		rows = append(rows, []parquet.Value{parquet.ByteArrayValue([]byte{byte('a' + i%20)}), parquet.DoubleValue(float64(i)), parquet.ByteArrayValue(point)})
	}
	content, err := parquettest.File([]parquettest.Column{{Name: "line", Node: parquet.Encoded(parquet.String(), &parquet.RLEDictionary)}, {Name: "seq", Node: parquet.Leaf(parquet.DoubleType)},
		{Name: "geometry", Node: parquet.Optional(parquet.Leaf(parquet.ByteArrayType))}}, rows, map[string]string{"geo": parquettest.Geo("")}, 70)
	require.NoError(t, err)
	return content
}

// readAll reads a file to its end, or to what stops it.
func readAll(ctx context.Context, content []byte) (count int, err error) {
	f, err := Open(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		return 0, err
	}
	rows := f.Rows()
	defer rows.Close()
	for {
		more, err := rows.Next(ctx)
		if err != nil || !more {
			return count, err
		}
		count++
	}
}

// TestDamaged cuts a file short and turns its bits: no panic, an end in time, and an error where its end is missing.
func TestDamaged(t *testing.T) {
	sound := sample(t)
	count, err := readAll(context.Background(), sound)
	require.NoError(t, err)
	require.Equal(t, 300, count)
	random := rand.New(rand.NewPCG(5, 3))
	for range 100 {
		length := random.IntN(len(sound))
		_, err := readAll(context.Background(), sound[:length])
		require.Error(t, err, "cut to %d of %d bytes", length, len(sound))
	}
	for i := range 3000 {
		damaged, at, bit := bytes.Clone(sound), random.IntN(len(sound)), random.IntN(8)
		if i%2 == 0 {
			at = len(sound) - 1 - random.IntN(2000)
		}
		damaged[at] ^= 1 << bit
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		if count, err := readAll(ctx, damaged); err == nil {
			require.Equal(t, 300, count, "bit %d of byte %d", bit, at)
		}
		require.NoError(t, ctx.Err(), "bit %d of byte %d: comes to no end", bit, at)
		cancel()
	}
}

// TestInterrupted holds a reading to end with its context.
func TestInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := readAll(ctx, sample(t))
	require.ErrorIs(t, err, context.Canceled)
}

// FuzzRead holds any bytes to be read, or refused, without a panic.
func FuzzRead(f *testing.F) {
	f.Add(sample(f))
	f.Fuzz(func(t *testing.T, content []byte) {
		ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
		defer cancel()
		_, _ = readAll(ctx, content)
		require.NoError(t, ctx.Err())
	})
}
