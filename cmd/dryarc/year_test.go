package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"dryarc/audit"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// Run after run, people mend towers, let them rot, lose data and find them, renumber, insert and take down towers, give lines other
// names and change the criteria; some runs are of chosen lines, some repeat the one before. A model that knows the towers by what they
// are, and not by their names, says what each exception must have become, since when it is there, why what is gone is gone, and what
// the decisions are worth that people write into the workbook. It takes 36 runs, with DRYARC_HARD=1 a year of them, or DRYARC_TRIALS.
func TestYear(t *testing.T) {
	t.Parallel()
	count, _ := trials(t, 36, time.Hour, 365)
	y := newYear(t)
	for i := range count {
		y.night(i)
	}
	t.Logf("runs: %d, of these %d of chosen lines, %d repeated; exceptions: %v; cleared: %v; towers and lines with other names: %d", count, y.partial, y.repeated, y.became, y.gone, y.renamed)
	t.Logf("decisions, counted in each run: %v; withdrawn: %d; workbooks saved by LibreOffice: %d; runs killed: %d of %d tried", y.judged, y.withdrawn, y.resaved, y.kills, y.attempts)
	for _, state := range []string{"new", "standing", "worse", "better"} {
		require.Positive(t, y.became[state], state)
	}
	for _, why := range []string{"meets", "gone", "rule changed", "not assessed", "not in this run"} {
		require.Positive(t, y.gone[why], why)
	}
	require.Positive(t, y.renamed)
	for _, status := range []string{"in force", "lapsed", "contradictory", "still there though reported done"} {
		require.Positive(t, y.judged[status], status)
	}
	require.Positive(t, y.withdrawn)
	require.Positive(t, y.attempts)
	if y.attempts > 10 { // of a few, all may come too late on a machine whose pace changes
		require.Positive(t, y.kills)
	}
}

// tower is a structure as it is on the ground: units per string of its phases, 0 where nothing hangs.
type tower struct {
	line     *yearLine
	number   string
	position int // along the line
	units    [3]int
	unread   [3]bool // the register says what nobody can read
}

type yearLine struct {
	name   string
	towers []*tower
}

// spotOf is an exception as the model knows it: phase −1 is of the phases that are missing, −2 of a tower where nothing hangs.
type spotOf struct {
	tower *tower
	phase int
}

// fact is what was found of a spot.
type fact struct {
	observed, required float64
	missing            string // phases
	firstSeen          string
	heavier            bool // the rule by which it was judged
}

// goneSpot is what the model says of a spot that is not there any more.
type goneSpot struct {
	why  string
	as   named
	last fact // by which it fell short
}

// named is how the outputs name a spot.
type named struct{ check, line, structure, phase string }

type year struct {
	t       *testing.T
	folder  string
	random  *rand.Rand
	lines   []*yearLine
	serial  int
	newName *yearLine // that somebody wants to give another name
	heavier bool      // the default class is d, and not c
	day     int
	asOf    string

	known, base   map[spotOf]fact  // what the last run left, and what it compared with
	names, before map[spotOf]named // how each of them was named then
	dropped       map[spotOf]goneSpot

	decided map[spotOf]*yearDecision
	over    map[named][]yearSaid // what was withdrawn or replaced
	touched map[spotOf]yearSaid  // of which somebody decided in a copy of the workbook
	spots   map[string]spotOf    // by the ids of the last run
	office  string               // LibreOffice; empty where it is not there
	usual   time.Duration        // of a run in a process of its own

	became, gone, judged                                            map[string]int
	partial, repeated, renamed, withdrawn, resaved, attempts, kills int
}

func newYear(t *testing.T) *year {
	y := &year{t: t, folder: t.TempDir(), random: rand.New(rand.NewPCG(7, 8)), known: map[spotOf]fact{}, names: map[spotOf]named{}, dropped: map[spotOf]goneSpot{},
		became: map[string]int{}, gone: map[string]int{}, judged: map[string]int{}, decided: map[spotOf]*yearDecision{}, over: map[named][]yearSaid{}, spots: map[string]spotOf{}}
	if !testing.Short() {
		y.office, _ = exec.LookPath("soffice")
	}
	for l := range 4 {
		line := &yearLine{name: fmt.Sprintf("L%d", l)}
		for k := range 12 {
			line.towers = append(line.towers, y.newTower(line, strconv.Itoa(k+1), 100*(k+1)))
		}
		y.lines = append(y.lines, line)
	}
	return y
}

func (y *year) newTower(line *yearLine, number string, position int) *tower {
	tw := &tower{line: line, number: number, position: position}
	for p := range tw.units {
		tw.units[p] = y.someUnits()
	}
	return tw
}

// someUnits is mostly enough for class c, of which 145 kV asks for 10 U120B and of class d for 13.
func (y *year) someUnits() int {
	if y.random.IntN(5) == 0 {
		return 6 + y.random.IntN(4)
	}
	return 10 + y.random.IntN(5)
}

// write writes the project as it is.
func (y *year) write() {
	class := map[bool]string{false: "c", true: "d"}[y.heavier]
	y.put("audit.yaml", fmt.Sprintf("title: A year\nstructures: {file: structures.geojson}\nregister:\n  - file: Assemblies.csv\n  - file: Lines.csv\ncriteria: {default_class: %s, creepage_basis: unified}\ndecisions: decisions.csv\n", class))
	var structures, rows, lines strings.Builder
	rows.WriteString("Line,Structure,Circuit,Phase,Duty,Unit,Units per string\n")
	lines.WriteString("Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV)\n")
	for l, line := range y.lines {
		fmt.Fprintf(&lines, "%s,1,ABC,132,145\n", line.name)
		for k, tw := range line.towers {
			fmt.Fprintf(&structures, `{"type":"Feature","properties":{"line":%q,"structure":%q,"sequence":%d},"geometry":{"type":"Point","coordinates":[%.6f,%d]}}`+"\n",
				line.name, tw.number, k+1, 10+float64(tw.position)*1e-5, 50+l)
			for p, units := range tw.units {
				says := strconv.Itoa(units)
				if tw.unread[p] {
					says = "illegible"
				}
				if units > 0 {
					fmt.Fprintf(&rows, "%s,%s,1,%c,suspension,U120B,%s\n", line.name, tw.number, 'A'+p, says)
				}
			}
		}
	}
	y.put("structures.geojson", structures.String())
	y.put("Assemblies.csv", rows.String())
	y.put("Lines.csv", lines.String())
}

func (y *year) put(name, text string) {
	require.NoError(y.t, os.WriteFile(filepath.Join(y.folder, name), []byte(text), 0o666))
}

// work is what happens to the lines between two runs. Between two of one day nothing gets another name, since the second compares with
// the run before both, so that a decision made in between would not be found under it.
func (y *year) work(sameDay bool) {
	line := y.lines[y.random.IntN(len(y.lines))]
	k := y.random.IntN(len(line.towers))
	tw, p := line.towers[k], y.random.IntN(3)
	switch y.random.IntN(13) {
	case 0:
		tw.units = [3]int{14, 14, 14}
	case 1, 2:
		tw.units[p] = max(1, tw.units[p]-1-y.random.IntN(3))
	case 3:
		if short, _ := y.found(line); len(short) > 0 {
			for _, weak := range line.towers { // the first that is too weak, and so mostly still is
				if _, is := short[spotOf{weak, p}]; is {
					weak.units[p]++
					break
				}
			}
		}
	case 4, 5:
		tw.unread[p] = !tw.unread[p] && tw.units[p] > 0
	case 6:
		tw.units[p], tw.unread[p] = 0, false
	case 7:
		tw.units[p] = y.someUnits()
	case 8:
		if sameDay {
			break
		}
		y.serial++
		tw.number = fmt.Sprintf("N%d", y.serial)
	case 9: // half-way to the next one
		if k+1 < len(line.towers) && line.towers[k+1].position-tw.position > 10 {
			y.serial++
			line.towers = slices.Insert(line.towers, k+1, y.newTower(line, fmt.Sprintf("N%d", y.serial), (tw.position+line.towers[k+1].position)/2))
		}
	case 10:
		if len(line.towers) > 8 {
			line.towers = slices.Delete(line.towers, k, k+1)
		}
	case 11:
		if !sameDay {
			y.newName = line
		}
	case 12:
		y.heavier = !y.heavier
	}
}

// mayBeRenamed tells whether the program can know a line again under another name: it knows the structures that have exceptions, or had
// them, and most of them still stand.
func (y *year) mayBeRenamed(line *yearLine) bool {
	for _, facts := range []map[spotOf]fact{y.known, y.base} {
		towers, stand := map[*tower]bool{}, 0
		for spot := range facts {
			if spot.tower.line == line && !towers[spot.tower] {
				towers[spot.tower] = true
				if slices.Contains(line.towers, spot.tower) {
					stand++
				}
			}
		}
		if 2*stand <= len(towers) {
			return false
		}
	}
	return true
}

// found is what the three checks say of a line as it is: creepage of class c is 38.4·… (see required), phases and rows are counted.
func (y *year) found(line *yearLine) (short map[spotOf]fact, unread map[spotOf]bool) {
	short, unread = map[spotOf]fact{}, map[spotOf]bool{}
	for _, tw := range line.towers {
		missing := ""
		for p, units := range tw.units {
			spot := spotOf{tw, p}
			switch {
			case units == 0:
				missing += string(rune('A' + p))
			case tw.unread[p]:
				unread[spot] = true
			case float64(units)*295 < y.required():
				short[spot] = fact{observed: float64(units) * 295, required: y.required()}
			}
		}
		switch {
		case missing == "ABC":
			short[spotOf{tw, -2}] = fact{}
		case missing != "":
			short[spotOf{tw, -1}] = fact{observed: float64(3 - len(missing)), required: 3, missing: missing}
		}
	}
	return short, unread
}

// required is the creepage of 145 kV: 34.7 and 43.3 mm/kV of the phase-to-earth voltage in classes c and d (IEC TS 60815-1:2008,
// value from memory).
func (y *year) required() float64 {
	return map[bool]float64{false: 34.7, true: 43.3}[y.heavier] * 145 / 1.7320508075688772
}

func (y *year) nameOf(line *yearLine, spot spotOf, f fact) named {
	n := named{check: "creepage", line: line.name, structure: spot.tower.number}
	switch spot.phase {
	case -2:
		n.check = "nothing-registered"
	case -1:
		n.check, n.phase = "phase-missing", strings.Join(strings.Split(f.missing, ""), ",")
	default:
		n.phase = string(rune('A' + spot.phase))
	}
	return n
}

// night is one run, of all lines or of some, of a new day or once more of the same.
func (y *year) night(i int) {
	repeat := i > 1 && y.random.IntN(6) == 0
	for range y.random.IntN(7) {
		y.work(repeat)
	}
	if line := y.newName; line != nil && y.mayBeRenamed(line) {
		y.serial++
		line.name = fmt.Sprintf("L%d", 10+y.serial)
	}
	y.newName = nil
	y.write()
	if i > 0 && y.random.IntN(3) > 0 {
		y.decide()
	}
	chosen := y.lines
	if i > 0 && y.random.IntN(3) == 0 {
		chosen = slices.DeleteFunc(slices.Clone(y.lines), func(*yearLine) bool { return y.random.IntN(2) == 0 })
		if len(chosen) == 0 {
			chosen = y.lines
		}
	}
	if repeat {
		y.repeated++
	} else {
		y.day++
		y.asOf = time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, y.day).Format(time.DateOnly)
		y.base, y.before = maps.Clone(y.known), maps.Clone(y.names)
		clear(y.dropped)
	}
	want, cleared := y.predict(chosen)
	decided := y.worth(chosen)
	if i > 0 && y.random.IntN(10) == 0 {
		y.killed(y.command(chosen))
	}
	first := y.audit(chosen)
	y.compare(i, want, cleared, first)
	y.heard(decided, first.Exceptions, fmt.Sprintf("run %d, as of %s", i, y.asOf))
	if i%5 == 4 { // again, with nothing changed
		before := snapshot(y.t, filepath.Join(y.folder, "out"))
		y.audit(chosen)
		require.Equal(y.t, before, snapshot(y.t, filepath.Join(y.folder, "out")), "run %d repeated", i)
	}
}

// became is what an exception must be said to be.
type became struct{ state, firstSeen string }

// predict says what the run must find, and takes it as known.
func (y *year) predict(chosen []*yearLine) (want map[named]became, cleared map[named]string) {
	want, cleared = map[named]became{}, map[named]string{}
	for _, line := range chosen {
		short, unread := y.found(line)
		maps.DeleteFunc(y.known, func(spot spotOf, _ fact) bool { return spot.tower.line == line })
		maps.DeleteFunc(y.dropped, func(spot spotOf, gone goneSpot) bool { return spot.tower.line == line })
		for spot, f := range short {
			f.heavier = y.heavier
			was, there := y.base[spot]
			b := became{"new", y.asOf}
			if there {
				b = became{y.stateOf(was, f), was.firstSeen}
			}
			f.firstSeen = b.firstSeen
			y.known[spot], y.names[spot] = f, y.nameOf(line, spot, f)
			want[y.names[spot]] = b
		}
		for spot, was := range y.base {
			if _, still := short[spot]; still || spot.tower.line != line {
				continue
			}
			gone := goneSpot{"meets", y.before[spot], was}
			switch {
			case !slices.Contains(line.towers, spot.tower), spot.phase >= 0 && spot.tower.units[spot.phase] == 0, spot.phase == -1 && spot.tower.units == [3]int{}:
				gone.why = "gone"
			case unread[spot]:
				gone.why = "not assessed"
			case was.heavier != y.heavier:
				gone.why = "rule changed"
			}
			if gone.why == "not assessed" { // kept as it was last known, by the name that it has now
				y.known[spot], y.names[spot] = was, y.nameOf(line, spot, was)
				gone.as = y.names[spot]
			}
			y.dropped[spot] = gone
		}
	}
	maps.DeleteFunc(y.names, func(spot spotOf, _ named) bool { _, is := y.known[spot]; return !is })
	for _, gone := range y.dropped {
		cleared[gone.as] = gone.why
	}
	for spot, name := range y.names {
		if y.dropped[spot].why == "not assessed" {
			continue // by a run of the same day, where this one left its line out
		}
		if !slices.Contains(chosen, spot.tower.line) {
			name.line = spot.tower.line.name // by which it is known from now on
			y.names[spot] = name
			cleared[name] = "not in this run"
		}
	}
	return want, cleared
}

func (y *year) stateOf(was, is fact) string {
	switch margin, then := is.observed/is.required, was.observed/was.required; {
	case is.missing != was.missing && strings.ContainsFunc(is.missing, func(p rune) bool { return !strings.ContainsRune(was.missing, p) }):
		return "worse"
	case is.observed == was.observed && is.required == was.required:
		return "standing"
	case margin < then:
		return "worse"
	case was.heavier != y.heavier: // nobody can tell whether the line is
		return "standing"
	}
	return "better"
}

// told is what audit.json says.
type told struct {
	Exceptions []toldException
	Cleared    []toldException
	Run        struct {
		Since     *struct{ Renamed []any }
		Decisions *struct{ Removed []any }
	}
}

type toldException struct {
	ID, Check, Line, Structure, Phase, State, Why, Detail string
	First                                                 string `json:"first_seen"`
	Decision                                              *toldDecision
}

// yearChecks are the checks whose answers the model knows.
func yearChecks() []*audit.Check {
	return slices.DeleteFunc(checks.All(), func(c *audit.Check) bool {
		return !slices.Contains([]string{"creepage", "phase-missing", "nothing-registered"}, c.ID)
	})
}

// command is the next run.
func (y *year) command(chosen []*yearLine) *auditCommand {
	command := &auditCommand{Project: filepath.Join(y.folder, "audit.yaml"), Out: filepath.Join(y.folder, "out"), AsOf: y.asOf, Quiet: true, Workers: 1, Format: formats[0], Log: formats[0]}
	if len(chosen) < len(y.lines) {
		for _, line := range chosen {
			command.Lines = append(command.Lines, line.name)
		}
	}
	return command
}

func (y *year) audit(chosen []*yearLine) told {
	t := y.t
	var stdout, stderr bytes.Buffer
	if len(chosen) < len(y.lines) {
		y.partial++
	}
	command := y.command(chosen)
	require.NoError(t, command.audit(surroundingsOf(context.Background(), &ending{}, &stdout, &stderr), yearChecks()))
	require.Empty(t, stderr.String())
	raw, err := os.ReadFile(filepath.Join(y.folder, "out", "audit.json"))
	require.NoError(t, err)
	var said told
	require.NoError(t, json.Unmarshal(raw, &said))
	return said
}

func (y *year) compare(i int, want map[named]became, cleared map[named]string, said told) {
	t := y.t
	got := map[named]became{}
	for _, e := range said.Exceptions {
		got[named{e.Check, e.Line, e.Structure, e.Phase}] = became{e.State, e.First}
		y.became[e.State]++
	}
	requireAlike(t, want, got, fmt.Sprintf("run %d, as of %s", i, y.asOf))
	gone := map[named]string{}
	for _, e := range said.Cleared {
		gone[named{e.Check, e.Line, e.Structure, e.Phase}] = e.Why
		y.gone[e.Why]++
	}
	requireAlike(t, cleared, gone, fmt.Sprintf("cleared by run %d, as of %s", i, y.asOf))
	if said.Run.Decisions != nil {
		require.Empty(t, said.Run.Decisions.Removed, "nobody takes decisions out of the file")
	}
	if said.Run.Since != nil {
		y.renamed += len(said.Run.Since.Renamed)
	}
}

// requireAlike holds that two maps are the same, and shows where they differ.
func requireAlike[V comparable](t *testing.T, want, got map[named]V, when string) {
	t.Helper()
	var differ []string
	for name, is := range want {
		if has, there := got[name]; !there || has != is {
			differ = append(differ, fmt.Sprintf("%v: expected %v, is %v", name, is, has))
		}
	}
	for name, has := range got {
		if _, there := want[name]; !there {
			differ = append(differ, fmt.Sprintf("%v: not expected, is %v", name, has))
		}
	}
	slices.Sort(differ)
	require.Empty(t, differ, when)
}
