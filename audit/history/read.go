package history

import (
	"cmp"
	"errors"
	"io"
	"math"
	"slices"

	"dryarc/audit"
)

// Earlier is what an earlier run found, as its audit.json says it.
type Earlier struct {
	Run, AsOf string
	Rules     map[string]string // hashes by check, nil where an earlier version of the program wrote it
	Lines     []string          // names of all lines of its network
	Since     *Since            // what it compared with, nil where with nothing
	files     []file            // its inputs
	entries   []entry
	decided   []Decision // that it showed of its exceptions
	removed   []Decision // that it missed
}

// Since says which run another compared with.
type Since struct {
	Run, AsOf string
	Rules     map[string]string
	// LinesAdded are lines that were not there then, LinesGone those that are not there any more.
	LinesAdded, LinesGone []string
}

// entry is one exception as an earlier run and the one before it knew it.
type entry struct {
	now, was *Record // nil where it was not there
	state    State   // where it was there
	why      Why     // why now is nil, or where its line was left out of the run
	left     bool    // its line was left out
	lost     bool    // it could not be judged, so that it is known as it was
	detail   string
}

// mostEntries bounds what is held of a file that is no audit.json of ours.
const mostEntries = 50_000_000

// Read reads an audit.json. What an earlier version of the program did not write is taken as not known: the day of the run as
// the one on which its exceptions were first seen.
func Read(r io.Reader) (*Earlier, error) {
	in := reader{scanner: newScanner(r), texts: map[string]string{}, told: map[decidedThing]bool{}, known: &Earlier{}}
	seen := map[string]bool{}
	in.object(func(name []byte) {
		member := string(name)
		seen[member] = true
		switch member {
		case "run":
			in.run()
		case "lines":
			in.array(func() { in.known.Lines = append(in.known.Lines, in.lineName()) })
		case "exceptions":
			in.array(func() { in.add(in.exception(false)) })
		case "cleared":
			in.array(func() { in.add(in.exception(true)) })
		default:
			in.skip()
		}
		if in.err == nil && seen["run"] && seen["lines"] && seen["exceptions"] && seen["cleared"] {
			in.enough = true
			in.fail("%w", errEnough)
		}
	})
	e := in.known
	switch {
	case in.err != nil && !in.enough:
		return nil, in.err
	case !seen["run"] || !seen["exceptions"]:
		return nil, errors.New("it is no audit.json: the members run and exceptions are expected")
	case e.Run == "" || e.AsOf == "":
		return nil, errors.New("its run has no id and date")
	}
	in.complete()
	return e, nil
}

// errEnough ends the reading of a file of which all is known that counts.
var errEnough = errors.New("enough")

type reader struct {
	*scanner
	texts  map[string]string // so that each text that many have is held once
	known  *Earlier
	enough bool
	told   map[decidedThing]bool
}

// shared is a text that many values have.
func (in *reader) shared(b []byte) string {
	if text, ok := in.texts[string(b)]; ok {
		return text
	}
	text := string(b)
	if len(in.texts) < 1<<20 {
		in.texts[text] = text
	}
	return text
}

func (in *reader) run() {
	in.object(func(name []byte) {
		switch string(name) {
		case "schema":
			if schema := in.number(); schema > audit.Schema {
				in.fail("a later version of the program wrote it: schema %g, this one knows %d", schema, audit.Schema)
			}
		case "id":
			in.known.Run = string(in.words())
		case "as_of":
			in.known.AsOf = string(in.words())
		case "rules":
			in.known.Rules = in.rules()
		case "since":
			in.since()
		case "inputs":
			in.array(func() {
				in.known.files = append(in.known.files, in.file())
			})
		case "decisions":
			in.decisions()
		default:
			in.skip()
		}
	})
}

// decisions takes the decisions that the run missed.
func (in *reader) decisions() {
	if in.null() {
		return
	}
	in.object(func(name []byte) {
		if string(name) != "removed" {
			in.skip()
			return
		}
		in.array(func() {
			var d Decision
			columns := storeColumns(&d)
			in.object(func(name []byte) {
				if i := slices.IndexFunc(columns, func(c storeColumn) bool { return c.name == string(name) }); i >= 0 {
					*columns[i].text = string(in.words())
				} else {
					in.skip()
				}
			})
			in.known.removed = append(in.known.removed, d)
		})
	})
}

// decision takes a decision that an exception shows, once for all that it is of.
func (in *reader) decision(rec *Record) {
	var said Said
	of := ""
	in.object(func(name []byte) {
		switch string(name) {
		case "decision":
			said.Word = in.shared(in.words())
		case "until":
			said.Until = in.shared(in.words())
		case "by":
			said.By = in.shared(in.words())
		case "reason":
			said.Reason = in.shared(in.words())
		case "of":
			of = in.shared(in.words())
		default:
			in.skip()
		}
	})
	if d, is := shown(rec, of, said); is && !in.told[decidedThing{d.thing(), said}] {
		in.told[decidedThing{d.thing(), said}] = true
		in.known.decided = append(in.known.decided, d)
	}
}

// decidedThing is what was decided of something.
type decidedThing struct {
	thing
	Said
}

func (in *reader) since() {
	if in.null() {
		return
	}
	s := &Since{}
	in.object(func(name []byte) {
		switch string(name) {
		case "id":
			s.Run = string(in.words())
		case "as_of":
			s.AsOf = string(in.words())
		case "rules":
			s.Rules = in.rules()
		case "lines_added":
			in.array(func() { s.LinesAdded = append(s.LinesAdded, string(in.words())) })
		case "lines_gone":
			in.array(func() { s.LinesGone = append(s.LinesGone, string(in.words())) })
		default:
			in.skip()
		}
	})
	in.known.Since = s
}

func (in *reader) rules() map[string]string {
	rules := map[string]string{}
	in.object(func(check []byte) { rules[string(check)] = string(in.words()) })
	return rules
}

// file reads an input.
func (in *reader) file() (f file) {
	in.object(func(name []byte) {
		switch string(name) {
		case "file":
			f.name = string(in.words())
		case "sha256":
			f.sha256 = string(in.words())
		case "pattern":
			f.pattern = string(in.words())
		case "section":
			f.section = string(in.words())
		case "query":
			f.query = string(in.words())
		case "same_as":
			f.twice = len(in.words()) > 0
		case "last_row":
			f.ended = string(in.words()) == audit.Ended
		case "tables":
			f.filled = map[string]int{}
			in.object(func(kind []byte) { kindName := string(kind); f.filled[kindName] = int(in.number()) })
		default:
			in.skip()
		}
	})
	return f
}

func (in *reader) lineName() (line string) {
	in.object(func(name []byte) {
		if string(name) == "line" {
			line = string(in.words())
		} else {
			in.skip()
		}
	})
	return line
}

// add adds an exception, unless there are too many.
func (in *reader) add(e entry) {
	if len(in.known.entries) == mostEntries {
		in.fail("it has more than %d exceptions", mostEntries)
		return
	}
	in.known.entries = append(in.known.entries, e)
}

// exception reads an exception, or one that was cleared.
func (in *reader) exception(cleared bool) (e entry) {
	rec := &Record{Margin: math.NaN(), Position: noPosition, PositionTo: noPosition, Observed: audit.Figure(math.NaN(), ""), Required: audit.Figure(math.NaN(), "")}
	e.state = Standing
	var was *Record
	in.object(func(name []byte) {
		var ok bool
		switch string(name) {
		case "state":
			word := in.words()
			if e.state, ok = StateNamed(string(word)); !ok {
				in.fail("%q is no state of an exception", word)
			}
		case "why":
			word := in.words()
			if e.why, ok = WhyNamed(string(word)); !ok {
				in.fail("%q is no reason for which an exception is cleared", word)
			}
		case "detail":
			e.detail = in.shared(in.words())
		case "decision":
			in.decision(rec)
		case "was": // in what it differs from what stands before it
			before := *rec
			was = &before
			in.object(func(name []byte) { in.member(name, was) })
		default:
			if in.member(name, rec) && was != nil {
				in.fail("%q stands behind what the exception was", name)
			}
		}
	})
	if in.err == nil && (rec.Check == "" || rec.Line == "") {
		in.fail("an exception has no check and line")
	}
	e.left, e.lost = cleared && e.why == NotInRun, cleared && e.why == NotAssessed
	switch {
	case cleared && !e.left && !e.lost:
		e.was = rec
	case e.state == New:
		e.now = rec
	default:
		e.now, e.was = rec, cmp.Or(was, rec)
	}
	return e
}

// member reads a member of an exception, and tells whether it is of any account here.
func (in *reader) member(name []byte, rec *Record) bool {
	switch string(name) {
	case "id":
		rec.ID = string(in.words())
	case "check":
		rec.Check = in.shared(in.words())
	case "severity":
		rec.Severity = in.severity()
	case "line":
		rec.Line = in.shared(in.words())
	case "structure":
		rec.Structure = in.shared(in.words())
	case "structure_to":
		rec.To = in.shared(in.words())
	case "circuit":
		rec.Circuit = in.shared(in.words())
	case "phase":
		rec.Phase = in.shared(in.words())
	case "side":
		rec.Side = in.shared(in.words())
	case "observed":
		rec.Observed = in.value()
	case "required":
		rec.Required = in.value()
	case "measure":
		rec.Measure = in.shared(in.words())
	case "margin":
		rec.Margin = in.number()
	case "reason":
		rec.Sentence = string(in.words())
	case "first_seen":
		rec.FirstSeen = in.shared(in.words())
	case "position":
		rec.Position = in.position()
	case "position_to":
		rec.PositionTo = in.position()
	case "rule":
		rec.Rule = in.shared(in.words())
	case "stated":
		rec.Stated = in.shared(in.words())
	case "rests_on":
		rec.Rests = in.shared(in.words())
	case "blank":
		rec.Blank = in.shared(in.words())
	case "lost_on":
		rec.Lost = in.shared(in.words())
	default:
		in.skip()
		return false
	}
	return true
}

func (in *reader) severity() audit.Severity {
	word := in.words()
	for _, severity := range [...]audit.Severity{audit.Shortfall, audit.Advisory, audit.Note} {
		if severity.String() == string(word) {
			return severity
		}
	}
	in.fail("%q is no severity", word)
	return audit.Note
}

func (in *reader) value() audit.Value {
	if in.next() == '"' {
		return audit.Word(in.shared(in.words()))
	}
	return audit.Figure(in.number(), "")
}

func (in *reader) position() (p [2]float64) {
	p = noPosition
	i := 0
	in.array(func() {
		if x := in.number(); i < len(p) {
			p[i] = x
		}
		i++
	})
	return p
}

// complete fills what a file leaves to be understood: days, rules and ids.
func (in *reader) complete() {
	e := in.known
	for i := range e.entries {
		entry := &e.entries[i]
		if entry.lost { // by what judged it last
			for _, rec := range [...]*Record{entry.now, entry.was} {
				fill(rec, e.before().Rules[rec.Check], e.before().AsOf)
			}
			continue
		}
		if entry.was != nil {
			own := ""
			if entry.now != nil {
				own = entry.now.Rule
			}
			rule := cmp.Or(own, e.before().Rules[entry.was.Check])
			if entry.was == entry.now && own == "" && rule != e.Rules[entry.was.Check] {
				was := *entry.now
				entry.was = &was
			}
			if entry.was != entry.now {
				fill(entry.was, rule, e.before().AsOf)
			}
		}
		if entry.now != nil {
			fill(entry.now, e.Rules[entry.now.Check], e.AsOf)
		}
	}
	slices.Sort(e.Lines)
}

func fill(rec *Record, rule, firstSeen string) {
	rec.Rule = cmp.Or(rec.Rule, rule)
	rec.FirstSeen = cmp.Or(rec.FirstSeen, firstSeen)
	if rec.ID == "" {
		rec.ID = rec.Key.ID()
	}
}

// before is what a run compared with, empty where that was nothing.
func (e *Earlier) before() *Since {
	if e.Since == nil {
		return &Since{}
	}
	return e.Since
}
