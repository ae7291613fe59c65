package checks_test

import (
	"context"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// What structures need is counted in the posts and pins that carry the conductors there, and elsewhere in the line's discs. Class b
// at Um 145 kV needs 2327.3 mm (IEC TS 60815-1:2008, published; computed).
func TestPostsAndPinsHaveRequirementsInTheirOwnKind(t *testing.T) {
	for _, o := range []struct {
		name    string
		change  func(b *base)
		own     bool
		units   int32
		strings int32
		governs string
	}{
		{"a post that does", func(*base) {}, true, 1, 1, "lightning-withstand"},
		{"a post with too little creepage", func(b *base) { b.unit("post").CreepageMM = 2000 }, true, 0, 1, "creepage"},
		{"a post too weak across its axis", func(b *base) { b.unit("post").CantileverKN = 1 }, true, 1, 0, "lightning-withstand"},
		{"a string beside posts", func(b *base) { *b.rows(3)[0] = *b.rows(4)[0]; b.rows(4)[0].Number = b.rows(3)[1].Number }, false, 8, 1, "creepage"},
		{"where tension is needed", func(b *base) { b.Structures[2].Role = audit.Transposition }, false, 8, 1, "creepage"},
	} {
		t.Run(o.name, func(t *testing.T) {
			b := newBase(t)
			b.pinAt(3, audit.Post, basis.Post)
			o.change(b)
			n, err := audit.Arrange(b.Project)
			require.NoError(t, err)
			require.NoError(t, audit.Derive(context.Background(), n, 1))
			schedule := n.Schedule(0, checks.All())
			r := &schedule.Requirements[2]
			require.Equal(t, o.own, r.Own != nil)
			require.Equal(t, o.own, r.Duty == audit.Post)
			require.Equal(t, o.own, schedule.CountedIn(r).Name == "post")
			require.InDelta(t, 2327.3, r.CreepageMM, 0.1)
			require.Equal(t, o.units, r.Units)
			require.Equal(t, o.strings, r.Strings)
			require.Equal(t, o.governs, r.Governs.ID)
			discs := &schedule.Requirements[3]
			require.Equal(t, "U120B", schedule.CountedIn(discs).Name)
			require.EqualValues(t, 8, discs.Units)
		})
	}
}
