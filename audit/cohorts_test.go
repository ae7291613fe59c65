package audit

import (
	"fmt"
	"testing"
	"time"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// told is a cohort in few words, for tables of cases.
func (c *Cohort) told() string {
	return fmt.Sprintf("%s/%s/%d/%s: %d rows, %d uncounted, %d units, %d unstated, %d to %d defective", c.Make, c.Type, c.FirstYear, c.Class, c.Assemblies, c.Uncounted, c.Units, c.Unstated, c.Least, c.Most)
}

// Every placed row is in one cohort, whatever is not known of it; blank and unreadable defects are not none, and those of several strings
// lie between that of the worst and as many on each.
func TestCohortsAddUpToTheRegister(t *testing.T) {
	s := newSketch(t)
	s.p.Criteria.DefaultClass = basis.ClassC
	for i, number := range []string{"1", "2", "3"} {
		s.structure("L", number, 10+0.003*float64(i), 0)
	}
	s.line("L").Phases, _ = ParsePhases("A,B,C")
	add := func(number, phase string, installed Day, change func(r *AssemblyRow)) {
		r := s.assembly("L", number, "1", phase, Suspension, NoSide)
		r.Installed = installed
		if change != nil {
			change(r)
		}
	}
	day := Day(time.Date(1989, 12, 31, 0, 0, 0, 0, time.UTC).Unix() / 86400)
	add("1", "A", day, func(r *AssemblyRow) { r.Defective = 2 })
	add("1", "B", MonthOf(1980, time.January), nil)
	add("1", "C", YearOf(1990), func(r *AssemblyRow) { r.Blank |= BlankDefective })
	add("2", "", YearOf(1990), func(r *AssemblyRow) { r.Defective, r.Strings = 1, 2 }) // three phases, two strings each
	add("3", "A", NoDay, func(r *AssemblyRow) { r.Faulty = r.Faulty.With(CellDefective) })
	add("3", "B", NoDay, func(r *AssemblyRow) { r.UnitsPerString, r.Makeup = -1, 0 })
	add("3", "C", NoDay, func(r *AssemblyRow) { r.Defective = 10 }) // of nine
	add("9", "A", NoDay, nil)                                       // no such structure
	s.p.Carried.Add(s.p.Assemblies.At(0).Source, "MAKER", s.p.Symbols.Number("Vell"))
	s.p.Carried.Add(s.p.Assemblies.At(1).Source, "District", s.p.Symbols.Number("north"))
	n := s.network()
	var told []string
	rows := 0
	for _, c := range n.Cohorts() {
		told = append(told, c.told())
		rows += c.Assemblies
	}
	require.Equal(t, []string{
		"Vell/disc/1980/c: 1 rows, 0 uncounted, 9 units, 0 unstated, 2 to 2 defective",
		"/disc/1980/c: 1 rows, 0 uncounted, 9 units, 0 unstated, 0 to 0 defective",
		"/disc/1990/c: 2 rows, 0 uncounted, 63 units, 9 unstated, 1 to 6 defective",
		"/disc/0/c: 2 rows, 0 uncounted, 18 units, 18 unstated, 0 to 0 defective",
		"//0/c: 1 rows, 1 uncounted, 0 units, 0 unstated, 0 to 0 defective",
	}, told)
	require.Equal(t, n.RowsPlaced, rows)
	require.Equal(t, s.p.RowsRead, rows+n.RowsLeftOut)
}

// Makes that differ by case and blanks are one, by the spelling that sorts first, whatever the order of the rows; so of rows that repeat one
// another. Other letters make another.
func TestMakesBySpelling(t *testing.T) {
	for _, makes := range [][]string{{"vell  ", "Vell", "VELL", "Vel l", ""}, {"", "VELL", "Vel l", "Vell", "vell  "}} {
		s := newSketch(t)
		for i, make := range makes {
			number := fmt.Sprint(i)
			s.structure("L", number, 10+0.003*float64(i), 0)
			s.p.Carried.Add(s.assembly("L", number, "1", "A", Suspension, NoSide).Source, "Make", s.p.Symbols.Number(make))
		}
		var told []string
		for _, c := range s.network().Cohorts() {
			told = append(told, fmt.Sprint(c.Make, " ", c.Assemblies))
		}
		require.Equal(t, []string{"Vel l 1", "VELL 3", " 1"}, told)
	}
}

// The project may state how many years make a band; each is counted from the years that the number divides.
func TestYearsOfACohort(t *testing.T) {
	for years, want := range map[float64][][3]int{
		1:  {{1985, 1985, 1}, {1989, 1989, 1}, {1990, 1990, 1}, {1994, 1994, 1}, {1995, 1995, 1}, {0, 0, 1}},
		5:  {{1985, 1989, 2}, {1990, 1994, 2}, {1995, 1999, 1}, {0, 0, 1}},
		7:  {{1981, 1987, 1}, {1988, 1994, 3}, {1995, 2001, 1}, {0, 0, 1}},
		10: {{1980, 1989, 2}, {1990, 1999, 3}, {0, 0, 1}},
	} {
		s := newSketch(t)
		s.p.Criteria.CohortYears = Stated(years)
		for i, installed := range []Day{YearOf(1985), YearOf(1989), YearOf(1990), YearOf(1994), YearOf(1995), NoDay} {
			number := fmt.Sprint(i)
			s.structure("L", number, 10+0.003*float64(i), 0)
			s.assembly("L", number, "1", "A", Suspension, NoSide).Installed = installed
		}
		var bands [][3]int
		for _, c := range s.network().Cohorts() {
			bands = append(bands, [3]int{c.FirstYear, c.LastYear, c.Assemblies})
		}
		require.Equal(t, want, bands, "bands of %g years", years)
	}
}

func TestRatesOfCohorts(t *testing.T) {
	_, _, _, _, ok := (&Cohort{Units: 129, Unstated: 100}).PerThousand()
	require.False(t, ok, "of 29 known units nothing is said")
	_, _, _, _, ok = (&Cohort{Units: 130, Unstated: 100}).PerThousand()
	require.True(t, ok, "of 30 it is")
	for _, c := range []Cohort{{Units: 263, Least: 81, Most: 81}, {Units: 363, Unstated: 100, Least: 81, Most: 90}} {
		rate, low, high, exact, ok := c.PerThousand()
		require.True(t, ok)
		require.Equal(t, c.Least == c.Most, exact)
		require.InDelta(t, 1000*81.0/263, rate, 1e-9)
		least, _ := basis.Wilson(c.Least, 263)
		_, most := basis.Wilson(c.Most, 263)
		require.InDelta(t, 1000*least, low, 1e-9)
		require.InDelta(t, 1000*most, high, 1e-9)
	}
}

func TestYearsOfDays(t *testing.T) {
	for of, year := range map[Day]int{NoDay: 0, 0: 1970, -1: 1969, MonthOf(2019, time.December): 2019, MonthOf(2020, time.January): 2020, YearOf(1950): 1950} {
		require.Equal(t, year, of.Year(), of.String())
	}
}

// Of rows that repeat each other one is counted, for what they all say, whichever stands first.
func TestCohortOfRepeatedRows(t *testing.T) {
	changes := map[string]func(r *AssemblyRow){
		"/disc/2000/c: 1 rows, 0 uncounted, 9 units, 0 unstated, 0 to 0 defective": func(*AssemblyRow) {},
		"/disc/0/c: 1 rows, 0 uncounted, 9 units, 0 unstated, 0 to 0 defective":    func(r *AssemblyRow) { r.Installed = YearOf(2011) },
		"/disc/2000/c: 1 rows, 1 uncounted, 0 units, 0 unstated, 0 to 0 defective": func(r *AssemblyRow) { r.UnitsPerString = 8 },
		"/disc/2000/c: 1 rows, 0 uncounted, 9 units, 9 unstated, 0 to 0 defective": func(r *AssemblyRow) { r.Defective = 3 },
		"//2000/c: 1 rows, 1 uncounted, 0 units, 0 unstated, 0 to 0 defective":     func(r *AssemblyRow) { r.Makeup = 0 },
	}
	for want, change := range changes {
		for _, changed := range []int{0, 1} {
			s := newSketch(t)
			s.p.Criteria.DefaultClass = basis.ClassC
			for i, number := range []string{"1", "2", "3"} {
				s.structure("L", number, 10+0.003*float64(i), 0)
			}
			for i := range 2 {
				r := s.assembly("L", "2", "1", "A", Suspension, NoSide)
				r.Installed = YearOf(2004)
				if i == changed {
					change(r)
				}
			}
			cohorts := s.network().Cohorts()
			require.Len(t, cohorts, 1)
			require.Equal(t, want, cohorts[0].told())
		}
	}
}

// A date of installation that has not been is told, and is of no cohort of years to come; the day of the audit has been.
func TestInstalledAfterTheDayOfTheAudit(t *testing.T) {
	for day, c := range map[Day]struct {
		first int // year of the cohort
		told  bool
	}{DayOf("2026-07-01"): {0, true}, MonthOf(2026, time.July): {0, true}, YearOf(2030): {0, true}, DayOf("2026-06-30"): {2020, false}, MonthOf(2026, time.June): {2020, false},
		YearOf(2026): {2020, false}, NoDay: {0, false}} {
		s := newSketch(t)
		s.p.AsOf = DayOf("2026-06-30")
		s.structure("L", "1", 10, 0)
		r := s.assembly("L", "1", "1", "A", Suspension, NoSide)
		r.Installed = day
		cohorts := s.network().Cohorts()
		require.Len(t, cohorts, 1)
		require.Equal(t, c.first, cohorts[0].FirstYear, day)
		var told []Fault
		for _, f := range s.p.Faults.List() {
			if f.Column == "Installed" {
				told = append(told, f)
			}
		}
		if !c.told {
			require.Empty(t, told, day)
			continue
		}
		require.Len(t, told, 1, day)
		require.Equal(t, []any{OutOfRange, r.Source, day.String()}, []any{told[0].Kind, told[0].At, told[0].Value})
		require.Contains(t, told[0].Expected, "is later than the day of the audit, 2026-06-30; the age of what hangs there is not known")
	}
}
