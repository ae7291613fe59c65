package audit

// Balances account for the rows or features of each table once every row has found its place, or none.
func (n *Network) Balances() []Balance {
	p := n.Project
	balances := make([]Balance, len(p.Tables))
	for i := range p.Tables {
		balances[i] = p.Tables[i].Balance
	}
	placed := make([]bool, len(p.Assemblies))
	for _, row := range n.placed {
		placed[row] = true
	}
	for row := range p.Assemblies {
		balances[p.Assemblies[row].Source.Table].count(placed[row])
	}
	used := map[Source]bool{}
	for i := range n.Lines {
		used[n.Lines[i].Row.Source] = true
	}
	for i := range p.Lines {
		balances[p.Lines[i].Source.Table].count(used[p.Lines[i].Source])
	}
	return balances
}

// count adds a row.
func (b *Balance) count(used bool) {
	if used {
		b.Used++
	} else {
		b.LeftOut++
	}
}
