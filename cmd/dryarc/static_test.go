//go:build linux

package main

import (
	"debug/elf"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The program that the README builds needs nothing of the system it runs on: no interpreter loads libraries into it.
func TestProgramIsStatic(t *testing.T) {
	t.Parallel()
	root := filepath.Join("..", "..")
	readme, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	command := regexp.MustCompile(`(?m)^(\S+=\S+) go build -o dryarc (\./cmd/dryarc)$`).FindStringSubmatch(string(readme))
	require.NotNil(t, command, "the README says how the program is built")
	binary := filepath.Join(t.TempDir(), "dryarc")
	build := exec.Command("go", "build", "-o", binary, command[2])
	build.Dir, build.Env = root, append(os.Environ(), command[1])
	said, err := build.CombinedOutput()
	require.NoError(t, err, string(said))
	file, err := elf.Open(binary)
	require.NoError(t, err)
	defer file.Close()
	for _, part := range file.Progs {
		require.NotEqual(t, elf.PT_INTERP, part.Type, "the program is linked dynamically")
	}
	libraries, err := file.ImportedLibraries()
	require.NoError(t, err)
	require.Empty(t, strings.Join(libraries, " "))
}
