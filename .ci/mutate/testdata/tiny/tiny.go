// Package tiny is changed by the test of the mutation run.
package tiny

// Reaches tells whether a figure reaches a limit. The test tries below, at and above it.
func Reaches(figure, limit int) bool { return figure >= limit }

// Doubled is watched at 0 only, where most changes make no difference.
func Doubled(x int) int { return x + x }

// Unwatched is called by no test.
func Unwatched(x int) bool { return x > 3 }

// Sum adds up to a limit; a change can keep it from ending.
func Sum(limit int) int {
	sum := 0
	for i := 0; i != limit; i++ {
		sum += i
	}
	return sum
}
