package scope

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"dryarc/audit"
)

// told is the scenario with what can be said of it only once its lines are arranged among its notes: the faults that the inputs do not have
// as they stand, and that it changes nothing.
func (l *Look) told() *audit.Scenario {
	told := *l.Scenario
	told.Notes = append(slices.Clone(told.Notes), l.faults()...)
	told.Notes = append(told.Notes, l.todaysCases()...)
	told.Notes = append(told.Notes, l.otherCases()...)
	if idle := l.idle(); len(idle) > 0 {
		told.Notes = append(told.Notes, fmt.Sprintf("No verdict rests on %s, and scenarios rank no risk and tell of no standard errors: an audit of a project that states them does.", strings.Join(idle, ", ")))
	}
	if note := l.nothingChanges(); note != "" {
		told.Notes = append(told.Notes, note)
	}
	return &told
}

// todaysCases says which load cases of today the criteria of the scenario do not have or have with other figures. What they state themselves
// stands beside it.
func (l *Look) todaysCases() (notes []string) {
	if !slices.ContainsFunc(l.Scenario.Criteria, func(c audit.InForce) bool { return c.Key == "load_cases" }) {
		return nil
	}
	var gone, other []string
	note := func(list *[]string, text string) {
		if !slices.Contains(*list, text) {
			*list = append(*list, text)
		}
	}
	for line, chosen := range l.Chosen {
		if !chosen {
			continue
		}
		for _, c := range l.Today.Network.Criteria(line).LoadCases {
			then := l.Then.Network.Criteria(line).LoadCases
			switch at := slices.IndexFunc(then, func(x audit.LoadCase) bool { return audit.IsSameLoadCase(x.Name, c.Name) }); {
			case at < 0:
				note(&gone, c.Name)
			case then[at].Figures() != c.Figures():
				note(&other, c.String())
			}
		}
	}
	if len(other) > 0 {
		notes = append(notes, fmt.Sprintf("Load cases that have other figures today: %s.", strings.Join(other, ", ")))
	}
	if len(gone) > 0 {
		notes = append(notes, fmt.Sprintf("Load cases of today that its criteria do not have, so that nothing is looked at in them: %s.", strings.Join(gone, ", ")))
	}
	return notes
}

// otherCases says which load cases of today the criteria of the scenario do not have although something states a figure by them.
func (l *Look) otherCases() (notes []string) {
	type users struct {
		clearances, limits int // structures and lines
		broken             bool
	}
	by, names := map[string]*users{}, []string(nil)
	has := func(cases []audit.LoadCase, name string) bool {
		return slices.ContainsFunc(cases, func(c audit.LoadCase) bool { return audit.IsSameLoadCase(c.Name, name) })
	}
	of := func(line int, name string) *users {
		if !has(l.Today.Network.Criteria(line).LoadCases, name) || has(l.Then.Network.Criteria(line).LoadCases, name) {
			return &users{}
		}
		if by[name] == nil {
			by[name], names = &users{}, append(names, name)
		}
		return by[name]
	}
	n := l.Then.Network
	for line, chosen := range l.Chosen {
		then := n.Criteria(line).LoadCases
		if !chosen || !slices.ContainsFunc(l.Today.Network.Criteria(line).LoadCases, func(c audit.LoadCase) bool { return !has(then, c.Name) }) {
			continue
		}
		row := &n.Lines[line]
		for _, f := range row.Row.SwingLimitsDeg {
			of(line, f.Case).limits++
		}
		for at := row.First; at < row.End; at++ {
			s := n.Structure(line, at)
			for _, f := range s.Room.ClearancesMM {
				of(line, f.Case).clearances++
			}
		}
		if c := n.Criteria(line); c.BrokenCase() == nil {
			of(line, c.BrokenConductor.Case).broken = true
		}
	}
	for _, name := range names {
		var what []string
		part := func(is bool, text string) {
			if is {
				what = append(what, text)
			}
		}
		part(by[name].clearances > 0, fmt.Sprintf("clearances (structures: %d)", by[name].clearances))
		part(by[name].limits > 0, fmt.Sprintf("swing limits (lines: %d)", by[name].limits))
		part(by[name].broken, "the criterion broken_conductor")
		notes = append(notes, fmt.Sprintf("Its criteria do not have the load case %q; what goes by what names it is not assessed: %s.", name, strings.Join(what, ", ")))
	}
	return notes
}

// idle are the criteria that a scenario states and that nothing here tells of.
func (l *Look) idle() (keys []string) {
	for _, k := range l.Scenario.Criteria {
		if slices.Contains([]string{"risk", "height_accuracy_m", "zone_accuracy_m", "tension_accuracy_percent"}, k.Key) {
			keys = append(keys, k.Key)
		}
	}
	return keys
}

// listedFaults is how many faults a scenario tells one by one.
const listedFaults = 20

// faults says which faults an audit of files in which the scenario is written would have, and one of today's has not.
func (l *Look) faults() (notes []string) {
	type place struct {
		kind          audit.FaultKind
		at            audit.Source
		column, value string
	}
	of := func(f *audit.Fault) place { return place{f.Kind, f.At, f.Column, f.Value} }
	today, then := l.Today.Project, l.Then.Project
	known := map[place]bool{}
	for _, f := range today.Faults.List() {
		known[of(&f)] = true
	}
	beyond := map[audit.Weight]int{}
	for _, f := range slices.Concat(l.Scenario.Faults, then.Faults.List()) {
		if known[of(&f)] || f.Kind == audit.FigureSuperseded { // of which the notes say how many it takes
			continue
		}
		known[of(&f)] = true
		if len(notes) == listedFaults {
			beyond[f.Weight]++
			continue
		}
		at := "a line without a row in the sheet Lines"
		if f.At != (audit.Source{}) {
			at = f.Where(then.Tables)
		}
		if slices.ContainsFunc(then.Lines, func(row audit.LineRow) bool { return row.Source == f.At && row.Set != nil && row.Set.Columns[f.Column] }) {
			for _, set := range l.Scenario.Set { // and the cell there says otherwise
				if heading, _, _ := strings.Cut(set.Column, " ("); heading == f.Column {
					at = fmt.Sprintf("%s line %d, as the scenario sets it for %s", filepath.Base(then.File), set.ProjectLine, at)
				}
			}
		}
		notes = append(notes, fmt.Sprintf("A fault that it brings (%s): %s: %s.", f.Weight, at, strings.TrimSuffix(f.Message(), ".")))
	}
	for _, weight := range []audit.Weight{audit.Matters, audit.ByTheWay} {
		if beyond[weight] > 0 {
			notes = append(notes, fmt.Sprintf("More faults that it brings (%s): %d.", weight, beyond[weight]))
		}
	}
	return notes
}

// nothingChanges says that a scenario leaves its lines as they are; it is empty where it does not.
func (l *Look) nothingChanges() string {
	if len(l.New)+len(l.Mended)+len(l.Unjudged) > 0 {
		return ""
	}
	for line, chosen := range l.Chosen {
		if chosen && l.changes(line) {
			return ""
		}
	}
	var why []string
	if len(l.Scenario.Set)+len(l.Scenario.Criteria) > 0 {
		why = append(why, "what it sets and states is what holds already")
	}
	if l.Scenario.Classes != "" {
		why = append(why, "no structure of its lines comes into another class")
	}
	return "It changes nothing: " + strings.Join(why, ", and ") + "."
}

// changes tells whether a line has another row, other criteria or another class in the scenario.
func (l *Look) changes(line int) bool {
	today, then := l.Today.Network, l.Then.Network
	row := func(n *audit.Network) string { // in words, in which what is not stated is equal to itself
		l := &n.Lines[line]
		row, conductor := l.Row, n.Project.Symbols.Text(l.Row.Conductor)
		if l.Conductor != nil { // however its name is written
			conductor = l.Conductor.Name
		}
		row.Set, row.Conductor = nil, 0
		return fmt.Sprint(row, conductor)
	}
	if row(today) != row(then) {
		return true
	}
	before, after := today.Criteria(line).List(), then.Criteria(line).List()
	for i := range before {
		if before[i].Value != after[i].Value {
			return true
		}
	}
	for at := then.Lines[line].First; at < then.Lines[line].End; at++ {
		a, b := today.Structure(line, at), then.Structure(line, at)
		if asked(&a) != asked(&b) {
			return true
		}
	}
	return false
}

// asked is what the zones ask of a structure, in words.
func asked(s *audit.Structure) string {
	worse := s.Worse
	return fmt.Sprint(s.Class, s.SpecificCreepage, s.StatedBase, s.Doubt, s.LesserCreepage, worse.Class, worse.SpecificCreepage, worse.StatedBase, worse.DistanceM, worse.Doubt)
}
