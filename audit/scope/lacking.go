package scope

import "dryarc/audit"

// noteLacking counts a verdict that the project asks for and that could not be judged. Structures of different lines may be noted at the
// same time, since no two lines share one.
func (l *Look) noteLacking(at audit.Location, v audit.Verdict) {
	if at.Structure >= 0 && v.Outcome == audit.NotAssessed && v.Reason.AskedBy() == "" {
		l.Lacking[at.Structure]++
	}
}
