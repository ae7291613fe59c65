package report

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// Rows that are made beside each other are those that are made one after the other, in their order, with what looks different and what is cut.
func TestRowsInPartsAreTheRows(t *testing.T) {
	lengths := []int{partRows, 1, 300, 0, partRows, 7, 40, 2}
	row := func(i int) []any {
		return []any{fmt.Sprintf("L-%d", i%7), float64(i) / 3, styled{i, look{bold: i%2 == 0}}, asRead(strings.Repeat("x", i%3*20_000)), metres(i)}
	}
	made := func(add func(t *table)) *table {
		file := excelize.NewFile()
		b := &book{file: file, looks: looks{file, map[look]int{}}, shown: true}
		rows := b.newTable(context.Background(), "Sheet1", 1, []column{{"A", 9, look{}}, {"B", 9, look{format: asTenths}}, {"C", 9, look{}}, {"D", 9, look{wrap: true}}, {"E", 9, look{}}})
		rows.style(look{bold: true}) // a part that asks first would number it
		rows.style(look{bold: true}.centred())
		rows.style(look{}.centred())
		add(rows)
		require.NoError(t, rows.finish())
		return rows
	}
	total := 0
	for _, n := range lengths {
		total += n
	}
	want := made(func(t *table) {
		for i := range total {
			t.add(row(i)...)
		}
	})
	got := made(func(t *table) {
		t.addParts(lengths, func(part int, t *table) {
			first := 0
			for _, n := range lengths[:part] {
				first += n
			}
			for i := range lengths[part] {
				t.add(row(first + i)...)
			}
		})
	})
	require.Equal(t, want.rows.packed.deflated, got.rows.packed.deflated)
	require.Equal(t, want.data, got.data)
	require.Equal(t, want.cut, got.cut)
	require.Greater(t, len(got.cut), 100)
}

// A part that fails fails the table, and the others end.
func TestAPartThatFailsFailsTheTable(t *testing.T) {
	file := excelize.NewFile()
	b := &book{file: file, looks: looks{file, map[look]int{}}}
	rows := b.newTable(context.Background(), "Sheet1", 1, []column{{"A", 9, look{}}})
	rows.addParts([]int{3, 3, 3, 3, 3, 3, 3, 3}, func(part int, t *table) {
		if t.add(part); part == 2 {
			t.add(struct{}{})
		}
	})
	require.ErrorContains(t, rows.finish(), "a cell holds a struct {}")
}
