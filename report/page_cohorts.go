package report

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
)

type (
	// cohortsFact is the table of cohorts, which is read and printed without scripts too.
	cohortsFact struct {
		Told, Remarks string
		Rows          []cohortFact
	}
	// cohortFact is a row of it. Make, Type, Years and Class are empty where they are not stated, Interval of few units, of which Rate says so.
	cohortFact struct {
		Make, Type, Years, Class, Units, Uncounted, Known, Defective, Rate, Interval string
	}
)

// cohortsFact are the cohorts in their order; where there are more than the page has room for, those with the most units. It is nil where nothing is placed.
func (h *htmlPage) cohortsFact() *cohortsFact {
	all := h.cohorts
	if len(all) == 0 {
		return nil
	}
	f := &cohortsFact{Told: counted(len(all), "cohort", "cohorts"), Remarks: strings.Join(cohortRemarks(h.result.Network.RowsLeftOut), " ")}
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	if most := h.limits.rows; len(all) > most {
		f.Told = fmt.Sprintf("the %s with the most units of %s; audit.json has all", grouped(most), f.Told)
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(all[b].Units, all[a].Units) })
		order = order[:most]
		slices.Sort(order)
	}
	for _, i := range order {
		f.Rows = append(f.Rows, h.cohortFact(&all[i]))
	}
	return f
}

func (h *htmlPage) cohortFact(c *audit.Cohort) cohortFact {
	row := cohortFact{Make: h.cut(c.Make), Type: h.cut(c.Type), Units: grouped(c.Units), Known: grouped(c.Known()), Defective: between(c.Least, c.Most, grouped)}
	if c.FirstYear > 0 {
		row.Years = yearsOf(c)
	}
	if c.Class != 0 {
		row.Class = c.Class.String()
	}
	if c.Uncounted > 0 {
		row.Uncounted = counted(c.Uncounted, "assembly", "assemblies")
	}
	row.Rate = fewRate
	if _, low, high, _, ok := c.PerThousand(); ok {
		row.Rate = between(c.Least, c.Most, func(n int) string { return tenths(1000 * float64(n) / float64(c.Known())) })
		row.Interval = tenths(low) + " to " + tenths(high)
	}
	return row
}

// between is a count in words, of which only the least and the most are known where these differ.
func between(least, most int, words func(int) string) string {
	if least == most {
		return words(least)
	}
	return words(least) + " to " + words(most)
}

func tenths(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }
