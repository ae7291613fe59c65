package read

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
	"time"

	"dryarc/audit/read/gpkg"
	jsontext "dryarc/audit/read/json"
)

// isGeoPackage tells GeoPackages by their first bytes.
func (in *input) isGeoPackage() bool { return string(in.head) == gpkg.Magic }

// readPackage calls each for every feature of a layer of a GeoPackage, and returns how many there are and the layer's
// name. SQLite opens the file by its path. So it is hashed before and after, and the path has to lead to the file that was
// hashed. wanted is the name that the project file gives, empty where it gives none: the only layer is meant.
func readPackage(ctx context.Context, in *input, placing *placing, wanted, section string, each func(*feature) error) (count int, name string, err error) {
	content, err := in.held(true)
	if err != nil {
		return 0, "", err
	}
	in.taken = false // the rest of it is hashed at the end
	if content.own {
		defer func() { err = errors.Join(err, content.close()) }()
	}
	if err := content.takeSum(); err != nil {
		return 0, "", in.problem(err)
	}
	broken := func(err error) error {
		var known *InputError
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case errors.As(err, &known):
			return err
		case errors.Is(err, gpkg.ErrInUse):
			return &InputError{File: in.name, Message: err.Error(), Err: err, Hint: "close it there, or export the layer into another file"}
		}
		return &InputError{File: in.name, Message: "is no GeoPackage that can be read: " + err.Error(), Err: err, Hint: "export the layer again, as GeoPackage or GeoJSON"}
	}
	file, err := gpkg.Open(ctx, content.path)
	if err != nil {
		return 0, "", broken(err)
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	layers, err := file.Layers(ctx)
	if err != nil {
		return 0, "", broken(err)
	}
	layer, err := chosenLayer(in.name, layers, wanted, section)
	if err != nil {
		return 0, "", err
	}
	if err := placing.declareLayer(layer); err != nil {
		return 0, "", err
	}
	err = file.Features(ctx, layer, func(f *gpkg.Feature) error {
		count++
		given := packageFeature(f)
		return each(&given)
	})
	if err != nil {
		return count, layer.Name, broken(err)
	}
	return count, layer.Name, content.stillThere(in)
}

// chosenLayer finds the layer of a name, or the only one.
func chosenLayer(file string, layers []gpkg.Layer, wanted, section string) (gpkg.Layer, error) {
	var names []string
	for _, layer := range layers {
		if layer.Name == wanted || wanted != "" && Composed(layer.Name) == Composed(wanted) || wanted == "" && len(layers) == 1 {
			return layer, nil
		}
		names = append(names, layer.Name)
	}
	switch {
	case len(names) == 0:
		return gpkg.Layer{}, &InputError{File: file, Message: "holds no layer of features", Hint: "export the layer again, with its geometry"}
	case wanted != "":
		hint := "name one of them under " + section + " in the project file: layer: …"
		if close := near(wanted, names); close != "" {
			hint = fmt.Sprintf("did you mean %q?", close)
		}
		return gpkg.Layer{}, &InputError{File: file, Message: fmt.Sprintf("has no layer %q; the layers there are %s", wanted, quotedList(names)), Hint: hint}
	}
	return gpkg.Layer{}, &InputError{File: file, Message: fmt.Sprintf("has %d layers, expected one or a name: %s", len(names), quotedList(names)),
		Hint: fmt.Sprintf("name one of them under %s in the project file: layer: %s", section, names[0])}
}

// packageFeature is a feature of a GeoPackage in the form of the other layers.
func packageFeature(f *gpkg.Feature) feature {
	given := feature{kind: "Feature", number: uint32(min(max(f.ID, 0), math.MaxUint32)), decoded: f.Geometry, undecoded: f.Problem}
	for i, name := range f.Names {
		if value := jsonOf(f.Values[i]); value != nil {
			given.members = append(given.members, jsontext.Member{Name: []byte(name), Value: value})
		}
	}
	return given
}

// jsonOf is a value of a column as JSON has it; nothing for bytes.
func jsonOf(value any) json.RawMessage {
	switch v := value.(type) {
	case nil:
		return json.RawMessage("null")
	case int64:
		return strconv.AppendInt(nil, v, 10)
	case bool:
		return strconv.AppendBool(nil, v)
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return json.RawMessage("null")
		}
		return strconv.AppendFloat(nil, v, 'g', -1, 64)
	case time.Time:
		return json.RawMessage(strconv.Quote(v.Format(time.DateOnly)))
	case string:
		text, err := json.Marshal(v)
		if err != nil {
			return nil
		}
		return text
	}
	return nil
}
