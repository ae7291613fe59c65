package report

import (
	"context"
	"fmt"
	"math"
	"strconv"

	"dryarc/audit"
)

const notStated = "not stated"

// cohortsOf are the cohorts of a result, which are counted once: outputs that tell of them are written beside each other.
func (a *account) cohortsOf(r *audit.Result) []audit.Cohort {
	if a == nil {
		return r.Network.Cohorts()
	}
	a.cohortsOnce.Do(func() { a.cohorts = r.Network.Cohorts() })
	return a.cohorts
}

// yearsOf are the years of installation of a cohort.
func yearsOf(c *audit.Cohort) string {
	switch c.FirstYear {
	case 0:
		return notStated
	case c.LastYear:
		return strconv.Itoa(c.FirstYear)
	}
	return fmt.Sprintf("%d–%d", c.FirstYear, c.LastYear)
}

// orNotStated is a text, and that it is not stated where there is none.
func orNotStated(text string) string {
	if text == "" {
		return notStated
	}
	return text
}

// fewRate is what stands in place of a rate of few units.
var fewRate = fmt.Sprintf("fewer than %d: no rate", audit.FewestForARate)

// joinWords sets two remarks apart, of which the first may be empty.
func joinWords(one, other string) string {
	if one == "" {
		return other
	}
	return one + "; " + other
}

// writeCohorts writes the sheet of what hangs by make, type, years and pollution class.
func (b *book) writeCohorts(ctx context.Context) error {
	count, tenths := look{format: asCount}, look{format: asTenths}
	t := b.newTable(ctx, cohortsSheet, 2, []column{
		{"Make", 14, look{wrap: true}},
		{"Type", 18, look{bold: true, wrap: true}},
		{"Installed", 11, look{}},
		{"Pollution class", 10, look{}},
		{"Assemblies", 10.5, count},
		{"Units not known of", 11, count},
		{"Units in service", 10.5, count},
		{"Condition not stated", 11.5, count},
		{"Defective, at least", 11.5, count},
		{"Defective, at most", 11.5, count},
		{"Defective per 1000", 11.5, look{format: asTenths, bold: true}},
		{"95 % from", 9, tenths},
		{"95 % to", 9, tenths},
		{"Rate", 29, look{wrap: true, indent: 1}},
	})
	cohorts := b.account.cohortsOf(b.result)
	shown := min(len(cohorts), b.limits.rows)
	for i := range cohorts[:shown] {
		c := &cohorts[i]
		class := notStated
		if c.Class != 0 {
			class = c.Class.String()
		}
		rate, low, high, exact, ok := c.PerThousand()
		said := ""
		switch {
		case !ok:
			rate, low, high, said = math.NaN(), math.NaN(), math.NaN(), fewRate
		case !exact:
			rate, said = math.NaN(), "of several strings the worst is known"
		}
		if ok && c.Unstated > 0 {
			said = joinWords(said, "of the units whose condition is stated")
		}
		t.add(orNotStated(c.Make), orNotStated(c.Type), yearsOf(c), class, c.Assemblies, c.Uncounted, c.Units, c.Unstated, c.Least, c.Most, rate, low, high, said)
	}
	t.remarkCut(shown, len(cohorts), "cohorts; audit.json has all")
	n := b.result.Network
	t.remark(cohortRemarks(n.RowsLeftOut)...)
	return t.finish()
}

// cohortRemarks say what cohorts count, and what not.
func cohortRemarks(leftOut int) []string {
	return []string{
		fmt.Sprintf("The assemblies of all cohorts are those of the register that are placed; %s left out, in no cohort.", counted(leftOut, "row is", "rows are")),
		"A blank cell of Defective units is not none here: those units are of a condition that is not stated, and stand in no rate. Where only strings with defects state a figure, the rate is of those strings and higher than that of the cohort.",
		"The register states the worst string: of rows with several strings, or several phases, the defective units lie between at least and at most.",
		"95 %: the score interval of E. B. Wilson (1927), which takes units as independent; it says nothing of a make beyond these units. Units that are near each other or of one batch are not independent, so that the truth may lie outside more often.",
		"Make is what a column named Make, Maker or Manufacturer says that the project file carries through.",
	}
}
