// Package wkb decodes geometries in well-known binary, whatever the file they stand in. Bytes enter, a geometry leaves; what is broken is
// an error that ends a sentence about the geometry.
package wkb

import (
	"fmt"

	geom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/ewkb"
	"github.com/twpayne/go-geom/encoding/wkb"
	"github.com/twpayne/go-geom/encoding/wkbcommon"
)

// Decode decodes a geometry; nil for one without any position.
func Decode(body []byte) (geom.T, error) {
	return decode(body, func(body []byte) (geom.T, error) {
		return wkb.Unmarshal(body, wkbcommon.WKBOptionEmptyPointHandling(wkbcommon.EmptyPointHandlingNaN))
	})
}

// DecodeExtended does so with one in extended well-known binary, as PostGIS has it, whose system it passes over.
func DecodeExtended(body []byte) (geom.T, error) { return decode(body, ewkb.Unmarshal) }

func decode(body []byte, unmarshal func([]byte) (geom.T, error)) (shape geom.T, err error) {
	defer func() {
		if p := recover(); p != nil {
			shape, err = nil, fmt.Errorf("cannot be decoded (%v)", p)
		}
	}()
	if err := (&wellKnown{bytes: body}).check(0); err != nil {
		return nil, err
	}
	shape, err = unmarshal(body)
	switch {
	case err != nil:
		return nil, fmt.Errorf("cannot be decoded: %w", err)
	case shape.Empty():
		return nil, nil
	}
	return shape, nil
}
