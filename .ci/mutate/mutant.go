package main

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// mutant is one change of one place.
type mutant struct {
	pkg           *loaded
	file          *source
	start, end    int    // the text that the guard encloses, in bytes of the file; equal where it is only put in
	before, after string // the guard; ON stands for the question whether the change is on
	id            int

	line     int
	function string
	operator string
	from, to string // what is changed, on one line
	nth      int    // among equal changes of one function, from 1
}

// key names a mutant by what stays when lines move.
func (m *mutant) key() string {
	change := m.from + " → " + m.to
	if m.nth > 1 {
		change += fmt.Sprintf(" #%d", m.nth)
	}
	return strings.Join([]string{m.file.shown, m.function, m.operator, change}, "\t")
}

// String is the mutant's line in the list of survivors.
func (m *mutant) String() string {
	_, rest, _ := strings.Cut(m.key(), "\t")
	return fmt.Sprintf("%s:%d\t%s", m.file.shown, m.line, rest)
}

// candidates finds every mutant of the packages, in the order of the files.
func candidates(packages []*loaded) []*mutant {
	var all []*mutant
	for _, p := range packages {
		named := p.named()
		for _, f := range p.files {
			w := walker{pkg: p, file: f}
			w.walk(named)
			all = append(all, w.found...)
		}
	}
	seen := map[string]int{}
	for _, m := range all {
		m.nth = 1
		key := m.key()
		seen[key]++
		m.nth = seen[key]
	}
	return all
}

// choose draws the sample: the first n in an order that the seed decides, of those that compile.
func choose(packages []*loaded, all []*mutant, o options) (sample []*mutant, unfit int, err error) {
	var pool []*mutant
	for _, m := range all {
		if o.only == "" || strings.Contains(m.String(), o.only) {
			pool = append(pool, m)
		}
	}
	rand.New(rand.NewPCG(o.seed, o.seed)).Shuffle(len(pool), func(i, j int) { pool[i], pool[j] = pool[j], pool[i] })
	for next := 0; ; {
		more := min(o.n-len(sample), len(pool)-next)
		if more == 0 {
			return sample, unfit, nil
		}
		sample = append(sample, pool[next:next+more]...)
		next += more
		before := len(sample)
		if sample, err = fitting(packages, sample); err != nil {
			return nil, 0, err
		}
		unfit += before - len(sample)
		for i, m := range sample {
			m.id = i
		}
	}
}
