package history

import (
	"cmp"
	"fmt"
	"slices"

	"dryarc/audit"
	"dryarc/geo"

	"github.com/paulmach/orb"
)

// samePlaceM is how far apart in metres two positions may be that are those of one structure.
const samePlaceM = 1.0

// spot is a structure where the earlier run had it.
type spot struct {
	number string
	at     orb.Point
}

// spotsOf are the structures that some records name and whose positions they say, one for each number, in order.
func spotsOf(records []*Record) (spots []spot) {
	for _, rec := range records {
		for _, s := range [...]spot{{rec.Structure, rec.Position}, {rec.To, rec.PositionTo}} {
			if s.number != "" && located(s.at) {
				spots = append(spots, s)
			}
		}
	}
	slices.SortFunc(spots, func(a, b spot) int {
		return cmp.Or(cmp.Compare(a.number, b.number), cmp.Compare(a.at[0], b.at[0]), cmp.Compare(a.at[1], b.at[1]))
	})
	return slices.CompactFunc(spots, func(a, b spot) bool { return a.number == b.number })
}

// ground finds the structures of a line by where they stand.
type ground struct {
	n     *audit.Network
	north []int // structures from south to north
}

func (c *comparison) ground(line int) ground { return groundOf(c.r.Network, line) }

func groundOf(n *audit.Network, line int) ground {
	l := &n.Lines[line]
	g := ground{n: n}
	for i := l.First; i < l.End; i++ {
		g.north = append(g.north, i)
	}
	slices.SortFunc(g.north, func(a, b int) int {
		return cmp.Or(cmp.Compare(g.n.Position(a)[1], g.n.Position(b)[1]), cmp.Compare(a, b))
	})
	return g
}

// at are the structures that stand at a place.
func (g ground) at(place orb.Point) (structures []int) {
	const reachDeg = 1.1e-5 // more than a metre of any degree of latitude
	from, _ := slices.BinarySearchFunc(g.north, place[1]-reachDeg, func(i int, latitude float64) int { return cmp.Compare(g.n.Position(i)[1], latitude) })
	for _, i := range g.north[from:] {
		p := g.n.Position(i)
		if p[1] > place[1]+reachDeg {
			break
		}
		if geo.Within(p, place, samePlaceM) {
			structures = append(structures, i)
		}
	}
	return structures
}

func (c *comparison) remark(format string, args ...any) {
	c.out.Remarks = append(c.out.Remarks, fmt.Sprintf(format, args...))
}

// findRenamed finds the structures that are not there any more, but for another number at the same place that the earlier run does
// not know of the line, and then their exceptions. What more than one may be is none, and said.
func (c *comparison) findRenamed() {
	lost := map[int][]*Record{} // of lines, exceptions at structures that are not there
	for _, i := range c.open {
		b := &c.before[i]
		if line, there := c.lines[b.key.Line]; there && (c.lacks(line, b.key.Structure) || c.lacks(line, b.key.To)) {
			lost[line] = append(lost[line], b.Record)
		}
	}
	if len(lost) == 0 {
		return
	}
	known := c.numbersKnown(lost)
	became := map[int]map[string]string{}
	for line := range c.r.Network.Lines {
		if len(lost[line]) > 0 {
			became[line] = c.renamedOn(line, spotsOf(lost[line]), known[line])
		}
	}
	for _, i := range c.open {
		key := &c.before[i].key
		if line, there := c.lines[key.Line]; there {
			key.Structure = renamed(became[line], key.Structure)
			key.To = renamed(became[line], key.To)
		}
	}
	c.matchKeys()
}

func renamed(became map[string]string, number string) string {
	if now, is := became[number]; is {
		return now
	}
	return number
}

func (c *comparison) lacks(line int, number string) bool {
	_, there := c.structures(line)[number]
	return number != "" && !there
}

// numbersKnown are the numbers of structures that the earlier run names on some lines.
func (c *comparison) numbersKnown(lines map[int][]*Record) map[int]map[string]bool {
	known := map[int]map[string]bool{}
	for line := range lines {
		known[line] = map[string]bool{}
	}
	for i := range c.before {
		rec := c.before[i].Record
		if c.before[i].gone != "" || c.before[i].doubt != "" {
			continue
		}
		if numbers := known[c.lineOf(&c.before[i])]; numbers != nil {
			numbers[rec.Structure], numbers[rec.To] = true, true
		}
	}
	return known
}

// lineOf is the line of the network on which an exception of the earlier run would be now, −1 for none.
func (c *comparison) lineOf(b *before) int {
	if line, there := c.lines[b.key.Line]; there {
		return line
	}
	return -1
}

func (c *comparison) renamedOn(line int, spots []spot, known map[string]bool) map[string]string {
	g := c.ground(line)
	became, claims := map[string]string{}, map[string][]string{}
	name := c.lineName(line)
	for _, s := range spots {
		if !c.lacks(line, s.number) {
			continue
		}
		var may []string
		for _, i := range g.at(s.at) {
			if number := c.numberOf(line, i); !known[number] {
				may = append(may, number)
			}
		}
		slices.Sort(may)
		switch len(may) {
		case 0:
		case 1:
			became[s.number] = may[0]
			claims[may[0]] = append(claims[may[0]], s.number)
		default:
			c.remark("structure %q of line %q is not there any more, and where it stood are %q: which of them it is cannot be told", s.number, name, may)
		}
	}
	for _, s := range spots {
		to, is := became[s.number]
		if !is {
			continue
		}
		if from := claims[to]; len(from) > 1 {
			if from[0] == s.number {
				c.remark("structures %q of line %q are not there any more, and where they stood is %q: which of them it is cannot be told", from, name, to)
			}
			delete(became, s.number)
			continue
		}
		c.out.Renamed = append(c.out.Renamed, Renamed{Line: name, FromLine: name, FromStructure: s.number, Structure: to})
	}
	return became
}

func (c *comparison) numberOf(line, structure int) string {
	at := audit.AtStructure(line, structure)
	return c.r.KeyOf(0, &at, 0).Structure
}
