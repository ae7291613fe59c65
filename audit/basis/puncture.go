package basis

// PunctureLimit is the largest share of its puncture voltage at which an insulator may flash over dry. California
// General Order 64-A rule 55.3 and General Order 95 (published); NESC 272 the same (value from memory, H). A default the
// user can override: a design for contamination may use 0.80 (NESC, value from memory).
const PunctureLimit = 0.75

// PunctureRatio returns the share of its puncture voltage at which an insulator flashes over dry.
//
//	dry flashover / puncture voltage
//
// Both are power frequency in kV. It applies to kinds that can puncture, see Kind.CanPuncture. An unknown voltage gives
// NaN.
//
// Source: California General Order 64-A rule 55.3 (published).
func PunctureRatio(dryKV, punctureKV float64) float64 { return dryKV / punctureKV }
