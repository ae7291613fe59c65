package draft

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/read"
)

// entry is an entry of the register: the sheets of a file that are read alike.
type entry struct {
	source
	kind   string
	sheets []sheetUse
	fixed  []mapping
	mapped []mapping
	fit    *read.Fit // of the first sheet
	asked  string    // why the whole of it is a question; empty where it is none
}

// sheetUse says what a sheet is.
type sheetUse struct{ name, as, why string }

const ignore = "ignore"

// The kinds of sheet.
const (
	assemblies = "Assemblies"
	lines      = "Lines"
	conductors = "Conductors"
	// inspections stand under a section of their own
	inspections = "Inspections"
)

// register finds out what the sheets of a file are, and makes an entry of those that are read alike.
func (d *draft) register(s source) {
	var own, asked []*entry
	var ignored []sheetUse
	for i := range s.look.Sheets {
		sheet := &s.look.Sheets[i]
		fit, why := d.kindOf(sheet)
		if fit == nil {
			ignored = append(ignored, sheetUse{sheet.Name, ignore, why})
			continue
		}
		e := &entry{source: s, kind: fit.Kind, fit: fit, sheets: []sheetUse{{sheet.Name, fit.Kind, why}}}
		if e.kind != inspections { // which are read where their headings say what they are
			d.columns(e, sheet.Name)
		}
		e.fixedCircuit(sheet.Name)
		if twin := d.twin(e); twin != "" {
			e.asked = "has the same values in every column as " + twin + ": is it another table? Then take out the #; as long as nothing is said here it is not read"
			asked = append(asked, e)
			continue
		}
		if at := slices.IndexFunc(own, e.readAlike); at >= 0 {
			own[at].sheets = append(own[at].sheets, e.sheets...)
		} else {
			own = append(own, e)
		}
	}
	defer func() { d.entries = append(d.entries, asked...) }()
	if len(own) == 0 {
		for _, sheet := range ignored {
			what := s.path
			if len(ignored) > 1 {
				what += ", sheet " + sheet.name
			}
			d.leave(what, sheet.why)
		}
		return
	}
	own[0].sheets = append(own[0].sheets, ignored...)
	d.entries = append(d.entries, own...)
}

// readAlike tells whether the sheets of two entries can stand in one: nothing is mapped or fixed differently.
func (e *entry) readAlike(other *entry) bool {
	same := func(a, b mapping) bool {
		return a.name == b.name && a.to == b.to && a.asked == b.asked && slices.Equal(a.phases, b.phases)
	}
	return e.kind == other.kind && e.fit.Headings == other.fit.Headings && slices.EqualFunc(e.mapped, other.mapped, same) && slices.EqualFunc(e.fixed, other.fixed, same)
}

// kindOf finds the kind of sheet whose headings a sheet has the most of, and says why; nothing where it has too few of any: how many are
// enough is a choice of this program.
func (d *draft) kindOf(sheet *read.SheetLook) (*read.Fit, string) {
	var best *read.Fit
	for i := range sheet.Fits {
		fit := &sheet.Fits[i]
		if fit.Kind == inspections && !isOfInspections(fit, best) {
			continue
		}
		if best == nil || len(fit.Found) > len(best.Found) {
			best = fit
		}
	}
	for i := range sheet.Fits {
		if fit := &sheet.Fits[i]; read.HeadingKey(fit.Kind) == read.HeadingKey(sheet.Name) && len(fit.Missing) == 0 && len(fit.Found) > 0 {
			return fit, "by its name and its headings" // which the reader would take it for
		}
	}
	if best == nil || len(best.Columns) == 0 {
		return nil, "is empty"
	}
	why := fmt.Sprintf("%d of its %d headings are those of %s", len(best.Found), len(best.Columns), best.Kind)
	enough := len(best.Found) >= 3 || len(best.Found) == 2 && len(best.Columns) == 2 && best.Kind != assemblies
	if best.Kind == assemblies {
		says := best.Finds("Unit") != "" || best.Finds("Units per string") != "" || best.Finds("Duty") != ""
		enough = enough && says && (best.Finds("Structure") != "" || best.Finds("Line") != "") || len(best.Missing) == 0
	} else if len(best.Missing) > 0 { // the one that names what the rows are of
		enough = len(best.Found) >= 3
	}
	if !enough {
		if len(best.Missing) > 0 && len(best.Found) > 0 {
			why += ", but none for " + named(best.Missing, 8)
		}
		return nil, "not read: " + why
	}
	return best, why
}

// isOfInspections tells whether headings are those of a table of inspections: what is broken, when or how much of it was seen, and where. A register
// that tells its defective units has units and duties, which make it fit better.
func isOfInspections(fit, register *read.Fit) bool {
	return len(fit.Missing) == 0 && (fit.Finds("Date") != "" || fit.Finds("Units seen") != "") && (fit.Finds("Structure") != "" || fit.Finds("Longitude") != "") &&
		(register == nil || register.Kind != assemblies || register.Finds("Unit") == "" && register.Finds("Duty") == "")
}

// twin names an earlier table with the same headings and values, of the same line and circuit as far as anything says. Values that were
// not all looked at are not known to be the same.
func (d *draft) twin(e *entry) string {
	same := func(a, b read.LookedColumn) bool {
		return a.Name == b.Name && a.Rows == b.Rows && !a.Cut && !b.Cut && slices.Equal(sortedValues(a), sortedValues(b))
	}
	for _, earlier := range d.entries {
		if earlier.readAlike(e) && slices.EqualFunc(earlier.fit.Columns, e.fit.Columns, same) && earlier.circuitsNamed() == e.circuitsNamed() {
			return earlier.path
		}
	}
	return ""
}

var circuitNamed = regexp.MustCompile(`(?i)(?:cct|ckt|circuit|cir)[^a-z0-9]*(\d{1,2}|[a-z])(?:[^a-z0-9]|$)`)

// circuitsNamed are the circuits that the names of the file and of the sheet say.
func (e *entry) circuitsNamed() string {
	var named []string
	for _, name := range []string{e.path, e.sheets[0].name} {
		for _, found := range circuitNamed.FindAllStringSubmatch(name, -1) {
			if circuit := strings.ToLower(strings.TrimLeft(found[1], "0")); !slices.Contains(named, circuit) {
				named = append(named, circuit)
			}
		}
	}
	slices.Sort(named)
	return strings.Join(named, ",")
}

// entriesTo writes the register and the inspections.
func (d *draft) entriesTo(to *page) {
	d.entriesOf(to, "register:", func(e *entry) bool { return e.kind != inspections })
	d.entriesOf(to, "inspections:", func(e *entry) bool { return e.kind == inspections })
}

// entriesOf writes the entries of a section.
func (d *draft) entriesOf(to *page, section string, isOf func(e *entry) bool) {
	if !slices.ContainsFunc(d.entries, isOf) {
		return
	}
	to.WriteString("\n")
	to.add(0, section, "")
	for _, e := range d.entries {
		if !isOf(e) {
			continue
		}
		if e.asked == "" {
			e.writeTo(to)
			continue
		}
		var whole page
		e.writeTo(&whole)
		for line := range strings.Lines(whole.String()) {
			to.WriteString("  # " + strings.TrimPrefix(line, "  "))
		}
	}
}

// writeTo writes an entry.
func (e *entry) writeTo(to *page) {
	to.add(1, "- file: "+quotedPath(e.path), e.asked)
	to.add(2, "sheets:", "")
	for _, sheet := range e.sheets {
		to.add(3, quoted(sheet.name)+": "+sheet.as, sheet.why)
	}
	if rows := e.fit.Headings; rows[1] > 0 {
		to.add(2, fmt.Sprintf("headings: [%d, %d]", rows[0], rows[1]), "they stand in two rows; the names are joined")
	}
	if len(e.mapped) > 0 {
		to.add(2, "columns:", "")
		writeMappings(to, 3, e.mapped)
	}
	if makes := e.makes(); len(makes) > 0 {
		for i := range makes {
			makes[i] = quoted(makes[i])
		}
		to.add(2, "carry: ["+strings.Join(makes, ", ")+"]", "the make, by which a watch list and cohorts go")
	}
	if e.kind != inspections {
		e.openTo(to)
		e.askFillDown(to)
	}
	if len(e.fixed) > 0 {
		to.add(2, "fixed:", "")
		writeMappings(to, 3, e.fixed)
	}
	if e.look.Encoding != "" {
		to.ask(2, "encoding: "+e.look.Encoding, "which is what is guessed; nothing says in what the texts are")
	}
	for _, sheet := range e.look.Sheets {
		if slices.ContainsFunc(e.sheets, func(use sheetUse) bool { return use.name == sheet.Name && use.as != ignore }) && decimal(to, 2, sheet.Numbers) {
			break
		}
	}
	if e.kind == assemblies {
		askForOnly(to, 2, e.fit.Columns)
	}
	for _, problem := range e.fit.Problems {
		to.remark(2, "? "+problem)
	}
}

// unused are the headings that stand for nothing and of which nothing is asked.
func (e *entry) unused() (headings []string) {
	for _, c := range e.fit.Columns {
		if !e.takes(c.Name) {
			headings = append(headings, c.Name)
		}
	}
	return headings
}

// makes are the headings of makes, which the assemblies carry through: none of their columns is one.
func (e *entry) makes() (headings []string) {
	for _, c := range e.fit.Columns {
		if e.kind == assemblies && audit.IsMakeHeading(c.Name) && c.Rows > 0 {
			headings = append(headings, c.Name)
		}
	}
	return headings
}

// takes tells whether a heading stands for something, or is asked for.
func (e *entry) takes(heading string) bool {
	return e.fit.Uses(heading) || slices.Contains(e.makes(), heading) || slices.ContainsFunc(e.mapped, func(m mapping) bool {
		return m.to == heading || slices.ContainsFunc(m.phases, func(p [2]string) bool { return p[1] == heading })
	})
}

// fixedLine takes the line of a table without a column for it from the name of its file or sheet, where only one line can be meant. Names of
// one letter or digit tell nothing (a choice of this program).
func (d *draft) fixedLine(e *entry, sheet string) bool {
	var fits []string
	for _, line := range d.lines {
		key := read.HeadingKey(line)
		for _, name := range []string{sheet, e.path} {
			if len(key) >= 2 && containsName(read.HeadingKey(name), key) && !slices.Contains(fits, line) {
				fits = append(fits, line)
			}
		}
	}
	switch {
	case len(fits) == 1:
		e.fixed = append(e.fixed, mapping{name: "Line", to: fits[0], why: "no column has the line; the name of the file or the sheet has this one alone"})
	case len(d.lines) == 1:
		e.fixed = append(e.fixed, mapping{name: "Line", to: d.lines[0], asked: true, why: "is it? No column has the line; the layers have this one alone"})
	default:
		return false
	}
	return true
}

var circuitSheet = regexp.MustCompile(`(?i)^(?:cct|ckt|circuit)[-_. ]*(\d{1,2}|i{1,3}|iv)$`)

// fixedCircuit takes the circuit of a sheet without a column for it from the name of the sheet, where that says nothing else.
func (e *entry) fixedCircuit(sheet string) {
	if said := circuitSheet.FindStringSubmatch(strings.TrimSpace(sheet)); said != nil && e.kind == assemblies && e.fit.Finds("Circuit") == "" {
		circuit := said[1]
		if number, is := map[string]string{"i": "1", "ii": "2", "iii": "3", "iv": "4"}[strings.ToLower(circuit)]; is {
			circuit = number
		}
		e.fixed = append(e.fixed, mapping{name: "Circuit", to: circuit, why: "no column has the circuit; the name of the sheet says it"})
	}
}

// containsName tells whether a text has a name in it that does not go on there: line 1 is not in line 12.
func containsName(text, name string) bool {
	for from := 0; ; {
		at := strings.Index(text[from:], name)
		if at < 0 {
			return false
		}
		start, end := from+at, from+at+len(name)
		digit := func(i int) bool { return i >= 0 && i < len(text) && text[i] >= '0' && text[i] <= '9' }
		if !(digit(end) && digit(end-1)) && !(digit(start) && digit(start-1)) {
			return true
		}
		from = start + 1
	}
}
