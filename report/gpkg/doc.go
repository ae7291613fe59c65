// Package gpkg writes OGC GeoPackages, version 1.3: one SQLite file that a GIS opens as layers.
//
// Layers of rows enter, each with its columns and a geometry in WGS 84 longitude and latitude; the bytes of a file
// leave. Every layer of geometries has a spatial index (the R-tree extension of the standard) and its extent; headings and
// descriptions of columns are those of its schema extension, and styles lie in the table where a GIS looks for them. The
// same layers give the same bytes.
package gpkg
