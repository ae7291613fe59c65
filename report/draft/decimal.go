package draft

import (
	"fmt"

	"dryarc/audit/read"
)

// decimal writes the sign before the decimals of a table where numbers in it need it said: what the table shows for certain, else a
// question. It tells whether they do.
func decimal(to *page, depth int, numbers read.NumbersLook) bool {
	switch {
	case numbers.Loose == "":
		return false
	case numbers.Commas:
		to.add(depth, "decimal: comma", fmt.Sprintf("other numbers of the table have decimal commas or points between thousands, so that %s is read by that", numbers.Loose))
	default:
		to.ask(depth, "decimal: comma", fmt.Sprintf("or point? %s may be read in two ways", numbers.Loose))
	}
	return true
}
