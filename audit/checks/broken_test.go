package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// tuned is the worked example with more changed: a twin of 28 kN everyday, of which 0.7 is left, on 300/300 m of 15.965 N/m.
func tuned(more ...func(*audit.Subject)) func(*audit.Subject) {
	return func(s *audit.Subject) {
		for _, m := range more {
			m(s)
		}
	}
}

func breaks(change func(b *audit.BrokenConductor)) func(*audit.Subject) {
	return func(s *audit.Subject) { change(&s.Criteria.BrokenConductor) }
}

func ratedKN(kN float64) func(*audit.Subject) {
	return func(s *audit.Subject) { s.Assembly.Unit.RatingKN = kN }
}

// √(39.2² + 4.8015²) = 39.4929 kN and by 1.8 71.0873; all others likewise (statics, computed).
func TestBrokenConductor(t *testing.T) {
	slip := func(kN float64) func(*audit.Subject) { return func(s *audit.Subject) { s.Assembly.Direct.SlipKN = kN } }
	ofLine := func(kN float64) func(*audit.Subject) { return func(s *audit.Subject) { s.Line.Row.SlipKN = kN } }
	faulty := func(s *audit.Subject) { s.Assembly.Faulty = s.Assembly.Faulty.With(audit.CellAttachment) }
	lineFaulty := func(s *audit.Subject) { s.Line.Row.Faulty = s.Line.Row.Faulty.With(audit.CellAttachment) }
	heights := func(back, here, ahead float64) func(*audit.Subject) {
		return func(s *audit.Subject) {
			s.Structure.HeightBackM, s.Structure.HeightM, s.Structure.HeightAheadM = back, here, ahead
		}
	}
	blankBack := func(s *audit.Subject) {
		s.Structure.HeightBackM, s.Structure.NoRiseBack = math.NaN(), audit.GroundUnknown
	}
	strings := func(n int) func(*audit.Subject) {
		return func(s *audit.Subject) { s.Assembly.Strings, s.Assembly.Arrangement = n, audit.Parallel }
	}
	iced := func(s *audit.Subject) {
		s.Criteria.LoadCases = append(s.Criteria.LoadCases, audit.LoadCase{Name: "Ice 15", IceMM: 15, IceDensityKgPerM3: 900, From: audit.GivenTension, TensionKN: 40, Factor: 1.1})
		s.Criteria.BrokenConductor.Case = "ice 15"
	}
	const noCase = "not assessed: a swing limit, a clearance or the broken conductor names a load case that the criteria do not have"
	judge(t, "broken-conductor", []judgement{
		{"below", tuned(ratedKN(71)), "shortfall 71/71.087", "with 2 subconductors broken in the span ahead, the one behind pulls 39.20 kN by everyday tension of the Lines sheet: 39.49 kN on one string, which needs 71.09 kN (factor 1.8, own rule)"},
		{"exactly", tuned(ratedKN(math.Hypot(39.2, 39.2*math.Sinh(150/1227.6682)) * 1.8)), "meets 71.087/71.087", ""},
		{"above", tuned(ratedKN(71.2)), "meets 71.2/71.087", ""},
		{"no share for the duty", tuned(breaks(func(b *audit.BrokenConductor) { b.Share.Suspension = 0 })), "not assessed: " + audit.NoShareLeft.String(), ""},
		{"no factor for the duty", tuned(breaks(func(b *audit.BrokenConductor) { b.Factor.Suspension = 0 })), "not assessed: " + audit.NoBrokenFactor.String(), ""},
		{"a case that is none", tuned(breaks(func(b *audit.BrokenConductor) { b.Case = "gale" })), noCase, ""},
		{"a case with ice and a load factor", tuned(iced, ratedKN(500)), "meets 500/112.71", ""}, // √(56² + 10.172²)·1.1·1.8 by 33.908 N/m
		{"everyday by its name", tuned(breaks(func(b *audit.BrokenConductor) { b.Case = "Everyday" })), "shortfall 70/71.087", ""},
		{"a load case of that name goes before", tuned(breaks(func(b *audit.BrokenConductor) { b.Case = "Everyday" }), func(s *audit.Subject) {
			s.Criteria.LoadCases[0].Name = "everyday"
		}), "shortfall 70/71.137", ""}, // 28.02 kN
		{"one of two breaks", tuned(breaks(func(b *audit.BrokenConductor) { b.Subconductors = 1 })), "meets 70/37.583", ""}, // √(19.6² + (2.40075 + 4.79541)²)
		{"more than there are", tuned(breaks(func(b *audit.BrokenConductor) { b.Subconductors = 6 })), "shortfall 70/71.087", ""},
		{"everyday tension unknown", tuned(func(s *audit.Subject) { s.Line.Row.EverydayTensionKN = math.NaN() }), "not assessed: everyday tension or temperature of the line not stated", ""},

		{"slips", tuned(slip(15)), "meets 70/54.69", ""}, // √(30² + (30·sinh(150·w/15))²)
		{"slips, too weak all the same", tuned(slip(15), ratedKN(50)), "shortfall 50/54.69", "pulls 30.00 kN, where the clamp slips, by"},
		{"a slip load above the pull", tuned(slip(19.7)), "shortfall 70/71.087", ""},
		{"the line's", tuned(ofLine(15)), "meets 70/54.69", ""},
		{"the row's goes before the line's", tuned(ofLine(15), slip(25)), "shortfall 70/71.087", ""},
		{"the row's, of another conductor", tuned(ofLine(15), slip(15), func(s *audit.Subject) { s.Line.Row.Superseded = audit.SlipSuperseded }), "not assessed: " + audit.OwnSlipSuperseded.String(), ""},
		{"the row's, where what is superseded is not readable", tuned(ofLine(15), slip(15), func(s *audit.Subject) {
			s.Line.Row.Superseded, s.Line.Row.Faulty = audit.AllSuperseded, s.Line.Row.Faulty.With(audit.CellDeclared)
		}), faultyField, ""},
		{"the line's, where the rows' are", tuned(ofLine(15), func(s *audit.Subject) { s.Line.Row.Superseded = audit.SlipSuperseded }), "meets 70/54.69", ""},
		{"a tenth of the tension", tuned(slip(2.8)), "meets 70/13.997", ""},
		{"less than that", tuned(slip(2.79)), "not assessed: " + audit.SlipImplausible.String(), ""},
		{"the row's not readable", tuned(ofLine(15), faulty), faultyField, ""},
		{"the line's not readable", tuned(lineFaulty), faultyField, ""},
		{"the line's not readable, the row's stated", tuned(lineFaulty, slip(15)), "meets 70/54.69", ""},

		{"two strings", tuned(strings(2)), "meets 70/35.544", ""},
		{"two strings, unequal", tuned(strings(2), func(s *audit.Subject) { s.Criteria.UnequalSharing = audit.Stated(1.1) }), "meets 70/39.098", ""},
		{"a string of 60 kg", tuned(func(s *audit.Subject) { s.Assembly.Unit.WeightKg = 60.0 / 9 }), "shortfall 70/71.224", ""},
		{"a turn pulls the same", tuned(func(s *audit.Subject) { s.Structure.DeviationDeg = 30 }), "shortfall 70/71.087", ""},
		{"deviation unknown", tuned(func(s *audit.Subject) { s.Structure.DeviationDeg = math.NaN() }), "not assessed: deviation unknown", ""},

		// by C = 1227.7 m 512.12 m of a span of 300 m hang at its upper end where it rises by 90 m, and −212.12 m at the lower one
		{"on a hillside", tuned(heights(90, 0, -90)), "shortfall 70/76.788", "in the span behind, the one ahead"},
		{"the worse is the one behind", tuned(heights(-90, 0, 90)), "shortfall 70/76.788", "in the span ahead, the one behind"},
		{"in a hollow both lift", tuned(heights(90, 0, 90)), "shortfall 70/71.616", ""},
		{"height behind unknown", tuned(blankBack), "shortfall 70/71.087", "the one ahead pulls 39.20 kN by everyday tension of the Lines sheet: 39.49 kN on one string, which needs at least"},
		{"height behind unknown, and the other would meet", tuned(blankBack, ratedKN(90)), groundUnknown, ""},
		{"height behind not readable", tuned(blankBack, ratedKN(90), func(s *audit.Subject) { s.Structure.NoRiseBack = audit.FaultyField }), faultyField, ""},
		{"no height at all", tuned(blankBack, func(s *audit.Subject) { s.Structure.NoRiseAhead = audit.GroundUnknown }), groundUnknown, ""},
		{"one of two breaks, height behind unknown", tuned(blankBack, ratedKN(30), breaks(func(b *audit.BrokenConductor) { b.Subconductors = 1 })), groundUnknown, ""},
		{"slack behind", tuned(func(s *audit.Subject) { s.Structure.SlackBack = true }), "shortfall 70/71.087", "the span behind, the one ahead"},
		{"slack behind, and the other would meet", tuned(func(s *audit.Subject) { s.Structure.SlackBack = true }, ratedKN(90)), "not assessed: " + audit.SlackSpan.String(), ""},
		{"beyond the extract", tuned(func(s *audit.Subject) { s.Structure.Continues, s.Structure.SpanAheadM = true, math.NaN() }), "not assessed: " + audit.BeyondExtract.String(), ""},
		{"stated at the support", tuned(heights(-90, 0, 90), func(s *audit.Subject) { s.Criteria.StatedTension = basis.AtSupport }), "shortfall 70/71.63", ""},

		{"two discs defective", tuned(ratedKN(72), func(s *audit.Subject) { s.Assembly.Defective = 2 }), "not assessed: " + audit.ResidualNotStated.String(), ""},
		{"too weak even when sound", tuned(func(s *audit.Subject) { s.Assembly.Defective = 2 }), "shortfall 70/71.087", "is rated 70 kN when sound, and no more with defective units; with 2 subconductors broken"},
		{"defective units unreadable", tuned(ratedKN(72), func(s *audit.Subject) {
			s.Assembly.Defective, s.Assembly.Faulty = -1, s.Assembly.Faulty.With(audit.CellDefective)
		}), "not assessed: " + audit.FaultyField.String(), ""},
		{"too weak whatever is defective", tuned(func(s *audit.Subject) {
			s.Assembly.Defective, s.Assembly.Faulty = -1, s.Assembly.Faulty.With(audit.CellDefective)
		}), "shortfall 70/71.087", "when sound"},
		{"with residual strength", tuned(ratedKN(100), func(s *audit.Subject) {
			s.Assembly.Defective, s.Assembly.Unit.Material = 2, "porcelain"
			s.Criteria.ResidualStrength = audit.ResidualStrength{{Material: "porcelain", Share: 0.7}}
		}), "shortfall 70/71.087", "2 of them defective, is good for 70.0 kN"},
		{"failed", tuned(ratedKN(500), func(s *audit.Subject) { s.Assembly.Defective, s.Assembly.Unit.Kind = 1, basis.LongRod }), "shortfall 0/71.087", "has failed by its defect"},
		{"rating unknown", tuned(ratedKN(math.NaN())), "not assessed: rating of the string unknown", ""},
		{"doubtful", tuned(func(s *audit.Subject) { s.Structure.Doubtful = true }), "advisory 70/71.087: beside doubtful geometry, see Faults", "positions here are doubtful"},
		{"where a structure may be missing", tuned(func(s *audit.Subject) { s.Structure.MayMiss = true }), "advisory 70/71.087: a structure may be missing beside it, see Faults", "(factor 1.8, own rule); a structure may be missing beside it, see Faults."},

		{"jumper", duty(audit.Jumper), passesJumper, ""},
		{"guy", duty(audit.Guy), passesNoLoad, ""},
		{"tension", duty(audit.Tension), "not applicable: no suspension, pin or post assembly", ""},
		{"shackle", duty(audit.Shackle), "not applicable: no suspension, pin or post assembly", ""},
		{"at a line end", tuned(func(s *audit.Subject) { s.Structure.Role = audit.Terminal }), "not applicable: " + audit.PullsOneSidedly.String(), ""},
		{"where its circuit ends", tuned(func(s *audit.Subject) { s.Assembly.CircuitEnds = true }), "not applicable: " + audit.PullsOneSidedly.String(), ""},
	})
}

// Of unlike bundles it is not known what those that go on are held by, unless all of both break.
func TestBrokenBetweenUnlikeBundles(t *testing.T) {
	check, s := example(t, "broken-conductor")
	s.Criteria.BrokenConductor.Subconductors, s.Assembly.Unit.RatingKN = 1, 500
	require.Equal(t, "meets", check.Run(s, nil).Outcome.String())
	s.Structure.CarriesAhead = audit.Carried{Subconductors: 1}
	require.Equal(t, audit.SpansDiffer, check.Run(s, nil).Reason)
	s.Structure.CarriesAhead, s.Structure.CarriesBack = audit.Carried{}, audit.Carried{Subconductors: 1}
	require.Equal(t, audit.SpansDiffer, check.Run(s, nil).Reason)
	s.Criteria.BrokenConductor.Subconductors = 2
	require.Equal(t, "meets", check.Run(s, nil).Outcome.String())
}

// Each span has its own conductor, and what stays pulls by its own.
func TestBrokenBetweenUnlikeSpans(t *testing.T) {
	check, s := example(t, "broken-conductor")
	s.Criteria.LoadCases = append(s.Criteria.LoadCases, audit.LoadCase{Name: "share", From: audit.ShareOfStrength, Share: 0.2, Factor: 1})
	s.Criteria.BrokenConductor.Case = "share"
	s.Line.Conductor.RatedStrengthKN = 140
	heavy := basis.UnknownConductor()
	heavy.Name, heavy.MassKgPerM, heavy.DiameterMM, heavy.RatedStrengthKN = "heavy", 2, 31.77, 160
	s.Line.Catalogue, s.Structure.CarriesAhead = []basis.Conductor{heavy}, audit.Carried{Conductor: 1}
	// behind 0.7·0.2·140·2 = 39.2 kN, ahead 0.7·0.2·160·2 = 44.8 kN with 2·150·2·9.80665 = 5.884 kN
	require.Equal(t, "shortfall 70/81.337", inShort(check.Run(s, nil)))
	p, reason := s.WorstBroken()
	require.Equal(t, audit.NoReason, reason)
	require.Equal(t, audit.Back, p.SideBroken())
	s.Criteria.BrokenConductor.Case, s.Line.Row.EverydayTensionKN = "", 28 // which is the line's conductor's
	require.Equal(t, "shortfall 70/71.087", inShort(check.Run(s, nil)), "by the span behind at least")
	s.Assembly.Unit.RatingKN = 90
	require.Equal(t, otherConductor, inShort(check.Run(s, nil)))
	s.Criteria.BrokenConductor.Case, s.Criteria.BrokenConductor.Subconductors = "share", 1
	require.Equal(t, spansDiffer, inShort(check.Run(s, nil)), "what goes on hangs in both")
}

// 19.6 kN of a single conductor of 28 kN bends a pin or post of 2.401 kN weight, 19.6·sinh(150/1227.67): 19.6·1.8/c + 2.40075·1.8/p upright, and
// √(19.6² + 2.40075²)·1.8/c horizontal, where a turn of 10° pulls 19.6·sin 5° = 1.70825 kN along the axis (computed).
func TestBrokenOnPosts(t *testing.T) {
	post := func(d audit.Duty, mounting audit.Mounting, cantilever float64, more ...func(*audit.Subject)) func(*audit.Subject) {
		return func(s *audit.Subject) {
			s.Line.Row.Subconductors = 1
			a := s.Assembly
			a.Duty, a.UnitsPerString, a.Mounting = d, 1, mounting
			a.Unit.Kind, a.Unit.CantileverKN, a.Unit.CompressionKN, a.Unit.RatingKN = basis.Post, cantilever, 50, 40
			for _, m := range more {
				m(s)
			}
		}
	}
	turn := func(s *audit.Subject) { s.Structure.DeviationDeg = -10 }
	nan := math.NaN()
	lifted := func(s *audit.Subject) { s.Structure.HeightBackM, s.Structure.HeightAheadM = 60, 60 }
	judge(t, "broken-conductor", []judgement{
		{"upright", post(audit.Post, audit.Upright, 40), "meets 0.96843/1", ""},
		{"upright, too weak", post(audit.Post, audit.Upright, 30), "shortfall 1.2624/1", "is used to 126.2 % of its strength with the conductor broken in the span ahead, the one behind pulls 19.60 kN by everyday tension of the Lines sheet: 19.60 kN across its axis on a cantilever rating of 30 kN (factor 1.8), 2.40 kN pushing along its axis"},
		{"a pin is upright", post(audit.Pin, audit.MountingUnknown, 40), "meets 0.96843/1", ""},
		{"by its own share", post(audit.Pin, audit.MountingUnknown, 40, breaks(func(b *audit.BrokenConductor) { b.Share.Pin = 1 })), "shortfall 1.3463/1", "factors of own rule"},
		{"a tie that slips", post(audit.Pin, audit.MountingUnknown, 10, func(s *audit.Subject) { s.Assembly.Direct.SlipKN = 3 }), "meets 0.63566/1", ""},
		{"horizontal", post(audit.Post, audit.Horizontal, 40), "meets 0.88859/1", ""},
		{"horizontal in a turn", post(audit.Post, audit.Horizontal, 40, turn), "meets 0.96213/1", ""},
		{"upright in a turn", post(audit.Post, audit.Upright, 40, turn), "meets 0.96843/1", ""},
		{"mounting not stated, both meet", post(audit.Post, audit.MountingUnknown, 40), "meets 0.96843/1", ""},
		{"mounting not stated, both fall short", post(audit.Post, audit.MountingUnknown, 30), "shortfall 1.1848/1", "upright it is used to 126.2 %"},
		{"mounting not stated, one meets", post(audit.Post, audit.MountingUnknown, 37), "not assessed: " + audit.MountingNotStated.String(), ""},
		{"cantilever unknown", post(audit.Post, audit.Upright, nan), "not assessed: cantilever rating of the insulator unknown", ""},
		{"compression unknown", post(audit.Post, audit.Upright, 40, func(s *audit.Subject) { s.Assembly.Unit.CompressionKN = nan }), "not assessed: compression rating of the pin or post unknown", ""},
		{"lifted", post(audit.Post, audit.Upright, 40, lifted, func(s *audit.Subject) { s.Assembly.Unit.CompressionKN = nan }), "meets 0.94912/1", ""},
		{"one side unknown", post(audit.Post, audit.Upright, 40, func(s *audit.Subject) { s.Structure.NoRiseBack = audit.GroundUnknown }), groundUnknown, ""},
		{"one side unknown, too weak all the same", post(audit.Post, audit.Upright, 30, func(s *audit.Subject) { s.Structure.NoRiseBack = audit.GroundUnknown }), "shortfall 1.2624/1", ""},
		{"no share", post(audit.Post, audit.Upright, 30, breaks(func(b *audit.BrokenConductor) { b.Share.Post = 0 })), "not assessed: " + audit.NoShareLeft.String(), ""},
		{"failed", post(audit.Post, audit.Upright, 400, func(s *audit.Subject) { s.Assembly.Defective = 1 }), "shortfall 0/19.746", "has failed by its defect and is good for nothing; with the conductor broken in the span ahead, the one behind pulls 19.60 kN by everyday tension of the Lines sheet, which puts 19.75 kN on it"},
		{"ended on", post(audit.Post, audit.Upright, 40, func(s *audit.Subject) { s.Structure.Role = audit.Terminal }), "not applicable: " + audit.PullsOneSidedly.String(), ""},
	})
}

// vector is a force or a place: along the line that halves the turn, across it, and up.
type vector [3]float64

func (a vector) plus(b vector, times float64) vector {
	return vector{a[0] + times*b[0], a[1] + times*b[1], a[2] + times*b[2]}
}
func (a vector) dot(b vector) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a vector) size() float64        { return math.Sqrt(a.dot(a)) }

// chain is a conductor hung between two supports as seen from the first: a row of weights on massless links, laid out from there with a horizontal
// tension and whatever slope reaches the second support. It knows nothing of catenaries. pullsUp is its pull on the first, below 0 downwards.
func chain(spanM, riseM, horizontalN, weightNPerM float64) (pullsUp float64) {
	const links = 500
	step := spanM / links
	reach := func(slope float64) (height float64) {
		for range links { // each with half its weight at either end
			middle := slope + weightNPerM*step*math.Hypot(1, slope)/2/horizontalN
			height, slope = height+middle*step, slope+weightNPerM*step*math.Hypot(1, middle)/horizontalN
		}
		return height
	}
	low, high := -20.0, 20.0
	for range 50 {
		if middle := (low + high) / 2; reach(middle) > riseM {
			high = middle
		} else {
			low = middle
		}
	}
	return low * horizontalN
}

// leaves is what the conductors pull at an attachment: the span that stays with the tension that is left on those that break, and both spans
// with the whole tension on the others.
func leaves(intact int, toward []vector, spans [][2]float64, leftN, wholeN, weightNPerM float64, broken, others int) (load vector) {
	add := func(side int, tensionN float64, times int) {
		load = load.plus(toward[side], tensionN*float64(times))
		load[2] += chain(spans[side][0], spans[side][1], tensionN, weightNPerM) * float64(times)
	}
	add(intact, leftN, broken)
	for side := range spans {
		if others > 0 {
			add(side, wholeN, others)
		}
	}
	return load
}

// heldBy finds the pulls in strings of one length that hold a load from some attachments: springs that only pull, and the place of the load
// at which the energy is least. That is convex, so that any way down leads there.
func heldBy(attachments []vector, lengthM float64, load vector) (pulls []float64) {
	stiff := 1e6 * load.size() / lengthM
	pulls = make([]float64, len(attachments))
	slope := func(at vector) (up vector, energy float64) {
		up, energy = vector{}.plus(load, -1), -load.dot(at)
		for i, a := range attachments {
			along := at.plus(a, -1)
			stretch := math.Max(0, along.size()-lengthM)
			pulls[i] = stiff * stretch
			up, energy = up.plus(along, pulls[i]/along.size()), energy+pulls[i]*stretch/2
		}
		return up, energy
	}
	at := vector{}.plus(load, lengthM/load.size())
	for range 500 {
		up, energy := slope(at)
		if up.size() < 1e-7*load.size() {
			break
		}
		var curve [3]vector // how the slope changes, by small steps
		for i := range curve {
			const tiny = 1e-9
			beside := at
			beside[i] += tiny
			there, _ := slope(beside)
			curve[i] = vector{}.plus(there.plus(up, -1), 1/tiny)
			curve[i][i] += 1e-6 * stiff
		}
		down := solve(curve, vector{}.plus(up, -1))
		for share := 1.0; share > 1e-12; share /= 2 {
			if _, less := slope(at.plus(down, share)); less < energy {
				at = at.plus(down, share)
				break
			}
		}
	}
	slope(at)
	return pulls
}

// solve finds x of three equations a·x = b by their determinants; a is symmetric.
func solve(a [3]vector, b vector) (x vector) {
	det := func(p, q, r vector) float64 {
		return p[0]*(q[1]*r[2]-q[2]*r[1]) - q[0]*(p[1]*r[2]-p[2]*r[1]) + r[0]*(p[1]*q[2]-p[2]*q[1])
	}
	whole := det(a[0], a[1], a[2])
	for i := range x {
		with := a
		with[i] = b
		x[i] = det(with[0], with[1], with[2]) / whole
	}
	return x
}

// The load of a break is what chains of weights pull at the attachment and what springs that only pull make of it, on one string and on the two
// legs of a V.
func TestBrokenAgainstEquilibrium(t *testing.T) {
	slack := 0
	rapid.Check(t, func(t *rapid.T) {
		check, s := example(t, "broken-conductor")
		draw := func(low, high float64, name string) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		st := s.Structure
		st.SpanBackM, st.SpanAheadM, st.DeviationDeg = draw(100, 500, "behind"), draw(100, 500, "ahead"), draw(-60, 60, "turn")
		st.HeightBackM, st.HeightAheadM = draw(-60, 60, "z1"), draw(-60, 60, "z2")
		s.Line.Row.Subconductors, s.Criteria.BrokenConductor.Subconductors = rapid.IntRange(1, 3).Draw(t, "m"), rapid.IntRange(0, 3).Draw(t, "k")
		s.Criteria.BrokenConductor.Share.Suspension = draw(0.2, 1, "share")
		if rapid.Bool().Draw(t, "slips") {
			s.Line.Row.SlipKN = draw(3, 30, "slip load")
		}
		isV := rapid.Bool().Draw(t, "V")
		if isV {
			s.Assembly.Strings, s.Assembly.Arrangement, s.Assembly.VAngleDeg = 2, audit.VSet, draw(20, 140, "angle")
			if rapid.Bool().Draw(t, "narrow") { // so that a turn makes a leg slack
				s.Assembly.VAngleDeg = 20 + (s.Assembly.VAngleDeg-20)/8
			}
		}
		w, everyday := s.Line.Conductor.WeightNPerM(), 1000*s.Line.Row.EverydayTensionKN
		m, k := s.Line.Row.Subconductors, s.Criteria.BrokenConductor.Subconductors
		if k == 0 || k > m {
			k = m
		}
		left := s.Criteria.BrokenConductor.Share.Suspension * everyday
		if slip := 1000 * s.Line.Row.SlipKN; slip < left {
			left = slip
		}
		half := math.Abs(st.DeviationDeg) / 2 * math.Pi / 180
		toward := []vector{{-math.Cos(half), math.Sin(half), 0}, {math.Cos(half), math.Sin(half), 0}} // behind, ahead
		spans := [][2]float64{{st.SpanBackM, st.HeightBackM}, {st.SpanAheadM, st.HeightAheadM}}
		most := 0.0
		for intact := range spans {
			load := leaves(intact, toward, spans, left, everyday, w, k, m-k)
			attachments := []vector{{}}
			if isV {
				apart := 2 * math.Sin(s.Assembly.VAngleDeg/2*math.Pi/180)
				attachments = []vector{{0, -apart, 0}, {0, apart, 0}}
			}
			for _, pull := range heldBy(attachments, 2, load) {
				most = math.Max(most, pull)
				if isV && pull == 0 {
					slack++
				}
			}
		}
		p, reason := s.WorstBroken()
		if reason != audit.NoReason {
			t.Fatal(reason)
		}
		require.InEpsilon(t, most/1000, p.KN, 1e-4)
		require.InEpsilon(t, most/1000*1.8, check.Run(s, nil).Required.Number, 1e-4)
	})
	require.Positive(t, slack, "legs that go slack among them")
}

// A post is a rod clamped at its foot: what its foot bears along and across its axis is the load of a break, and its moment over its length.
func TestBrokenPostsAgainstEquilibrium(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, s := example(t, "broken-conductor")
		draw := func(low, high float64, name string) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		st := s.Structure
		st.DeviationDeg, st.HeightBackM, st.HeightAheadM = draw(-40, 40, "turn"), draw(-60, 60, "z1"), draw(-60, 60, "z2")
		s.Line.Row.Subconductors = 1
		a := s.Assembly
		a.Duty, a.UnitsPerString, a.Unit.Kind = audit.Post, 1, basis.Post
		a.Unit.CantileverKN, a.Unit.CompressionKN, a.Unit.RatingKN = draw(5, 60, "cantilever"), draw(5, 60, "compression"), draw(5, 60, "tension")
		axis := vector{0, 0, 1}
		if a.Mounting = audit.Upright; rapid.Bool().Draw(t, "horizontal") {
			a.Mounting, axis = audit.Horizontal, vector{0, 1, 0}
		}
		half, w := st.DeviationDeg/2*math.Pi/180, s.Line.Conductor.WeightNPerM()
		const factor, left = 1.8, 0.7 * 28_000
		most := 0.0
		toward := []vector{{-math.Cos(half), math.Sin(half), 0}, {math.Cos(half), math.Sin(half), 0}}
		spans := [][2]float64{{300, st.HeightBackM}, {300, st.HeightAheadM}}
		for intact := range spans {
			load := leaves(intact, toward, spans, left, 0, w, 1, 0)
			const length = 1.7 // the moment at the foot is that of the load at the head, whatever the length
			arm := vector{}.plus(axis, length)
			moment := vector{arm[1]*load[2] - arm[2]*load[1], arm[2]*load[0] - arm[0]*load[2], arm[0]*load[1] - arm[1]*load[0]}
			along := load.dot(axis)
			worse := along / a.Unit.RatingKN
			if along < 0 {
				worse = -along / a.Unit.CompressionKN
			}
			if a.Mounting == audit.Horizontal { // or on the other side of the structure
				worse = math.Max(math.Abs(along)/a.Unit.RatingKN, math.Abs(along)/a.Unit.CompressionKN)
			}
			most = math.Max(most, factor/1000*(moment.size()/length/a.Unit.CantileverKN+worse))
		}
		b, reason := s.BrokenBearing()
		if reason != audit.NoReason {
			t.Fatal(reason)
		}
		require.InEpsilon(t, most, b.Utilisation, 1e-4)
	})
}

// The tension that is left moves the low point: 300 m rising by 60 m to here, from 20 to 10 kN at 15.965 N/m, hang with 398.32 m of their span and then 273.29 m
// here (computed, by bisection on the rise of a catenary).
func TestWeightThatIsLeft(t *testing.T) {
	_, s := example(t, "broken-conductor")
	s.Structure.HeightBackM, s.Line.Row.EverydayTensionKN, s.Line.Row.Subconductors = -60, 20, 1
	for share, hangsM := range map[float64]float64{1: 398.3210144761388, 0.5: 273.287034389211} {
		s.Criteria.BrokenConductor.Share.Suspension = share
		p, reason := s.WorstBroken()
		require.Equal(t, audit.NoReason, reason)
		require.Equal(t, audit.Ahead, p.SideBroken())
		constantM := 1000 * 20 * share / s.Line.Conductor.WeightNPerM()
		require.InEpsilon(t, constantM*math.Sinh(hangsM/constantM), p.HangsM, 1e-9)
	}
}

// √(39.2² + 4.8015²) = 39.4929 kN on yoke and string, and 19.7465 kN on the clamp of one of the two; by 1.8 71.0873 and 35.5443 kN (statics, computed).
func TestFittingsBesideABrokenConductor(t *testing.T) {
	rated := func(r audit.Ratings, more ...func(*audit.Subject)) func(*audit.Subject) {
		return func(s *audit.Subject) {
			s.Line.Row.FittingsKN, s.Assembly.Direct.FittingsKN = audit.UnknownRatings(), r
			for _, m := range more {
				m(s)
			}
		}
	}
	one := breaks(func(b *audit.BrokenConductor) { b.Subconductors = 1 })
	strings := func(n int) func(*audit.Subject) {
		return func(s *audit.Subject) { s.Assembly.Strings, s.Assembly.Arrangement = n, audit.Parallel }
	}
	judge(t, "fitting-broken-conductor", []judgement{
		{"clamp below", rated(ratings(35.5, 0, 0)), "shortfall 35.5/35.544",
			"The clamp of 9 × disc is rated 35.5 kN; with 2 subconductors broken in the span ahead, the one behind pulls 39.20 kN by everyday tension of the Lines sheet: 19.75 kN on it, that of one subconductor, which needs 35.54 kN (factor 1.8, own rule)."},
		{"clamp exactly", rated(ratings(math.Hypot(19.6, 19.6*math.Sinh(150/1227.6682))*1.8, 0, 0)), "meets 35.544/35.544", ""},
		{"clamp above", rated(ratings(36, 0, 0)), "meets 36/35.544", ""},
		{"clamp below where a structure may be missing", rated(ratings(35.5, 0, 0), func(s *audit.Subject) { s.Structure.MayMiss = true }), "advisory 35.5/35.544: a structure may be missing beside it, see Faults", "a structure may be missing beside it"},
		{"yoke", rated(ratings(0, 71, 0)), "shortfall 71/71.087", "that of the phase"},
		{"yoke above", rated(ratings(0, 71.1, 0)), "meets 71.1/71.087", ""},
		{"ball and socket", rated(ratings(0, 0, 71)), "shortfall 71/71.087", "that of one string"},
		{"the weakest governs", rated(ratings(36, 72, 70)), "shortfall 70/71.087", "The ball and socket"},
		{"two strings share ball and socket, not the yoke", rated(ratings(0, 71, 36), strings(2)), "shortfall 71/71.087", "The yoke"},
		{"ball and socket of two strings", rated(ratings(0, 0, 35.6), strings(2)), "meets 35.6/35.544", ""},
		{"the yoke bears the strings", rated(ratings(0, 71.1, 0), func(s *audit.Subject) { s.Assembly.Unit.WeightKg = 60.0 / 9 }), "shortfall 71.1/71.224", ""},
		{"a clamp bears no string", rated(ratings(35.6, 0, 0), func(s *audit.Subject) { s.Assembly.Unit.WeightKg = 60.0 / 9 }), "meets 35.6/35.544", ""},
		{"one of two breaks: its clamp bears the same", rated(ratings(35.5, 0, 0), one), "shortfall 35.5/35.544", "with a subconductor broken"},
		{"and the one that goes on more, on a sharp turn", rated(ratings(35.6, 0, 0), one, func(s *audit.Subject) { s.Structure.DeviationDeg = 50 }), "shortfall 35.6/43.466", "that of one subconductor that goes on"}, // √((2·28·sin 25°)² + 4.7954²)·1.8
		{"slips", rated(ratings(28, 0, 0), func(s *audit.Subject) { s.Assembly.Direct.SlipKN = 15 }), "meets 28/27.345", ""},                                                                                            // √(15² + 2.40075²)·1.8
		{"the line's", rated(ratings(0, 0, 0), func(s *audit.Subject) { s.Line.Row.FittingsKN = ratings(35, 0, 0) }), "shortfall 35/35.544", "rated 35 kN by its line"},
		{"no factor, and no other stands in", rated(ratings(1, 1, 1), breaks(func(b *audit.BrokenConductor) { b.Fitting = 0 })), "not assessed: " + audit.NoBrokenFitting.String(), ""},
		{"none rated", rated(ratings(0, 0, 0)), "not assessed: no rating of fittings stated", ""},
		{"no broken conductor", rated(ratings(1, 1, 1), breaks(func(b *audit.BrokenConductor) { *b = audit.BrokenConductor{} })), "not assessed: no broken conductor in the criteria", ""},
		{"a rating that cannot be read", rated(ratings(80, 80, 0), func(s *audit.Subject) { s.Assembly.Faulty = s.Assembly.Faulty.With(audit.CellMounting) }), faultyField, ""},
		{"beside one that is too weak", rated(ratings(30, 80, 0), func(s *audit.Subject) { s.Assembly.Faulty = s.Assembly.Faulty.With(audit.CellMounting) }), "shortfall 30/35.544", "needs at least"},
		{"height behind unknown", rated(ratings(80, 80, 80), func(s *audit.Subject) {
			s.Structure.HeightBackM, s.Structure.NoRiseBack = math.NaN(), audit.GroundUnknown
		}), groundUnknown, ""},
		{"V legs", rated(ratings(0, 0, 50), func(s *audit.Subject) {
			s.Assembly.Strings, s.Assembly.Arrangement, s.Assembly.VAngleDeg = 2, audit.VSet, 90
		}), "shortfall 50/50.266", ""}, // 39.4929 kN in the plane of the legs: by √2 each
		{"post", rated(ratings(1, 1, 1), duty(audit.Post)), "not applicable: pins, posts and shackles have no fittings of a string", ""},
		{"tension", rated(ratings(1, 1, 1), duty(audit.Tension)), "not applicable: no suspension, pin or post assembly", ""},
		{"at a line end", rated(ratings(1, 1, 1), func(s *audit.Subject) { s.Structure.Role = audit.Terminal }), "not applicable: " + audit.PullsOneSidedly.String(), ""},
	})
}
