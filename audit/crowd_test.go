package audit

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is told of a crowd is what looking at each of its rows tells.
func TestCrowdTellsWhatItsRowsTell(t *testing.T) {
	lots := rand.New(rand.NewPCG(1, 2))
	for trial := range 400 {
		p := &Project{}
		kinds := 1 + lots.IntN(3)
		for range 1 + lots.IntN(6) {
			row := AssemblyRow{RowSaid: RowSaid{Duty: Suspension, Makeup: 1, UnitsPerString: int16(lots.IntN(kinds))}}
			switch lots.IntN(12) {
			case 0:
				row.UnitsPerString = -1
			case 1:
				row.UnitsPerString, row.Faulty = -1, row.Faulty.With(CellUnitsPerString)
			case 2:
				row.Duty = Tension
			}
			p.Assemblies.Append(row)
		}
		n := &Network{Project: p, structures: make([]station, 1)}
		var all crowd
		for i := range p.Assemblies.Len() {
			n.placed = append(n.placed, uint32(i))
			key, known := n.keyOf(p.Assemblies.saidOf(uint32(i)))
			all[p.Assemblies.Row(i).Duty].add(uint32(i), key, known, p.Assemblies.Row(i).Faulty&makeupCells != 0)
		}
		for _, except := range append([]uint32{noRow}, n.placed...) {
			for duty := range all {
				if except != noRow && p.Assemblies.Row(int(except)).Duty != Duty(duty) {
					continue
				}
				n.crowds = nil
				want := n.commonAt(0, Duty(duty), except)
				n.crowds = map[int]*crowd{0: &all}
				require.Equal(t, want, n.commonAt(0, Duty(duty), except), "trial %d: all but %d of %+v", trial, except, p.Assemblies)
			}
		}
	}
}

// BenchmarkManyRowsAtOneStructure takes twice as long for twice the rows, not four times.
func BenchmarkManyRowsAtOneStructure(b *testing.B) {
	for _, rows := range []int{5_000, 10_000, 20_000} {
		b.Run(fmt.Sprint(rows), func(b *testing.B) {
			p := invented(b, 50)
			one := p.Assemblies.At(0)
			p.Assemblies = AssemblyRows{}
			for i := range rows {
				one.Circuit = p.Symbols.Number(fmt.Sprint(i + 1))
				one.Source.Row = uint32(i + 2)
				p.Assemblies.Append(one)
			}
			p.RowsRead = rows
			for b.Loop() {
				n, err := Arrange(p)
				require.NoError(b, err)
				require.NoError(b, Derive(b.Context(), n, 1))
				v := visitor{n: n}
				v.all(func(SubjectKind, Subject, Location) {})
			}
		})
	}
}
