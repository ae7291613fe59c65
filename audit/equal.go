package audit

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
)

// Names that differ in case, blanks, dashes, leading zeros or a ".0" behind them are taken for equal where only one thing of the
// layers has such a name: lines on the whole project, structures on the whole line. Everything so taken is told. Where two things
// could be meant, the name stays what it is.

// Equal is a name of the register that was taken for another, and how many rows have it.
type Equal struct {
	Line     Symbol // of the structures; 0 where the line itself is meant by no name that they have
	What     string // line, structure number, circuit, phases
	From, To string
	Rows     int
}

// What names of the layers are of, where the register has another for them.
const (
	equalLine      = "line"
	equalStructure = "structure"
)

// equalKey is a name whatever its case, blanks, dashes, leading zeros and a ".0" behind it. What parts two numbers stays: 1-2 is
// not 12, but it is 1 2.
func equalKey(name string) string {
	var text strings.Builder
	parted := false
	last := rune(0)
	for _, r := range name {
		if unicode.IsSpace(r) || unicode.Is(unicode.Dash, r) || r == '_' || r == '\u2212' {
			parted = true
			continue
		}
		if parted && unicode.IsDigit(last) && unicode.IsDigit(r) {
			text.WriteByte('-')
		}
		parted, last = false, r
		text.WriteRune(unicode.ToLower(r))
	}
	return numberTail(text.String())
}

// equals collects the names that were taken for others.
type equals struct {
	list  []Equal
	place map[Equal]int
}

// note counts rows of a name that was taken for another.
func (e *equals) note(what Equal, rows int) {
	what.Rows = 0
	i, known := e.place[what]
	if !known {
		if e.place == nil {
			e.place = map[Equal]int{}
		}
		i = len(e.list)
		e.place[what] = i
		e.list = append(e.list, what)
	}
	e.list[i].Rows += rows
}

// LineNames finds the lines of the layers by names that may be spelled otherwise.
type LineNames struct {
	project *Project
	known   map[Symbol]bool
	byKey   map[string]Symbol
	twice   map[string][]Symbol
	meant   map[Symbol]Symbol
	unsure  map[Symbol]string // what to say of the names that may be those of two lines
}

// LineNames are the names that the layers have for their lines.
func (p *Project) LineNames() *LineNames {
	names := &LineNames{project: p, known: map[Symbol]bool{}, byKey: map[string]Symbol{}, twice: map[string][]Symbol{}, meant: map[Symbol]Symbol{}, unsure: map[Symbol]string{}}
	if p.RoutesAlone {
		for i := range p.Routes {
			names.add(p.Routes[i].Line)
		}
	}
	for i := range p.Structures.Len() {
		if line, first := p.Structures.begins(i); first {
			names.add(line)
		}
	}
	return names
}

func (l *LineNames) add(s Symbol) {
	if l.known[s] {
		return
	}
	l.known[s] = true
	key := equalKey(l.project.Symbols.Text(s))
	if first, taken := l.byKey[key]; taken {
		l.twice[key] = append(l.twice[key], first, s)
	} else {
		l.byKey[key] = s
	}
}

// Known tells whether a line of the layers is named so.
func (l *LineNames) Known(s Symbol) bool { return l.known[s] }

// Means is the name that the layers have for the line of a name; the name itself where they have none, or two.
func (l *LineNames) Means(s Symbol) Symbol {
	if s == 0 || l.known[s] {
		return s
	}
	to, done := l.meant[s]
	if !done {
		p := l.project
		key := equalKey(p.Symbols.Text(s))
		var found bool
		if to, found = l.byKey[key]; !found || l.twice[key] != nil {
			to = s
		}
		if candidates := l.twice[key]; candidates != nil {
			l.unsure[s] = p.sayWhich("Line", p.Symbols.Text(s), p.Symbols.Text(candidates[0]), p.Symbols.Text(candidates[1]))
		}
		l.meant[s] = to
	}
	return to
}

// matchLines gives the rows of the register, the routes and the lost rows the names that the structures have for their lines.
func (n *Network) matchLines() {
	p := n.Project
	names := p.LineNames()
	n.ambiguousLines = names.unsure
	take := func(line *Symbol) {
		if to := names.Means(*line); to != *line {
			n.equal.note(Equal{Line: to, What: equalLine, From: p.Symbols.Text(*line), To: p.Symbols.Text(to)}, 1)
			*line = to
		}
	}
	last := Symbol(0) // known, as the line of most rows is that of the row before
	for i := range p.Assemblies.Len() {
		if line := p.Assemblies.ownOf(uint32(i)).Line; line == last || names.known[line] {
			last = line
			continue
		}
		row := p.Assemblies.At(i)
		take(&row.Line)
		p.Assemblies.Set(i, row)
	}
	for i := range p.Lines {
		take(&p.Lines[i].Line)
	}
	for i := range p.Lost {
		take(&p.Lost[i].Line)
	}
	if !p.RoutesAlone {
		for i := range p.Routes {
			take(&p.Routes[i].Line)
		}
	}
}

// sayWhich asks for a line of the project file that says which of two things a name means.
func (p *Project) sayWhich(list, name, one, other string) string {
	return fmt.Sprintf("; it may be %q or %q, say which in the project file: words: {%s: {%q: %q}}", one, other, list, name, one)
}

// spelledNumbers finds the structures of a line by numbers that are spelled otherwise.
type spelledNumbers struct {
	byKey map[string]int32 // −1 where two structures have such a number
	lines map[int32]bool
}

// spelled finds the structure of a line whose number is the one wanted, spelled otherwise; both are the numbers of two that may be
// meant.
func (n *Network) spelled(s *spelledNumbers, line int32, wanted string) (structure int32, both [2]string) {
	l := &n.Lines[line]
	prefix := fmt.Sprint(line, " ")
	if !s.lines[line] {
		if s.lines == nil {
			s.lines, s.byKey = map[int32]bool{}, map[string]int32{}
		}
		s.lines[line] = true
		for i := l.First; i < l.End; i++ {
			key := prefix + equalKey(n.Number(i))
			if other, taken := s.byKey[key]; taken && (other < 0 || n.Number(int(other)) != n.Number(i)) {
				s.byKey[key] = nowhere
			} else if !taken {
				s.byKey[key] = int32(i)
			}
		}
	}
	key := equalKey(wanted)
	structure, found := s.byKey[prefix+key]
	switch {
	case !found:
		return nowhere, both
	case structure >= 0:
		return structure, both
	}
	k := 0
	for i := l.First; i < l.End && k < len(both); i++ {
		if equalKey(n.Number(i)) == key && (k == 0 || n.Number(i) != both[0]) {
			both[k] = n.Number(i)
			k++
		}
	}
	return nowhere, both
}

// Taken says in sentences what was taken for equal, one for each line and kind of name.
func (n *Network) Taken() (sentences []Assumption) {
	const most = 6
	type group struct {
		line Symbol
		what string
	}
	var order []group
	members := map[group][]Equal{}
	for _, e := range n.equal.list {
		g := group{e.Line, e.What}
		if members[g] == nil {
			order = append(order, g)
		}
		members[g] = append(members[g], e)
	}
	for _, g := range order {
		rows, names := 0, []string(nil)
		for i, e := range members[g] {
			rows += e.Rows
			if i < most {
				names = append(names, fmt.Sprintf("%q for %q", e.From, e.To))
			}
		}
		text := strings.Join(names, ", ")
		if more := len(members[g]) - most; more > 0 {
			text += fmt.Sprintf(" and %d more", more)
		}
		sentences = append(sentences, Assumption{Text: fmt.Sprintf("Names of the %s are taken for equal: %s (%s).", plural(g.what), text, rowCount(rows)), Lines: []Symbol{g.line}})
	}
	return sentences
}

// lineNamed is the place of a line by its name, −1 where it is none of the structures.
func (n *Network) lineNamed(name Symbol) int {
	for i := range n.Lines {
		if n.Lines[i].Symbol == name {
			return i
		}
	}
	return nowhere
}

func plural(what string) string {
	if strings.HasSuffix(what, "s") {
		return what
	}
	return what + "s"
}

func rowCount(rows int) string {
	if rows == 1 {
		return "1 row"
	}
	return fmt.Sprintf("%d rows", rows)
}

// whatNumber adds to the fault of a number that no structure has what it may be.
func (p *Project) whatNumber(number string, both [2]string) string {
	if both[1] != "" {
		return fmt.Sprintf("; it may be %q or %q, say which in the project file: words: {Structure: [{match: '^%s$', as: %q}]}", both[0], both[1], regexp.QuoteMeta(number), both[0])
	}
	return ""
}

// asksNumber is the word that the project file may say the meaning of, of a number that may be that of two structures.
func asksNumber(number string, both [2]string) OpenWord {
	if both[1] == "" {
		return OpenWord{}
	}
	return OpenWord{"Structure", number}
}

// looksLikeDay tells whether a number is written as spreadsheets show the days that they make of 7/1: 7-Jan, Jan-07.
func looksLikeDay(number string) bool {
	first, second, found := strings.Cut(number, "-")
	if !found {
		return false
	}
	month := func(text string) bool {
		return len(text) == 3 && strings.Contains(" jan feb mar apr may jun jul aug sep oct nov dec ", " "+strings.ToLower(text)+" ")
	}
	digits := func(text string) bool {
		return len(text) > 0 && len(text) <= 2 && strings.Trim(text, "0123456789") == ""
	}
	return digits(first) && month(second) || month(first) && digits(second)
}
