package audit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// Rows that are kept in pieces, and copies of them, are what plain slices would be, whatever is done to which of them.
func TestAssemblyRowsAreAsSlices(t *testing.T) {
	for seed := range uint64(40) {
		lots := rand.New(rand.NewPCG(seed, 19))
		type kept struct {
			rows AssemblyRows
			want []AssemblyRow
			held map[int]*AssemblyRow // rows to be changed in place
		}
		all := []*kept{{held: map[int]*AssemblyRow{}}}
		drawn := func() AssemblyRow {
			angle := float32(math.NaN())
			if lots.IntN(4) == 0 {
				angle = float32(lots.IntN(3))
			}
			return AssemblyRow{RowOwn: RowOwn{Number: TextAt(lots.IntN(5)), Defective: int16(lots.IntN(3)), Inspected: Day(lots.IntN(100))},
				RowSaid: RowSaid{Makeup: uint32(lots.IntN(40)), VAngleDeg: angle, Strings: int16(lots.IntN(2))}}
		}
		for range 3000 {
			k := all[lots.IntN(len(all))]
			switch what := lots.IntN(100); {
			case what < 50 || len(k.want) == 0:
				row := drawn()
				k.rows.Append(row)
				k.want = append(k.want, row)
			case what < 90:
				i, row := lots.IntN(len(k.want)), drawn()
				if lots.IntN(3) == 0 {
					row = k.want[i]
				}
				k.rows.Set(i, row)
				k.want[i] = row
			case what < 92:
				i := lots.IntN(len(k.want))
				k.held[i] = k.rows.Row(i)
			case what < 96:
				for i, row := range k.held {
					row.Duty++
					k.want[i].Duty++
				}
			case what < 99 && len(all) < 6:
				all = append(all, &kept{k.rows.Clone(), slices.Clone(k.want), map[int]*AssemblyRow{}})
			case what == 99:
				third := lots.IntN(3)
				k.rows.Delete(func(i int) bool { return i%3 == third })
				k.want, k.held = slices.Clone(k.want), map[int]*AssemblyRow{}
				i := -1
				k.want = slices.DeleteFunc(k.want, func(AssemblyRow) bool { i++; return i%3 == third })
			}
		}
		for _, k := range all {
			require.Equal(t, len(k.want), k.rows.Len())
			for i, row := range k.rows.All() {
				require.Equal(t, fmt.Sprint(k.want[i]), fmt.Sprint(row), "seed %d, row %d", seed, i)
				require.Equal(t, fmt.Sprint(k.want[i].RowSaid), fmt.Sprint(*k.rows.saidOf(uint32(i))))
				require.Equal(t, k.want[i].RowOwn, *k.rows.ownOf(uint32(i)))
			}
		}
	}
}

// A register in which every row says something else takes little more than the rows themselves.
func TestRowsThatAllDiffer(t *testing.T) {
	const rows = 400_000
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	var a AssemblyRows
	for i := range rows {
		a.Append(AssemblyRow{RowSaid: RowSaid{Direct: uint32(i + 1)}})
	}
	c := a.Clone() // which shares them
	runtime.GC()
	runtime.ReadMemStats(&after)
	require.Less(t, float64(after.HeapAlloc-before.HeapAlloc)/rows, 95.0)
	require.Equal(t, uint32(rows), c.At(rows-1).Direct)
	runtime.KeepAlive(&a)
}

// A row resolved by what was resolved of one that says the same is as one resolved by itself.
func TestAssemblyLikeForgetsNothing(t *testing.T) {
	lots := rand.New(rand.NewPCG(4, 17))
	nan := math.NaN()
	p := &Project{Direct: []DirectValues{{CreepageMM: 3000, RatingKN: 120, LengthMM: nan, ArcingMM: nan, LightningKV: nan, SwitchingKV: nan, WetKV: nan, WetSwitchingKV: nan, SlipKN: nan}}}
	for range 2000 {
		drawn := func(limit int) int { return lots.IntN(limit) }
		p.Assemblies.Append(AssemblyRow{
			RowOwn:  RowOwn{Line: Symbol(drawn(2)), Number: TextAt(drawn(9)), Source: Source{Row: uint32(drawn(1000))}, Installed: Day(drawn(9)), Inspected: Day(drawn(9)), Defective: int16(drawn(2)), Side: Side(drawn(3))},
			RowSaid: RowSaid{Circuit: Symbol(drawn(2)), Phase: Symbol(drawn(2)), Phases: 1 << drawn(2), Direct: uint32(drawn(2)), VAngleDeg: float32(drawn(2) * 90), Strings: int16(drawn(2)), Duty: Duty(drawn(2))},
		})
	}
	n := &Network{Project: p}
	var alike alikeStrings[Assembly]
	for row := range uint32(p.Assemblies.Len()) {
		is, want := *n.assemblyLike(&alike, row), n.Assembly(row)
		require.True(t, isSame(reflect.ValueOf(want), reflect.ValueOf(is)), "row %d: %+v, %+v", row, want, is)
	}
	require.Less(t, alike.next, p.Assemblies.Len()-50)
}
