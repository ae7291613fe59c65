package remedy

import (
	"maps"
	"slices"

	"dryarc/audit"
)

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
				before := p.Assemblies.At(row.repeat)
				after := row.like(c, &before)
				if !inPlace {
					after = asDone(c, &before, after, row.row.Anew)
				}
				c.Assemblies.Set(row.repeat, after)
			}
			if !row.second {
				dropped[row.repeat] = true
			}
		}
		for _, t := range jobs[i].rows {
			row := rowIn(c, &t)
			if t.At >= 0 {
				before := p.Assemblies.At(t.At)
				if t.Anew || row.Defective != before.Defective {
					delete(c.Observed, uint32(t.At)) // it was of units that are gone
				}
				if !inPlace {
					row = asDone(c, &before, row, t.Anew)
					if p.Observed[uint32(t.At)] != nil {
						dateWork(c, &row, &before, t.Anew)
					}
				}
				c.Assemblies.Set(t.At, row)
				continue
			}
			row.Phase = c.Symbols.Number(row.Phases.String())
			c.Assemblies.Append(row)
			c.RowsRead++
		}
	}
	if len(dropped) == 0 || inPlace {
		return c
	}
	c.RowsRead -= len(dropped)
	c.Observed = movedUp(c.Observed, dropped)
	c.Assemblies.Delete(func(i int) bool { return dropped[i] })
	return c
}

// movedUp is what was observed of rows, by their numbers once some are left out; nil where nothing was asked.
func movedUp(observed map[uint32]*audit.Observation, dropped map[int]bool) map[uint32]*audit.Observation {
	if observed == nil {
		return nil
	}
	gone := slices.Sorted(maps.Keys(dropped))
	moved := make(map[uint32]*audit.Observation, len(observed))
	for row, o := range observed {
		if before, is := slices.BinarySearch(gone, int(row)); !is {
			moved[row-uint32(before)] = o
		}
	}
	return moved
}

// dateWork dates a row that is changed by the day of the audit, so that what was inspected before is of what hung there then.
func dateWork(p *audit.Project, row, before *audit.AssemblyRow, anew bool) {
	switch {
	case p.AsOf == 0 || p.AsOf == audit.NoDay:
	case anew:
		row.Installed = p.AsOf
	case row.Defective != before.Defective, row.Strings != before.Strings, row.UnitsPerString != before.UnitsPerString:
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
