package report

import (
	"cmp"
	"context"
	"fmt"
	"iter"
	"math"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/risk"
)

const (
	riskSheet = "Risk"
	riskName  = "risk" // that asks for it
)

// risks are the rankings of a result, which are found once: outputs that tell of them are written beside each other.
func (a *account) risks(ctx context.Context, r *audit.Result) (*risk.Risk, error) {
	a.riskOnce.Do(func() { a.risk, a.unranked = risk.Rank(ctx, r, r.Workers()) })
	return a.risk, a.unranked
}

// riskRemarks say what the ranking is, and what it is not.
var riskRemarks = []string{
	"A ranking of lines and structures by the probability that a string flashes over in one event: one wetting of the polluted strings, one overvoltage of lightning or of switching. How many events there are is not known here, so that nothing says how often anything happens.",
	"The truth lies between two bounds: the worst string alone, and more strings as if they were independent, which strings that are wetted or stressed together are not. Of pollution these are all strings of the structure or the line, 1 − Π(1 − R); of overvoltages as many as the project states, each as weak as the worst.",
	"All figures are the project's own or of its register; where it states none, nothing stands in. A string without a word on defective units is taken for sound, as verdicts take it; of rows that repeat each other and differ the worst counts. In their far tails the distributions tell an order at most; 1E-300 stands for whatever is less, of which no order is told.",
}

// besideRisk are the criteria other than risk by which the ranking goes.
var besideRisk = []string{"default_class", "creepage_voltage", "creepage_altitude_exponent", "switching_exponent", "gap_factor", "arcing_distance"}

// riskFigures are the figures of the criteria that the ranking goes by, line by line: of all lines, then of those on which others hold.
func riskFigures(p *audit.Project) (texts []string) {
	add := func(of string, c *audit.Criteria, states func(key string) bool) {
		figures := ""
		if c.Risk.IsStated() && states(riskName) {
			figures = c.Risk.String()
		}
		for _, k := range c.List() {
			if k.Stated && slices.Contains(besideRisk, k.Key) && states(k.Key) {
				if figures != "" {
					figures += "; "
				}
				figures += k.Key + " " + k.Value
			}
		}
		if figures != "" {
			texts = append(texts, of+": "+figures+".")
		}
	}
	if !ranksAny(p) {
		return []string{riskUnstated}
	}
	add("Figures of the project", &p.Criteria, func(string) bool { return true })
	for i := range p.Rules {
		rules := &p.Rules[i]
		add("On "+touched(p, audit.Assumption{Lines: rules.Lines}, 3), &rules.Criteria, rules.States)
	}
	return texts
}

// riskUnstated is said where nothing can be ranked.
const riskUnstated = "The project states no figures under risk, so nothing is ranked: it wants risk.site_severity, risk.withstand and risk.measure, or risk.lightning, or risk.switching."

// ranksAny tells whether the project states figures of risk for any line.
func ranksAny(p *audit.Project) bool {
	return p.Criteria.Risk.IsStated() || slices.ContainsFunc(p.Rules, func(r audit.Rules) bool { return r.States(riskName) && r.Criteria.Risk.IsStated() })
}

// riskLacks say of a ranking what stands in it nowhere, and why.
func riskLacks(k *risk.Ranking) (texts []string) {
	for _, l := range k.Lacks {
		texts = append(texts, fmt.Sprintf("%s, not assessed: %s, %s.", k.Kind, counted(l.Assemblies, "assembly", "assemblies"), l.Why))
	}
	for _, of := range [...]struct {
		count int
		why   string
	}{{len(k.Left), "none of their strings could be assessed"}, {k.Bare, "nothing is registered there along which the voltage of a phase stands"}, {k.NotAsked, "the criteria of their lines do not ask for it"}} {
		if of.count > 0 {
			texts = append(texts, fmt.Sprintf("%s, in no rank: %s, %s.", k.Kind, counted(of.count, "structure", "structures"), of.why))
		}
	}
	return texts
}

// riskLeftOut says what is of no line, and so in no bound.
func riskLeftOut(n *audit.Network) (texts []string) {
	if structures := n.StructuresLeftOut(); structures > 0 {
		texts = append(texts, counted(structures, "structure is", "structures are")+" left out of the audit, see Faults, and in no rank: the bounds of lines that may have them are at least what they say.")
	}
	if rows := n.RowsLeftOut; rows > 0 {
		texts = append(texts, counted(rows, "row", "rows")+" of the register left out, see Faults: those that repeat another count where it stands, what hangs by the others is in no rank.")
	}
	return texts
}

// riskRow is a line or a structure of a ranking.
type riskRow struct {
	kind      risk.Kind
	of        string
	rank      int
	line      int
	structure int // of the worst string
	row       int // of the worst string
	bounds    risk.Bounds
	strings   int
	left      int
	atLeast   bool
	has       *risk.Line // of a line
}

// riskLines are the lines of a ranking, and riskPlaces its structures; each row is overwritten by the next.
func riskLines(k *risk.Ranking) iter.Seq[*riskRow] {
	return func(yield func(*riskRow) bool) {
		var ranks risk.Ranks
		var row riskRow
		for i := range k.Lines {
			l := &k.Lines[i]
			row = riskRow{k.Kind, "line", ranks.Next(l.Bounds), l.Line, l.Worst, l.Row, l.Bounds, l.Strings, l.Assemblies, l.AtLeast, l}
			if !yield(&row) {
				return
			}
		}
	}
}

func riskPlaces(n *audit.Network, k *risk.Ranking) iter.Seq[*riskRow] {
	return func(yield func(*riskRow) bool) {
		var ranks risk.Ranks
		var row riskRow
		for i := range k.Places {
			p := &k.Places[i]
			structure := int(p.Structure)
			row = riskRow{k.Kind, "structure", ranks.Next(p.Bounds), n.LineOfStructure(structure), structure, int(p.Assembly), p.Bounds, int(p.Strings), int(p.Left), p.AtLeast, nil}
			if !yield(&row) {
				return
			}
		}
	}
}

// The columns of sheet Risk whose cells formulas name.
const (
	riskAlone = 'F' + iota
	riskTogether
	_
	_
	_
	_
	_
	_
	riskStress
	riskStressSigma
	riskTest
	riskVoltage
	riskSlope
	riskScatter
	riskAltitude
	riskStrength
	riskStrengthSigma
	_
	riskParallel
	riskParallelSigma
)

// asRisk is the format of a probability.
const asRisk = "0.00E+00"

// writeRisk writes the sheet of the ranking by risk. Rows of the worst string are formulas of the figures beside them.
func (b *book) writeRisk(ctx context.Context) error {
	ranked, err := b.account.risks(ctx, b.result)
	if err != nil {
		return err
	}
	probability, figure := look{format: asRisk}, look{format: "0.0000"}
	t := b.newTableUnder(ctx, riskSheet, 5, []column{
		{"By", 9, look{}},
		{"Rank of", 8, look{}},
		{"Rank", 6, look{format: asCount}},
		{"Line", 12, look{indent: 1, wrap: true}},
		{"Structure", 9, look{bold: true}},
		{"Risk of the worst string alone", 11, look{format: asRisk, bold: true}},
		{"Risk of more strings, as if independent", 12.5, look{format: asRisk, bold: true}},
		{"Strings of that", 9, look{format: asCount}},
		{"Bounds", 8, look{indent: 1}},
		{"Assemblies not assessed", 10, look{format: asCount}},
		{"Worst string", 22, look{wrap: true, indent: 1}},
		{"Phase", 6, look{wrap: true}},
		{"Pollution class", 8, look{}},
		{"Severity S50 of the site, or mean overvoltage (kV)", 12.5, figure},
		{"Its σ (of the logarithm, or kV)", 11.5, figure},
		{"A of the sound string, or U50 at sea level (kV)", 13, figure},
		{"Voltage along it (kV)", 11.5, figure},
		{"Exponent a", 10.5, figure},
		{"σ_U of the test, or z (share)", 8.5, figure},
		{"Altitude factor", 8, figure},
		{"Severity W50 withstood, or U50 at the site (kV)", 12.5, figure},
		{"σ of W50 (of the logarithm), or Z (kV)", 11.5, figure},
		{"Risk of the worst string by a normal strength", 13, probability},
		{"U50 of the weakest of more strings (kV)", 14, figure},
		{"Its Z (kV)", 8.5, figure},
		{"Read from", 20, look{wrap: true, indent: 1, color: slateSoft}},
	}, 4*headingHeight/2)
	var lacks []string
	most := b.limits.rows / (2 * max(1, len(ranked.Rankings))) // lines, and structures, of each
	for i := range ranked.Rankings {
		k, integrals := &ranked.Rankings[i], 0
		for _, rows := range [...]iter.Seq[*riskRow]{riskLines(k), riskPlaces(b.result.Network, k)} {
			shown := 0
			for row := range rows {
				if shown++; shown > most {
					break
				}
				t.add(b.riskCells(t, row, &integrals)...)
			}
		}
		if len(k.Places) > most {
			lacks = append(lacks, fmt.Sprintf("%s: the first %s of %s structures; risk.json and risk.geojson have all.", k.Kind, grouped(most), grouped(len(k.Places))))
		}
		lacks = append(lacks, riskLacks(k)...)
	}
	t.remark(riskFigures(b.result.Project)...)
	t.remark(lacks...)
	t.remark(riskLeftOut(b.result.Network)...)
	if slices.ContainsFunc(ranked.Rankings, func(k risk.Ranking) bool { return k.Kind != risk.Pollution && len(k.Places) > 0 }) {
		t.remark(fmt.Sprintf("The risks of overvoltages by the strength curve are formulas in the first %d rows of each kind in which the risk is %g or more, figures in all others: the formula of such a row may be copied there, for the far tail with more terms; explain prints what it goes by.", mostIntegrals, leastIntegral))
	}
	t.remark(riskRemarks...)
	t.remark(Caution)
	return t.finish()
}

// riskCells are the cells of a row. integrals counts the rows of its kind that have those as formulas.
func (b *book) riskCells(t *table, row *riskRow, integrals *int) []any {
	r := b.result
	x := risk.WorstAt(r.Network, row.kind, row.line, row.structure, row.row)
	number := t.rows.row + 1
	alone, together := any(row.bounds.Alone), any(row.bounds.Together)
	var strength, sigma any
	normal, parallel, parallelSigma := any(math.NaN()), any(math.NaN()), any(math.NaN())
	class, test, voltage, slope, scatter, bounds := "", x.SeaLevelKV, math.NaN(), math.NaN(), x.Scatter, "both"
	if row.atLeast {
		bounds = "at least"
	}
	if x.Kind == risk.Pollution {
		class, test, voltage, slope, scatter = x.Class.String(), x.TestKV(), x.VoltageKV, x.Slope, x.TestSigma
		strength, sigma = computed{severityWithstood.at(number), x.Strength}, computed{severityDeviation.at(number), x.StrengthSigma}
		if x.Strength > 0 && row.bounds.Alone > risk.LeastRisk {
			alone = computed{riskBySeverity.at(number), row.bounds.Alone}
		}
	} else {
		strength, sigma = computed{strengthAtSite.at(number), x.Strength}, computed{strengthDeviation.at(number), x.StrengthSigma}
		if normal = x.R; x.R > risk.LeastRisk {
			normal = computed{normalRisk.at(number), x.R}
		}
		share := fmt.Sprintf("%d^(-1/5)", x.Strings)
		parallel = computed{fmt.Sprintf("%[1]c%[3]d-4*%[2]c%[3]d*(1-%[4]s)", riskStrength, riskStrengthSigma, number, share), x.ParallelKV}
		parallelSigma = computed{fmt.Sprintf("%c%d*%s", riskStrengthSigma, number, share), x.ParallelSigmaKV}
		if *integrals < mostIntegrals && x.ParallelSigmaKV >= leastScatter*x.StressSigma && row.bounds.Alone >= leastIntegral {
			*integrals++
			alone = computed{curveRisk.at(number), row.bounds.Alone}
			together = computed{curveParallelRisk.at(number), row.bounds.Together}
		}
	}
	a := r.Network.Assembly(uint32(row.row))
	hangs, from := a.Hanging(), originOf(r.Project, a.Source)
	if a.Defective > 0 {
		hangs += fmt.Sprintf(", %d defective", a.Defective)
	}
	input := func(v float64) any {
		return styled{v, look{format: "0.0000", color: inputLook.color, fill: inputLook.fill}}
	}
	return []any{row.kind.String(), row.of, row.rank, r.Project.Symbols.Text(r.Network.Lines[row.line].Symbol), r.Network.Number(row.structure), alone, together,
		cmp.Or(x.Strings, row.strings), bounds, row.left, hangs, r.Project.Symbols.Text(a.Phase), class, input(x.Stress), input(x.StressSigma), input(test), input(voltage), input(slope), input(scatter), input(x.Altitude),
		strength, sigma, normal, parallel, parallelSigma, from.String()}
}

// The integral of the strength curve as a formula is a sum of 1601 terms, a hundredth of a standard deviation of the overvoltages apart. It agrees
// with the integral to 1e-9 where the strength scatters by a tenth of them or more and the risk is not in the far tail, where the sum would end before what
// counts and lose digits. It takes its time, so that few rows have it.
const (
	mostIntegrals = 250 // rows of each kind
	leastScatter  = 0.1
	leastIntegral = 1e-5
)

// curveIntegral is that formula, by the cells of U50 and Z.
func curveIntegral(u50, z string) string {
	const t = "(ROW(INDEX($A:$A,1):INDEX($A:$A,1601))-801)/100" // of rows that stay, whichever are put between
	from := "(1+({stress}+{stressSigma}*" + t + "-" + u50 + ")/(4*" + z + "))"
	return "SUMPRODUCT(EXP(-0.5*(" + t + ")^2)*(1-EXP(-LN(2)*((" + from + "+ABS(" + from + "))/2)^5)))*0.01/SQRT(2*PI())"
}

// inRow is a formula of sheet Risk that names columns, as one of a row, its cells.
type inRow []string

// riskFormula parts a formula where the number of the row goes.
func riskFormula(formula string) inRow {
	var cells []string
	for name, column := range map[string]rune{"stress": riskStress, "stressSigma": riskStressSigma, "test": riskTest, "voltage": riskVoltage, "slope": riskSlope, "scatter": riskScatter,
		"altitude": riskAltitude, "strength": riskStrength, "strengthSigma": riskStrengthSigma, "parallel": riskParallel, "parallelSigma": riskParallelSigma} {
		cells = append(cells, "{"+name+"}", string(column)+"{}")
	}
	return strings.Split(strings.NewReplacer(cells...).Replace(formula), "{}")
}

func (f inRow) at(row int) string { return strings.Join(f, strconv.Itoa(row)) }

var (
	severityWithstood = riskFormula("({test}/({voltage}*{altitude}))^(1/{slope})")
	severityDeviation = riskFormula("{scatter}/{slope}")
	riskBySeverity    = riskFormula("NORMSDIST(LN({stress}/{strength})/SQRT({stressSigma}^2+{strengthSigma}^2))")
	strengthAtSite    = riskFormula("{test}/{altitude}")
	strengthDeviation = riskFormula("{scatter}*{strength}")
	normalRisk        = riskFormula("NORMSDIST(({stress}-{strength})/SQRT({stressSigma}^2+{strengthSigma}^2))")
	curveRisk         = riskFormula(curveIntegral("{strength}", "{strengthSigma}"))
	curveParallelRisk = riskFormula(curveIntegral("{parallel}", "{parallelSigma}"))
)
