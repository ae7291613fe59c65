package remedy

import (
	"cmp"
	"slices"

	"dryarc/audit"
)

// asDone is a row of the register with the work done. One on which nothing changes stays as it is written, and units that stay keep their
// dates and remarks. What hangs anew has the day that it was judged by, which is none but where a factor asks for one, and a remark on what hung before says so.
func asDone(p *audit.Project, before *audit.AssemblyRow, row audit.AssemblyRow, anew bool) audit.AssemblyRow {
	if anew {
		row.Inspected, row.Remarks = audit.NoDay, ofWhatHung(p, row.Remarks)
		return row
	}
	same := row
	if before.Defective <= 0 && same.Defective <= 0 {
		same.Defective = before.Defective
	}
	if cmp.Or(before.Arrangement, audit.Single) == cmp.Or(same.Arrangement, audit.Single) {
		same.Arrangement = before.Arrangement
	}
	if max(before.Strings, 1) == max(same.Strings, 1) {
		same.Strings = before.Strings
	}
	if same.Equals(*before) {
		return *before
	}
	return row
}

// leavesDefective tells whether strings of an assembly keep units of which any may be a defective one: where it is not known how many are, or
// which of unlike ones, the fewest are changed for certain. What is taken away are the defective ones first, of every string.
func (b *bench) leavesDefective(old, to *audit.Assembly) bool {
	return slices.ContainsFunc(b.defectsLeft(old, to), func(d audit.Defects) bool {
		_, more := b.defectsByType(old, d)
		return len(more) > 0
	})
}

// leaveDefective makes it not known how many units are defective where an answer leaves that open, however it was judged.
func (b *bench) leaveDefective(q *ask, a *answer) {
	if q.newcomer || q.old == nil {
		return
	}
	for i := range a.rows {
		to := b.site.Assembly(&a.rows[i])
		if stays := a.gone == nil || !a.gone[i]; stays && to.Makeup != nil && b.leavesDefective(&q.old[i], &to) {
			a.rows[i].Row.Defective = -1
		}
	}
}

// ofWhatHung is a remark on what is replaced; none where there is no room for it.
func ofWhatHung(p *audit.Project, remarks audit.TextAt) audit.TextAt {
	remark := p.Texts.Get(remarks)
	if remark == "" {
		return 0
	}
	at, err := p.Texts.Add("replaced; of what hung before: " + remark)
	if err != nil {
		return 0
	}
	return at
}
