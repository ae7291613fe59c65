package audit

import (
	"math"
	"strings"
)

// aspect is a part of what a verdict goes by, with a limit of its own: the verdict is that of the part which governs. What is 0 is not parted.
type aspect struct {
	Case    int // a load case of the criteria
	Side    Side
	Fitting int
	Piece   int // of those that the check names
}

// Parting says by what a verdict on an assembly goes in parts.
type Parting uint8

// What it may be parted by.
const (
	ByCase    Parting = 1 << iota // the load cases
	BySide                        // the spans that load it by themselves
	ByBreak                       // the span in which a conductor breaks
	ByFitting                     // the fittings of its chain
)

// cases are the load cases that count for a subject, from those of its criteria.
func (s *Subject) cases() []LoadCase {
	if s.only != nil && s.only.Case > 0 {
		return s.Criteria.LoadCases[s.only.Case-1 : s.only.Case]
	}
	return s.Criteria.LoadCases
}

// skipsSide tells whether a span counts for nothing.
func (s *Subject) skipsSide(side Side) bool {
	return s.only != nil && s.only.Side != NoSide && s.only.Side != side
}

// skipsFitting tells whether a fitting counts for nothing.
func (s *Subject) skipsFitting(f Fitting) bool {
	return s.only != nil && s.only.Fitting > 0 && s.only.Fitting != int(f)+1
}

// Piece is the piece of its check that alone counts for a subject, from 1; 0 where all do.
func (s *Subject) Piece() int {
	if s.only == nil {
		return 0
	}
	return s.only.Piece
}

// parts are those of a verdict on a subject.
func (c *Check) parts(s *Subject) []aspect {
	parts := []aspect{{}}
	by := func(count int, set func(p *aspect, i int)) {
		if count < 2 {
			return
		}
		all := make([]aspect, 0, count*len(parts))
		for _, p := range parts {
			for i := range count {
				set(&p, i)
				all = append(all, p)
			}
		}
		parts = all
	}
	if c.Parted&ByCase != 0 {
		by(len(s.Criteria.LoadCases), func(p *aspect, i int) { p.Case = i + 1 })
	}
	sides, count := bothSides, 0
	if c.Parted&BySide != 0 {
		sides, count = s.loadedSides()
	}
	if c.Parted&ByBreak != 0 {
		count = len(sides)
	}
	by(count, func(p *aspect, i int) { p.Side = sides[i] })
	if c.Parted&ByFitting != 0 {
		by(int(fittings), func(p *aspect, i int) { p.Fitting = i + 1 })
	}
	by(len(c.Pieces), func(p *aspect, i int) { p.Piece = i + 1 })
	return parts
}

// inWords names a part.
func (p *aspect) inWords(c *Check, s *Subject) string {
	var words []string
	if p.Case > 0 {
		words = append(words, s.Criteria.LoadCases[p.Case-1].Name)
	}
	if p.Side != NoSide {
		words = append(words, "span "+p.Side.String())
	}
	if p.Fitting > 0 {
		words = append(words, Fitting(p.Fitting-1).String())
	}
	if p.Piece > 0 {
		words = append(words, c.Pieces[p.Piece-1])
	}
	return strings.Join(words, ", ")
}

// movers find what moves each part of a verdict that has its outcome: of one that meets any of them may bring it to fall short, of one that falls
// short all have to meet.
func (c *Check) movers(s *Subject, v *Verdict) (movers []mover) {
	if math.IsNaN(distanceOf(v)) {
		return nil
	}
	parts := c.parts(s)
	for i := range parts {
		m := c.mover(s, v)
		if len(parts) > 1 {
			of := *s
			of.only, of.off = &parts[i], true
			if m.verdict, _ = c.try(&of, nil); m.verdict.Outcome != v.Outcome {
				continue
			}
			m.base, m.part = &of, &parts[i]
		}
		m.prepare()
		movers = append(movers, m)
	}
	return movers
}

// decisive is the part that decides how far a verdict is from another outcome: of what meets the one that is the fewest standard errors inside its
// limit, of what falls short the one that is the most beyond it, or that nothing moves. nil where there is none.
func decisive(movers []mover) (decides *mover) {
	most := math.Inf(-1)
	for i := range movers {
		m := &movers[i]
		beyond := -m.apart
		if math.IsNaN(beyond) { // nothing brings it to its limit
			if beyond = math.Inf(-1); m.verdict.Outcome == FallsShort {
				beyond = math.Inf(1)
			}
		}
		if decides == nil || beyond > most {
			decides, most = m, beyond
		}
	}
	return decides
}
