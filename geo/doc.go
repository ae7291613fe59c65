// Package geo knows lengths, azimuths, deviation, chainage, areas and crossings on the WGS 84 ellipsoid.
//
// What enters: positions as orb.Point {longitude, latitude} in degrees, polygons as flat coordinates with ring ends,
// and plain integers (rank, key) that stand for whatever the caller has in mind. Nothing is read from a file.
//
// What leaves: lengths in metres along the geodesic, azimuths and angles in degrees clockwise from north, keys, and
// errors that say in plain words which ring and position is wrong. Radians never leave the package.
//
// Edges of polygons and of barriers are straight in longitude and latitude, as RFC 7946 has them, so that whoever has edges that are straight in
// another system adds positions on them; spans and routes are geodesics. Whether a point is inside, or two edges meet, is decided exactly on the coordinates given, never within a
// tolerance. Everything that is prepared by a New function may be used by many goroutines at once.
package geo
