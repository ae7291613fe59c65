package report

import (
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/audit/remedy"
)

// priceText is a price as people read it everywhere: in hundredths, its digits in threes. Cells of sheets hold the figure and are shown in
// hundredths too; the files of values have it as it is.
func priceText(price float64) string {
	hundredths := math.Round(math.Abs(price) * 100)
	if hundredths >= 1<<53 {
		return fmt.Sprintf("%.2f", price)
	}
	sign := ""
	if price < 0 && hundredths > 0 {
		sign = "-"
	}
	return fmt.Sprintf("%s%s.%02d", sign, grouped(int(hundredths)/100), int(hundredths)%100)
}

// priceRange is a price, from how much to how much where units may not be needed that it counts; empty where it is not known.
func priceRange(price, less float64) string {
	switch {
	case unknown(price):
		return ""
	case unknown(less) || less <= 0:
		return priceText(price)
	}
	return priceText(price-less) + " to " + priceText(price)
}

// priceCell is the same as a cell: the figure, or from how much to how much in words.
func priceCell(price, less float64) any {
	if unknown(price) || unknown(less) || less <= 0 {
		return price
	}
	return priceRange(price, less)
}

// wholePriceCell is the same where prices are shown whole.
func wholePriceCell(price, less float64) any {
	if unknown(price) || unknown(less) || less <= 0 {
		return price
	}
	return spanInWords(rounded(price), rounded(less))
}

// priceOf is the price of units, NaN where one has none.
func priceOf(r *audit.Result, counts []remedy.Count) (price float64) {
	for _, c := range counts {
		each := math.NaN()
		for i := range r.Project.Units {
			if u := &r.Project.Units[i]; u.Name == c.Unit {
				each = u.Price
			}
		}
		price += each * float64(c.Count)
	}
	return price
}
