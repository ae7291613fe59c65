package audit

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is heard of an assembly holds for another only where each datum is the same that a check may be told of it.
func TestHeardOfForgetsNothing(t *testing.T) {
	ofOnePhase := []string{"Phase", "Phases", "Number", "Remarks", "Source", "Installed", "Inspected"} // told by no verdict but one that falls short
	key := func(r AssemblyRow, figures DirectValues, a Assembly) heardOf {
		return heardOf{row: r.withoutPhase(), figures: figures.Bits(), odd: a.Odd, side: a.Side, ends: a.CircuitEnds, mayEnd: a.CircuitMayEnd, dated: a.Dated, since: a.Installed}
	}
	row, figures := AssemblyRow{RowSaid: RowSaid{VAngleDeg: float32(math.NaN())}}, UnknownDirectValues()
	plain := key(row, figures, Assembly{})
	again := key(row, figures, Assembly{})
	require.True(t, plain.equals(&again))
	change := func(v reflect.Value) {
		switch {
		case v.Kind() == reflect.Bool:
			v.SetBool(!v.Bool())
		case v.CanFloat():
			v.SetFloat(7)
		case v.Kind() == reflect.Array:
			v.Index(v.Len() - 1).SetFloat(7)
		case v.CanInt():
			v.SetInt(v.Int() + 1)
		case v.CanUint():
			v.SetUint(v.Uint() + 1)
		default:
			t.Fatalf("a datum of another sort: %s", v.Type())
		}
	}
	for _, field := range reflect.VisibleFields(reflect.TypeFor[AssemblyRow]()) {
		name, other := field.Name, row
		if field.Anonymous || slices.Contains(ofOnePhase, name) || name == "Direct" { // its figures are told apart below
			continue
		}
		change(reflect.ValueOf(&other).Elem().FieldByIndex(field.Index))
		changed := key(other, figures, Assembly{})
		require.False(t, plain.equals(&changed), name)
	}
	for i := range reflect.TypeFor[DirectValues]().NumField() {
		other := figures
		change(reflect.ValueOf(&other).Elem().Field(i))
		changed := key(row, other, Assembly{})
		require.False(t, plain.equals(&changed), reflect.TypeFor[DirectValues]().Field(i).Name)
	}
	for _, a := range []Assembly{{Odd: OddInRun}, {Side: Ahead}, {CircuitEnds: true}, {CircuitMayEnd: true}, {Dated: true}, {Installed: 1}} {
		changed := key(row, figures, a)
		require.False(t, plain.equals(&changed), "%+v", a)
	}
	// What an assembly has beside that follows from its row, its figures and the catalogue.
	follows := []string{"Row", "Circuit", "Duty", "Arrangement", "Mounting", "Rings", "Makeup", "Unit", "UnitsPerString", "Strings", "Defective", "CreepageMM", "CreepageStated",
		"Direct", "VAngleDeg", "Faulty", "UnitFaulty", "units"}
	// What inspections tell of one is in its row, but for what is said where it falls short, and for those that are not alike to any, since what they count is unsure.
	follows = append(follows, "Observed")
	for i := range reflect.TypeFor[Assembly]().NumField() {
		name := reflect.TypeFor[Assembly]().Field(i).Name
		require.True(t, slices.Contains(ofOnePhase, name) || slices.Contains(follows, name) || slices.Contains([]string{"Odd", "Side", "CircuitEnds", "CircuitMayEnd", "Dated"}, name),
			"%s: does listen tell it apart?", name)
	}
}
