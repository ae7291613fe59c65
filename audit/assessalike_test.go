package audit

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is heard of an assembly holds for another only where each datum is the same that a check may be told of it.
func TestHeardOfForgetsNothing(t *testing.T) {
	ofOnePhase := []string{"Phase", "Phases", "Number", "Remarks", "Source", "Installed", "Inspected"} // told by no verdict but one that falls short
	var kinds rowKinds
	key := func(r AssemblyRow, figures DirectValues, a Assembly) heardOf {
		n := &Network{Project: &Project{Direct: []DirectValues{figures}}}
		r.Phases, r.Direct = 1, 1
		n.Project.Assemblies.Append(r)
		of, ok := n.heardOf(&kinds, &Subject{Assembly: &a}, &Location{})
		require.True(t, ok)
		return of
	}
	row, figures := AssemblyRow{RowSaid: RowSaid{VAngleDeg: float32(math.NaN())}}, UnknownDirectValues()
	plain := func() heardOf { return key(row, figures, Assembly{}) } // found once more each time, since a number is known for a while
	require.Equal(t, plain(), plain())
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
		require.NotEqual(t, plain(), changed, name)
	}
	for i := range reflect.TypeFor[DirectValues]().NumField() {
		other := figures
		change(reflect.ValueOf(&other).Elem().Field(i))
		changed := key(row, other, Assembly{})
		require.NotEqual(t, plain(), changed, reflect.TypeFor[DirectValues]().Field(i).Name)
	}
	for _, a := range []Assembly{{Odd: OddInRun}, {Side: Ahead}, {CircuitEnds: true}, {CircuitMayEnd: true}, {Dated: true}, {Installed: 1}} {
		changed := key(row, figures, a)
		require.NotEqual(t, plain(), changed, "%+v", a)
	}
	// What an assembly has beside that follows from its row, its figures and the catalogue.
	follows := []string{"Row", "Circuit", "Duty", "Arrangement", "Mounting", "Rings", "Makeup", "Unit", "UnitsPerString", "Strings", "Defective", "CreepageMM", "CreepageStated",
		"Direct", "VAngleDeg", "Faulty", "UnitFaulty", "units"}
	// What inspections tell of one is in its row, but for what is said where it falls short, and for those that are not alike to any, since what they count is unsure.
	follows = append(follows, "Observed")
	// Of what is tried in a place nothing is heard.
	follows = append(follows, "FittingsUnknown")
	for i := range reflect.TypeFor[Assembly]().NumField() {
		name := reflect.TypeFor[Assembly]().Field(i).Name
		require.True(t, slices.Contains(ofOnePhase, name) || slices.Contains(follows, name) || slices.Contains([]string{"Odd", "Side", "CircuitEnds", "CircuitMayEnd", "Dated"}, name),
			"%s: does listen tell it apart?", name)
	}
}

// Rows of one number say the same, however many others were looked at between them, and those looked at one after the other that do have one.
func TestRowKinds(t *testing.T) {
	random := rand.New(rand.NewPCG(17, 0))
	said := make([]RowSaid, 40)
	for i := range said {
		said[i] = RowSaid{Phase: Symbol(random.IntN(3)), Phases: 1 << random.IntN(3), Makeup: uint32(random.IntN(10)), Direct: uint32(random.IntN(2)), VAngleDeg: float32(math.NaN())}
	}
	var kinds rowKinds
	what := map[int]toldByRow{}
	known := 0
	for range 4000 {
		one := &said[random.IntN(len(said))]
		alike := *one
		alike.Phase, alike.Phases = 7, 1<<5
		figures := FigureBits{uint64(one.Direct)}
		of := func(r *RowSaid) int { return kinds.of(r, func() FigureBits { return figures }) }
		number := of(one)
		require.Equal(t, number, of(&alike))
		phaseless := one.withoutPhase()
		is := toldByRow{saidKeyOf(&phaseless), figures}
		before, found := what[number]
		require.True(t, !found || before == is, "%+v", is)
		if what[number] = is; found {
			known++
		}
	}
	require.Positive(t, known)
}
