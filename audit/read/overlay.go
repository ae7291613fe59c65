package read

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/goccy/go-yaml/ast"
)

// overlay is what the project file says of some lines in place of what it, the register and the layers say of them: an entry of for,
// which holds in every run, or a scenario.
type overlay struct {
	node     ast.Node
	name     string // of a scenario
	lines    lineChoice
	criteria audit.Criteria
	stated   []string // the keys of the criteria
	set      []setting
	classes  *classChange
	zones    *ownZones
}

// setting is a column of the Lines sheet and what stands in it.
type setting struct {
	node        ast.Node
	key, text   string
	column      *column[audit.LineRow]
	in          unitOfMeasure
	writtenUnit string
}

// lineChoice says of which lines an overlay is: those of some names, or those with a carried text; all where it says neither.
type lineChoice struct {
	names   []namedLine
	carried []carriedChoice
}

type namedLine struct {
	node ast.Node
	name string
}

// carriedChoice is a carried heading or property and the texts that choose.
type carriedChoice struct {
	node ast.Node
	onlyValues
}

const (
	forHint       = "write a list of lines and their criteria: - {lines: [L-1], criteria: {default_class: c}}"
	scenariosHint = "write a list of scenarios: - {name: 220 kV, lines: [L-1], set: {nominal_voltage_kV: 220}}"
	linesHint     = "write names of lines, [L-1, L-2], or a carried heading and the texts that choose: {District: North}"
	valueHint     = "write what the cell of that column holds, of a number the number alone in the unit that the key names: {nominal_voltage_kV: 220, clearance_mm: \"high wind: 600; still air: 1900\"}"
	setHint       = "write columns of the sheet Lines with their unit behind an underscore: {nominal_voltage_kV: 220, conductor: Zebra}"
	classesHint   = "write worse by 1, which class takes the place of which, {b: c, c: d}, or a zones file, {file: zones.geojson}"
)

// readFor reads the criteria of some lines.
func (f *projectFile) readFor(name string, node ast.Node) *ProjectFileError {
	return eachOverlay(name, node, forHint, func(entry ast.Node) *ProjectFileError {
		o := newOverlay(entry)
		if problem := (section{{"lines", o.readLines}, {"criteria", o.readCriteria}}).read(name, entry); problem != nil {
			return problem
		}
		switch {
		case o.lines.all():
			return wrong(entry, "what holds on all lines stands under criteria", "an entry of for names no lines")
		case len(o.stated) == 0:
			return wrong(entry, forHint, "an entry of for states no criteria")
		}
		f.ofLines = append(f.ofLines, o)
		return nil
	})
}

// readScenarios reads the scenarios.
func (f *projectFile) readScenarios(name string, node ast.Node) *ProjectFileError {
	return eachOverlay(name, node, scenariosHint, func(entry ast.Node) *ProjectFileError {
		o := newOverlay(entry)
		keys := section{{"name", textKey(&o.name)}, {"lines", o.readLines}, {"set", o.readSet}, {"criteria", o.readCriteria}, {"classes", o.readClasses}}
		if problem := keys.read(name, entry); problem != nil {
			return problem
		}
		o.name = strings.TrimSpace(o.name)
		switch {
		case o.name == "":
			return wrong(entry, scenariosHint, "a scenario has no name, expected the key name")
		case slices.ContainsFunc(f.scenarios, func(other *overlay) bool { return strings.EqualFold(other.name, o.name) }):
			return wrong(entry, "give each scenario a name of its own", "scenario %q stands there twice", o.name)
		case len(o.set) == 0 && len(o.stated) == 0 && o.classes == nil && o.zones == nil:
			return wrong(entry, scenariosHint, "scenario %q changes nothing, expected set, criteria or classes", o.name)
		}
		f.scenarios = append(f.scenarios, o)
		return nil
	})
}

func eachOverlay(name string, node ast.Node, hint string, read func(ast.Node) *ProjectFileError) *ProjectFileError {
	list, ok := node.(*ast.SequenceNode)
	if !ok {
		return wrong(node, hint, "%s %s is no list", name, written(node))
	}
	for _, entry := range list.Values {
		if problem := read(entry); problem != nil {
			return problem
		}
	}
	return nil
}

func newOverlay(node ast.Node) *overlay {
	return &overlay{node: node, criteria: audit.DefaultCriteria()}
}

func (c *lineChoice) all() bool { return len(c.names) == 0 && len(c.carried) == 0 }

func (o *overlay) readLines(name string, node ast.Node) *ProjectFileError {
	if entries, ok := mapping(node); ok {
		for _, entry := range entries {
			var one []onlyValues
			if problem := onlyKey(&one)(name, &ast.MappingNode{Start: entry.GetToken(), BaseNode: &ast.BaseNode{}, Values: []*ast.MappingValueNode{entry}}); problem != nil {
				problem.Hint = linesHint
				return problem
			}
			o.lines.carried = append(o.lines.carried, carriedChoice{entry.Key, one[0]})
		}
		if len(o.lines.carried) == 0 {
			return wrong(node, linesHint, "%s chooses no lines", name)
		}
		return nil
	}
	values := []ast.Node{node}
	if list, ok := node.(*ast.SequenceNode); ok {
		values = list.Values
	}
	if len(values) == 0 {
		return wrong(node, linesHint, "%s is an empty list, expected names of lines", name)
	}
	for _, value := range values {
		text, ok := scalar(value)
		if !ok || strings.TrimSpace(text) == "" {
			return wrong(value, linesHint, "%s %s is no name of a line", name, written(value))
		}
		o.lines.names = append(o.lines.names, namedLine{value, strings.TrimSpace(text)})
	}
	return nil
}

// forAllLines are the criteria that no line has for itself, and why; insteadOf where to state something like it of less.
var (
	forAllLines = map[string]string{"priority": "their jobs stand in one order", "cohort_years": "a cohort is of all lines",
		"terrain_accuracy_m": "it is of rasters, and a raster gives levels to several lines, today and in every scenario"}
	insteadOf = map[string]string{"terrain_accuracy_m": ", or accuracy_m in the entry under terrain that names the raster: terrain: [{file: fine.tif, accuracy_m: 0.5}]"}
)

// readCriteria reads the criteria, and notes which are stated.
func (o *overlay) readCriteria(name string, node ast.Node) *ProjectFileError {
	if problem := criteriaKeys(&o.criteria).read(name, node); problem != nil {
		return problem
	}
	entries, _ := mapping(node)
	for _, entry := range entries {
		if entry.Value == nil || entry.Value.Type() == ast.NullType {
			continue
		}
		key, _ := scalar(entry.Key)
		if why := forAllLines[key]; why != "" {
			return wrong(entry.Key, "state it under the criteria of the project, which stand beside for and scenarios"+insteadOf[key], "%s holds for all lines, since %s", key, why)
		}
		o.stated = append(o.stated, key)
	}
	return nil
}

// readSet reads what stands in columns of the Lines sheet. Whether the columns take it is found when the register is read.
func (o *overlay) readSet(name string, node ast.Node) *ProjectFileError {
	entries, ok := mapping(node)
	if !ok {
		return wrong(node, setHint, "%s %s is no mapping of columns to values", name, written(node))
	}
	for _, entry := range entries {
		key, _ := scalar(entry.Key)
		text, isText := scalar(entry.Value)
		if !isText || strings.TrimSpace(text) == "" || entry.Value.Type() == ast.NullType {
			return wrong(valueOrKey(entry), setHint, "%s %s is no value, expected a text or a number", key, written(entry.Value))
		}
		o.set = append(o.set, setting{node: entry.Key, key: key, text: strings.TrimSpace(text)})
	}
	return nil
}

// classChange says which class of pollution takes the place of which.
type classChange struct {
	of    [basis.ClassF + 1]basis.Class
	words string
}

func (o *overlay) readClasses(name string, node ast.Node) *ProjectFileError {
	change := &classChange{}
	for class := range change.of {
		change.of[class] = basis.Class(class)
	}
	if text, ok := scalar(node); ok {
		if strings.ToLower(strings.Join(strings.Fields(text), " ")) != audit.WorseByOne {
			return wrong(node, classesHint, "%s %s is not known, expected worse by 1 or a mapping of classes", name, written(node))
		}
		for class := range change.of {
			change.of[class] = basis.Class(class).Worse()
		}
		change.words, o.classes = audit.WorseByOne, change
		return nil
	}
	entries, ok := mapping(node)
	if !ok {
		return wrong(node, classesHint, "%s %s is no mapping of classes", name, written(node))
	}
	if slices.ContainsFunc(entries, func(e *ast.MappingValueNode) bool { key, _ := scalar(e.Key); return key == "file" }) {
		o.zones = &ownZones{in: newZoneInput()}
		if problem := o.zones.in.keys().read(name, node); problem != nil {
			return problem
		}
		if len(o.zones.in.files) == 0 {
			return wrong(node, classesHint, "%s names no file", name)
		}
		return nil
	}
	var words []string
	seen := map[basis.Class]bool{}
	for _, entry := range entries {
		var from, to basis.Class
		if problem := classKey(&from)(name, entry.Key); problem != nil {
			return problem
		}
		if problem := classKey(&to)(name, valueOrKey(entry)); problem != nil {
			return problem
		}
		if seen[from] {
			return wrong(entry.Key, classesHint, "class %s in %s stands there twice", from, name)
		}
		seen[from], change.of[from] = true, to
		words = append(words, fmt.Sprintf("%s to %s", from, to))
	}
	change.words, o.classes = strings.Join(words, ", "), change
	return nil
}
