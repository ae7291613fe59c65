package history

import (
	"fmt"
	"slices"

	"dryarc/geo"
)

// Lines get other names, and names go to other lines, as where two trade theirs or one is given away. By what an earlier run knows of a line
// its structures are told where they stood.

// elsewhereM is how far in metres a line stands at least from all that was known of its name where it is another line beyond doubt (a choice of
// this program: a line that is led anew in part stands closer).
const elsewhereM = 2000.0

// lineNames say what lines of an earlier run are called now.
type lineNames struct {
	became map[string]string // by the names that they had
	given  map[string]string // names that are another line's now, by that line's name then; what they were is nowhere
	doubts map[string]string // why of a line whose name is another's now it cannot be told what it is called
}

// now is the name that a line has now, or the one that it had.
func (n lineNames) now(line string) string { return renamed(n.became, line) }

// gone says why a line that bears a name now is not the one that bore it; empty where it may be, or another name is known.
func (n lineNames) gone(line string) string {
	from, is := n.given[line]
	if !is {
		return ""
	}
	return fmt.Sprintf("nothing stands where line %s stood, and its name is that of another line now, which was %s", line, from)
}

// formerLine is a line as an earlier run knew it.
type formerLine struct {
	name      string
	spots     []spot
	displaced bool // its name is there, and most of what was known of it does not stand on the line that bears it
	far       bool // that line is another beyond doubt
}

// renamedLines finds, of lines that are not there any more, or whose name is that of another line now, those of whose structures, as far as
// the earlier run names them, most stand on one line that is another than it was. What more than one may be is none. Where it is to say so, it says both.
func (c *comparison) renamedLines(then, added, gone []string, entries []entry, knew func(*entry) *Record, say bool) lineNames {
	names := lineNames{map[string]string{}, map[string]string{}, map[string]string{}}
	remark := c.remark
	if !say {
		remark = func(string, ...any) {}
	}
	former := c.formerLines(entries, knew)
	from, to := slices.Clone(gone), slices.Clone(added)
	for _, name := range then {
		if f := former[name]; f != nil && f.displaced {
			from = append(from, name)
		}
	}
	if len(from) == 0 {
		return names
	}
	grounds := map[string]ground{}
	stands := func(f *formerLine, name string) bool {
		g, known := grounds[name]
		if !known {
			g = c.ground(c.lines[name])
			grounds[name] = g
		}
		stand := 0
		for _, s := range f.spots {
			if len(g.at(s.at)) > 0 {
				stand++
			}
		}
		return 2*stand > len(f.spots)
	}
	for _, name := range then {
		if f := former[name]; f != nil && f.displaced && (f.far || slices.ContainsFunc(slices.Concat(added, from), func(other string) bool {
			_, there := c.lines[other]
			return there && other != name && stands(f, other)
		})) {
			to = append(to, name)
		}
	}
	claims := map[string][]string{}
	for _, name := range from {
		f := former[name]
		if f == nil {
			continue
		}
		var may []string
		for _, other := range to {
			if other != name && stands(f, other) {
				may = append(may, other)
			}
		}
		switch len(may) {
		case 0:
			if f.displaced {
				c.doubtName(names, f, then, former, stands)
			}
		case 1:
			names.became[name] = may[0]
			claims[may[0]] = append(claims[may[0]], name)
		default:
			how := "is not there any more"
			if f.displaced {
				how = "stands elsewhere than it did"
			}
			remark("line %q %s, and where its structures stood are those of %q: which of them it is cannot be told", name, how, may)
		}
	}
	for _, name := range to {
		if from := claims[name]; len(from) > 1 {
			remark("lines %q are not there any more, and where their structures stood are those of %q: which of them it is cannot be told", from, name)
			for _, name := range from {
				delete(names.became, name)
			}
		} else if len(from) == 1 {
			if former[name] != nil {
				names.given[name] = from[0]
			}
			if say {
				c.out.Renamed = append(c.out.Renamed, Renamed{FromLine: from[0], Line: name})
			}
		}
	}
	for name := range names.became {
		delete(names.given, name) // it is known what that one is called
	}
	for _, name := range sortedKeys(names.given) {
		remark("%s: what was known of it is gone", names.gone(name))
	}
	for _, name := range sortedKeys(names.doubts) {
		remark("line %q: %s", name, names.doubts[name])
	}
	return names
}

// doubtName notes that a line whose name is another's now may be one that was there, of which nothing was known.
func (c *comparison) doubtName(names lineNames, f *formerLine, then []string, former map[string]*formerLine, stands func(*formerLine, string) bool) {
	for _, other := range then {
		if _, there := c.lines[other]; there && other != f.name && former[other] == nil && stands(f, other) {
			names.doubts[f.name] = fmt.Sprintf("its name is that of another line now, and where it stood is %s, which was there before: whether that is the same line cannot be told", other)
			return
		}
	}
}

// formerLines are the lines of which an earlier run knew where structures stood, by name.
func (c *comparison) formerLines(entries []entry, knew func(*entry) *Record) map[string]*formerLine {
	records := map[string][]*Record{}
	for i := range entries {
		if rec := knew(&entries[i]); rec != nil {
			records[rec.Line] = append(records[rec.Line], rec)
		}
	}
	former := map[string]*formerLine{}
	for name, known := range records {
		spots := spotsOf(known)
		if len(spots) == 0 {
			continue
		}
		f := &formerLine{name: name, spots: spots}
		former[name] = f
		if line, there := c.lines[name]; there {
			f.displaced = 2*c.staying(line, spots) < len(spots)
			f.far = f.displaced && !c.near(line, spots)
		}
	}
	return former
}

// staying counts the spots that stand on a line under whatever number, or whose number may have been measured anew.
func (c *comparison) staying(line int, spots []spot) (n int) {
	var g ground
	for _, s := range spots {
		i, there := c.structures(line)[s.number]
		if there && mayBeMeasuredAnew(c.r.Network, line, i, s.at) {
			n++
			continue
		}
		if g.n == nil {
			g = c.ground(line)
		}
		if len(g.at(s.at)) > 0 {
			n++
		}
	}
	return n
}

// near tells whether any structure of a line is within elsewhereM of any spot.
func (c *comparison) near(line int, spots []spot) bool {
	l := &c.r.Network.Lines[line]
	for i := l.First; i < l.End; i++ {
		if slices.ContainsFunc(spots, func(s spot) bool { return geo.Within(c.r.Network.Position(i), s.at, elsewhereM) }) {
			return true
		}
	}
	return false
}
