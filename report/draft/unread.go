package draft

import (
	"path/filepath"
	"strings"
)

// instead says what to export in place of a file in a format that is not read, by the end of its name; empty of any other file.
func instead(file string) string {
	switch end := strings.ToLower(filepath.Ext(file)); end {
	case ".kml", ".kmz", ".dxf", ".dwg", ".dgn", ".gml", ".gpx", ".tab", ".mif", ".mid", ".gdb", ".fgb", ".xyz", ".las", ".laz":
		return "a layer of the format " + end[1:] + " is not read: export it as GeoPackage, GeoJSON or shapefile, with its properties, or points as a table with coordinates"
	case ".mdb", ".accdb", ".dbf", ".sqlite", ".db", ".bak":
		return "a data base of the format " + end[1:] + " is not read: export each table as CSV or xlsx, with its headings"
	case ".xls", ".xlsb", ".ods", ".numbers":
		return "a workbook of the format " + end[1:] + " is not read: save it as xlsx, or each sheet as CSV"
	case ".pdf", ".doc", ".docx", ".rtf", ".odt", ".jpg", ".jpeg", ".png", ".ppt", ".pptx", ".msg", ".eml", ".html", ".htm", ".xml":
		return "a document of the format " + end[1:] + " is not read: its tables as xlsx or CSV are"
	case ".7z", ".rar", ".tar", ".tgz":
		return "an archive of the format " + end[1:] + " is not read: unpack it, or pack shapefiles as zip"
	}
	return ""
}
