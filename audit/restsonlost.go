package audit

import (
	"net/url"
	"strings"
)

// What of the figures that were noted of something is not stated any more.

// Unstated says which of the figures that RestsOn noted of something are not stated any more where it is now: in words, and as a note of
// those alone; empty where all are. Figures of a unit or a conductor that is another now are not lost, nor those of a row for the whole of a
// string that is another, also by the day on which it was installed, where that is later than the audit that noted it; where only the count of
// its units is, those of horns and its rating may be lost still. What is no structure of the line any more states nothing.
// find finds the structure of the line that has a number of then.
func (r *Result) Unstated(check int, rests string, noted Day, at *Location, find func(number string) (structure int, there bool)) (words, lost string) {
	if rests == "" { // of a version that noted nothing
		return "", ""
	}
	rehung := r.InstalledSince(noted, at)
	if at.Assembly >= 0 {
		rests += r.unreadSince(check, rests, at)
	}
	for part := range strings.FieldsSeq(rests) {
		subject, letters, _ := strings.Cut(strings.TrimPrefix(part, string(noteLost)), ":")
		subject, escaped, _ := strings.Cut(subject, "/")
		name, err := url.QueryUnescape(escaped)
		if err != nil {
			continue
		}
		stated, may := r.statedNow(subject, name, at, find)
		if rehung && subject == noteOfRow {
			may &^= stringFigures
		}
		gone := ""
		for k, figure := range noteTables[subject] {
			if may&(1<<k) != 0 && stated&(1<<k) == 0 && strings.IndexByte(letters, figure.letter) >= 0 {
				if gone += string(figure.letter); words == "" {
					words = inWords(subject, name, figure.name)
				}
			}
		}
		if gone != "" {
			if escaped != "" {
				subject += "/" + escaped
			}
			lost += " " + string(noteLost) + subject + ":" + gone
		}
	}
	return words, strings.TrimPrefix(lost, " ")
}

// unreadSince is the note of what the row of something states and nobody can read, unless that is noted already.
func (r *Result) unreadSince(check int, rests string, at *Location) string {
	n := note{kind: r.restsOf(check)}
	row := r.Project.Assemblies.At(at.Assembly)
	ofRow, _ := r.goneBy(&row, at.Line)
	unread, before := unreadByRow(&row)&ofRow, ""
	for part := range strings.FieldsSeq(rests) {
		if subject, letters, _ := strings.Cut(strings.TrimPrefix(part, string(noteLost)), ":"); subject == noteUnread || subject == noteRead {
			before += letters
		}
	}
	for k := range rowFigures {
		if strings.IndexByte(before, rowFigures[k].letter) >= 0 {
			unread &^= 1 << k
		}
	}
	if n.add(noteRead, "", unread); len(n.text) == 0 {
		return ""
	}
	return " " + string(n.text)
}

// LostBefore tells whether a note of RestsOn says that something was lost before it.
func LostBefore(rests string) bool { return strings.IndexByte(rests, noteLost) >= 0 }

func inWords(subject, name, figure string) string {
	switch subject {
	case noteOfUnit, noteOfConductor:
		return figure + " of the " + subject + " " + name
	case noteOfHere:
		return figure + " of the structure"
	case noteOfStructure:
		return figure + " of structure " + name
	case noteOfHanging:
		return figure + " of what hangs there"
	case noteOfLine:
		return figure + " of the line"
	case noteOfCase:
		return figure + " under " + name
	}
	return figure
}

// statedNow is what a subject of a note states, and which of that may have been lost.
func (r *Result) statedNow(subject, name string, at *Location, find func(string) (int, bool)) (stated, may Figures) {
	p := r.Project
	switch subject {
	case noteOfRow:
		if at.Assembly < 0 {
			return 0, 0
		}
		row := p.Assemblies.At(at.Assembly)
		stated = p.statedByRow(&row)
		if row.Duty == Pin { // upright where nobody says otherwise
			stated |= mountingFigure
		}
		may, _ = r.goneBy(&row, at.Line)
		if hanging := p.hanging(&row); name != "" && row.Makeup > 0 && hanging != name {
			may &^= stringFigures
			if unitsIn(hanging) == unitsIn(name) {
				may |= figuresOfAnyCount
			}
		}
		return stated, may
	case noteRead:
		if at.Assembly >= 0 {
			row := p.Assemblies.At(at.Assembly)
			return ^unreadByRow(&row), every
		}
	case noteOfUnit:
		if at.Assembly < 0 {
			return 0, 0
		}
		row := p.Assemblies.At(at.Assembly)
		for _, part := range p.Makeups[row.Makeup].Parts {
			if p.Units[part.Unit].Name == name {
				_, may = r.goneBy(&row, at.Line)
				return FiguresOf(p.UnitsStated, part.Unit), may
			}
		}
	case noteOfConductor:
		return r.conductorNow(name, at)
	case noteOfHere:
		if at.Structure >= 0 {
			row := r.Network.row(at.Structure)
			stated = p.statedByStructure(&row)
			if isStated(p.roomOf(&row).WallDistanceMM) { // beside which no arm tells anything
				stated |= armFigure
			}
			return stated, every
		}
	case noteOfStructure:
		if i, there := find(name); there {
			row := r.Network.row(i)
			return p.statedByStructure(&row), every
		}
	case noteOfHanging:
		if at.Structure >= 0 {
			return r.hangingNow(name, at.Structure), every
		}
	case noteOfLine:
		return statedByLine(&r.Network.Lines[at.Line].Row) | r.inPlaceOfLine(at), every
	case noteOfCase:
		return r.caseNow(name, at)
	}
	return 0, 0
}

// conductorNow is what the row of a conductor states that a span beside a place carries.
func (r *Result) conductorNow(name string, at *Location) (stated, may Figures) {
	if at.Structure < 0 {
		return 0, 0
	}
	network := r.Network
	for _, i := range [...]int{network.previous(&network.Lines[at.Line], at.Structure), at.Structure} {
		if i < 0 {
			continue
		}
		if k, is := network.conductors[network.structures[i].conductorAhead]; is && network.structures[i].conductorAhead != 0 && r.Project.Conductors[k].Name == name {
			return FiguresOf(r.Project.ConductorsStated, int(k)), every
		}
	}
	return 0, 0
}

// unitsIn are the units that hanging said of a string, without their numbers.
func unitsIn(hanging string) string {
	parts := strings.Split(hanging, "+")
	for i := range parts {
		_, parts[i], _ = strings.Cut(parts[i], "x")
	}
	return strings.Join(parts, "+")
}
