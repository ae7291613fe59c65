package report

import (
	"bytes"
	"context"
	"math"
	"strings"
	"testing"

	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

func TestPricesHaveOneForm(t *testing.T) {
	for price, text := range map[float64]string{0: "0.00", 63: "63.00", 1228.5: "1\u202F228.50", 0.005: "0.01", 2992.499: "2\u202F992.50", -12.5: "-12.50", 1e17: "100000000000000000.00"} {
		require.Equal(t, text, priceText(price))
	}
	require.Equal(t, "not stated", priceInWords(math.NaN()))
	require.Equal(t, priceText(1228.5), priceInWords(1228.5))
	require.Equal(t, "1\u202F228.50 to 1\u202F638.00", priceRange(1638, 409.5))
	require.Equal(t, "1\u202F638.00", priceRange(1638, 0))
	require.Empty(t, priceRange(math.NaN(), 1))
}

// At 5/1 nobody knows how many units of phase R may stay (PLANTED.csv: not-a-number): 52 of U160BL at 31.5 each, or 13 fewer. Wherever that count
// is told, both ends are, and all prices are in hundredths.
func TestARangeIsToldWithBothEnds(t *testing.T) {
	r, jobs := demoJobs(t)
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, &account{jobs: jobs}, generous))
	book, err := excelize.OpenReader(&b)
	require.NoError(t, err)
	shown := func(sheet string) [][]string {
		rows, err := book.GetRows(sheet) // as they are shown, in the formats of the cells
		require.NoError(t, err)
		return rows
	}
	job := rowOf(t, shown(workSheet), "DF-220", "5/1")
	require.Equal(t, "39 to 52 × U160BL", job["Units to fit"])
	require.Equal(t, "1\u202F228.50 to 1\u202F638.00", job["Cost of units"])
	overview := ""
	for _, row := range shown(overviewSheet) {
		overview += strings.Join(row, " ") + "\n"
	}
	require.Regexp(t, `U160BL +82 to 95 2 6 53 2.583\.00 to 2.992\.50`, overview)
	require.Regexp(t, `36 sets of fittings to add; all of it is in Material\. +8.700\.50 to 9.110\.00`, overview)
	units, marked := 0, 0
	for _, row := range shown(materialSheet)[1:] {
		if len(row) > 8 && row[0] == unitItem && row[1] == "U160BL" {
			units++
			require.Equal(t, []string{"95", "31.50", "2,992.50"}, []string{row[3], row[7], row[8]})
			require.Contains(t, row[6], "to fit: 82 to 95, price 2\u202F583.00 to 2\u202F992.50")
		}
		if len(row) > 8 && row[8] != "" {
			marked++
			require.Regexp(t, `\.\d\d$`, row[8])
		}
	}
	require.Equal(t, 2, units)
	require.Greater(t, marked, units)
	for _, w := range workRows(r, jobs, nil) {
		if w.structure == "5/1" {
			require.Equal(t, "1\u202F228.50 to 1\u202F638.00", w.costInWords())
		}
	}
}

// What rests on rows that contradict each other is not counted as if nothing stayed: the price and the sets are those of the rest, and what a
// look may ask for stands apart.
func TestWhatALookMayAskForIsNotCounted(t *testing.T) {
	r, _ := demoJobs(t)
	x := remedy.Remedy{Fit: []remedy.Count{{Unit: "CLR-145", Count: 1}, {Unit: "U160BL", Count: 26}}, Remove: []remedy.Count{{Unit: "U120B", Count: 9}}, Sets: 3, Price: 140 + 26*31.5,
		Changes: []remedy.Change{
			{Fit: []remedy.Count{{Unit: "CLR-145", Count: 1}}, Remove: []remedy.Count{{Unit: "U120B", Count: 9}}, Sets: 1},
			{Fit: []remedy.Count{{Unit: "U160BL", Count: 26}}, Sets: 2, CountUnknown: true, RowsContradict: true}}}
	certain, afterLook := partsOf(r, &x)
	require.Equal(t, part{fit: x.Changes[0].Fit, remove: x.Remove, sets: 1, price: 140, some: true}, certain)
	require.Equal(t, part{fit: x.Changes[1].Fit, sets: 2, price: 26 * 31.5, some: true}, afterLook)

	x.Changes[0].RowsContradict = true
	certain, afterLook = partsOf(r, &x)
	require.Equal(t, part{}, certain)
	require.Equal(t, part{fit: x.Fit, remove: x.Remove, sets: 3, price: x.Price, some: true}, afterLook)
	require.Contains(t, changesInWords(&x)[0], lookWhichRow)

	x.Changes[0].RowsContradict, x.Changes[1].RowsContradict = false, false
	certain, afterLook = partsOf(r, &x)
	require.Equal(t, x.Price, certain.price)
	require.Equal(t, part{}, afterLook)
}
