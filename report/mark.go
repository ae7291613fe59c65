package report

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"

	"dryarc/audit"
)

// shape is the outline of a mark on a drawing.
type shape uint8

const (
	triangle shape = iota
	diamond
	circle
)

// mark is how a finding is drawn wherever there is a map: as on the page, where shape, and whether it is filled, say the same as its colour.
type mark struct {
	shape        shape
	fill, stroke string // rrggbb
	radius       float64
}

// The colours of drawings in the light.
const (
	ink        = "263238"
	shortInk   = "8a3b08"
	adviseInk  = "1b4b7a"
	noteInk    = "53616c"
	wireInk    = "3c4a52"
	hatchInk   = "7a6a55"
	sheetWhite = "ffffff"
	decidedInk = "8a949e"
)

// zoneTints are the fills of zones, by basis.Class.
var zoneTints = [...]string{"e9e9ec", "f1f3ee", "e7ece4", "efe7cf", "e9d3b4", "dcb9a0", "c9a3a3"}

// severityMarks are the marks of findings, by audit.Severity.
var severityMarks = [...]mark{
	audit.Shortfall: {triangle, shortInk, shortInk, 6.5},
	audit.Advisory:  {diamond, sheetWhite, adviseInk, 6.2},
	audit.Note:      {circle, sheetWhite, noteInk, 4.2},
}

// decidedMark is that of what is accepted or planned.
var decidedMark = mark{circle, decidedInk, decidedInk, 3.4}

// outline are the corners of a mark about its middle, y downwards.
func (m mark) outline() [][2]float64 {
	r := m.radius
	switch m.shape {
	case triangle:
		return [][2]float64{{-r, r * 10 / 13}, {r, r * 10 / 13}, {0, -r}}
	case diamond:
		return [][2]float64{{0, -r}, {r, 0}, {0, r}, {-r, 0}}
	}
	const corners = 36
	out := make([][2]float64, corners)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / corners)
		out[i] = [2]float64{r * cos, r * sin}
	}
	return out
}

// picture is a mark as an image of a number of pixels each way, with white around it so that it stands out on any ground.
func (m mark) picture(pixels int) ([]byte, error) {
	const finer = 4 // samples a pixel, each way
	const half, stroke, halo = 9.0, 1.0, 1.2
	outline := m.outline()
	img := image.NewNRGBA(image.Rect(0, 0, pixels, pixels))
	fill, line, white := rgb(m.fill), rgb(m.stroke), rgb(sheetWhite)
	for py := range pixels {
		for px := range pixels {
			var sum [4]int
			for s := range finer * finer {
				x := (float64(px)+(float64(s%finer)+0.5)/finer)*2*half/float64(pixels) - half
				y := (float64(py)+(float64(s/finer)+0.5)/finer)*2*half/float64(pixels) - half
				inside, away := within(outline, x, y)
				c := color.NRGBA{}
				switch {
				case away <= stroke:
					c = line
				case inside:
					c = fill
				case away <= stroke+halo:
					c = white
				}
				if c.A > 0 {
					sum[0], sum[1], sum[2], sum[3] = sum[0]+int(c.R), sum[1]+int(c.G), sum[2]+int(c.B), sum[3]+1
				}
			}
			if n := sum[3]; n > 0 {
				img.SetNRGBA(px, py, color.NRGBA{uint8(sum[0] / n), uint8(sum[1] / n), uint8(sum[2] / n), uint8(255 * n / (finer * finer))})
			}
		}
	}
	var out bytes.Buffer
	err := png.Encode(&out, img)
	return out.Bytes(), err
}

// within tells whether a position is inside an outline, and how far from it.
func within(outline [][2]float64, x, y float64) (inside bool, away float64) {
	away = math.Inf(1)
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if (a[1] > y) != (b[1] > y) && x < a[0]+(b[0]-a[0])*(y-a[1])/(b[1]-a[1]) {
			inside = !inside
		}
		dx, dy := b[0]-a[0], b[1]-a[1]
		t := min(max(((x-a[0])*dx+(y-a[1])*dy)/(dx*dx+dy*dy), 0), 1)
		away = min(away, math.Hypot(x-a[0]-t*dx, y-a[1]-t*dy))
	}
	return inside, away
}

// rgb is a colour of six hexadecimal digits.
func rgb(digits string) color.NRGBA {
	var c [3]uint8
	for i := range c {
		for _, d := range digits[2*i : 2*i+2] {
			c[i] <<= 4
			if d >= 'a' {
				c[i] |= uint8(d - 'a' + 10)
			} else {
				c[i] |= uint8(d - '0')
			}
		}
	}
	return color.NRGBA{c[0], c[1], c[2], 255}
}
