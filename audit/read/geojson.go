package read

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/twpayne/go-geom"
)

// feature is one feature of a GeoJSON file as it stands there.
type feature struct {
	Type       string                     `json:"type"`
	Geometry   json.RawMessage            `json:"geometry"`
	Properties map[string]json.RawMessage `json:"properties"`
	CRS        json.RawMessage            `json:"crs"`

	number  uint32 // counted from 1
	problem string // why it cannot be used at all, empty where it can
}

// shape decodes the geometry; the error says in words what is wrong with it.
func (f *feature) shape() (geom.T, error) { return decodeGeometry(f.Geometry) }

// featureReader reads a FeatureCollection, one feature a line or a sequence of RFC 8142 feature by feature.
type featureReader struct {
	in      *input
	decoder *json.Decoder
	each    func(*feature) error
	count   uint32
	objects int // of the top level
}

// readFeatures calls each for every feature of an input, in order, and returns how many there are.
func readFeatures(in *input, each func(*feature) error) (int, error) {
	r := featureReader{in: in, decoder: json.NewDecoder(newPlainJSON(in)), each: each}
	for {
		token, err := r.decoder.Token()
		switch {
		case err == io.EOF && r.objects > 0:
			return int(r.count), nil
		case err == io.EOF:
			return 0, r.wrong("is empty, expected GeoJSON", exportHint)
		case err != nil:
			return 0, r.broken(err)
		case token != json.Delim('{'):
			return 0, r.wrong(fmt.Sprintf("is no GeoJSON: it starts with %q, expected a FeatureCollection", fmt.Sprint(token)), exportHint)
		}
		if err := r.object(); err != nil {
			return 0, err
		}
		r.objects++
	}
}

// object reads one object of the top level: a collection, or a feature by itself.
func (r *featureReader) object() error {
	var own feature
	collection := false
	for r.decoder.More() {
		name, err := r.decoder.Token()
		if err != nil {
			return r.broken(err)
		}
		switch name {
		case "features":
			collection = true
			err = r.features()
		case "type":
			err = r.value(&own, "type", &own.Type)
		case "geometry":
			err = r.value(&own, "geometry", &own.Geometry)
		case "properties":
			err = r.value(&own, "properties", &own.Properties)
		case "crs":
			err = r.value(&own, "crs", &own.CRS)
		default:
			var other json.RawMessage
			err = r.value(&own, "", &other)
		}
		if err != nil {
			return err
		}
	}
	if _, err := r.decoder.Token(); err != nil {
		return r.broken(err)
	}
	if collection {
		return r.checkCRS(own.CRS)
	}
	if own.Type != "Feature" {
		return r.wrong(fmt.Sprintf("is no GeoJSON of features: type %q, expected FeatureCollection or Feature", own.Type), exportHint)
	}
	return r.give(&own)
}

// value decodes one value of an object; a value of the wrong kind is a problem of the feature only.
func (r *featureReader) value(own *feature, name string, to any) error {
	var wrong *json.UnmarshalTypeError
	err := r.decoder.Decode(to)
	switch {
	case errors.As(err, &wrong):
		own.problem = wrongKind(name)
	case err != nil:
		return r.broken(err)
	}
	return nil
}

func (r *featureReader) features() error {
	start, err := r.decoder.Token()
	if err != nil {
		return r.broken(err)
	}
	if start != json.Delim('[') {
		return r.wrong(fmt.Sprintf("is no GeoJSON: its features are %v, expected a list", start), exportHint)
	}
	var f feature
	for r.decoder.More() {
		clear(f.Properties)
		f = feature{Properties: f.Properties}
		err := r.decoder.Decode(&f)
		var wrong *json.UnmarshalTypeError
		switch {
		case errors.As(err, &wrong):
			f.problem = wrongKind(wrong.Field)
		case err != nil:
			return r.broken(err)
		}
		if err := r.give(&f); err != nil {
			return err
		}
	}
	if _, err := r.decoder.Token(); err != nil {
		return r.broken(err)
	}
	return nil
}

func (r *featureReader) give(f *feature) error {
	r.count++
	f.number = r.count
	if f.problem == "" && f.Type != "Feature" {
		f.problem = "is not of the type Feature"
	}
	if err := r.checkCRS(f.CRS); err != nil {
		return err
	}
	return r.each(f)
}

// wrongKind says which member of a feature is of the wrong kind; no member is the feature itself.
func wrongKind(member string) string {
	switch member {
	case "type":
		return "has a type that is no text"
	case "properties":
		return "has properties that are no object"
	}
	return "is no object"
}

// checkCRS refuses a member crs that names anything but WGS 84 longitude, latitude.
func (r *featureReader) checkCRS(crs json.RawMessage) error {
	if len(crs) == 0 || string(crs) == "null" {
		return nil
	}
	var named struct {
		Properties struct {
			Name string `json:"name"`
		} `json:"properties"`
	}
	name := ""
	if json.Unmarshal(crs, &named) == nil {
		name = named.Properties.Name
	}
	if isWGS84(name) {
		return nil
	}
	if name == "" {
		name = excerpt(string(crs))
	}
	return r.wrong(fmt.Sprintf("crs %q is not WGS 84 longitude, latitude", name), convertHint)
}

const (
	exportHint  = "export the layer again as GeoJSON"
	convertHint = "convert it, for example: ogr2ogr -t_srs EPSG:4326 out.geojson in.geojson"
)

func isWGS84(name string) bool {
	name = strings.ToUpper(strings.Join(strings.Fields(name), ""))
	return strings.Contains(name, "CRS84") || name == "WGS84" ||
		strings.HasPrefix(name, "URN:OGC:DEF:CRS:EPSG:") && strings.HasSuffix(name, ":4326") ||
		name == "EPSG:4326" || strings.HasSuffix(name, "/EPSG/0/4326")
}

func (r *featureReader) wrong(message, hint string) error {
	return &InputError{File: r.in.name, Message: message, Hint: hint}
}

// broken words an error of the decoder, after which nothing more can be read.
func (r *featureReader) broken(err error) error {
	var syntax *json.SyntaxError
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return &InputError{File: r.in.name, Err: err,
			Message: fmt.Sprintf("ends in the middle, after %d whole features", r.count), Hint: exportHint}
	case errors.As(err, &syntax):
		return &InputError{File: r.in.name, Err: err,
			Message: fmt.Sprintf("is no valid JSON after feature %d: %s", r.count, syntax.Error()), Hint: exportHint}
	}
	return r.in.problem(err)
}

// excerpt shortens what is quoted in a message.
func excerpt(text string) string {
	const longest = 60
	runes := []rune(text)
	if len(runes) <= longest {
		return text
	}
	return string(runes[:longest-1]) + "…"
}
