package scope

import (
	"sync"

	"dryarc/audit"
)

// spot names what a verdict is of. Rows, structures and lines are the same in every scenario; circuits and phases go by their names,
// since arranging may number new ones otherwise.
type spot struct {
	check, line, structure, to, assembly int
	circuit, phase                       string
	side                                 audit.Side
}

func spotOf(p *audit.Project, check int, at *audit.Location) spot {
	return spot{check, at.Line, at.Structure, at.To, at.Assembly, p.Symbols.Text(at.Circuit), p.Symbols.Text(at.Phase), at.Side}
}

// open are the exceptions of today that cannot be judged in a scenario.
type open struct {
	project *audit.Project
	before  map[spot]audit.Severity // the gravest of a spot
	at      []bool                  // by structure: any of them is there
	mutex   sync.Mutex
	found   map[spot]bool
}

func newOpen(today *audit.Result, then *audit.Project) *open {
	o := &open{project: then, before: map[spot]audit.Severity{}, at: make([]bool, today.Network.StructureCount()), found: map[spot]bool{}}
	for i := range today.Exceptions {
		e := &today.Exceptions[i]
		if e.Structure >= 0 {
			o.at[e.Structure] = true
		}
		at := spotOf(today.Project, e.Check, &e.Location)
		if gravest, known := o.before[at]; !known || e.Verdict.Severity < gravest {
			o.before[at] = e.Verdict.Severity
		}
	}
	return o
}

// note notes what cannot be judged where an exception of today is.
func (o *open) note(check int, at audit.Location) {
	if at.Structure >= 0 && !o.at[at.Structure] {
		return
	}
	key := spotOf(o.project, check, &at)
	if _, known := o.before[key]; known {
		o.mutex.Lock()
		o.found[key] = true
		o.mutex.Unlock()
	}
}

// compare finds what newly falls short or does so more gravely, what is mended and what cannot be judged any more.
func (l *Look) compare(o *open) {
	now := map[spot]bool{} // that today has too
	for i := range l.Then.Exceptions {
		e := &l.Then.Exceptions[i]
		var before audit.Severity
		known := e.Structure < 0 || o.at[e.Structure] // today has any there
		if known {
			at := spotOf(l.Then.Project, e.Check, &e.Location)
			if before, known = o.before[at]; known {
				now[at] = true
			}
		}
		if !known || e.Verdict.Severity < before {
			l.New = append(l.New, i)
		}
	}
	for i := range l.Today.Exceptions {
		e := &l.Today.Exceptions[i]
		at := spotOf(l.Today.Project, e.Check, &e.Location)
		switch {
		case !l.Then.Lines[e.Line].Assessed || now[at]:
		case o.found[at]:
			l.Unjudged = append(l.Unjudged, i)
		default:
			l.Mended = append(l.Mended, i)
		}
	}
}
