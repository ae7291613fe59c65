package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// What the register must hold for a structure and a circuit.
func TestRegisterIsComplete(t *testing.T) {
	rows := func(all, carrying int32) func(*audit.Subject) {
		return func(s *audit.Subject) { s.Registered.Rows, s.Registered.CarryPhase = all, carrying }
	}
	judge(t, "nothing-registered", []judgement{
		{"no row", rows(0, 0), "shortfall 0/1", "no row for this structure"},
		{"earth-wire rows only", rows(2, 0), "shortfall 0/1", "Only earth-wire or guy"},
		{"one row", rows(1, 1), "meets 1/1", ""},
		{"rows of unknown duty only", func(s *audit.Subject) {
			s.Registered.Rows, s.Registered.CarryPhase, s.Registered.Duties[audit.DutyUnknown] = 2, 1, 1
		}, "not assessed: a field it needs is faulty, see Faults", ""},
		{"one of unknown duty beside another", func(s *audit.Subject) {
			s.Registered.Rows, s.Registered.CarryPhase, s.Registered.Duties[audit.DutyUnknown] = 2, 2, 1
		}, "meets 2/1", ""},
		{"no register", func(s *audit.Subject) { s.Registered.NoRegister = true }, "not assessed: no register given", ""},
		{"line not in the register", func(s *audit.Subject) { s.Registered.LineUnlisted = true }, "not assessed: the register has no row of this line", ""},
	})
	place := func(expected, present audit.Phases, more ...func(*audit.Subject)) func(*audit.Subject) {
		return func(s *audit.Subject) {
			s.Place.Expected, s.Place.Present, s.Place.Held = expected, present, present
			for _, m := range more {
				m(s)
			}
		}
	}
	abc, ac, b := phasesOf(t, "ABC"), phasesOf(t, "AC"), phasesOf(t, "B")
	notStated := func(s *audit.Subject) { s.Line.Row.Phases = 0 }
	faulty := func(s *audit.Subject) { s.Place.FaultyRows = true }
	on := func(side audit.Side) func(*audit.Subject) { return func(s *audit.Subject) { s.Place.Side = side } }
	const field = "not assessed: a field it needs is faulty, see Faults"
	judge(t, "phase-missing", []judgement{
		{"phases stated", place(abc, ac), "shortfall 2/3", "No assembly for phase B of circuit 1."},
		{"phases by the register only", place(abc, ac, notStated), "advisory 2/3", ""},
		{"all there", place(abc, abc), "meets 3/3", ""},
		{"all there and more", place(ac, abc), "meets 2/2", ""},
		{"all there of two by the register", place(ac, ac, notStated), "not assessed: which phases the circuit has is not known", ""},
		{"all there of one by the register", place(b, b, notStated), "not assessed: which phases the circuit has is not known", ""},
		{"all there of three by the register", place(abc, abc, notStated), "meets 3/3", ""},
		{"one of two by the register", place(ac, phasesOf(t, "A"), notStated), "advisory 1/2", ""},
		{"one, of a single-phase line", place(b, b, notStated, func(s *audit.Subject) { s.Line.Row.System = audit.SinglePhase }), "meets 1/1", ""},
		{"one, stated", place(b, b), "meets 1/1", ""},
		{"both poles", place(phasesOf(t, "+-"), phasesOf(t, "+-"), notStated), "meets 2/2", ""},
		{"all there, another row faulty", place(abc, abc, faulty), "meets 3/3", ""},
		{"a row faulty", place(abc, ac, faulty), field, ""},
		{"another phase does not stand in", place(abc, ac|phasesOf(t, "R")), "shortfall 2/3", "phase B of"},
		{"none", place(abc, 0), "shortfall 0/3", "No assembly for any phase of circuit 1."},
		{"behind", place(abc, b, on(audit.Back)), "shortfall 1/3", "phase A,C of circuit 1 on the back side."},
		{"ahead", place(abc, b, on(audit.Ahead)), "shortfall 1/3", "on the ahead side."},
		{"nothing on this side", place(abc, 0, on(audit.Ahead)), "not applicable: nothing on this side; side-missing speaks", ""},
		{"nobody names phases, some there", place(audit.EveryPhase, b), "not assessed: which phases the circuit has is not known", ""},
		{"nobody names phases, all there", place(audit.EveryPhase, audit.EveryPhase), "meets 1/1", ""},
		{"nobody names phases, none there", place(audit.EveryPhase, 0, notStated), "advisory 0/1", "any phase of circuit 1."},
	})
	check, s := example(t, "phase-missing")
	require.Equal(t, b, check.Run(s, nil).Missing)

	misspelt := func(s *audit.Subject) { s.Registered.Misspelt = "O5" }
	holding := func(held audit.Phases) func(*audit.Subject) { return func(s *audit.Subject) { s.Place.Held = held } }
	unread := func(s *audit.Subject) { s.Line.Row.Faulty = s.Line.Row.Faulty.With(audit.CellCircuits) }
	known := func(sure bool) func(*audit.Subject) { return func(s *audit.Subject) { s.Place.SideKnown = sure } }
	judge(t, "side-missing", []judgement{
		{"none ahead", place(abc, 0), "shortfall 0/1", "tension assemblies here but none on the ahead side."},
		{"none behind", place(abc, 0, on(audit.Back)), "shortfall 0/1", "none on the back side."},
		{"all of three", place(abc, abc), "meets 3/3", ""},
		{"one of three", place(abc, b), "not applicable: a phase has nothing on this side; phase-missing speaks", ""},
		{"one of three, an unplaced row may be of another", place(abc, b, misspelt), field, ""},
		{"all of three, an unplaced row may stand here", place(abc, abc, misspelt), "meets 3/3", ""},
		{"all of three, one in suspension", place(abc, abc, holding(ac)), "not applicable: a phase of the circuit does not hang in tension here, so that it has no sides", ""},
		{"all of three, one in suspension, an unplaced row may be of it", place(abc, abc, holding(ac), misspelt), field, ""},
		{"all of three, one in suspension, a row faulty", place(abc, abc, holding(ac), faulty), field, ""},
		{"all of three, a row faulty", place(abc, abc, faulty), "meets 3/3", ""},
		{"all of two, phases not readable", place(ac, ac, notStated, unread), field, ""},
		{"all of two by the register", place(ac, ac, notStated), "not assessed: which phases the circuit has is not known", ""},
		{"one of two by the register", place(ac, b, notStated), "not assessed: which phases the circuit has is not known", ""},
		{"more than the circuit has", place(b, abc), "meets 1/1", ""},
		{"no tension assembly", place(abc, 0, func(s *audit.Subject) { s.Place.Tension = false }), "not applicable: no tension assembly of this circuit here", ""},
		{"side not stated", place(abc, 0, known(false)), "not assessed: side of the tension assembly not stated", ""},
		{"side not stated, phases there", place(abc, abc, known(false)), "not assessed: side of the tension assembly not stated", ""},
		{"side not stated, a row faulty", place(abc, abc, known(false), faulty), field, ""},
		{"none, a row faulty", place(abc, 0, faulty), field, ""},
		{"one, another row faulty", place(abc, b, faulty), field, ""},
	})
}

// Pin, post and shackle assemblies hang like suspension; a structure that has both is neither.
func TestDeclaredDuties(t *testing.T) {
	with := func(declared audit.Duty, registered ...audit.Duty) func(*audit.Subject) {
		return func(s *audit.Subject) {
			s.Structure.Declared, s.Registered.Duties = declared, [audit.Guy + 1]int32{}
			for _, d := range registered {
				s.Registered.Duties[d]++
			}
		}
	}
	judge(t, "declared-duty", []judgement{
		{"suspension as declared", with(audit.Suspension, audit.Suspension), "meets suspension/suspension", ""},
		{"pin as declared", with(audit.Suspension, audit.Pin), "meets suspension/suspension", ""},
		{"post as declared", with(audit.Suspension, audit.Post), "meets suspension/suspension", ""},
		{"shackle as declared", with(audit.Suspension, audit.Shackle), "meets suspension/suspension", ""},
		{"tension as declared", with(audit.Tension, audit.Tension), "meets tension/tension", ""},
		{"tension, suspension declared", with(audit.Suspension, audit.Tension, audit.Tension), "advisory tension/suspension", "the register has 2 tension rows."},
		{"shackles, tension declared", with(audit.Tension, audit.Shackle, audit.Pin, audit.Post, audit.Suspension), "advisory suspension/tension", "has 4 suspension rows."},
		{"both", with(audit.Tension, audit.Tension, audit.Shackle), "advisory both/tension", "1 suspension and 1 tension rows."},
		{"both, suspension declared", with(audit.Suspension, audit.Tension, audit.Suspension), "advisory both/suspension", ""},
		{"jumpers and earth wires only", with(audit.Tension, audit.Jumper, audit.EarthWire, audit.Guy), "not assessed: no assembly registered here", ""},
		{"none declared", with(audit.DutyUnknown, audit.Tension), "not applicable: no duty declared", ""},
	})
	judge(t, "section-length", []judgement{
		{"at the limit", func(s *audit.Subject) { s.Section.LengthM = 5000 }, "meets 5/5", ""},
		{"beyond it", func(s *audit.Subject) { s.Section.LengthM = 5001 }, "shortfall 5.001/5", "20 spans and 5.00 km"},
		{"no limit", func(s *audit.Subject) { s.Line.Row.SectionLimitKM = math.NaN() }, "not assessed: section limit of the line not stated", ""},
	})
}
