package report

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"strings"

	"dryarc/audit"
	"dryarc/audit/remedy"
)

// Proposal prints the job of one structure: what to hang, what of it is open, and how it was found.
func Proposal(w io.Writer, r *audit.Result, job *remedy.Job) {
	name := r.Project.Symbols.Text
	fmt.Fprintf(w, "\nproposed work, from %s; whether the structure bears it is an engineer's to decide\n", job.Candidates)
	for i := range job.Remedies {
		x := &job.Remedies[i]
		from := hangsInWords(job, x)
		if x.Unregistered {
			from = strings.Join(circuitInWords(r, job.Structure, x.Circuit, []gapAt{gapOfRemedy(x)}), "; ")
		}
		if x.Unregistered {
			fmt.Fprintf(w, "  circuit %s: %s; if nothing hangs:\n", name(x.Circuit), lookFirst)
		}
		for _, change := range changesInWords(x) {
			fmt.Fprintf(w, "  circuit %s, %s, %s; there now: %s\n", name(x.Circuit), x.To.Duty, change, from)
		}
		whole := wholeOf(r, x)
		fmt.Fprintf(w, "    to fit %s; to remove %s; price of the units %s; %s\n", cmp.Or(rangesInWords(whole.fit, whole.fewer), "nothing"), removalInWords(x, &whole),
			cmp.Or(priceRange(whole.price, priceOf(r, whole.fewer)), "not stated"), longInWords(x.LengthMM))
		for _, other := range job.Alternatives {
			if other.Remedy == i {
				fmt.Fprintf(w, "    or %s (%s): to fit %s; price %s; %s long\n", other.Hangs, other.Move, countsInWords(other.Fit), priceInWords(other.Price), Value(audit.Figure(other.LengthMM, "mm")))
			}
		}
	}
	for _, stop := range job.StoppedBy {
		of := ""
		if len(r.Network.Lines[job.Line].Circuits) > 1 && stop.Circuit != 0 {
			of = "circuit " + name(stop.Circuit) + ", "
		}
		fmt.Fprintf(w, "  %s%s: %s\n", of, stopWord(r, job), stop.Sentence)
	}
	for _, open := range job.Open {
		state := "not assessed: " + reasonWithFaults(r, job, open.Reason)
		switch {
		case open.Exception >= 0, open.RowsContradict, open.Brought:
			state = openStates[openStateOf(&open)]
		case open.Reason == audit.NoReason:
			state = "falls short with the work done"
		}
		fmt.Fprintf(w, "  open: %s, %s\n", r.Checks[open.Check].ID, state)
	}
	for _, text := range alsoMended(r, job) {
		fmt.Fprintf(w, "  %s\n", text)
	}
	for _, step := range job.Trace {
		fmt.Fprintf(w, "  %s\n", step)
	}
}

func phasesInWords(phases audit.Phases) string {
	if phases == audit.EveryPhase {
		return "of the circuit"
	}
	return phases.String()
}

func sidesInWords(sides []audit.Side) string {
	words := make([]string, len(sides))
	for i, side := range sides {
		words[i] = side.String()
	}
	if len(words) == 0 {
		return ""
	}
	return ", " + strings.Join(words, " and ")
}

func countsInWords(counts []remedy.Count) string {
	words := make([]string, len(counts))
	for i, c := range counts {
		words[i] = fmt.Sprintf("%d × %s", c.Count, c.Unit)
	}
	if len(words) == 0 {
		return "nothing"
	}
	return strings.Join(words, ", ")
}

// removalInWords says what is to be removed, from how many to how many, and where that is not known.
func removalInWords(x *remedy.Remedy, whole *part) string {
	unknown := ""
	if phases := uncounted(x); phases != "" {
		unknown = "of " + phases + " not known"
	}
	counted := rangesInWords(whole.remove, whole.removeFewer)
	switch {
	case unknown == "":
		return cmp.Or(counted, "nothing")
	case counted == "":
		return unknown
	}
	return counted + ", " + unknown
}

func priceInWords(price float64) string {
	if math.IsNaN(price) {
		return "not stated"
	}
	return priceText(price)
}

// longInWords says how long a string is, where that is known.
func longInWords(mm float64) string {
	if math.IsNaN(mm) {
		return "how long a string is is not known"
	}
	return fmt.Sprintf("a string is %s long", Value(audit.Figure(mm, "mm")))
}
