package read

import (
	"strings"

	"dryarc/audit"

	"github.com/goccy/go-yaml/ast"
)

const writeHint = `write where the tables of a run go: {database: "", schema: audit, keep: 1}`

// mostKeptRuns is how many runs a database may keep (a choice of this program).
const mostKeptRuns = 1000

// readWrite reads the section write.
func (f *projectFile) readWrite(name string, node ast.Node) *ProjectFileError {
	to := audit.DatabaseOutput{Schema: "audit", Keep: 1}
	var settings *string
	problem := section{
		{"database", databaseKey(&settings)},
		{"schema", func(name string, node ast.Node) *ProjectFileError {
			const longest = 63 // bytes of a name that the server keeps
			text, ok := asWritten(node)
			if !ok || text == "" || len(text) > longest || strings.HasPrefix(text, "pg_") || text == "information_schema" {
				return wrong(node, writeHint, "%s %s is no name of a schema, expected one of up to %d bytes that is none of the server's own", name, written(node), longest)
			}
			to.Schema = text
			return nil
		}},
		{"keep", wholeKey(&to.Keep, 1, mostKeptRuns)},
	}.read(name, node)
	switch {
	case problem != nil:
		return problem
	case settings == nil:
		return wrong(node, databaseHint, "%s names no database", name)
	}
	to.Settings = *settings
	f.write = &to
	return nil
}
