package checks_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"
	"dryarc/geo"

	"github.com/stretchr/testify/require"
)

// told runs the audit and lists every verdict as structure, circuit, phase, side, outcome and reason by check.
func (b *base) told(check string) (verdicts []string) {
	n, err := audit.Arrange(b.Project)
	require.NoError(b.t, err)
	require.NoError(b.t, audit.Derive(context.Background(), n, 1))
	_, err = audit.Assess(context.Background(), n, checks.All(), audit.Options{Each: func(i int, at audit.Location, v audit.Verdict) {
		if checks.All()[i].ID != check || v.Outcome == audit.NotApplicable {
			return
		}
		text := "line"
		if at.Structure >= 0 {
			structure := n.Structure(at.Line, at.Structure)
			text = b.Texts.Get(structure.Number)
		}
		for _, part := range []string{b.Symbols.Text(at.Phase), at.Side.String(), v.Outcome.String(), v.Reason.String()} {
			if part != "" {
				text += " " + part
			}
		}
		verdicts = append(verdicts, text)
	}})
	require.NoError(b.t, err)
	slices.Sort(verdicts)
	return verdicts
}

// at keeps what is told of one structure.
func at(structure int, verdicts []string) []string {
	return slices.DeleteFunc(verdicts, func(v string) bool { return !strings.HasPrefix(v, fmt.Sprint(structure)+" ") })
}

func TestSuspensionHoldsNoSideOfACutConductor(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(b *base)
		want   []string
	}{
		{"every phase in tension behind and in suspension", func(b *base) {
			for _, phase := range []string{"A", "B", "C"} {
				b.assembly(4, phase, audit.Tension, audit.Back)
			}
		}, []string{"side-missing 4 ahead"}},
		{"one phase", func(b *base) {
			b.drop(func(row *audit.AssemblyRow) bool {
				return b.Texts.Get(row.Number) == "5" && row.Side == audit.Ahead && b.Symbols.Text(row.Phase) == "B"
			})
			b.assembly(5, "B", audit.Suspension, audit.NoSide)
		}, []string{"side-missing 5 B ahead"}},
		{"unlike phases", func(b *base) { // B hangs in suspension only, and is held on both sides by it
			b.drop(func(row *audit.AssemblyRow) bool {
				return b.Texts.Get(row.Number) == "5" && b.Symbols.Text(row.Phase) == "B"
			})
			b.assembly(5, "B", audit.Suspension, audit.NoSide)
		}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase(t)
			c.change(b)
			require.Equal(t, c.want, b.exceptions())
		})
	}
}

// A phase is held on a side only by what takes its pull there: where the row that does so is lost, or cannot be read in what tells rows apart, the
// rest does not meet in its place, and where it is taken out nothing asks for its sides.
func TestLostRowsHoldNoSide(t *testing.T) {
	const (
		doubt  = " not assessed a field it needs is faulty, see Faults"
		beside = " not applicable"
	)
	of := func(b *base, side audit.Side) *audit.AssemblyRow { // of phase B at the angle
		for _, row := range b.rows(5) {
			if row.Side == side && b.Symbols.Text(row.Phase) == "B" {
				return row
			}
		}
		return nil
	}
	unread := func(cell audit.Cell, blank func(row *audit.AssemblyRow)) func(*base, *audit.AssemblyRow) {
		return func(_ *base, row *audit.AssemblyRow) { row.Faulty = row.Faulty.With(cell); blank(row) }
	}
	deleted := func(b *base, lost *audit.AssemblyRow) {
		source := lost.Source
		b.drop(func(row *audit.AssemblyRow) bool { return row.Source == source })
	}
	for name, c := range map[string]struct {
		lose      func(b *base, row *audit.AssemblyRow)
		hung, cut string // with the suspension row left, and with the tension row left, on the side that is not held
	}{
		"circuit not readable": {unread(audit.CellCircuits, func(row *audit.AssemblyRow) { row.Circuit = 0 }), doubt, doubt},
		"phase not readable":   {unread(audit.CellPhase, func(row *audit.AssemblyRow) { row.Phase, row.Phases = 0, audit.EveryPhase }), doubt, doubt},
		"duty not readable":    {unread(audit.CellDuty, func(row *audit.AssemblyRow) { row.Duty = audit.DutyUnknown }), doubt, doubt},
		"structure not readable": {func(b *base, row *audit.AssemblyRow) {
			b.Lost = append(b.Lost, audit.LostRow{Line: row.Line})
			deleted(b, row)
		}, doubt, doubt},
		"taken out": {deleted, beside, beside},
	} {
		for _, twin := range [...]bool{false, true} {
			t.Run(fmt.Sprint(name, ", the row in suspension ", twin), func(t *testing.T) {
				b := newBase(t)
				of(b, audit.Back).Duty, of(b, audit.Back).Side = audit.Suspension, audit.NoSide
				require.Equal(t, []string{"5 ahead meets", "5 back falls short"}, at(5, b.told("side-missing")), "as registered")
				b = newBase(t)
				of(b, audit.Back).Duty, of(b, audit.Back).Side = audit.Suspension, audit.NoSide
				lost, want := of(b, audit.Ahead), c.hung
				if twin {
					lost, want = of(b, audit.NoSide), c.cut
				}
				c.lose(b, lost)
				told := at(5, b.told("side-missing"))
				if !twin {
					require.NotContains(t, told, "5 ahead meets")
				}
				if want == beside {
					require.NotContains(t, told, "5 back meets")
					require.NotContains(t, told, "5 back falls short")
					return
				}
				require.Contains(t, told, "5 back"+want)
			})
		}
	}
}

// repeat adds a row to the end of the register that names the same assembly as another.
func (b *base) repeat(row *audit.AssemblyRow, change func(later *audit.AssemblyRow)) {
	later := *row
	later.Source.Row = uint32(b.Assemblies.Len() + 2)
	change(&later)
	b.Assemblies.Append(later)
	b.RowsRead++
}

// Of a register without a column Phase the rows of a circuit are its phases where they are as many.
func TestRegisterWithoutPhases(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(b *base)
		phases []string // what phase-missing says of structures 3 and 5
		fault  string
	}{
		{"a row for each phase", func(*base) {}, []string{"3 meets", "5 ahead meets", "5 back meets"}, ""},
		{"one row for all", func(b *base) {
			b.drop(func(row *audit.AssemblyRow) bool { return b.Texts.Get(row.Number) == "3" && row.Source.Row > 8 })
		}, []string{"3 meets", "5 ahead meets", "5 back meets"}, ""},
		{"the phases by their usual number", func(b *base) { b.Lines[0].Phases = 0 }, []string{"3 meets", "5 ahead meets", "5 back meets"}, ""},
		{"posts among the strings", func(b *base) { b.rows(3)[1].Duty = audit.Post }, []string{"3 meets", "5 ahead meets", "5 back meets"}, ""},
		{"one too few", func(b *base) {
			b.drop(func(row *audit.AssemblyRow) bool { return row.Source.Row == 9 })
		}, []string{"3 not assessed a field it needs is faulty, see Faults", "5 ahead meets", "5 back meets"},
			"is not stated, and circuit 1 has 2 rows here: expected one row for each of its 3 phases, or one for all; each row is judged, phase-missing is not assessed"},
		{"one too many on a side", func(b *base) {
			b.repeat(b.rows(5)[0], func(*audit.AssemblyRow) {})
		}, []string{"3 meets", "5 ahead not assessed a field it needs is faulty, see Faults", "5 back not assessed a field it needs is faulty, see Faults"},
			"is not stated, and circuit 1 has 7 rows here: expected one row for each of its 3 phases, or one for all; each row is judged, phase-missing is not assessed"},
		{"of a direct-current line that states none", func(b *base) {
			b.Lines[0].Phases, b.Lines[0].System = 0, audit.DirectCurrent
			b.drop(func(row *audit.AssemblyRow) bool { return b.Texts.Get(row.Number) != "3" })
		}, []string{"3 not assessed a field it needs is faulty, see Faults"},
			"is not stated, and circuit 1 has 3 rows here: nobody says how many phases it has; each row is judged, phase-missing is not assessed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase(t)
			b.Tables[1].WithoutPhase = true
			for i := range b.Assemblies.Len() {
				b.Assemblies.Row(i).Phase, b.Assemblies.Row(i).Phases = 0, audit.EveryPhase
			}
			c.change(b)
			found := b.told("phase-missing")
			require.Equal(t, c.phases, slices.Concat(at(3, slices.Clone(found)), at(5, slices.Clone(found))))
			n, err := audit.Arrange(&audit.Project{Criteria: b.Criteria, Makeups: b.Makeups, Units: b.Units, Conductors: b.Conductors, Tables: b.Tables,
				Structures: b.Structures, Lines: b.Lines, Assemblies: b.Assemblies, Symbols: b.Symbols, Texts: b.Texts, RowsRead: b.RowsRead, RegisterGiven: true})
			require.NoError(t, err)
			require.Equal(t, b.RowsRead, n.RowsPlaced, "each row is judged")
			if c.fault == "" {
				require.Zero(t, b.Faults.Total())
				return
			}
			faults := b.Faults.List()
			require.Len(t, faults, 1)
			require.Equal(t, c.fault, faults[0].Expected)
		})
	}
}

// Whether a line that ends here is of this line's voltage is told by Um in force, not by one column.
func TestTeesByTheVoltageInForce(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		nominal, highest float64
		tee              bool
	}{
		{132, nan, true}, {138, nan, true}, {138, 145, true}, {nan, 145, true}, {nan, nan, true},
		{132, 123, false}, {110, nan, false}, {nan, 72.5, false}, {131, nan, false},
	} {
		b := newBase(t)
		b.structure("tap", 1, 10+0.0042*6, 50.000001)
		b.structure("tap", 2, 10+0.0042*6, 50.003)
		row := audit.UnknownLineRow()
		row.Line, row.NominalKV, row.HighestKV = b.Symbols.Number("tap"), c.nominal, c.highest
		b.Lines = append(b.Lines, row)
		var want []string
		if c.tee {
			want = each("tension-at-tee", 7)
		}
		require.Equal(t, want, b.exceptions(), "%g kV, Um %g kV", c.nominal, c.highest)
	}
}

// A section ends only where every phase of its circuit hangs in tension on both sides.
func TestSectionsEndWhereEveryPhaseIsHeld(t *testing.T) {
	of5 := func(b *base) []*audit.AssemblyRow { return b.rows(5) }
	for _, c := range []struct {
		name   string
		change func(b *base)
		want   []string
	}{
		{"held", func(*base) {}, []string{"1 meets", "5 meets"}},
		{"one phase in suspension", func(b *base) {
			b.drop(func(row *audit.AssemblyRow) bool {
				return b.Texts.Get(row.Number) == "5" && b.Symbols.Text(row.Phase) == "B" && row.Side == audit.Ahead
			})
			for _, row := range of5(b) {
				if b.Symbols.Text(row.Phase) == "B" {
					row.Duty, row.Side = audit.Suspension, audit.NoSide
				}
			}
		}, []string{"1 falls short"}},
		{"one side", func(b *base) {
			b.drop(func(row *audit.AssemblyRow) bool { return b.Texts.Get(row.Number) == "5" && row.Side == audit.Ahead })
		}, []string{"1 not assessed a phase is not registered on both sides of a tension structure within it"}},
		{"sides not stated", func(b *base) {
			b.drop(func(row *audit.AssemblyRow) bool { return b.Texts.Get(row.Number) == "5" && row.Side == audit.Ahead })
			for _, row := range of5(b) {
				row.Side = audit.NoSide
			}
		}, []string{"1 not assessed side of the tension assembly not stated"}},
		{"suspension beside tension of a side not stated", func(b *base) {
			for _, row := range of5(b) {
				if row.Side == audit.Ahead {
					row.Duty = audit.Suspension
				}
				row.Side = audit.NoSide
			}
		}, []string{"1 not assessed side of the tension assembly not stated"}},
		{"a duty not readable", func(b *base) {
			row := of5(b)[0]
			row.Duty, row.Faulty = audit.DutyUnknown, row.Faulty.With(audit.CellDuty)
		}, []string{"1 not assessed a field it needs is faulty, see Faults"}},
		{"nothing registered", func(b *base) {
			b.drop(func(row *audit.AssemblyRow) bool { return b.Texts.Get(row.Number) == "5" })
		}, []string{"1 not assessed no assembly registered here"}},
		{"too long all the same", func(b *base) {
			b.Lines[0].SectionLimitKM = 1
			b.drop(func(row *audit.AssemblyRow) bool { return b.Texts.Get(row.Number) == "5" })
		}, []string{"1 falls short"}},
		{"another circuit in suspension", func(b *base) {
			b.Lines[0].Circuits = 2
			for _, row := range b.Assemblies.All() {
				if b.Texts.Get(row.Number) == "5" && row.Side == audit.Ahead {
					continue
				}
				row.Circuit = b.Symbols.Number("2")
				if b.Texts.Get(row.Number) == "5" {
					row.Duty, row.Side = audit.Suspension, audit.NoSide
				}
				b.Assemblies.Append(row)
			}
			b.RowsRead = b.Assemblies.Len()
		}, []string{"1 falls short", "1 meets", "5 meets"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase(t)
			b.Lines[0].SectionLimitKM = 2 // 1.2 km each way
			c.change(b)
			require.Equal(t, c.want, b.told("section-length"))
		})
	}
}

// Where rows that were left out may be those of a structure, nobody can say that nothing is registered there.
func TestNothingRegisteredBesideRowsLeftOut(t *testing.T) {
	rename := func(b *base, from, to string, rows int) {
		text, err := b.Texts.Add(to)
		require.NoError(b.t, err)
		for i := range b.Assemblies.Len() {
			if b.Texts.Get(b.Assemblies.Row(i).Number) == from && rows != 0 {
				b.Assemblies.Row(i).Number = text
				rows--
			}
		}
	}
	for _, c := range []struct {
		name   string
		change func(b *base)
		want   []string // of structures 3 and 4
	}{
		{"no row", func(b *base) {
			b.drop(func(row *audit.AssemblyRow) bool { return b.Texts.Get(row.Number) == "4" })
		}, []string{"3 meets", "4 falls short"}},
		{"its rows name it otherwise", func(b *base) { rename(b, "4", " 0-04.0", -1) },
			[]string{"3 meets", "4 not assessed a row left out names the structure in another spelling, see Faults"}},
		{"a tenth of the rows elsewhere", func(b *base) { // 3 of 30
			rename(b, "5", "95", 3)
			b.drop(func(row *audit.AssemblyRow) bool { return b.Texts.Get(row.Number) == "4" })
			for _, phase := range []string{"A", "B", "C"} {
				b.assembly(5, phase, audit.Jumper, audit.NoSide)
			}
		}, []string{"3 meets", "4 falls short"}},
		{"more than a tenth", func(b *base) {
			rename(b, "5", "95", 4)
			b.drop(func(row *audit.AssemblyRow) bool { return b.Texts.Get(row.Number) == "4" })
		}, []string{"3 meets", "4 not assessed more than a tenth of the line's rows stand on no structure, see Faults"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase(t)
			c.change(b)
			found := b.told("nothing-registered")
			require.Equal(t, c.want, slices.Concat(at(3, slices.Clone(found)), at(4, slices.Clone(found))))
		})
	}

	b := newBase(t)
	for i := range 9 { // which may be section 0, or not
		text, err := b.Texts.Add(fmt.Sprintf("0-%d", i+1))
		require.NoError(t, err)
		if i != 2 {
			b.Structures.Row(i).Number = text
		}
	}
	n, err := audit.Arrange(b.Project)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 1))
	for _, d := range audit.Explain(n, checks.All(), 0, 3) {
		if d.Check.ID == "nothing-registered" {
			require.Equal(t, `A row left out names structure "4", which may be this one.`, d.Verdict.Sentence)
		}
	}
	require.Equal(t, audit.Strays{Rows: 27, OfRows: 30, Row: "1", Structure: "0-1"}, n.Lines[0].Strays)
}

// A row may hold a set each way.
func TestOneRowForBothSides(t *testing.T) {
	both := func(b *base) {
		b.drop(func(row *audit.AssemblyRow) bool { return b.Texts.Get(row.Number) == "5" && row.Side == audit.Ahead })
		for _, row := range b.rows(5) {
			row.Side = audit.BothSides
		}
	}
	b := newBase(t)
	both(b)
	require.Empty(t, b.exceptions())
	require.Zero(t, b.Faults.Total())

	b = newBase(t)
	both(b)
	require.Equal(t, []string{"5 ahead meets", "5 back meets"}, at(5, b.told("side-missing")))

	b = newBase(t)
	both(b)
	b.repeat(b.rows(5)[0], func(later *audit.AssemblyRow) { later.Side = audit.Ahead })
	require.Empty(t, b.exceptions())
	require.Equal(t, 1, b.Faults.Total(), "a row for one of the sides repeats it")

	b = newBase(t)
	both(b)
	b.Crossings = []audit.Crossing{{Kind: b.Symbols.Number("river"), Polygons: []geo.Polygon{square(10+0.0042*4.5, 50, 0.001)}}}
	require.Equal(t, slices.Concat(each("double-at-crossing", 5), each("double-at-crossing", 6)), withoutSide(b.exceptions()))
}

func withoutSide(keys []string) []string {
	for i := range keys {
		keys[i] = strings.TrimSuffix(keys[i], " both")
	}
	return keys
}

// A tension assembly whose side nobody states bears the larger pull of the two sides, and no less.
func TestStrengthWhereTheSideIsNotStated(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(b *base, row *audit.AssemblyRow)
		want   []string
	}{
		{"strong", func(*base, *audit.AssemblyRow) {}, []string{"5 A meets"}},
		{"weak", func(b *base, row *audit.AssemblyRow) {
			row.Direct = b.direct(func(d *audit.DirectValues) { d.RatingKN = 50 })
		}, []string{"5 A falls short"}},
		{"beside a slack span", func(b *base, _ *audit.AssemblyRow) { b.Structures.Row(5).Role = audit.Gantry },
			[]string{"5 A not assessed a slack span to a gantry has a tension of its own, which is not stated"}},
		{"not readable", func(_ *base, row *audit.AssemblyRow) { row.Faulty = row.Faulty.With(audit.CellSide) },
			[]string{"5 A not assessed a field it needs is faulty, see Faults"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase(t)
			b.drop(func(row *audit.AssemblyRow) bool {
				return b.Texts.Get(row.Number) == "5" && (row.Side == audit.Ahead || b.Symbols.Text(row.Phase) != "A")
			})
			row := b.rows(5)[0]
			row.Side = audit.NoSide
			c.change(b, row)
			require.Equal(t, c.want, at(5, b.told("strength")))
		})
	}
}

// With a calculated tension the sections before and after a structure pull differently.
func TestTheLargerPullOfTheTwoSides(t *testing.T) {
	worst := func(side audit.Side, backM, aheadM float64) float64 {
		s := checks.ByID("strength").Method.Example.Subject()
		structure := *s.Structure
		structure.SpanBackM, structure.SpanAheadM, structure.RulingBackM, structure.RulingAheadM = backM, aheadM, backM, aheadM
		structure.HeightBackM, structure.HeightM, structure.HeightAheadM = 100, 100, 100
		s.Structure = &structure
		s.Assembly.Side = side
		s.Line.Row.EverydayTensionKN, s.Line.Row.EverydayC = 18, 15
		conductor := *s.Line.Conductor
		conductor.AreaMM2, conductor.ModulusGPa, conductor.Expansion1e6PerK = 261.5, 80, 17.8
		s.Line.Conductor = &conductor
		s.Criteria.LoadCases = []audit.LoadCase{{Name: "cold", From: audit.CalculatedTension, TemperatureC: audit.Stated(-20), Factor: 1}}
		pull, reason := s.WorstPull(0)
		require.Equal(t, audit.NoReason, reason)
		return pull.KN
	}
	short, long := worst(audit.Back, 150, 150), worst(audit.Back, 400, 400)
	require.Greater(t, short, long*1.05, "in the cold the shorter spans pull harder")
	for _, side := range []audit.Side{audit.NoSide, audit.BothSides} {
		require.InDelta(t, short, worst(side, 150, 400), 1e-9)
		require.InDelta(t, short, worst(side, 400, 150), 1e-9)
	}
	for side, want := range map[audit.Side]float64{audit.Back: long, audit.Ahead: short} {
		require.InDelta(t, want, worst(side, 400, 150), 1e-9, "%s: its own ruling span, not the longer of the two", side)
	}
}

func TestCouplingsInManyHands(t *testing.T) {
	for coupling, want := range map[string][]string{
		"16A": {"mixed-units 3 A", "odd-one-out 3 A"}, "16 mm": {"mixed-units 3 A", "odd-one-out 3 A"},
		"16B": {"coupling-mismatch 3 A", "mixed-units 3 A", "odd-one-out 3 A"},
	} {
		b := newBase(t)
		b.unit("U70BL").Coupling = coupling
		b.rows(3)[0].Makeup = b.makeup("8×U120B + 1×U70BL", b.of("U120B", 8), b.of("U70BL", 1))
		require.Equal(t, want, b.exceptions(), coupling)
	}
}

// Pins are judged by the limit stated for them, whatever the limit of suspension assemblies.
func TestPinsAtAnyAngle(t *testing.T) {
	for _, c := range []struct {
		limitDeg float64
		want     string
	}{{5, "6 A meets"}, {3, "6 A falls short"}} {
		b := newBase(t)
		b.Lines[0].DeviationLimitDeg = math.NaN()
		b.Criteria.PinDeviationLimitDeg = audit.Stated(c.limitDeg)
		b.pinAt(6, audit.Pin, basis.Pin)
		for i := 6; i < 9; i++ { // turns by about 4° at structure 6
			b.Structures.Row(i).Lat += 0.0002 * float64(i-5)
		}
		require.Equal(t, c.want, at(6, b.told("tension-at-deviation"))[0])
	}
}

// A shackle at the end of a low-voltage line bears the tension; a voltage that does not tell makes it no shortfall.
func TestShacklesWhereALineEnds(t *testing.T) {
	for _, c := range []struct {
		name                   string
		change                 func(b *base)
		atEnd, voltage, strong string
	}{
		{"low voltage", func(*base) {}, "meets", "meets", "meets"},
		{"too weak", func(b *base) { b.Units[len(b.Units)-1].CantileverKN = 69 }, "meets", "meets", "falls short"}, // 28 kN × 2.5 = 70 kN
		{"voltage not readable, Um stated", func(b *base) {
			b.Lines[0].NominalKV, b.Lines[0].HighestKV, b.Lines[0].Faulty = math.NaN(), 12, audit.Cells(0).With(audit.CellVoltage)
		}, "not assessed a field it needs is faulty, see Faults", "not assessed a field it needs is faulty, see Faults", "meets"},
		{"direct current", func(b *base) { b.Lines[0].NominalKV, b.Lines[0].System = 1.2, audit.DirectCurrent },
			"not assessed " + audit.ShackleOnDirectCurrent.String(), "not assessed " + audit.ShackleOnDirectCurrent.String(), "meets"},
		{"only a creepage voltage", func(b *base) { b.Lines[0].NominalKV, b.Lines[0].CreepageKV = math.NaN(), 12 },
			"not assessed voltage of the line not stated", "not assessed voltage of the line not stated", "meets"},
		{"above low voltage", func(b *base) { b.Lines[0].NominalKV = 11 }, "falls short", "falls short", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase(t)
			b.pinAt(9, audit.Shackle, basis.Shackle)
			for _, row := range b.rows(9) {
				row.Side = audit.NoSide
			}
			b.Units[len(b.Units)-1].CantileverKN = 75
			b.Lines[0].NominalKV, b.Lines[0].HighestKV, b.Lines[0].LightningKV = 0.4, math.NaN(), math.NaN()
			c.change(b)
			for check, want := range map[string]string{"tension-at-terminal": c.atEnd, "shackle-voltage": c.voltage, "strength": c.strong} {
				got := at(9, b.told(check))
				if want == "" {
					require.Empty(t, got, check)
					continue
				}
				require.Equal(t, []string{"9 A " + want, "9 B " + want, "9 C " + want}, got, check)
			}
		})
	}
}
