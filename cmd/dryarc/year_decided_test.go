package main

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"dryarc/report"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// yearSaid is what somebody decides.
type yearSaid struct{ word, until string }

// yearDecision is what the model knows of a decision: on which figures it was made, and under which name the file has it.
type yearDecision struct {
	yearSaid
	against []yearSaid // that stand beside it, so that none is applied
	was     fact
	as      named
	filled  bool   // the last run wrote it into the workbook
	met     string // the day of the run that saw it meet
	less    metLess
}

// metLess is that something met only since less was required: the day, and what was observed.
type metLess struct {
	day      string
	observed float64
}

// toldDecision is what audit.json says of the decision on an exception.
type toldDecision struct{ Decision, Status string }

// decide is what people do in the day: they write decisions into the workbook of the last run, and on some days into a copy of it too, which
// comes back before the next run.
func (y *year) decide() {
	path := filepath.Join(y.folder, "out", report.WorkbookFile)
	y.touched = map[spotOf]yearSaid{}
	if y.random.IntN(3) == 0 {
		text, err := os.ReadFile(path)
		require.NoError(y.t, err)
		copied := filepath.Join(y.folder, "copy.xlsx")
		require.NoError(y.t, os.WriteFile(copied, text, 0o666))
		y.decideIn(copied, y.takeCopied)
		var out, errs bytes.Buffer
		collect := collectCommand{Project: filepath.Join(y.folder, "audit.yaml"), Workbooks: []string{copied}, AsOf: y.asOf}
		require.NoError(y.t, collect.Run(surroundingsOf(context.Background(), &ending{}, &out, &errs)))
	}
	y.decideIn(path, func(spot spotOf, said yearSaid) {
		if _, is := y.touched[spot]; is {
			y.takeLate(spot, said)
		} else {
			y.take(spot, said)
		}
	})
	if y.office != "" && y.random.IntN(10) == 0 {
		resaved(y.t, y.office, path)
		y.resaved++
	}
}

// decideIn writes decisions into a workbook: on some rows new ones, on some others instead, and some are taken away. Rows of missing phases
// are left alone, since those are another thing when other phases are missing.
func (y *year) decideIn(path string, take func(spotOf, yearSaid)) {
	book, err := excelize.OpenFile(path)
	require.NoError(y.t, err)
	defer func() { require.NoError(y.t, book.Close()) }()
	rows, err := book.GetRows("Exceptions")
	require.NoError(y.t, err)
	column := map[string]int{}
	for i, heading := range rows[0] {
		column[heading] = i
	}
	for n, row := range rows[1:] {
		if column["Id"] >= len(row) || row[column["Check"]] == "phase-missing" {
			continue
		}
		ids, often := strings.Fields(row[column["Id"]]), 8
		if _, late := y.touched[y.spots[ids[0]]]; late {
			often = 2
		}
		if y.random.IntN(often) > 0 {
			continue
		}
		var said yearSaid
		if y.random.IntN(5) > 0 {
			said.word = []string{"accept", "plan", "data wrong", "done"}[y.random.IntN(4)]
			if said.word == "accept" || said.word == "plan" {
				said.until = []string{"", y.dayFromNow(y.random.IntN(12) - 2)}[y.random.IntN(2)]
			}
		}
		for heading, text := range map[string]string{"Decision": said.word, "Until": said.until} {
			cell, err := excelize.CoordinatesToCellName(column[heading]+1, n+2)
			require.NoError(y.t, err)
			require.NoError(y.t, book.SetCellStr("Exceptions", cell, text))
		}
		for _, id := range ids {
			take(y.spots[id], said)
		}
	}
	require.NoError(y.t, book.Save())
}

// standing is the decision that stands on a spot under the name that the last run gave it; nil for none.
func (y *year) standing(spot spotOf) *yearDecision {
	if d := y.decided[spot]; d != nil && d.as == y.names[spot] {
		return d
	}
	return nil
}

// filledIn is what the last run wrote into the row of a spot.
func (y *year) filledIn(spot spotOf) yearSaid {
	if d := y.standing(spot); d != nil && d.filled {
		return d.yearSaid
	}
	return yearSaid{}
}

// take is what comes of a row that says something, and of which nobody has decided since it was written.
func (y *year) take(spot spotOf, said yearSaid) {
	d := y.standing(spot)
	if said == y.filledIn(spot) || said.word == "" && (d == nil || !d.filled) {
		return
	}
	if d != nil {
		y.over[d.as] = append(y.over[d.as], append(d.against, d.yearSaid)...)
	}
	if said.word == "" {
		delete(y.decided, spot)
		y.withdrawn++
		return
	}
	y.decided[spot] = &yearDecision{yearSaid: said, was: y.known[spot], as: y.names[spot]}
	if d != nil && d.filled {
		y.decided[spot].met, y.decided[spot].less = d.met, d.less
	}
}

// takeCopied takes from a copy, and notes where that makes a row of the workbook itself late, with what stands in it. The same decision
// on the same figures, of one that lapsed, does not.
func (y *year) takeCopied(spot spotOf, said yearSaid) {
	filled, before := y.filledIn(spot), y.standing(spot)
	y.take(spot, said)
	after := y.standing(spot)
	if before == after || before != nil && after != nil && len(before.against) == 0 && before.yearSaid == after.yearSaid && before.was.observed == after.was.observed && before.was.required == after.was.required {
		return
	}
	y.touched[spot] = filled
}

// takeLate is what comes of a row that says something, and of which somebody else has decided since it was written: what differs stands
// beside that, and what is over stays so.
func (y *year) takeLate(spot spotOf, said yearSaid) {
	if said == y.touched[spot] || said.word == "" || slices.Contains(y.over[y.names[spot]], said) {
		return
	}
	d := y.standing(spot)
	switch {
	case d == nil:
		y.decided[spot] = &yearDecision{yearSaid: said, was: y.known[spot], as: y.names[spot]}
	case d.yearSaid != said:
		d.against, d.filled = append(d.against, said), false
	}
}

func (y *year) dayFromNow(days int) string {
	now, err := time.Parse(time.DateOnly, y.asOf)
	require.NoError(y.t, err)
	return now.AddDate(0, 0, days).Format(time.DateOnly)
}

// worth is what the decisions are worth for the exceptions of a run, of which the model has taken the facts. A decision goes along with
// its tower and line, also where its exception comes back after those got other names.
func (y *year) worth(chosen []*yearLine) map[named]toldDecision {
	want := map[named]toldDecision{}
	for spot, d := range y.decided {
		now, is := y.known[spot]
		y.noteMet(spot, d, slices.Contains(chosen, spot.tower.line))
		if is {
			d.as = y.names[spot]
		}
		if _, dropped := y.dropped[spot]; !is || dropped || !slices.Contains(chosen, spot.tower.line) {
			d.filled = false
			continue
		}
		status := y.statusOf(d, now)
		d.filled = status == "in force" || status == "still there though reported done"
		want[d.as] = toldDecision{d.word, status}
		if len(d.against) > 0 {
			want[d.as] = toldDecision{"", status} // either
		}
	}
	return want
}

// noteMet notes that something met, or would have.
func (y *year) noteMet(spot spotOf, d *yearDecision, judged bool) {
	now, there := y.known[spot]
	gone, cleared := y.dropped[spot]
	_, unread := y.found(spot.tower.line)
	if cleared && judged && d.met == y.asOf && gone.last.firstSeen < d.met { // by a run that this one repeats
		d.met = ""
	}
	switch {
	case cleared && gone.why == "meets":
		d.met, d.less = cmp.Or(d.met, y.asOf), metLess{}
	case cleared:
		if gone.why == "rule changed" {
			y.noteVerdict(spot, d, gone.last)
		}
	case there && judged:
		if d.met == y.asOf && now.firstSeen < d.met {
			d.met = ""
		}
		if d.less.day == y.asOf && now.firstSeen < d.less.day {
			d.less = metLess{}
		}
	case !there && judged && d.met == "" && slices.Contains(spot.tower.line.towers, spot.tower) && !unread[spot] &&
		(spot.phase < 0 && spot.tower.units != [3]int{} || spot.phase >= 0 && spot.tower.units[spot.phase] > 0):
		y.noteVerdict(spot, d)
	}
}

// noteVerdict notes that something meets: by what was required when it was decided, or last, or by less alone, with what hung then or more. Less than that met by is
// told as if it met, since nobody can tell of what it is.
func (y *year) noteVerdict(spot spotOf, d *yearDecision, last ...fact) {
	observed := 0.0
	if spot.phase >= 0 {
		observed = float64(spot.tower.units[spot.phase]) * 295
	}
	short := func(was fact) bool { // still, by what was required then
		return spot.phase >= 0 && was.observed <= observed && observed < was.required
	}
	switch {
	case !short(d.was) || slices.ContainsFunc(last, func(was fact) bool { return !short(was) }):
		d.met, d.less = cmp.Or(d.met, y.asOf), metLess{}
	case d.met == "" && observed > d.less.observed:
		d.less = metLess{y.asOf, observed}
	}
}

func (y *year) statusOf(d *yearDecision, now fact) string {
	switch {
	case len(d.against) > 0:
		return "contradictory"
	case d.word == "done":
		return "still there though reported done"
	case d.until != "" && d.until < y.asOf,
		d.met != "" && y.asOf > d.met,
		d.met == "" && d.less.day != "" && d.less.observed >= now.required && y.asOf > d.less.day,
		d.word == "data wrong" && (now.observed != d.was.observed || now.required != d.was.required),
		d.word != "data wrong" && (now.observed < d.was.observed || now.observed/now.required < d.was.observed/d.was.required): // neither holds where nothing is registered
		return "lapsed"
	}
	return "in force"
}

// heard compares what was said of decisions, and notes what the workbook lets people decide on.
func (y *year) heard(want map[named]toldDecision, said []toldException, when string) {
	got := map[named]toldDecision{}
	spots := map[named]spotOf{}
	for spot, name := range y.names {
		spots[name] = spot
	}
	clear(y.spots)
	for _, e := range said {
		name := named{e.Check, e.Line, e.Structure, e.Phase}
		y.spots[e.ID] = spots[name]
		if e.Decision != nil {
			got[name] = *e.Decision
			if e.Decision.Status == "contradictory" {
				got[name] = toldDecision{"", e.Decision.Status}
			}
			y.judged[e.Decision.Status]++
		}
	}
	requireAlike(y.t, want, got, "decisions, "+when)
}

// killed begins the next run in a process of its own, and kills that at some moment.
func (y *year) killed(command *auditCommand) {
	text, err := json.Marshal(command)
	require.NoError(y.t, err)
	cmd := program(string(text))
	cmd.Env = append(cmd.Env, asProgram+"="+asYear)
	began := time.Now()
	require.NoError(y.t, cmd.Start())
	if y.usual > 0 {
		y.attempts++
		time.Sleep(time.Duration(y.random.Float64() * 1.2 * float64(y.usual)))
		_ = cmd.Process.Kill() // one that has ended cannot be killed
	}
	if cmd.Wait() != nil {
		require.NotEqual(y.t, exitFailed, cmd.ProcessState.ExitCode())
		y.kills++
	} else {
		y.usual = max(y.usual, time.Since(began))
	}
}

// yearProgram is a run of the year as a process.
func yearProgram(text string) int {
	var command auditCommand
	if err := json.Unmarshal([]byte(text), &command); err != nil {
		return exitUsage
	}
	if command.audit(surroundingsOf(context.Background(), &ending{}, io.Discard, io.Discard), yearChecks()) != nil {
		return exitFailed
	}
	return exitDone
}
