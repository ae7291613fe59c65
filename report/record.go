package report

import (
	"strconv"

	"dryarc/audit"
	"dryarc/audit/history"
)

// statement is an exception by itself, as programs read it, of this run or of an earlier one. Circuit, phase, side and structure_to are empty
// where they do not apply.
type statement struct {
	ID          string `json:"id"`
	Check       string `json:"check"`
	Severity    string `json:"severity"`
	Line        string `json:"line"`
	Structure   string `json:"structure"`
	StructureTo string `json:"structure_to"`
	Circuit     string `json:"circuit"`
	Phase       string `json:"phase"`
	Side        string `json:"side"`
	Observed    figure `json:"observed"`
	Required    figure `json:"required"`
	Measure     string `json:"measure"`
	Margin      number `json:"margin"`
	Reason      string `json:"reason"`
}

// record is one exception of the result as programs read it; its id, State and FirstSeen are filled by toldOf.
type record struct {
	statement
	Remedy    string  `json:"remedy"`
	State     string  `json:"state"` // since the earlier run
	FirstSeen string  `json:"first_seen"`
	At        *origin `json:"at"`
}

// recordStart is how a record begins, up to its id.
const recordStart = `{"id":"`

// appendMembers appends the members, but not the end of the object.
func (rec *record) appendMembers(b []byte) []byte {
	b = appendText(append(b, recordStart[:len(recordStart)-1]...), rec.ID)
	b = appendText(append(b, `,"check":`...), rec.Check)
	b = appendText(append(b, `,"severity":`...), rec.Severity)
	b = appendText(append(b, `,"line":`...), rec.Line)
	b = appendText(append(b, `,"structure":`...), rec.Structure)
	b = appendText(append(b, `,"structure_to":`...), rec.StructureTo)
	b = appendText(append(b, `,"circuit":`...), rec.Circuit)
	b = appendText(append(b, `,"phase":`...), rec.Phase)
	b = appendText(append(b, `,"side":`...), rec.Side)
	b = rec.Observed.appendJSON(append(b, `,"observed":`...))
	b = rec.Required.appendJSON(append(b, `,"required":`...))
	b = appendText(append(b, `,"measure":`...), rec.Measure)
	b = rec.Margin.appendJSON(append(b, `,"margin":`...))
	b = appendText(append(b, `,"reason":`...), rec.Reason)
	b = appendText(append(b, `,"remedy":`...), rec.Remedy)
	b = appendText(append(b, `,"state":`...), rec.State)
	b = appendText(append(b, `,"first_seen":`...), rec.FirstSeen)
	if b = append(b, `,"at":`...); rec.At == nil {
		return append(b, "null"...)
	}
	b = appendText(append(b, `{"file":`...), rec.At.File)
	b = appendText(append(b, `,"sheet":`...), rec.At.Sheet)
	b = strconv.AppendUint(append(b, `,"row":`...), uint64(rec.At.Row), 10)
	return append(b, '}')
}

// toldOf is an exception of the result as programs read it, with its id and what became of it.
func toldOf(r *audit.Result, c *history.Changes, exception int) record {
	rec := recordOf(r, &r.Exceptions[exception])
	rec.ID = r.ExceptionIDs()[exception]
	rec.State, rec.FirstSeen = c.Exceptions[exception].State.String(), c.Exceptions[exception].FirstSeen
	return rec
}

// origin is where a row stood in the inputs. Row is the spreadsheet's own number, or the number of the feature.
type origin struct {
	File  string `json:"file"`
	Sheet string `json:"sheet"`
	Row   uint32 `json:"row"`
}

func recordOf(r *audit.Result, e *audit.Exception) record {
	p, v, check := r.Project, &e.Verdict, r.Checks[e.Check]
	rec := record{Remedy: check.RemedyFor(v), statement: statement{
		Check: check.ID, Severity: v.Severity.String(), Line: p.Symbols.Text(r.Network.Lines[e.Line].Symbol),
		Structure: structureNumber(r, e.Structure), StructureTo: structureNumber(r, e.To),
		Circuit: p.Symbols.Text(e.Circuit), Phase: e.Phases(p), Side: e.Side.String(),
		Observed: figure(v.Observed), Required: figure(v.Required), Measure: v.Required.Measure, Margin: number(v.Margin),
		Reason: v.Sentence,
	}}
	if rec.Measure == "" {
		rec.Measure = v.Observed.Measure
	}
	if source, ok := sourceOf(r, e); ok {
		at := originOf(p, source)
		rec.At = &at
	}
	return rec
}

// structureNumber is the number of a structure as written, empty for none.
func structureNumber(r *audit.Result, structure int) string {
	if structure < 0 {
		return ""
	}
	return r.Network.Number(structure)
}

// sourceOf is the row an exception goes back to: of its assembly, else of its structure, else of its line, which may
// have none.
func sourceOf(r *audit.Result, e *audit.Exception) (audit.Source, bool) {
	switch line := &r.Network.Lines[e.Line]; {
	case e.Assembly >= 0:
		return r.Project.Assemblies.At(e.Assembly).Source, true
	case e.Structure >= 0:
		return r.Network.Source(e.Structure), true
	default:
		return line.Row.Source, line.Row.Source.Row > 0
	}
}

func originOf(p *audit.Project, s audit.Source) origin {
	table := p.Tables[s.Table]
	return origin{table.File, table.Sheet, s.Row}
}

// originOfFault is where the figure stands that is wrong: of the project file its row is the line.
func originOfFault(p *audit.Project, f *audit.Fault) origin {
	if f.ProjectLine > 0 {
		return origin{f.ProjectFile, "", uint32(f.ProjectLine)}
	}
	return originOf(p, f.At)
}
