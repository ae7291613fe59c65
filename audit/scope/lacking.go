package scope

import "dryarc/audit"

// noteLacking counts a verdict that the project asks for and that could not be judged. Structures of different lines may be noted at the
// same time, since no two lines share one.
func (l *Look) noteLacking(at *audit.Location, why audit.Reason) {
	if at.Structure >= 0 && why.AskedBy() == "" {
		l.Lacking[at.Structure]++
	}
}
