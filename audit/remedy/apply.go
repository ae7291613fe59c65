package remedy

import "dryarc/audit"

// Apply returns a copy of a project with the remedies of jobs in its rows, to be arranged and audited like any other. The
// jobs are those of an audit of this very project. Rows that repeat changed ones are left out of it; the second of a
// pair of sets is changed like the first.
func Apply(p *audit.Project, jobs []Job) *audit.Project { return apply(p, jobs, false) }

// apply is Apply; where rows are to keep their places, those that repeat changed ones are made like them instead of being left out.
func apply(p *audit.Project, jobs []Job, inPlace bool) *audit.Project {
	c := p.Clone()
	c.Makeups, _ = withMakeups(c)
	dropped := map[int]bool{}
	for i := range jobs {
		for _, row := range jobs[i].dropped {
			if row.second || inPlace {
				c.Assemblies[row.repeat] = row.like(c, &p.Assemblies[row.repeat])
				if !inPlace {
					c.Assemblies[row.repeat] = asDone(c, &p.Assemblies[row.repeat], c.Assemblies[row.repeat], row.row.Anew)
				}
			}
			if !row.second {
				dropped[row.repeat] = true
			}
		}
		for _, t := range jobs[i].rows {
			if t.At >= 0 {
				c.Assemblies[t.At] = rowIn(c, &t)
				if c.Assemblies[t.At].Defective != p.Assemblies[t.At].Defective {
					delete(c.Observed, uint32(t.At)) // it was of units that are gone
				}
				if !inPlace {
					c.Assemblies[t.At] = asDone(c, &p.Assemblies[t.At], c.Assemblies[t.At], t.Anew)
					if p.Observed[uint32(t.At)] != nil {
						dateWork(c, &c.Assemblies[t.At], &p.Assemblies[t.At], t.Anew)
					}
				}
				continue
			}
			row := rowIn(c, &t)
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
			delete(c.Observed, uint32(i))
			continue
		}
		if o := c.Observed[uint32(i)]; o != nil && len(kept) < i {
			delete(c.Observed, uint32(i))
			c.Observed[uint32(len(kept))] = o
		}
		kept = append(kept, row)
	}
	c.Assemblies = kept
	return c
}

// dateWork dates a row that is changed by the day of the audit, so that what was inspected before is of what hung there then.
func dateWork(p *audit.Project, row, before *audit.AssemblyRow, anew bool) {
	switch {
	case p.AsOf == 0 || p.AsOf == audit.NoDay:
	case anew:
		row.Installed = p.AsOf
	case row.Defective != before.Defective:
		row.Inspected = p.AsOf
	}
}

// rowIn is a row on trial as a row of a project, which takes the figures that it states.
func rowIn(p *audit.Project, t *audit.TrialRow) audit.AssemblyRow {
	row := t.Row
	if t.Restated {
		row.Direct = p.AddFigures(t.Figures)
	}
	if row.Defective < 0 { // a blank cell would say that none is
		row.Faulty = row.Faulty.With(audit.CellDefective)
	}
	return row
}

// like is the repeating row made like the first, its own in what no work changes.
func (d *repeated) like(p *audit.Project, own *audit.AssemblyRow) audit.AssemblyRow {
	row := rowIn(p, &d.row)
	row.Source, row.Remarks = own.Source, own.Remarks
	if !d.row.Anew { // it still hangs
		row.Installed, row.Inspected = own.Installed, own.Inspected
	}
	return row
}
