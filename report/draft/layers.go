package draft

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"dryarc/audit/basis"
	"dryarc/audit/read"
)

// part is a layer under its section of the project file.
type part struct {
	source
	layer   *read.LayerLook
	section string
	why     string
	asked   bool // the whole of it is a question
	mapped  []mapping
}

// mapping is a line that maps a name of the audit to one of the file; a question where asked.
type mapping struct {
	name, to string
	asked    bool
	why      string
	phases   [][2]string // phase and heading, in place of to
	inMetres bool        // the line says the unit, whatever the heading does
}

// written is what a name is mapped to, as YAML has it: a heading, or one for each phase.
func (m *mapping) written() string {
	if m.inMetres {
		return "{from: " + quoted(m.to) + ", unit: m}"
	}
	if len(m.phases) == 0 {
		return quoted(m.to)
	}
	var list []string
	for _, p := range m.phases {
		list = append(list, quoted(p[0])+": "+quoted(p[1]))
	}
	return "{" + strings.Join(list, ", ") + "}"
}

// layerName is the name that the key layer needs; empty where it needs none.
func (p *part) layerName() string {
	if p.inArchive() {
		return "" // the name of the file has it
	}
	return p.layer.Name
}

func (p *part) inArchive() bool { return strings.Contains(p.look.Format, "zip") }

func (p *part) name() string {
	if p.layerName() == "" {
		return p.path
	}
	return p.path + ", layer " + p.layerName()
}

// layer finds out which section a layer is for: by its geometry, then by its properties.
func (d *draft) layer(s source, l *read.LayerLook, lines, numbers map[string]bool) {
	p := &part{source: s, layer: l}
	if p.inArchive() && l.Name != "" {
		p.path += "!" + l.Name
	}
	has := func(section string, keys ...string) bool {
		return slices.ContainsFunc(keys, func(key string) bool { return len(l.Meant(section, key)) > 0 })
	}
	most := max(l.Points, l.Lines, l.Areas)
	switch {
	case most == 0:
		d.leave(p.name(), "has no feature with a geometry that is read")
		return
	case l.Points == most && namesAlone(l, lines, numbers):
		p.section, p.asked, p.why = "places", true, fmt.Sprintf("are these %d points places that the maps may name? They have names such as %s, and no line and no number of a structure. Nothing is judged by places", l.Points, named(someValues(l.Property(l.Meant("places", "name")[0])), 3))
	case l.Points == most:
		p.section, p.why = "structures", fmt.Sprintf("%d points", l.Points)
		p.asked = !has("structures", "line", "structure")
		p.positions()
		p.eitherWay()
		p.property(lines, "line")
		p.property(numbers, "structure")
	case l.Lines == most && has("crossings", "kind"):
		p.section, p.why = "crossings", fmt.Sprintf("%d lines with a kind", l.Lines)
	case l.Lines == most && has("routes", "line"):
		p.section, p.why = "routes", fmt.Sprintf("%d lines with the name of a line", l.Lines)
	case l.Lines == most:
		p.section, p.asked, p.why = "crossings", true, "lines without a kind and without the name of a line: what are they, crossings (with the property kind) or routes (with line)?"
	case has("zones", "class", "specific_creepage"):
		p.section, p.why = "zones", fmt.Sprintf("%d areas with a pollution class", l.Areas)
	case has("crossings", "kind"):
		p.section, p.why = "crossings", fmt.Sprintf("%d areas with a kind", l.Areas)
	case len(classesCalled(l)) == 1:
		p.section, p.why = "zones", fmt.Sprintf("%d areas with a pollution class", l.Areas)
		p.mapped = append(p.mapped, mapping{name: "class", to: classesCalled(l)[0], why: "its name is one of pollution, and its values are classes"})
	default:
		p.section, p.asked, p.why = "zones", true, "areas without a pollution class: are they zones, and which property has the class?"+classLike(l)
		if names := withClasses(l); len(names) == 1 {
			p.mapped = append(p.mapped, mapping{name: "class", to: names[0], asked: true})
		}
	}
	d.parts = append(d.parts, p)
}

// namesAlone tells whether points have a name in letters and nothing that a structure has: no line, no number, and nothing that tables have as such.
func namesAlone(l *read.LayerLook, lines, numbers map[string]bool) bool {
	names := l.Meant("places", "name")
	if len(names) != 1 || share(l.Property(names[0]), func(text string) bool { return strings.IndexFunc(text, unicode.IsDigit) < 0 }) < surely {
		return false
	}
	for _, key := range structureKeys {
		if len(l.Meant("structures", key)) > 0 {
			return false
		}
	}
	return !slices.ContainsFunc(l.Properties, func(property read.LookedColumn) bool {
		return share(property, func(text string) bool { return lines[read.HeadingKey(text)] || numbers[read.HeadingKey(text)] }) > 0 ||
			slices.ContainsFunc(wordsOf(property.Name), func(word string) bool { return slices.Contains(structureKeys, word) })
	})
}

// structureKeys are the properties that structures have and places do not.
var structureKeys = []string{"line", "structure", "sequence", "attachment_m", "duty", "role", "continues", "conductor_ahead"}

// classesCalled are the properties whose values are all classes of pollution and whose name says so: light, medium and heavy are districts of
// wind and ice too.
func classesCalled(l *read.LayerLook) (names []string) {
	for _, property := range l.Properties {
		key := read.HeadingKey(property.Name)
		said := slices.ContainsFunc([]string{"poll", "contam", "poluic", "verschm"}, func(part string) bool { return strings.Contains(key, part) })
		if said && property.Rows > 0 && share(property, isClass) == 1 {
			names = append(names, property.Name)
		}
	}
	return names
}

func isClass(text string) bool {
	_, ok := basis.ParseClass(text)
	return ok
}

// classLike names the properties whose values could all be classes of pollution.
func classLike(l *read.LayerLook) string {
	names := withClasses(l)
	if len(names) == 0 {
		names = propertyNames(l)
	}
	return " Candidates: " + named(names, 8)
}

// withClasses are the properties whose values could all be classes.
func withClasses(l *read.LayerLook) (names []string) {
	for _, property := range l.Properties {
		if share(property, isClass) == 1 && property.Rows > 0 {
			names = append(names, property.Name)
		}
	}
	return names
}

func propertyNames(l *read.LayerLook) (names []string) {
	for _, property := range l.Properties {
		names = append(names, property.Name)
	}
	return names
}

// share is how many of the rows of a column have a text that is wanted, of one.
func share(c read.LookedColumn, wanted func(string) bool) float64 {
	rows, fit := 0, 0
	for _, value := range c.Values {
		rows += value.Rows
		if wanted(value.Text) {
			fit += value.Rows
		}
	}
	if rows == 0 {
		return 0
	}
	return float64(fit) / float64(rows)
}

// surely is the share of the values of a column from which on they tell what it is (a choice of this program).
const surely = 0.9

// property maps a property of structures that the reader would not find, where the values tell it, else asks for it.
func (p *part) property(values map[string]bool, key string) {
	found := p.layer.Meant("structures", key)
	switch {
	case len(found) == 1:
		return
	case len(found) > 1:
		p.mapped = append(p.mapped, mapping{name: key, to: found[0], asked: true, why: "which of " + named(found, 8) + "?"})
		return
	}
	var fits, candidates []string
	for _, property := range p.layer.Properties {
		known := share(property, func(text string) bool { return values[read.HeadingKey(text)] })
		isCalled := slices.Contains(wordsOf(property.Name), key)
		switch {
		case known >= surely:
			fits = append(fits, property.Name)
		case isCalled:
			candidates = append(candidates, property.Name)
		}
	}
	if candidates = append(fits, candidates...); len(candidates) == 0 {
		candidates = propertyNames(p.layer)
	}
	if len(fits) == 1 {
		p.mapped = append(p.mapped, mapping{name: key, to: fits[0], why: "its values are those that the tables have as " + key + "s"})
		p.asked = false
		return
	}
	if len(candidates) == 0 {
		candidates = []string{"?"}
	}
	p.mapped = append(p.mapped, mapping{name: key, to: candidates[0], asked: true, why: "which of " + named(candidates, 12) + "?" + p.samples(candidates)})
}

// mapsTo is the property that stands for a key; empty where it is open.
func (p *part) mapsTo(key string) string {
	for _, m := range p.mapped {
		if m.name == key {
			if m.asked {
				return ""
			}
			return m.to
		}
	}
	if found := p.layer.Meant(p.section, key); len(found) == 1 {
		return found[0]
	}
	return ""
}

// choose leaves one layer to a section where several cannot be read together: those that say the same, and those that need keys of their own.
func (d *draft) choose() {
	for i, p := range d.parts {
		for _, earlier := range d.parts[:i] {
			switch {
			case p.asked || earlier.asked || earlier.section != p.section:
			case p.section == "structures" && sameValues(p, earlier, "line") && sameValues(p, earlier, "structure"):
				p.asked, p.why = true, fmt.Sprintf("holds the same lines and structures as %s; read one of them", earlier.name())
			case p.own() || earlier.own():
				p.asked, p.why = true, fmt.Sprintf("cannot be read beside %s, as a layer, its system or its properties have to be named: join the two in one file", earlier.name())
			}
		}
	}
	points := slices.DeleteFunc(slices.Clone(d.parts), func(p *part) bool { return p.section != "structures" })
	placed := slices.ContainsFunc(d.parts, func(p *part) bool { return !p.asked && (p.section == "structures" || p.section == "routes") })
	if len(points) == 1 || len(points) > 1 && !placed {
		most := slices.MaxFunc(points, func(a, b *part) int { return a.layer.Points - b.layer.Points })
		most.asked = false // what is open of it is asked at its keys, and nothing is read before it is answered
	}
}

// own tells whether a layer needs keys that hold for its file alone.
func (p *part) own() bool {
	return p.layerName() != "" || p.layer.NeedsCRS || len(p.mapped) > 0 || p.numbers().Loose != ""
}

// numbers are those of a table of points; nothing of other layers.
func (p *part) numbers() (n read.NumbersLook) {
	if len(p.look.Sheets) == 1 {
		n = p.look.Sheets[0].Numbers
	}
	return n
}

func sameValues(a, b *part, key string) bool {
	x, y := a.layer.Property(a.mapsTo(key)), b.layer.Property(b.mapsTo(key))
	return len(x.Values) > 0 && slices.Equal(sortedValues(x), sortedValues(y))
}

func sortedValues(c read.LookedColumn) []read.LookedValue {
	return slices.SortedFunc(slices.Values(c.Values), func(a, b read.LookedValue) int { return strings.Compare(a.Text, b.Text) })
}

// learnNames takes up what the layers call lines and structures.
func (d *draft) learnNames() {
	for _, p := range d.parts {
		if p.asked || p.section != "structures" && p.section != "routes" {
			continue
		}
		for _, value := range p.layer.Property(p.mapsTo("line")).Values {
			if key := read.HeadingKey(value.Text); !slices.Contains(d.lines, value.Text) {
				d.lines, d.haveKeys[key] = append(d.lines, value.Text), true
			}
		}
		for _, value := range p.layer.Property(p.mapsTo("structure")).Values {
			d.numbers[read.HeadingKey(value.Text)] = true
		}
	}
}

// section writes a section of layers.
func (d *draft) section(to *page, section string) {
	var live, asked []*part
	for _, p := range d.parts {
		switch {
		case p.section != section:
		case p.asked:
			asked = append(asked, p)
		default:
			live = append(live, p)
		}
	}
	if len(live)+len(asked) == 0 {
		if section == "structures" && !slices.ContainsFunc(d.parts, func(p *part) bool { return p.section == "routes" }) {
			to.WriteString("\n")
			to.ask(0, "structures: {file: \"?\"}", "which layer or table says where the structures stand? None of the files that were named does: GeoJSON, GeoPackage, shapefile or a table with coordinates, each point with its line and number")
		}
		return
	}
	to.WriteString("\n")
	if len(live) > 0 {
		to.add(0, section+":", "")
		if len(live) == 1 {
			to.add(1, "file: "+quotedPath(live[0].path), live[0].why)
		} else {
			to.add(1, "file:", "")
			for _, p := range live {
				to.add(2, "- "+quotedPath(p.path), p.why)
			}
		}
		live[0].keys(to)
	}
	for _, p := range asked {
		layer := ""
		if name := p.layerName(); name != "" {
			layer = ", layer: " + quoted(name)
		}
		if section == "zones" && len(p.mapped) == 1 {
			layer += ", properties: {class: " + quoted(p.mapped[0].to) + "}"
		}
		to.ask(0, fmt.Sprintf("%s: {file: %s%s}", section, quotedPath(p.path), layer), p.why)
	}
}

// keys writes what the project file says of a layer beside its file.
func (p *part) keys(to *page) {
	if name := p.layerName(); name != "" {
		to.add(1, "layer: "+quoted(name), "")
	}
	switch {
	case p.layer.Unread != "":
		to.remark(1, "not read as it is: "+p.layer.Unread)
	case p.layer.NeedsCRS || p.layer.System == "" && !p.layer.InDegrees:
		to.ask(1, "crs: EPSG:0", "which system are the positions in? The file does not say, dryarc read --systems lists those that are read")
	case p.layer.System != "":
		to.remark(1, "positions, as the file says, in "+p.layer.System)
	}
	if p.look.Encoding != "" {
		to.ask(1, "encoding: "+p.look.Encoding, "which is what is guessed; nothing says in what the texts are")
	}
	decimal(to, 1, p.numbers())
	if len(p.mapped) > 0 {
		to.add(1, "properties:", "")
		writeMappings(to, 2, p.mapped)
	}
	if p.section == "structures" && p.mapsTo("line") == "" {
		to.ask(1, `fixed: {line: "?"}`, "if all of it is one line that no property names: its name, as the other tables have it, for the ?")
	}
	if len(p.layer.Meant(p.section, "specific_creepage")) > 0 && len(p.layer.Meant(p.section, "specific_creepage_base")) == 0 && p.section == "zones" {
		to.ask(1, "specific_creepage_base: Um/√3", "or Um? On which voltage are the figures of specific_creepage?")
	}
	p.openTo(to)
	askForOnly(to, 1, p.layer.Properties)
}

func writeMappings(to *page, depth int, mapped []mapping) {
	for _, m := range mapped {
		if line := quoted(m.name) + ": " + m.written(); m.asked {
			to.ask(depth, line, m.why)
		} else {
			to.add(depth, line, m.why)
		}
	}
}

// askForOnly asks which rows are of what is there, where a column of states has several.
func askForOnly(to *page, depth int, columns []read.LookedColumn) {
	const most = 12 // states that a thing has (a choice of this program)
	for _, c := range columns {
		if len(c.Values) < 2 || len(c.Values) > most || !read.NamesStatus(c.Name) {
			continue
		}
		var texts []string
		for _, value := range c.Values {
			texts = append(texts, quoted(value.Text))
		}
		to.ask(depth, fmt.Sprintf("only: {%s: [%s]}", quoted(c.Name), strings.Join(texts, ", ")), "which of them are there today? As long as nothing is said here, all are read")
	}
}
