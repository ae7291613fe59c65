package remedy

import (
	"cmp"

	"dryarc/audit"
)

// asDone is a row of the register with the work done. One on which nothing changes stays as it is written. What hangs anew has no dates
// yet, and a remark on what hung before says so.
func asDone(p *audit.Project, before *audit.AssemblyRow, row audit.AssemblyRow) audit.AssemblyRow {
	same := row
	same.Installed, same.Inspected = before.Installed, before.Inspected
	if before.Defective <= 0 && same.Defective <= 0 {
		same.Defective = before.Defective
	}
	if cmp.Or(before.Arrangement, audit.Single) == cmp.Or(same.Arrangement, audit.Single) {
		same.Arrangement = before.Arrangement
	}
	if max(before.Strings, 1) == max(same.Strings, 1) {
		same.Strings = before.Strings
	}
	if same == *before {
		return *before
	}
	row.Installed, row.Inspected = audit.NoDay, audit.NoDay
	if remark := p.Texts.Get(row.Remarks); remark != "" {
		at, err := p.Texts.Add("replaced; of what hung before: " + remark)
		if err != nil {
			at = 0 // no room for it
		}
		row.Remarks = at
	}
	return row
}
