package report

import (
	"dryarc/audit"
	"dryarc/audit/remedy"
)

// scopeStop is a limit that no remedy gets past on one line, or what cannot be judged of remedies at structures where no limit stops any.
type scopeStop struct {
	line, limit, example string
	couplings            []string // of what is too long: those of the units that were sought alone
	notKnown             bool     // it is no limit
	structures           []string
	km, percent          float64
}

// tooLongLimit is the longest string of a line as a limit, by the name of the check that holds what hangs against it: whether the search or the check
// stops a remedy there, it is the same limit.
const tooLongLimit = "string-too-long"

// isNoLimit tells whether what stopped a remedy is none of its limits: what is not known, or a gap of the register, which an entry mends.
func isNoLimit(r *audit.Result, stop *remedy.Stop) bool { return stop.Unjudged || isGap(r, stop) }

// isGap tells whether it is a gap of the register that stopped a remedy.
func isGap(r *audit.Result, stop *remedy.Stop) bool {
	return stop.Check >= 0 && r.Checks[stop.Check].Of == audit.OfPlace
}

// limitOf names what stopped a remedy: a check, whose limit it is, or what of the nearest cannot be judged, which is no limit.
func limitOf(r *audit.Result, stop *remedy.Stop) string {
	switch {
	case stop.Lacks != "":
		return stop.Lacks
	case isGap(r, stop):
		return r.Checks[stop.Check].ID + ", look first"
	case stop.Unjudged && stop.Check >= 0:
		return r.Checks[stop.Check].ID + " cannot be judged"
	case stop.Unjudged:
		return "length or coupling not known"
	case stop.TooLong:
		return tooLongLimit
	case stop.Check < 0:
		return "nothing to choose from"
	}
	return r.Checks[stop.Check].ID
}
