// Package read opens the inputs of an audit and fills the types of package audit: the project file (YAML), the layers of
// structures, routes, zones, crossings and places (GeoJSON, GeoPackage, GeoParquet, shapefiles, tables of points) and the register (workbooks, files of text, Parquet). It is the
// only package that opens inputs.
//
// The columns of the register are declared once, in the files *columns.go: reading, messages, the template of a new
// project and the README all come from there. Understood tells how each input was understood.
//
// What is wrong with the data is an audit.Fault of the project, and the row stays with the faulty field unknown. Only
// what makes an input useless stops the reading: a *ProjectFileError or an *InputError, each with a hint.
package read
