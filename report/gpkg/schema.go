package gpkg

import "fmt"

// applicationID and version mark an SQLite file as a GeoPackage: "GPKG", and 1.3.0.
const (
	applicationID = 0x47504B47
	version       = 10300
)

// wgs84Text is the reference system as well-known text.
const wgs84Text = `GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563,AUTHORITY["EPSG","7030"]],AUTHORITY["EPSG","6326"]],` +
	`PRIMEM["Greenwich",0,AUTHORITY["EPSG","8901"]],UNIT["degree",0.0174532925199433,AUTHORITY["EPSG","9122"]],AUTHORITY["EPSG","4326"]]`

// schema are the tables that every GeoPackage with features has, and the R-tree extension.
//
// Source: OGC 12-128r17 (GeoPackage 1.3), annex C and extension gpkg_rtree_index.
var schema = [...]string{
	`CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT NOT NULL, srs_id INTEGER NOT NULL PRIMARY KEY, organization TEXT NOT NULL,
		organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT)`,
	`CREATE TABLE gpkg_contents (table_name TEXT NOT NULL PRIMARY KEY, data_type TEXT NOT NULL, identifier TEXT UNIQUE,
		description TEXT DEFAULT '', last_change DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')),
		min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER,
		CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id))`,
	`CREATE TABLE gpkg_geometry_columns (table_name TEXT NOT NULL, column_name TEXT NOT NULL, geometry_type_name TEXT NOT NULL,
		srs_id INTEGER NOT NULL, z TINYINT NOT NULL, m TINYINT NOT NULL,
		CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name),
		CONSTRAINT uk_gc_table_name UNIQUE (table_name),
		CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name),
		CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id))`,
	`CREATE TABLE gpkg_extensions (table_name TEXT, column_name TEXT, extension_name TEXT NOT NULL, definition TEXT NOT NULL,
		scope TEXT NOT NULL, CONSTRAINT ge_tce UNIQUE (table_name, column_name, extension_name))`,
	`INSERT INTO gpkg_spatial_ref_sys VALUES
		('Undefined Cartesian SRS', -1, 'NONE', -1, 'undefined', 'undefined Cartesian coordinate reference system'),
		('Undefined geographic SRS', 0, 'NONE', 0, 'undefined', 'undefined geographic coordinate reference system'),
		('WGS 84 geodetic', 4326, 'EPSG', 4326, '` + wgs84Text + `', 'longitude and latitude in degrees on the WGS 84 ellipsoid')`,
}

// rtreeDefinition is where the standard defines the extension.
const rtreeDefinition = "http://www.geopackage.org/spec130/#extension_rtree"

// indexName is the table of the spatial index of a layer.
func (l *Layer) indexName() string { return "rtree_" + l.Name + "_" + geometryColumn }

func (l *Layer) createIndexSQL() string {
	return fmt.Sprintf("CREATE VIRTUAL TABLE %s USING rtree(id, minx, maxx, miny, maxy)", quoted(l.indexName()))
}

// triggersSQL keep the index true when a GIS edits the layer. The functions they call are those of the GIS.
func (l *Layer) triggersSQL() []string {
	table, index := quoted(l.Name), quoted(l.indexName())
	const has, lacks = "(NEW.geom NOTNULL AND NOT ST_IsEmpty(NEW.geom))", "(NEW.geom ISNULL OR ST_IsEmpty(NEW.geom))"
	put := "INSERT OR REPLACE INTO " + index + " VALUES (NEW.fid, ST_MinX(NEW.geom), ST_MaxX(NEW.geom), ST_MinY(NEW.geom), ST_MaxY(NEW.geom));"
	remove := "DELETE FROM " + index + " WHERE id = OLD.fid;"
	trigger := func(name, when, condition, action string) string {
		return fmt.Sprintf("CREATE TRIGGER %s AFTER %s ON %s WHEN %s BEGIN %s END", quoted(l.indexName()+"_"+name), when, table, condition, action)
	}
	return []string{
		trigger("insert", "INSERT", has, put),
		trigger("update1", "UPDATE OF geom", "OLD.fid = NEW.fid AND "+has, put),
		trigger("update2", "UPDATE OF geom", "OLD.fid = NEW.fid AND "+lacks, remove),
		trigger("update3", "UPDATE", "OLD.fid != NEW.fid AND "+has, remove+" "+put),
		trigger("update4", "UPDATE", "OLD.fid != NEW.fid AND "+lacks, "DELETE FROM "+index+" WHERE id IN (OLD.fid, NEW.fid);"),
		trigger("delete", "DELETE", "OLD.geom NOT NULL", remove),
	}
}
