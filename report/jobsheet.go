package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/history"
	"dryarc/audit/remedy"
)

// What the sheet of a job tells of its place and of its findings, for people who have nothing but that sheet.

// lineOnSheet says what is known of a line: its name in words, its voltage and its circuits; empty where nothing is.
func lineOnSheet(r *audit.Result, line int) string {
	l := &r.Network.Lines[line]
	var words []string
	if name := r.Project.Symbols.Text(l.Row.Name); name != "" {
		words = append(words, name)
	}
	switch {
	case !unknown(l.Row.NominalKV):
		words = append(words, fmt.Sprintf("%g kV", l.Row.NominalKV))
	case !unknown(l.HighestKV):
		words = append(words, fmt.Sprintf("highest voltage %g kV", l.HighestKV))
	}
	if l.Row.Circuits > 0 {
		words = append(words, counted(l.Row.Circuits, "circuit", "circuits"))
	}
	return joined(words)
}

// spansOnSheet says how long the spans at a structure are and what they cross, one after the other.
func spansOnSheet(r *audit.Result, line, structure int) (spans []string) {
	s := r.Network.Structure(line, structure)
	for _, span := range [...]struct {
		name    string
		lengthM float64
		asked   *audit.Asked
	}{{"span back", s.SpanBackM, &s.Back}, {"span ahead", s.SpanAheadM, &s.Ahead}} {
		if unknown(span.lengthM) {
			continue
		}
		text := fmt.Sprintf("%s %.0f m", span.name, span.lengthM)
		kinds := slices.DeleteFunc(slices.Clone(span.asked.Kinds), func(kind string) bool { return kind == audit.LongSpanKind })
		isLong := len(kinds) < len(span.asked.Kinds)
		if isLong {
			text += ", a long span"
		}
		switch {
		case len(kinds) > 0:
			text += ", crosses " + joined(kinds)
		case span.asked.MayCross:
			text += ", what it crosses cannot be read"
		case r.Project.SaysWhatCrosses():
			text += ", crosses nothing of the layer of crossings"
		}
		spans = append(spans, text)
	}
	return spans
}

// notesOnSheet are the remarks of what hangs at the structure of a job and what is carried of it, each under its name.
func notesOnSheet(r *audit.Result, w *workRow) (notes []string) {
	for _, row := range r.Network.AssemblyRows(w.job.Structure) {
		if remark := r.Project.Texts.Get(r.Project.Assemblies.At(int(row)).Remarks); remark != "" && !slices.Contains(notes, "Remarks: "+remark) {
			notes = append(notes, "Remarks: "+remark)
		}
	}
	for i, name := range carriedNames(r, "Remarks") {
		if text := w.carried[i]; text != "" {
			notes = append(notes, name+": "+text)
		}
	}
	return notes
}

// findingOnSheet is a finding under the title of its check, with where it is.
func findingOnSheet(r *audit.Result, f *audit.Finding) string {
	title := r.Checks[r.Exceptions[f.Exceptions[0]].Check].Title
	if where := whereFound(r, f); len(where) > 0 {
		title += " (" + strings.Join(where, ", ") + ")"
	}
	return title + ": " + f.Sentence(r)
}

// beginOnSheet says what is to be done before anything is hung, or where nothing is: what is said to be wrong is looked at first.
func beginOnSheet(r *audit.Result, w *workRow) (texts []string) {
	if wrong := wrongDatum(&w.said); wrong != "" {
		texts = append(texts, wrong)
	}
	if len(w.job.Remedies) > 0 || !wantsEntry(r, w.job) {
		return texts
	}
	for paragraph := range strings.SplitSeq(w.stoppedBy, "\n") {
		texts = append(texts, lookFirst+": "+paragraph)
	}
	return texts
}

// findingsOnSheet says what a job is for, a text for each finding. Where not all of the job is decided alike, findings say what is decided of them.
func findingsOnSheet(r *audit.Result, w *workRow, d *history.Decided) (texts []string) {
	j := w.job
	if len(j.Exceptions) == 0 {
		return []string{findingsInWords(r, j)}
	}
	for _, f := range r.FindingsOf(j.Exceptions) {
		if w.said.Whole() {
			texts = append(texts, findingOnSheet(r, &f))
			continue
		}
		for _, part := range decidedApart(r, d, &f) {
			said, text := d.OfExceptions(part.Exceptions), findingOnSheet(r, &part)
			if said.String() != "" {
				text = said.String() + ": " + text
			}
			texts = append(texts, text)
		}
	}
	if needed := remedy.NeededByInWords(r, j); needed != "" {
		texts = append(texts, needed)
	}
	return texts
}

// decidedApart takes a finding apart by what is decided of its exceptions.
func decidedApart(r *audit.Result, d *history.Decided, f *audit.Finding) (apart []audit.Finding) {
	var groups []string
	members := map[string][]int{}
	for _, e := range f.Exceptions {
		said := d.OfExceptions([]int{e})
		text := said.String()
		if members[text] == nil {
			groups = append(groups, text)
		}
		members[text] = append(members[text], e)
	}
	for _, text := range groups {
		apart = append(apart, r.FindingsOf(members[text])...)
	}
	return apart
}

// besides are the exceptions at each structure that no job is for nor mends in passing, notes left out, by structure.
func besides(r *audit.Result, jobs []workRow) map[int][]int {
	isOfJob := make([]bool, len(r.Exceptions))
	at := map[int][]int{}
	for i := range jobs {
		at[jobs[i].job.Structure] = nil
		for _, list := range [...][]int{jobs[i].job.Exceptions, jobs[i].job.AlsoMends} {
			for _, e := range list {
				isOfJob[e] = true
			}
		}
	}
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		if isOfJob[i] || e.Verdict.Severity == audit.Note {
			continue
		}
		for _, structure := range [...]int{e.Structure, e.To} {
			if others, has := at[structure]; has {
				at[structure] = append(others, i)
			}
		}
	}
	return at
}

// besideOnSheet says what else was found at the structure of a job, each with its severity.
func besideOnSheet(r *audit.Result, exceptions []int) (texts []string) {
	for _, f := range r.FindingsOf(exceptions) {
		texts = append(texts, r.Exceptions[f.Exceptions[0]].Verdict.Severity.String()+": "+findingOnSheet(r, &f))
	}
	return texts
}

// openOnSheet says what a job leaves open: the title of each check, what becomes of it, and why it is not assessed.
func openOnSheet(r *audit.Result, j *remedy.Job) (texts []string) {
	open := slices.Clone(j.Open)
	slices.SortStableFunc(open, func(a, b remedy.Open) int { return cmp.Compare(openStateOf(&a), openStateOf(&b)) })
	for _, o := range open {
		state := openStateOf(&o)
		text := openStates[state] + ": " + r.Checks[o.Check].Title
		if o.Reason != audit.NoReason && o.Exception < 0 {
			text += ", since: " + reasonWithFaults(r, j, o.Reason)
		}
		if !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
	}
	return texts
}
