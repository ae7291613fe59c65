package report

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
)

// manifestContent is what an audit.json or scope.json says of its run and of the other outputs.
type manifestContent struct {
	Run *struct {
		ID      string    `json:"id"`
		AsOf    string    `json:"as_of"`
		Outputs *[]Output `json:"outputs"`
	}
}

// listedAtStart is what a manifest that begins as runs write it says of the other outputs, whatever became of the rest of it.
func listedAtStart(path string) (listed []Output, ok bool) {
	file, err := openRegular(path)
	if err != nil {
		return nil, false
	}
	defer file.Close()
	d := json.NewDecoder(file)
	for _, expected := range [...]json.Token{json.Delim('{'), "run"} {
		if is, err := d.Token(); err != nil || is != expected {
			return nil, false
		}
	}
	var content manifestContent
	if err := d.Decode(&content.Run); err != nil || content.Run == nil || content.Run.Outputs == nil {
		return nil, false
	}
	return *content.Run.Outputs, true
}

// read reads one, and of what it does not keep no more at a time than an element of a list: a scope.json may be larger than what a run holds.
func (c *manifestContent) read(d *json.Decoder) error {
	err := c.readMembers(d)
	if errors.Is(err, io.EOF) {
		return io.ErrUnexpectedEOF
	}
	return err
}

func (c *manifestContent) readMembers(d *json.Decoder) error {
	switch begin, err := d.Token(); {
	case err != nil:
		return err
	case begin == nil:
		return nil
	case begin == json.Delim('['):
		return &json.UnmarshalTypeError{Value: "array", Type: reflect.TypeFor[manifestContent]()}
	case begin != json.Delim('{'):
		return &json.UnmarshalTypeError{Value: fmt.Sprintf("%T", begin), Type: reflect.TypeFor[manifestContent]()}
	}
	return eachMember(d, func(name string) error {
		switch {
		case strings.EqualFold(name, "run"):
			return d.Decode(&c.Run)
		case name == "scenarios":
			return passElements(d, func() error {
				if begin, err := d.Token(); err != nil || begin != json.Delim('{') {
					return err
				}
				return eachMember(d, func(string) error { return passElements(d, func() error { return pass(d) }) })
			})
		}
		return passElements(d, func() error { return pass(d) })
	})
}

// eachMember asks for the value of each member of an object that has begun, to its end.
func eachMember(d *json.Decoder, value func(name string) error) error {
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return err
		}
		if err := value(name.(string)); err != nil { // what stands there is one, or no token
			return err
		}
	}
	_, err := d.Token()
	return err
}

// passElements passes over a value, where it is a list by a function for each of its elements.
func passElements(d *json.Decoder, element func() error) error {
	begin, err := d.Token()
	switch {
	case err != nil:
		return err
	case begin == json.Delim('{'):
		return eachMember(d, func(string) error { return pass(d) })
	case begin != json.Delim('['):
		return nil
	}
	for d.More() {
		if err := element(); err != nil {
			return err
		}
	}
	_, err = d.Token()
	return err
}

// pass passes over a value as a whole.
func pass(d *json.Decoder) error { return d.Decode(new(passed)) }

// passed is a value that nobody keeps.
type passed struct{}

func (*passed) UnmarshalJSON([]byte) error { return nil }
