package remedy

import (
	"math"
	"slices"

	"dryarc/audit"
)

// state is what one check said of one circuit at a structure before the work.
type state struct {
	fell       bool
	worst      audit.Severity // of what fell short
	margin     float64        // the least of that
	met        bool
	unassessed bool
}

// fall is a verdict that falls short at the structure at hand.
type fall struct {
	check   int
	kind    audit.SubjectKind
	circuit audit.Symbol
	row     int // in bench.rows, −1 where it is of no assembly
	place   audit.Place
	verdict audit.Verdict
}

// bench is one structure after the other of a line, on trial.
type bench struct {
	*stock
	result *audit.Result
	use    *usage
	prefer []audit.Preference // on this line
	first  *audit.Site        // in the network of the result
	then   *audit.Site        // in that with the work of all jobs; nil at first
	site   *audit.Site        // the one that counts
	tiers  [][]int
	from   []Candidates
	want   audit.Severity // the mildest that is to be mended
	checks []int          // of assemblies and of more weight than a note, the one that failed last first
	// ofStrings are those of them that more strings side by side may answer.
	ofStrings []int
	// ofAnyMake are those of checks that may let any string pass: where nobody asks for them, unless they size strings, which leaves the size open, or
	// since they say the same of any.
	ofAnyMake []int

	circuits []audit.Symbol // at the structure, the empty one for the structure as a whole
	before   []state        // by circuit and check
	rows     []audit.TrialRow
	found    []fall // of the rows as last judged
	goals    []fall // of the structure at hand
	open     []Open // of them
	fresh    bool   // the rows have not changed since
	job      *Job
	hold     []audit.Symbol   // circuits that are to be held in tension at the structure, to divide a section
	hung     []audit.Assembly // of the string tried last
	tried    audit.Assembly   // put to checks last
	made     []made           // of the members of the question at hand
	asked    []audit.TrialRow // of the question whether more strings are to be tried
	said     []anyCount       // of the members of the question at hand
	borne    borne
	room     room
	memory   *memory
	yields   bool // advisories of habit may be brought, see seekYielding
	order    int  // number of the order of checks, see memory; 0 where that is not looked up yet
	// stoppedAt is the member of the string tried last at which a check stopped it.
	stoppedAt int
	// less says in what that is less than what hangs there, where no check can judge it; lessWhatever that units do not change it.
	less         string
	lessWhatever bool
}

func (s *stock) benchOf(r *audit.Result, line int, o Options) *bench {
	b := &bench{stock: s, result: r, prefer: r.Network.Criteria(line).Remedy.Order(), use: s.usageOf(line), first: s.network.NewSite(line, r.Checks, "a remedy"), want: wanted(o), memory: newMemory()}
	b.tiers, b.from = s.choices(b.use)
	for i, check := range r.Checks {
		if check.Of == audit.OfAssembly && check.Severity != audit.Note {
			if b.checks = append(b.checks, i); check.Strings {
				b.ofStrings = append(b.ofStrings, i)
			}
			if check.AnyMake || len(check.AskedBy) > 0 && !check.Sizes {
				b.ofAnyMake = append(b.ofAnyMake, i)
			}
		}
	}
	return b
}

// isGoal tells whether something that falls short is for a job to mend. What a check says of a structure as a whole is of the
// records, unless nothing hangs there.
func (b *bench) isGoal(f *fall, carrying int32) bool {
	return f.verdict.Severity <= b.want && (f.kind != audit.OfStructure || carrying == 0)
}

// look judges what the register has and keeps what the checks said.
func (b *bench) look() (goals []fall) {
	b.circuits = append(b.circuits[:0], 0)
	for i := range b.before {
		b.before[i] = state{}
	}
	b.rows = b.site.Rows()
	carrying := int32(0)
	b.judge(func(check int, circuit audit.Symbol, of *audit.Subject, v audit.Verdict) {
		carrying = of.Registered.CarryPhase
		b.state(circuit, check).note(v)
	})
	b.goals = b.goals[:0]
	for i := range b.found {
		if f := &b.found[i]; b.isGoal(f, carrying) {
			b.goals = append(b.goals, *f)
		}
	}
	return b.goals
}

// note adds a verdict.
func (s *state) note(v audit.Verdict) {
	switch v.Outcome {
	case audit.Meets:
		s.met = true
	case audit.NotAssessed:
		s.unassessed = true
	case audit.FallsShort:
		if !s.fell || v.Severity < s.worst {
			s.worst = v.Severity
		}
		if !s.fell || v.Margin < s.margin {
			s.margin = v.Margin
		}
		s.fell = true
	}
}

// state is what a check said of a circuit.
func (b *bench) state(circuit audit.Symbol, check int) *state {
	i := slices.Index(b.circuits, circuit)
	if i < 0 {
		i = len(b.circuits)
		b.circuits = append(b.circuits, circuit)
	}
	for len(b.before) < (i+1)*len(b.result.Checks) {
		b.before = append(b.before, state{})
	}
	return &b.before[i*len(b.result.Checks)+check]
}

// judge puts every check to the rows on trial and keeps what falls short and what cannot be judged. Each verdict is told to a
// function, where there is one.
func (b *bench) judge(each func(check int, circuit audit.Symbol, of *audit.Subject, v audit.Verdict)) {
	b.found, b.open, b.fresh = b.found[:0], b.open[:0], true
	row := -1
	var last *audit.Assembly
	b.site.Judge(b.rows, func(check int, of *audit.Subject, at *audit.Location, v audit.Verdict) {
		if of.Assembly != last {
			last = of.Assembly
			if last != nil {
				row++
			}
		}
		if each != nil {
			each(check, at.Circuit, of, v)
		}
		if v.Outcome == audit.NotAssessed && v.Reason.AskedBy() == "" {
			b.open = append(b.open, Open{Check: check, Circuit: at.Circuit, Exception: -1, Reason: v.Reason})
		}
		if v.Outcome != audit.FallsShort {
			return
		}
		f := fall{check: check, kind: b.result.Checks[check].Of, circuit: at.Circuit, row: -1, verdict: v}
		switch {
		case of.Assembly != nil:
			f.row = row
		case of.Place != nil:
			f.place = *of.Place
		}
		b.found = append(b.found, f)
	})
}

// falls lists what falls short of the rows on trial.
func (b *bench) falls() []fall {
	if !b.fresh {
		b.judge(nil)
	}
	return b.found
}

// allows tells whether a verdict on a trial may stand: what met still meets or is not concerned, what is to be mended meets, what
// falls short without being asked for is no worse than it was, but for what goes by attachments, or not judged, and what was judged otherwise still can be. newcomer tells that the assembly is of a duty that did not hang
// there, so that what cannot be judged of it was not judged before either.
func (b *bench) allows(circuit audit.Symbol, check int, v *audit.Verdict, newcomer bool) bool {
	switch v.Outcome {
	case audit.FallsShort:
		if v.Severity == audit.Note {
			return true
		}
		if (b.result.Checks[check].ByAttachments || b.yields && isOfHabit(b.result.Checks[check])) && v.Severity > b.want {
			return true
		}
		s := b.state(circuit, check)
		return s.fell && s.worst <= v.Severity && v.Severity > b.want && !(v.Margin < s.margin-1e-9*math.Abs(s.margin))
	case audit.NotAssessed:
		s := b.state(circuit, check)
		said := s.fell && s.worst <= b.want || !newcomer && s.met && !b.mayStayOpen(check, v)
		return s.unassessed || v.Reason.AskedBy() != "" || !said
	}
	return true
}

// mayStayOpen tells whether a verdict that cannot be judged is of an advisory that is not to be mended, and keeps no string from serving: for want of a figure, as where a
// test of what hangs there says nothing of other strings, or by attachments.
func (b *bench) mayStayOpen(check int, v *audit.Verdict) bool {
	of := b.result.Checks[check]
	return of.Severity > b.want && (of.ByAttachments || v.Reason == audit.FaultyField)
}
