package read

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// refusal says of a heading that it is not known in what its coordinates are, and where that can be, which line of the project file says it.
func (c coordinateColumn) refusal(file, heading, inside string, words []string, forward string) error {
	heading = strings.TrimSpace(heading)
	hint := "convert the column, or call it by the name alone if that is what it holds"
	remarks := len(words) > 0
	for i := range words {
		remarks = remarks && isRemark(words, i)
	}
	plain := map[bool][2]string{true: {"metres", "m"}, false: {"degrees", "deg"}}[c.projected]
	switch _, inMetres := metres.find(inside); {
	case remarks:
		hint = fmt.Sprintf("if it holds plain %s, name it in the project file: properties: {%s: {from: %q, unit: %s}, %s: …}, with the other coordinate; else convert the column", plain[0], c.name, heading, plain[1], c.other())
	case inMetres && !c.projected:
		hint = "if it holds metres, write the system of the positions in the project file: crs: EPSG:…; dryarc read --systems lists those that are read"
	}
	return &InputError{File: file, Message: fmt.Sprintf("heading %q of a coordinate says %q, expected %s", heading, inside, c.expected(forward)), Hint: hint}
}

// other is the name of the other coordinate.
func (c coordinateColumn) other() string {
	if c.projected {
		return [...]string{"northing", "easting"}[c.axis]
	}
	return [...]string{"latitude", "longitude"}[c.axis]
}

// isRemark tells whether a word behind the name of a coordinate can be no unit, scale or direction: it starts with a letter, or is a number
// behind a word, as in SIRGAS 2000 and UTM 23S, and no power of ten.
func isRemark(words []string, at int) bool {
	word := words[at]
	letters := strings.TrimFunc(word, unicode.IsDigit)
	if unicode.IsDigit([]rune(word)[0]) {
		const least = 3 // letters of a word before it, so that it is no unit (a choice of this program)
		before := ""
		if at > 0 {
			before = words[at-1]
		}
		powerOfTen := strings.HasPrefix(word, "1") && strings.Trim(word[1:], "0") == "" && len(word) > 1
		return len([]rune(letters)) <= 1 && len([]rune(before)) >= least && strings.IndexFunc(before, unicode.IsDigit) < 0 && !powerOfTen
	}
	unit := slices.ContainsFunc([]*measure{metres, millimetres, kilometres, degrees}, func(m *measure) bool { _, is := m.find(letters); return is })
	scaled := letters != word && len([]rune(letters)) < 2 // x1000
	return !unit && !scaled && !slices.Contains(scaling(), letters)
}

// scaling are words that say in what a coordinate counts, or which way, beside the units that are converted: their figures are no plain
// metres or degrees eastwards or northwards.
func scaling() []string {
	return []string{"km", "hm", "mm", "cm", "dam", "ft", "foot", "feet", "usft", "ftus", "us", "survey", "yd", "yard", "yards", "in", "inch", "inches", "mi", "mile", "miles", "nm", "nmi",
		"chain", "chains", "link", "links", "rod", "rods", "fathom", "fathoms", "vara", "varas", "pie", "pies", "pé", "pés", "pieds", "fuss", "fuß", "stopy", "millas", "milhas", "milles", "meilen",
		"kilometre", "kilometres", "kilometer", "kilometers", "kilómetros", "kilometros", "quilômetros", "quilometros", "kilomètres",
		"deg", "degree", "degrees", "grad", "grados", "graus", "degrés", "gon", "gons", "rad", "radian", "radians", "min", "minute", "minutes", "sec", "second", "seconds", "dms", "dm", "mil", "mils",
		"thousand", "thousands", "million", "millions", "miles", "milhares", "milliers", "tausend", "tys", "tsd", "bin", "div", "factor", "fator", "facteur", "faktor", "escala", "échelle", "echelle", "maßstab", "skala", "scale", "scaled", "times", "offset", "false",
		"w", "s", "e", "n", "o", "west", "westing", "westings", "westwards", "south", "southing", "southings", "southwards", "east", "easting", "eastings", "north", "northing", "northings",
		"oeste", "ouest", "ovest", "westen", "sur", "sul", "sud", "süd", "süden", "batı", "güney", "zachód", "południe",
		"este", "leste", "est", "ost", "osten", "norte", "nord", "norden", "doğu", "kuzey"}
}

// remarked tells of headings with more in them than a name, a unit and a direction.
func (t *pointTable) remarked() (notes []string) {
	for i, at := range [...]int{t.x, t.y} {
		if t.axes[i].remark != "" {
			notes = append(notes, fmt.Sprintf("%q is read as plain %s: what else its heading says, %q, is no unit that is known", t.headings[at],
				map[bool]string{true: "metres", false: "degrees"}[t.axes[i].projected], t.axes[i].remark))
		}
	}
	return notes
}
