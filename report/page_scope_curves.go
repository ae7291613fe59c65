package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/headroom"
)

// pageCurve is a curve that the page holds.
type pageCurve struct {
	scenario string // today of the lines as they stand
	result   *audit.Result
	curve    *headroom.Curve
}

// curveJSON is a curve as the scripts draw it.
type curveJSON struct {
	Scenario int64     `json:"scenario"` // text
	Line     int64     `json:"line"`     // text
	Duty     int64     `json:"duty"`     // text
	Check    int64     `json:"check"`    // text
	Quantity int64     `json:"quantity"` // text, with the load case
	Unit     int64     `json:"unit"`     // text
	Low      number    `json:"low"`      // today
	High     number    `json:"high"`
	From     number    `json:"from"`
	To       number    `json:"to"`
	Counted  int       `json:"counted"`
	Already  int       `json:"already"`
	Until    []number  `json:"until"`  // up to which all meet, fewer than 1 %, 10 %, half do not
	Values   []float64 `json:"values"` // where the share falls
	Falls    []int     `json:"falls"`  // by so many assemblies
	Marks    []int64   `json:"marks"`  // texts
	At       []float64 `json:"at"`     // of the marks
	Lacks    int64     `json:"lacks"`  // text: why assemblies could not be judged
}

// curveShares are the shares that curves are summed up by.
var curveShares = [...]float64{0, headroom.OnePercent, headroom.TenPercent, headroom.Half}

// chooseCurves takes the curves that the page has room for, those of lines of scenarios first.
func (p *scopePage) chooseCurves() {
	about := map[int]bool{}
	for _, s := range p.scope.Scenarios {
		for i := range s.routes {
			about[s.routes[i].line] = true
		}
	}
	var list []pageCurve
	for _, c := range p.scope.allHeadroom() {
		list = append(list, pageCurve{c.scenario, p.result, &c.Curve})
	}
	slices.SortStableFunc(list, func(a, b pageCurve) int { return int(oneIf(about[b.curve.Line]) - oneIf(about[a.curve.Line])) })
	points := 0
	for i := range list {
		if points += len(list[i].curve.Steps); i >= p.limits.curves || points > p.limits.points {
			p.left = len(list) - i
			list = list[:i]
			break
		}
	}
	p.curves = list
}

func (c *pageCurve) line() string {
	return c.result.Project.Symbols.Text(c.result.Network.Lines[c.curve.Line].Symbol)
}

// rises names what rises along the curve.
func (c *pageCurve) rises() string {
	if c.curve.Case != "" {
		return c.curve.Drive.Quantity.String() + ", " + c.curve.Case
	}
	return c.curve.Drive.Quantity.String()
}

func (c *pageCurve) data(t *texts) curveJSON {
	x := c.curve
	out := curveJSON{Scenario: t.number(c.scenario), Line: t.number(c.line()), Duty: t.number(x.Duty.String()), Check: t.number(c.result.Checks[x.Check].ID),
		Quantity: t.number(c.rises()), Unit: t.number(x.Drive.Quantity.Measure()), Low: finite(x.NowLow), High: finite(x.NowHigh), From: finite(x.From), To: finite(x.To),
		Counted: x.Counted, Already: x.Already, Values: []float64{}, Falls: []int{}, Marks: []int64{}, At: []float64{}}
	out.Lacks = t.number(lacksInWords(x))
	for _, share := range curveShares {
		out.Until = append(out.Until, finite(x.Until(share)))
	}
	for _, s := range x.Steps {
		out.Values, out.Falls = append(out.Values, s.Value), append(out.Falls, s.Assemblies)
	}
	for _, m := range x.Marks {
		if math.IsInf(m.Value, 0) || math.IsNaN(m.Value) {
			continue
		}
		out.Marks, out.At = append(out.Marks, t.number(m.Name)), append(out.At, m.Value)
	}
	return out
}

// curveFact is a curve as a row of the table.
type curveFact struct {
	Index                                                 int
	Scenario, Line, Duty, Check, Rises, Now, Counted, Not string
	Until                                                 []string
	Marks, First, Lacks                                   string
}

func (c *pageCurve) fact(index int, cut func(string) string) curveFact {
	x := c.curve
	f := curveFact{Index: index, Scenario: cut(c.scenario), Line: cut(c.line()), Duty: x.Duty.String(), Check: c.result.Checks[x.Check].ID, Rises: cut(c.rises()),
		Counted: grouped(x.Counted), Marks: cut(strings.Join(marksInWords(x), "; ")), First: cut(firstInWords(c.result, x))}
	if x.NotAssessed > 0 {
		f.Not, f.Lacks = grouped(x.NotAssessed), cut(lacksInWords(x))
	}
	switch measure := x.Drive.Quantity.Measure(); {
	case unknown(x.NowLow):
		f.Now = "not known"
	case x.NowLow != x.NowHigh:
		f.Now = fmt.Sprintf("%.5g to %.5g %s", x.NowLow, x.NowHigh, measure)
	default:
		f.Now = fmt.Sprintf("%.5g %s", x.NowLow, measure)
	}
	for _, share := range curveShares {
		f.Until = append(f.Until, untilInWords(x.Until(share)))
	}
	return f
}

// untilInWords is the value up to which so many meet.
func untilInWords(value float64) string {
	switch {
	case math.IsInf(value, -1):
		return "nowhere"
	case math.IsInf(value, 1):
		return "to the end"
	case math.IsNaN(value):
		return ""
	}
	return fmt.Sprintf("%.5g", floored(value))
}

// floored is a figure of five digits that is not above another, so that what is said to meet up to it does.
func floored(x float64) float64 {
	if x == 0 || math.IsInf(x, 0) || math.IsNaN(x) {
		return x
	}
	return flooredTo(x, math.Pow(10, 4-math.Floor(math.Log10(math.Abs(x)))))
}

// flooredTo is the greatest figure in parts, as hundredths where there are 100, that is not above another, but for what reckoning with floating
// point loses.
func flooredTo(x, parts float64) float64 {
	n := math.Round(x * parts)
	for n/parts > x+1e-12*math.Abs(x) {
		n--
	}
	return n / parts
}
