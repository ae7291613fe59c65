package report

import (
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/headroom"
)

// headroomRecord is a curve as programs read it.
type headroomRecord struct {
	Line        string              `json:"line"`
	Duty        string              `json:"duty"`
	Check       string              `json:"check"`
	Quantity    string              `json:"quantity"`
	LoadCase    string              `json:"load_case"`
	Unit        string              `json:"unit"`
	Assumes     string              `json:"assumes"` // what moves with the quantity, all else as it is; empty where nothing does
	NowLow      number              `json:"now_low"`
	NowHigh     number              `json:"now_high"`
	From        number              `json:"from"`
	To          number              `json:"to"` // null where there is no end
	Counted     int                 `json:"counted"`
	NotAssessed int                 `json:"not_assessed"`
	ShortNow    int                 `json:"falls_short_now"`
	Already     int                 `json:"meets_nowhere"`
	First       number              `json:"first"` // null where so many meet nowhere on the curve, or up to its end
	P1          number              `json:"p1"`
	P10         number              `json:"p10"`
	P50         number              `json:"p50"`
	Curve       []headroomPoint     `json:"curve"`
	Marks       []headroomMark      `json:"marks"`
	FailFirst   []headroomStructure `json:"fail_first"`
	Found       map[string]int      `json:"limits"`
	Lacks       map[string]int      `json:"not_assessed_since"` // assemblies by reason
}

type (
	// headroomPoint is a value and the share that still meets just above it.
	headroomPoint struct {
		Value number `json:"value"`
		Share number `json:"share"`
	}
	headroomMark struct {
		Name  string `json:"name"`
		Value number `json:"value"`
		Share number `json:"share"` // that meets at it
	}
	headroomStructure struct {
		Structure  string `json:"structure"`
		Value      number `json:"value"` // null where an assembly meets nowhere on the curve
		Assemblies int    `json:"assemblies"`
	}
)

// movesWith says what moves with a quantity that rises; of others all else stays.
var movesWith = map[audit.Quantity]string{
	audit.DriveVoltage:        "the nominal voltage and a stated creepage voltage rise in proportion",
	audit.DriveLightningLevel: "Um is taken to be one that it goes with",
}

// headroomRecords are the curves of a result as programs read them.
func headroomRecords(r *audit.Result, curves []headroom.Curve) iter.Seq[headroomRecord] {
	return func(yield func(headroomRecord) bool) {
		for i := range curves {
			if !yield(headroomRecordOf(r, &curves[i])) {
				return
			}
		}
	}
}

func headroomRecordOf(r *audit.Result, c *headroom.Curve) headroomRecord {
	rec := headroomRecord{Line: r.Project.Symbols.Text(r.Network.Lines[c.Line].Symbol), Duty: c.Duty.String(), Check: r.Checks[c.Check].ID,
		Quantity: c.Drive.Quantity.String(), LoadCase: c.Case, Unit: c.Drive.Quantity.Measure(), Assumes: movesWith[c.Drive.Quantity], NowLow: finite(c.NowLow), NowHigh: finite(c.NowHigh),
		From: finite(c.From), To: finite(c.To), Counted: c.Counted, NotAssessed: c.NotAssessed, ShortNow: c.ShortNow, Already: c.Already,
		First: finite(c.Until(0)), P1: finite(c.Until(headroom.OnePercent)), P10: finite(c.Until(headroom.TenPercent)), P50: finite(c.Until(headroom.Half)),
		Curve: []headroomPoint{}, Marks: []headroomMark{}, FailFirst: []headroomStructure{},
		Found: map[string]int{"by_figures": c.ByFigures, "closed_in": c.ClosedIn, "unmoved": c.Unmoved, "to_the_end": c.Endless, "then_not_assessed": c.Unjudged}}
	rec.Lacks = map[string]int{}
	for _, l := range c.Lacks {
		rec.Lacks[lackInWords(l.Reason)] += l.Assemblies
	}
	left := c.Counted - c.Already
	for _, s := range c.Steps {
		left -= s.Assemblies
		rec.Curve = append(rec.Curve, headroomPoint{number(s.Value), number(float64(left) / float64(c.Counted))})
	}
	for _, m := range c.Marks {
		rec.Marks = append(rec.Marks, headroomMark{m.Name, number(m.Value), finite(c.Share(m.Value))})
	}
	for _, f := range c.First {
		rec.FailFirst = append(rec.FailFirst, headroomStructure{r.Network.Number(f.Structure), finite(f.Value), f.Assemblies})
	}
	return rec
}

// finite is a figure that is null where a curve has no such value.
func finite(x float64) number {
	if math.IsInf(x, 0) {
		return number(math.NaN())
	}
	return number(x)
}

// lackInWords is why an assembly is on no curve: what the check lacks of it, or where it can be judged that there is nothing to rise from.
func lackInWords(why audit.Reason) string {
	if why == audit.NoReason {
		return "no value known to rise from"
	}
	return why.String()
}

// lacksInWords says why assemblies could not be judged; empty where all could.
func lacksInWords(c *headroom.Curve) string {
	var told []string
	for _, l := range c.Lacks {
		told = append(told, fmt.Sprintf("%s at %s", lackInWords(l.Reason), grouped(l.Assemblies)))
	}
	return strings.Join(told, "; ")
}

// firstInWords names the structures that fail first.
func firstInWords(r *audit.Result, c *headroom.Curve) string {
	var names []string
	for _, f := range c.First {
		at := "at no value"
		if !math.IsInf(f.Value, 0) {
			at = untilInWords(f.Value)
		}
		names = append(names, fmt.Sprintf("%s (%s)", r.Network.Number(f.Structure), at))
	}
	return strings.Join(names, ", ")
}

// marksInWords says what share meets at each mark of a curve, as far as that says something: up to the first at which nothing does.
func marksInWords(c *headroom.Curve) (texts []string) {
	marks := slices.Clone(c.Marks)
	slices.SortStableFunc(marks, func(a, b headroom.Mark) int { return int(math.Copysign(1, a.Value-b.Value)) })
	for _, m := range marks {
		share := 100 * c.Share(m.Value)
		if math.IsNaN(share) {
			return nil
		}
		texts = append(texts, fmt.Sprintf("%s (%.6g %s): %.1f %%", m.Name, m.Value, c.Drive.Quantity.Measure(), math.Floor(10*share)/10))
		if share == 0 {
			break
		}
	}
	return texts
}
