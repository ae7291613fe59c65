package draft

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit/read"
)

// positions asks for the columns of the coordinates of a table whose headings do not say them for certain.
func (p *part) positions() {
	at := p.layer.Positions
	if len(at) < 2 {
		return
	}
	why := "which of " + named(at, 8) + "?" + p.samples(at) + ". Not told, as " + p.layer.Doubt
	for i, key := range []string{"easting", "northing"} {
		m := mapping{name: key, to: at[i], asked: true, inMetres: true, why: "the other of the two"}
		if i == 0 {
			m.why = why
		}
		p.mapped = append(p.mapped, m)
	}
}

// eitherWay asks which of two columns in degrees is the longitude.
func (p *part) eitherWay() {
	at := p.layer.EitherWay
	if at[0] == "" {
		return
	}
	why := "or is it the latitude? The headings do not say which is the longitude, and the figures may be either; where nothing else tells it, nothing is read"
	p.mapped = append(p.mapped, mapping{name: "longitude", to: at[0], asked: true, why: why}, mapping{name: "latitude", to: at[1], asked: true, why: "the other of the two"})
}

// samples is what stands under some of the properties that a question names, shortly.
func (p *part) samples(names []string) string {
	const most = 4
	var list []string
	for _, name := range names[:min(most, len(names))] {
		if texts := someValues(p.layer.Property(name)); len(texts) > 0 {
			list = append(list, fmt.Sprintf("%q has %s", shortened(name), named(texts[:min(2, len(texts))], 2)))
		}
	}
	if len(list) == 0 {
		return ""
	}
	return " " + strings.Join(list, "; ")
}

// openTo lists the properties of a layer that stand for nothing, with some of their values, each as a line to complete and take the # from.
func (p *part) openTo(to *page) {
	var open []mapping
	for _, c := range p.layer.Properties {
		taken := slices.ContainsFunc(p.mapped, func(m mapping) bool { return m.to == c.Name })
		if taken || strings.TrimSpace(c.Name) == "" || c.Rows == 0 || p.layer.Uses(p.section, c.Name) || read.NamesStatus(c.Name) {
			continue
		}
		m := mapping{name: "?", to: c.Name, asked: true, why: "values such as " + named(someValues(c), 3)}
		if p.section == "structures" && isHeight(c) && len(p.layer.Meant("structures", "ground_m")) == 0 {
			m.name, m.why = "ground_m", "is it the level of the ground above the sea, and not of a top or of conductors? "+m.why
		}
		open = append(open, m)
	}
	if len(open) == 0 {
		return
	}
	const most = 40
	if len(p.mapped) == 0 {
		to.ask(1, "properties:", "properties that stand for nothing as yet: take out this # and that of a line, and put the key for its ?")
	} else {
		to.remark(2, "Properties that stand for nothing as yet: put the key for the ? of a line and take out its #.")
	}
	for _, m := range open[:min(most, len(open))] {
		to.ask(2, quoted(m.name)+": "+m.written(), m.why)
	}
	if more := len(open) - most; more > 0 {
		to.remark(2, fmt.Sprintf("and %d more", more))
	}
}

// isHeight tells whether a property may be a height above the sea: by a word of its name, and figures.
func isHeight(c read.LookedColumn) bool {
	words := []string{"cota", "kot", "kote", "höhe", "hoehe", "gelände", "rzędna", "rzedna", "quota", "altura", "height", "elev", "elevation", "level", "alt", "altitude", "altitud", "altitudine", "wysokość",
		"rakım", "yükseklik", "z", "ground", "gl", "rl", "amsl", "msnm"}
	named := slices.ContainsFunc(wordsOf(c.Name), func(word string) bool { return slices.Contains(words, word) })
	return named && share(c, func(text string) bool {
		return strings.IndexFunc(text, func(r rune) bool { return !strings.ContainsRune("0123456789.,-+ '\u00a0\u202f\u2212", r) }) < 0
	}) >= surely
}
