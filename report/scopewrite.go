package report

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"iter"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/headroom"
	scenarios "dryarc/audit/scope"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom/encoding/geojson"
	"github.com/xuri/excelize/v2"
)

// Scope is what is told of scenarios beside the project as it stands.
type Scope struct {
	Today     *audit.Result
	Scenarios []*ScopeOf
	// Headroom is how far each line is from falling short as it stands, where WithHeadroom.
	Headroom     []headroom.Curve
	WithHeadroom bool
}

// ScopeID is the id of a run over scenarios: the same for the same audit, scenarios and outputs.
func ScopeID(today *audit.Result, list []*audit.Scenario, withHeadroom bool) string {
	hash := sha256.New()
	fmt.Fprintf(hash, "%s\n", today.Run.ID)
	if withHeadroom {
		fmt.Fprintln(hash, "headroom")
	}
	for _, s := range list {
		fmt.Fprintf(hash, "%q %q", s.Name, names(today.Project, s.Lines))
		for _, x := range s.Set {
			fmt.Fprintf(hash, " %q %q", x.Column, x.Value)
		}
		for _, c := range s.Criteria {
			fmt.Fprintf(hash, " %q %q", c.Key, c.Value)
		}
		fmt.Fprintf(hash, " %q\n", s.Classes)
	}
	return hex.EncodeToString(hash.Sum(nil))[:16]
}

// scopeFile is the output of a run over scenarios that says what the others are.
const scopeFile = "scope.json"

// outputs lists the files in the order in which they take their names, as those of an audit.
func (s *Scope) outputs() []output {
	return []output{
		{name: "scope.xlsx", write: s.writeBook},
		{name: "scope.html", write: s.writePage},
		{name: "scope.geojson", write: s.writeLayer},
		{name: scopeFile, last: func(ctx context.Context, w io.Writer, _ *audit.Result, others []Output) (func([]Output) []byte, error) {
			return s.JSON(ctx, w, others)
		}},
	}
}

// The outputs of a scenario on request, by the names that ask for them.
const (
	AlsoRegister = "register" // the register as it would be with the remedies done
	AlsoLines    = "lines"    // the sheet Lines as the scenario has it
)

// RefusedOfScope tells before anything is judged which output of a scenario on request cannot be written; the error is a *WriteError.
func RefusedOfScope(p *audit.Project, also []string) error {
	if again := remediedAgain(p, AlsoRegister); again != nil && slices.Contains(also, AlsoRegister) {
		return &WriteError{scopeRegisterFile, again}
	}
	return nil
}

const scopeRegisterFile = "scope-register.xlsx"

// onRequest are the outputs of one scenario that are written only where they are asked for, before the one that says what the others
// are.
func (s *Scope) onRequest(list []output, also []string) []output {
	own := func(name string, write func(ctx context.Context, w io.Writer, l *scenarios.Look) error) {
		list = slices.Insert(list, len(list)-1, output{name: name, write: func(ctx context.Context, w io.Writer, _ *audit.Result) error {
			return write(ctx, w, s.Scenarios[0].look)
		}})
	}
	if slices.Contains(also, AlsoRegister) {
		own(scopeRegisterFile, func(ctx context.Context, w io.Writer, l *scenarios.Look) error {
			return writeRemedied(ctx, w, l.Then, &account{jobs: l.Jobs}, fmt.Sprintf("scenario %q in run %s", l.Scenario.Name, s.Today.Run.ID), superseded(l)...)
		})
	}
	if slices.Contains(also, AlsoLines) {
		own("scope-lines.xlsx", writeLinesOf)
	}
	return list
}

// writeLinesOf writes the sheet Lines of a scenario, in the form in which it is read.
func writeLinesOf(ctx context.Context, w io.Writer, l *scenarios.Look) (err error) {
	file := excelize.NewFile()
	defer func() {
		if closing := file.Close(); err == nil {
			err = closing
		}
	}()
	b := &book{file: file, looks: looks{file, map[look]int{}}, result: l.Then, about: "Upgrade scope"}
	tables := []sheet{{linesSheet, blue, func(ctx context.Context) error {
		return writeLinesAsRead(ctx, b, l.Then.Project, unreadTextsOf(l.Then.Project))
	}}}
	notes := sheet{notesSheet, slateSoft, func(context.Context) error {
		return b.writeNotes(append([]string{fmt.Sprintf("The sheet Lines as scenario %q has it: name this file under register in the project file for the sheet Lines, and ignore that of the register. It is a proposal: no line is like this before somebody has built it.", l.Scenario.Name)}, slices.Concat(superseded(l), l.Scenario.Notes)...)...)
	}}
	return b.writeAsRead(ctx, w, tables, notes)
}

// superseded says what the column Superseded figures keeps an audit by the sheets of a scenario from judging by: it stands in the layer and
// in the criteria, which no sheet replaces. All structures are named, up to toldAtOnce in a note, since each has to be looked up there.
func superseded(l *scenarios.Look) (notes []string) {
	then := l.Then.Project
	for _, of := range [...]struct {
		figures  audit.Superseded
		property string
	}{{audit.ClearanceSuperseded, "clearance_mm"}, {audit.LimitSuperseded, "deviation_limit_deg"}} {
		var at []string
		for line := range l.Chosen {
			if !l.Chosen[line] {
				continue
			}
			for i := l.Then.Network.Lines[line].First; i < l.Then.Network.Lines[line].End; i++ {
				if l.Then.Network.SupersededAt(line, i).Has(of.figures) {
					at = append(at, then.Symbols.Text(l.Then.Network.Lines[line].Symbol)+" "+l.Then.Network.Number(i))
				}
			}
		}
		for some := range slices.Chunk(at, toldAtOnce) {
			notes = append(notes, fmt.Sprintf("The column Superseded figures of the sheet Lines keeps an audit by these sheets from judging by %s, however the layer names it, of these structures: state it anew there, then take %q out of the cell: %s.",
				of.property, of.figures, strings.Join(some, ", ")))
		}
	}
	for _, of := range [...]struct {
		figures     audit.Superseded
		what, until string
	}{
		{audit.TensionSuperseded, "the tension that load cases give in kN", "state load_cases for the conductor of the scenario"},
		{audit.SlipSuperseded, "the slip load that assemblies state for themselves", "state that of the clamps on the conductor of the scenario"},
	} {
		var lines []string
		for line := range l.Chosen {
			if on := &l.Then.Network.Lines[line]; l.Chosen[line] && on.Row.Superseded.Has(of.figures) {
				lines = append(lines, then.Symbols.Text(on.Symbol))
			}
		}
		for some := range slices.Chunk(lines, toldAtOnce) {
			notes = append(notes, fmt.Sprintf("The column Superseded figures of the sheet Lines keeps an audit by these sheets from judging by %s on these lines: %s, then take %q out of the cell: %s.",
				of.what, of.until, of.figures, strings.Join(some, ", ")))
		}
	}
	return notes
}

// toldAtOnce is how many structures a note names.
const toldAtOnce = 200

// WriteScope writes every output of scenarios into dir, as Write does those of an audit. What is asked for beside them is of one
// scenario, which was kept.
func WriteScope(ctx context.Context, dir string, s *Scope, how How) ([]Output, error) {
	list := s.onRequest(s.outputs(), how.Also)
	if err := sparesInputs(dir, s.Today.Project, list); err != nil {
		return nil, err
	}
	if err := sparesOthers(dir, list); err != nil {
		return nil, err
	}
	return writeAll(ctx, realDisk{}, dir, s.Today, func(folder) ([]output, error) { return list, nil }, how)
}

// The members of scope.json, beside those of audit.json.
type (
	scenarioRecord struct {
		Name           string
		Lines          []string
		Set, Criteria  map[string]string // criteria in words
		Classes        string            // in words; empty where they stay
		Notes, InWords []string          // a sentence for each line
		Sums           []scopeLineRecord
		Coverage       []scopeCoverageRecord
		Material       []scopeMaterialRecord
		Stops          []scopeStopRecord
		NotKnown       []notKnownRecord
	}
	scopeLineRecord struct {
		Line       string `json:"line"`
		Structures int    `json:"structures"`
		Needing    int    `json:"structures_to_work_on"`
		Units      int    `json:"units_to_fit"`
		Sets       int    `json:"sets_to_add"`
		Price      number `json:"price"`
		Fewer      int    `json:"units_fewer_by"`
		AfterLook  int    `json:"units_after_look"`
		SetsLook   int    `json:"sets_after_look"`
		PriceLook  number `json:"price_after_look"`
		Stopped    int    `json:"structures_stopped"`
		StoppedKM  metres `json:"stopped_km"`
		LengthKM   metres `json:"length_km"`
		NotKnown   int    `json:"structures_remedy_not_judged"` // where no limit stops one
		NotKnownKM metres `json:"remedy_not_judged_km"`
		AtLeast    int    `json:"structures_units_at_least"` // of those to work on: what sizes strings could not be judged in full
		Advised    int    `json:"structures_advisory_alone"` // that need no work as far as that is known
	}
	// scopeException is an exception of audit.json, on a line that the scenario is about or beside one.
	scopeException struct {
		record
		Beside bool `json:"beside"`
	}
	scopeCoverageRecord struct {
		Line   string       `json:"line"`
		Beside bool         `json:"beside"` // the scenario is not about the line, whose sums leave it out: it stands beside one and was judged again
		Check  string       `json:"check"`
		Today  scopeVerdict `json:"today"`
		Then   scopeVerdict `json:"then"`
		New    int          `json:"new"`
		Mend   int          `json:"mended"`
	}
	scopeVerdict struct {
		scopeCounts
		Reasons []reasonRecord `json:"reasons"` // of those not assessed, the most frequent first
	}
	scopeCounts struct {
		Meets         int `json:"meets"`
		FallsShort    int `json:"falls_short"`
		NotApplicable int `json:"not_applicable"`
		NotAssessed   int `json:"not_assessed"`
		NotAsked      int `json:"not_asked"`
	}
	scopeMaterialRecord struct {
		Item       string `json:"item"`
		Unit       string `json:"unit"`
		Stocked    bool   `json:"stocked"`
		Fit        int    `json:"fit"`
		Remove     int    `json:"remove"`
		Reuse      int    `json:"reuse"`
		Structures int    `json:"structures"`
		Price      number `json:"price"`
		Fewer      int    `json:"fit_fewer_by"`
		AfterLook  int    `json:"fit_after_look"`
		PriceLook  number `json:"price_after_look"`
		Uncounted  int    `json:"remove_not_known_at"`
		AtLeast    int    `json:"fit_at_least_at"`
	}
	scopeStopRecord struct {
		Line       string   `json:"line"`
		Limit      string   `json:"limit"`
		Structures []string `json:"structures"`
		KM         metres   `json:"km"`
		Percent    number   `json:"percent"`
		Example    string   `json:"example"`
		Couplings  []string `json:"couplings"` // of what is too long: those of the units that were sought alone
	}
	// notKnownRecord is what cannot be judged of remedies that may serve, at structures where no limit stops any.
	notKnownRecord struct {
		Line       string   `json:"line"`
		What       string   `json:"what"`
		Structures []string `json:"structures"`
		KM         metres   `json:"km"`
		Percent    number   `json:"percent"`
		Example    string   `json:"example"`
	}
)

func (e *scopeException) appendJSON(b []byte) []byte {
	b = strconv.AppendBool(append(e.record.appendMembers(b), `,"beside":`...), e.Beside)
	return append(b, '}')
}

// JSON writes the scenarios for programs: the run and its coverage as audit.json has them, then scenario by scenario. It returns what beginJSON does.
func (s *Scope) JSON(ctx context.Context, w io.Writer, others []Output) (again func(others []Output) []byte, err error) {
	run, err := runOf(ctx, s.Today)
	if err != nil {
		return nil, err
	}
	out, again := beginJSON(ctx, w, run, others)
	list(out, "coverage", coverageRecords(s.Today))
	list(out, "lines", lineRecords(s.Today))
	out.begin("scenarios")
	out.buffer.WriteByte('[')
	for i, x := range s.Scenarios {
		if i > 0 {
			out.buffer.WriteByte(',')
		}
		out.flush()
		if out.err != nil {
			return nil, out.err
		}
		if err := x.writeJSON(ctx, w, s); err != nil {
			return nil, err
		}
	}
	out.buffer.WriteByte(']')
	if s.WithHeadroom {
		list(out, "headroom", headroomRecords(s.Today, s.Headroom))
	}
	return again, out.end()
}

// writeJSON writes one scenario as an object.
func (s *ScopeOf) writeJSON(ctx context.Context, w io.Writer, of *Scope) error {
	out, rec := newJSONStream(ctx, w), s.record(of.Today)
	out.member("name", rec.Name)
	out.member("lines", rec.Lines)
	out.member("set", rec.Set)
	out.member("criteria", rec.Criteria)
	out.member("classes", rec.Classes)
	out.member("notes", rec.Notes)
	out.member("stays_in_class_e", none(s.staying))
	out.member("in_words", rec.InWords)
	list(out, "assumptions", slices.Values(s.assumptions))
	list(out, "sums", slices.Values(rec.Sums))
	list(out, "coverage", slices.Values(rec.Coverage))
	var fresh idList
	list(out, "exceptions", s.exceptionsAnd(out, &fresh))
	out.member("new", &fresh)
	ids := of.Today.ExceptionIDs()
	for _, became := range [...]struct {
		name string
		of   []int32
	}{{"mended", s.mended}, {"not_assessed_any_more", s.unjudged}} {
		var list idList
		for _, i := range became.of {
			list.add(ids[i])
		}
		out.member(became.name, &list)
	}
	list(out, "jobs", s.jobs.each(out))
	list(out, "material", slices.Values(rec.Material))
	list(out, "stopped", slices.Values(rec.Stops))
	list(out, "remedy_not_judged", slices.Values(rec.NotKnown))
	if of.WithHeadroom {
		list(out, "headroom", headroomRecords(of.Today, s.Headroom))
	}
	return out.end()
}

// idList is a list of ids as JSON, without the bracket that ends it.
type idList []byte

func (l *idList) add(id string) {
	before := byte(',')
	if len(*l) == 0 {
		before = '['
	}
	*l = append(append(append(*l, before, '"'), id...), '"')
}

func (l *idList) appendJSON(b []byte) []byte {
	if len(*l) == 0 {
		b = append(b, '[')
	}
	return append(append(b, *l...), ']')
}

// exceptionsAnd yields the exceptions as they are written, and lists the ids of those that are new.
func (s *ScopeOf) exceptionsAnd(out *jsonStream, fresh *idList) iter.Seq[spooled] {
	return func(yield func(spooled) bool) {
		i := 0
		for e := range s.exceptions.each(out) {
			if s.fresh[i/8]&(1<<(i%8)) != 0 {
				id, _, _ := bytes.Cut(e[len(recordStart):], []byte{'"'})
				fresh.add(string(id))
			}
			if i++; !yield(e) {
				return
			}
		}
	}
}

func (s *ScopeOf) record(today *audit.Result) scenarioRecord {
	rec := scenarioRecord{Name: s.scenario.Name, Lines: none(s.lines), Set: map[string]string{}, Criteria: map[string]string{}, Classes: s.scenario.Classes,
		Notes: none(s.notes), InWords: []string{}, Sums: []scopeLineRecord{}, Coverage: []scopeCoverageRecord{},
		Material: []scopeMaterialRecord{}, Stops: []scopeStopRecord{}, NotKnown: []notKnownRecord{}}
	for _, x := range s.scenario.Set {
		rec.Set[x.Column] = x.Value
	}
	for _, c := range s.scenario.Criteria {
		rec.Criteria[c.Key] = c.Value
	}
	for i := range s.perLine {
		l := &s.perLine[i]
		rec.InWords = append(rec.InWords, l.inWords(s))
		rec.Sums = append(rec.Sums, scopeLineRecord{l.line, l.structures, l.needing, l.certain.units, l.certain.sets, number(l.price()), l.certain.fewer,
			l.afterLook.units, l.afterLook.sets, number(l.priceAfterLook()), l.stopped, metres(l.stoppedKM), metres(l.lengthKM), l.notKnown, metres(l.notKnownKM), s.said[i].sizesOpen, s.said[i].advised})
	}
	for c := range s.coverageBeside(today) {
		rec.Coverage = append(rec.Coverage, scopeCoverageRecord{today.Project.Symbols.Text(today.Network.Lines[c.line].Symbol), c.beside, today.Checks[c.check].ID,
			verdictsOf(&c.today), verdictsOf(&c.then), c.newly, c.mended})
	}
	for i := range s.material {
		m := &s.material[i]
		rec.Material = append(rec.Material, scopeMaterialRecord{m.item, m.name, m.stocked, m.fit, m.remove, m.reuse, m.structures, number(m.price), m.fewer, m.afterLook, number(m.priceAfterLook), m.uncounted, m.atLeast})
	}
	for i := range s.stops {
		x := &s.stops[i]
		if x.notKnown {
			rec.NotKnown = append(rec.NotKnown, notKnownRecord{x.line, x.limit, x.structures, metres(x.km), number(x.percent), x.example})
			continue
		}
		rec.Stops = append(rec.Stops, scopeStopRecord{x.line, x.limit, x.structures, metres(x.km), number(x.percent), x.example, none(x.couplings)})
	}
	return rec
}

// none is a list that is written as [] where it is empty.
func none[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// scopeProperties are the properties of a structure in a scenario.
type scopeProperties struct {
	Scenario  string   `json:"scenario"`
	Line      string   `json:"line"`
	Structure string   `json:"structure"`
	ChainageM metres   `json:"chainage_m"`
	Wrong     string   `json:"falls_short"`
	Hangs     string   `json:"hangs"`
	ToHang    string   `json:"to_hang"`
	Units     int      `json:"units_to_fit"`
	Fewer     int      `json:"units_fewer_by"`
	AfterLook int      `json:"units_after_look"`
	LongerMM  number   `json:"longer_mm"`
	Longer    bool     `json:"longer_not_known"` // of a string it is not known by how much it gets longer; longer_mm is that of the others
	LowerMM   number   `json:"lower_mm"`         // null where only lower_not_known tells that one hangs lower
	Lower     bool     `json:"lower_not_known"`  // a conductor hangs lower by nobody knows how much
	Price     number   `json:"price"`
	StoppedBy string   `json:"stopped_by"`
	Limits    []string `json:"limits"`
	AtLeast   bool     `json:"units_at_least"`    // what sizes strings could not be judged in full
	NotKnown  []string `json:"remedy_not_judged"` // what of remedies that may serve cannot be judged
}

type scopeFeature struct {
	Type       string            `json:"type"`
	Geometry   *geojson.Geometry `json:"geometry"`
	Properties scopeProperties   `json:"properties"`
}

// feature is a structure that needs something in a scenario.
func (c *scopeChange) feature(scenario string) (scopeFeature, error) {
	geometry, err := geometryOf([]orb.Point{c.at})
	p := scopeProperties{scenario, c.line, c.structure, metres(c.chainageM), c.wrong, c.hangs, c.toHang, c.certain.units, c.certain.fewer, c.afterLook.units, number(c.longerMM), c.longerOpen, number(c.knownLowerMM()), c.lower, number(c.price), c.stoppedBy, none(c.stops), c.sizesOpen, none(c.notKnown)}
	return scopeFeature{"Feature", geometry, p}, err
}

// writeLayer writes every structure that needs something in a scenario as a point, once for each scenario.
func (s *Scope) writeLayer(ctx context.Context, w io.Writer, _ *audit.Result) error {
	out := newCollection(ctx, w, s.Today)
	list(out, "features", func(yield func(spooled) bool) {
		for _, x := range s.Scenarios {
			for feature := range x.features.each(out) {
				if !yield(feature) {
					return
				}
			}
		}
	})
	return out.end()
}

// mostPrinted is how many lines and notes of a scenario are printed (a choice of this program).
const mostPrinted = 20

// linesToPrint are the lines of which the sentences are printed, in the order of all: where there are too many, those where no remedy serves most
// structures, then those where it is not known for most what serves, then those where most need work.
func (s *ScopeOf) linesToPrint() []int {
	order := make([]int, len(s.perLine))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := &s.perLine[a], &s.perLine[b]
		return cmp.Or(cmp.Compare(y.stopped, x.stopped), cmp.Compare(y.notKnown, x.notKnown), cmp.Compare(y.needing, x.needing))
	})
	order = order[:min(len(order), mostPrinted)]
	slices.Sort(order)
	return order
}

// ScopeSummary prints what the scenarios come to, a sentence for each line.
func ScopeSummary(w io.Writer, s *Scope, dir string, also ...string) {
	for _, x := range s.Scenarios {
		for _, i := range x.linesToPrint() {
			fmt.Fprintln(w, Visible(x.perLine[i].told(x, Visible)))
		}
		if left := len(x.perLine) - mostPrinted; left > 0 {
			fmt.Fprintf(w, "%s: %s more; above are those where most structures are stopped or need work, the sheet %s of scope.xlsx and scope.json have all.\n", Visible(x.scenario.Name), counted(left, "line", "lines"), scenariosSheet)
		}
		for _, note := range x.notes[:min(len(x.notes), mostPrinted)] {
			fmt.Fprintf(w, "  %s\n", Visible(note))
		}
		if left := len(x.notes) - mostPrinted; left > 0 {
			fmt.Fprintf(w, "  %s more; the sheet %s of scope.xlsx and scope.json have all.\n", counted(left, "note", "notes"), scenariosSheet)
		}
		if len(also) > 0 {
			for _, note := range superseded(x.look) {
				fmt.Fprintf(w, "  %s\n", Visible(note))
			}
		}
	}
	if s.WithHeadroom {
		fmt.Fprintf(w, "headroom: %s on the sheet %s\n", counted(len(s.allHeadroom()), "curve", "curves"), headroomSheet)
	}
	var files []string
	for _, o := range s.onRequest(s.outputs(), also) {
		files = append(files, o.name)
	}
	fmt.Fprintf(w, "run %s; written to %s: %s\n%s\n", s.Today.Run.ID, Visible(dir), strings.Join(files, ", "), Caution)
}
