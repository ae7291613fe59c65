package remedy_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// The sections of the sample are from 1 to 4 and from 4 to 7, each of three spans of about 290 m.
func TestSectionsAreDivided(t *testing.T) {
	bend := func(p *audit.Project, structure int) { p.Structures.Row(structure - 1).Lat += 0.000036 } // it turns 1.6°, those beside it 0.8°
	for name, c := range map[string]struct {
		change func(p *audit.Project)
		want   []string // structures that are held in tension
		says   string   // in the trace of the first job
	}{
		"within the limit":       {func(p *audit.Project) { p.Lines[0].SectionLimitKM = 0.95 }, nil, ""},
		"one cut, where 3 turns": {func(p *audit.Project) { p.Lines[0].SectionLimitKM = 0.7; bend(p, 3); bend(p, 6) }, []string{"3", "6"}, "divide the section from 1 to 4 into parts of 0.57 + 0.29 km"},
		"one cut, where 2 turns": {func(p *audit.Project) { p.Lines[0].SectionLimitKM = 0.7; bend(p, 2); bend(p, 5) }, []string{"2", "5"}, "(1 of 1 by half"},
		"two cuts":               {func(p *audit.Project) { p.Lines[0].SectionLimitKM = 0.4 }, []string{"2", "3", "5", "6"}, "Tension sets at 2 and 3"},
		"a job that is there already keeps what it mends": {
			func(p *audit.Project) {
				p.Lines[0].SectionLimitKM = 0.7
				rowsAt(p, "3")[0].UnitsPerString = 8
				bend(p, 3)
				bend(p, 6)
			}, []string{"3", "6"}, "",
		},
	} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			c.change(p)
			r, jobs := searched(t, p)
			var held []string
			for i := range jobs {
				held = append(held, r.Network.Number(jobs[i].Structure))
				require.Empty(t, jobs[i].StoppedBy)
				require.Equal(t, []audit.Duty{audit.Tension, audit.Jumper}, []audit.Duty{jobs[i].Remedies[0].To.Duty, jobs[i].Remedies[1].To.Duty})
				require.Equal(t, []audit.Side{audit.Back, audit.Ahead}, jobs[i].Remedies[0].Sides)
				require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 60}}, jobs[i].Remedies[0].Fit, "10 units on three phases and two sides")
			}
			require.Equal(t, c.want, held)
			if c.says != "" {
				require.Contains(t, strings.Join(jobs[0].Trace, "\n"), c.says)
			}
			again := audited(t, remedy.Apply(r.Project, jobs))
			require.Empty(t, again.Exceptions, "all is mended")
		})
	}
}

func TestSectionsThatAreNotDividedSayWhy(t *testing.T) {
	for name, c := range map[string]struct {
		change func(p *audit.Project)
		want   string
	}{
		"a side that is not stated within": {
			func(p *audit.Project) {
				p.Lines[0].SectionLimitKM = 0.5
				for _, row := range rowsAt(p, "2") {
					row.Duty = audit.Tension
				}
			}, "a structure within it may hold the conductor already: ",
		},
		"a span longer than the limit": {func(p *audit.Project) { p.Lines[0].SectionLimitKM = 0.2 }, "no structures within it divide it so that every part meets"},
		"nothing in stock serves": {func(p *audit.Project) {
			p.Lines[0].SectionLimitKM = 0.7
			pin := p.Units[0]
			pin.Name, pin.Kind, pin.Stocked = "pin", basis.Pin, true
			p.Units = append(p.Units, pin)
		}, "No unit to choose from is made for this duty"},
		"the other circuit is mended where nothing serves this one": {func(p *audit.Project) {
			p.Lines[0].SectionLimitKM, p.Lines[0].Circuits = 0.7, 2
			for i := range p.Assemblies.Len() {
				row := p.Assemblies.At(i)
				row.Circuit, row.Source.Row = p.Symbols.Number("2"), uint32(p.Assemblies.Len()+2)
				p.Assemblies.Append(row)
				p.RowsRead++
			}
			for _, number := range [...]string{"2", "3"} {
				for _, row := range rowsAt(p, number) {
					switch {
					case p.Symbols.Text(row.Circuit) == "2":
						row.UnitsPerString = 8
					case number == "2":
						row.Duty, row.Side = audit.Tension, audit.BothSides // so that the section is of circuit 2 alone
					default:
						row.Defective = 2
					}
				}
			}
			pin := p.Units[0]
			pin.Name, pin.Kind, pin.Stocked = "pin", basis.Pin, true
			p.Units = append(p.Units, pin)
		}, "No unit to choose from is made for this duty"},
	} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			c.change(p)
			r, jobs := searched(t, p)
			said := ""
			open := map[int]bool{}
			for i := range jobs {
				for _, s := range jobs[i].StoppedBy {
					said += fmt.Sprintln(s.Sentence)
				}
				for _, o := range jobs[i].Open {
					open[o.Exception] = true
				}
			}
			require.Contains(t, said, "The section from 1 to 4 is not divided: ")
			require.Contains(t, said, c.want)
			sections := 0
			for i := range r.Exceptions {
				if e := &r.Exceptions[i]; r.Checks[e.Check].ID == "section-length" && r.Network.Number(e.Structure) == "1" {
					sections++
					require.True(t, open[i], "it is named as open")
					for k := range jobs {
						require.True(t, !slices.Contains(jobs[k].Exceptions, i) || isOpen(&jobs[k], i), "the job at %s does not say that it mends it", r.Network.Number(jobs[k].Structure))
					}
				}
			}
			require.Positive(t, sections)
		})
	}
}

// A section of which one part cannot be divided stays too long, and the job that divides the other part says so too.
func TestNoJobSaysThatItMendsASectionThatIsLeft(t *testing.T) {
	p := sample(t)
	p.Lines[0].SectionLimitKM = 0.4
	p.Structures.Row(0).Lon -= 0.003 // the first span is longer than the limit
	p.Structures.Row(0).Lat -= 0.001 // the line turns at 2, which is to be held in tension for that
	r, jobs := searched(t, p)
	section := slices.IndexFunc(r.Exceptions, func(e audit.Exception) bool {
		return r.Checks[e.Check].ID == "section-length" && r.Network.Number(e.Structure) == "1"
	})
	require.GreaterOrEqual(t, section, 0)
	var leave []string
	for i := range jobs {
		if !slices.Contains(jobs[i].Exceptions, section) {
			continue
		}
		leave = append(leave, r.Network.Number(jobs[i].Structure))
		require.True(t, isOpen(&jobs[i], section), leave)
		require.Contains(t, jobs[i].StoppedBy[0].Sentence, "The section from 1 to 2 is not divided")
	}
	require.Equal(t, []string{"1", "3"}, leave)
}

// isOpen tells whether a job names an exception as one that it leaves.
func isOpen(j *remedy.Job, exception int) bool {
	return slices.ContainsFunc(j.Open, func(o remedy.Open) bool { return o.Exception == exception })
}
