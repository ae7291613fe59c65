package read

import (
	"encoding/json"
	"fmt"

	jsontext "dryarc/audit/read/json"

	"github.com/twpayne/go-geom"
)

// feature is one feature of a layer as it stands there.
type feature struct {
	kind     string // its member type
	geometry json.RawMessage
	members  []jsontext.Member // its properties
	crs      json.RawMessage
	bbox     json.RawMessage // as it states its extent itself

	number   uint32 // counted from 1
	problem  string // why it cannot be used at all, empty where it can
	doubtful bool   // it cannot be told whether the project file chooses it
	parted   bool   // a row of a table of which it cannot be told what stands in which column

	table *pointTable // that it is a row of; nil where it is none
	cells []string    // of that row

	decoded   geom.T // the geometry, where the layer has no text of it
	undecoded error  // why it has none

	placing *placing // of the file

	room [3]float64 // for a position
}

// featureMembers are the members that set takes.
var featureMembers = []string{"type", "geometry", propertiesMember, "crs", "bbox"}

// read takes the members of a feature, whose text is known to be sound. What its properties are f has already where they are called so
// without an escaped character.
func (f *feature) read(raw []byte, members []jsontext.Member) {
	*f = feature{members: f.members}
	if raw[0] != '{' {
		f.problem = "is no object"
	}
	properties := 0
	for _, m := range members {
		if string(m.Name) == propertiesMember {
			properties++
		}
	}
	for _, m := range members {
		if string(m.Name) == propertiesMember && properties == 1 && len(f.members) > 0 {
			f.checkProperties(m.Value)
			continue
		}
		f.set(string(m.Name), m.Value)
	}
	if len(members) > jsontext.MostMembers {
		f.problem = fmt.Sprintf("has more than %d members", jsontext.MostMembers)
	}
}

// propertiesMember is the member of a feature that holds its properties.
const propertiesMember = "properties"

// set takes a member of the feature.
func (f *feature) set(name string, value json.RawMessage) {
	switch name {
	case "type":
		switch f.kind = ""; {
		case string(value) == `"Feature"`:
			f.kind = "Feature"
		case value[0] == '"':
			f.kind = jsontext.Unquoted(value)
		default:
			f.problem = "has a type that is no text"
		}
	case "geometry":
		f.geometry = value
	case propertiesMember:
		if f.members = f.members[:0]; value[0] == '{' {
			f.members = jsontext.AppendMembers(f.members, value)
		}
		f.checkProperties(value)
	case "crs":
		f.crs = value
	case "bbox":
		f.bbox = value
	}
}

// checkProperties says what is wrong with the properties of a feature, which have been taken apart.
func (f *feature) checkProperties(value json.RawMessage) {
	switch {
	case value[0] != '{' && string(value) != "null":
		f.problem = "has properties that are no object"
	case len(f.members) > jsontext.MostMembers:
		f.problem = fmt.Sprintf("has more than %d properties", jsontext.MostMembers)
	}
}

// property returns a property as it stands there; of two of one name the last, as JSON readers do. None is empty.
func (f *feature) property(name string) json.RawMessage {
	for i := len(f.members) - 1; i >= 0; i-- {
		if string(f.members[i].Name) == name {
			return f.members[i].Value
		}
	}
	return nil
}

// position returns the position of a point, if the geometry is plainly one.
func (f *feature) position() (position [3]float64, count int, ok bool) {
	flat := jsontext.PlainPoint(f.geometry, f.room[:])
	copy(position[:], flat)
	return position, len(flat), flat != nil
}

// shape decodes the geometry; the error says in words what is wrong with it.
func (f *feature) shape() (geom.T, error) {
	if f.decoded != nil || f.undecoded != nil {
		return f.decoded, f.undecoded
	}
	if shape := jsontext.PlainShape(f.geometry); shape != nil {
		return shape, nil
	}
	return decodeGeometry(f.geometry)
}
