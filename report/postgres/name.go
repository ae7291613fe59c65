package postgres

import (
	"crypto/sha256"
	"fmt"
	"strings"
)

// longestName is the longest name that the server keeps, in bytes.
const longestName = 63

// quoted is a name as a statement has it.
func quoted(name string) string {
	return `"` + strings.ReplaceAll(strings.ReplaceAll(name, "\x00", ""), `"`, `""`) + `"`
}

// columnNames are the names of the columns, none longer than the server keeps and no two the same. One that is cut ends in what comes of the whole, so that
// it is of the same column in each run.
func columnNames(columns []Column) (names []string) {
	taken := map[string]bool{runColumn: true, writtenColumn: true, geometryColumn: true}
	for _, name := range [...]string{"ctid", "xmin", "xmax", "cmin", "cmax", "tableoid"} { // of the server; PostgreSQL 15 documentation, "System Columns"
		taken[name] = true
	}
	for _, c := range columns {
		name := ending(c.Name, "")
		if name != c.Name {
			name = ending(c.Name, fmt.Sprintf(" %x", sha256.Sum256([]byte(c.Name)))[:9])
		}
		for n := 2; taken[name] || name == ""; n++ {
			name = ending(c.Name, fmt.Sprintf(" %d", n))
		}
		taken[name] = true
		names = append(names, name)
	}
	return names
}

// ending is a name with an end, cut before it where it is longer than the server keeps.
func ending(name, end string) string {
	if most := longestName - len(end); len(name) > most {
		name = strings.ToValidUTF8(name[:most], "")
	}
	return name + end
}

// literal is a text as a statement has it.
func literal(text string) string {
	return "'" + strings.ReplaceAll(strings.ReplaceAll(text, "\x00", ""), "'", "''") + "'"
}
