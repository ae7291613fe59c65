package gpkg

import (
	"context"
	"database/sql"
)

// columnTables are the tables of the schema extension: headings and descriptions of columns, and the values that some are
// limited to.
//
// Source: OGC 12-128r18 (GeoPackage 1.3.1), extension gpkg_schema.
var columnTables = [...]string{
	`CREATE TABLE gpkg_data_columns (table_name TEXT NOT NULL, column_name TEXT NOT NULL, name TEXT, title TEXT, description TEXT,
		mime_type TEXT, constraint_name TEXT, CONSTRAINT pk_gdc PRIMARY KEY (table_name, column_name), CONSTRAINT gdc_tn UNIQUE (table_name, name))`,
	`CREATE TABLE gpkg_data_column_constraints (constraint_name TEXT NOT NULL, constraint_type TEXT NOT NULL, value TEXT, min NUMERIC,
		min_is_inclusive BOOLEAN, max NUMERIC, max_is_inclusive BOOLEAN, description TEXT, CONSTRAINT gdcc_ntv UNIQUE (constraint_name, constraint_type, value))`,
	`INSERT INTO gpkg_extensions VALUES
		('gpkg_data_columns', NULL, 'gpkg_schema', '` + schemaDefinition + `', 'read-write'),
		('gpkg_data_column_constraints', NULL, 'gpkg_schema', '` + schemaDefinition + `', 'read-write')`,
}

// schemaDefinition is where the standard defines the extension.
const schemaDefinition = "http://www.geopackage.org/spec131/#extension_schema"

// describe writes what people are told of the columns. Columns without a heading have no row.
func describe(ctx context.Context, tx *sql.Tx, layers []Layer) error {
	for _, statement := range columnTables {
		if _, err := tx.ExecContext(ctx, statement); err != nil {
			return err
		}
	}
	listed := map[string]bool{}
	for i := range layers {
		l := &layers[i]
		alias := l.aliases()
		for k, c := range l.Columns {
			if c.Title == "" {
				continue
			}
			var limit any
			if len(c.Values) > 0 {
				limit = c.Name
				if err := listValues(ctx, tx, c, listed); err != nil {
					return err
				}
			}
			if _, err := tx.ExecContext(ctx, "INSERT INTO gpkg_data_columns VALUES (?, ?, ?, ?, ?, NULL, ?)", l.Name, c.Name, alias[k], c.Title, c.Description, limit); err != nil {
				return err
			}
		}
	}
	return nil
}

// aliases are the short names of the columns, by which programs show them: the headings. A heading that another column has too, as
// what is carried through from inputs may, gives way to the name of the column, since no two of a table may be the same.
func (l *Layer) aliases() []string {
	count := map[string]int{}
	for _, c := range l.Columns {
		count[c.Name]++
		if c.Title != c.Name {
			count[c.Title]++
		}
	}
	out := make([]string, len(l.Columns))
	for i, c := range l.Columns {
		if out[i] = c.Title; count[c.Title] > 1 {
			out[i] = c.Name
		}
	}
	return out
}

// listValues lists the values of a column, once for all layers.
func listValues(ctx context.Context, tx *sql.Tx, c Column, listed map[string]bool) error {
	if listed[c.Name] {
		return nil
	}
	listed[c.Name] = true
	for _, v := range c.Values {
		if _, err := tx.ExecContext(ctx, "INSERT INTO gpkg_data_column_constraints VALUES (?, 'enum', ?, NULL, NULL, NULL, NULL, ?)", c.Name, v.Text, v.Meaning); err != nil {
			return err
		}
	}
	return nil
}

// stylesTable is where a GIS looks for the styles of layers. No standard has it; it is as GDAL and QGIS make it themselves.
const stylesTable = `CREATE TABLE layer_styles (id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, f_table_catalog TEXT(256), f_table_schema TEXT(256),
	f_table_name TEXT(256), f_geometry_column TEXT(256), styleName TEXT(30), styleQML TEXT, styleSLD TEXT, useAsDefault BOOLEAN,
	description TEXT, owner TEXT(30), ui TEXT(30), update_time DATETIME DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')))`

// keepStyles writes the styles of the layers that have one, each as that which a layer is opened with.
func keepStyles(ctx context.Context, tx *sql.Tx, layers []Layer, changed string) error {
	made := false
	for i := range layers {
		l := &layers[i]
		if l.Style.Name == "" {
			continue
		}
		if !made {
			made = true
			if _, err := tx.ExecContext(ctx, stylesTable); err != nil {
				return err
			}
			if _, err := tx.ExecContext(ctx, "INSERT INTO gpkg_contents (table_name, data_type, identifier, description, last_change) VALUES ('layer_styles', 'attributes', 'layer_styles', 'Styles of the layers', ?)", changed); err != nil {
				return err
			}
		}
		var sld any
		if l.Style.SLD != "" {
			sld = l.Style.SLD
		}
		if _, err := tx.ExecContext(ctx, `INSERT INTO layer_styles (f_table_catalog, f_table_schema, f_table_name, f_geometry_column, styleName, styleQML, styleSLD,
			useAsDefault, description, owner, update_time) VALUES ('', '', ?, ?, ?, ?, ?, 1, ?, '', ?)`,
			l.Name, geometryColumn, l.Style.Name, l.Style.QML, sld, l.Style.Description, changed); err != nil {
			return err
		}
	}
	return nil
}
