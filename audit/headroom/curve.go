package headroom

import (
	"cmp"
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// Curve is the share of the assemblies of one line and duty that meet one check as a quantity rises.
type Curve struct {
	Line    int // in the network
	Duty    audit.Duty
	Check   int // in the checks of the result
	Drive   audit.Drive
	Case    string  // the load case whose wind rises; empty of other quantities
	NowLow  float64 // today's value; the lowest and the highest where structures differ, NaN where none is known
	NowHigh float64
	From    float64 // the first value of the curve: today's, or 0 where everything below is easier
	To      float64 // the last value that the audit believes; +Inf where there is none

	Counted     int // assemblies that meet or fall short at the first value that is judged
	NotAssessed int // assemblies that could not be judged there; they are in no share
	ShortNow    int // counted ones that do not meet with the quantity as it is today
	Already     int // counted ones that meet nowhere on the curve
	Unmoved     int // counted ones that the quantity moves neither way
	Endless     int // counted ones that meet up to the end of the curve
	ByFigures   int // limits that follow from the figures of a verdict
	ClosedIn    int // limits closed in on between verdicts
	Unjudged    int // limits above which the assembly is not assessed, and not known to fall short

	Steps []Step    // where the share falls, lowest value first
	First []Failing // the structures that no longer meet first
	Marks []Mark
	Lacks []Lack // why assemblies could not be judged, that of most first
}

// Lack is a reason why so many assemblies could not be judged; none where what is judged has no such quantity today.
type Lack struct {
	Reason     audit.Reason
	Assemblies int
}

// Step is a value up to which some assemblies meet, and above which they do not.
type Step struct {
	Value      float64
	Assemblies int
}

// Failing is a structure with the lowest value up to which all of its assemblies meet.
type Failing struct {
	Structure  int     // in the network
	Value      float64 // −Inf where one meets nowhere on the curve
	Assemblies int     // those that meet no further
}

// Mark is a value worth reading a curve at.
type Mark struct {
	Name  string
	Value float64
}

// mostFirst is how many of the structures that fail first a curve names.
const mostFirst = 10

// Share is the share of the counted assemblies that meet at a value of the curve; NaN where none is counted.
func (c *Curve) Share(value float64) float64 {
	left := c.Counted - c.Already
	for _, s := range c.Steps {
		if s.Value*(1+basis.Tolerance) >= value {
			break
		}
		left -= s.Assemblies
	}
	return float64(left) / float64(c.Counted)
}

// The shares of assemblies that a curve is summed up by, beside its first.
const (
	OnePercent = 0.01
	TenPercent = 0.1
	Half       = 0.5
)

// Until is the value up to which fewer than a share of the counted assemblies do not meet, so that above it that share or more does not;
// with 0 the value up to which all meet. −Inf where so many meet nowhere on the curve, +Inf where so many meet up to its end, NaN where
// none is counted.
func (c *Curve) Until(share float64) float64 {
	wanted := max(int(math.Ceil(share*float64(c.Counted)-1e-9)), 1)
	failed := c.Already
	switch {
	case c.Counted == 0:
		return math.NaN()
	case failed >= wanted:
		return math.Inf(-1)
	}
	for _, s := range c.Steps {
		if failed += s.Assemblies; failed >= wanted {
			return s.Value
		}
	}
	return math.Inf(1)
}

// Moves tells whether the quantity moves any assembly, or it is not known whether it does.
func (c *Curve) Moves() bool { return c.Unmoved < c.Counted || c.NotAssessed > 0 }

// gathered is a curve being made, with what is found of each assembly.
type gathered struct {
	Curve
	found []one
}

type one struct {
	structure int
	value     float64
}

// add takes in the limit of an assembly.
func (g *gathered) add(at *audit.Location, l limit) {
	g.Counted++
	switch l.how {
	case byFigures:
		g.ByFigures++
	case closedIn:
		g.ClosedIn++
	case notBelow:
		g.Already++
	case unmet:
		g.Already++
		g.Unmoved++
	case notReached:
		g.Endless++
	case unmoved:
		g.Endless++
		g.Unmoved++
	}
	if l.unjudged {
		g.Unjudged++
	}
	g.found = append(g.found, one{at.Structure, l.value})
}

// lack takes in an assembly that cannot be judged.
func (g *gathered) lack(why audit.Reason) {
	g.NotAssessed++
	at := slices.IndexFunc(g.Lacks, func(l Lack) bool { return l.Reason == why })
	if at < 0 {
		at, g.Lacks = len(g.Lacks), append(g.Lacks, Lack{Reason: why})
	}
	g.Lacks[at].Assemblies++
}

// finish makes steps of what was found.
func (g *gathered) finish() Curve {
	slices.SortFunc(g.Lacks, func(a, b Lack) int {
		return cmp.Or(cmp.Compare(b.Assemblies, a.Assemblies), cmp.Compare(a.Reason, b.Reason))
	})
	slices.SortFunc(g.found, func(a, b one) int {
		return cmp.Or(cmp.Compare(a.value, b.value), cmp.Compare(a.structure, b.structure))
	})
	for i, f := range g.found {
		switch {
		case math.IsInf(f.value, 0):
		case i > 0 && g.found[i-1].value == f.value:
			g.Steps[len(g.Steps)-1].Assemblies++
		default:
			g.Steps = append(g.Steps, Step{f.value, 1})
		}
	}
	for _, f := range g.found {
		if math.IsInf(f.value, 1) {
			break
		}
		at := slices.IndexFunc(g.First, func(x Failing) bool { return x.Structure == f.structure })
		switch {
		case at >= 0 && g.First[at].Value == f.value:
			g.First[at].Assemblies++
		case at < 0 && len(g.First) < mostFirst:
			g.First = append(g.First, Failing{f.structure, f.value, 1})
		case at < 0 && f.value > g.First[mostFirst-1].Value:
			return g.Curve
		}
	}
	return g.Curve
}
