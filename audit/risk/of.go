package risk

import (
	"cmp"
	"context"
	"slices"

	"dryarc/audit"
	"dryarc/audit/basis"

	"golang.org/x/sync/errgroup"
)

// Risk is the ranking of the assessed lines of a result. A kind that no line is asked for has no ranking.
type Risk struct {
	Rankings []Ranking
}

// Ranking is the ranking by one kind.
type Ranking struct {
	Kind   Kind
	Places []Place // structures with a string that could be assessed, of the greatest risk first
	Lines  []Line  // lines with such a structure, of the greatest risk first
	// Lacks are why assemblies could not be assessed, that of most first; no assembly stands under two.
	Lacks []Lacked
	// Structures that are in no place: of Left no string could be assessed, in the order of the network, at Bare nothing hangs along which the voltage of a
	// phase stands, and NotAsked are of lines that are assessed and not asked for.
	Left           []Left
	Bare, NotAsked int
}

// Left is a structure of whose strings none could be assessed.
type Left struct {
	Structure  int32 // in the network
	Assemblies int32 // all that hang there
	Why        Lack  // of the first of them
}

// Lacked is a reason why so many assemblies could not be assessed.
type Lacked struct {
	Why        Lack
	Assemblies int
}

// Bounds are the two between which the truth lies.
type Bounds struct {
	Alone    float64 // the worst string alone
	Together float64 // more strings, as if independent
}

// Place is a structure with its bounds.
type Place struct {
	Bounds
	Structure int32 // in the network
	Assembly  int32 // the row of the worst string
	Strings   int32 // that the second bound of pollution is of, at least; 0 of overvoltages
	Left      int32 // assemblies that could not be assessed
	AtLeast   bool  // there may be more strings: an assembly is left, does not say how many it stands for, or is missing or may be
}

// Line is a line with its bounds.
type Line struct {
	Bounds
	Line    int // in the network
	Worst   int // the structure of the worst string, in the network
	Row     int // of that string
	Strings int // as of Place
	// Structures are those with a string that could be assessed, Left those where none could, Bare those where nothing hangs along which the voltage of a
	// phase stands; Assemblies are those that could not be assessed.
	Structures, Left, Bare, Assemblies int
	AtLeast                            bool
}

// Rank ranks the assessed lines of a result and their structures by every kind that the criteria ask for. workers is how many lines are
// worked on at a time; what comes out is the same for any. It fails only when ctx ends.
func Rank(ctx context.Context, r *audit.Result, workers int) (*Risk, error) {
	byLine := make([][kinds]ofLine, len(r.Lines))
	var ofPlaces []*audit.Check // that say what is missing at a structure where something hangs
	for _, check := range r.Checks {
		if check.Of == audit.OfPlace {
			ofPlaces = append(ofPlaces, check)
		}
	}
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(max(workers, 1))
	for line := range r.Lines {
		if !r.Lines[line].Assessed {
			continue
		}
		group.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			byLine[line] = findLine(r, line, ofPlaces)
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		return nil, err
	}
	risk := &Risk{}
	for _, kind := range Kinds() {
		ranking, asked := Ranking{Kind: kind}, false
		lacks := map[Lack]int{}
		for line := range byLine {
			found := &byLine[line][kind]
			asked = asked || found.asked
			if r.Lines[line].Assessed {
				ranking.take(r.Network, line, found, lacks)
			}
			*found = ofLine{}
		}
		if asked {
			ranking.finish(lacks)
			risk.Rankings = append(risk.Rankings, ranking)
		}
	}
	return risk, nil
}

// Place is that of a structure by a kind, nil where it has none.
func (r *Risk) Place(kind Kind, structure int) *Place {
	for i := range r.Rankings {
		places := r.Rankings[i].Places
		if k := slices.IndexFunc(places, func(p Place) bool { return int(p.Structure) == structure }); k >= 0 && r.Rankings[i].Kind == kind {
			return &places[k]
		}
	}
	return nil
}

// ofLine is what was found of a line by one kind.
type ofLine struct {
	asked     bool
	places    []Place
	lacks     map[Lack]int
	logOfNone float64 // that none of its strings flashes over
	atLeast   bool
	left      []Left
}

func findLine(r *audit.Result, line int, ofPlaces []*audit.Check) (found [kinds]ofLine) {
	n, criteria := r.Network, r.Network.Criteria(line)
	mayHaveMore := n.Lines[line].Strays.Rows > 0 || n.MayHaveMoreStructures(line)
	var finders []*finder
	for _, kind := range Kinds() {
		if kind.IsAsked(criteria) {
			f := &finder{n: n, kind: kind, structure: -1}
			f.atLeast = mayHaveMore
			finders = append(finders, f)
		}
	}
	if len(finders) == 0 {
		return found
	}
	n.EachSubject(line, func(kind audit.SubjectKind, s *audit.Subject, at *audit.Location) {
		switch kind {
		case audit.OfAssembly:
			for _, f := range finders {
				f.take(s, at)
			}
		case audit.OfStructure:
			for _, f := range finders {
				f.atLeast = f.atLeast || s.Structure.MayMiss
			}
		case audit.OfPlace:
			if mayMiss := func(c *audit.Check) bool {
				outcome := c.Run(*s, nil).Outcome
				return outcome == audit.FallsShort || outcome == audit.NotAssessed
			}; slices.ContainsFunc(ofPlaces, mayMiss) || r.MayHoldMore(line, at.Structure) {
				for _, f := range finders {
					f.miss(at.Structure)
				}
			}
		}
	})
	for _, f := range finders {
		f.close()
		f.asked = true
		found[f.kind] = f.ofLine
	}
	return found
}

// finder finds the places of a line by one kind, structure by structure.
type finder struct {
	ofLine
	n         *audit.Network
	kind      Kind
	structure int // at hand; −1 before the first
	place     Place
	why       Lack // of the first that could not be assessed
	some      bool // it has a string that could be assessed
	none      float64
	worst     String
	like      curve // of the structure before, with what follows from it
	likeRisk  Bounds
}

// curve is what the risk of strings in parallel follows from, which many structures share.
type curve struct{ stress, stressSigma, parallel, parallelSigma float64 }

func (f *finder) take(s *audit.Subject, at *audit.Location) {
	if !stands(s.Assembly.Duty) {
		return
	}
	if at.Structure != f.structure {
		f.close()
		f.structure, f.some, f.none, f.place = at.Structure, false, 0, Place{Structure: int32(at.Structure)}
	}
	x, lack := Of(f.kind, s)
	if lack != "" {
		if f.lacks == nil {
			f.lacks = map[Lack]int{}
		}
		f.lacks[lack]++
		if f.place.Left++; f.place.Left == 1 {
			f.why = lack
		}
		f.place.AtLeast = true
		return
	}
	if f.kind == Pollution {
		strings, sure := stringsOf(f.n, s, at)
		if !sure {
			f.place.AtLeast = true
		}
		f.place.Strings += int32(strings)
		f.none += basis.LogOfNone(x.R, strings)
	}
	if !f.some || x.R > f.worst.R {
		f.some, f.worst, f.place.Assembly = true, x, int32(x.Row)
	}
}

// stringsOf is how many strings an assembly stands for, the most of rows that repeat each other and differ; sure is false where there may be others.
func stringsOf(n *audit.Network, s *audit.Subject, at *audit.Location) (strings int, sure bool) {
	first, unknown := n.StringsAt(at)
	strings, sure = first, unknown == audit.NoReason
	for i := range s.Repeats {
		of := *at
		of.Assembly = s.Repeats[i].Row
		repeat, unknown := n.StringsAt(&of)
		strings, sure = max(strings, repeat), sure && unknown == audit.NoReason && repeat == first
	}
	return strings, sure
}

// miss says that something is missing at a structure, or may be.
func (f *finder) miss(structure int) {
	if structure == f.structure {
		f.place.AtLeast = true
	}
}

// stands tells whether the voltage of a phase may stand along strings of a duty, as it does along jumper strings too.
func stands(duty audit.Duty) bool { return duty != audit.EarthWire && duty != audit.Guy }

// close keeps the structure at hand.
func (f *finder) close() {
	switch {
	case f.structure < 0:
		return
	case !f.some:
		f.left = append(f.left, Left{f.place.Structure, f.place.Left, f.why})
		f.atLeast = true
		return
	}
	f.atLeast = f.atLeast || f.place.AtLeast
	f.logOfNone += f.none
	if f.kind == Pollution {
		f.place.Bounds = Bounds{f.worst.R, basis.AnyOf(f.none)}
	} else {
		f.place.Bounds = f.byCurve()
	}
	f.places = append(f.places, f.place)
}

// byCurve are the bounds by the strength curve.
func (f *finder) byCurve() Bounds {
	x := &f.worst
	if of := (curve{x.Stress, x.StressSigma, x.ParallelKV, x.ParallelSigmaKV}); of != f.like {
		x.byCurve()
		f.like, f.likeRisk = of, Bounds{x.Alone, x.Parallel}
	}
	return f.likeRisk
}

// take adds a line to the ranking.
func (k *Ranking) take(n *audit.Network, line int, f *ofLine, lacks map[Lack]int) {
	structures := n.Lines[line].End - n.Lines[line].First
	if !f.asked {
		k.NotAsked += structures
		return
	}
	bare := structures - len(f.places) - len(f.left)
	k.Bare += bare
	k.Left = append(k.Left, f.left...)
	for why, count := range f.lacks {
		lacks[why] += count
	}
	if len(f.places) == 0 {
		return
	}
	l := Line{Line: line, Structures: len(f.places), Left: len(f.left), Bare: bare, AtLeast: f.atLeast || bare > 0}
	worst := 0
	for i := range f.places {
		if f.places[i].before(&f.places[worst].Bounds) {
			worst = i
		}
		l.Strings += int(f.places[i].Strings)
	}
	for _, count := range f.lacks {
		l.Assemblies += count
	}
	l.Bounds, l.Worst, l.Row = f.places[worst].Bounds, int(f.places[worst].Structure), int(f.places[worst].Assembly)
	if k.Kind == Pollution {
		l.Together = basis.AnyOf(f.logOfNone)
	}
	k.Lines, k.Places = append(k.Lines, l), append(k.Places, f.places...)
}

// before tells whether bounds are graver than others: by the worst string alone, then by more together.
func (b *Bounds) before(other *Bounds) bool { return b.compare(other) < 0 }

func (b *Bounds) compare(other *Bounds) int {
	return cmp.Or(cmp.Compare(other.Alone, b.Alone), cmp.Compare(other.Together, b.Together))
}

// finish puts the ranking in order. What has the same bounds stays in the order of the network.
func (k *Ranking) finish(lacks map[Lack]int) {
	slices.SortStableFunc(k.Places, func(a, b Place) int { return a.compare(&b.Bounds) })
	slices.SortStableFunc(k.Lines, func(a, b Line) int { return a.compare(&b.Bounds) })
	for why, count := range lacks {
		k.Lacks = append(k.Lacks, Lacked{why, count})
	}
	slices.SortFunc(k.Lacks, func(a, b Lacked) int {
		return cmp.Or(cmp.Compare(b.Assemblies, a.Assemblies), cmp.Compare(a.Why, b.Why))
	})
}

// Ranks numbers things in their order from 1, those of the same bounds alike. It is asked for each in turn.
type Ranks struct {
	last     Bounds
	at, rank int
}

// Next is the rank of the next.
func (n *Ranks) Next(b Bounds) int {
	if n.at++; n.at == 1 || b != n.last {
		n.last, n.rank = b, n.at
	}
	return n.rank
}

// WorstAt is the string of a row of the register at a structure, which could be assessed, with every figure of it but for those by the strength
// curve, which the bounds of its place are.
func WorstAt(n *audit.Network, kind Kind, line, structure, row int) (x String) {
	n.EachAssemblyAt(line, structure, func(s *audit.Subject, at *audit.Location) {
		if of, lack := Of(kind, s); lack == "" && of.Row == row {
			x = of
		}
	})
	return x
}

// Explained is the risk of one assembly at a structure with its figures, or why it could not be assessed.
type Explained struct {
	Kind   Kind
	At     audit.Location
	Of     audit.Subject
	String String
	Lack   Lack
	// Of pollution the strings that the assembly stands for, at least where Sure is false.
	Strings int
	Sure    bool
}

// Explain finds the risk of each assembly at a structure by every kind that the criteria of its line ask for.
func Explain(n *audit.Network, line, structure int) (list []Explained) {
	criteria := n.Criteria(line)
	for _, kind := range Kinds() {
		if !kind.IsAsked(criteria) {
			continue
		}
		n.EachAssemblyAt(line, structure, func(s *audit.Subject, at *audit.Location) {
			if !stands(s.Assembly.Duty) {
				return
			}
			e := Explained{Kind: kind, At: *at, Of: *s}
			switch e.String, e.Lack = Of(kind, s); {
			case e.Lack != "":
			case kind == Pollution:
				e.Strings, e.Sure = stringsOf(n, s, at)
			default:
				e.String.byCurve()
			}
			assembly := *s.Assembly
			if e.Lack == "" {
				assembly = n.Assembly(uint32(e.String.Row)) // of rows that repeat each other the worst
			}
			e.Of.Assembly = &assembly
			list = append(list, e)
		})
	}
	return list
}
