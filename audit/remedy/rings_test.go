package remedy

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// Of jobs of which each comes before the other, at once or by way of others, none comes first; what needs one of them comes after.
func TestJobsThatNeedEachOtherHaveNoFirst(t *testing.T) {
	for name, c := range map[string]struct {
		neededBy map[int][]int
		inRing   map[int][]int
	}{
		"one before another":             {map[int][]int{0: {1, 2}, 1: {2}}, nil},
		"two of each other":              {map[int][]int{0: {1}, 1: {0}}, map[int][]int{0: {1}, 1: {0}}},
		"a ring of three":                {map[int][]int{0: {1}, 1: {2}, 2: {0}}, map[int][]int{0: {1, 2}, 1: {0, 2}, 2: {0, 1}}},
		"a ring, one before, one after":  {map[int][]int{0: {1}, 1: {2}, 2: {1, 3}}, map[int][]int{1: {2}, 2: {1}}},
		"two rings, one before another":  {map[int][]int{0: {1}, 1: {0, 2}, 2: {3}, 3: {2}}, map[int][]int{0: {1}, 1: {0}, 2: {3}, 3: {2}}},
		"two rings that share a job":     {map[int][]int{0: {1}, 1: {0, 2}, 2: {1}}, map[int][]int{0: {1}, 1: {0, 2}, 2: {1}}},
		"a way out of a ring and around": {map[int][]int{0: {1, 3}, 1: {2}, 2: {0}, 3: {4}}, map[int][]int{0: {1, 2}, 1: {0, 2}, 2: {0, 1}}},
		"each before all others":         {map[int][]int{0: {1, 2}, 1: {0, 2}, 2: {0, 1}}, map[int][]int{0: {1, 2}, 1: {0, 2}, 2: {0, 1}}},
	} {
		t.Run(name, func(t *testing.T) {
			jobs := make([]Job, 5)
			for i := range jobs {
				jobs[i] = Job{Structure: i, NeededBy: c.neededBy[i]}
				for k, others := range c.neededBy {
					if slices.Contains(others, i) {
						jobs[i].Needs = append(jobs[i].Needs, k)
					}
				}
			}
			nameRings(jobs)
			for i := range jobs {
				require.Equal(t, c.inRing[i], jobs[i].inRing, i)
			}
		})
	}
}

// WithRing is a job in a ring with others, which keeps up with those that need it or not.
func WithRing(j Job, keeps bool, others ...int) *Job {
	j.inRing = others
	if keeps {
		j.keepsUp = bySpans
	}
	return &j
}
