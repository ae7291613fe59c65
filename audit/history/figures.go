package history

import (
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/paulmach/orb"
)

// held are the figures that a decision keeps of an exception.
type held struct {
	id                 string
	severity           audit.Severity
	margin             float64
	observed, required string
	at                 orb.Point // where its structure stood; NaN where that is not known
	of                 extent
	met                string // day of the run that saw it meet, or metByLess and what that says; empty for none
	metIn              string // the project of that run, see projectOf; empty for none, or as an earlier version wrote it
	other              string // day of the run since which another exception has the id; empty for none
	seen               string // since which day the row showed it on which it was decided of, until a run has held it against that; empty for none
	named              string // day of the run since which it has the id that another of its key had; empty for none
}

// nothing is how figures of no exception at all are written.
const nothing = "none"

// FiguresOf writes the figures of exceptions of a result, as a decision keeps them.
func FiguresOf(r *audit.Result, exceptions []int) string {
	if len(exceptions) == 0 {
		return nothing
	}
	parts := make([]string, len(exceptions))
	for k, i := range exceptions {
		parts[k] = figuresAt(r, i).String()
	}
	return strings.Join(parts, "; ")
}

func figuresAt(r *audit.Result, exception int) held {
	v := &r.Exceptions[exception].Verdict
	return held{r.ExceptionIDs()[exception], v.Severity, known(v.Margin), valueText(v.Observed), valueText(v.Required), positionOf(r.Network, r.Exceptions[exception].Structure), extentOf(r, exception), "", "", "", "", ""}
}

func (f held) String() string {
	text := strings.Join([]string{f.id, f.severity.String(), numberText(f.margin), f.observed, f.required}, " ")
	if located(f.at) {
		text += " " + numberText(f.at[0]) + "/" + numberText(f.at[1])
	}
	text += f.of.String()
	for k, note := range [...]string{f.met, f.metIn, f.other, f.named, f.seen} {
		if note != "" {
			text += " " + noteFields[k] + note
		}
	}
	return text
}

// eachHeld hands on the figures of a decision, exception by exception, and writes those that were changed.
func (d *Decision) eachHeld(change func(*held) (changed bool)) {
	parts, changed := strings.Split(d.Was, "; "), false
	for k, part := range parts {
		if f, is := parseFigures(part)[figuresID(part)]; is && change(&f) {
			parts[k], changed = f.String(), true
		}
	}
	if changed {
		d.Was = strings.Join(parts, "; ")
	}
}

// noteFields stand before what is noted of figures: the day on which what they are of met and in which project, and the days since which another has its id, it has
// that of another, or a row showed it.
var noteFields = [...]string{"met=", "in=", "other=", "named=", "seen="}

// unknownFigure stands for a figure that is not known.
const unknownFigure = "?"

func numberText(x float64) string {
	if x = known(x); math.IsNaN(x) {
		return unknownFigure
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}

// valueText is a value without blanks.
func valueText(v audit.Value) string {
	if v.Word != "" {
		return url.QueryEscape(v.Word)
	}
	return numberText(v.Number)
}

// parseFigures reads what a decision keeps, by id. What is no figure is left out, so that what it is of counts as one that was not
// there.
func parseFigures(text string) map[string]held {
	all := map[string]held{}
	for part := range strings.SplitSeq(text, ";") {
		fields := strings.Fields(part)
		at := noPosition
		var of extent
		var notes [len(noteFields)]string
		for len(fields) > figureFields {
			last := fields[len(fields)-1]
			k := slices.IndexFunc(noteFields[:], func(field string) bool { return strings.HasPrefix(last, field) })
			if k >= 0 {
				notes[k] = strings.TrimPrefix(last, noteFields[k])
			} else if !of.parse(last) {
				break
			}
			fields = fields[:len(fields)-1]
		}
		if len(fields) == figureFields+1 {
			at = parsePlace(fields[figureFields])
		} else if len(fields) != figureFields {
			continue
		}
		severity, is := severityNamed(fields[1])
		margin := math.NaN()
		if fields[2] != unknownFigure {
			var err error
			if margin, err = strconv.ParseFloat(fields[2], 64); err != nil {
				continue
			}
		}
		if is {
			all[fields[0]] = held{fields[0], severity, margin, fields[3], fields[4], at, of, notes[0], notes[1], notes[2], notes[4], notes[3]}
		}
	}
	return all
}

// figureFields is how many fields the figures of an exception have before its place, its extent and the day on which it met, which those of an earlier version lack.
const figureFields = 5

func parsePlace(text string) orb.Point {
	lon, lat, _ := strings.Cut(text, "/")
	x, noNumber := strconv.ParseFloat(lon, 64)
	y, neither := strconv.ParseFloat(lat, 64)
	if noNumber != nil || neither != nil {
		return noPosition
	}
	return orb.Point{x, y}
}

// figuresID is the id at the start of the figures of one exception.
func figuresID(part string) string {
	id, _, _ := strings.Cut(strings.TrimSpace(part), " ")
	return id
}

// unplaced are figures without the places, which do not count where it is asked whether a decision is the same.
func unplaced(was string) string {
	parts := strings.Split(was, "; ")
	for i, part := range parts {
		if fields := strings.Fields(part); len(fields) > figureFields {
			parts[i] = strings.Join(fields[:figureFields], " ")
		}
	}
	return strings.Join(parts, "; ")
}

// figuresOfOne is the part of figures that is of one exception; empty where there is none.
func figuresOfOne(text, id string) string {
	f, there := parseFigures(text)[id]
	if !there {
		return ""
	}
	return f.String()
}

// worse tells whether figures are worse than they were: of a graver severity, of a margin that is smaller or not known any more, or with what is observed further
// from what is enough, which less that is required makes no better.
func (f held) worse(was held) bool {
	if math.IsNaN(f.margin) && !math.IsNaN(was.margin) {
		return true
	}
	return f.severity < was.severity || fell(was.margin, f.margin) || !was.weighed().enough(f.observed, was.observed)
}

// shownDigits is how many digits of a figure people see; as many more as tell two apart that are not the same.
const shownDigits = 5

// shownFigures are what was observed of what was required, then and now, rounded as people read it.
func shownFigures(then, now *held) (was, is string) {
	for digits := shownDigits; ; digits++ {
		was, is = then.shown(digits), now.shown(digits)
		if was != is || !now.differs(*then) || digits > 2*shownDigits {
			return was, is
		}
	}
}

func (f *held) shown(digits int) string {
	return shownValue(f.observed, digits) + " of " + shownValue(f.required, digits)
}

// shownValue is a value as valueText writes it, with so many digits.
func shownValue(text string, digits int) string {
	if x, err := strconv.ParseFloat(text, 64); err == nil {
		return strconv.FormatFloat(x, 'g', digits, 64)
	}
	if word, err := url.QueryUnescape(text); err == nil && text != unknownFigure {
		return word
	}
	return "unknown"
}

// differs tells whether what was observed or required is another.
func (f held) differs(was held) bool {
	return !sameText(f.observed, was.observed) || !sameText(f.required, was.required)
}

// sameText tells whether two values are the same, figures within the tolerance of the checks.
func sameText(a, b string) bool {
	if a == b {
		return true
	}
	x, noNumber := strconv.ParseFloat(a, 64)
	y, neither := strconv.ParseFloat(b, 64)
	return noNumber == nil && neither == nil && math.Abs(x-y) <= basis.Tolerance*max(math.Abs(x), math.Abs(y))
}

func severityNamed(word string) (audit.Severity, bool) {
	for _, severity := range [...]audit.Severity{audit.Shortfall, audit.Advisory, audit.Note} {
		if severity.String() == word {
			return severity, true
		}
	}
	return 0, false
}
