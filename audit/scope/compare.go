package scope

import "dryarc/audit"

// todays are the exceptions of today by where they are. Rows, structures and lines are the same in every scenario; circuits and phases go by
// their names, since arranging may number new ones otherwise.
type todays struct {
	*audit.Result
	first []int32 // in order: by structure, then by line for those of none, and one more
	order []int32
}

func newTodays(today *audit.Result) *todays {
	t := &todays{Result: today, first: make([]int32, today.Network.StructureCount()+len(today.Network.Lines)+1), order: make([]int32, len(today.Exceptions))}
	for i := range today.Exceptions {
		t.first[t.place(&today.Exceptions[i].Location)+1]++
	}
	for k := range t.first[1:] {
		t.first[k+1] += t.first[k]
	}
	next := append([]int32(nil), t.first...)
	for i := range today.Exceptions {
		k := t.place(&today.Exceptions[i].Location)
		t.order[next[k]] = int32(i)
		next[k]++
	}
	return t
}

func (t *todays) place(at *audit.Location) int {
	if at.Structure >= 0 {
		return at.Structure
	}
	return t.Network.StructureCount() + at.Line
}

// mark marks the exceptions of a check at a location of a project, and returns the gravest of them; known is false where there is none.
func (t *todays) mark(marks []bool, p *audit.Project, check int, at *audit.Location) (gravest audit.Severity, known bool) {
	k := t.place(at)
	for _, i := range t.order[t.first[k]:t.first[k+1]] {
		e := &t.Exceptions[i]
		if e.Check != check || e.Line != at.Line || e.To != at.To || e.Assembly != at.Assembly || e.Side != at.Side ||
			t.Project.Symbols.Text(e.Circuit) != p.Symbols.Text(at.Circuit) || t.Project.Symbols.Text(e.Phase) != p.Symbols.Text(at.Phase) {
			continue
		}
		if marks[i] = true; !known || e.Verdict.Severity < gravest {
			gravest, known = e.Verdict.Severity, true
		}
	}
	return gravest, known
}

// compare finds what newly falls short or does so more gravely, what is mended and what cannot be judged any more, of which open are marks by
// exception of today.
func (l *Look) compare(today *todays, open []bool) {
	now := make([]bool, len(today.Exceptions)) // the scenario has it too
	for i := range l.Then.Exceptions {
		e := &l.Then.Exceptions[i]
		if before, known := today.mark(now, l.Then.Project, e.Check, &e.Location); !known || e.Verdict.Severity < before {
			l.New = append(l.New, i)
		}
	}
	for i := range today.Exceptions {
		switch {
		case !l.Then.Lines[today.Exceptions[i].Line].Assessed || now[i]:
		case open[i]:
			l.Unjudged = append(l.Unjudged, i)
		default:
			l.Mended = append(l.Mended, i)
		}
	}
}
