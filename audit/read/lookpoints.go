package read

import (
	"context"
	"strings"
	"unicode"
)

// anyMetres is a system of metres by which tables are looked at that name none: nothing is kept of the positions.
const anyMetres = "EPSG:32631"

// asMetres looks at a table as one of eastings and northings, where it has no longitudes and latitudes.
func (l *Look) asMetres(ctx context.Context, f *half, inDegrees *LayerLook, problem error) (*LayerLook, error) {
	if problem == nil && inDegrees.Points > 0 {
		return inDegrees, nil
	}
	seen, err := l.lookAtLayer(ctx, f, "", "", anyMetres, true)
	if err != nil || seen.Points == 0 {
		if problem != nil {
			return nil, problem
		}
		return inDegrees, nil
	}
	seen.NeedsCRS, seen.InDegrees = true, false
	// headings that are understood are so whatever the system is
	if _, doubt := l.lookAtLayer(ctx, f, "", "", anyMetres, false); doubt != nil || seen.unordered {
		seen.Positions, seen.Doubt = seen.at[:], "their headings do not say which is the easting; where the figures do not tell it either, nothing is read"
		if !seen.unordered {
			seen.Doubt = whyUnread(doubt)
		}
	}
	return seen, nil
}

// asPoints is a sheet as a table of points whose headings do not say where these are, by columns whose cells look like coordinates; nil where
// fewer than two do.
func (s *SheetLook) asPoints() *LayerLook {
	best := &s.Fits[0]
	for i := range s.Fits {
		if len(s.Fits[i].Found) > len(best.Found) {
			best = &s.Fits[i]
		}
	}
	seen := &LayerLook{NeedsCRS: true, Properties: best.Columns, Doubt: "no heading is one of coordinates that is known"}
	var names []string
	for _, c := range best.Columns {
		seen.Points = max(seen.Points, c.Rows)
		names = append(names, c.Name)
		if c.mayBeCoordinates() {
			seen.Positions = append(seen.Positions, c.Name)
		}
	}
	if len(seen.Positions) < 2 {
		return nil
	}
	seen.Features = seen.Points
	seen.findMeant(names, false)
	return seen
}

// mayBeCoordinates tells whether nearly all values of a column are figures with as many digits as coordinates have, and mostly different.
// How many are enough is a choice of this program.
func (c *LookedColumn) mayBeCoordinates() bool {
	const digits, nearly, different = 5, 0.9, 0.5
	fit := 0
	for _, value := range c.Values {
		if n := digitsOf(value.Text); n >= digits {
			fit += value.Rows
		}
	}
	return c.Rows > 0 && float64(fit) >= nearly*float64(c.Rows) && (c.Cut || float64(len(c.Values)) >= different*float64(c.Rows))
}

// digitsOf counts the digits of a text that holds nothing else but signs of numbers; 0 where it does.
func digitsOf(text string) (digits int) {
	for i, r := range text {
		switch {
		case unicode.IsDigit(r):
			digits++
		case strings.ContainsRune(".,' \u00a0\u202f", r) || i == 0 && strings.ContainsRune("-\u2212+", r):
		default:
			return 0
		}
	}
	return digits
}
