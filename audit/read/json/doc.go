// Package jsontext reads JSON where it stands, without building values of it. What enters is text of any length, of which
// Window holds one value at a time; what leaves are the pieces of that text: values, members of objects, numbers, and the
// geometries of GeoJSON in the flat form of go-geom.
//
// It takes what RFC 8259 does and, besides, the NaN and Infinity that some programs write. What keeps it from reading on
// is an *UnexpectedError, ErrNotUTF8, ErrLongValue, io.ErrUnexpectedEOF where the text ends in the middle, or the error
// of the reader below.
package jsontext
