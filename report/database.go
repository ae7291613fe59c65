package report

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"dryarc/audit"
	"dryarc/audit/history"
	"dryarc/audit/remedy"
	"dryarc/report/gpkg"
	"dryarc/report/postgres"

	"github.com/paulmach/orb"
)

// Tables are the tables of a run in a database, in their places and not seen by others before Commit. Nil is of a project that names no database.
type Tables struct {
	writing *postgres.Writing
	schema  string
	asOf    string
}

// WriteDatabase writes the tables of a run into the database that its project names, beside those of the earlier runs that are kept, to be committed when
// the files are in their places; nothing where it names none. wait is how long it waits for another run that writes there. A failure is a *WriteError, and
// leaves the tables as they were. They must be closed.
func WriteDatabase(ctx context.Context, r *audit.Result, jobs []remedy.Job, changes *history.Changes, wait time.Duration) (*Tables, error) {
	to := r.Project.Write
	if to == nil {
		return nil, nil
	}
	a := &account{jobs: jobs, changes: changes}
	units, err := unitsByStructure(ctx, r)
	if err != nil {
		return nil, err
	}
	structures, exceptions := structureLayer(r, a, units), exceptionLayer(r, a.since(r), units, everyLayer)
	exceptions.Geometry = "Geometry"
	tables := []postgres.Table{
		layerTable(r, structures), layerTable(r, spanLayer(r)), layerTable(r, exceptions, "line", "structure"),
		clearedTable(a.since(r)), coverageTable(r), runTable(r, a.since(r)),
	}
	for i := range tables {
		tables[i].Description += ". " + Caution
	}
	writing, err := postgres.Write(ctx, postgres.Target{Settings: to.Settings, Schema: to.Schema, Run: r.Run.ID, Since: sinceRun(a.since(r)), Project: projectKey(r.Project), Keep: to.Keep, Wait: wait}, tables)
	switch {
	case err != nil && ctx.Err() != nil:
		return nil, ctx.Err()
	case err != nil:
		return nil, &WriteError{fmt.Sprintf("schema %q of the database", to.Schema),
			fmt.Errorf("%w\n  hint: the files stay those of the run before too, so that no news is lost; put it right and run it again; with --no-write the files alone are written, and its news stands in no table", err)}
	}
	return &Tables{writing, to.Schema, r.Run.AsOf}, nil
}

// Commit makes the tables those that stand there, when the files are in their places. A failure is a *WriteError.
func (t *Tables) Commit(ctx context.Context) error {
	if t == nil {
		return nil
	}
	inDoubt, err := t.writing.Commit(ctx)
	if err != nil {
		return t.uncommitted(err, inDoubt)
	}
	return nil
}

// GivenUp is the error of a run that is ended while Commit waits for the server; nil where it has nothing to commit.
func (t *Tables) GivenUp() error {
	if t == nil {
		return nil
	}
	return t.uncommitted(errors.New("interrupted before the server had answered"), true)
}

func (t *Tables) uncommitted(err error, inDoubt bool) error {
	tables := "the tables those of before"
	if inDoubt {
		tables = "the tables of this one or those of before"
	}
	failed := &WriteError{fmt.Sprintf("schema %q of the database", t.schema), fmt.Errorf("%w\n  hint: the files are those of this run, %s; for the news of this run to stand there, run it again with --as-of %s before the next", err, tables, t.asOf)}
	if inDoubt {
		return &writeInDoubt{failed}
	}
	return failed
}

// writeInDoubt is a WriteError of what may have been written all the same.
type writeInDoubt struct{ failed *WriteError }

func (e *writeInDoubt) Error() string {
	return fmt.Sprintf("%s may or may not have been written: %v", e.failed.File, e.failed.Err)
}

func (e *writeInDoubt) Unwrap() error { return e.failed }

// Close ends what was not committed.
func (t *Tables) Close() {
	if t != nil {
		t.writing.Close()
	}
}

// Told says what was written and taken away, and what else is worth knowing.
func (t *Tables) Told() (written string, remarks []string) {
	if t == nil {
		return "", nil
	}
	w := t.writing
	written = fmt.Sprintf("run %s is in schema %q of the database; runs of this project there: %d", w.Run, t.schema, w.Kept)
	if len(w.Gone) > 0 {
		written += "; taken away: " + strings.Join(w.Gone, ", ")
	}
	return written, w.Remarks
}

// projectKey is by what the runs of a project are told from those of another in one schema: its title, or where it has none its file.
func projectKey(p *audit.Project) string {
	if p.Title != "" {
		return plainText(p.Title)
	}
	if path, err := filepath.Abs(p.File); err == nil {
		return plainText(path)
	}
	return plainText(p.File)
}

// sinceRun is the id of the run that one is compared with; empty for none.
func sinceRun(c *history.Changes) string {
	if c.Since == nil {
		return ""
	}
	return c.Since.Run
}

// serverTypes are the types of column in the database by those in a GeoPackage.
var serverTypes = map[string]postgres.Type{gpkg.Text: postgres.Text, gpkg.Integer: postgres.Integer, gpkg.Real: postgres.Real, gpkg.Boolean: postgres.Boolean}

// layerTable is a layer as a table. The days of runs are dates there.
func layerTable(r *audit.Result, layer gpkg.Layer, find ...string) postgres.Table {
	t := postgres.Table{Name: layer.Name, Key: tableKeys[layer.Name], Description: tableDescriptions[layer.Name], Geometry: layer.Geometry, Find: find}
	for _, c := range toldColumns(r, layer.Columns) {
		column := postgres.Column{Name: c.Name, Description: c.Title + ": " + c.Description, Type: serverTypes[c.Type]}
		if c.Name == "first_seen" {
			column.Type = postgres.Date
		}
		t.Columns = append(t.Columns, column)
	}
	t.Rows = func(yield func(postgres.Row) bool) {
		alike := map[[2]string]int{}
		layer.Rows(func(row gpkg.Row) bool {
			if slices.Equal(t.Key, placeKey) {
				tellApart(row.Values, alike)
			}
			return yield(postgres.Row{Geometry: row.Geometry, Values: row.Values})
		})
	}
	return t
}

// tellApart numbers a structure whose line and name differ from those of others by characters alone that plainText replaces, which have come so often.
func tellApart(values []any, alike map[[2]string]int) {
	line, name := values[0].(string), values[1].(string)
	if !strings.ContainsRune(line+name, utf8.RuneError) {
		return
	}
	key := [2]string{line, name}
	if alike[key]++; alike[key] > 1 {
		values[1] = fmt.Sprintf("%s (%d)", name, alike[key])
	}
}

// tableKeys tell rows of a run apart in the tables that are layers elsewhere too; placeKey is that of those with a row for each structure, or span ahead of
// one, whose first columns it names.
var (
	placeKey  = []string{"line", "structure"}
	tableKeys = map[string][]string{"structures": placeKey, "spans": placeKey, "exceptions": {"id"}}
)

// tableDescriptions are told of the tables that are layers elsewhere too.
var tableDescriptions = map[string]string{"structures": "Every structure of every line", "spans": "Every span of every line", "exceptions": "Every exception, worst first"}

// columnsNamed are columns of a type by their names in pairs with what they are.
func columnsNamed(is postgres.Type, namesAndTexts ...string) (columns []postgres.Column) {
	for i := 0; i < len(namesAndTexts); i += 2 {
		columns = append(columns, postgres.Column{Name: namesAndTexts[i], Description: namesAndTexts[i+1], Type: is})
	}
	return columns
}

// clearedTable is what the earlier run found and this one does not, with the reason.
func clearedTable(c *history.Changes) postgres.Table {
	t := postgres.Table{Name: "cleared", Description: "What the earlier run found and this one does not; what is not assessed or not in this run is not cleared by that", Geometry: "Geometry", Find: []string{"line", "structure"}, Key: []string{"id"}}
	t.Columns = append(columnsNamed(postgres.Text, "id", "The same in each run", "why", "Why it is not there any more", "detail", "What is known now"),
		columnsNamed(postgres.Boolean, "nothing_lost", "Of one that is not assessed: no datum was lost")...)
	for _, name := range []string{"check", "severity", "line", "structure", "structure_to", "circuit", "phase", "side", "observed", "required", "measure", "margin", "reason", "first_seen"} {
		column := postgres.Column{Name: name, Description: columnTexts[name].title + ": " + columnTexts[name].what, Type: postgres.Text}
		switch name {
		case "margin":
			column.Type = postgres.Real
		case "first_seen":
			column.Type = postgres.Date
		}
		t.Columns = append(t.Columns, column)
	}
	t.Columns = append(t.Columns, columnsNamed(postgres.Date, "lost_on", "Of one that is not assessed, the day of the run since which")...)
	t.Rows = func(yield func(postgres.Row) bool) {
		for i := range c.Cleared {
			cleared := &c.Cleared[i]
			rec := &cleared.Record
			values := []any{rec.ID, cleared.Why.String(), plainText(cleared.Detail), cleared.NothingLost, rec.Check, rec.Severity.String(), plainText(rec.Line), plainText(rec.Structure),
				plainText(rec.To), plainText(rec.Circuit), plainText(rec.Phase), rec.Side, bareFigure(rec.Observed), bareFigure(rec.Required), rec.Measure,
				rec.Margin, plainText(rec.Sentence), rec.FirstSeen, rec.Lost}
			for k, value := range values {
				if text, ok := value.(string); ok {
					values[k] = orNull(text)
				}
			}
			var route []orb.Point
			for _, at := range []orb.Point{rec.Position, rec.PositionTo} {
				if !unknown(at[0]) && !unknown(at[1]) {
					route = append(route, at)
				}
			}
			if !yield(postgres.Row{Geometry: shapeOf(route), Values: values}) {
				return
			}
		}
	}
	return t
}

// coverageTable says of each check how many subjects had which outcome, and why those that were not judged were not.
func coverageTable(r *audit.Result) postgres.Table {
	t := postgres.Table{Name: "coverage", Description: "Subjects of each check by outcome and reason, so that no exception is not taken for judged", Find: []string{"check"}}
	t.Columns = append(columnsNamed(postgres.Text, "check", "Check", "title", "What it finds", "outcome", "meets, falls short, not applicable, not assessed; or not asked for, where the project would have to ask for the check",
		"reason", "Why it was not judged, or does not apply", "asked_by", "What the project would state to ask for it"), columnsNamed(postgres.Integer, "subjects", "Count of subjects")...)
	t.Rows = func(yield func(postgres.Row) bool) {
		for i, c := range r.Coverage {
			row := func(outcome, reason, askedBy string, count int) bool {
				return count == 0 || yield(postgres.Row{Values: []any{r.Checks[i].ID, r.Checks[i].Title, outcome, orNull(reason), orNull(askedBy), int64(count)}})
			}
			if !row(audit.Meets.String(), "", "", c.Meets) || !row(audit.FallsShort.String(), "", "", c.FallsShort) {
				return
			}
			left := map[audit.Outcome]int{audit.NotApplicable: c.NotApplicable, audit.NotAssessed: c.NotAssessed}
			for _, why := range c.Reasons {
				if _, unjudged := left[why.Outcome]; !unjudged {
					continue
				}
				left[why.Outcome] -= why.Count
				outcome, askedBy := why.Outcome.String(), ""
				if why.Outcome == audit.NotAssessed {
					if askedBy = why.Reason.AskedBy(); askedBy != "" {
						outcome = "not asked for"
					}
				}
				if !row(outcome, why.Reason.String(), askedBy, why.Count) {
					return
				}
			}
			for _, outcome := range []audit.Outcome{audit.NotApplicable, audit.NotAssessed} {
				if !row(outcome.String(), "", "", left[outcome]) {
					return
				}
			}
		}
	}
	return t
}

// runTable is the run in one row.
func runTable(r *audit.Result, c *history.Changes) postgres.Table {
	t := postgres.Table{Name: postgres.RunsTable, Description: "The runs of which the tables hold rows"}
	t.Columns = append(append(columnsNamed(postgres.Date, "as_of", "Date of the audit"),
		columnsNamed(postgres.Text, "version", "Version of the program", postgres.ProjectColumn, "Title of the project, or its file where it has none; runs are kept by it", "title", "Title of the project", postgres.LinesColumn, "all, or chosen where the run was of some lines", postgres.SinceColumn, "Run that it was compared with", "caution", "What the tables are")...),
		columnsNamed(postgres.Integer, "structures", "Count of structures", "rows_read", "Rows of the register that were read", "rows_placed", "Those that stand on a structure",
			"faults", "Faults of the inputs", "shortfalls", "Open exceptions of this severity", "advisories", "Open exceptions of this severity", "notes", "Open exceptions of this severity",
			"new", "Exceptions that the earlier run did not have; null where there is none", "cleared", "Exceptions of the earlier run that are cleared; null where there is none", "decided", "Exceptions that are accepted or planned")...)
	t.Columns = append(t.Columns, columnsNamed(postgres.Real, "judged_percent", "Share that could be judged of what the project asks for (%)")...)
	counts := c.Counts()
	var open [3]int64
	decided := int64(0)
	for i := range r.Exceptions {
		if c.Decided.Open(i) {
			open[r.Exceptions[i].Verdict.Severity]++
		} else {
			decided++
		}
	}
	var fresh, cleared any
	if c.Since != nil {
		fresh, cleared = int64(counts.ByState[history.New]), int64(counts.Cleared())
	}
	lines := postgres.WholeRun
	if len(r.Run.Lines) > 0 {
		lines = partialRun
	}
	t.Rows = func(yield func(postgres.Row) bool) {
		yield(postgres.Row{Values: []any{r.Run.AsOf, r.Run.Version, projectKey(r.Project), orNull(plainText(r.Project.Title)), lines, orNull(sinceRun(c)), Caution,
			int64(r.Network.StructureCount()), int64(r.Project.RowsRead), int64(r.Network.RowsPlaced), int64(r.Project.Faults.Total()),
			open[audit.Shortfall], open[audit.Advisory], open[audit.Note], fresh, cleared, decided, r.AssessedPercent()}})
	}
	return t
}
