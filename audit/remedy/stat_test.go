package remedy_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestStat(t *testing.T) {
	moves := map[string]int{}
	stops := map[string]int{}
	nb, na, nj, ne := 0, 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := randomProject(t)
		r := audited(t, p.Clone())
		jobs, err := remedy.Search(context.Background(), r, remedy.Options{Workers: 1})
		require.NoError(t, err)
		b, a := requireLoop(t, r, jobs)
		nb += b
		na += a
		ne += len(r.Exceptions)
		nj += len(jobs)
		for _, j := range jobs {
			for _, x := range j.Remedies {
				moves[x.Move.String()]++
			}
			for _, s := range j.StoppedBy {
				k := "-"
				if s.Check >= 0 {
					k = r.Checks[s.Check].ID
				}
				w := strings.Fields(s.Sentence)
				_ = w
				stops[k+": "+s.Sentence]++
			}
		}
	})
	fmt.Println(ne, nb, na, nj, moves)
	n := 0
	for k, v := range stops {
		fmt.Println(v, k)
		if n++; n > 40 {
			break
		}
	}
}
