package checks_test

import (
	"math"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

func TestGradingRings(t *testing.T) {
	from := func(kV float64, ends audit.Rings) audit.GradingRings {
		return audit.GradingRings{{FromKV: kV, Ends: ends}}
	}
	for name, c := range map[string]struct {
		asked   audit.GradingRings
		fitted  audit.Rings
		change  func(*base)
		outcome audit.Outcome
		reason  audit.Reason
	}{
		"as asked":                     {from(145, audit.LiveEnd), audit.LiveEnd, nil, audit.Meets, audit.NoReason},
		"more than asked":              {from(145, audit.LiveEnd), audit.BothEnds, nil, audit.Meets, audit.NoReason},
		"none":                         {from(145, audit.LiveEnd), audit.NoRings, nil, audit.FallsShort, audit.NoReason},
		"one of both":                  {from(145, audit.BothEnds), audit.LiveEnd, nil, audit.FallsShort, audit.NoReason},
		"not stated":                   {from(145, audit.LiveEnd), audit.RingsUnknown, nil, audit.NotAssessed, audit.RingsNotStated},
		"not readable":                 {from(145, audit.LiveEnd), audit.RingsUnknown, func(b *base) { b.rows(3)[0].Faulty = b.rows(3)[0].Faulty.With(audit.CellMounting) }, audit.NotAssessed, audit.FaultyField},
		"below the voltage":            {from(145.1, audit.LiveEnd), audit.NoRings, nil, audit.NotApplicable, audit.NoRingsFromHere},
		"nobody asks":                  {nil, audit.NoRings, nil, audit.NotAssessed, audit.NoRingsAsked},
		"of a long rod":                {from(145, audit.LiveEnd), audit.NoRings, func(b *base) { b.Units[len(b.Units)-1].Kind = basis.LongRod }, audit.NotApplicable, audit.NotComposite},
		"of a kind that is not stated": {from(145, audit.LiveEnd), audit.NoRings, func(b *base) { b.Units[len(b.Units)-1].Kind = basis.KindUnknown }, audit.NotAssessed, audit.UnitKindNotStated},
		"voltage not stated": {from(145, audit.LiveEnd), audit.NoRings, func(b *base) { b.Lines[0].NominalKV, b.Lines[0].HighestKV = math.NaN(), math.NaN() },
			audit.NotAssessed, audit.VoltageUnknown},
		"earth wire": {from(145, audit.LiveEnd), audit.NoRings, func(b *base) { b.rows(3)[0].Duty = audit.EarthWire }, audit.NotApplicable, audit.CarriesNoPhase},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase(t)
			b.Criteria.GradingRings = c.asked
			b.wholeString(3, basis.Composite).Rings = c.fitted
			if c.change != nil {
				c.change(b)
			}
			v := b.verdict("grading-rings", 3, "A")
			require.Equal(t, c.outcome, v.Outcome, v.Reason.String())
			require.Equal(t, c.reason.String(), v.Reason.String())
			if v.Outcome == audit.FallsShort {
				require.Equal(t, audit.Note, v.Severity)
			}
		})
	}
}

func TestWatchListSpeaksInTheProjectsWords(t *testing.T) {
	b := newBase(t)
	b.AsOf = audit.DayOf("2026-01-02")
	b.Criteria.WatchList = audit.WatchList{{Unit: "U120B", Note: "pins corrode"}, {Unit: "U70BL", Note: "never here"}, {Material: "granite", Note: "never at all"}}
	for i := range b.Units {
		b.Units[i].Material = "porcelain"
	}
	b.Assemblies.Row(b.Assemblies.Len() - 1).Makeup = 0 // which may be of any type
	r := b.run()
	notes := 0
	for i := range r.Exceptions {
		if e := &r.Exceptions[i]; r.Checks[e.Check].ID == "on-watch-list" {
			notes++
			require.Equal(t, audit.Note, e.Verdict.Severity)
			require.True(t, strings.HasSuffix(e.Verdict.Sentence, "on the project's watch list (unit U120B): pins corrode."), e.Verdict.Sentence)
		}
	}
	require.Equal(t, 9, notes)
	assumed := func(r *audit.Result, entry string) bool {
		for _, a := range r.Run.Assumptions {
			if strings.Contains(a.Text, "watch_list has an entry for "+entry) {
				return true
			}
		}
		return false
	}
	require.False(t, assumed(r, "unit U120B"))
	require.False(t, assumed(r, "unit U70BL"), "the row whose unit is not known may be of it")
	b.Assemblies.Row(b.Assemblies.Len() - 1).Makeup = 1
	r = b.run()
	require.True(t, assumed(r, "unit U70BL"))
	require.True(t, assumed(r, "material granite"))
}
