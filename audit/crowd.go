package audit

// crowded is how many rows at one structure are counted once and not for each of them anew. No structure has so many, but a
// column that is not of structures may be read as one.
const crowded = 64

// crowd is what the rows of a structure with many are made of, by duty.
type crowd [Guy + 1]dutyTally

// dutyTally is what some rows are made of, so that it can be told of all of them but one.
type dutyTally struct {
	rows    int
	first   uint32 // the first row of which it is known, with its key
	key     makeupKey
	unlike  int       // rows of another key than the first
	second  makeupKey // the key of the row after the first
	like    int       // rows but the first that have the key of the second
	unknown []unknownRow
}

// unknownRow is a row of which nobody knows what it is made of.
type unknownRow struct {
	row    uint32
	faulty bool
}

// countCrowds counts what the rows are made of at the structures that have many.
func (n *Network) countCrowds() {
	n.crowds = map[int]*crowd{}
	for i := range n.structures {
		rows := n.AssemblyRows(i)
		if len(rows) <= crowded {
			continue
		}
		var all crowd
		for _, row := range rows {
			r := n.Project.Assemblies.saidOf(row)
			key, known := n.keyOf(r)
			all[r.Duty].add(row, key, known, r.Faulty&makeupCells != 0)
		}
		n.crowds[i] = &all
	}
}

func (t *dutyTally) add(row uint32, key makeupKey, known, faulty bool) {
	if !known {
		if len(t.unknown) < 2 { // one of them, and the next where that one is left out
			t.unknown = append(t.unknown, unknownRow{row, faulty})
		}
		return
	}
	t.rows++
	if t.rows == 1 {
		t.first, t.key = row, key
		return
	}
	if t.rows == 2 {
		t.second = key
	}
	if key == t.second {
		t.like++
	}
	if key != t.key {
		t.unlike++
	}
}

// commonIn is the string that rows share, but for the row except, which is one of them or noRow.
func (n *Network) commonIn(t *dutyTally, except uint32) common {
	for _, u := range t.unknown {
		if u.row != except {
			return common{faulty: u.faulty}
		}
	}
	c := common{key: t.key, rows: t.rows, uniform: t.unlike == 0}
	if except != noRow {
		switch key, known := n.keyOf(n.Project.Assemblies.saidOf(except)); {
		case !known: // so that it is not counted
		case except == t.first && t.rows > 0:
			c = common{key: t.second, rows: t.rows - 1, uniform: t.like == t.rows-1}
		default:
			c.rows--
			c.uniform = c.uniform || key != t.key && t.unlike == 1
		}
	}
	if c.rows == 0 {
		return common{}
	}
	return c
}
