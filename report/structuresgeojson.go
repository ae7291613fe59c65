package report

import (
	"context"
	"io"
	"iter"
	"slices"
	"strconv"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/paulmach/orb"
)

// structureRecord is one structure of one line as the GIS reads it.
type structureRecord struct {
	Line         string  `json:"line"`
	Structure    string  `json:"structure"`
	ChainageM    metres  `json:"chainage_m"`
	SpanBackM    metres  `json:"span_back_m"`
	SpanAheadM   metres  `json:"span_ahead_m"`
	DeviationDeg degrees `json:"deviation_deg"` // positive turns right
	Role         word    `json:"role"`
	Family       word    `json:"family"`
	Requires     word    `json:"requires"`
	ZoneClass    word    `json:"zone_class"`
	GroundM      metres  `json:"ground_m"`
	Exceptions   *uint32 `json:"exceptions"` // null where the line was not assessed

	WindSpanM   metres   `json:"wind_span_m"`
	WeightSpanM metres   `json:"weight_span_cold_m"`
	Crosses     []string `json:"crosses"`  // kinds of crossing of the span ahead
	Doubtful    bool     `json:"doubtful"` // beside suspicious geometry

	Severity word    `json:"severity"` // of the worst exception here
	Findings *uint32 `json:"findings"` // null where the line was not assessed
	WorkRank *int    `json:"work_rank"`
	Remedy   word    `json:"remedy"` // what to hang here, or what stops it

	level        level
	names, texts []string // what was decided of the work, and what is carried through
}

// structureFeature is one structure of one line as a feature, whose geometry is null where no position is known.
type structureFeature struct {
	position   orb.Point
	properties structureRecord
}

func (f *structureFeature) appendJSON(b []byte) []byte {
	b = append(b, `{"type":"Feature","geometry":`...)
	if lon, lat := f.position[0], f.position[1]; unknown(lon) || unknown(lat) {
		b = append(b, "null"...)
	} else {
		b = appendNumber(append(b, `{"type":"Point","coordinates":[`...), lon)
		b = appendNumber(append(b, ','), lat)
		b = append(b, "]}"...)
	}
	b = f.properties.appendJSON(append(b, `,"properties":`...))
	return append(b, '}')
}

func (rec *structureRecord) appendJSON(b []byte) []byte {
	b = appendText(append(b, `{"line":`...), rec.Line)
	b = appendText(append(b, `,"structure":`...), rec.Structure)
	b = rec.ChainageM.appendJSON(append(b, `,"chainage_m":`...))
	b = rec.SpanBackM.appendJSON(append(b, `,"span_back_m":`...))
	b = rec.SpanAheadM.appendJSON(append(b, `,"span_ahead_m":`...))
	b = rec.DeviationDeg.appendJSON(append(b, `,"deviation_deg":`...))
	b = rec.Role.appendJSON(append(b, `,"role":`...))
	b = rec.Family.appendJSON(append(b, `,"family":`...))
	b = rec.Requires.appendJSON(append(b, `,"requires":`...))
	b = rec.ZoneClass.appendJSON(append(b, `,"zone_class":`...))
	b = rec.GroundM.appendJSON(append(b, `,"ground_m":`...))
	if rec.level.from != "" {
		b = appendText(append(b, `,"ground_from":`...), rec.level.from)
		b = metres(rec.level.errorM).appendJSON(append(b, `,"ground_error_m":`...))
	}
	b = append(b, `,"exceptions":`...)
	if rec.Exceptions == nil {
		b = append(b, "null"...)
	} else {
		b = strconv.AppendUint(b, uint64(*rec.Exceptions), 10)
	}
	b = rec.WindSpanM.appendJSON(append(b, `,"wind_span_m":`...))
	b = rec.WeightSpanM.appendJSON(append(b, `,"weight_span_cold_m":`...))
	b = append(b, `,"crosses":[`...)
	for i, kind := range rec.Crosses {
		if i > 0 {
			b = append(b, ',')
		}
		b = appendText(b, kind)
	}
	b = strconv.AppendBool(append(b, `],"doubtful":`...), rec.Doubtful)
	b = rec.Severity.appendJSON(append(b, `,"severity":`...))
	b = append(b, `,"findings":`...)
	if rec.Findings == nil {
		b = append(b, "null"...)
	} else {
		b = strconv.AppendUint(b, uint64(*rec.Findings), 10)
	}
	b = append(b, `,"work_rank":`...)
	if rec.WorkRank == nil {
		b = append(b, "null"...)
	} else {
		b = strconv.AppendInt(b, int64(*rec.WorkRank), 10)
	}
	b = rec.Remedy.appendJSON(append(b, `,"remedy":`...))
	return append(appendCarried(b, rec.names, rec.texts), '}')
}

// structureMembers are the members of a structure, which a name that is carried through does not take.
var structureMembers = []string{"line", "structure", "chainage_m", "span_back_m", "span_ahead_m", "deviation_deg", "role", "family", "requires", "zone_class",
	"ground_m", "exceptions", "wind_span_m", "weight_span_cold_m", "crosses", "doubtful", "severity", "findings", "work_rank", "remedy"}

// writeStructures writes one feature per structure per line.
func writeStructures(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	s := newCollection(ctx, w, r)
	list(s, "features", structureFeatures(r, a))
	return s.end()
}

// structureFeatures goes through the structures; each feature is overwritten by the next.
func structureFeatures(r *audit.Result, a *account) iter.Seq[*structureFeature] {
	d := a.decisions()
	return func(yield func(*structureFeature) bool) {
		var f structureFeature
		var structure audit.Structure
		counts, works := exceptionsByStructure(r), structureWorks(r, a.rows(r))
		var names []string
		if d != nil {
			names = workDecisionNames
		}
		carried := carriedNames(r, slices.Concat(structureMembers, levelNames, names)...)
		names = slices.Concat(names, carried)
		texts := make([]string, len(names))
		var exceptions, none uint32
		for l := range r.Network.Lines {
			line := &r.Network.Lines[l]
			for i := line.First; i < line.End; i++ {
				structure = r.Network.Structure(l, i)
				f = structureFeature{structure.Position, structureRecordOf(r, &structure)}
				f.properties.names, f.properties.texts = names, texts
				clear(texts)
				if len(carried) > 0 {
					copy(texts[len(names)-len(carried):], r.Project.CarriedAt(r.Network.Source(i)))
				}
				if r.Lines[l].Assessed {
					exceptions = counts[i]
					f.properties.Exceptions, f.properties.Findings = &exceptions, &none
				}
				if work := works[i]; work != nil {
					f.properties.take(work)
					if d != nil {
						copy(texts, work.decided[:])
					}
				}
				if !yield(&f) {
					return
				}
			}
		}
	}
}

// take adds what is to be said of the work.
func (rec *structureRecord) take(w *structureWork) {
	rec.Severity, rec.Findings, rec.Remedy = word(w.severity), &w.findings, word(w.remedy)
	if w.rank > 0 {
		rec.WorkRank = &w.rank
	}
}

func structureRecordOf(r *audit.Result, s *audit.Structure) structureRecord {
	return structureRecordWith(r, s, nil)
}

// structureRecordWith is structureRecordOf a structure of which it may be known what it needs.
func structureRecordWith(r *audit.Result, s *audit.Structure, needed *audit.Requirement) structureRecord {
	requires := ""
	if needed == nil {
		requires = requiredDuty(r, s)
	} else {
		requires = dutyInWords(needed.Duty)
	}
	return structureRecord{
		level: levelOf(r, s),
		Line:  r.Project.Symbols.Text(r.Network.Lines[s.Line].Symbol), Structure: r.Project.Texts.Get(s.Number),
		ChainageM: metres(r.Network.ChainageM(s.Line, s.Index)), SpanBackM: metres(s.SpanBackM), SpanAheadM: metres(s.SpanAheadM),
		DeviationDeg: degrees(s.DeviationDeg), Role: word(s.Role.String()), Family: word(s.Family.String()),
		Requires: word(requires), ZoneClass: word(classLetter(s.ClassInForce())), GroundM: metres(s.GroundM),
		WindSpanM: metres(s.WindSpanM), WeightSpanM: metres(s.WeightSpanColdM),
		Crosses: crossedBy(r, s), Doubtful: s.Doubtful,
	}
}

// crossedBy lists the kinds that the span ahead of a structure crosses.
func crossedBy(r *audit.Result, s *audit.Structure) []string {
	if kinds := r.Network.Crossed(s.Index); kinds != nil {
		return kinds
	}
	return []string{}
}

// requiredDuty is the duty a structure needs, tension or suspension, which stands for posts and pins too; empty where it is not
// known.
func requiredDuty(r *audit.Result, s *audit.Structure) string {
	duty, _ := r.Network.Requires(s)
	return dutyInWords(duty)
}

func dutyInWords(duty audit.Duty) string {
	if duty = orSuspension(duty); duty != audit.DutyUnknown {
		return duty.String()
	}
	return ""
}

// tensionOrSuspension is the same as a duty.
func tensionOrSuspension(r *audit.Result, s *audit.Structure) audit.Duty {
	duty, _ := r.Network.Requires(s)
	return orSuspension(duty)
}

func orSuspension(duty audit.Duty) audit.Duty {
	if duty == audit.Pin || duty == audit.Post {
		return audit.Suspension
	}
	return duty
}

// classLetter is the pollution class in force, empty where there is none.
func classLetter(c basis.Class) string {
	if c == basis.ClassUnknown {
		return ""
	}
	return c.String()
}
