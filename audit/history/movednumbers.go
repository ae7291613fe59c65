package history

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/geo"

	"github.com/paulmach/orb"
)

// findMoved finds the lines on which numbers stand on other structures than they did, as where all were moved on by one: a structure of a
// number stands more than samePlaceM from where it stood, and there another number of the line stands now. What the earlier run knew then
// goes by places: to the one number that stands there. Where that cannot be told it is cleared as not assessed, which is no clearance.
func (c *comparison) findMoved() {
	records := map[int][]*Record{}
	for _, i := range c.open {
		if line := c.lineOf(&c.before[i]); line >= 0 {
			records[line] = append(records[line], c.before[i].Record)
		}
	}
	became, doubts, gone := map[int]map[string]string{}, map[int]map[string]string{}, map[int]map[string]string{}
	for line := range c.r.Network.Lines {
		spots := spotsOf(records[line])
		if slices.ContainsFunc(spots, func(s spot) bool { return c.standsElsewhere(line, s) }) {
			became[line], doubts[line], gone[line] = c.movedOn(line, spots)
		}
	}
	if len(became) == 0 {
		return
	}
	open := c.open[:0]
	for _, i := range c.open {
		b := &c.before[i]
		line := c.lineOf(b)
		if away := cmp.Or(gone[line][b.Structure], gone[line][b.To]); away != "" {
			c.goneAs(b, away)
			continue
		}
		doubt := doubts[line][b.Structure]
		if doubt == "" {
			doubt = doubts[line][b.To]
		}
		if doubt != "" {
			c.cleared(b, NotAssessed, doubt)
			continue
		}
		b.key.Structure, b.key.To = renamed(became[line], b.key.Structure), renamed(became[line], b.key.To)
		open = append(open, i)
	}
	c.open = open
}

// standsElsewhere tells whether the number of a spot is there, and not where it was.
func (c *comparison) standsElsewhere(line int, s spot) bool {
	i, there := c.structures(line)[s.number]
	return there && !geo.Within(c.r.Network.Position(i), s.at, samePlaceM)
}

// movedOn says which number stands where a number stood, why that cannot be told of others, and of which nothing stands where they stood; the
// first two are nothing where no number of the line stands where another did.
func (c *comparison) movedOn(line int, spots []spot) (became, doubts, gone map[string]string) {
	g := c.ground(line)
	became, doubts, gone = map[string]string{}, map[string]string{}, map[string]string{}
	claims := map[string]int{}
	moved, name := false, c.lineName(line)
	var astray []spot
	for _, s := range spots {
		_, there := c.structures(line)[s.number]
		if there && !c.standsElsewhere(line, s) {
			claims[s.number]++
			continue
		}
		here := g.at(s.at)
		moved = moved || there && len(here) > 0
		switch len(here) {
		case 0:
			if there {
				astray = append(astray, s)
			}
		case 1:
			became[s.number] = c.numberOf(line, here[0])
			claims[became[s.number]]++
		default:
			doubts[s.number] = fmt.Sprintf("several structures stand where %s stood, and which of them it is cannot be told", s.number)
		}
	}
	for _, s := range astray {
		if i := c.structures(line)[s.number]; !mayBeMeasuredAnew(c.r.Network, line, i, s.at) {
			gone[s.number] = reusedNumber(s.number)
		}
	}
	if len(gone) > 0 {
		c.remark("numbers of line %q stand on other structures than they did, and of %d, such as %s, nothing stands where it stood: what was known there is gone", name, len(gone), sortedKeys(gone)[0])
	}
	if !moved {
		return nil, nil, gone
	}
	for _, s := range astray {
		if claims[s.number] > 0 && gone[s.number] == "" {
			doubts[s.number] = fmt.Sprintf("nothing stands where %s stood, and its number is that of another structure now", s.number)
		}
	}
	first, n := "", 0
	for _, s := range spots {
		to, is := became[s.number]
		switch {
		case !is:
		case claims[to] > 1:
			doubts[s.number] = fmt.Sprintf("where %s stood is %s now, as where another stood: which of them it is cannot be told", s.number, to)
			delete(became, s.number)
		default:
			if n++; first == "" {
				first = fmt.Sprintf("%s is now %s", s.number, to)
			}
			c.out.Renamed = append(c.out.Renamed, Renamed{Line: name, FromLine: name, FromStructure: s.number, Structure: to})
		}
	}
	c.remark("numbers of line %q stand on other structures than they did: %d are known by where they stand, such as %s; of %d it cannot be told, and nothing of them is cleared", name, n, first, len(doubts))
	if c.out.moved == nil {
		c.out.moved = map[string]map[string]string{}
	}
	c.out.moved[name] = became
	return became, doubts, gone
}

// reusedNumber says why what was known of a number is gone though the number is there.
func reusedNumber(number string) string {
	return fmt.Sprintf("nothing stands where %s stood, and its number is that of another structure now", number)
}

// ofPlaces finds what stands where, for decisions.
type ofPlaces struct {
	grounds map[int]ground
	numbers structureNumbers
}

func (p *ofPlaces) ground(n *audit.Network, line int) ground {
	g, known := p.grounds[line]
	if !known {
		g = groundOf(n, line)
		p.grounds[line] = g
	}
	return g
}

// surveyedM is how far in metres a structure may be from where it was known to stand, and still be that one, where no
// other stands there: measured anew it moves less, and structures stand farther apart (a choice of this program). Where they stand closer it
// is a third of the shorter span beside it.
const surveyedM = 25.0

// mayBeMeasuredAnew tells whether a structure may be the one that was known to stand at a place.
func mayBeMeasuredAnew(n *audit.Network, line, structure int, place orb.Point) bool {
	reachM := surveyedM
	for _, beside := range [...]int{structure - 1, structure + 1} {
		if l := &n.Lines[line]; beside >= l.First && beside < l.End {
			reachM = min(reachM, geo.Inverse(n.Position(structure), n.Position(beside)).LengthM/3)
		}
	}
	return geo.Within(n.Position(structure), place, max(reachM, samePlaceM))
}

// standingAt says, of a number of a line that stood at a place, which number stands there now where it is one other, and whether its own
// number may be that of another structure now: it stands elsewhere, and others stand there or it is far away.
func (d *deciding) standingAt(name string, line int, was spot) (now string, elsewhere bool) {
	numbers := d.where.numbers.of(d.r, line)
	i, there := numbers[was.number]
	if !there { // as of the first of numbers that were moved on by one
		return d.places.moved[name][was.number], false
	}
	if !located(was.at) || geo.Within(d.r.Network.Position(i), was.at, samePlaceM) {
		return "", false
	}
	here := d.where.ground(d.r.Network, line).at(was.at)
	if len(here) == 1 {
		at := audit.AtStructure(line, here[0])
		now = d.r.KeyOf(0, &at, 0).Structure
	}
	return now, len(here) > 0 || !mayBeMeasuredAnew(d.r.Network, line, i, was.at)
}

// relocate gives a decision the numbers that stand where it was decided, by the places among its figures, where numbers of a line stand on
// other structures now. To do so again changes nothing, whatever this run is compared with. Figures that have no place yet get it.
func (d *deciding) relocate(decision *Decision) {
	parts := strings.Split(decision.Was, "; ")
	changed, structure := false, ""
	for k, part := range parts {
		held, is := parseFigures(part)[figuresID(part)]
		if !is {
			continue
		}
		key, at, known := d.knownAs(held.id)
		if !known {
			continue
		}
		if !located(held.at) {
			held.at, changed = at, true
		}
		line, there := d.places.lines[key.Line]
		if !there {
			parts[k] = held.String()
			continue
		}
		number := key.Structure
		if now, _ := d.standingAt(key.Line, line, spot{number, held.at}); now != "" && !strings.Contains(held.id, "-") {
			key.Structure, key.To = now, renamed(d.places.moved[key.Line], key.To)
			id := key.ID()
			if decision.Exception == held.id {
				decision.Exception, decision.Structure = id, now
			}
			if decision.Exception == "" && decision.Structure == number {
				structure = now
			}
			held.id, changed = id, true
		}
		parts[k] = held.String()
	}
	if structure != "" {
		decision.Structure = structure
	}
	if changed {
		decision.Was = strings.Join(parts, "; ")
	}
}

// knownAs is what an exception of this run or of the one compared with is called, and where its structure stood when that was written.
func (d *deciding) knownAs(id string) (key audit.Key, at [2]float64, known bool) {
	rec := d.places.was[id]
	if i, there := d.places.byID[id]; there {
		key = d.r.Key(i)
		at = positionOf(d.r.Network, d.r.Exceptions[i].Structure)
	} else if rec != nil {
		key, at = rec.Key, rec.Position
		key.Line = d.lineNow(key.Line, key.Structure, rec.Position)
	} else {
		return key, at, false
	}
	if rec != nil && d.places.moved[key.Line] != nil { // it was decided before the numbers moved
		at = rec.Position
	}
	return key, at, true
}
