package tiny

import "testing"

func TestReaches(t *testing.T) {
	for figure, want := range map[int]bool{1: false, 2: true, 3: true} {
		if Reaches(figure, 2) != want {
			t.Errorf("%d", figure)
		}
	}
}

func TestDoubled(t *testing.T) {
	if Doubled(0) != 0 {
		t.Error("0")
	}
}

func TestSum(t *testing.T) {
	if got := Sum(4); got != 6 {
		t.Errorf("%d", got)
	}
}
