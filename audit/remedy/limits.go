package remedy

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// inWords tells that a verdict is in words, so that no number of units changes it.
func inWords(v *audit.Verdict) bool {
	return math.IsNaN(v.Observed.Number) || math.IsNaN(v.Required.Number)
}

// behind says in what a string is less than the best of those it is measured by, where the checks cannot judge that (sizesOpen: on what those rest that could not); empty where it is
// not, as strings of the very units are in nothing but what tension asks for. noUnits tells that no number of units changes it.
func (b *bench) behind(q *ask, asm *audit.Assembly, isOwn bool, sizesOpen audit.Rests) (text string, noUnits bool) {
	if text = b.dryForWet(q, asm); text != "" {
		return text, true
	}
	if text = b.testedLess(q, asm); text != "" {
		return text, false
	}
	if !isOwn || q.isNewInTension() {
		if text = b.weakerUnjudged(q, asm); text != "" {
			return text, true
		}
	}
	isOpen, asksCreepage := sizesOpen != 0, sizesOpen&audit.RestsOnCreepage != 0
	if isOpen || q.horned {
		if text = lessThanHangs(q.floor, asm, asksCreepage); text != "" {
			return text, false
		}
	}
	if isOwn || !isOpen {
		return "", false
	}
	if text = shorter(q.models, asm); text == "" && asksCreepage {
		text = less(q.models, asm, "creepage", "mm", func(a *audit.Assembly) float64 { return a.CreepageMM })
	}
	return text, false
}

// isFixed tells whether assemblies of a duty stand on the structure or are bolted to it, and hang in no string.
func isFixed(d audit.Duty) bool { return d == audit.Pin || d == audit.Post || d == audit.Shackle }

// shorter says that a string is shorter than the best of others: of pins and posts, which state no length of what they add to a string, that their arcing distance is.
func shorter(models []audit.Assembly, asm *audit.Assembly) string {
	lacksLength := func(a audit.Assembly) bool { return math.IsNaN(a.LengthMM()) }
	if isFixed(asm.Duty) && (lacksLength(*asm) || slices.ContainsFunc(models, lacksLength)) {
		return less(models, asm, "arcing distance", "mm", (*audit.Assembly).ArcingMM)
	}
	return less(models, asm, "length", "mm", (*audit.Assembly).LengthMM)
}

// dryForWet says that a string would be judged by the formula of dry gaps alone, which gives more for what hangs there than that has wet.
func (b *bench) dryForWet(q *ask, asm *audit.Assembly) string {
	line, c := b.site.Line(), b.site.Criteria()
	if math.IsNaN(line.Level(audit.Switching)) || !basis.IsRangeTwo(line.HighestKV) {
		return ""
	}
	i := slices.IndexFunc(q.old, func(a audit.Assembly) bool { return a.WetBelowFormula(c) })
	if i < 0 {
		return ""
	}
	mine := asm.Withstand(audit.Switching, asm.UnitsPerString, c)
	if !mine.IsByGap() {
		return ""
	}
	has := q.old[i].Withstand(audit.Switching, q.old[i].UnitsPerString, c)
	return fmt.Sprintf("%s withstands %.0f kV of switching impulse by the formula of dry gaps alone, and %s, which hangs there, has %.0f kV wet, less than that formula gives for it; enter a tested wet value of what would serve",
		asm.Hanging(), mine.KV, q.old[i].Hanging(), has.KV)
}

// lessThanHangs says that a string has less length, or creepage where that is not judged, than what it takes the place of, as far as that is known.
func lessThanHangs(floor []audit.Assembly, asm *audit.Assembly, asksCreepage bool) string {
	for _, of := range [...]struct {
		what   string
		figure func(a *audit.Assembly) float64
	}{{"creepage", func(a *audit.Assembly) float64 { return a.CreepageMM }}, {"length", (*audit.Assembly).LengthMM}} {
		if (asksCreepage || of.what != "creepage") && slices.ContainsFunc(floor, func(a audit.Assembly) bool { return !math.IsNaN(of.figure(&a)) }) {
			if text := less(floor, asm, of.what, "mm", of.figure); text != "" {
				return text
			}
		}
	}
	return ""
}

// less says that a string has less of something than the best of others as far as that is known.
func less(models []audit.Assembly, asm *audit.Assembly, what, measure string, figure func(a *audit.Assembly) float64) string {
	most := math.NaN()
	for i := range models {
		if its := figure(&models[i]); !(its <= most) && !math.IsNaN(its) {
			most = its
		}
	}
	switch mine := figure(asm); {
	case math.IsNaN(most):
		return fmt.Sprintf("nothing tells how much %s is needed, since neither the checks nor what hangs there can", what)
	case math.IsNaN(mine):
		return fmt.Sprintf("the %s of %s is not known, what hangs there or on the line has %.0f %s, and the checks cannot judge whether less would do", what, asm.Hanging(), most, measure)
	case !(mine >= most):
		return fmt.Sprintf("%s has %.0f %s of %s, what hangs there or on the line %.0f, and the checks cannot judge whether less would do", asm.Hanging(), mine, measure, what, most)
	}
	return ""
}

// isNewInTension tells whether tension assemblies are asked for where none hang.
func (q *ask) isNewInTension() bool { return q.newcomer && q.duty == audit.Tension }

// weakerUnjudged says that strings whose strength cannot be judged may be weaker than those they are measured by; empty where it can be, or they are not.
func (b *bench) weakerUnjudged(q *ask, asm *audit.Assembly) string {
	isLoaded := b.site.Loaded(asm)
	switch {
	case isFixed(q.duty):
		if b.isStrengthOpen(asm) {
			return weakerFixed(q.models, asm, isLoaded)
		}
		return ""
	case !isLoaded:
		return b.weaker(q, asm)
	case q.isNewInTension() || math.IsNaN(ofAll(asm)) || !b.isStrengthOpen(asm):
		return ""
	}
	known := slices.DeleteFunc(slices.Clone(q.models), func(a audit.Assembly) bool { return math.IsNaN(ofAll(&a)) })
	if len(known) == 0 {
		return ""
	}
	return lessRated(known, asm)
}

// isStrengthOpen tells whether a check of the strength of a string cannot be judged for want of a datum, or none of those that concern it is.
func (b *bench) isStrengthOpen(asm *audit.Assembly) bool {
	isAsked, isJudged := false, false
	for i, check := range b.result.Checks {
		if check.Rests&audit.RestsOnRating == 0 {
			continue
		}
		v := b.site.Put(i, asm, false)
		if v.Outcome == audit.NotAssessed && v.Reason.AskedBy() == "" {
			return true
		}
		isAsked, isJudged = isAsked || v.Outcome == audit.NotAssessed, isJudged || v.Outcome == audit.Meets || v.Outcome == audit.FallsShort
	}
	return isAsked && !isJudged
}

// weakerFixed says that a pin, a post or a shackle insulator may be weaker than those it is measured by, in any rating that its loads may ask for: which those
// are goes by how it stands. Ratings that none of those has tell nothing, and the one across the axis has to be known unless the load is.
func weakerFixed(models []audit.Assembly, asm *audit.Assembly, isLoaded bool) string {
	for _, of := range [...]struct {
		what     string
		isNeeded bool
		figure   func(a *audit.Assembly) float64
	}{
		{"rating", !isLoaded, (*audit.Assembly).CantileverKN},
		{"compression rating", false, (*audit.Assembly).CompressionKN},
		{"rating for a pull along the axis", false, pulledKN},
	} {
		figure := func(a *audit.Assembly) float64 {
			if kN := of.figure(a); !math.IsInf(kN, 1) { // nobody knows of what it is
				return kN
			}
			return math.NaN()
		}
		isKnown := func(a audit.Assembly) bool { return !math.IsNaN(figure(&a)) }
		isUnread := func(a audit.Assembly) bool { return !isKnown(a) && a.UnitFaulty.Has(audit.CellRating) }
		if !of.isNeeded && !slices.ContainsFunc(models, isKnown) && !slices.ContainsFunc(models, isUnread) {
			continue
		}
		if text := less(models, asm, of.what, "kN", figure); text != "" {
			return text
		}
		if asm.Duty == audit.Shackle { // which is loaded across its axis alone
			break
		}
	}
	return ""
}

// pulledKN is the rating of a string for a pull, by its units where that which its row states cannot be read.
func pulledKN(a *audit.Assembly) float64 {
	byUnits := *a
	byUnits.Faulty &^= 1 << audit.CellRating
	return byUnits.RatingKN()
}

// weaker says that strings may be weaker than those they are measured by, one by one or all of an assembly together. In tension where none
// hung that is the strongest of the line too, and what hangs there on strings.
func (b *bench) weaker(q *ask, asm *audit.Assembly) string {
	measures := q.models
	if q.isNewInTension() {
		if measures = b.use.inTension; len(measures) == 0 {
			return "nothing tells how strong a tension assembly has to be, since neither the load nor the rating of any on the line is known"
		}
		for i := range q.old {
			if q.old[i].Duty == audit.Suspension {
				measures = append(measures[:len(measures):len(measures)], q.old[i])
			}
		}
	}
	for i := range measures {
		if math.IsNaN(ofAll(&measures[i])) {
			return fmt.Sprintf("nothing tells how much rating is needed, since neither the load nor the rating of what hangs there (%s) is known", measures[i].Hanging())
		}
	}
	return lessRated(measures, asm)
}

func lessRated(models []audit.Assembly, asm *audit.Assembly) string {
	return cmp.Or(less(models, asm, "rating of one string", "kN", (*audit.Assembly).RatingKN), less(models, asm, "rating of all strings", "kN", ofAll))
}

// ofAll is the rating of the strings of an assembly that carry one load; NaN if unknown.
func ofAll(a *audit.Assembly) float64 {
	if !isSetKnown(a) {
		return math.NaN()
	}
	return a.RatingKN() * float64(sideBySide(a))
}

// tooLong tells whether strings of some units would be longer than the line allows: on any member that then is longer than it is now, or
// where nothing of the kind hangs yet. The fittings that a stated length tells of stay, even where none of the units does.
func (b *bench) tooLong(q *ask, u, units, strings int, anew bool) *block {
	limit := b.site.Line().Row.LongestStringMM
	if math.IsNaN(limit) || q.duty != audit.Suspension && q.duty != audit.Tension && q.duty != audit.Jumper {
		return nil
	}
	row := b.remade(q.members[0], u, units, strings)
	asm := b.site.Assembly(&row)
	own := asm.LengthMM()
	length, of := own, "" // what hangs of which the fittings are not known
	if len(q.old) > 0 && !q.newcomer {
		length = 0
		for i := range q.old {
			hangs := q.old[i].LengthMM()
			after := own + q.old[i].FittingsMM()
			if q.isCounted(i) && own <= q.old[i].UnitsMM() {
				continue // no longer than now, whatever its fittings
			}
			if q.stays(i, b.unit(u), anew) {
				if units <= q.old[i].UnitsPerString {
					continue
				}
				stays := b.remake(q, i, u, units, strings, anew)
				asm := b.site.Assembly(&stays)
				after = asm.LengthMM()
			}
			if math.IsNaN(after) {
				of = q.old[i].Hanging()
			}
			if !(after <= hangs) {
				length = math.Max(length, after) // not known where one is not
			}
		}
	}
	if q.newcomer { // which brings fittings of its own
		for i := range q.old {
			if its := q.old[i].FittingsMM(); its != 0 && !(own+its <= limit) {
				length, of = math.NaN(), q.old[i].Hanging()
			}
		}
	}
	if math.IsNaN(length) && own > limit && audit.AtMost(own, limit, "mm").Outcome == audit.FallsShort {
		length = own // whatever its fittings
	}
	v := audit.AtMost(length, limit, "mm")
	if v.Outcome == audit.Meets && !math.IsNaN(length) {
		return nil
	}
	text := fmt.Sprintf("%d × %s is %.0f mm, the line allows %g mm.", units, b.unit(u).Name, length, limit)
	switch {
	case math.IsNaN(own):
		text = fmt.Sprintf("the length of %d × %s is not known, and the line allows %g mm.", units, b.unit(u).Name, limit)
	case math.IsNaN(length) && q.newcomer:
		text = fmt.Sprintf("%d × %s is %.0f mm without fittings, and the line allows %g mm; what fittings add in another duty is not known, and with as much as the length of %s tells of it would be longer, or may be.", units, b.unit(u).Name, own, limit, of)
	case math.IsNaN(length):
		text = fmt.Sprintf("%d × %s is %.0f mm without fittings; what those of %s add cannot be told from the register, and the line allows %g mm.", units, b.unit(u).Name, own, of, limit)
	case length > own:
		text = fmt.Sprintf("%d × %s is %.0f mm with the fittings that the stated length tells of, the line allows %g mm.", units, b.unit(u).Name, length, limit)
	}
	unknown := math.IsNaN(length)
	return &block{check: -1, tooLong: !unknown, mayServe: unknown, margin: v.Margin, sentence: func() string { return text }}
}

// sentence says in the words of a check what is wrong with a trial.
func (b *bench) sentence(q *ask, check int, asm audit.Assembly) string {
	v := b.site.Put(check, &asm, true)
	if v.Outcome == audit.NotAssessed {
		return fmt.Sprintf("%s of %s cannot be judged: %s.", b.result.Checks[check].ID, asm.Hanging(), cmp.Or(b.statedOfAnother(check, asm), v.Reason.String()))
	}
	if _, is := v.Fitting(); v.Outcome == audit.FallsShort && is {
		return b.fittingTooWeak(q, check, &asm, v)
	}
	if b.isByHorns(check, &asm, &v) {
		if i := slices.IndexFunc(q.members, func(m audit.TrialRow) bool { return m.At == asm.Row }); i >= 0 && q.mayBeOwn(i) {
			text := fmt.Sprintf("%s Whether the %.0f mm that the register states as the arcing distance of %s are between arcing horns, which stay, or of the string itself is not known", v.Sentence, asm.HornsMM(), q.old[i].Hanging())
			if !q.old[i].CountsUnits() {
				text += "; enter its own on the sheet Units"
			}
			return text + "."
		}
		return fmt.Sprintf("%s The gap of the arcing horns, %.0f mm, governs however long the string is; setting them wider is not sought.", v.Sentence, asm.HornsMM())
	}
	return v.Sentence
}

// isByHorns tells whether a trial falls short by arcing horns, and would by less, or not at all for what is known, without them.
func (b *bench) isByHorns(check int, asm *audit.Assembly, v *audit.Verdict) bool {
	if v.Outcome != audit.FallsShort || math.IsNaN(asm.HornsMM()) {
		return false
	}
	without := *asm
	without.Direct.ArcingMM = math.NaN()
	by := b.site.Put(check, &without, false)
	return by.Outcome == audit.NotAssessed || by.Observed.Number > v.Observed.Number
}

// mayBeOwn tells whether what keeps a member as if it had arcing horns may be the arcing distance of the insulator itself.
func (q *ask) mayBeOwn(i int) bool { return i < len(q.staying) && q.staying[i].mayBeOwn }

// heldByHorns is what arcing horns that stay keep from serving, whatever else is wrong with a string of so many units and however long it is, or what is too
// little of it however wide they are; nil where neither is.
func (b *bench) heldByHorns(q *ask, u, units, strings int, anew bool) *block {
	for i := range q.staying {
		if !q.staying[i].horns {
			continue
		}
		row := b.remake(q, i, u, units, strings, anew)
		b.tried = b.site.Assembly(&row)
		if s := &q.staying[i]; !s.open && !q.old[i].Faulty.Has(audit.CellArcing) { // on a shorter string they are no wider
			b.tried.Direct.ArcingMM, b.tried.Faulty = q.stated[i].ArcingMM, b.tried.Faulty&^(1<<audit.CellArcing)
		}
		asm := b.tried
		for _, check := range b.checks {
			if b.result.Checks[check].Rests&audit.RestsOnWithstand == 0 {
				continue
			}
			v, stops, anyCount := b.put(q, i, check, b.unit(u), strings, anew)
			b.memory.watch.note(b.result.Checks[check], check, i, units, &v, stops, anyCount, ratingBits(&b.tried))
			if byHorns := b.isByHorns(check, &asm, &v); stops && (byHorns || v.Outcome == audit.FallsShort && math.IsNaN(asm.HornsMM())) {
				b.stoppedAt = i
				return b.blockedBy(q, check, units, asm, &v, byHorns)
			}
		}
	}
	return nil
}

// blockedBy is that a check stopped a trial of so many units, at the member at which the last was stopped.
func (b *bench) blockedBy(q *ask, check, units int, asm audit.Assembly, v *audit.Verdict, byHorns bool) *block {
	reason := v.Reason
	at := &block{check: check, margin: v.Margin, inWords: v.Outcome == audit.FallsShort && inWords(v), assessed: v.Outcome != audit.NotAssessed,
		byHorns: byHorns, member: b.stoppedAt, units: units, of: &asm, ofShorter: reason == audit.SwingLimitOfShorter}
	at.sentence = func() string {
		if at.ofShorter {
			return fmt.Sprintf("%s of %s cannot be judged: %s.", b.result.Checks[check].ID, asm.Hanging(), reason)
		}
		return b.sentence(q, check, asm)
	}
	if byHorns && q.mayBeOwn(b.stoppedAt) {
		at.mayServe, at.lacks = true, lacksOwnArcing
	}
	return at
}

// fittingTooWeak says which fitting is too weak, and for what: by what hangs there, where the same stops that, since no units mend it.
func (b *bench) fittingTooWeak(q *ask, check int, asm *audit.Assembly, v audit.Verdict) string {
	if i := slices.IndexFunc(q.old, func(old audit.Assembly) bool { return asm.Row >= 0 && old.Row == asm.Row }); i >= 0 {
		if now := b.site.Put(check, &q.old[i], true); now.Outcome == audit.FallsShort {
			v = now
		}
	}
	fitting, _ := v.Fitting()
	stronger := audit.Ratings{math.NaN(), math.NaN(), math.NaN()}
	weak := b.needsOf(q, fitting, stronger)
	weak.has, weak.needs = v.Observed.Number, math.Max(weak.needs, v.Required.Number)
	text := fmt.Sprintf("No units mend it: the %s is rated %.4g kN and needs %.2f kN.", fitting, weak.has, weak.needs)
	if weak.sets == 0 {
		return text
	}
	text += b.strongerNeeded(q, fitting, weak.sets)
	for { // with those that are named replaced
		stronger[fitting] = weak.needs
		next, is := b.weakestBeside(q, stronger)
		if !is || !math.IsNaN(stronger[next]) {
			break
		}
		fitting, weak = next, b.needsOf(q, next, stronger)
		text += fmt.Sprintf(" The %s is too weak as well: it is rated %.4g kN and needs %.2f kN.", fitting, weak.has, weak.needs) + b.strongerNeeded(q, fitting, weak.sets)
	}
	return text + b.hornsBeside(q)
}

// strongerNeeded says on how many assemblies stronger fittings are needed.
func (b *bench) strongerNeeded(q *ask, fitting audit.Fitting, sets int) string {
	on := "on 1 assembly"
	if sets > 1 {
		on = fmt.Sprintf("on %d assemblies", sets)
	}
	if len(b.site.Line().Circuits) > 1 {
		on += " of circuit " + b.network.Project.Symbols.Text(q.circuit)
	}
	return " Stronger ones, of that or more, are needed " + on + map[audit.Fitting]string{audit.Clamp: ", one for each subconductor", audit.BallAndSocket: ", in each string"}[fitting] + "."
}

// hornsBeside says what falls short of what hangs there by its arcing horns, whatever its fittings are; empty where nothing does.
func (b *bench) hornsBeside(q *ask) string {
	for i := range q.old {
		for _, check := range b.checks {
			if b.result.Checks[check].Rests&audit.RestsOnWithstand == 0 {
				continue
			}
			if v := b.site.Put(check, &q.old[i], true); b.isByHorns(check, &q.old[i], &v) {
				return " " + b.sentence(q, check, q.old[i])
			}
		}
	}
	return ""
}

// weakFitting is a fitting that is too weak on some of what hangs there: the least rating of those that are, the most that is asked, and of how many
// assemblies they are.
type weakFitting struct {
	has, needs float64 // kN
	sets       int
}

// needsOf is how weak a fitting is on what hangs there, with others that have some ratings, NaN for those that stay as they are.
func (b *bench) needsOf(q *ask, fitting audit.Fitting, others audit.Ratings) (weak weakFitting) {
	weak.has = math.Inf(1)
	for i := range q.old {
		tooWeak := false
		b.tooWeak(q.old[i], others, func(f audit.Fitting, v *audit.Verdict) {
			if f == fitting {
				weak.has, weak.needs, tooWeak = math.Min(weak.has, v.Observed.Number), math.Max(weak.needs, v.Required.Number), true
			}
		})
		if tooWeak {
			weak.sets += b.setsOf(&q.old[i])
		}
	}
	return weak
}

// weakestBeside is a fitting of what hangs there that is too weak with others that have some ratings.
func (b *bench) weakestBeside(q *ask, others audit.Ratings) (fitting audit.Fitting, is bool) {
	for i := range q.old {
		b.tooWeak(q.old[i], others, func(f audit.Fitting, _ *audit.Verdict) {
			if !is {
				fitting, is = f, true
			}
		})
	}
	return fitting, is
}

// tooWeak tells the fitting by which each check falls short of an assembly whose other fittings have some ratings.
func (b *bench) tooWeak(asm audit.Assembly, others audit.Ratings, tell func(audit.Fitting, *audit.Verdict)) {
	for f, kN := range others {
		if !math.IsNaN(kN) {
			asm.Direct.FittingsKN[f] = kN
		}
	}
	for check := range b.result.Checks {
		if b.result.Checks[check].Rests&audit.RestsOnFitting == 0 {
			continue
		}
		v := b.site.Put(check, &asm, false)
		if f, is := v.Fitting(); is && v.Outcome == audit.FallsShort {
			tell(f, &v)
		}
	}
}

// statedOfAnother says what is not known of a string on trial only because what is stated is of what hangs there; empty where that is not why a check
// cannot judge it.
func (b *bench) statedOfAnother(check int, asm audit.Assembly) string {
	var registered audit.Cells
	if asm.Row >= 0 {
		row := b.network.Project.Assemblies.At(asm.Row)
		if registered = row.Faulty; row.VAngleDeg > 0 && asm.Arrangement == audit.VSet && math.IsNaN(asm.VAngleDeg) && !asm.Faulty.Has(audit.CellArrangement) &&
			b.site.Put(check, &asm, false).Reason == audit.VAngleUnknown {
			return fmt.Sprintf("legs of that length make an angle of less than %d° or more than %d° on the attachments that are there, or what fittings add to them is not stated", basis.LeastVAngleDeg, basis.MostVAngleDeg)
		}
	}
	const ofTest = "what is stated of a test is of what hangs there, and a tested value of another string has to be stated"
	if !b.site.Put(check, &asm, false).Reason.IsFaulty() {
		return ""
	}
	const ofSet = "its length with fittings is not known, since what is stated of fittings is of another number of strings"
	if asm.FittingsUnknown && !asm.Faulty.Has(audit.CellLength) {
		known := asm
		if known.FittingsUnknown = false; !b.site.Put(check, &known, false).Reason.IsFaulty() {
			return ofSet
		}
	}
	asm.FittingsUnknown = false
	all, texts := asm, []string(nil)
	for _, of := range [...]struct {
		cell audit.Cell
		text string
	}{
		{audit.CellLength, ofSet},
		{audit.CellArcing, "what is stated of the arcing distance is of what hangs there, and that of another string has to be stated"},
		{audit.CellTested, ofTest},
		{audit.CellTestedWet, ofTest},
		{audit.CellLimits, ofTest},
	} {
		if !asm.Faulty.Has(of.cell) || registered.Has(of.cell) {
			continue
		}
		known := asm
		if known.Faulty &^= 1 << of.cell; !b.site.Put(check, &known, false).Reason.IsFaulty() {
			return of.text
		}
		all.Faulty &^= 1 << of.cell
		texts = append(texts, of.text)
	}
	if len(texts) > 1 && !b.site.Put(check, &all, false).Reason.IsFaulty() {
		return strings.Join(texts, "; ")
	}
	return ""
}
