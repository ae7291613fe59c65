package report

import (
	"bytes"
	"context"
	"io"
	"iter"
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/history"
	"dryarc/audit/remedy"
)

// The members of audit.json, beside record and origin.
type (
	runRecord struct {
		Schema   int            `json:"schema"`
		ID       string         `json:"id"`
		Version  string         `json:"version"`
		AsOf     string         `json:"as_of"`
		Title    string         `json:"title"`
		Caution  string         `json:"caution"`
		Inputs   []inputRecord  `json:"inputs"`
		Criteria audit.Criteria `json:"criteria"`
		// Criteria that are others on some lines; not written where none are.
		OfLines     []lineCriteriaRecord `json:"criteria_of_lines,omitempty"`
		Assumptions []assumptionRecord   `json:"assumptions"`
		Lines       []string             `json:"lines"` // chosen; null for all
		RowsRead    int                  `json:"rows_read"`
		RowsPlaced  int                  `json:"rows_placed"`
		RowsLeftOut int                  `json:"rows_left_out"`
		// Rows that the project file does not choose: read = placed + left out + passed over.
		RowsPassedOver int `json:"rows_passed_over"`
		// Assemblies beyond the rows, of rows that make one for each phase; not written where none does.
		RowsMade   int `json:"assemblies_made,omitempty"`
		Structures int `json:"structures"`
		// What became of inspections; not written where the project names none.
		Inspections *inspectionCounts `json:"inspections,omitempty"`
		Outputs     []Output          `json:"outputs"` // the other ones of the run
		// Outputs that are written by default where the network is smaller; not written where none is left out.
		LeftOut []leftOutRecord `json:"left_out,omitempty"`
		// What each check judged by, and what the run was compared with; null for nothing.
		Rules   map[string]string `json:"rules"`
		Since   *sinceRecord      `json:"since"`
		Changes changeCounts      `json:"changes"`
		// How the decisions of people stand; null where the project names no file of them.
		Decisions *decisionCounts `json:"decisions"`
		Summary   summaryRecord   `json:"summary"`
		// Checks that nearly a whole line fails: more likely a mistake in the data of the line.
		Suspects []suspectRecord `json:"suspects"`
		Jobs     jobCounts       `json:"jobs"`
		// Checks that failed, which is an error of the program; not written where none did.
		CheckErrorCount int                `json:"check_error_count,omitempty"`
		CheckErrors     []checkErrorRecord `json:"check_errors,omitempty"`
	}
	lineCriteriaRecord struct {
		Lines    []string     `json:"lines"`
		Criteria *audit.Rules `json:"criteria"` // those that are stated for these lines
	}
	inputRecord struct {
		File   string `json:"file"`
		SHA256 string `json:"sha256"`
		// The pattern of the project file that found it, not written of one that is named by itself, and the key that it stands under, not
		// written of one that is read with another.
		Pattern string `json:"pattern,omitempty"`
		Section string `json:"section,omitempty"`
		Query   string `json:"query,omitempty"` // whose rows it is, not written of a file
		// How many of its tables hold rows, by kind: Assemblies and such, or features.
		Filled map[string]int `json:"tables,omitempty"`
		System string         `json:"crs,omitempty"` // of its positions, where not WGS 84 longitude, latitude
		// Another file of zones, or of crossings, that holds the same features; not written where none does.
		SameAs string `json:"same_as,omitempty"`
		// How the last row of a table of text ends; not written of others.
		LastRow string `json:"last_row,omitempty"`
	}
	assumptionRecord struct {
		Text  string   `json:"text"`
		Lines []string `json:"lines"` // null where it touches all
	}
	coverageRecord struct {
		Check         string         `json:"check"`
		Meets         int            `json:"meets"`
		FallsShort    int            `json:"falls_short"`
		NotApplicable int            `json:"not_applicable"`
		NotAssessed   int            `json:"not_assessed"`
		NotAsked      int            `json:"not_asked"` // of those not assessed: the project does not ask for the check, which sheets and page count apart
		Reasons       []reasonRecord `json:"reasons"`
	}
	reasonRecord struct {
		Outcome string `json:"outcome"`
		Reason  string `json:"reason"`
		Count   int    `json:"count"`
		AskedBy string `json:"asked_by,omitempty"` // what the project would state to ask for it
	}
	lineRecord struct {
		Line       string         `json:"line"`
		Name       string         `json:"name"`
		Structures int            `json:"structures"`
		LengthKM   metres         `json:"length_km"`
		Ordering   string         `json:"ordering"`
		HighestKV  number         `json:"highest_voltage_kV"`
		Circuits   *int           `json:"circuits"`
		Assemblies int            `json:"assemblies"`
		Assessed   bool           `json:"assessed"`
		Exceptions severityRecord `json:"exceptions"`
		Verdicts   verdictRecord  `json:"verdicts"`
	}
	// summaryRecord says in words what changed.
	summaryRecord struct {
		Headline string `json:"headline"`
	}
	severityRecord struct {
		Shortfall int `json:"shortfall"`
		Advisory  int `json:"advisory"`
		Note      int `json:"note"`
	}
	verdictRecord struct {
		Meets         int `json:"meets"`
		FallsShort    int `json:"falls_short"`
		NotApplicable int `json:"not_applicable"`
		NotAssessed   int `json:"not_assessed"`
		NotAsked      int `json:"not_asked"` // as in coverageRecord
	}
	// cohortRecord counts what hangs of one make and type, installed in the same years, where one class is in force; null for not stated.
	cohortRecord struct {
		Make           *string `json:"make"`
		Type           *string `json:"type"`
		InstalledFrom  *int    `json:"installed_from"` // years
		InstalledTo    *int    `json:"installed_to"`
		Class          *string `json:"pollution_class"`
		Assemblies     int     `json:"assemblies"`
		Uncounted      int     `json:"assemblies_of_unknown_units"`
		Units          int     `json:"units"`
		Unstated       int     `json:"units_condition_not_stated"`
		DefectiveLeast int     `json:"defective_at_least"`
		DefectiveMost  int     `json:"defective_at_most"`
		// Defective units per thousand of known condition, and the 95 % interval; null below 30 units, the first also where only the worst of
		// several strings is known.
		PerThousand number `json:"defective_per_thousand"`
		Low         number `json:"per_thousand_low"`
		High        number `json:"per_thousand_high"`
	}
	faultRecord struct {
		Kind string `json:"kind"`
		origin
		Key     string `json:"key,omitempty"` // of a row of a query: its line and structure
		Column  string `json:"column"`
		Value   string `json:"value"`
		Message string `json:"message"`
		Weight  string `json:"weight"`
		// Rows counts those of which it is true, OtherRows numbers those but the first; absent where it is one.
		Rows      int      `json:"rows,omitempty"`
		OtherRows []uint32 `json:"other_rows,omitempty"`
	}
	faultCountRecord struct {
		Kind   string `json:"kind"`
		Column string `json:"column"`
		Weight string `json:"weight"`
		Count  int    `json:"count"`
		Listed int    `json:"listed"`
	}
)

// writeAudit writes the result for programs, of a run without other outputs.
func writeAudit(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	_, err := writeJSON(ctx, w, r, a, nil)
	return err
}

// JSON writes the result, its jobs and what changed as audit.json has them, with what it says of the other outputs of the run.
func JSON(ctx context.Context, w io.Writer, r *audit.Result, jobs []remedy.Job, changes *history.Changes, others []Output) error {
	left := slices.DeleteFunc(leftOut(r, nil), func(o output) bool {
		return slices.ContainsFunc(others, func(written Output) bool { return written.File == o.name })
	})
	_, err := writeJSON(ctx, w, r, &account{jobs: jobs, changes: changes, leftOut: left}, others)
	return err
}

// writeJSON returns what beginJSON does.
func writeJSON(ctx context.Context, w io.Writer, r *audit.Result, a *account, others []Output) (again func(others []Output) []byte, err error) {
	changes := a.since(r)
	run, err := runOf(ctx, r)
	if err != nil {
		return nil, err
	}
	run.LeftOut = leftOutRecords(a.leftOut)
	run.Rules, run.Since, run.Changes = changes.Rules, sinceRecordOf(changes), changeCountsOf(changes)
	run.Decisions = decisionCountsOf(r, changes.Decided)
	run.Summary, run.Jobs = summaryRecord{headline(changes)}, countJobs(r, a.work(), changes.Decided)
	run.Suspects = suspectRecords(r)
	run.Inspections = countInspections(r.Network)
	s, again := beginJSON(ctx, w, run, others)
	list(s, "coverage", coverageRecords(r))
	list(s, "lines", lineRecords(r))
	list(s, "cohorts", cohortRecords(a.cohortsOf(r)))
	if tellsLevels(r) {
		list(s, "within_levels", withinLevelRecords(ctx, r))
	}
	list(s, "fault_counts", faultCounts(r.Project))
	list(s, "faults", faultRecords(r.Project))
	if run.Inspections != nil {
		list(s, "inspections", inspectionRecords(r.Network))
	}
	list(s, "exceptions", auditExceptions(r, changes))
	list(s, "cleared", clearedRecords(changes))
	list(s, "jobs", recordsOf(r, a.work(), a.inOrder(r)))
	return again, s.end()
}

// beginJSON writes the member run and returns what makes all that is written by then again, with other hashes.
func beginJSON(ctx context.Context, w io.Writer, run runRecord, others []Output) (s *jsonStream, again func(others []Output) []byte) {
	s = newJSONStream(ctx, w)
	run.Outputs = append([]Output{}, others...)
	s.member("run", run)
	return s, func(others []Output) []byte {
		var b bytes.Buffer
		beginJSON(ctx, &b, run, others)
		return b.Bytes()
	}
}

func runOf(ctx context.Context, r *audit.Result) (runRecord, error) {
	run := runRecord{
		Schema: audit.Schema, ID: r.Run.ID, Version: r.Run.Version, AsOf: r.Run.AsOf, Title: r.Project.Title,
		Caution: Caution, Inputs: []inputRecord{}, Criteria: r.Project.Criteria, Assumptions: []assumptionRecord{},
		Lines: r.Run.Lines, RowsRead: r.Project.RowsRead, RowsPlaced: r.Network.RowsPlaced,
		RowsLeftOut: r.Network.RowsLeftOut, RowsPassedOver: r.Project.RowsPassedOver, RowsMade: r.Project.RowsMade, Structures: r.Network.StructureCount(),
	}
	filled := r.Network.Filled()
	for _, input := range r.Project.Inputs {
		run.Inputs = append(run.Inputs, inputRecord{input.File, input.SHA256, input.Pattern, input.Section, input.Query, filled[input.File], input.System, input.SameAs, input.LastRow})
	}
	for _, a := range r.Run.Assumptions {
		run.Assumptions = append(run.Assumptions, assumptionRecord{a.Text, names(r.Project, a.Lines)})
	}
	for i := range r.Project.Rules {
		rules := &r.Project.Rules[i]
		run.OfLines = append(run.OfLines, lineCriteriaRecord{names(r.Project, rules.Lines), rules})
	}
	if len(run.Lines) == 0 {
		run.Lines = nil
	}
	failed, err := r.CheckErrors(ctx)
	run.CheckErrorCount = failed.Count
	for i := range failed.List {
		run.CheckErrors = append(run.CheckErrors, checkErrorOf(r, &failed.List[i]))
	}
	return run, err
}

// names returns the texts of symbols; nil for nil.
func names(p *audit.Project, symbols []audit.Symbol) []string {
	if symbols == nil {
		return nil
	}
	texts := make([]string, len(symbols))
	for i, symbol := range symbols {
		texts[i] = p.Symbols.Text(symbol)
	}
	return texts
}

func coverageRecords(r *audit.Result) iter.Seq[coverageRecord] {
	return func(yield func(coverageRecord) bool) {
		for i, c := range r.Coverage {
			rec := coverageRecord{r.Checks[i].ID, c.Meets, c.FallsShort, c.NotApplicable, c.NotAssessed, c.NotAsked, []reasonRecord{}}
			for _, reason := range c.Reasons {
				why := reasonRecord{Outcome: reason.Outcome.String(), Reason: reason.Reason.String(), Count: reason.Count}
				if reason.Outcome == audit.NotAssessed {
					why.AskedBy = reason.Reason.AskedBy()
				}
				rec.Reasons = append(rec.Reasons, why)
			}
			if !yield(rec) {
				return
			}
		}
	}
}

func lineRecords(r *audit.Result) iter.Seq[lineRecord] {
	return func(yield func(lineRecord) bool) {
		exceptions := exceptionsByLine(r)
		for l := range r.Network.Lines {
			line, total, found := &r.Network.Lines[l], lineTotals(&r.Lines[l]), exceptions[l]
			rec := lineRecord{
				Line: r.Project.Symbols.Text(line.Symbol), Name: r.Project.Symbols.Text(line.Row.Name),
				Structures: line.End - line.First, LengthKM: metres(lengthKM(r, l)), Ordering: line.Ordering.String(),
				HighestKV: number(line.HighestKV), Assemblies: line.RowsPlaced, Assessed: r.Lines[l].Assessed,
				Exceptions: severityRecord{found[audit.Shortfall], found[audit.Advisory], found[audit.Note]},
				Verdicts:   verdictRecord{total.Meets, total.FallsShort, total.NotApplicable, total.NotAssessed, total.NotAsked},
			}
			if n := circuitsOf(line); n > 0 {
				rec.Circuits = &n
			}
			if !yield(rec) {
				return
			}
		}
	}
}

func cohortRecords(cohorts []audit.Cohort) iter.Seq[cohortRecord] {
	text := func(s string) *string {
		if s == "" {
			return nil
		}
		return &s
	}
	return func(yield func(cohortRecord) bool) {
		for i := range cohorts {
			c := &cohorts[i]
			rec := cohortRecord{Make: text(c.Make), Type: text(c.Type), Assemblies: c.Assemblies, Uncounted: c.Uncounted, Units: c.Units,
				Unstated: c.Unstated, DefectiveLeast: c.Least, DefectiveMost: c.Most, PerThousand: number(math.NaN()), Low: number(math.NaN()), High: number(math.NaN())}
			if c.FirstYear > 0 {
				rec.InstalledFrom, rec.InstalledTo = &c.FirstYear, &c.LastYear
			}
			if c.Class != basis.ClassUnknown {
				rec.Class = text(c.Class.String())
			}
			if rate, low, high, exact, ok := c.PerThousand(); ok {
				rec.Low, rec.High = number(low), number(high)
				if exact {
					rec.PerThousand = number(rate)
				}
			}
			if !yield(rec) {
				return
			}
		}
	}
}

func faultCounts(p *audit.Project) iter.Seq[faultCountRecord] {
	return func(yield func(faultCountRecord) bool) {
		for _, c := range p.Faults.Counts() {
			if !yield(faultCountRecord{c.Kind.String(), c.Column, c.Weight.String(), c.Count, c.Listed}) {
				return
			}
		}
	}
}

func faultRecords(p *audit.Project) iter.Seq[faultRecord] {
	return func(yield func(faultRecord) bool) {
		for _, f := range faultsOf(p) {
			if !yield(faultRecord{f.Kind.String(), originOfFault(p, &f), f.Key, f.Column, f.Value, f.Message(), f.Weight.String(), f.Rows, f.Also}) {
				return
			}
		}
	}
}
