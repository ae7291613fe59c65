package remedy

import "dryarc/audit"

// ApplyInPlace is what the proof of jobs audits: the register with all of them, every row in its place.
func ApplyInPlace(p *audit.Project, jobs []Job) *audit.Project { return apply(p, jobs, true) }
