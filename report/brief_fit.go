package report

import (
	"math"
	"strings"

	"golang.org/x/text/width"
)

// pointMM is a point of type in millimetres (1/72 inch).
const pointMM = 25.4 / 72

// briefLeading is the height of a line of text over its size.
const briefLeading = 1.3

// blankEms is the width of a blank between words, and boldWider by how much wider bold type is set.
const (
	blankEms  = 0.42
	boldWider = 1.15
)

// emsOf is how wide a text is set in the fonts of the brief, over its size: at least as wide as any of them sets it.
func emsOf(text string) (ems float64) {
	for _, r := range text {
		switch kind := width.LookupRune(r).Kind(); {
		case kind == width.EastAsianWide, kind == width.EastAsianFullwidth, r > 0xFFFF:
			ems++
		case strings.ContainsRune("iljtfIr.,:;'|!()[]- /", r):
			ems += 0.42
		case strings.ContainsRune("mwMW@%—…", r):
			ems++
		case r >= 'A' && r <= 'Z', r > 0x7F:
			ems += 0.8
		default:
			ems += 0.65
		}
	}
	return ems
}

// linesIn is how many lines a text takes at most in a column, in points and millimetres. Words that are wider than the column are broken.
func linesIn(text string, points, columnMM float64) (lines int) {
	room := columnMM / (points * pointMM)
	for paragraph := range strings.SplitSeq(text, "\n") {
		lines++
		at := 0.0
		for _, word := range strings.Fields(paragraph) {
			ems := emsOf(word)
			switch {
			case at == 0:
			case at+blankEms+ems <= room:
				at += blankEms + ems
				continue
			default:
				lines++
			}
			more := math.Ceil(ems/room) - 1
			lines += int(max(more, 0))
			at = ems - max(more, 0)*room
		}
	}
	return lines
}

// heightIn is the height of a text in a column, in millimetres.
func heightIn(text string, points, columnMM float64) float64 {
	if text == "" {
		return 0
	}
	return float64(linesIn(text, points, columnMM)) * points * pointMM * briefLeading
}
