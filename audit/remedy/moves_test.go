package remedy_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// sample is a line of seven structures of 132 kV with 10 × U120B on every phase, sound in class c, which turns at structure 4. Its
// ends and its turn are held in tension by 10 × U120B on each side, with jumper strings at the turn.
func sample(t *testing.T) *audit.Project {
	t.Helper()
	p := &audit.Project{Criteria: audit.DefaultCriteria(), RegisterGiven: true, Makeups: []audit.Makeup{{}}, Units: basis.Catalogue(), Conductors: basis.Conductors()}
	p.AddTable(audit.Table{File: "structures.geojson"})
	p.AddTable(audit.Table{File: "register.xlsx", Sheet: "Assemblies"})
	p.Criteria.DefaultClass = basis.ClassC
	p.Criteria.DeviationLimitDeg = audit.Stated(2)
	line := audit.UnknownLineRow()
	line.Line, line.NominalKV, line.HighestKV, line.Circuits = p.Symbols.Number("L"), 132, 145, 1
	line.Phases, _ = audit.ParsePhases("ABC")
	p.Lines = append(p.Lines, line)
	lat := 50.0
	for i := 1; i <= 7; i++ {
		if i > 4 {
			lat += 0.001
		}
		number, err := p.Texts.Add(fmt.Sprint(i))
		require.NoError(t, err)
		p.Structures.Append(audit.StructureRow{Line: line.Line, Number: number, Lon: 10 + 0.004*float64(i), Lat: lat, Sequence: float64(i),
			GroundM: 100, AttachmentM: math.NaN(), DeviationLimitDeg: math.NaN(), Source: audit.Source{Row: uint32(i)}})
		switch i {
		case 1:
			hang(t, p, number, audit.Tension, audit.Ahead)
		case 7:
			hang(t, p, number, audit.Tension, audit.Back)
		case 4:
			hang(t, p, number, audit.Tension, audit.Back)
			hang(t, p, number, audit.Tension, audit.Ahead)
			hang(t, p, number, audit.Jumper, audit.NoSide)
		default:
			hang(t, p, number, audit.Suspension, audit.NoSide)
		}
	}
	return p
}

func hang(t *testing.T, p *audit.Project, number audit.TextAt, duty audit.Duty, side audit.Side) {
	t.Helper()
	for _, phase := range [...]string{"A", "B", "C"} {
		phases, ok := audit.ParsePhases(phase)
		require.True(t, ok)
		p.Assemblies.Append(audit.AssemblyRow{
			RowOwn:  audit.RowOwn{Line: p.Symbols.Number("L"), Number: number, Side: side, Source: audit.Source{Table: 1, Row: uint32(p.Assemblies.Len() + 2)}, Installed: audit.NoDay, Inspected: audit.NoDay},
			RowSaid: audit.RowSaid{Circuit: p.Symbols.Number("1"), Phase: p.Symbols.Number(phase), Phases: phases, Duty: duty, Makeup: makeupOf(p, "U120B"), UnitsPerString: 10, Strings: 1, Arrangement: audit.Single},
		})

		p.RowsRead++
	}
}

// rowsAt are the rows of a structure of the sample.
func rowsAt(p *audit.Project, number string) (rows []*audit.AssemblyRow) {
	for i := range p.Assemblies.Len() {
		if p.Texts.Get(p.Assemblies.Row(i).Number) == number {
			rows = append(rows, p.Assemblies.Row(i))
		}
	}
	return rows
}

// stocked puts units into stock, each at a price.
func stocked(p *audit.Project, price float64, names ...string) {
	for _, name := range names {
		for u := range p.Units {
			if p.Units[u].Name == name {
				p.Units[u].Stocked, p.Units[u].Price = true, price
			}
		}
	}
}

// loaded gives the sample a conductor, a load case and a factor.
func loaded(p *audit.Project, tensionKN float64) {
	p.Lines[0].Conductor, p.Lines[0].MaximumTensionKN = p.Symbols.Number("Panther"), tensionKN
	p.Criteria.InsulatorFactor = audit.InsulatorFactor{Basis: "a rule", Tension: 2, Suspension: 2, Cantilever: 2.5, OneStringBroken: 1.5}
	p.Criteria.LoadCases = []audit.LoadCase{{Name: "wind", WindPa: 400, From: audit.MaximumTension, Factor: 1}}
}

func TestMoves(t *testing.T) {
	for name, c := range map[string]struct {
		change func(p *audit.Project)
		want   []string // move, duty, sides, what to hang, to fit, to remove
		stop   string   // in what stopped it
		open   int
	}{
		"nothing falls short": {func(p *audit.Project) {}, nil, "", 0},
		"defective units": {
			func(p *audit.Project) { rowsAt(p, "3")[1].Defective = 2 },
			[]string{"sound units for defective ones suspension [] 10 × U120B [{U120B 2}] [{U120B 2}]"}, "", 0,
		},
		"one string too short": {
			func(p *audit.Project) { rowsAt(p, "3")[0].UnitsPerString = 8 },
			[]string{"more units suspension [] 10 × U120B [{U120B 2}] []"}, "", 0,
		},
		"too few units on one phase, on others more than the line allows": { // 10 of 146 mm, 1460 mm
			func(p *audit.Project) {
				p.Lines[0].LongestStringMM = 1460
				at := rowsAt(p, "3")
				at[0].UnitsPerString, at[1].UnitsPerString, at[2].UnitsPerString = 12, 12, 9
			},
			[]string{"more units suspension [] 10 × U120B [{U120B 1}] [{U120B 4}]"}, "", 0,
		},
		"the unit is not in stock, one of its coupling is": {
			func(p *audit.Project) { rowsAt(p, "3")[0].UnitsPerString = 8; stocked(p, 10, "U120BP", "U160BL") },
			[]string{"another unit suspension [] 10 × U120BP [{U120BP 30}] [{U120B 28}]"}, "", 0,
		},
		"three strings beside each other, where two would have to be of more units": {
			func(p *audit.Project) {
				loaded(p, 35)
				p.Criteria.LongSpanM = audit.Stated(400)
				p.Structures.Row(0).Lon -= 0.003
				for _, row := range rowsAt(p, "2") {
					row.Strings, row.Arrangement = 2, audit.Parallel
				}
				direct := audit.UnknownDirectValues()
				direct.RatingKN, direct.CreepageMM = 40, 4700
				p.Direct = append(p.Direct, direct)
				rowsAt(p, "1")[0].Direct = uint32(len(p.Direct))
			},
			[]string{"more strings side by side tension [ahead] 3 strings of 10 × U120B [{U120B 60}] []"}, "", 0,
		},
		"only units of another coupling are in stock": {
			func(p *audit.Project) { rowsAt(p, "3")[0].UnitsPerString = 8; stocked(p, 10, "U160BL", "U210B") },
			nil, "fits the couplings", 1,
		},
		"a suspension assembly at the end": {
			func(p *audit.Project) {
				for _, row := range rowsAt(p, "7") {
					row.Duty, row.Side = audit.Suspension, audit.NoSide
				}
			},
			[]string{"another duty suspension [back] 10 × U120B [{U120B 30}] [{U120B 30}]"}, "", 0,
		},
		"nothing registered": {
			func(p *audit.Project) {
				for _, row := range rowsAt(p, "3") {
					row.Duty, row.Phases, row.Makeup = audit.EarthWire, audit.EveryPhase, 0
				}
			},
			[]string{"a new assembly suspension [] 10 × U120B [{U120B 30}] []"}, "", 0,
		},
		"a string too short that a later row repeats": {
			func(p *audit.Project) {
				row := rowsAt(p, "3")[0]
				row.UnitsPerString = 8
				p.Assemblies.Append(*row)
				p.RowsRead++
			},
			[]string{"more units suspension [] 10 × U120B [{U120B 2}] []"}, "", 0,
		},
		"a later row of a sound string has it otherwise": {
			func(p *audit.Project) {
				row := *rowsAt(p, "3")[0]
				row.UnitsPerString = 8
				p.Assemblies.Append(row)
				p.RowsRead++
			},
			[]string{"new units for all that hang there suspension [] 10 × U120B [{U120B 10}] []"}, "", 0,
		},
		"a phase missing": {
			func(p *audit.Project) { rowsAt(p, "2")[2].Duty = audit.EarthWire },
			[]string{"a new assembly suspension [] 10 × U120B [{U120B 10}] []"}, "", 0,
		},
		"a side missing": {
			func(p *audit.Project) {
				for _, row := range rowsAt(p, "4")[:3] {
					row.Duty = audit.EarthWire
				}
			},
			[]string{"a new assembly tension [back] 10 × U120B [{U120B 30}] []"}, "", 0,
		},
	} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			c.change(p)
			r := audited(t, p)
			jobs, err := remedy.Search(context.Background(), r, remedy.Options{Workers: 2})
			require.NoError(t, err)
			requireLoop(t, r, jobs)
			if c.want == nil && c.stop == "" {
				require.Empty(t, jobs)
				return
			}
			require.Len(t, jobs, 1)
			var got []string
			for _, x := range jobs[0].Remedies {
				got = append(got, fmt.Sprintf("%s %s %v %s %v %v", x.Move, x.Duty, x.Sides, x.To, x.Fit, x.Remove))
			}
			require.Equal(t, c.want, got)
			left := 0
			for _, o := range jobs[0].Open {
				if o.Exception >= 0 {
					left++
				}
			}
			require.Equal(t, c.open, left)
			if c.stop == "" {
				require.Empty(t, jobs[0].StoppedBy)
				return
			}
			require.Len(t, jobs[0].StoppedBy, 1)
			require.Contains(t, jobs[0].StoppedBy[0].Sentence, c.stop)
		})
	}
}

// searched is the jobs of a project.
func searched(t *testing.T, p *audit.Project) (*audit.Result, []remedy.Job) {
	t.Helper()
	r := audited(t, p)
	jobs, err := remedy.Search(context.Background(), r, remedy.Options{Workers: 2})
	require.NoError(t, err)
	requireLoop(t, r, jobs)
	return r, jobs
}

// A turn in the middle of suspension structures gets a set on each side, and the jumper strings that the line has at its other turn.
func TestTensionSetsBringJumperStrings(t *testing.T) {
	turned := func() *audit.Project {
		p := sample(t)
		for i := 2; i < 7; i++ {
			p.Structures.Row(i).Lat += 0.0015 * float64(i-1)
		}
		return p
	}
	_, jobs := searched(t, turned())
	require.Len(t, jobs, 1)
	require.Equal(t, 1, jobs[0].Structure)
	require.Len(t, jobs[0].Remedies, 2)
	sets, jumpers := jobs[0].Remedies[0], jobs[0].Remedies[1]
	require.Equal(t, remedy.OtherDuty, sets.Move)
	require.Equal(t, []audit.Side{audit.Back, audit.Ahead}, sets.Sides)
	require.Equal(t, "A,B,C", sets.Phases.String())
	require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 60}}, sets.Fit)
	require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 30}}, sets.Remove)
	require.Equal(t, audit.Jumper, jumpers.To.Duty)
	require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 30}}, jumpers.Fit)
	require.Contains(t, jobs[0].Trace[0], "no string serves")

	without := turned()
	for _, row := range rowsAt(without, "4") {
		if row.Duty == audit.Jumper {
			row.Duty = audit.EarthWire
		}
	}
	_, jobs = searched(t, without)
	require.Len(t, jobs[0].Remedies, 1)
}

// 30 kN on a string of 40 kN with a factor of 2 needs 60 kN: two strings, of which one may break where the rest bear 30 × 1.5 = 45 kN,
// which no string of 40 kN does, so three (computed).
func TestMoreStrings(t *testing.T) {
	p := sample(t)
	loaded(p, 30)
	for _, row := range rowsAt(p, "7") {
		row.Makeup, row.UnitsPerString = makeupOf(p, "U40B"), 16
	}
	stocked(p, 10, "U40B")
	_, jobs := searched(t, p)
	require.Len(t, jobs, 1)
	require.Equal(t, remedy.Set{Duty: audit.Tension, Arrangement: audit.Parallel, Unit: "U40B", UnitsPerString: 16, Strings: 3}, jobs[0].Remedies[0].To)
	require.Equal(t, []remedy.Count{{Unit: "U40B", Count: 96}}, jobs[0].Remedies[0].Fit)
	require.InDelta(t, 960, jobs[0].Remedies[0].Price, 1e-9)
}

// Class e wants 4495.5 mm at Um 145 kV, 16 units of 295 mm (computed from IEC TS 60815-1:2008), 2336 mm long.
func TestWhatStopsIsSaidWithItsFigures(t *testing.T) {
	p := sample(t)
	p.Criteria.DefaultClass = basis.ClassE
	p.Lines[0].LongestStringMM = 2000
	stocked(p, 10, "U120B")
	r, jobs := searched(t, p)
	require.Len(t, jobs, 7)
	for _, job := range jobs {
		require.Empty(t, job.Remedies)
		require.NotEmpty(t, job.StoppedBy)
		stop := job.StoppedBy[0]
		require.Equal(t, "string-too-long", r.Checks[stop.Check].ID)
		require.Contains(t, stop.Sentence, "16 × U120B, 2336 mm long; the line allows 2000 mm")
	}

	// In class a 7 units have the creepage, and a level of 650 kV wants more of them than creepage does.
	t.Run("a limit that another check runs into", func(t *testing.T) {
		p := sample(t)
		p.Criteria.DefaultClass, p.Lines[0].LongestStringMM, p.Lines[0].LightningKV = basis.ClassA, 1030, 650
		for _, row := range rowsAt(p, "3") {
			row.UnitsPerString = 7
		}
		stocked(p, 10, "U120B")
		r, jobs := searched(t, p)
		require.Len(t, jobs, 7)
		for _, job := range jobs {
			want := "the line allows 1030 mm"
			if r.Network.Number(job.Structure) == "3" {
				want = "8 × U120B is 1168 mm long; " + want
			}
			require.Contains(t, job.StoppedBy[0].Sentence, want)
		}
	})
}

// A unit of which only the coupling is unknown is not proposed, and not passed over in silence either.
func TestUnknownCouplingIsSaid(t *testing.T) {
	for coupling, want := range map[string]string{
		"":   "Long rod would serve but its coupling is not stated.",
		"16": "",
		"20": "No unit to choose from is made for this duty and fits the couplings that hang there. Sought were units of coupling 16 alone, as what hangs there has.",
	} {
		p := sample(t)
		rod := basis.UnknownUnit()
		rod.Name, rod.Kind, rod.Coupling, rod.CreepageMM, rod.RatingKN, rod.SpacingMM, rod.Stocked = "Long rod", basis.Composite, coupling, 6000, 120, 1400, true
		p.Units = append(p.Units, rod)
		for _, row := range rowsAt(p, "3") {
			row.UnitsPerString = 5
		}
		_, jobs := searched(t, p)
		require.Len(t, jobs, 1, coupling)
		if want == "" {
			require.NotEmpty(t, jobs[0].Remedies)
			require.Empty(t, jobs[0].StoppedBy)
			continue
		}
		require.Empty(t, jobs[0].Remedies, coupling)
		require.Equal(t, want, jobs[0].StoppedBy[0].Sentence)
	}
}

// A unit that states no wind area does not swing less than one that states more than both can have by diameter and spacing. Where nothing
// swings in the wind of a load case that keeps no unit away.
func TestNoUnitWinsByABlankWindArea(t *testing.T) {
	windy := func(p *audit.Project) { loaded(p, 20) }
	for name, c := range map[string]struct {
		hangs, takes float64
		change       func(p *audit.Project)
		serves       bool
	}{
		"the other's is blank":          {0.3, math.NaN(), windy, false},
		"the other's is stated":         {0.3, 0.03, windy, true},
		"both are within the rectangle": {0.03, math.NaN(), windy, true},
		"no load case":                  {0.3, math.NaN(), func(p *audit.Project) {}, true},
		"no wind": {0.3, math.NaN(), func(p *audit.Project) {
			windy(p)
			p.Criteria.LoadCases[0].WindPa = 0
		}, true},
		"V sets": {0.3, math.NaN(), func(p *audit.Project) {
			windy(p)
			p.Lines[0].FittingsMM = 300
			for _, row := range rowsAt(p, "3") {
				row.Arrangement, row.Strings, row.VAngleDeg = audit.VSet, 2, 90
			}
		}, true},
	} {
		p := sample(t)
		p.Lines[0].SwingLimitDeg = 80
		other := *unitOf(p, "U120B")
		other.Name, other.WindAreaM2, other.Stocked = "Other", c.takes, true
		p.Units = append(p.Units, other)
		for _, row := range rowsAt(p, "3") {
			row.UnitsPerString = 5
		}
		unitOf(p, "U120B").WindAreaM2 = c.hangs
		c.change(p)
		r, jobs := searched(t, p)
		at := slices.IndexFunc(jobs, func(j remedy.Job) bool { return r.Network.Number(j.Structure) == "3" })
		require.GreaterOrEqual(t, at, 0, name)
		require.Equal(t, c.serves, len(jobs[at].Remedies) > 0, "%s: %+v", name, jobs[at].StoppedBy)
		if !c.serves {
			require.Contains(t, jobs[at].StoppedBy[0].Sentence, "The wind area of Other is not stated", name)
			require.True(t, jobs[at].StoppedBy[0].Unjudged, "a datum that is missing is no limit")
			require.Equal(t, "wind area of Other not stated", jobs[at].StoppedBy[0].Lacks)
		}
	}
}

// Where another limit stops the unit whatever its wind area is, that is what stops it.
func TestLimitIsToldBeforeABlankWindArea(t *testing.T) {
	p := sample(t)
	loaded(p, 20)
	p.Lines[0].SwingLimitDeg, p.Lines[0].LongestStringMM = 80, 1000
	other := *unitOf(p, "U120B")
	other.Name, other.WindAreaM2, other.Stocked = "Other", math.NaN(), true
	p.Units = append(p.Units, other)
	for _, row := range rowsAt(p, "3") {
		row.UnitsPerString = 5
	}
	unitOf(p, "U120B").WindAreaM2 = 0.3
	r, jobs := searched(t, p)
	at := slices.IndexFunc(jobs, func(j remedy.Job) bool { return r.Network.Number(j.Structure) == "3" })
	require.GreaterOrEqual(t, at, 0)
	require.Empty(t, jobs[at].Remedies)
	require.Equal(t, "string-too-long", r.Checks[jobs[at].StoppedBy[0].Check].ID)
	require.False(t, jobs[at].StoppedBy[0].Unjudged)
}

// How many assemblies a circuit needs is not known where fewer than three of its phases are.
func TestNoAssembliesForACircuitOfUnknownPhases(t *testing.T) {
	p := sample(t)
	p.Lines[0].Phases = 0
	p.Assemblies.Delete(func(i int) bool {
		row := p.Assemblies.At(i)
		return p.Symbols.Text(row.Phase) == "C" || p.Texts.Get(row.Number) == "3"
	})
	p.RowsRead = p.Assemblies.Len()
	_, jobs := searched(t, p)
	require.Len(t, jobs, 1)
	require.Empty(t, jobs[0].Remedies)
	require.Contains(t, jobs[0].StoppedBy[0].Sentence, "so neither is how many assemblies it needs")
}

// A string gets no longer than the line allows because another phase hangs as long, and what its stated length says of its fittings stays.
func TestLongestStringBindsEveryPhase(t *testing.T) {
	for name, c := range map[string]struct {
		change func(p *audit.Project, at []*audit.AssemblyRow)
		want   string // what to hang, or what stops it
	}{
		"another phase is of rods that are longer": {func(p *audit.Project, at []*audit.AssemblyRow) {
			p.Lines[0].LongestStringMM = 1459
			for i := range p.Units {
				if p.Units[i].Name == "U120B" {
					rod := p.Units[i]
					rod.Name, rod.Kind, rod.SpacingMM, rod.CreepageMM, rod.Stocked = "ROD", basis.Composite, 1600, 4700, false
					p.Units = append(p.Units, rod)
					break
				}
			}
			at[1].Makeup, at[1].UnitsPerString = makeupOf(p, "ROD"), 1
		}, "10 × U120B, 1460 mm long; the line allows 1459 mm"},
		"within the limit without the fittings": {func(p *audit.Project, at []*audit.AssemblyRow) {
			p.Lines[0].LongestStringMM = 1500
		}, "10 × U120B"},
		"beyond it with them": {func(p *audit.Project, at []*audit.AssemblyRow) {
			p.Lines[0].LongestStringMM = 1500
			direct := audit.UnknownDirectValues()
			direct.LengthMM = 9*146 + 41
			p.Direct = append(p.Direct, direct)
			at[0].Direct = uint32(len(p.Direct))
		}, "10 × U120B is stated to be 1501 mm long; the line allows 1500 mm."},
		"just within it with them": {func(p *audit.Project, at []*audit.AssemblyRow) {
			p.Lines[0].LongestStringMM = 1500
			direct := audit.UnknownDirectValues()
			direct.LengthMM = 9*146 + 40
			p.Direct = append(p.Direct, direct)
			at[0].Direct = uint32(len(p.Direct))
		}, "10 × U120B"},
	} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			stocked(p, 10, "U120B")
			at := rowsAt(p, "3")
			at[0].UnitsPerString = 9
			c.change(p, at)
			r, jobs := searched(t, p)
			i := slices.IndexFunc(jobs, func(j remedy.Job) bool { return r.Network.Number(j.Structure) == "3" })
			require.GreaterOrEqual(t, i, 0)
			if len(jobs[i].Remedies) > 0 {
				require.Equal(t, c.want, jobs[i].Remedies[0].To.String())
				return
			}
			require.Contains(t, jobs[i].StoppedBy[0].Sentence, c.want)
		})
	}
}

// The criteria say what counts first. In class d U120BP at 9 a unit costs less than as many U120B at 10 as the class wants.
func TestPreference(t *testing.T) {
	for _, c := range []struct {
		prefer []audit.Preference
		unit   string
	}{{nil, "U120B"}, {[]audit.Preference{audit.LeastPrice}, "U120B"}, {[]audit.Preference{audit.LeastLength}, "U120BP"}} {
		p := sample(t)
		p.Criteria.DefaultClass = basis.ClassD
		p.Criteria.Remedy.Prefer = c.prefer
		stocked(p, 10, "U120B")
		stocked(p, 9, "U120BP")
		_, jobs := searched(t, p)
		require.Equal(t, c.unit, jobs[0].Remedies[0].To.Unit, "%v", c.prefer)
		if c.unit == "U120B" {
			require.Equal(t, "U120BP", jobs[0].Alternatives[0].To.Unit, "it is the shorter one")
		}
	}
}

// Where no unit is marked as stocked, the units in use on the line are taken, then the catalogue, and the job says so.
func TestCandidates(t *testing.T) {
	p := sample(t)
	rowsAt(p, "3")[0].UnitsPerString = 8
	_, jobs := searched(t, p)
	require.Equal(t, remedy.InUse, jobs[0].Candidates)

	p = sample(t)
	p.Criteria.DefaultClass, p.Lines[0].LongestStringMM = basis.ClassE, 2000
	_, jobs = searched(t, p)
	require.Equal(t, remedy.Catalogue, jobs[0].Candidates)
	require.Equal(t, "U120BP", jobs[0].Remedies[0].To.Unit)
}

// Where units may be bought, those in use on the line and those of the sheet Units are taken, in stock or not, and where none of them
// serves all of the catalogue; the job says so.
func TestCandidatesToBuy(t *testing.T) {
	bought := func(p *audit.Project) remedy.Job {
		r := audited(t, p)
		jobs, err := remedy.Search(context.Background(), r, remedy.Options{Workers: 2, Buy: true})
		require.NoError(t, err)
		requireLoop(t, r, jobs)
		return jobs[0]
	}
	p := sample(t)
	rowsAt(p, "3")[0].UnitsPerString = 8
	stocked(p, 9, "U160BL") // which has another coupling
	_, jobs := searched(t, p)
	require.NotEmpty(t, jobs[0].StoppedBy)
	job := bought(p)
	require.Equal(t, remedy.Bought, job.Candidates)
	require.Equal(t, remedy.Set{Duty: audit.Suspension, Arrangement: audit.Single, Unit: "U120B", UnitsPerString: 10, Strings: 1}, job.Remedies[0].To)

	p = sample(t)
	p.Criteria.DefaultClass, p.Lines[0].LongestStringMM = basis.ClassE, 2000
	job = bought(p)
	require.Equal(t, remedy.BoughtToo, job.Candidates)
	require.Equal(t, "U120BP", job.Remedies[0].To.Unit)
	for u := range p.Units {
		if p.Units[u].Name == "U120BP" {
			p.Units[u].Price = 30 // the sheet Units says so
		}
	}
	require.Equal(t, remedy.Bought, bought(p).Candidates)
}

// Apply leaves the project that it was given as it is.
func TestApplyChangesACopy(t *testing.T) {
	p := sample(t)
	rowsAt(p, "3")[0].UnitsPerString = 8
	rowsAt(p, "2")[2].Duty = audit.EarthWire
	_, jobs := searched(t, p)
	rows := p.Assemblies.Len()
	changed := remedy.Apply(p, jobs)
	require.Equal(t, int16(8), rowsAt(p, "3")[0].UnitsPerString)
	require.Equal(t, int16(10), rowsAt(changed, "3")[0].UnitsPerString)
	require.Equal(t, rows, p.Assemblies.Len())
	require.Equal(t, rows+1, changed.Assemblies.Len())
	require.Equal(t, "C", changed.Symbols.Text(changed.Assemblies.At(rows).Phase))
	require.Len(t, jobs, 2)
}

func unitOf(p *audit.Project, name string) *basis.Unit {
	return &p.Units[slices.IndexFunc(p.Units, func(u basis.Unit) bool { return u.Name == name })]
}
