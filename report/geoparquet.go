package report

import (
	"context"
	"io"

	"dryarc/audit"
	"dryarc/report/gpkg"
	"dryarc/report/parquet"
)

// The outputs in GeoParquet, a file for each layer.
const (
	structuresParquet = "structures.parquet"
	spansParquet      = "spans.parquet"
	exceptionsParquet = "exceptions.parquet"
)

// parquetTypes are the types of column in GeoParquet by those in a GeoPackage.
var parquetTypes = map[string]parquet.Type{gpkg.Text: parquet.Text, gpkg.Integer: parquet.Integer, gpkg.Real: parquet.Real, gpkg.Boolean: parquet.Boolean}

// writeParquet writes a layer as the GeoPackage has it.
func writeParquet(ctx context.Context, w io.Writer, r *audit.Result, layer gpkg.Layer) error {
	out := parquet.Layer{Description: layer.Description + ". " + Caution, Version: r.Run.Version}
	for _, c := range toldColumns(r, layer.Columns) {
		out.Columns = append(out.Columns, parquet.Column{Name: c.Name, Type: parquetTypes[c.Type], Title: c.Title, Description: c.Description})
	}
	out.Rows = func(yield func(parquet.Row) bool) {
		layer.Rows(func(row gpkg.Row) bool { return yield(parquet.Row{Geometry: row.Geometry, Values: row.Values}) })
	}
	return parquet.Write(ctx, w, out)
}

func writeStructuresParquet(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	units, err := unitsByStructure(ctx, r)
	if err != nil {
		return err
	}
	return writeParquet(ctx, w, r, structureLayer(r, a, units))
}

func writeSpansParquet(ctx context.Context, w io.Writer, r *audit.Result, _ *account) error {
	return writeParquet(ctx, w, r, spanLayer(r))
}

func writeExceptionsParquet(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	units, err := unitsByStructure(ctx, r)
	if err != nil {
		return err
	}
	return writeParquet(ctx, w, r, exceptionLayer(r, a.since(r), units, everyLayer))
}
