package read

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	jsontext "dryarc/audit/read/json"
)

// propertyNames finds, feature by feature, which properties of an input are meant: each feature may spell them its own way. It
// notes what is there, to find a name that is wrong.
type propertyNames struct {
	wanted  []wantedProperty
	slots   []slot           // of the wanted properties, then of those that choose features, then of those carried through
	only    int              // the first slot of those that choose features
	carried int              // the first slot of those carried through
	exact   map[string][]int // slots by their name
	alike   map[string][]int // slots by the key of a name that the project file states
	meant   map[string][]sense
	cuts    bool // the format cuts long names

	known  map[string]*spelling
	names  []string // of the first spellings
	cut    bool     // there are more names
	looked int

	last  []*spelling // the members of the feature before
	plain bool        // no slot has two of them

	shortened []string          // names that the format has cut
	missing   []string          // which no feature has
	why       map[string]string // what else is done with a property
}

// mostNames is how many names of properties are told, and mostKept how many are kept in order to look them up once (choices of this program).
const (
	mostNames = 1000
	mostKept  = 1 << 14
)

// wantedProperty is a property by its key in the project file.
type wantedProperty struct {
	key      string
	property property
	or       *property // does as well
	required bool
	idle     bool      // no verdict rests on it: its own name may stand beside another for it
	synonyms []string  // what else it may be called
	to       *property // which the reader looks at: what the feature calls the property
}

// of makes the reader look at what a feature calls the property.
func (w wantedProperty) of(to *property, synonyms ...string) wantedProperty {
	w.property, w.to, w.synonyms = *to, to, synonyms
	return w
}

// slot is something that a property is looked for, with what the feature has for it.
type slot struct {
	found []found
	used  []*usedSpelling // that features have for it
	twice []string        // spellings of a required property that stand in one feature
}

// found is a member of a feature that may stand for a slot.
type found struct {
	member int
	name   *spelling
	sense
}

// usedSpelling is a spelling that features have for a slot.
type usedSpelling struct {
	name string
	in   unitOfMeasure
	used bool // it was read in any
}

// spelling is the name of a property as an input has it, and what it may stand for.
type spelling struct {
	name   string
	senses []sense
}

// sense is what a name may stand for.
type sense struct {
	slot  int
	class nameClass
	in    unitOfMeasure
}

// nameClass is how surely a name stands for a property; the surer wins.
type nameClass uint8

const (
	cutName nameClass = iota // a name that the format has cut
	synonym                  // what else the trade says
	spelled                  // the name itself whatever its case, blanks and marks
	exactly                  // the name itself
)

// ofOwn takes the two classes of the name itself for one.
func (c nameClass) ofOwn() nameClass { return min(c, spelled) }

// newPropertyNames starts for one file.
func newPropertyNames(wanted []wantedProperty, chosen choice) propertyNames {
	c := propertyNames{wanted: slices.Clone(wanted), known: map[string]*spelling{}, exact: map[string][]int{}, alike: map[string][]int{}, meant: map[string][]sense{}, why: map[string]string{}}
	for i := range c.wanted {
		w := &c.wanted[i]
		if w.to == nil {
			w.to = &w.property
		} else {
			*w.to = w.property
		}
		c.expect(i, w.property.name, w.property.stated)
		if !w.property.stated {
			c.mean(i, w)
		}
	}
	c.only = len(c.wanted)
	for i, o := range chosen.only {
		c.expect(c.only+i, o.name, true)
	}
	c.carried = c.only + len(chosen.only)
	for i, name := range chosen.carry {
		c.expect(c.carried+i, name, true)
	}
	c.slots = make([]slot, c.carried+len(chosen.carry))
	return c
}

// expect looks for a name, and where the project file states it for its other spellings.
func (c *propertyNames) expect(slot int, name string, stated bool) {
	c.exact[name] = append(c.exact[name], slot)
	if key := headingKey(name); stated && key != "" {
		c.alike[key] = append(c.alike[key], slot)
	}
}

// mean looks for a property that the project file does not name, and for its synonyms, with the name of a unit behind them or
// without.
func (c *propertyNames) mean(slot int, w *wantedProperty) {
	add := func(key string, s sense) {
		if !slices.ContainsFunc(c.meant[key], func(other sense) bool { return other.slot == slot }) {
			c.meant[key] = append(c.meant[key], s)
		}
	}
	for i, name := range append([]string{w.property.name}, w.synonyms...) {
		s := sense{slot: slot, class: synonym}
		if i == 0 {
			s.class = spelled
		}
		add(headingKey(name), s)
		if w.property.measure == nil {
			continue
		}
		for _, s.in = range w.property.measure.units {
			for _, unit := range s.in.names {
				if key := headingKey(unit); key != "" {
					add(headingKey(name)+key, s)
				}
			}
		}
	}
}

// spelling finds what a name may stand for.
func (c *propertyNames) spelling(written []byte) *spelling {
	if known := c.known[string(written)]; known != nil {
		return known
	}
	s := &spelling{name: string(written)}
	add := func(found sense) {
		if !slices.ContainsFunc(s.senses, func(other sense) bool { return other.slot == found.slot }) {
			s.senses = append(s.senses, found)
		}
	}
	for _, slot := range c.exact[s.name] {
		add(sense{slot, exactly, c.ownUnit(slot)})
	}
	for _, slot := range c.alike[headingKey(s.name)] {
		add(sense{slot, spelled, c.ownUnit(slot)})
	}
	outside, unit := unitIn(s.name)
	for _, found := range c.meant[headingKey(outside)] {
		m := c.wanted[found.slot].property.measure
		in, problem := unitOf(s.name, m, unit)
		switch {
		case problem != "":
			c.why[s.name] = "its unit is not known, " + problem[strings.LastIndex(problem, "expected"):]
			if m == metres { // what goes by a level that is not read is not known
				continue
			}
			found.in = unitOfMeasure{names: []string{unit}, factor: math.NaN()} // figures of a line or a criterion do not stand in for it
		case len(found.in.names) > 0 && unit != "" && in.factor != found.in.factor:
			continue
		case len(found.in.names) == 0:
			found.in = withoutName(in, unit)
		}
		add(found)
	}
	if c.cuts && !slices.ContainsFunc(s.senses, func(found sense) bool { return found.slot < c.only }) {
		for _, slot := range c.cutTo(s.name) {
			add(sense{slot, cutName, c.ownUnit(slot)})
		}
	}
	if len(c.known) < mostKept {
		c.known[s.name] = s
	}
	if len(c.names) < mostNames {
		c.names = append(c.names, s.name)
	} else {
		c.cut = true
	}
	return s
}

// ownUnit is the unit of a slot under its own name.
func (c *propertyNames) ownUnit(slot int) unitOfMeasure {
	if slot < c.only {
		return c.wanted[slot].property.in
	}
	return unitOfMeasure{factor: 1}
}

// withoutName is a unit that nobody stated where unit is blank.
func withoutName(in unitOfMeasure, unit string) unitOfMeasure {
	if unit == "" {
		return unitOfMeasure{factor: 1}
	}
	return in
}

// column tells of a heading whether it stands for a wanted property, whether that is a number, and of what measure and unit.
func (c *propertyNames) column(heading string) (wanted, number bool, m *measure, in unitOfMeasure) {
	for _, s := range c.spelling([]byte(heading)).senses {
		if s.slot >= c.only {
			continue
		}
		w := &c.wanted[s.slot]
		wanted, in = true, s.in
		if w.property.measure != nil || w.key == "sequence" {
			return true, true, w.property.measure, s.in
		}
	}
	return wanted, false, nil, in
}

// picks tells whether features are chosen by a name, or it is carried through.
func (c *propertyNames) picks(name string) bool {
	return slices.ContainsFunc(c.spelling([]byte(name)).senses, func(s sense) bool { return s.slot >= c.only })
}

// isRequired tells whether a name stands for a wanted property that every feature has to have.
func (c *propertyNames) isRequired(name string) bool {
	return slices.ContainsFunc(c.spelling([]byte(name)).senses, func(s sense) bool { return s.slot < c.only && c.wanted[s.slot].required })
}

// note counts a feature. What it calls the properties is known behind it. Of two names for one property that contradict each other
// neither is read: what the reader then finds is both, which is neither a word nor a number.
func (c *propertyNames) note(f *feature) {
	c.looked++
	same := len(f.members) == len(c.last)
	for i := 0; same && i < len(c.last); i++ {
		same = string(f.members[i].Name) == c.last[i].name
	}
	if same && c.plain {
		return
	}
	if !same {
		c.find(f)
	}
	for i := range c.slots {
		if s := &c.slots[i]; i < c.only && (!same || len(s.found) > 1) {
			c.settle(i, f)
		}
	}
}

// find takes up the names of a feature.
func (c *propertyNames) find(f *feature) {
	c.plain, c.last = true, c.last[:0]
	for i := range c.slots {
		c.slots[i].found = c.slots[i].found[:0]
	}
	for i := range f.members {
		name := c.spelling(f.members[i].Name)
		c.last = append(c.last, name)
		for _, sense := range name.senses {
			s := &c.slots[sense.slot]
			if again := slices.IndexFunc(s.found, func(other found) bool { return other.name.name == name.name }); again >= 0 {
				s.found[again].member = i // as JSON readers do
				continue
			}
			s.found = append(s.found, found{i, name, sense})
			c.plain = c.plain && len(s.found) == 1
			s.use(name.name, sense.in)
		}
	}
}

// use notes that features have a spelling for a slot.
func (s *slot) use(name string, in unitOfMeasure) *usedSpelling {
	for _, used := range s.used {
		if used.name == name {
			return used
		}
	}
	used := &usedSpelling{name: name, in: in}
	if len(s.used) < mostNames {
		s.used = append(s.used, used)
	}
	return used
}

// settle makes the reader look at what a feature has for a wanted property.
func (c *propertyNames) settle(i int, f *feature) {
	w, s := &c.wanted[i], &c.slots[i]
	if len(s.found) == 0 {
		w.to.name, w.to.in = w.property.name, w.property.in
		if len(s.used) > 0 {
			w.to.name = s.used[0].name
		}
		return
	}
	best, others := s.best(f, w.required)
	if w.required {
		s.checkTwice(f, best, others)
	}
	s.use(best.name.name, best.in).used = true
	w.to.name, w.to.in = best.name.name, best.in
	for _, other := range others {
		if !agree(f, w.property.measure, best, other) && !(w.idle && other.class == synonym) {
			w.to.name, w.to.in = contradiction(f, best, other), unitOfMeasure{factor: 1}
			return
		}
	}
}

// checkTwice notes two names of a property that has to be there: two that are as sure, and a synonym that says otherwise than the
// property's own name. What says where a feature belongs is not told feature by feature.
func (s *slot) checkTwice(f *feature, best found, others []found) {
	if len(s.twice) > 0 {
		return
	}
	for _, other := range s.found {
		if other.class == best.class && best.class < exactly && other.name != best.name {
			s.twice = []string{best.name.name, other.name.name}
			return
		}
	}
	for _, other := range others {
		if other.class.ofOwn() < best.class.ofOwn() && !agree(f, nil, best, other) {
			s.twice = []string{best.name.name, other.name.name}
			return
		}
	}
}

// best chooses the surest name that says anything, and names the others that say something. A synonym does not take the place of a
// blank name that has to be there: it may mean something else.
func (s *slot) best(f *feature, required bool) (best found, others []found) {
	best = s.found[0]
	if len(s.found) == 1 {
		return best, nil
	}
	rank := func(one found) int {
		rank := int(one.class)
		if f.holds(one.member) && (!required || one.class >= spelled || !slices.ContainsFunc(s.found, func(other found) bool { return other.class >= spelled })) {
			rank += 1 << 8
		}
		return rank
	}
	for _, one := range s.found[1:] {
		if rank(one) > rank(best) {
			best = one
		}
	}
	for _, one := range s.found {
		if one.name != best.name && f.holds(one.member) && (f.holds(best.member) || one.class.ofOwn() == best.class.ofOwn()) {
			others = append(others, one)
		}
	}
	return best, others
}

// holds tells whether a member of a feature holds anything.
func (f *feature) holds(member int) bool {
	text, plain := propertyText(f.members[member].Value)
	return text != "" || !plain
}

// sameFigure is the share by which two figures of one thing may differ, by the rounding of their units (a choice of this program).
const sameFigure = 1e-9

// agree tells whether two members say the same, each in its unit.
func agree(f *feature, m *measure, a, b found) bool {
	one, other := f.members[a.member].Value, f.members[b.member].Value
	if x, isX, _ := propertyNumber(one); isX && m != nil {
		y, isY, _ := propertyNumber(other)
		x, y = x*a.in.factor+a.in.offset, y*b.in.factor+b.in.offset
		return isY && math.Abs(x-y) <= sameFigure*math.Abs(x)
	}
	textA, plainA := propertyText(one)
	textB, plainB := propertyText(other)
	return textA == textB && plainA == plainB
}

// contradiction adds to a feature a member that says what two others do, and returns its name.
func contradiction(f *feature, a, b found) string {
	var both bytes.Buffer
	for i, one := range [...]found{a, b} {
		name, _ := json.Marshal(one.name.name)
		both.WriteByte("{,"[i])
		both.Write(name)
		both.WriteByte(':')
		both.Write(f.members[one.member].Value)
	}
	both.WriteByte('}')
	name := a.name.name + " and " + b.name.name
	f.members = append(f.members, jsontext.Member{Name: []byte(name), Value: both.Bytes()})
	return name
}

// texts are what a feature says for a slot, by all its spellings that say anything; one alone where they say the same.
func (c *propertyNames) texts(f *feature, slot int) []string {
	var texts []string
	for _, one := range c.slots[slot].found {
		if text, _ := propertyText(f.members[one.member].Value); text != "" && !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
	}
	return texts
}

// isThere tells whether any feature has a property for a slot.
func (c *propertyNames) isThere(slot int) bool { return len(c.slots[slot].used) > 0 }

// cutTo lists the wanted properties whose names, cut as the tables of shapefiles cut them, are a name.
func (c *propertyNames) cutTo(name string) (slots []int) {
	if len(name) != longestDBFName {
		return nil
	}
	for i := range c.wanted {
		w := &c.wanted[i]
		if w.property.stated {
			continue
		}
		is := func(long string) bool {
			for _, blank := range [...]string{" ", "_", ""} {
				if form := strings.NewReplacer(" ", blank, "_", blank).Replace(long); len(form) > longestDBFName && strings.EqualFold(form[:longestDBFName], name) {
					return true
				}
			}
			return false
		}
		if slices.ContainsFunc(append([]string{w.property.name}, w.synonyms...), is) {
			slots = append(slots, i)
		}
	}
	return slots
}

// longestDBFName is how many bytes a name has in the table of a shapefile.
const longestDBFName = 10

// numberedCut tells whether a name is what writers of shapefiles make of a long name where its cut form is taken: its start with
// a number behind.
func numberedCut(name, cut string) bool {
	if len(name) != longestDBFName || !strings.EqualFold(name[:longestDBFName-2], cut[:longestDBFName-2]) {
		return false
	}
	last, digit := name[longestDBFName-2], name[longestDBFName-1]
	return (last == '_' || '1' <= last && last <= '9') && '0' <= digit && digit <= '9'
}

// checkCut refuses cut names of which it cannot be told what they stand for, and notes the others.
func (c *propertyNames) checkCut(file, section string) error {
	var trouble problems
	for _, name := range slices.Sorted(slices.Values(c.names)) {
		var keys []string
		for _, sense := range c.spelling([]byte(name)).senses {
			if sense.class == cutName && sense.slot < c.only {
				keys = append(keys, c.wanted[sense.slot].key)
			}
		}
		if len(keys) == 0 {
			continue
		}
		names := []string{name}
		for _, other := range c.names {
			if numberedCut(other, name) {
				names = append(names, other)
			}
		}
		if len(keys) > 1 || len(names) > 1 {
			trouble.add(&InputError{File: file, Message: fmt.Sprintf("has the properties %s, which may be cut from %s; it cannot be told which is which", quotedList(names), strings.Join(keys, " or ")),
				Hint: fmt.Sprintf("say which under %s in the project file: properties: {%s: %q}", section, keys[0], name)})
			continue
		}
		c.shortened = append(c.shortened, fmt.Sprintf("%q is taken for %s, cut to %d characters as shapefiles cut names", name, keys[0], longestDBFName))
	}
	return trouble.err()
}
