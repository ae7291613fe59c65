package report

import (
	"bytes"
	"encoding/json"
	"iter"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/paulmach/orb"
)

// The members of audit.json that tell of changes. What history.Read needs to compare with is there, so that both change together.
type (
	// sinceRecord is the run that this one was compared with.
	sinceRecord struct {
		ID         string            `json:"id"`
		AsOf       string            `json:"as_of"`
		Rules      map[string]string `json:"rules"`
		LinesAdded []string          `json:"lines_added"`
		LinesGone  []string          `json:"lines_gone"`
		Renamed    []renamedRecord   `json:"renamed"`
		Remarks    []string          `json:"remarks"`
	}
	renamedRecord struct {
		LineFrom      string `json:"line_from"`
		Line          string `json:"line"`
		StructureFrom string `json:"structure_from"` // empty where the line has another name
		Structure     string `json:"structure"`
	}
	changeCounts struct {
		New      int            `json:"new"`
		Standing int            `json:"standing"`
		Worse    int            `json:"worse"`
		Better   int            `json:"better"`
		Cleared  map[string]int `json:"cleared"` // by reason
		// NothingLost are those of the reason not assessed of which no datum was lost.
		NothingLost int `json:"not_assessed_nothing_lost,omitempty"`
	}
	auditException struct {
		record
		Position   *place `json:"position,omitempty"`
		PositionTo *place `json:"position_to,omitempty"`
		Stated     string `json:"stated,omitempty"`   // columns that say something else than what stands in for a blank
		Rests      string `json:"rests_on,omitempty"` // figures that are stated, by what states them
		Blank      string `json:"blank,omitempty"`    // columns of the key that are blank
		Rule       string `json:"rule,omitempty"`     // where its line has one of its own
		// How many standard errors of what it goes by it falls short by; not written where nobody states one that moves it.
		Errors   *standingRecord `json:"standard_errors,omitempty"`
		Was      differing       `json:"was,omitempty"` // in what it differs from what it was
		Decision *decided        `json:"decision,omitempty"`
	}
	clearedRecord struct {
		statement
		FirstSeen  string    `json:"first_seen"`
		Position   *place    `json:"position,omitempty"`
		PositionTo *place    `json:"position_to,omitempty"`
		Rule       string    `json:"rule,omitempty"` // where not that of the run, or of the run before
		Why        string    `json:"why"`
		Detail     string    `json:"detail"`
		Stated     string    `json:"stated,omitempty"`
		Rests      string    `json:"rests_on,omitempty"`
		Blank      string    `json:"blank,omitempty"`
		Lost       string    `json:"lost_on,omitempty"`      // of what cannot be judged, the day of the run since which
		Nothing    bool      `json:"nothing_lost,omitempty"` // of what cannot be judged though all that it rested on is stated still
		State      string    `json:"state,omitempty"`        // of one whose line was left out
		Decision   *decided  `json:"decision,omitempty"`     // of one that is kept
		Was        differing `json:"was,omitempty"`
	}
	// differing are members of an exception by name.
	differing map[string]any
	// place is a longitude and a latitude.
	place orb.Point
)

func (p place) MarshalJSON() ([]byte, error) { return p.appendJSON(nil), nil }

func (p place) appendJSON(b []byte) []byte {
	b = appendNumber(append(b, '['), p[0])
	b = appendNumber(append(b, ','), p[1])
	return append(b, ']')
}

func (e *auditException) appendJSON(b []byte) []byte {
	b = e.record.appendMembers(b)
	if e.Position != nil {
		b = e.Position.appendJSON(append(b, `,"position":`...))
	}
	if e.PositionTo != nil {
		b = e.PositionTo.appendJSON(append(b, `,"position_to":`...))
	}
	for _, member := range [...]struct{ name, text string }{{"stated", e.Stated}, {"rests_on", e.Rests}, {"blank", e.Blank}, {"rule", e.Rule}} {
		if member.text != "" {
			b = append(append(append(b, `,"`...), member.name...), `":`...)
			b = appendText(b, member.text)
		}
	}
	if e.Errors != nil {
		b = appendValue(append(b, `,"standard_errors":`...), e.Errors)
	}
	if len(e.Was) > 0 {
		b = appendValue(append(b, `,"was":`...), e.Was)
	}
	if e.Decision != nil {
		b = appendValue(append(b, `,"decision":`...), e.Decision)
	}
	return append(b, '}')
}

// placeOf is a position, nil where there is none.
func placeOf(p orb.Point) *place {
	if unknown(p[0]) || unknown(p[1]) {
		return nil
	}
	at := place(p)
	return &at
}

// unknownRule stands for a rule that is not known where another would be taken for it.
const unknownRule = "unknown"

func sinceRecordOf(c *history.Changes) *sinceRecord {
	if c.Since == nil {
		return nil
	}
	s := &sinceRecord{ID: c.Since.Run, AsOf: c.Since.AsOf, Rules: c.Since.Rules, LinesAdded: append([]string{}, c.Since.LinesAdded...),
		LinesGone: append([]string{}, c.Since.LinesGone...), Renamed: []renamedRecord{}, Remarks: append([]string{}, c.Remarks...)}
	for _, renamed := range c.Renamed {
		s.Renamed = append(s.Renamed, renamedRecord{renamed.FromLine, renamed.Line, renamed.FromStructure, renamed.Structure})
	}
	return s
}

func changeCountsOf(c *history.Changes) changeCounts {
	counts := c.Counts()
	out := changeCounts{New: counts.ByState[history.New], Standing: counts.ByState[history.Standing], Worse: counts.ByState[history.Worse],
		Better: counts.ByState[history.Better], Cleared: map[string]int{}, NothingLost: counts.NothingLost}
	for why, n := range counts.ByWhy {
		out.Cleared[history.Why(why).String()] = n
	}
	return out
}

// auditExceptions are the exceptions as audit.json has them; each is overwritten by the next.
func auditExceptions(r *audit.Result, c *history.Changes) iter.Seq[*auditException] {
	return func(yield func(*auditException) bool) {
		var rec auditException
		standings := standingsOf(r)
		for i := range r.Exceptions {
			change := &c.Exceptions[i]
			rule := c.RuleOf(r, r.Checks[r.Exceptions[i].Check].ID, r.Exceptions[i].Line)
			now := history.RecordOf(r, i, change.FirstSeen, rule)
			change.Lost.NoteIn(&now)
			rec = auditException{record: toldOf(r, c, i), Position: placeOf(now.Position), PositionTo: placeOf(now.PositionTo), Stated: now.Stated, Rests: now.Rests, Blank: now.Blank}
			ruleThen := ruleThen(c, now.Check)
			if rule != c.Rules[now.Check] {
				rec.Rule, ruleThen = rule, rule
			}
			if change.Was != nil {
				rec.Was = differences(change.Was, &now, ruleThen)
			}
			rec.Errors = standings.of(&r.Exceptions[i])
			rec.Decision = decidedOf(c.Decided.Of(i))
			if !yield(&rec) {
				return
			}
		}
	}
}

// ruleThen is the rule by which the run that was compared with judged.
func ruleThen(c *history.Changes, check string) string {
	if c.Since == nil {
		return ""
	}
	return c.Since.Rules[check]
}

// differences are the members of an exception as it was in which it differs from what it is; rule is that which it has unless it
// says another.
func differences(was, now *history.Record, rule string) differing {
	m := differing{}
	text := func(name, was, now string) {
		if was != now {
			m[name] = was
		}
	}
	text("id", was.ID, now.ID)
	text("severity", was.Severity.String(), now.Severity.String())
	text("line", was.Line, now.Line)
	text("structure", was.Structure, now.Structure)
	text("structure_to", was.To, now.To)
	text("circuit", was.Circuit, now.Circuit)
	text("phase", was.Phase, now.Phase)
	text("side", was.Side, now.Side)
	text("measure", was.Measure, now.Measure)
	text("reason", was.Sentence, now.Sentence)
	text("first_seen", was.FirstSeen, now.FirstSeen)
	text("lost_on", was.Lost, now.Lost)
	text("stated", was.Stated, now.Stated)
	text("rests_on", was.Rests, now.Rests)
	text("blank", was.Blank, now.Blank)
	if was.Rule != rule {
		m["rule"] = ruleText(was.Rule)
	}
	for name, pair := range map[string][2]audit.Value{"observed": {was.Observed, now.Observed}, "required": {was.Required, now.Required}} {
		if pair[0].Word != pair[1].Word || !equal(pair[0].Number, pair[1].Number) {
			m[name] = figure(pair[0])
		}
	}
	if !equal(was.Margin, now.Margin) {
		m["margin"] = number(was.Margin)
	}
	for name, pair := range map[string][2]orb.Point{"position": {was.Position, now.Position}, "position_to": {was.PositionTo, now.PositionTo}} {
		if !equal(pair[0][0], pair[1][0]) || !equal(pair[0][1], pair[1][1]) {
			m[name] = placeOf(pair[0])
		}
	}
	return m
}

func ruleText(rule string) string {
	if rule == "" {
		return unknownRule
	}
	return rule
}

// equal tells whether two figures are the same, or both unknown.
func equal(a, b float64) bool { return a == b || unknown(a) && unknown(b) }

// clearedRecords are what is not there any more.
func clearedRecords(c *history.Changes) iter.Seq[clearedRecord] {
	return func(yield func(clearedRecord) bool) {
		for i := range c.Cleared {
			if !yield(clearedRecordOf(c, &c.Cleared[i])) {
				return
			}
		}
	}
}

func clearedRecordOf(c *history.Changes, cleared *history.Cleared) clearedRecord {
	was := &cleared.Record
	rec := clearedRecord{statement: statement{ID: was.ID, Check: was.Check, Severity: was.Severity.String(), Line: was.Line, Structure: was.Structure, StructureTo: was.To,
		Circuit: was.Circuit, Phase: was.Phase, Side: was.Side, Observed: figure(was.Observed), Required: figure(was.Required), Measure: was.Measure,
		Margin: number(was.Margin), Reason: was.Sentence}, FirstSeen: was.FirstSeen, Position: placeOf(was.Position), PositionTo: placeOf(was.PositionTo),
		Why: cleared.Why.String(), Detail: cleared.Detail, Lost: was.Lost, Stated: was.Stated, Rests: was.Rests, Blank: was.Blank, Nothing: cleared.NothingLost}
	usual := ruleThen(c, was.Check)
	if cleared.Why == history.NotInRun {
		usual = c.Rules[was.Check]
		rec.State = cleared.State.String()
	}
	if was.Rule != usual {
		rec.Rule = ruleText(was.Rule)
	}
	if cleared.Why == history.NotInRun || cleared.Why == history.NotAssessed { // it is kept, and so is what was decided of it
		rec.Decision = decidedOf(c.Decided.OfKept(was))
	}
	if cleared.Was != nil {
		then := ruleThen(c, was.Check)
		if rec.Rule != "" {
			then = was.Rule
		}
		rec.Was = differences(cleared.Was, was, then)
	}
	return rec
}

// MarshalJSON writes the members in the order of their names, without escapes for HTML.
func (m differing) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	err := encoder.Encode(map[string]any(m))
	return bytes.TrimSpace(b.Bytes()), err
}
