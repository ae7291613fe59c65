package report

import (
	"cmp"
	"fmt"
	"slices"

	"dryarc/audit"
	"dryarc/audit/history"
)

// What stands below the first page of the overview.

// The columns of the worst exceptions.
const (
	worstSeverity = 1
	worstPlace    = 2
	worstReason   = 3
)

// workInFull writes what the work takes, and what stops it.
func (b *book) workInFull(p *page, row int) int {
	return b.unsolvedTable(p, b.takesTable(p, row)+1)
}

// resultsInFull writes the worst exceptions, and what each check said.
func (b *book) resultsInFull(p *page, row int) int {
	return b.checkTable(p, b.worstTable(p, row)+1)
}

// checkTable writes what each check said that judged anything, and returns the row below.
func (b *book) checkTable(p *page, row int) int {
	r := b.result
	p.put(row, firstColumn, rightEnd, "Checks", sectionLook)
	row++
	p.head(row, lineColumn, "", "Meets", "Falls short", "Of judged (%)", "Not assessed", "Judged (%)")
	p.put(row, firstColumn, lineColumn, "What the check finds", headingLook)
	row++
	first, silent, blind, unasked := row, 0, 0, 0
	for i, c := range r.Coverage {
		judged, concerned := c.Assessed()
		switch {
		case concerned == 0 && c.NotAsked > 0:
			unasked++
			continue
		case concerned == 0:
			silent++
			continue
		case judged == 0:
			blind++
			continue
		}
		short := look{format: asCount}
		if c.FallsShort > 0 {
			short = look{format: asCount, bold: true, color: ochre}
		}
		p.put(row, firstColumn, lineColumn, r.Checks[i].Title, look{})
		p.put(row, lineColumn+1, lineColumn+1, c.Meets, look{format: asCount})
		p.put(row, lineColumn+2, lineColumn+2, c.FallsShort, short)
		p.put(row, lineColumn+3, lineColumn+3, 100*float64(c.FallsShort)/float64(judged), look{format: asPercent})
		p.put(row, lineColumn+4, lineColumn+4, c.Lacking(), look{format: asCount})
		p.put(row, lineColumn+5, lineColumn+5, audit.JudgedPercent(c), look{format: asPercent})
		row++
	}
	if row > first {
		p.bars(first, row-1, lineColumn+3)
	}
	if blind > 0 {
		p.put(row, firstColumn, rightEnd, fmt.Sprintf("%s judge nothing for want of data, see %s.", counted(blind, "check could", "checks could"), coverageSheet), look{bold: true, bare: true})
		row++
	}
	if unasked > 0 {
		p.put(row, firstColumn, rightEnd, fmt.Sprintf("%s not asked for by the project, see %s for what asks.", counted(unasked, "check is", "checks are"), coverageSheet), softLook)
		row++
	}
	if silent > 0 {
		p.put(row, firstColumn, rightEnd, fmt.Sprintf("%s nothing here, see %s.", counted(silent, "check concerns", "checks concern"), coverageSheet), softLook)
		row++
	}
	return row
}

// assumptionTable writes what the result rests on, and returns the row below.
func (b *book) assumptionTable(p *page, row int) int {
	p.put(row, firstColumn, rightEnd, "Assumptions", sectionLook)
	row++
	for _, a := range b.result.Run.Assumptions {
		text := a.Text
		if len(a.Lines) > 0 {
			text += " (" + touched(b.result.Project, a, 3) + ")"
		}
		row = p.block(row, firstColumn, rightEnd, text, look{})
	}
	if len(b.result.Run.Assumptions) == 0 {
		p.put(row, firstColumn, rightEnd, "None.", softLook)
		row++
	}
	return row
}

// worstTable writes the worst exceptions of the checks, in grey those that are decided, and returns the row below.
func (b *book) worstTable(p *page, row int) int {
	r := b.result
	p.put(row, firstColumn, rightEnd, "Worst exceptions of each check", sectionLook)
	row++
	p.put(row, worstSeverity, worstSeverity, "Severity", headingLook)
	p.put(row, worstPlace, worstPlace, "Place", headingLook)
	p.put(row, worstReason, rightEnd, "What is wrong", headingLook)
	row++
	rows, picked := b.exceptionRows(), worstOfEach(r, b.decided, listedWorst)
	findings := findingsWith(r, b.decided, picked)
	for _, i := range picked {
		e, rec := findingRecord(r, findings[i])
		where := rec.Line
		if rec.Structure != "" {
			where += ", " + rec.Structure
		}
		if rec.StructureTo != "" {
			where += "–" + rec.StructureTo
		}
		next := row + max(p.rowsOf(worstPlace, worstPlace, where), p.rowsOf(worstReason, rightEnd, rec.Reason))
		severity, place, reason := severityLook(e.Verdict.Severity), look{bold: true, wrap: true, color: blue}, look{wrap: true}
		if !b.decided.Open(i) {
			severity, place, reason = severity.muted(), place.muted(), reason.muted()
		}
		p.fill(row, next-1, worstSeverity, worstSeverity, rec.Severity, severity)
		p.fill(row, next-1, worstPlace, worstPlace, where, place)
		p.fill(row, next-1, worstReason, rightEnd, rec.Reason, reason)
		if at, shown := rows[i]; shown {
			p.link(row, worstPlace, exceptionsSheet, at)
		}
		row = next
	}
	if out := decidedOut(r, b.decided); out != [3]int{} {
		text := fmt.Sprintf("%s accepted or planned: below all others if there is room, and in grey as on %s.", counted(out[0]+out[1]+out[2], "exception is", "exceptions are"), exceptionsSheet)
		p.put(row, firstColumn, rightEnd, text, softLook)
		row++
	}
	if len(r.Exceptions) == 0 {
		p.put(row, firstColumn, rightEnd, "None.", softLook)
		row++
	}
	return row
}

// exceptionRows are the rows of the sheet of exceptions by the first exception of each finding that it holds, and by the others.
func (b *book) exceptionRows() map[int]int {
	wanted := map[int]int{}
	for _, i := range worstOfEach(b.result, b.decided, listedWorst) {
		wanted[i] = 0
	}
	found := decidedFindings(b.result, b.decided, b.result.Findings())
	for k := range found[:min(len(found), b.limits.exceptions)] {
		for _, i := range found[k].Exceptions {
			if _, is := wanted[i]; is {
				wanted[i] = k + 2
			}
		}
	}
	for i, row := range wanted {
		if row == 0 {
			delete(wanted, i)
		}
	}
	return wanted
}

// findingsWith gives for each of some exceptions the finding that it stands in, as the sheet Exceptions and the page have it.
func findingsWith(r *audit.Result, d *history.Decided, picked []int) map[int]*audit.Finding {
	type spot struct{ check, line, structure, to int }
	spotOf := func(i int) spot {
		e := &r.Exceptions[i]
		return spot{e.Check, e.Line, e.Structure, e.To}
	}
	wanted := make(map[spot]bool, len(picked))
	for _, i := range picked {
		wanted[spotOf(i)] = true
	}
	var there []int
	for i := range r.Exceptions {
		if wanted[spotOf(i)] {
			there = append(there, i)
		}
	}
	found := decidedFindings(r, d, r.FindingsOf(there))
	with := make(map[int]*audit.Finding, len(picked))
	for k := range found {
		for _, i := range found[k].Exceptions {
			with[i] = &found[k]
		}
	}
	return with
}

// worstOfEach picks the worst exceptions so that every check has its say: of each severity first the worst of every
// check, then the second worst, and so on, one for a structure, in that order. What is decided takes the places that are left.
func worstOfEach(r *audit.Result, d *history.Decided, most int) []int {
	picked := worstAmong(r, most, d.Open)
	return append(picked, worstAmong(r, most-len(picked), func(exception int) bool { return !d.Open(exception) })...)
}

func worstAmong(r *audit.Result, most int, among func(exception int) bool) []int {
	type spot struct{ check, line, structure, to int }
	type candidate struct{ at, rank int }
	ranks := make([]int, len(r.Checks))
	seen := map[spot]bool{}
	var all []candidate
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		if i > 0 && e.Verdict.Severity != r.Exceptions[i-1].Verdict.Severity {
			clear(ranks)
		}
		here := spot{e.Check, e.Line, e.Structure, e.To}
		if ranks[e.Check] >= most || seen[here] || !among(i) {
			continue
		}
		seen[here] = true
		all = append(all, candidate{i, ranks[e.Check]})
		ranks[e.Check]++
	}
	severity := func(c candidate) audit.Severity { return r.Exceptions[c.at].Verdict.Severity }
	slices.SortStableFunc(all, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(severity(a), severity(b)), cmp.Compare(a.rank, b.rank))
	})
	var picked []int
	for _, c := range all[:min(len(all), most)] {
		picked = append(picked, c.at)
	}
	return picked
}

// cutRemarks says which sheets do not hold all, and which outputs the run left out.
func (b *book) cutRemarks() []string {
	r := b.result
	var out []string
	remark := func(sheet string, shown, of int, what string) {
		out = append(out, cutRemark(sheet, shown, of, what)...)
	}
	found := len(r.Findings())
	remark(exceptionsSheet, min(found, b.limits.exceptions), found, "findings, the worst; audit.json and exceptions.geojson have all exceptions")
	remark(linesSheet, min(len(r.Lines), b.limits.rows), len(r.Lines), "lines; audit.json has all")
	remark(workSheet, min(len(b.work), b.limits.rows), len(b.work), "jobs, the first to do; audit.json has all")
	if n := r.Network.StructureCount(); n > b.limits.structures {
		excepted := len(exceptionsByStructure(r))
		out = append(out, fmt.Sprintf("Sheet %s holds %s.", structuresSheet, b.cutStructures(min(b.limits.structures, excepted), n, excepted)))
	}
	listed := 0
	for _, c := range r.Project.Faults.Counts() {
		listed += c.Listed
	}
	remark(faultsSheet, min(listed, b.limits.rows), r.Project.Faults.Total(), "faults; their counts in sheet "+runSheet+" are exact")
	for _, text := range b.leftOut {
		out = append(out, text+".")
	}
	return out
}

// cutRemark says of a sheet that it does not hold all, nothing where it does.
func cutRemark(sheet string, shown, of int, what string) []string {
	if shown >= of {
		return nil
	}
	return []string{fmt.Sprintf("Sheet %s holds %s of %s %s.", sheet, grouped(shown), grouped(of), what)}
}
