package audit

// RowKey names a row of a query by its line and structure; either may be empty.
func RowKey(line, structure string) string {
	switch {
	case structure == "" && line == "":
		return ""
	case structure == "":
		return "line " + line
	case line == "":
		return "structure " + structure
	}
	return "line " + line + ", structure " + structure
}

// keyFaults gives the faults of rows of queries that have no key yet theirs.
func (p *Project) keyFaults() {
	wanted := map[Source][]int{}
	for i := range p.Faults.list {
		if f := &p.Faults.list[i]; f.Key == "" && f.At.Row > 0 && p.Tables[f.At.Table].OfQuery {
			wanted[f.At] = append(wanted[f.At], i)
		}
	}
	if len(wanted) == 0 {
		return
	}
	give := func(at Source, line Symbol, number TextAt) {
		for _, i := range wanted[at] {
			p.Faults.list[i].Key = RowKey(p.Symbols.Text(line), p.Texts.Get(number))
		}
	}
	for _, row := range p.Structures.All() {
		give(row.Source, row.Line, row.Number)
	}
	for _, row := range p.Assemblies.All() {
		give(row.Source, row.Line, row.Number)
	}
	for i := range p.Lines {
		give(p.Lines[i].Source, p.Lines[i].Line, 0)
	}
}
