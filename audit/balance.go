package audit

// Balance accounts for the rows or features of a table once every row has found its place, or none.
func (n *Network) Balance(table uint16) Balance {
	p := n.Project
	b := p.Tables[table].Balance
	placed := make([]bool, len(p.Assemblies))
	for _, row := range n.placed {
		placed[row] = true
	}
	for row := 0; row < len(p.Assemblies); {
		source, used := p.Assemblies[row].Source, placed[row]
		for row++; p.RowsMade > 0 && row < len(p.Assemblies) && p.Assemblies[row].Source == source; row++ {
			used = used || placed[row]
		}
		b.count(source.Table == table, used)
	}
	used := map[Source]bool{}
	for i := range n.Lines {
		used[n.Lines[i].Row.Source] = true
	}
	for i := range p.Lines {
		b.count(p.Lines[i].Source.Table == table, used[p.Lines[i].Source])
	}
	return b
}

// count adds a row of the table.
func (b *Balance) count(ofTable, used bool) {
	switch {
	case ofTable && used:
		b.Used++
	case ofTable:
		b.LeftOut++
	}
}

// rowsOf counts the rows of the register that assemblies come from: a row may make one for each phase.
func (n *Network) rowsOf(assemblies []uint32) int {
	if n.Project.RowsMade == 0 {
		return len(assemblies)
	}
	rows := map[Source]bool{}
	for _, row := range assemblies {
		rows[n.Project.Assemblies[row].Source] = true
	}
	return len(rows)
}
