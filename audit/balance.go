package audit

// Balance accounts for the rows or features of a table once every row has found its place, or none.
func (n *Network) Balance(table uint16) Balance {
	p := n.Project
	b := p.Tables[table].Balance
	placed := make([]bool, len(p.Assemblies))
	for _, row := range n.placed {
		placed[row] = true
	}
	for row := range p.Assemblies {
		b.count(p.Assemblies[row].Source.Table == table, placed[row])
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
