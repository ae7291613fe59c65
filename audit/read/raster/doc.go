// Package raster reads grids of numbers: TIFF with the tags of GeoTIFF, SRTM height files (HGT) and ESRI ASCII grids. A file
// enters as a reader at any place, of which only the windows that are asked for are read; out comes the value at a position, bilinear
// between the centres of the samples around it. It knows nothing of what the numbers mean.
//
// What makes a file useless is an *Error, or the error of the reader below.
//
// Sources: TIFF Revision 6.0, Adobe, 3 June 1992; its Technical Note 3, Adobe, 8 April 2005 (predictor 3); OGC 19-008r4, GeoTIFF
// Standard 1.1; BigTIFF, compression 50000 and the tags 42112 and 42113 as GDAL writes them (its documentation of the GTiff driver, value
// from memory); the layouts of HGT and of ASCII grids as their public descriptions give them (value from memory).
package raster
