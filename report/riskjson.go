package report

import (
	"bytes"
	"context"
	"encoding/json"
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
		Ranked        int    `json:"structures_ranked"`
		Left          int    `json:"structures_not_assessed"`
		Bare          int    `json:"structures_without_assemblies"`
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
	// riskLeftRecord is a structure of whose strings none could be assessed; why is that of the first of them.
	riskLeftRecord struct {
		By         string `json:"by"`
		Line       string `json:"line"`
		Structure  string `json:"structure"`
		Assemblies int    `json:"assemblies"`
		Why        string `json:"why"`
	}
	// riskRuleRecord are the figures of lines, null for all without others.
	riskRuleRecord struct {
		Lines   []string        `json:"lines"`
		Figures *audit.RiskRule `json:"figures"`
		// Besides are the other criteria that the ranking goes by, where they are stated.
		Besides map[string]json.RawMessage `json:"other_criteria"`
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
	rec := riskLineRecord{riskRecord: riskRecordOf(r, row), Ranked: row.has.Structures, Left: row.has.Left, Bare: row.has.Bare, Hangs: a.Hanging(), Stress: number(x.Stress), StressSigma: number(x.StressSigma), Altitude: number(x.Altitude),
		Strength: number(x.Strength), StrengthSigma: number(x.StrengthSigma), Normal: number(math.NaN())}
	if x.Kind == risk.Pollution {
		rec.Class = word(x.Class.String())
	} else {
		rec.Normal = number(x.R)
	}
	return rec
}

func riskRules(p *audit.Project) iter.Seq[riskRuleRecord] {
	besides := func(c *audit.Criteria, states func(key string) bool) map[string]json.RawMessage {
		stated := map[string]json.RawMessage{}
		for _, k := range c.List() {
			if k.Stated && slices.Contains(besideRisk, k.Key) && states(k.Key) {
				stated[k.Key] = c.AsJSON(&k.Criterion)
			}
		}
		return stated
	}
	return func(yield func(riskRuleRecord) bool) {
		if !yield(riskRuleRecord{nil, &p.Criteria.Risk, besides(&p.Criteria, func(string) bool { return true })}) {
			return
		}
		for i := range p.Rules {
			rules := &p.Rules[i]
			if rules.States(riskName) || slices.ContainsFunc(besideRisk, rules.States) {
				if !yield(riskRuleRecord{names(p, rules.Lines), &rules.Criteria.Risk, besides(&rules.Criteria, rules.States)}) {
					return
				}
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
	if !ranksAny(r.Project) {
		about = slices.Concat([]string{riskUnstated}, riskRemarks)
	}
	s.member("about", about)
	s.member("structures_left_out", r.Network.StructuresLeftOut())
	s.member("register_rows_left_out", r.Network.RowsLeftOut)
	list(s, "figures", riskRules(r.Project))
	list(s, "rankings", func(yield func(riskCountRecord) bool) {
		for i := range ranked.Rankings {
			k := &ranked.Rankings[i]
			if !yield(riskCountRecord{k.Kind.String(), len(k.Lines), len(k.Places), len(k.Left), k.Bare, k.NotAsked}) {
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
	list(s, "structures_not_assessed", func(yield func(riskLeftRecord) bool) {
		n := r.Network
		for i := range ranked.Rankings {
			k := &ranked.Rankings[i]
			for _, l := range k.Left {
				line := r.Project.Symbols.Text(n.Lines[n.LineOfStructure(int(l.Structure))].Symbol)
				if !yield(riskLeftRecord{k.Kind.String(), line, n.Number(int(l.Structure)), int(l.Assemblies), string(l.Why)}) {
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

// riskOfPlace is how a structure stands by one kind.
type riskOfPlace struct {
	kind   risk.Kind
	ranks  bool // any structure is ranked by it
	place  *risk.Place
	rank   int
	left   *risk.Left
	unasks bool // the criteria of its line do not ask for it
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
		b = by.appendJSON(b)
	}
	return append(b, "}}"...)
}

// appendJSON writes the columns of a kind, each of one type in whatever reads them: those that only a rank fills are left out where nothing is ranked.
func (by *riskOfPlace) appendJSON(b []byte) []byte {
	state, rank, alone, together := "nothing hangs", "null", math.NaN(), math.NaN()
	why, left, atLeast := "null", 0, "true"
	switch {
	case by.place != nil:
		state, rank, alone, together = "ranked", strconv.Itoa(by.rank), by.place.Alone, by.place.Together
		left, atLeast = int(by.place.Left), strconv.FormatBool(by.place.AtLeast)
	case by.left != nil:
		state, left, why = "not assessed", int(by.left.Assemblies), string(appendText(nil, string(by.left.Why)))
	case by.unasks:
		state, atLeast = "not asked for", "null"
	}
	key := `,"` + by.kind.String()
	b = appendText(append(b, key+`_state":`...), state)
	if by.ranks {
		b = append(append(b, key+`_rank":`...), rank...)
		b = appendReal(append(b, key+`_worst_string":`...), alone)
		b = appendReal(append(b, key+`_as_if_independent":`...), together)
	}
	b = append(append(b, key+`_at_least":`...), atLeast...)
	b = strconv.AppendInt(append(b, key+`_not_assessed":`...), int64(left), 10)
	return append(append(b, key+`_why":`...), why...)
}

// appendReal writes a number that nothing takes for a whole one; null for NaN.
func appendReal(b []byte, x float64) []byte {
	from := len(b)
	if b = number(x).appendJSON(b); x == math.Trunc(x) && !bytes.ContainsAny(b[from:], "e") {
		b = append(b, ".0"...)
	}
	return b
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
		type rankedPlace struct{ place, rank int32 } // place is 1 + its place in the ranking, below 0 that among those that are left
		at := make([][]rankedPlace, len(ranked.Rankings))
		for i := range ranked.Rankings {
			k := &ranked.Rankings[i]
			at[i] = make([]rankedPlace, r.Network.StructureCount())
			var ranks risk.Ranks
			for p := range k.Places {
				at[i][k.Places[p].Structure] = rankedPlace{int32(p + 1), int32(ranks.Next(k.Places[p].Bounds))}
			}
			for l := range k.Left {
				at[i][k.Left[l].Structure].place = -int32(l + 1)
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
					ranking := &ranked.Rankings[k]
					by := riskOfPlace{kind: ranking.Kind, ranks: len(ranking.Places) > 0, unasks: !ranking.Kind.IsAsked(r.Network.Criteria(l))}
					switch of := at[k][i]; {
					case of.place > 0:
						by.place, by.rank = &ranking.Places[of.place-1], int(of.rank)
					case of.place < 0:
						by.left = &ranking.Left[-of.place-1]
					}
					f.by[k] = by
				}
				if !yield(&f) {
					return
				}
			}
		}
	}
}
