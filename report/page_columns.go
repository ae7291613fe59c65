package report

import (
	"math"
	"strconv"
)

// The data of the page is columns of whole numbers, which is compact. An unknown number is null; long columns are written in runs, which the
// scripts undo (unpacked in page/ground.js).

// pageColumn is a column of whole numbers; noFigure stands for one that is unknown.
type pageColumn []int64

const noFigure = math.MinInt64

func (c *pageColumn) add(n int64) { *c = append(*c, n) }

// addFigure adds a figure in steps of a unit, null where it is unknown.
func (c *pageColumn) addFigure(x, unit float64) {
	if unknown(x) {
		c.add(noFigure)
		return
	}
	c.add(int64(math.Round(x / unit)))
}

// toDifferences makes of each known number how much it is above the known one before it.
func (c pageColumn) toDifferences() {
	last := int64(0)
	for i, n := range c {
		if n != noFigure {
			c[i], last = n-last, n
		}
	}
}

func (c pageColumn) MarshalJSON() ([]byte, error) {
	if c == nil {
		return []byte("null"), nil
	}
	b := append(make([]byte, 0, 4*len(c)+2), '[')
	for i := 0; i < len(c); {
		if i > 0 {
			b = append(b, ',')
		}
		run := 1
		for len(c) >= inRuns && i+run < len(c) && c[i+run] == c[i] {
			run++
		}
		if run < leastRun {
			run = 1
			b = appendFigure(b, c[i])
		} else {
			b = strconv.AppendInt(append(b, '"'), int64(run), 10)
			b = append(appendFigure(append(b, '*'), c[i]), '"')
		}
		i += run
	}
	return append(b, ']'), nil
}

// A column of inRuns numbers or more is written in runs: "n*x" stands for n times x where that are leastRun of them or more.
const inRuns, leastRun = 256, 4

func appendFigure(b []byte, n int64) []byte {
	if n == noFigure {
		return append(b, "null"...)
	}
	return strconv.AppendInt(b, n, 10)
}

// texts gives every different text of the page a number. The empty text is 0.
type texts struct {
	list    []string
	numbers map[string]int64
	longest int
}

func newTexts(longest int) *texts {
	return &texts{list: []string{""}, numbers: map[string]int64{"": 0}, longest: longest}
}

func (t *texts) number(text string) int64 { return t.upTo(text, t.longest) }

// whole is number of a text whose end counts as much as its beginning, such as what is to hang with its conditions.
func (t *texts) whole(text string) int64 { return t.upTo(text, wholeTexts*t.longest) }

// wholeTexts is how many times as long as others a text is that is to be read to its end.
const wholeTexts = 8

func (t *texts) upTo(text string, longest int) int64 {
	if !isPlain(text) || len(text) > longest {
		text = cutText(text, longest)
	}
	if n, ok := t.numbers[text]; ok {
		return n
	}
	n := int64(len(t.list))
	t.list = append(t.list, text)
	t.numbers[text] = n
	return n
}
