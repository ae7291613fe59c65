// Package shp reads shapefiles. The parts of one enter as streams: the shapes (.shp), their index (.shx), the table of
// their properties (.dbf) and the name of its encoding (.cpg). Features leave one by one, each with its geometry and the
// row of the table that goes with it. It knows nothing of what they mean.
//
// What makes the file useless is a *DamageError or an *EncodingError, or the error of the reader below; what makes one
// shape useless goes with its feature.
//
// Sources: ESRI Shapefile Technical Description, an ESRI white paper, July 1998; of the table, the layout of dBASE III
// PLUS files as its manual and the public descriptions of the format give it (value from memory).
package shp
