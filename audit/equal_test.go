package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// taken are the sentences of a network on names taken for equal.
func taken(n *Network) (texts []string) {
	for _, a := range n.Taken() {
		texts = append(texts, a.Text)
	}
	return texts
}

func TestNamesTakenForEqual(t *testing.T) {
	for name, c := range map[string]struct {
		lines   []string // of the structures; the first has structures numbers
		numbers []string
		rows    [][2]string // line and structure
		placed  int
		taken   []string
		faults  []string
	}{
		"lines": {lines: []string{"Halvern-Ostrey 66kV"}, numbers: []string{"1"}, rows: [][2]string{{"HALVERN-OSTREY 66KV", "1"}, {"Halvern - Ostrey 66 kV", "1"}},
			placed: 2, taken: []string{`Names of the lines are taken for equal: "HALVERN-OSTREY 66KV" for "Halvern-Ostrey 66kV", "Halvern - Ostrey 66 kV" for "Halvern-Ostrey 66kV" (2 rows).`}},
		"two lines of one name": {lines: []string{"L-A", "LA"}, numbers: []string{"1"}, rows: [][2]string{{"l a", "1"}, {"LA", "1"}}, placed: 1,
			faults: []string{`register.xlsx!Assemblies!A2 no-such-line: line "l a" is no line of the structures; the row is left out; it may be "L-A" or "LA", say which in the project file: words: {Line: {"l a": "L-A"}}`}},
		"structures": {lines: []string{"L"}, numbers: []string{"1", "2", "3A"}, rows: [][2]string{{"L", "001"}, {"L", "001"}, {"L", "2.0"}, {"L", "3 a"}}, placed: 4,
			taken: []string{`Names of the structures are taken for equal: "001" for "1", "2.0" for "2", "3 a" for "3A" (4 rows).`}},
		"two structures of one name": {lines: []string{"L"}, numbers: []string{"3A", "3a"}, rows: [][2]string{{"L", "3 A"}, {"L", "3a"}}, placed: 1,
			faults: []string{`register.xlsx!Assemblies!B2 no-such-structure: structure "3 A" is no structure of line "L"; the row is left out; it may be "3A" or "3a", say which in the project file: words: {Structure: [{match: '^3 A$', as: "3A"}]}`}},
		"a dash that parts numbers": {lines: []string{"L"}, numbers: []string{"12"}, rows: [][2]string{{"L", "1-2"}},
			faults: []string{`register.xlsx!Assemblies!B2 no-such-structure: structure "1-2" is no structure of line "L"; the row is left out`}},
		"a date in its place": {lines: []string{"L"}, numbers: []string{"7/1", "04-01"}, rows: [][2]string{{"L", "7-Jan"}, {"L", "4-Jan"}}, placed: 2,
			taken: []string{`Names of the structures are taken for equal: "7-Jan" for "7/1", "4-Jan" for "04-01" (2 rows).`}},
		"a date in the place of one of two": {lines: []string{"L"}, numbers: []string{"7/1", "1/7"}, rows: [][2]string{{"L", "7-Jan"}},
			faults: []string{`register.xlsx!Assemblies!B2 no-such-structure: structure "7-Jan" is a day, which a spreadsheet may have made of a number: it may be structure "7/1" or "1/7" of line "L"; the row is left out; expected the number as a text`}},
		"a date in the place of one with a zero": {lines: []string{"L"}, numbers: []string{"7/01", "02/7"}, rows: [][2]string{{"L", "7-Jan"}, {"L", "Feb-07"}}, placed: 2,
			taken: []string{`Names of the structures are taken for equal: "7-Jan" for "7/01", "Feb-07" for "02/7" (2 rows).`}},
		"a date in the place of one of two, one with a zero": {lines: []string{"L"}, numbers: []string{"1/7", "7/01"}, rows: [][2]string{{"L", "7-Jan"}},
			faults: []string{`register.xlsx!Assemblies!B2 no-such-structure: structure "7-Jan" is a day, which a spreadsheet may have made of a number: it may be structure "1/7" or "7/01" of line "L"; the row is left out; expected the number as a text`}},
		"a date in the place of one of two, one with a third part": {lines: []string{"L"}, numbers: []string{"7/1", "7/1/2"}, rows: [][2]string{{"L", "7-Jan"}},
			faults: []string{`register.xlsx!Assemblies!B2 no-such-structure: structure "7-Jan" is a day, which a spreadsheet may have made of a number: it may be structure "7/1" or "7/1/2" of line "L"; the row is left out; expected the number as a text`}},
		"a date that lacks a third part": {lines: []string{"L"}, numbers: []string{"7/1/2", "8/1"}, rows: [][2]string{{"L", "7-Jan"}},
			faults: []string{`register.xlsx!Assemblies!B2 no-such-structure: structure "7-Jan" is a day, which a spreadsheet may have made of a number: it may be structure "7/1/2" of line "L"; the row is left out; expected the number as a text`}},
		"a date that may be of a year": {lines: []string{"L"}, numbers: []string{"1/2007", "7/1"}, rows: [][2]string{{"L", "Jan-07"}},
			faults: []string{`register.xlsx!Assemblies!B2 no-such-structure: structure "Jan-07" is a day, which a spreadsheet may have made of a number: it may be structure "1/2007" or "7/1" of line "L"; the row is left out; expected the number as a text`}},
		"a date of two numbers alike": {lines: []string{"L"}, numbers: []string{"7/1"}, rows: [][2]string{{"L", "1-Jan"}},
			faults: []string{`register.xlsx!Assemblies!B2 no-such-structure: structure "1-Jan" is a day, which a spreadsheet may have made of a number: 1/1 is no structure of line "L"; the row is left out; expected the number as a text`}},
		"a date in the place of none": {lines: []string{"L"}, numbers: []string{"7/2"}, rows: [][2]string{{"L", "7-Jan"}},
			faults: []string{`register.xlsx!Assemblies!B2 no-such-structure: structure "7-Jan" is a day, which a spreadsheet may have made of a number: neither 7/1 nor 1/7 is a structure of line "L"; the row is left out; expected the number as a text`}},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSketch(t)
			for _, line := range c.lines {
				for i, number := range c.numbers {
					s.structure(line, number, 10+0.004*float64(i), 50)
				}
			}
			for i, row := range c.rows {
				s.assembly(row[0], row[1], "1", "", Suspension, NoSide).Source = Source{1, uint32(i + 2)}
				s.p.Assemblies.Row(i).Duty = []Duty{Suspension, EarthWire, Guy, Jumper}[i] // none repeats another
			}
			s.p.RowsRead = len(c.rows)
			n := s.network()
			require.Equal(t, c.placed, n.RowsPlaced)
			require.Equal(t, c.taken, taken(n))
			var faults []string
			for _, f := range s.faults() {
				if f[:8] == "register" {
					faults = append(faults, f)
				}
			}
			require.Equal(t, c.faults, faults)
		})
	}
}

func TestCircuitsTakenForTheirNumbers(t *testing.T) {
	for name, c := range map[string]struct {
		stated int
		named  []string // one structure after the other
		want   []string // circuits of the line
		doubt  int      // rows whose circuit is not known
		fault  string
	}{
		"two, named in many ways": {2, []string{"Cct 1", "I", "01", "C1", "1.0", "II", "Circuit 2", "2"}, []string{"1", "2"}, 0, ""},
		"names that say none":     {2, []string{"North", "South", "North"}, []string{"North", "South"}, 0, ""},
		"one of two":              {2, []string{"II", "II"}, []string{"1", "2"}, 0, ""},
		"too many": {1, []string{"1", "Cct 1", "X", "X"}, []string{"1"}, 2,
			`register.xlsx!Assemblies row 4 implausible: circuit "X" is among more circuits than the 1 that the sheet Lines states for line "L"; which circuit its rows are of is not known, say so in the project file: words: {Circuit: {"X": …}} (2 rows, this is the first)`},
		"not stated, two names of one": {-1, []string{"I", "Cct 1", "2"}, []string{"2"}, 2,
			`register.xlsx!Assemblies row 2 implausible: circuit "I" may be another name for a circuit of line "L", and the sheet Lines does not state how many it has; which circuit its rows are of is not known, say so in the project file: words: {Circuit: {"I": 1, "Cct 1": 1}} (2 rows, this is the first)`},
		"not stated, none alike": {-1, []string{"I", "II"}, []string{"I", "II"}, 0, ""},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSketch(t)
			s.straight("L", len(c.named))
			s.line("L").Circuits = c.stated
			for i, circuit := range c.named {
				s.assembly("L", string(rune('1'+i)), circuit, "ABC", Suspension, NoSide).Source = Source{1, uint32(i + 2)}
			}
			n := s.network()
			var circuits []string
			for _, circuit := range n.Lines[0].Circuits {
				circuits = append(circuits, s.p.Symbols.Text(circuit.Symbol))
			}
			require.Equal(t, c.want, circuits)
			doubt := 0
			for _, row := range s.p.Assemblies.All() {
				if row.Faulty.Has(CellCircuits) {
					doubt++
				}
			}
			require.Equal(t, c.doubt, doubt)
			var want []string
			if c.fault != "" {
				want = []string{c.fault}
			}
			require.Equal(t, want, s.faults())
		})
	}
}

// Rows of one circuit that stood apart under two names repeat each other.
func TestRowsOfOneCircuitUnderTwoNamesRepeat(t *testing.T) {
	s := newSketch(t)
	s.straight("L", 2)
	s.line("L").Circuits = 2
	for i, circuit := range []string{"1", "2", "Cct 1"} {
		s.assembly("L", "1", circuit, "ABC", Suspension, NoSide).Source = Source{1, uint32(i + 2)}
	}
	n := s.network()
	require.Equal(t, 2, n.RowsPlaced)
	require.Len(t, s.faults(), 1)
	require.Contains(t, s.faults()[0], "duplicate-row")
}

func TestPhasesTakenForThoseOfTheLine(t *testing.T) {
	for name, c := range map[string]struct {
		stated string
		named  []string // one structure after the other
		want   []string
		doubt  int
		taken  []string
	}{
		"as stated":            {"RYB", []string{"R-Y-B", "R/Y/B", "RYB"}, []string{"R,Y,B", "R,Y,B", "R,Y,B"}, 0, nil},
		"colours":              {"RYB", []string{"Red", "Yellow", "blue"}, []string{"R", "Y", "B"}, 0, []string{`Names of the phases are taken for equal: "red" for "R", "yellow" for "Y", "blue" for "B" (3 rows).`}},
		"letters of colours":   {"red,yellow,blue", []string{"RYB"}, []string{"red,yellow,blue"}, 0, []string{`Names of the phases are taken for equal: "R,Y,B" for "red,yellow,blue" (1 row).`}},
		"all of another set":   {"RYB", []string{"L1,L2,L3"}, []string{"R,Y,B"}, 0, []string{`Names of the phases are taken for equal: "L1,L2,L3" for "R,Y,B" (1 row).`}},
		"one of another set":   {"ABC", []string{"L1", "L2"}, []string{"L1", "L2"}, 2, nil},
		"blue on a line A,B,C": {"ABC", []string{"blue"}, []string{"blue"}, 1, nil},
		"two of another set":   {"ABC", []string{"R,Y"}, []string{"R,Y"}, 1, nil},
		"nobody states them":   {"", []string{"RYB", "Red"}, []string{"R,Y,B", "R"}, 0, []string{`Names of the phases are taken for equal: "red" for "R" (1 row).`}},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSketch(t)
			s.straight("L", len(c.named))
			line := s.line("L")
			line.Phases, _ = ParsePhases(c.stated)
			for i, phase := range c.named {
				s.assembly("L", string(rune('1'+i)), "1", phase, Suspension, NoSide).Source = Source{1, uint32(i + 2)}
			}
			n := s.network()
			var got []string
			doubt := 0
			for _, row := range s.p.Assemblies.All() {
				got = append(got, row.Phases.String())
				if row.Faulty.Has(CellPhase) {
					doubt++
				}
			}
			require.Equal(t, c.want, got)
			require.Equal(t, c.doubt, doubt)
			require.Equal(t, c.taken, taken(n))
			require.Equal(t, min(c.doubt, 1), len(s.faults()), "one fault, however many rows")
			if c.doubt > 0 {
				require.Equal(t, UnknownWord, s.p.Faults.List()[0].Kind)
				require.Equal(t, c.doubt, max(1, s.p.Faults.List()[0].Rows))
			}
		})
	}
}
