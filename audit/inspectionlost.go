package audit

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
)

// What inspections counted of the strings of a row is noted with its exceptions, string by string. Where such an inspection is gone later, what rested
// on it is only judged anew by something that is known of the same string since.

// seenString is what is known of a string of a row that inspections concern.
type seenString struct {
	phase    Phases // one; none for those that nobody names
	side     Side
	str      int16
	count    int16 // defective units, −1 where that is not known
	zone     int16 // of the clock of seen
	deciding int32 // the inspection whose count that is, −1 for none
	seen     Day   // when an inspection last saw all of it for sure, NoDay for never
}

// seenNote begins the note of a string in what Stated says.
const seenNote = "Inspection/"

// CountedByInspections tells whether a note of an inspection is in what Stated said.
func CountedByInspections(stated string) bool { return strings.Contains(stated, seenNote) }

// statedByInspections notes the strings at a location whose defective units an inspection counts: phase, side, string, count, last day, clock and
// name of the inspection.
func (r *Result) statedByInspections(at *Location) (notes []string) {
	if at.Assembly < 0 || r.Project.Observed[uint32(at.Assembly)] == nil {
		return nil
	}
	p := r.Project
	for _, s := range p.Observed[uint32(at.Assembly)].strings {
		if s.deciding < 0 || s.count <= 0 {
			continue
		}
		in := &p.Inspections.Rows[s.deciding]
		day := ""
		if _, last := in.Date.Between(); in.Date != NoDay {
			day = last.String()
		}
		notes = append(notes, fmt.Sprint(seenNote, url.QueryEscape(nameOf(s.phase)), "/", int(s.side), "/", s.str, "/", s.count, "/", day, "/", in.Zone, "/", url.QueryEscape(p.Texts.Get(in.Name))))
	}
	return notes
}

// nameOf is the name of one phase.
func nameOf(phase Phases) string {
	for i, name := range phaseNames {
		if phase == 1<<i {
			return name
		}
	}
	return ""
}

// InspectionLost says of a note in what Stated said that an inspection which counted defective units is gone and nothing later is known of the
// string, where that is so at a location; empty where it is not, where the string is of other phases or another side than what hangs there, and for any
// other note.
func (r *Result) InspectionLost(note string, at *Location) string {
	rest, is := strings.CutPrefix(note, seenNote)
	fields := strings.Split(rest, "/")
	if !is || at.Assembly < 0 || len(fields) != 7 {
		return ""
	}
	var figures [4]int // side, string, count, zone
	for i, field := range [...]string{fields[1], fields[2], fields[3], fields[5]} {
		figures[i], _ = strconv.Atoi(field)
	}
	phase, _ := url.QueryUnescape(fields[0])
	name, _ := url.QueryUnescape(fields[6])
	then := seenString{phase: onePhase(phase), side: Side(figures[0]), str: int16(figures[1]), count: int16(figures[2])}
	row := r.Project.Assemblies.At(at.Assembly)
	if then.phase != 0 && row.Phases&then.phase == 0 && !row.Faulty.Has(CellPhase) || then.side != NoSide && row.Side != NoSide && !row.Side.Serves(then.side) {
		return "" // it was of a string of another row
	}
	counted := sighting{last: Day(1<<31 - 1), zone: int16(figures[3])} // without a date nobody can tell what is later
	if day := DayOf(fields[4]); day != NoDay {
		counted.first, counted.last = day, day
	}
	if r.hangsSince(at, &counted) || r.seenSince(at, &then, &counted, name) {
		return ""
	}
	said := "an inspection"
	if name != "" {
		said = "inspection " + name
	}
	if fields[4] != "" {
		said += " of " + fields[4]
	}
	return said + " counted defective units there, and is not in the inputs as it was; nothing later is known of the string"
}

// InstalledSince tells whether all rows of what hangs at a location say that it was installed after a day, and not after that of the audit.
func (r *Result) InstalledSince(day Day, at *Location) bool {
	if at.Assembly < 0 || day == NoDay {
		return false
	}
	p := r.Project
	isSince := func(row uint32) bool {
		installed := p.Assemblies.At(int(row)).Installed
		first, _ := installed.Between()
		return installed != NoDay && !installed.isBeyond(p.AsOf) && first > day
	}
	return isSince(uint32(at.Assembly)) && !slices.ContainsFunc(r.Network.repeatsOf(uint32(at.Assembly)), func(other repeat) bool { return !isSince(other.row) })
}

// hangsSince tells whether the register says that what hangs at a location was installed after something was seen, or inspected since.
func (r *Result) hangsSince(at *Location, counted *sighting) bool {
	p := r.Project
	rows := []uint32{uint32(at.Assembly)}
	for _, repeat := range r.Network.repeatsOf(rows[0]) {
		rows = append(rows, repeat.row)
	}
	isSince := func(day Day) bool {
		first, _ := day.Between()
		return day != NoDay && !day.isBeyond(p.AsOf) && counted.isBefore(first)
	}
	return !slices.ContainsFunc(rows, func(row uint32) bool {
		a := p.Assemblies.At(int(row))
		_, stated := a.defectiveUnits()
		return !isSince(a.Installed) && !(stated && isSince(a.Inspected))
	})
}

// seenSince tells whether a string at a location was seen by an inspection after it was counted, or whether the inspection that counted it is there still.
func (r *Result) seenSince(at *Location, then *seenString, counted *sighting, name string) bool {
	p := r.Project
	o := p.Observed[uint32(at.Assembly)]
	if o == nil {
		return false
	}
	k := slices.IndexFunc(o.strings, func(s seenString) bool {
		return s.phase == then.phase && s.side == then.side && s.str == then.str
	})
	if k < 0 {
		return false
	}
	now := &o.strings[k]
	if seen := (sighting{first: now.seen, zone: now.zone}); now.seen != NoDay && seen.isAfter(counted.last, counted.zone) {
		return true
	}
	return slices.ContainsFunc(o.Of, func(i int32) bool {
		in := &p.Inspections.Rows[i]
		first, last := in.Date.Between()
		seen := sighting{phases: in.Phases, side: in.Side, str: max(in.String, 0)}
		if in.Phases != EveryPhase {
			seen.phases |= inLetters(in.Phases)
		}
		return last == counted.last && in.Zone == counted.zone && p.Texts.Get(in.Name) == name && seen.isOf(then.phase, then.side, then.str) &&
			(in.Broken >= then.count || name != "" && now.seen == first) // as it was, or mended
	})
}
