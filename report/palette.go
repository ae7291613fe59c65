package report

import (
	"math"
	"slices"

	"dryarc/audit"

	"github.com/xuri/excelize/v2"
)

// The colours of the workbook: slate for headings, ochre for what falls short, blue for what was judged. They differ
// in lightness, so they hold in grey print and for every eye; a word always says the same as a colour.
const (
	slate     = "263238"
	slateSoft = "607080"
	rule      = "D5DBE1"
	paper     = "F4F6F8"
	ochre     = "8A4B08"
	amber     = "F5DFB3"
	amberDeep = "D9A441"
	sand      = "FBF3E2"
	blue      = "1B4B7A"
	white     = "FFFFFF"
	greyText  = "8A949E" // of what is decided
)

const fontFamily = "Arial" // at hand, or matched in width, wherever a workbook opens

// look is a style in the terms of this workbook. The zero look is plain text in a table.
type look struct {
	format      string // of numbers
	color, fill string
	align       string
	size        float64
	indent      int
	bold        bool
	italic      bool
	wrap        bool
	bare        bool // without the rule below
	over        bool // with a strong rule above
	middle      bool // in the middle of its height
}

// bodySize is the size of text in tables, in points.
const bodySize = 9

// looks turns looks into style numbers of one workbook, each once.
type looks struct {
	file    *excelize.File
	numbers map[look]int
}

func (s *looks) number(l look) (int, error) {
	if n, ok := s.numbers[l]; ok {
		return n, nil
	}
	n, err := s.file.NewStyle(l.style())
	if err != nil {
		return 0, err
	}
	s.numbers[l] = n
	return n, nil
}

func (l look) style() *excelize.Style {
	font := &excelize.Font{Family: fontFamily, Size: l.size, Color: l.color, Bold: l.bold, Italic: l.italic}
	if font.Size == 0 {
		font.Size = bodySize
	}
	if font.Color == "" {
		font.Color = slate
	}
	style := &excelize.Style{
		Font:      font,
		Alignment: &excelize.Alignment{Horizontal: l.align, Vertical: "top", WrapText: l.wrap, Indent: l.indent},
	}
	if l.middle {
		style.Alignment.Vertical = "center"
	}
	if l.indent > 0 && l.align == "" {
		style.Alignment.Horizontal = "left" // the only one that is indented
	}
	if l.format != "" {
		style.CustomNumFmt = &l.format
	}
	if l.fill != "" {
		style.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{l.fill}}
	}
	if !l.bare {
		style.Border = append(style.Border, excelize.Border{Type: "bottom", Color: rule, Style: 1})
	}
	if l.over {
		style.Border = append(style.Border, excelize.Border{Type: "top", Color: slate, Style: 2})
	}
	return style
}

// muted is a look in grey, as of what is decided.
func (l look) muted() look {
	l.color, l.fill, l.bold = greyText, "", false
	return l
}

// severityLook marks a severity: the worse, the darker the ground and the heavier the word.
func severityLook(s audit.Severity) look {
	switch s {
	case audit.Shortfall:
		return look{color: ochre, fill: amber, bold: true}
	case audit.Advisory:
		return look{fill: sand}
	}
	return look{color: slateSoft}
}

// The looks that several sheets share.
var (
	sectionLook = look{bold: true, size: 11, bare: true}
	headingLook = look{color: white, fill: slate, bold: true, wrap: true, middle: true}
	softLook    = look{color: slateSoft, bare: true}
	remarkLook  = look{italic: true, color: slateSoft, bare: true}
	lessLook    = look{bold: true, color: ochre, fill: amber} // of fewer units than are needed
)

// commonLooks are those that the long tables ask for row by row. They are numbered before the tables are filled, so that
// no table waits for another.
func commonLooks() []look {
	looks := []look{remarkLook, {align: "right"}, {format: asDegrees}, {format: asCount}, {format: asTenths}}
	for _, l := range looks {
		looks = append(looks, l.centred())
	}
	return looks
}

// centred is a look of a row of one line: its text stands clear of what is above.
func (l look) centred() look {
	l.middle = true
	return l
}

// aligned is a look with its text to one side.
func (l look) aligned(side string) look {
	l.align = side
	return l
}

// The number formats, by what is counted or measured.
const (
	asCount   = "#,##0"
	asPercent = "0.0"
	asFactor  = "#,##0.###"
	asTenths  = "#,##0.0"
	asHundred = "#,##0.00"
	asDegrees = "0.00"
	asLonLat  = "0.00000"
)

// formatOf is the number format of a figure of the checks: what is counted stays whole.
func formatOf(v audit.Value) string {
	switch {
	case v.Measure == "deg":
		return asDegrees
	case v.Number == math.Trunc(v.Number) && !slices.Contains(continuous, v.Measure):
		return asCount
	}
	return asTenths
}

// continuous are the measures in which a whole figure is as good as any other.
var continuous = []string{"mm", "m", "km", "kV", "kN", "N", "mm/kV"}
