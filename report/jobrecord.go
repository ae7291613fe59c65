package report

import (
	"iter"
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/remedy"
)

// The jobs of audit.json.
type (
	jobRecord struct {
		Line       string         `json:"line"`
		Structure  string         `json:"structure"`
		Rank       int            `json:"rank"` // 1 is the first to do
		Severity   string         `json:"severity"`
		Danger     string         `json:"danger"`
		Shortage   number         `json:"shortage"`
		Exceptions []string       `json:"exceptions"` // ids
		AlsoMends  []string       `json:"also_mends"` // ids of others that are gone with the work
		Remedies   []remedyRecord `json:"remedies"`
		Open       []string       `json:"open"` // ids of exceptions that stay
		OpenChecks []openRecord   `json:"open_checks"`
		StoppedBy  string         `json:"stopped_by"`
		NeededBy   []string       `json:"needed_by"` // structures of the line whose work needs this done before, or with it where each is in needs too
		Needs      []string       `json:"needs"`     // structures of the line with such work for this one
		Priority   *weighedRecord `json:"priority"`  // null where the project states no weights
		Decision   *workDecision  `json:"decision"`  // null where nothing was decided
	}
	weighedRecord struct {
		Score       number         `json:"score"`  // null of a job that is for no exception of its own
		Counts      number         `json:"counts"` // share of the consequence that counts; null where that is no figure and the whole does
		Consequence number         `json:"consequence"`
		OfMean      number         `json:"consequence_of_mean"`
		Band        string         `json:"consequence_band"`
		Factors     []factorRecord `json:"factors"`
	}
	factorRecord struct {
		Name    string `json:"name"`
		Of      string `json:"of"`
		Value   number `json:"value"`   // null where not known, and left out
		Unknown string `json:"unknown"` // why
	}
	remedyRecord struct {
		Circuit string   `json:"circuit"`
		Duty    string   `json:"duty"`
		Sides   []string `json:"sides"`
		Phases  string   `json:"phases"` // empty for all of the circuit
		From    string   `json:"from"`   // empty where the register has nothing
		// IfNothingHangs tells that what hangs is to be looked at first, since the register has nothing; the work is for where nothing does.
		IfNothingHangs bool `json:"if_nothing_hangs"`
		// RowsContradict tells that rows contradict each other, so that somebody has to look before it is known what of the work is needed.
		RowsContradict bool          `json:"rows_contradict,omitempty"`
		To             *setRecord    `json:"to"`                // null where it differs by phase or side
		ToEach         []setOfPhases `json:"to_each,omitempty"` // then what hangs where
		Fit            []countRecord `json:"fit"`
		Remove         []countRecord `json:"remove"`
		Fewer          []countRecord `json:"fewer"`           // of fit: so many may hang there already
		CountNotKnown  string        `json:"count_not_known"` // phases of which nobody knows how many units are to be removed
		Price          number        `json:"price"`
		// RemoveUnknown tells that more is removed than Remove counts, and AtLeast that as many as More may have to be fitted and removed
		// beside what Fit, Remove and Price count.
		RemoveUnknown bool          `json:"remove_unknown,omitempty"`
		AtLeast       bool          `json:"at_least,omitempty"`
		More          []countRecord `json:"more,omitempty"`
	}
	setRecord struct {
		Duty           string `json:"duty"`
		Arrangement    string `json:"arrangement"`
		Unit           string `json:"unit"`
		UnitsPerString int    `json:"units_per_string"`
		Strings        int    `json:"strings"`
		// VAngleDeg is of a V set; none where it is not known.
		VAngleDeg float64 `json:"v_angle_deg,omitempty"`
	}
	setOfPhases struct {
		Phases string    `json:"phases"` // empty for all of the circuit
		Sides  []string  `json:"sides"`
		To     setRecord `json:"to"`
	}
	countRecord struct {
		Unit  string `json:"unit"`
		Count int    `json:"count"`
	}
	// openRecord is a check that cannot judge what hangs there after the work, finds it falls short by what is no exception yet, or speaks of
	// the records.
	openRecord struct {
		Check   string `json:"check"`
		Circuit string `json:"circuit"`
		Reason  string `json:"reason"`
	}
)

// recordsOf are jobs in an order.
func recordsOf(r *audit.Result, jobs []remedy.Job, order []orderedJob) iter.Seq[jobRecord] {
	return func(yield func(jobRecord) bool) {
		for i, ordered := range order {
			rec := jobOf(r, &jobs[ordered.Job], i+1, &ordered.Rank)
			rec.Decision = workDecisionOf(&ordered.said)
			if !yield(rec) {
				return
			}
		}
	}
}

// setRecords are what a remedy hangs: one set for all, or where they differ one for each row on which there is anything to do.
func setRecords(x *remedy.Remedy) (all *setRecord, each []setOfPhases) {
	record := func(s *remedy.Set) setRecord {
		return setRecord{s.Duty.String(), s.Arrangement.String(), s.Unit, s.UnitsPerString, s.Strings, s.VAngleDeg}
	}
	for i := range x.Changes {
		c := &x.Changes[i]
		if c.To == x.Changes[0].To {
			continue
		}
		for k := range x.Changes {
			of := setOfPhases{To: record(&x.Changes[k].To)}
			of.Phases, of.Sides = placeRecord(x.Changes[k].Phases, x.Changes[k].Sides)
			each = append(each, of)
		}
		return nil, each
	}
	to := x.To
	if len(x.Changes) > 0 {
		to = x.Changes[0].To
	}
	one := record(&to)
	return &one, nil
}

// placeRecord names phases, none for all of a circuit, and sides.
func placeRecord(phases audit.Phases, of []audit.Side) (named string, sides []string) {
	if phases != audit.EveryPhase {
		named = phases.String()
	}
	sides = []string{}
	for _, side := range of {
		sides = append(sides, side.String())
	}
	return named, sides
}

func jobOf(r *audit.Result, j *remedy.Job, rank int, why *remedy.Rank) jobRecord {
	name, ids := r.Project.Symbols.Text, r.ExceptionIDs()
	rec := jobRecord{Line: name(r.Network.Lines[j.Line].Symbol), Structure: r.Network.Number(j.Structure), Rank: rank, Severity: why.Severity.String(),
		Danger: why.Danger.String(), Shortage: number(why.Shortage), Exceptions: []string{}, AlsoMends: []string{}, Remedies: []remedyRecord{}, Open: []string{},
		OpenChecks: []openRecord{}, StoppedBy: stopsInWords(j), Priority: weighedOf(why)}
	rec.NeededBy, rec.Needs = structureNumbers(r, j.NeededBy), structureNumbers(r, j.Needs)
	for _, e := range j.Exceptions {
		rec.Exceptions = append(rec.Exceptions, ids[e])
	}
	for _, e := range j.AlsoMends {
		rec.AlsoMends = append(rec.AlsoMends, ids[e])
	}
	for i := range j.Remedies {
		x := &j.Remedies[i]
		one := remedyRecord{Circuit: name(x.Circuit), Duty: x.Duty.String(), From: x.From, IfNothingHangs: x.Unregistered, Price: number(x.Price),
			Fit: countRecords(x.Fit), Remove: countRecords(x.Remove), Fewer: countRecords(x.Fewer), CountNotKnown: uncounted(x), RemoveUnknown: x.RemoveUnknown, AtLeast: x.AtLeast, More: countRecords(x.More),
			RowsContradict: slices.ContainsFunc(x.Changes, func(c remedy.Change) bool { return c.RowsContradict })}
		one.Phases, one.Sides = placeRecord(x.Phases, x.Sides)
		one.To, one.ToEach = setRecords(x)
		rec.Remedies = append(rec.Remedies, one)
	}
	for _, o := range j.Open {
		if o.Exception >= 0 {
			rec.Open = append(rec.Open, ids[o.Exception])
			continue
		}
		reason := o.Reason.String()
		if o.Reason == audit.NoReason {
			reason = openStates[openStateOf(&o)]
		}
		rec.OpenChecks = append(rec.OpenChecks, openRecord{r.Checks[o.Check].ID, name(o.Circuit), reason})
	}
	return rec
}

func weighedOf(why *remedy.Rank) *weighedRecord {
	if !why.Weighed {
		return nil
	}
	c := &why.Consequence
	rec := &weighedRecord{Score: number(why.Score), Counts: number(why.Counts), Consequence: number(c.Known), OfMean: number(c.OfMean), Band: c.Band}
	if why.Check < 0 {
		rec.Score, rec.Counts = number(math.NaN()), number(math.NaN())
	}
	for i := range c.Factors {
		f := &c.Factors[i]
		rec.Factors = append(rec.Factors, factorRecord{f.Name, f.Of, number(f.Value), f.Unknown})
	}
	return rec
}

func countRecords(counts []remedy.Count) []countRecord {
	records := []countRecord{}
	for _, c := range counts {
		records = append(records, countRecord{c.Unit, c.Count})
	}
	return records
}

func structureNumbers(r *audit.Result, structures []int) []string {
	numbers := []string{}
	for _, s := range structures {
		numbers = append(numbers, r.Network.Number(s))
	}
	return numbers
}
