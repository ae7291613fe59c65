package audit

import (
	"math"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// What a structure requires, each cause on its own (statics; at tees and crossings the policy of the criteria), and that it is
// unknown where a datum is that a cause needs.
func TestRequiredDuty(t *testing.T) {
	at := func(role Role, deviationDeg float64) func(*Subject) {
		return func(s *Subject) { s.Structure.Role, s.Structure.DeviationDeg = role, deviationDeg }
	}
	railways := func(s *Subject) { s.Criteria.CrossingRules = []CrossingRule{{Kind: "railway", Tension: true}} }
	for name, c := range map[string]struct {
		change func(s *Subject)
		want   Duty
		reason Reason
	}{
		"straight run":                     {func(*Subject) {}, Suspension, NoReason},
		"line end":                         {at(Terminal, math.NaN()), Tension, NoReason},
		"below the limit":                  {at(Tangent, -1.9), Suspension, NoReason},
		"at the limit":                     {at(Tangent, -2), Suspension, NoReason},
		"angle":                            {at(Angle, -2.1), Tension, NoReason},
		"lifted":                           {func(s *Subject) { s.Structure.WeightSpanColdM = -1 }, Tension, NoReason},
		"held down":                        {func(s *Subject) { s.Structure.WeightSpanColdM = 1 }, Suspension, NoReason},
		"uplift asked for, not known":      {func(s *Subject) { s.Line.Row.ColdTensionKN = 20 }, DutyUnknown, ConductorUnknown},
		"cold tension unreadable":          {func(s *Subject) { s.Line.Row.Faulty = 1 << CellTension }, DutyUnknown, ConductorUnknown},
		"change of conductor":              {func(s *Subject) { s.Structure.Changes = "the conductor changes" }, Tension, NoReason},
		"conductor of one side not stated": {func(s *Subject) { s.Structure.ChangeUnstated = ConductorUnknown }, DutyUnknown, ConductorUnknown},
		"conductor unreadable":             {func(s *Subject) { s.Structure.ConductorFaulty = true }, DutyUnknown, FaultyField},
		"crossing behind": {func(s *Subject) {
			railways(s)
			s.Structure.Back = Asked{Kinds: []string{"railway"}, Tension: "railway"}
		}, Tension, NoReason},
		"crossing ahead": {func(s *Subject) {
			railways(s)
			s.Structure.Ahead = Asked{Kinds: []string{"railway"}, Tension: "railway"}
		}, Tension, NoReason},
		"crossing of unreadable kind":       {func(s *Subject) { railways(s); s.Structure.Back = Asked{Kinds: []string{"?"}, Unreadable: true} }, DutyUnknown, FaultyField},
		"the same, tension never asked for": {func(s *Subject) { s.Structure.Back = Asked{Kinds: []string{"?"}, Unreadable: true} }, Suspension, NoReason},
		"rules without crossings":           {func(s *Subject) { railways(s); s.CrossingsGiven = false }, DutyUnknown, CrossingsMissing},
		"double only":                       {func(s *Subject) { s.Structure.Ahead = Asked{Kinds: []string{"river"}, Double: "river"} }, Suspension, NoReason},
		"tee":                               {func(s *Subject) { s.Structure.TeeOf = 1 }, Suspension, NoReason},
		"tee, asked for":                    {func(s *Subject) { s.Structure.TeeOf, s.Criteria.TensionAtTee = 1, true }, Tension, NoReason},
		"tee in doubt, asked for":           {func(s *Subject) { s.Structure.TeeFaulty, s.Criteria.TensionAtTee = true, true }, DutyUnknown, FaultyField},
		"tee in doubt":                      {func(s *Subject) { s.Structure.TeeFaulty = true }, Suspension, NoReason},
		"straight, tees asked for":          {func(s *Subject) { s.Criteria.TensionAtTee = true }, Suspension, NoReason},
		"tee at an angle":                   {func(s *Subject) { at(Tee, -2.1)(s); s.Structure.TeeOf = 1 }, Tension, NoReason},
		"tee of unknown deviation":          {func(s *Subject) { at(Tee, math.NaN())(s); s.Structure.TeeOf = 1 }, DutyUnknown, DeviationUnknown},
		"role unknown":                      {at(RoleUnknown, math.NaN()), DutyUnknown, DeviationUnknown},
		"limit unreadable": {func(s *Subject) {
			at(RoleUnknown, 1)(s)
			s.Structure.LimitFaulty, s.Structure.DeviationLimitDeg = true, math.NaN()
		}, DutyUnknown, FaultyField},
		"course unreadable":    {func(s *Subject) { s.Structure.CourseFaulty = true }, DutyUnknown, FaultyField},
		"role unknown, lifted": {func(s *Subject) { at(RoleUnknown, math.NaN())(s); s.Structure.WeightSpanColdM = 0 }, Tension, NoReason},
	} {
		n := &Network{Project: &Project{Criteria: DefaultCriteria(), CrossingsGiven: true}, Lines: []Line{{Row: UnknownLineRow()}}, subjects: new(sync.Pool)}
		n.newStations([]uint32{0})
		structure := Structure{Role: Tangent, DeviationLimitDeg: 2, WeightSpanColdM: math.NaN()}
		s := Subject{Criteria: &n.Project.Criteria, Line: &n.Lines[0], Structure: &structure, CrossingsGiven: true}
		c.change(&s)
		n.Project.CrossingsGiven = s.CrossingsGiven
		got, reason := n.Requires(&structure)
		require.Equal(t, c.want, got, name)
		require.Equal(t, c.reason, reason, name)
	}
}
