package read

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
)

// lineCells is what was read of a row of the Lines sheet beside what it says.
type lineCells struct {
	faulty    map[string]bool // the headings of its faulty cells
	highestKV float64         // as written, where it contradicts the nominal voltage; else NaN
}

// blamed tells whether a cell of a kind is known to be faulty.
func (c *lineCells) blamed(columns []column[audit.LineRow], field audit.Cell) bool {
	return slices.ContainsFunc(columns, func(x column[audit.LineRow]) bool { return x.field == field && c.faulty[x.heading] })
}

// cellsOfLine are those of a row.
func (f *half) cellsOfLine(at audit.Source) *lineCells {
	if f.lineCells == nil {
		f.lineCells = map[audit.Source]*lineCells{}
	}
	if f.lineCells[at] == nil {
		f.lineCells[at] = &lineCells{faulty: map[string]bool{}, highestKV: math.NaN()}
	}
	return f.lineCells[at]
}

// overlays finds the rules and scenarios of a project once all of it is read.
type overlays struct {
	file    *projectFile
	project *audit.Project
	cells   map[audit.Source]*lineCells
	names   *audit.LineNames
	lines   []audit.Symbol                    // of the layers, in their order
	rows    map[audit.Symbol][]int            // of the Lines sheet, by line
	stated  map[audit.Symbol]audit.Superseded // by line, what its structures state that a scenario may take
}

// overlay finds what the project file says of some lines.
func (file *projectFile) overlay(p *audit.Project, cells map[audit.Source]*lineCells) *ProjectFileError {
	if len(file.ofLines) == 0 && len(file.scenarios) == 0 {
		return nil
	}
	o := &overlays{file: file, project: p, cells: cells, names: p.LineNames(), rows: map[audit.Symbol][]int{}}
	seen := map[audit.Symbol]bool{}
	add := func(line audit.Symbol) {
		if !seen[line] {
			seen[line] = true
			o.lines = append(o.lines, line)
		}
	}
	for _, row := range p.Structures.All() {
		add(row.Line)
	}
	if p.RoutesAlone {
		for i := range p.Routes {
			add(p.Routes[i].Line)
		}
	}
	for i := range p.Lines {
		line := o.names.Means(p.Lines[i].Line)
		o.rows[line] = append(o.rows[line], i)
	}
	chosen := make([]map[audit.Symbol]bool, len(file.ofLines))
	for i, entry := range file.ofLines {
		var problem *ProjectFileError
		if chosen[i], problem = o.choose(entry); problem != nil {
			return problem
		}
	}
	base := func(line audit.Symbol) (list []*overlay) {
		for i, entry := range file.ofLines {
			if chosen[i][line] {
				list = append(list, entry)
			}
		}
		return list
	}
	p.Rules = o.rules(base)
	if len(file.scenarios) > 0 {
		o.stated = statedByStructures(p)
	}
	for _, s := range file.scenarios {
		if s.zones != nil && !file.forScope {
			continue
		}
		scenario, problem := o.scenario(s, base)
		if problem != nil {
			return problem
		}
		p.Scenarios = append(p.Scenarios, scenario)
	}
	return nil
}

// choose finds the lines of an overlay.
func (o *overlays) choose(of *overlay) (map[audit.Symbol]bool, *ProjectFileError) {
	chosen := map[audit.Symbol]bool{}
	if of.lines.all() {
		for _, line := range o.lines {
			chosen[line] = true
		}
		return chosen, nil
	}
	var known []string
	for _, line := range o.lines {
		known = append(known, o.project.Symbols.Text(line))
	}
	for _, n := range of.lines.names {
		line := o.names.Means(o.project.Symbols.Number(n.name))
		if !o.names.Known(line) {
			problem := wrong(n.node, linesHint, "line %q is no line of the structures", n.name)
			if close := near(n.name, known); close != "" {
				problem.Hint = fmt.Sprintf("did you mean %q?", close)
			}
			return nil, problem
		}
		chosen[line] = true
	}
	if len(of.lines.carried) == 0 {
		return chosen, nil
	}
	return o.chooseCarried(of.lines.carried)
}

// chooseCarried finds the lines that carry some texts: in their row of the Lines sheet, or where that carries none, at all of their
// structures.
func (o *overlays) chooseCarried(choice []carriedChoice) (map[audit.Symbol]bool, *ProjectFileError) {
	chosen := map[audit.Symbol]bool{}
	for _, line := range o.lines {
		chosen[line] = true
	}
	for i := range choice {
		c := &choice[i]
		at := slices.IndexFunc(o.project.Carried.Names, func(name string) bool { return headingKey(name) == headingKey(c.name) })
		if at < 0 {
			problem := wrong(c.node, "name it under carry of the register or of the structures", "%q is no heading or property that is carried", c.name)
			if close := near(c.name, o.project.Carried.Names); close != "" {
				problem.Hint = fmt.Sprintf("did you mean %q?", close)
			}
			return nil, problem
		}
		texts := map[audit.Symbol]map[string]bool{} // by line
		note := func(line audit.Symbol, row audit.Source) {
			if text := o.project.CarriedAt(row)[at]; text != "" {
				if texts[line] == nil {
					texts[line] = map[string]bool{}
				}
				texts[line][text] = true
			}
		}
		for line, rows := range o.rows {
			for _, row := range rows {
				note(line, o.project.Lines[row].Source)
			}
		}
		ofSheet := maps.Clone(texts)
		for _, s := range o.project.Structures.All() {
			if ofSheet[s.Line] == nil {
				note(s.Line, s.Source)
			}
		}
		found, there := false, map[string]bool{}
		for _, line := range o.lines {
			holding := 0
			for text := range texts[line] {
				there[text] = true
				if c.holds(text) {
					holding++
				}
			}
			switch {
			case holding == 0:
				delete(chosen, line)
			case holding < len(texts[line]):
				return nil, wrong(c.node, "choose lines by their names where one runs through several", "line %q has more than one %s, and not all of them are chosen", o.project.Symbols.Text(line), c.name)
			default:
				found = true
			}
		}
		if !found {
			problem := wrong(c.node, linesHint, "no line has one of %s as %s%s", quotedList(c.values), c.name, o.chosenBy(c, at, len(there) > 0))
			if close := near(c.values[0], slices.Sorted(maps.Keys(there))); close != "" {
				problem.Hint = fmt.Sprintf("did you mean %q?", close)
			}
			return nil, problem
		}
	}
	if len(chosen) == 0 {
		return nil, wrong(choice[0].node, linesHint, "no line is chosen")
	}
	return chosen, nil
}

// chosenBy says by what lines are chosen where that may be why none is: rows of the sheet Assemblies have a text that is sought, or neither the
// sheet Lines nor a structure has any.
func (o *overlays) chosenBy(c *carriedChoice, at int, any bool) string {
	for i := range o.project.Assemblies.Len() {
		if text := o.project.CarriedAt(o.project.Assemblies.At(i).Source)[at]; text != "" && c.holds(text) {
			return "; rows of the sheet Assemblies have, but lines are chosen by their row of the sheet Lines, or where that has none by their structures"
		}
	}
	if any {
		return ""
	}
	return "; lines are chosen by their row of the sheet Lines or by their structures, and none of these has any"
}

// rules gathers the lines on which the same overlays hold, in the order of the layers; of overlays that state the same the last one
// wins.
func (o *overlays) rules(of func(line audit.Symbol) []*overlay) (rules []audit.Rules) {
	at := map[string]int{}
	for _, line := range o.lines {
		list := of(line)
		list = slices.DeleteFunc(list, func(e *overlay) bool { return len(e.stated) == 0 && e.classes == nil && e.zones == nil })
		if len(list) == 0 {
			continue
		}
		key := fmt.Sprint(list)
		i, known := at[key]
		if !known {
			i = len(rules)
			at[key] = i
			rules = append(rules, o.merged(list))
		}
		rules[i].Lines = append(rules[i].Lines, line)
	}
	return rules
}

// merged lays overlays on the criteria of the project.
func (o *overlays) merged(list []*overlay) audit.Rules {
	r := audit.Rules{Criteria: o.project.Criteria}
	var from []string
	for _, e := range list {
		by := "the project file, for these lines"
		if e.name != "" {
			by = fmt.Sprintf("scenario %q", e.name)
		}
		if !slices.Contains(from, by) {
			from = append(from, by)
		}
		r.Lay(e.criteria, e.stated, by)
		if e.classes != nil {
			r.Change(e.classes.of)
		}
		if e.zones != nil {
			r.Zones, r.ZonesGiven = e.zones.zones, true
		}
	}
	r.From = strings.Join(from, "; ")
	return r
}

// scenario finds what a scenario makes of the project.
func (o *overlays) scenario(s *overlay, base func(audit.Symbol) []*overlay) (audit.Scenario, *ProjectFileError) {
	out := audit.Scenario{Name: s.name, Sheet: slices.Clone(o.project.Lines)}
	chosen, problem := o.choose(s)
	if problem != nil {
		return out, problem
	}
	out.Rules = o.rules(func(line audit.Symbol) []*overlay {
		list := base(line)
		if chosen[line] {
			list = append(list, s)
		}
		return list
	})
	for _, k := range s.criteria.List() {
		if slices.Contains(s.stated, k.Key) {
			out.Criteria = append(out.Criteria, k)
		}
	}
	if s.classes != nil {
		out.Classes = s.classes.words
	}
	if s.zones != nil {
		out.Classes = s.zones.words()
	}
	r := &register{half: &half{projectFile: o.file}, project: o.project}
	columns := lineColumns(r)
	for i := range s.set {
		if problem := s.set[i].find(columns); problem != nil {
			return out, problem
		}
		for _, before := range s.set[:i] {
			if before.column == s.set[i].column {
				return out, wrong(s.set[i].node, "set each column once", "%s is set twice, as %s and as %s", s.set[i].column.heading, before.key, s.set[i].key)
			}
		}
		out.Set = append(out.Set, audit.Setting{Column: s.set[i].heading(), Value: s.set[i].text, ProjectLine: lineOf(s.set[i].node)})
	}
	left := newLeftBehind()
	takesCases := s.sets("Conductor") && !slices.Contains(s.stated, "load_cases")
	for _, line := range o.lines {
		if !chosen[line] {
			continue
		}
		out.Lines = append(out.Lines, line)
		if len(s.set) == 0 {
			continue
		}
		rows := o.rows[line] // what several of one line say differently is unknown, so that all of them are set
		if len(rows) == 0 {
			row := audit.UnknownLineRow()
			row.Line, row.Superseded = line, o.project.SupersededSomewhere(func(name audit.Symbol) bool { return o.names.Known(o.names.Means(name)) })
			if o.project.LinesUnnamed {
				row.Faulty = audit.EveryCell &^ (1 << audit.CellDeclared) // what it supersedes is known
			}
			rows, out.Sheet = []int{len(out.Sheet)}, append(out.Sheet, row)
		}
		for _, at := range rows {
			cells := o.cells[out.Sheet[at].Source]
			if cells == nil {
				cells = &lineCells{highestKV: math.NaN()}
			}
			was := out.Sheet[at]
			was.HighestKV = umOf(&was, cells, columns, o.voltages(base(line)))
			if problem := o.lay(s, &out.Sheet[at], cells, columns); problem != nil {
				return out, problem
			}
			row := &out.Sheet[at]
			left.note(line, o.leave(s, &was, row, o.voltages(append(slices.Clone(base(line)), s)), takesCases && o.givesTension(base(line))))
			if keepsLongest(&was, row) {
				left.keepLongest = withLine(left.keepLongest, line)
			}
			if fault, is := contradicts(row); is {
				out.Faults = append(out.Faults, fault)
			}
		}
		for _, at := range rows { // which are joined
			left.supersede(&out.Sheet[at], line, o.stated[line])
		}
	}
	out.Notes = append(o.notes(s, chosen, &left), left.notes(o.project)...)
	return out, nil
}

// lay sets the columns of a row. A cell that is set is not faulty any more; a kind of cell stays faulty while another column of it
// may be why.
func (o *overlays) lay(s *overlay, row *audit.LineRow, cells *lineCells, columns []column[audit.LineRow]) *ProjectFileError {
	was := row.Faulty
	if !math.IsNaN(cells.highestKV) {
		row.HighestKV = cells.highestKV
	}
	set := map[string]bool{}
	for i := range s.set {
		x := &s.set[i]
		if t := x.column.read(row, x.text, x.in); t != nil {
			return wrong(x.node, valueHint, "%s %q %s", x.key, x.text, t.expected)
		}
		if x.column.heading == "Conductor" {
			if problem := o.conductor(x, row); problem != nil {
				return problem
			}
		}
		set[x.column.heading] = true
	}
	row.Set = &audit.SetColumns{Scenario: s.name, Columns: set, Taken: map[string]bool{}}
	for i := range columns {
		if !set[columns[i].heading] {
			continue
		}
		field := columns[i].field
		stays, blamed := false, !math.IsNaN(cells.highestKV) && field == audit.CellVoltage
		for k := range columns {
			if c := &columns[k]; c.field == field && cells.faulty[c.heading] {
				stays, blamed = stays || !set[c.heading], true
			}
		}
		// Where no cell is known to be why, the row itself is: none of its cells is sure but those that are set.
		stays = stays || !blamed && !allSet(columns, field, set)
		if was.Has(field) && !stays {
			row.Faulty &^= audit.Cells(1 << field)
		}
	}
	return nil
}

// contradicts makes unknown a highest voltage that is below the nominal one, as reading a sheet does; is tells whether the scenario sets one
// of them, so that it was not found in the sheet.
func contradicts(row *audit.LineRow) (fault audit.Fault, is bool) {
	if !(row.HighestKV < row.NominalKV) {
		return fault, false
	}
	fault = belowNominal(row)
	row.HighestKV, row.Faulty = math.NaN(), row.Faulty.With(audit.CellVoltage)
	return fault, row.Set.Columns["Highest voltage"] || row.Set.Columns["Nominal voltage"]
}

// allSet tells whether every column of a kind of cell is set.
func allSet(columns []column[audit.LineRow], field audit.Cell, set map[string]bool) bool {
	return !slices.ContainsFunc(columns, func(c column[audit.LineRow]) bool { return c.field == field && !set[c.heading] })
}

// conductor writes a conductor as the catalogue or the sheet does.
func (o *overlays) conductor(x *setting, row *audit.LineRow) *ProjectFileError {
	text := o.project.Symbols.Text(row.Conductor)
	for i := range o.project.Conductors {
		if name := o.project.Conductors[i].Name; nameKey(name) == nameKey(text) {
			row.Conductor = o.project.Symbols.Number(name)
			return nil
		}
	}
	problem := wrong(x.node, "dryarc catalogue lists the conductors", "%s %q is no conductor of the catalogue or of the Conductors sheet", x.key, x.text)
	if close := near(text, conductorNames(o.project.Conductors)); close != "" {
		problem.Hint = fmt.Sprintf("did you mean %q?", close)
	}
	return problem
}

// ownFittings says how many assemblies state of their own what a scenario sets for their line, or what is of its conductor or bundle, and judge by it
// all the same, as what its line states does.
func (o *overlays) ownFittings(s *overlay, chosen map[audit.Symbol]bool) (notes []string) {
	var clamps, yokes, sockets, slips int
	for _, row := range o.project.Assemblies.All() {
		figures := o.project.Figures(&row)
		if !chosen[row.Line] || figures == nil {
			continue
		}
		for _, of := range [...]struct {
			kN    float64
			count *int
		}{{figures.FittingsKN[audit.Clamp], &clamps}, {figures.FittingsKN[audit.Yoke], &yokes}, {figures.FittingsKN[audit.BallAndSocket], &sockets}, {figures.SlipKN, &slips}} {
			if !math.IsNaN(of.kN) {
				*of.count++
			}
		}
	}
	note := func(is bool, count int, what string) {
		if is && count > 0 {
			notes = append(notes, fmt.Sprintf("Assemblies of its lines that state %s of their own, which stays: %d.", what, count))
		}
	}
	for _, of := range [...]struct {
		fitting            audit.Fitting
		heading, of, words string
	}{{audit.Clamp, "Clamp rating", "Conductor", "the clamps of the conductor"}, {audit.Yoke, "Yoke rating", "Subconductors", "the yoke of the subconductors"}} {
		var lines []audit.Symbol
		for i := range o.project.Lines {
			if row := &o.project.Lines[i]; chosen[row.Line] && !math.IsNaN(row.FittingsKN[of.fitting]) {
				lines = append(lines, row.Line)
			}
		}
		if len(lines) > 0 && s.sets(of.of) && !s.sets(of.heading) {
			notes = append(notes, fmt.Sprintf("Lines whose %s is stated for %s that they have, and still judges here until %s: %s.", of.heading, of.words, setsColumn(of.heading, kilonewtons.name), linesNamed(o.project, lines)))
		}
	}
	note(s.sets("Clamp rating") || s.sets("Conductor"), clamps, "a clamp rating")
	note(s.sets("Yoke rating") || s.sets("Subconductors"), yokes, "a yoke rating")
	note(s.sets("Ball and socket rating"), sockets, "a rating of ball and socket")
	note(s.sets("Slip load") && !s.sets("Conductor"), slips, "a slip load")
	return notes
}

// notes says what structures and zones state of their own, which a scenario leaves as it is.
func (o *overlays) notes(s *overlay, chosen map[audit.Symbol]bool, left *leftBehind) (notes []string) {
	conductors, bundles, limits, clearances, walls, arms, leans, brackets, sides := 0, 0, 0, 0, 0, 0, 0, 0, 0
	for _, row := range o.project.Structures.All() {
		if !chosen[row.Line] {
			continue
		}
		if row.ConductorAhead != 0 {
			conductors++
		}
		if row.SubconductorsAhead != 0 {
			bundles++
		}
		if row.StatesLimit() && !left.superseded[row.Line].Has(audit.LimitSuperseded) {
			limits++
		}
		if o.project.StatesClearance(&row) && !left.superseded[row.Line].Has(audit.ClearanceSuperseded) {
			clearances++
		}
		if row.Room > 0 {
			room := &o.project.Rooms[row.Room-1]
			if room.WallDistanceMM > 0 {
				walls++
			}
			if room.ArmLengthMM > 0 {
				arms++
			}
			if !math.IsNaN(room.WallLean) {
				leans++
			}
			if !math.IsNaN(room.BracketMM) {
				brackets++
			}
			if room.WallSide != audit.WallSideUnknown {
				sides++
			}
		}
	}
	note := func(is bool, count int, what string) {
		if is && count > 0 {
			notes = append(notes, fmt.Sprintf("Structures of its lines that state %s of their own, which stays: %d.", what, count))
		}
	}
	note(s.sets("Conductor"), conductors, "a conductor")
	note(s.sets("Subconductors"), bundles, "a number of subconductors")
	note(s.sets("Deviation limit"), limits, "a deviation limit")
	note(s.sets(clearanceHeading), clearances, "a clearance")
	note(s.sets("Wall distance"), walls, "a wall distance")
	note(s.sets("Arm length"), arms, "an arm length")
	note(s.sets("Wall lean"), leans, "a wall lean")
	note(s.sets("Bracket level"), brackets, "a bracket level")
	note(s.sets("Wall side"), sides, "a side of the wall")
	notes = append(notes, o.ownFittings(s, chosen)...)
	zones := o.project.Zones
	switch {
	case s.zones != nil:
		zones, notes = s.zones.zones, append(notes, s.zones.notes(o.project.Tables)...)
	case s.classes == nil:
		return notes
	}
	figures, unreadable := 0, 0
	for i := range zones {
		switch z := &zones[i]; {
		case z.Unknown != audit.NoReason:
			unreadable++
		case z.SpecificCreepage > 0:
			figures++
		}
	}
	if figures > 0 && s.zones == nil {
		notes = append(notes, fmt.Sprintf("Zones that state a specific creepage, which stays: %d.", figures))
	}
	if unreadable > 0 {
		notes = append(notes, fmt.Sprintf("Zones whose class or figure cannot be told, in which creepage stays not assessed: %d.", unreadable))
	}
	return notes
}

// sets tells whether a scenario sets a column of the sheet Lines.
func (s *overlay) sets(heading string) bool {
	return slices.ContainsFunc(s.set, func(x setting) bool { return x.column.heading == heading })
}

// heading is the column with its unit in brackets.
func (x *setting) heading() string {
	if x.writtenUnit == "" {
		return x.column.heading
	}
	return x.column.heading + " (" + x.writtenUnit + ")"
}

// keyOf is the key of a column: its heading, with its unit behind it.
func keyOf(heading, unit string) string {
	key := strings.ReplaceAll(strings.ToLower(heading), " ", "_")
	if unit != "" {
		key += "_" + unit
	}
	return key
}

// find finds the column that a key names.
func (x *setting) find(columns []column[audit.LineRow]) *ProjectFileError {
	var keys []string
	for i := range columns {
		c := &columns[i]
		switch {
		case c.heading == "Line":
		case c.measure == nil:
			keys = append(keys, keyOf(c.heading, ""))
			if strings.EqualFold(x.key, keyOf(c.heading, "")) {
				x.column, x.in = c, unitOfMeasure{factor: 1}
				return nil
			}
		default:
			keys = append(keys, keyOf(c.heading, c.measure.name))
			for _, unit := range c.measure.units {
				for _, name := range unit.names {
					if strings.EqualFold(x.key, keyOf(c.heading, name)) {
						x.column, x.in, x.writtenUnit = c, unit, name
						return nil
					}
				}
			}
			if strings.EqualFold(x.key, keyOf(c.heading, "")) {
				if c.measure.ratio {
					x.column, x.in = c, c.measure.units[0]
					return nil
				}
				return wrong(x.node, fmt.Sprintf("did you mean %q?", keyOf(c.heading, c.measure.name)), "%s names no unit", x.key)
			}
		}
	}
	problem := wrong(x.node, setHint, "%q is no column of the sheet Lines, expected one of %s", x.key, quotedList(keys))
	if close := near(x.key, keys); close != "" {
		problem.Hint = fmt.Sprintf("did you mean %q?", close)
	}
	return problem
}
