package audit

import (
	"math"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"
)

// filledStructure is a row in which every field says something of its own.
func filledStructure() (row StructureRow) {
	v := reflect.ValueOf(&row).Elem()
	for i := range v.NumField() {
		switch f := v.Field(i); f.Kind() {
		case reflect.Float64:
			f.SetFloat(float64(i) + 0.5)
		case reflect.Bool:
			f.SetBool(true)
		case reflect.Struct:
			f.Set(reflect.ValueOf(Source{7, 8}))
		default:
			f.Set(reflect.ValueOf(i + 1).Convert(f.Type()))
		}
	}
	return row
}

// A field that is forgotten in one of the parts would come back as 0.
func TestStructureRowsComeBackAsTheyWere(t *testing.T) {
	filled := filledStructure()
	require.False(t, reflect.ValueOf(filled).IsZero())
	blank := StructureRow{AttachmentM: math.NaN(), DeviationLimitDeg: math.NaN(), GroundM: math.NaN(), Sequence: math.NaN()}
	var rows StructureRows
	require.Zero(t, rows.Len())
	rows.Append(filled)
	rows.Append(blank)
	require.Equal(t, 2, rows.Len())
	require.Equal(t, filled, rows.At(0))
	require.True(t, math.IsNaN(rows.At(1).AttachmentM) && math.IsNaN(rows.At(1).DeviationLimitDeg) && math.IsNaN(rows.At(1).GroundM) && math.IsNaN(rows.At(1).Sequence))
	v := reflect.ValueOf(filled)
	for i := range v.NumField() { // each alone, so that none stands for another
		one := StructureRow{}
		reflect.ValueOf(&one).Elem().Field(i).Set(v.Field(i))
		rows.Set(1, one)
		require.Equal(t, one, rows.At(1), v.Type().Field(i).Name)
		require.Equal(t, filled, rows.At(0))
	}
}

// What rows say alike is kept once, also where they leave figures blank; copies are the same rows, others like them are none of them.
func TestStructureRowsAreShared(t *testing.T) {
	var rows StructureRows
	for i := range 100 {
		rows.Append(StructureRow{AttachmentM: math.NaN(), DeviationLimitDeg: math.NaN(), Lon: float64(i), Duty: Duty(i % 2), Source: Source{1, uint32(i)}})
	}
	require.Len(t, rows.said, 2)
	same := rows
	var clone StructureRows
	for _, row := range rows.All() {
		clone.Append(row)
	}
	rows.Row(5).Lon = -1
	changed := rows.At(6)
	changed.Duty, changed.Lon = Duty(9), -2
	rows.Set(6, changed)
	rows.Row(7).Duty = Duty(8)
	rows.Set(5, changed)
	rows.Row(5).Lon = -3
	require.Equal(t, -3.0, same.At(5).Lon)
	require.Equal(t, -3.0, same.ownOf(5).Lon)
	require.Equal(t, Duty(9), same.saidOf(5).Duty)
	require.Equal(t, Duty(9), same.At(6).Duty)
	require.Equal(t, Duty(8), same.saidOf(7).Duty)
	require.Equal(t, Duty(0), same.saidOf(8).Duty)
	require.Equal(t, 6.0, clone.At(6).Lon)
	require.Equal(t, 5.0, clone.At(5).Lon)
	require.True(t, rows.are(same))
	require.False(t, rows.are(clone))
}

// Where no row says what another says, the same is looked for among some alone.
func TestStructureRowsThatAllDiffer(t *testing.T) {
	var rows StructureRows
	for i := range 2*saidLately + 5 {
		rows.Append(StructureRow{AttachmentM: float64(i)})
	}
	require.LessOrEqual(t, len(rows.numbers), saidLately)
	for i, row := range rows.All() {
		require.Equal(t, float64(i), row.AttachmentM)
	}
}
