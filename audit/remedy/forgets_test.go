package remedy

import (
	"context"
	"math"
	"reflect"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// SearchAnew is Search without anything remembered.
func SearchAnew(ctx context.Context, r *audit.Result, o Options) ([]Job, error) {
	o.forgets = true
	return Search(ctx, r, o)
}

// What is remembered of a row tells it from another in everything but where it stands, what no check is told, and where its figures are
// kept, which are compared themselves.
func TestMemberKeyForgetsNothing(t *testing.T) {
	leftOut := []string{"Line", "Number", "Remarks", "Source", "Direct", "Installed", "Inspected"}
	old := audit.Assembly{Direct: audit.UnknownDirectValues()}
	row := audit.TrialRow{Row: audit.AssemblyRow{RowSaid: audit.RowSaid{VAngleDeg: float32(math.NaN())}}}
	key := memberKeyOf(&row, &old)
	require.Equal(t, key, memberKeyOf(&row, &old))
	for _, field := range reflect.VisibleFields(reflect.TypeFor[audit.AssemblyRow]()) {
		if field.Anonymous {
			continue
		}
		other := row
		name := change(t, reflect.ValueOf(&other.Row).Elem(), field)
		if is := key == memberKeyOf(&other, &old); contains(leftOut, name) {
			require.True(t, is, name)
		} else {
			require.False(t, is, name)
		}
	}
	for _, field := range reflect.VisibleFields(reflect.TypeFor[audit.DirectValues]()) {
		other := old
		name := change(t, reflect.ValueOf(&other.Direct).Elem(), field)
		require.NotEqual(t, key, memberKeyOf(&row, &other), name)
	}
	for _, resolved := range [...]audit.Assembly{{Side: audit.Back}, {Phases: 1}, {CircuitEnds: true}, {CircuitMayEnd: true}, {Dated: true}, {Installed: 1}} {
		resolved.Direct = old.Direct
		require.NotEqual(t, key, memberKeyOf(&row, &resolved))
	}
	for _, other := range [...]audit.TrialRow{{Changed: true}, {Anew: true}, {Restated: true}} {
		other.Row = row.Row
		require.NotEqual(t, key, memberKeyOf(&other, &old))
	}
}

func contains(list []string, name string) bool {
	for _, other := range list {
		if other == name {
			return true
		}
	}
	return false
}

// change changes a field and returns its name.
func change(t *testing.T, of reflect.Value, which reflect.StructField) string {
	name, field := which.Name, of.FieldByIndex(which.Index)
	switch {
	case field.CanInt():
		field.SetInt(field.Int() + 1)
	case field.CanUint():
		field.SetUint(field.Uint() + 1)
	case field.CanFloat():
		field.SetFloat(7)
	case field.Kind() == reflect.Array:
		field.Index(field.Len() - 1).SetFloat(7)
	case field.Kind() == reflect.Bool:
		field.SetBool(!field.Bool())
	case field.Type() == reflect.TypeFor[audit.Source]():
		field.Set(reflect.ValueOf(audit.Source{Row: 7}))
	default:
		require.Fail(t, "no other value", name)
	}
	return name
}

// NotBornOut looks for questions of a result that are remembered, and whether what a check said of the circuit before the work tells on each.
func NotBornOut(r *audit.Result, o Options) (tried int, forgotten string) {
	s := newStock(r, o)
	for _, list := range worklists(r, wanted(o)) {
		b := s.benchOf(r, list.line, o)
		for k, structure := range list.structures {
			b.solve(structure, list.exceptions[k])
			for of, findings := range b.memory.found {
				f := &findings[len(findings)-1]
				q, found := b.askNumbered(of.ask)
				if !found || !b.bears(q, of, f) {
					continue
				}
				for _, said := range f.said {
					now := b.state(q.circuit, said.check)
					was := *now
					for _, other := range [...]state{{!was.fell, was.worst, was.margin, was.met, was.unassessed}, {was.fell, was.worst + 1, was.margin, was.met, was.unassessed},
						{was.fell, was.worst, was.margin + 1, was.met, was.unassessed}, {was.fell, was.worst, was.margin, !was.met, was.unassessed}, {was.fell, was.worst, was.margin, was.met, !was.unassessed}} {
						tried++
						if *now = other; b.bears(q, of, f) && !math.IsNaN(was.margin) {
							return tried, r.Checks[said.check].ID
						}
					}
					*now = was
				}
			}
		}
	}
	return tried, ""
}

// askNumbered asks again at the structure at hand what bears a number.
func (b *bench) askNumbered(number int) (*ask, bool) {
	b.rows = b.site.Rows()
	for _, circuit := range b.circuits {
		for duty := audit.Suspension; duty <= audit.Jumper; duty++ {
			if q, _ := b.askFor(circuit, duty); len(q.members) > 0 && b.askOf(&q) == number {
				return &q, true
			}
		}
	}
	return nil, false
}
