package report

import "math"

// The data of the page is columns of whole numbers, which is compact. An unknown number is null.

// pageColumn is a column of whole numbers.
type pageColumn []*int64

func (c *pageColumn) add(n int64) { *c = append(*c, &n) }

// addFigure adds a figure in steps of a unit, null where it is unknown.
func (c *pageColumn) addFigure(x, unit float64) {
	if unknown(x) {
		*c = append(*c, nil)
		return
	}
	c.add(int64(math.Round(x / unit)))
}

// differences returns the column with each known number less the known one before it.
func (c pageColumn) differences() pageColumn {
	var out pageColumn
	last := int64(0)
	for _, n := range c {
		if n == nil {
			out = append(out, nil)
			continue
		}
		out.add(*n - last)
		last = *n
	}
	return out
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

func (t *texts) number(text string) int64 {
	text = cutText(text, t.longest)
	if n, ok := t.numbers[text]; ok {
		return n
	}
	n := int64(len(t.list))
	t.list = append(t.list, text)
	t.numbers[text] = n
	return n
}
