package report

import (
	"context"
	"io"
	"iter"
	"math"
	"slices"
	"strconv"

	"dryarc/audit"
	"dryarc/audit/risk"

	"github.com/paulmach/orb"
)

type (
	// riskRecord is a structure of a ranking as programs read it.
	riskRecord struct {
		By          string `json:"by"`
		Rank        int    `json:"rank"` // the same for the same bounds
		Line        string `json:"line"`
		Structure   string `json:"structure"` // of the worst string
		Alone       number `json:"risk_worst_string"`
		Together    number `json:"risk_as_if_independent"`
		AtLeast     bool   `json:"at_least"`
		Strings     int    `json:"strings"`
		NotAssessed int    `json:"assemblies_not_assessed"`
		Circuit     string `json:"circuit"` // of the worst string, as the next three
		Phase       string `json:"phase"`
		Side        string `json:"side"`
		At          origin `json:"at"`
	}
	// riskLineRecord is a line, with the figures of its worst string. Severities are in the measure of the project, voltages in kV.
	riskLineRecord struct {
		riskRecord
		Hangs         string `json:"hangs"`
		Class         word   `json:"pollution_class"` // null of overvoltages
		Stress        number `json:"stress"`
		StressSigma   number `json:"stress_sigma"`
		Altitude      number `json:"altitude_factor"`
		Strength      number `json:"strength"`
		StrengthSigma number `json:"strength_sigma"`
		Normal        number `json:"risk_worst_string_normal_strength"` // null of pollution; the others are by the strength curve
	}
	// riskCountRecord says of a ranking how much of it there is and what stands in it nowhere; riskLackRecord why.
	riskCountRecord struct {
		By       string `json:"by"`
		Lines    int    `json:"lines"`
		Ranked   int    `json:"structures_ranked"`
		Left     int    `json:"structures_not_assessed"`
		Bare     int    `json:"structures_without_assemblies"`
		NotAsked int    `json:"structures_not_asked_for"`
	}
	riskLackRecord struct {
		By         string `json:"by"`
		Why        string `json:"why"`
		Assemblies int    `json:"assemblies"`
	}
	// riskRuleRecord are the figures of lines, null for all without others.
	riskRuleRecord struct {
		Lines   []string        `json:"lines"`
		Figures *audit.RiskRule `json:"figures"`
	}
)

func riskRecordOf(r *audit.Result, row *riskRow) riskRecord {
	p, n := r.Project, r.Network
	hangs := p.Assemblies.At(row.row)
	strings := row.strings
	if row.kind != risk.Pollution {
		strings = row.kind.Overvoltage(n.Criteria(row.line)).Strings
	}
	return riskRecord{By: row.kind.String(), Rank: row.rank, Line: p.Symbols.Text(n.Lines[row.line].Symbol), Structure: n.Number(row.structure),
		Alone: number(row.bounds.Alone), Together: number(row.bounds.Together), AtLeast: row.atLeast, Strings: strings, NotAssessed: row.left,
		Circuit: p.Symbols.Text(hangs.Circuit), Phase: p.Symbols.Text(hangs.Phase), Side: hangs.Side.String(), At: originOf(p, hangs.Source)}
}

func riskLineRecordOf(r *audit.Result, row *riskRow) riskLineRecord {
	x := risk.WorstAt(r.Network, row.kind, row.line, row.structure, row.row)
	a := r.Network.Assembly(uint32(row.row))
	rec := riskLineRecord{riskRecord: riskRecordOf(r, row), Hangs: a.Hanging(), Stress: number(x.Stress), StressSigma: number(x.StressSigma), Altitude: number(x.Altitude),
		Strength: number(x.Strength), StrengthSigma: number(x.StrengthSigma), Normal: number(math.NaN())}
	if x.Kind == risk.Pollution {
		rec.Class = word(x.Class.String())
	} else {
		rec.Normal = number(x.R)
	}
	return rec
}

func riskRules(p *audit.Project) iter.Seq[riskRuleRecord] {
	return func(yield func(riskRuleRecord) bool) {
		if !yield(riskRuleRecord{nil, &p.Criteria.Risk}) {
			return
		}
		for i := range p.Rules {
			if rules := &p.Rules[i]; rules.States("risk") && !yield(riskRuleRecord{names(p, rules.Lines), &rules.Criteria.Risk}) {
				return
			}
		}
	}
}

// writeRiskJSON writes the ranking by risk for programs.
func writeRiskJSON(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	ranked, err := a.risks(ctx, r)
	if err != nil {
		return err
	}
	s := newJSONStream(ctx, w)
	s.member("run", r.Run.ID)
	s.member("as_of", r.Run.AsOf)
	s.member("caution", Caution)
	about := riskRemarks
	if !statesRisk(r.Project) {
		about = slices.Concat([]string{noRiskFigures}, about)
	}
	s.member("about", about)
	list(s, "figures", riskRules(r.Project))
	list(s, "rankings", func(yield func(riskCountRecord) bool) {
		for i := range ranked.Rankings {
			k := &ranked.Rankings[i]
			if !yield(riskCountRecord{k.Kind.String(), len(k.Lines), len(k.Places), k.Left, k.Bare, k.NotAsked}) {
				return
			}
		}
	})
	list(s, "not_assessed", func(yield func(riskLackRecord) bool) {
		for i := range ranked.Rankings {
			k := &ranked.Rankings[i]
			for _, l := range k.Lacks {
				if !yield(riskLackRecord{k.Kind.String(), string(l.Why), l.Assemblies}) {
					return
				}
			}
		}
	})
	list(s, "lines", func(yield func(riskLineRecord) bool) {
		for i := range ranked.Rankings {
			for row := range riskLines(&ranked.Rankings[i]) {
				if !yield(riskLineRecordOf(r, row)) {
					return
				}
			}
		}
	})
	list(s, "structures", func(yield func(riskRecord) bool) {
		for i := range ranked.Rankings {
			for row := range riskPlaces(r.Network, &ranked.Rankings[i]) {
				if !yield(riskRecordOf(r, row)) {
					return
				}
			}
		}
	})
	return s.end()
}

// riskFeature is a structure of an assessed line as the GIS reads it, with its bounds and ranks by each kind that is asked for.
type riskFeature struct {
	position        orb.Point
	line, structure string
	by              []riskOfPlace
}

// riskOfPlace is how a structure stands by one kind; nil and 0 where it could not be assessed.
type riskOfPlace struct {
	kind  risk.Kind
	place *risk.Place
	rank  int
}

func (f *riskFeature) appendJSON(b []byte) []byte {
	b = append(b, `{"type":"Feature","geometry":`...)
	if lon, lat := f.position[0], f.position[1]; unknown(lon) || unknown(lat) {
		b = append(b, "null"...)
	} else {
		b = appendNumber(append(b, `{"type":"Point","coordinates":[`...), lon)
		b = appendNumber(append(b, ','), lat)
		b = append(b, "]}"...)
	}
	b = appendText(append(b, `,"properties":{"line":`...), f.line)
	b = appendText(append(b, `,"structure":`...), f.structure)
	for _, by := range f.by {
		key := `,"` + by.kind.String()
		alone, together, rank := number(math.NaN()), number(math.NaN()), "null"
		left, atLeast := "null", "null"
		if by.place != nil {
			alone, together, rank = number(by.place.Alone), number(by.place.Together), strconv.Itoa(by.rank)
			left, atLeast = strconv.Itoa(int(by.place.Left)), strconv.FormatBool(by.place.AtLeast)
		}
		b = append(append(b, key+`_rank":`...), rank...)
		b = alone.appendJSON(append(b, key+`_worst_string":`...))
		b = together.appendJSON(append(b, key+`_as_if_independent":`...))
		b = append(append(b, key+`_at_least":`...), atLeast...)
		b = append(append(b, key+`_not_assessed":`...), left...)
	}
	return append(b, "}}"...)
}

// writeRiskLayer writes every structure of the assessed lines with its ranks.
func writeRiskLayer(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	ranked, err := a.risks(ctx, r)
	if err != nil {
		return err
	}
	s := newCollection(ctx, w, r)
	list(s, "features", riskFeatures(r, ranked))
	return s.end()
}

// riskFeatures goes through the structures; each feature is overwritten by the next.
func riskFeatures(r *audit.Result, ranked *risk.Risk) iter.Seq[*riskFeature] {
	return func(yield func(*riskFeature) bool) {
		type rankedPlace struct{ place, rank int32 } // place is 1 + its place in the ranking
		at := make([][]rankedPlace, len(ranked.Rankings))
		for i := range ranked.Rankings {
			at[i] = make([]rankedPlace, r.Network.StructureCount())
			var ranks risk.Ranks
			for k := range ranked.Rankings[i].Places {
				p := &ranked.Rankings[i].Places[k]
				at[i][p.Structure] = rankedPlace{int32(k + 1), int32(ranks.Next(p.Bounds))}
			}
		}
		f := riskFeature{by: make([]riskOfPlace, len(ranked.Rankings))}
		for l := range r.Network.Lines {
			if !r.Lines[l].Assessed {
				continue
			}
			line := &r.Network.Lines[l]
			f.line = r.Project.Symbols.Text(line.Symbol)
			for i := line.First; i < line.End; i++ {
				f.position, f.structure = r.Network.Position(i), r.Network.Number(i)
				for k := range ranked.Rankings {
					f.by[k] = riskOfPlace{kind: ranked.Rankings[k].Kind}
					if of := at[k][i]; of.place > 0 {
						f.by[k].place, f.by[k].rank = &ranked.Rankings[k].Places[of.place-1], int(of.rank)
					}
				}
				if !yield(&f) {
					return
				}
			}
		}
	}
}
