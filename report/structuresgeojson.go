package report

import (
	"context"
	"io"
	"iter"

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
}

// writeStructures writes one feature per structure per line.
func writeStructures(ctx context.Context, w io.Writer, r *audit.Result) error {
	s := newCollection(ctx, w, r)
	list(s, "features", structureFeatures(s, r))
	return s.end()
}

func structureFeatures(s *jsonStream, r *audit.Result) iter.Seq[feature[structureRecord]] {
	return func(yield func(feature[structureRecord]) bool) {
		counts := exceptionsByStructure(r)
		for l := range r.Network.Lines {
			line := &r.Network.Lines[l]
			for i := line.First; i < line.End; i++ {
				structure := r.Network.Structure(l, i)
				rec := structureRecordOf(r, &structure)
				if r.Lines[l].Assessed {
					rec.Exceptions = &counts[i]
				}
				geometry, err := geometryOf([]orb.Point{structure.Position})
				if err != nil {
					s.fail(err)
					return
				}
				if !yield(newFeature(geometry, rec)) {
					return
				}
			}
		}
	}
}

func structureRecordOf(r *audit.Result, s *audit.Structure) structureRecord {
	return structureRecord{
		Line: r.Project.Symbols.Text(r.Network.Lines[s.Line].Symbol), Structure: r.Project.Texts.Get(s.Number),
		ChainageM: metres(s.ChainageM), SpanBackM: metres(s.SpanBackM), SpanAheadM: metres(s.SpanAheadM),
		DeviationDeg: degrees(s.DeviationDeg), Role: word(s.Role.String()), Family: word(s.Family.String()),
		Requires: word(requiredDuty(r, s)), ZoneClass: word(classLetter(s.Class)), GroundM: metres(s.GroundM),
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

// requiredDuty is the duty a structure needs from its role, empty where the role is not known.
func requiredDuty(r *audit.Result, s *audit.Structure) string {
	duty := r.Project.Criteria.Requires(s)
	if duty == audit.DutyUnknown {
		return ""
	}
	return duty.String()
}

// classLetter is the pollution class in force, empty where there is none.
func classLetter(c basis.Class) string {
	if c == basis.ClassUnknown {
		return ""
	}
	return c.String()
}
