package remedy

import "dryarc/audit"

// Apply returns a copy of a project with the remedies of jobs in its rows, to be arranged and audited like any other. The
// jobs are those of an audit of this very project. Rows that repeat changed ones are left out of it.
func Apply(p *audit.Project, jobs []Job) *audit.Project { return apply(p, jobs, false) }

// apply is Apply; where rows are to keep their places, those that repeat changed ones are made like them instead of being left out.
func apply(p *audit.Project, jobs []Job, inPlace bool) *audit.Project {
	c := p.Clone()
	c.Makeups, _ = withMakeups(c)
	dropped := map[int]bool{}
	for i := range jobs {
		for _, row := range jobs[i].dropped {
			dropped[row.repeat] = true
			if inPlace {
				source := c.Assemblies[row.repeat].Source
				c.Assemblies[row.repeat] = row.row
				c.Assemblies[row.repeat].Source = source
			}
		}
		for _, t := range jobs[i].rows {
			if t.At >= 0 {
				c.Assemblies[t.At] = t.Row
				if !inPlace {
					c.Assemblies[t.At] = asDone(c, &p.Assemblies[t.At], t.Row)
				}
				continue
			}
			row := t.Row
			row.Phase = c.Symbols.Number(row.Phases.String())
			c.Assemblies = append(c.Assemblies, row)
			c.RowsRead++
		}
	}
	if len(dropped) == 0 || inPlace {
		return c
	}
	kept := c.Assemblies[:0]
	for i, row := range c.Assemblies {
		if dropped[i] {
			c.RowsRead--
			continue
		}
		kept = append(kept, row)
	}
	c.Assemblies = kept
	return c
}
