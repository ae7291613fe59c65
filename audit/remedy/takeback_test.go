package remedy

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What an audit does not bear out is taken back where it was sought again, at the very structure if that is one, else on all of its line.
func TestTakeBack(t *testing.T) {
	stop := []Stop{{Check: -1, Sentence: "It is too long."}}
	proved := []Job{{Line: 0, Structure: 1, StoppedBy: stop}, {Line: 0, Structure: 2}, {Line: 0, Structure: 3, StoppedBy: stop}, {Line: 1, Structure: 7, StoppedBy: stop},
		{Line: 1, Structure: 8, StoppedBy: stop}}
	sought := []Job{{Line: 0, Structure: 1}, {Line: 0, Structure: 2}, {Line: 0, Structure: 3}, {Line: 1, Structure: 7}, {Line: 1, Structure: 8, StoppedBy: stop}}
	for name, c := range map[string]struct {
		list []refuted
		last bool
		back []int // structures
	}{
		"of its own":            {list: []refuted{{line: 0, structure: 3}}, back: []int{3}},
		"of its own and others": {list: []refuted{{line: 0, structure: 2}, {line: 0, structure: 3}}, back: []int{1, 3}},
		"of another":            {list: []refuted{{line: 0, structure: 2}}, back: []int{1, 3}},
		"of one without a job":  {list: []refuted{{line: 1, structure: 9}}, back: []int{7}},
		"of another line":       {list: []refuted{{line: 2, structure: 20}}, back: []int{1, 3, 7}},
		"for the last time":     {list: []refuted{{line: 0, structure: 3}}, last: true, back: []int{1, 3, 7}},
	} {
		t.Run(name, func(t *testing.T) {
			barred := map[int]bool{}
			jobs := takeBack(sought, proved, c.list, barred, c.last)
			require.Len(t, barred, len(c.back))
			want := append([]Job(nil), sought...)
			for i := range want {
				for _, structure := range c.back {
					if want[i].Structure == structure {
						require.True(t, barred[structure])
						want[i] = proved[i]
					}
				}
			}
			require.Equal(t, want, jobs)
			require.Empty(t, sought[0].StoppedBy, "what is taken back is taken back in a copy")
		})
	}
}
