package history

import (
	"cmp"
	"slices"
	"strings"

	"dryarc/audit"
)

// What an exception rests on may be lost: a column or a figure that was stated is not any more, and something stands in for it. That
// neither clears the exception nor makes it better, until it is stated again.

// Lost is what an exception rests on that was stated and is not any more. The zero value is nothing.
type Lost struct {
	columns []string // for which a default stands in, and the notes of inspections that are gone
	figures string   // as audit.Result.Unstated notes them
	words   string   // the first of all that
	gone    string   // what to say of it where it is an inspection
	rows    int      // that had its key, where some may be hidden now; that alone is nothing lost of it
}

// lostMark stands before a column that is lost already, as a figure has one in its note.
const lostMark = "!"

// NoteIn puts what is lost into a record, so that the runs that follow know it until it is stated again.
func (l Lost) NoteIn(rec *Record) {
	add := func(to *string, between, what string) {
		if *to == "" || what == "" {
			between = ""
		}
		*to += between + what
	}
	for _, column := range l.columns {
		add(&rec.Stated, ", ", lostMark+column)
	}
	add(&rec.Stated, ", ", audit.RowsAlikeNoted(l.rows))
	add(&rec.Rests, " ", l.figures)
}

// inWords says what is lost.
func (l *Lost) inWords() string {
	if l.gone != "" {
		return l.gone
	}
	if len(l.columns) > 0 {
		return l.columns[0] + blankNow
	}
	return l.words + ": known before, and blank or not to be read now"
}

// any tells whether anything is lost.
func (l *Lost) any() bool { return l.words != "" }

// lost finds what was stated of an exception and is not any more where it is now.
func (c *comparison) lost(rec *Record, check int, at *audit.Location) (l Lost) {
	l.columns, l.gone = c.blankNow(rec, at)
	column := ""
	if len(l.columns) > 0 {
		column = l.columns[0]
	}
	figure, lost := c.r.Unstated(check, rec.Rests, c.noted(rec), at, func(number string) (int, bool) {
		i, there := c.structures(at.Line)[c.numberNow(at.Line, number)]
		return i, there
	})
	l.figures, l.words = lost, cmp.Or(column, figure)
	return l
}

// noted is the day of a run by which what a record notes was stated.
func (c *comparison) noted(rec *Record) audit.Day {
	return audit.DayOf(cmp.Or(rec.Lost, c.out.Since.AsOf))
}

// numberNow is the number that a structure of a line has now, as far as is known by then.
func (c *comparison) numberNow(line int, number string) string {
	if c.numbersNow == nil {
		c.numbersNow = map[[2]string]string{}
	}
	for _, renamed := range c.out.Renamed[c.followed:] {
		if renamed.Structure != "" {
			c.numbersNow[[2]string{renamed.Line, renamed.FromStructure}] = renamed.Structure
		}
	}
	if c.followed = len(c.out.Renamed); c.followed == 0 {
		return number
	}
	if now, is := c.numbersNow[[2]string{c.lineName(line), number}]; is {
		return now
	}
	return number
}

// lostAtEnds is what was lost of a section that is none any more.
func (c *comparison) lostAtEnds(b *before, check, line int) Lost {
	numbers, at := c.structures(line), audit.AtLine(line)
	if first, there := numbers[b.key.Structure]; there {
		at.Structure = first
	}
	if last, there := numbers[b.key.To]; there {
		at.To = last
	}
	return c.lost(b.Record, check, &at)
}

// blankNow are the columns that stated something of an exception and are blank now, so that what stands in for them is no datum, and the notes of
// inspections that are gone; gone is what to say of the first where it is an inspection.
func (c *comparison) blankNow(rec *Record, at *audit.Location) (columns []string, gone string) {
	if rec.Stated == "" {
		return nil, ""
	}
	_, blank := c.r.Defaulted(at)
	for column := range strings.SplitSeq(rec.Stated, ", ") {
		column = strings.TrimPrefix(column, lostMark)
		lost := c.r.InspectionLost(column, at)
		if lost == "" && !slices.Contains(blank, column) || column == audit.DefectiveColumn && c.r.InstalledSince(c.noted(rec), at) {
			continue
		}
		if len(columns) == 0 {
			gone = lost
		}
		columns = append(columns, column)
	}
	return columns, gone
}

// found takes an exception for one of before. It is not better by what was lost of it, nor where another rule judges it, nor by a figure that is but an
// upper bound of what it has.
func (c *comparison) found(exception int, was *Record) {
	e := &c.r.Exceptions[exception]
	change := Change{State: became(was, &e.Verdict), FirstSeen: min(was.FirstSeen, c.r.Run.AsOf), Was: was}
	if change.State != Standing || audit.LostBefore(was.Rests) || strings.Contains(was.Stated, lostMark) || audit.CountedByInspections(was.Stated) {
		if change.Lost = c.lost(was, e.Check, &e.Location); change.Lost.any() && change.State == Better {
			change.State = Standing
		}
	}
	if change.State == Better && (e.Verdict.AtMost || c.ruleChanged(was, e.Line)) {
		change.State = Standing
	}
	if rows := audit.RowsAlikeThen(was.Stated); rows > 1 && rows > c.r.RowsAlike(&e.Location) && e.Structure >= 0 && c.r.MayHoldMore(e.Line, e.Structure) {
		change.Lost.rows = rows
	}
	c.out.Exceptions[exception] = change
}
