package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit/basis"
)

// inFiles writes the change into the inputs: into the sheet, and where the rules are wanted, into the criteria and zones of all lines.
func (c *change) inFiles(in *inputs, rules bool) {
	sheet := in.sheets["Lines"]
	for _, line := range c.lines {
		at := slices.IndexFunc(sheet, func(row []string) bool { return row[0] == line })
		if at < 0 && len(c.set) > 0 {
			at = len(sheet)
			sheet = append(sheet, make([]string, len(sheet[0])))
			sheet[at][0] = line
		}
		if at >= 0 {
			clearances, limits := c.leaveInFiles(sheet[0], sheet[at])
			c.leaveInStructures(in, line, clearances, limits)
		}
		for _, s := range c.set {
			column := slices.IndexFunc(sheet[0], func(heading string) bool { return plainHeading(heading) == plainHeading(s[0]) })
			sheet[at][column] = strings.Trim(s[1], "'")
		}
	}
	in.sheets["Lines"] = sheet
	if !rules {
		return
	}
	if len(c.criteria) > 0 {
		in.project = c.inCriteria(in.project)
	}
	if !c.worse && c.classes == nil {
		return
	}
	before, rest, found := strings.Cut(in.project, "default_class: ")
	if found {
		in.project = before + "default_class: " + c.class(rest[:1]) + rest[1:]
	}
	for _, f := range in.layers["zones"].Features {
		class, _ := f.Properties["class"].(string)
		if class == "" {
			continue
		}
		if to := c.class(class); to != class {
			f.Properties["class"] = to
			delete(f.Properties, "specific_creepage") // which is that of the class
			delete(f.Properties, "specific_creepage_base")
		}
	}
}

// leaveInStructures makes unreadable what structures of a line state of their own for a voltage or a load that the change replaces.
func (c *change) leaveInStructures(in *inputs, line string, clearances, limits bool) {
	for _, f := range in.layers["structures"].Features {
		for property, leaves := range map[string]bool{"clearance_mm": clearances, "deviation_limit_deg": limits} {
			if leaves && f.Properties["line"] == line && f.Properties[property] != nil {
				f.Properties[property] = "?"
			}
		}
	}
}

// leaveInFiles takes from a row of the sheet what goes with a voltage, a neutral, a conductor or a load that the change replaces and does
// not set: levels, tensions, and a nominal or highest voltage beside another of the other, are not stated, a creepage voltage and what a line allows are not known. What cannot be
// read stays so. It tells whether clearances and deviation limits of structures go too.
func (c *change) leaveInFiles(headings, row []string) (clearances, limits bool) {
	column := func(heading string) int {
		return slices.IndexFunc(headings, func(other string) bool { return plainHeading(other) == plainHeading(heading) })
	}
	set := func(heading string) (string, bool) {
		at := slices.IndexFunc(c.set, func(s [2]string) bool { return s[0] == heading })
		if at < 0 {
			return "", false
		}
		return c.set[at][1], true
	}
	figure := func(text string) float64 {
		if kV, err := strconv.ParseFloat(text, 64); err == nil {
			return kV
		}
		return math.NaN()
	}
	leave := func(with string, headings ...string) {
		for _, heading := range headings {
			cell := &row[column(heading)]
			if _, is := set(heading); !is && !math.IsNaN(figure(*cell)) {
				*cell = with
			}
		}
	}
	nominal, highest := row[column("Nominal voltage (kV)")], figure(row[column("Highest voltage (kV)")])
	if row[column("Highest voltage (kV)")] == "" {
		highest, _ = basis.IEC60038.Highest(figure(nominal))
	}
	newNominal, isNominal := set("Nominal voltage (kV)")
	newHighest, isHighest := set("Highest voltage (kV)")
	otherHighest := isHighest && figure(newHighest) != highest
	clearances = isNominal && figure(newNominal) != figure(nominal) || otherHighest
	for _, heading := range []string{"Subconductors", "Maximum tension (kN)", "Everyday tension (kN)", "Cold tension (kN)"} {
		text, is := set(heading)
		was := figure(row[column(heading)])
		if heading == "Subconductors" && row[column(heading)] == "" && haveOneConductor(highest, figure(nominal), row[column("Highest voltage (kV)")] == "") {
			was = 1 // which an audit takes too
		}
		limits = limits || is && figure(text) != was
	}
	conductor, isConductor := set("Conductor")
	isConductor = isConductor && !strings.EqualFold(conductor, row[column("Conductor")])
	limits = limits || isConductor
	switch system, is := set("System"); {
	case clearances, is && system == "earthed" && system != row[column("System")]:
		leave("?", "Creepage voltage (kV)")
	case is && system != row[column("System")]: // which asks for one
		leave("", "Creepage voltage (kV)")
	}
	if otherHighest {
		leave("", "Nominal voltage (kV)")
	}
	if isNominal && figure(newNominal) != figure(nominal) { // a highest voltage goes with its nominal one as that does with it
		leave("", "Highest voltage (kV)")
	}
	if clearances {
		leave("", "Lightning level (kV)", "Switching level (kV)")
		for _, heading := range []string{"Clearance (mm)", "Swing limit (deg)"} {
			if _, is := set(heading); !is && row[column(heading)] != "" {
				row[column(heading)] = "?"
			}
		}
	}
	if isConductor {
		leave("", "Maximum tension (kN)", "Everyday tension (kN)", "Cold tension (kN)")
	}
	if limits {
		leave("?", "Deviation limit (deg)")
	}
	return clearances, limits
}

// haveOneConductor tells whether a phase of such voltages has one conductor where nobody states how many.
func haveOneConductor(highest, nominal float64, isBlank bool) bool {
	if isBlank && math.IsNaN(highest) {
		return !basis.NominalMayHaveBundles(nominal)
	}
	return !basis.MayHaveBundles(highest) && basis.IsHighestOf(highest, nominal)
}

// inCriteria writes the criteria of the change into a project file. A scenario there keeps the load cases that they replace, so that
// cells which name them can be read as they can where the change is a scenario.
func (c *change) inCriteria(project string) string {
	changed := replaceCriteria(project, c.criteria)
	_, block, _ := strings.Cut(project, "\n  load_cases:\n")
	if block == "" || !slices.ContainsFunc(c.criteria, func(k [2]string) bool { return k[0] == "load_cases" }) {
		return changed
	}
	changed += "scenarios:\n  - name: the load cases that were\n    lines: [" + strings.Join(c.lines, ", ") + "]\n    criteria:\n      load_cases:\n"
	for line := range strings.Lines(block) {
		if !strings.HasPrefix(line, "    ") {
			break
		}
		changed += "    " + line
	}
	return changed
}

// replaceCriteria writes criteria into a project file in place of those that it states.
func replaceCriteria(project string, criteria [][2]string) string {
	head, block, _ := strings.Cut(project, "criteria:\n")
	var kept []string
	dropping := false
	for line := range strings.Lines(block) {
		if strings.HasPrefix(line, "  ") && !strings.HasPrefix(line, "   ") {
			key, _, _ := strings.Cut(strings.TrimSpace(line), ":")
			dropping = slices.ContainsFunc(criteria, func(k [2]string) bool { return k[0] == key })
		}
		if !dropping {
			kept = append(kept, line)
		}
	}
	for _, k := range criteria {
		kept = append(kept, fmt.Sprintf("  %s: %s\n", k[0], k[1]))
	}
	return head + "criteria:\n" + strings.Join(kept, "")
}

// addMissing adds a column to the sheet Lines that it does not have.
func (in *inputs) addMissing(heading string) {
	if !slices.ContainsFunc(in.sheets["Lines"][0], func(other string) bool { return plainHeading(other) == plainHeading(heading) }) {
		in.addColumn("Lines", heading)
	}
}
