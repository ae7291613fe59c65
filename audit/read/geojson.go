package read

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"

	jsontext "dryarc/audit/read/json"
)

// featureReader reads a FeatureCollection, one feature a line or a sequence of RFC 8142 feature by feature.
type featureReader struct {
	in      *input
	placing *placing
	text    *jsontext.Window
	each    func(*feature) error
	count   uint32
	objects int // of the top level
}

// readFeatures calls each for every feature of an input, in order, and returns how many there are. A feature is good
// until the next one. Its text is in UTF-8 by the standard; what exporters write all the same the project file states.
func readFeatures(in *input, placing *placing, stated textEncoding, each func(*feature) error) (int, error) {
	r := featureReader{in: in, placing: placing, text: jsontext.NewWindow(in.asText(stated)), each: each}
	for {
		c, err := r.text.Peek()
		switch {
		case err != nil:
			return 0, r.broken(err)
		case c == '{':
			if err := r.object(); err != nil {
				return 0, err
			}
			r.objects++
		case !r.text.Ended():
			return 0, r.wrong(fmt.Sprintf("is no GeoJSON: it starts with %q, expected a FeatureCollection", string(rune(c))), exportHint)
		case r.objects > 0:
			return int(r.count), nil
		default:
			return 0, r.wrong("is empty, expected GeoJSON", exportHint)
		}
	}
}

// object reads one object of the top level: a collection, or a feature by itself.
func (r *featureReader) object() error {
	if err := r.text.Take('{', "an object"); err != nil {
		return r.broken(err)
	}
	var own feature
	collection := false
	c, err := r.text.Peek()
	goesOn := c != '}'
	if !goesOn {
		r.text.Pass()
	}
	for err == nil && goesOn {
		var name string
		if name, err = r.text.Name(); err != nil {
			break
		}
		if name == "features" {
			collection = true
			if err := r.placing.declareMember(own.crs, r.count); err != nil {
				return err
			}
			if err := r.features(); err != nil {
				return err
			}
		} else {
			var raw []byte
			if raw, err = r.text.Value(); err != nil {
				break
			}
			if slices.Contains(featureMembers, name) {
				own.set(name, bytes.Clone(raw))
			}
		}
		goesOn, err = r.text.GoesOn('}')
	}
	if err != nil {
		return r.broken(err)
	}
	if collection {
		return r.placing.declareMember(own.crs, r.count)
	}
	if own.kind != "Feature" {
		return r.wrong(fmt.Sprintf("is no GeoJSON of features: type %q, expected FeatureCollection or Feature", own.kind), exportHint)
	}
	return r.give(&own)
}

func (r *featureReader) features() error {
	if c, err := r.text.Peek(); err == nil && c != '[' {
		raw, err := r.text.Value()
		if err != nil {
			return r.broken(err)
		}
		return r.wrong(fmt.Sprintf("is no GeoJSON: its features are %s, expected a list", excerpt(string(raw))), exportHint)
	}
	err := r.text.Take('[', "a list")
	if err != nil {
		return r.broken(err)
	}
	c, err := r.text.Peek()
	if err == nil && c == ']' {
		r.text.Pass()
		return nil
	}
	var f feature
	var members []jsontext.Member
	for goesOn := true; err == nil && goesOn; {
		var raw []byte
		if raw, err = r.text.Object(&members, propertiesMember, &f.members); err != nil {
			break
		}
		f.read(raw, members)
		if err := r.give(&f); err != nil {
			return err
		}
		goesOn, err = r.text.GoesOn(']')
	}
	if err != nil {
		return r.broken(err)
	}
	return nil
}

func (r *featureReader) give(f *feature) error {
	r.count++
	f.number = r.count
	if f.problem == "" && f.kind != "Feature" {
		f.problem = "is not of the type Feature"
	}
	if err := r.placing.declareMember(f.crs, r.count-1); err != nil {
		return err
	}
	return r.each(f)
}

const exportHint = "export the layer again as GeoJSON"

func (r *featureReader) wrong(message, hint string) error {
	return &InputError{File: r.in.name, Message: message, Hint: hint}
}

// broken words an error of the text, after which nothing more can be read.
func (r *featureReader) broken(err error) error {
	var at *jsontext.UnexpectedError
	switch {
	case errors.Is(err, jsontext.ErrLongValue):
		return &InputError{File: r.in.name, Err: err,
			Message: fmt.Sprintf("has more than %d MiB in one value after feature %d", jsontext.LongestValue>>20, r.count), Hint: "divide or simplify what is so large"}
	case errors.Is(err, io.ErrUnexpectedEOF):
		return &InputError{File: r.in.name, Err: err,
			Message: fmt.Sprintf("ends in the middle, after %d whole features", r.count), Hint: exportHint}
	case errors.Is(err, jsontext.ErrNotUTF8):
		return &InputError{File: r.in.name, Err: err,
			Message: fmt.Sprintf("is not in UTF-8 after feature %d, as GeoJSON has to be", r.count), Hint: encodingHint}
	case errors.As(err, &at):
		return &InputError{File: r.in.name, Err: err,
			Message: fmt.Sprintf("is no valid JSON after feature %d: %s", r.count, at.Error()), Hint: exportHint}
	}
	if wrong := textProblem(r.in.name, err); wrong != nil {
		return wrong
	}
	return r.in.problem(err)
}

const encodingHint = "save it as UTF-8, for example: iconv -f WINDOWS-1252 -t UTF-8 in > out"
