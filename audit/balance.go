package audit

import "cmp"

// Balances account for the rows or features of each table once every row has found its place, or none.
func (n *Network) Balances() []Balance {
	p := n.Project
	balances := make([]Balance, len(p.Tables))
	for i := range p.Tables {
		balances[i] = p.Tables[i].Balance
	}
	placed := make([]bool, p.Assemblies.Len())
	for _, row := range n.withSeconds(n.placed) {
		placed[row] = true
	}
	for row := 0; row < p.Assemblies.Len(); {
		source, used := p.Assemblies.At(row).Source, placed[row]
		for row++; p.RowsMade > 0 && row < p.Assemblies.Len() && p.Assemblies.At(row).Source == source; row++ {
			used = used || placed[row]
		}
		balances[source.Table].count(used)
	}
	used := map[Source]bool{}
	for i := range n.Lines {
		used[n.Lines[i].Row.Source] = true
	}
	for i := range p.Lines {
		balances[p.Lines[i].Source.Table].count(used[p.Lines[i].Source])
	}
	for i := range n.Inspected {
		balances[p.Inspections.Rows[i].Source.Table].inspected(n.Inspected[i].State)
	}
	return balances
}

// inspected adds an inspection, which is used where it is joined; of a layer all that were read have been taken for used.
func (b *Balance) inspected(state InspectionState) {
	if b.Used+b.LeftOut+b.PassedOver == b.Read {
		b.Used--
	}
	b.count(state.IsJoined())
}

// count adds a row.
func (b *Balance) count(used bool) {
	if used {
		b.Used++
	} else {
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
		rows[n.Project.Assemblies.At(int(row)).Source] = true
	}
	return len(rows)
}

// Filled counts the tables of a file that hold a row which is used or passed over, by file and kind; layers have the kind features.
func (n *Network) Filled() map[string]map[string]int {
	filled := map[string]map[string]int{}
	for i, balance := range n.Balances() {
		table := &n.Project.Tables[i]
		if balance.Used+balance.PassedOver == 0 {
			continue
		}
		if filled[table.File] == nil {
			filled[table.File] = map[string]int{}
		}
		filled[table.File][cmp.Or(table.Kind, "features")]++
	}
	return filled
}
