package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"dryarc/audit/database/databasetest"

	"github.com/stretchr/testify/require"
)

// The script of the README that loads the demo into PostGIS and runs two nights there does what is said of it: what the first finds is what an audit of
// the files finds, and the morning shows what became of it by day.
func TestREADMEFromPostGISToPostGIS(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	require.NoError(t, err)
	scripts := regexp.MustCompile("(?s)```bash\n(.*?)```").FindAllStringSubmatch(string(text), -1)
	require.Len(t, scripts, 1)
	bash := tool(t, "bash")
	tool(t, "ogr2ogr")
	tool(t, "psql")
	server := databasetest.Start(t)
	demo, err := filepath.Abs(filepath.Join("..", "..", "testdata"))
	require.NoError(t, err)
	binary, err := filepath.Abs(os.Args[0])
	require.NoError(t, err)
	folder, programs := t.TempDir(), t.TempDir()
	require.NoError(t, os.Symlink(demo, filepath.Join(folder, "testdata")))
	require.NoError(t, os.WriteFile(filepath.Join(programs, "dryarc"), []byte(fmt.Sprintf("#!/bin/sh\n%s=1 exec '%s' \"$@\"\n", asProgram, binary)), 0o755))
	t.Setenv("PATH", programs+string(os.PathListSeparator)+os.Getenv("PATH"))
	script := exec.Command(bash, "-c", scripts[0][1])
	script.Dir = folder
	said, err := script.CombinedOutput()
	require.NoError(t, err, string(said))
	require.Regexp(t, `SD-132 \| T-005 +\| shortfall \| (new|worse)`, string(said))
	require.Regexp(t, `SD-132 \| T-003 +\| creepage \| meets`, string(said))
	require.Regexp(t, `2026-03-01 \|[^\n]*\n 2026-03-02 \|`, string(said))

	views := regexp.MustCompile("(?s)```sql\n(.*?)```").FindAllStringSubmatch(string(text), -1)
	require.Len(t, views, 1)
	server.Run(t, views[0][1])
	var days string
	require.NoError(t, server.Connect(t).QueryRow(t.Context(), `select string_agg(distinct as_of::text, ' ') from audit.latest join audit.runs using (run)`).Scan(&days))
	require.Equal(t, "2026-03-02", days)

	// News of a run of chosen lines is told in the morning after it, and in that after the next whole one.
	_, morning, found := strings.Cut(scripts[0][1], "# In the morning")
	require.True(t, found)
	server.Run(t, `update gis.assemblies set "units per string" = '6' where line = 'SD-132' and structure = 'T-005' and circuit = 2 and phase = 'A'`)
	for _, night := range []string{"--lines SD-132 --as-of 2026-03-03", "--as-of 2026-03-04"} {
		script = exec.Command(bash, "-c", "set -eu; PGUSER=dryarc dryarc audit --quiet "+night+" audit.yaml\n# "+morning)
		script.Dir = filepath.Join(folder, "out", "night")
		said, err = script.CombinedOutput()
		require.NoError(t, err, string(said))
		require.Regexp(t, `SD-132 \| T-005 +\| shortfall \| new +\| 6 × U120BP withstands`, string(said), night)
		require.NotContains(t, string(said), "not in this run")
	}

	var first []string
	require.NoError(t, server.Connect(t).QueryRow(t.Context(), `select array_agg(id) from audit.exceptions join audit.runs using (run) where as_of = '2026-03-01'`).Scan(&first))
	require.ElementsMatch(t, idsOfAll(auditInto(t, demoProject, filepath.Join(folder, "files"))), first)
}
