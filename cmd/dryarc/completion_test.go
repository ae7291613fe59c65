package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/report"

	"github.com/stretchr/testify/require"
)

// printed is what a command prints.
func printed(t *testing.T, args ...string) string {
	t.Helper()
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(t.Context(), args, &stdout, &stderr), stderr.String())
	return stdout.String()
}

// Every flag and argument that takes something is known: as a file, a folder, one of some words, or as something else.
func TestWhatFlagsTakeIsKnown(t *testing.T) {
	records, err := commandRecords()
	require.NoError(t, err)
	known, used := takes(), map[string]bool{}
	for i := range records {
		c := &records[i]
		for _, v := range append(c.flags, c.arguments...) {
			if v.placeholder == "" {
				continue
			}
			name := v.name
			if _, own := known[c.name+" "+name]; own {
				name = c.name + " " + name
			}
			require.Contains(t, known, name, c.name)
			used[name] = true
		}
	}
	require.Len(t, used, len(known), "nothing takes some of what is listed")
}

// shellScripts writes the script of a shell into a folder of its own, in which lie a file and a folder to complete.
func shellScript(t *testing.T, shell string) (folder, script string) {
	t.Helper()
	folder = t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "my project.yaml"), nil, 0o666))
	require.NoError(t, os.Mkdir(filepath.Join(folder, "results"), 0o777))
	script = filepath.Join(folder, "."+shell)
	require.NoError(t, os.WriteFile(script, []byte(printed(t, "completion", shell)), 0o666))
	return folder, script
}

func inShell(t *testing.T, folder string, args ...string) []string {
	t.Helper()
	command := exec.Command(args[0], args[1:]...)
	command.Dir = folder
	out, err := command.CombinedOutput()
	require.NoError(t, err, string(out))
	return strings.Split(strings.TrimSpace(string(out)), "\n")
}

func TestBashCompletes(t *testing.T) {
	bash := tool(t, "bash")
	folder, script := shellScript(t, "bash")
	completed := func(words ...string) []string {
		quoted := make([]string, len(words))
		for i, word := range words {
			quoted[i] = fmt.Sprintf("%q", word)
		}
		return inShell(t, folder, bash, "--norc", "-c", fmt.Sprintf("set -u; . %q; COMP_WORDS=(%s); COMP_CWORD=%d; _dryarc; printf '%%s\\n' \"${COMPREPLY[@]-}\"",
			script, strings.Join(quoted, " "), len(words)-1))
	}
	require.Equal(t, []string{"checks", "collect", "catalogue", "completion"}, completed("dryarc", "c"))
	require.Equal(t, []string{"--fail-on", "--format"}, completed("dryarc", "audit", "x.yaml", "--f"))
	require.Equal(t, []string{"results"}, completed("dryarc", "audit", "x.yaml", "--out", ""))
	require.Equal(t, []string{"results"}, completed("dryarc", "audit", "x.yaml", "--out", "=", "re"))
	require.Equal(t, []string{"results"}, completed("dryarc", "audit", "x.yaml", "--out", "="))
	require.Equal(t, []string{"my project.yaml"}, completed("dryarc", "audit", "my"), "a blank parts no name")
	for _, name := range []string{"p[1].yaml", "p1.yaml"} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), nil, 0o666))
	}
	require.Equal(t, []string{"p[1].yaml"}, completed("dryarc", "audit", "p["), "a name is no pattern")
	require.Equal(t, []string{"csv,gpkg", "csv,geoparquet", "csv,kml"}, append(completed("dryarc", "audit", "--also", "csv,g"), completed("dryarc", "audit", "--also", "csv,k")...))
	require.Equal(t, []string{"text", "json"}, completed("dryarc", "audit", "--log", ""))
	require.Equal(t, []string{"creepage"}, completed("dryarc", "checks", "cree"))
	require.Equal(t, []string{"register"}, completed("dryarc", "scope", "--also", "re"))
	require.Equal(t, shellNames(), completed("dryarc", "completion", ""))
	require.Equal(t, []string{""}, completed("dryarc", "audit", "x.yaml", "--as-of", ""))
}

func TestZshReadsItsScript(t *testing.T) {
	t.Parallel()
	zsh := tool(t, "zsh")
	folder, script := shellScript(t, "zsh")
	require.Equal(t, []string{"_dryarc"}, inShell(t, folder, zsh, "-f", "-c", fmt.Sprintf("autoload -Uz compinit && compinit -D -u; . %q; print $_comps[dryarc]", script)))
	require.Equal(t, []string{""}, inShell(t, folder, zsh, "-f", "-n", script), "no error of syntax")
	// What it completes is asked of a shell on a terminal of its own.
	typed := func(line string) string {
		return strings.Join(inShell(t, folder, zsh, "-f", "-c", fmt.Sprintf(`zmodload zsh/zpty; zpty shell 'zsh -f -i'
zpty -w shell "PS1=; autoload -Uz compinit && compinit -D -u; . %s; zstyle ':completion:*' list-colors ''; print ready"
zpty -r shell seen '*ready*ready*'
zpty -w -n shell $'%s\t\t'
sleep 2; zpty -r -t shell seen; print -r -- "$seen"; while zpty -r -t shell seen; do print -r -- "$seen"; done; zpty -d shell`, script, line)), "\n")
	}
	require.Contains(t, typed("dryarc catal"), "catalogue")
	require.Contains(t, typed("dryarc audit --max"), "--max-shortfalls")
	require.Contains(t, typed("dryarc checks tension-at-term"), "tension-at-terminal")
	require.Contains(t, typed("dryarc audit --out=re"), "--out=results")
	require.Contains(t, typed("dryarc audit --fail-on=new-sh"), "--fail-on=new-shortfall")
	require.Contains(t, typed("dryarc scope --scenario a --scen"), "--scenario a --scenario")
}

func TestFishCompletes(t *testing.T) {
	fish := tool(t, "fish")
	folder, script := shellScript(t, "fish")
	completed := func(line string) (words []string) {
		for _, said := range inShell(t, folder, fish, "--no-config", "-c", fmt.Sprintf("source %q; complete -C %q", script, line)) {
			word, _, _ := strings.Cut(said, "\t")
			words = append(words, word)
		}
		return words
	}
	require.Equal(t, []string{"catalogue", "checks", "collect", "completion"}, completed("dryarc c"))
	require.Equal(t, []string{"--fail-on", "--format"}, completed("dryarc audit x.yaml --f"))
	require.Contains(t, completed("dryarc audit x.yaml --out "), "results/")
	require.Contains(t, completed("dryarc audit x.yaml --out="), "--out=results/")
	require.Equal(t, []string{"--out=results/"}, completed("dryarc scope x.yaml --out=re"))
	require.Equal(t, []string{"creepage"}, completed("dryarc checks cree"))
	require.Equal(t, []string{"csv,geoparquet", "csv,gpkg"}, completed("dryarc audit --also csv,g"))
}

// PowerShell is rarely there; that its script names what the others name is looked at without it.
func TestPowerShellScriptNamesEverything(t *testing.T) {
	records, err := commandRecords()
	require.NoError(t, err)
	script := printed(t, "completion", "powershell")
	for i := range records {
		require.Contains(t, script, "    '"+records[i].name+"' = '")
		for _, f := range records[i].flags {
			require.Contains(t, script, "'--"+f.name+"'")
		}
	}
	require.Equal(t, strings.Count(script, "{"), strings.Count(script, "}"))
	require.Equal(t, strings.Count(script, "("), strings.Count(script, ")"))
	if shell, err := exec.LookPath("pwsh"); err == nil {
		folder, file := shellScript(t, "powershell")
		require.Equal(t, []string{"catalogue"}, inShell(t, folder, shell, "-NoProfile", "-c", fmt.Sprintf(". %q; (TabExpansion2 'dryarc cata' 11).CompletionMatches.CompletionText", file)))
	}
}

func TestUnknownShell(t *testing.T) {
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitUsage, run(t.Context(), []string{"completion", "fisch"}, &stdout, &stderr))
	require.Contains(t, stderr.String(), `did you mean "fish"?`)
	require.Empty(t, stdout.String())
}

// The manual page has every command and flag, and the programs that show such pages have nothing to say of it.
func TestManualPage(t *testing.T) {
	page := filepath.Join(t.TempDir(), "dryarc.1")
	require.NoError(t, os.WriteFile(page, []byte(printed(t, "man")), 0o666))
	records, err := commandRecords()
	require.NoError(t, err)
	shown := 0
	for _, c := range []struct {
		program string
		args    []string
	}{{"man", []string{"--warnings", "-l"}}, {"mandoc", []string{"-W", "error,stop", "-T", "ascii"}}, {"groff", []string{"-ww", "-man", "-T", "ascii", "-P-c"}}} {
		path, err := exec.LookPath(c.program)
		if err != nil {
			t.Logf("%s is not installed", c.program)
			continue
		}
		shown++
		var complaints bytes.Buffer
		command := exec.Command(path, append(c.args, page)...)
		command.Env = append(os.Environ(), "MANWIDTH=100", "MAN_KEEP_FORMATTING=", "PAGER=cat", "MANPAGER=cat", "LC_ALL=C.UTF-8")
		command.Stderr = &complaints
		out, err := command.Output()
		require.NoError(t, err, "%s: %s", c.program, complaints.String())
		require.Empty(t, complaints.String(), c.program)
		var plain []rune // without what is struck twice
		for _, r := range string(out) {
			if r == '\b' {
				plain = plain[:max(len(plain)-1, 0)]
				continue
			}
			plain = append(plain, r)
		}
		text := strings.Join(strings.Fields(string(plain)), " ")
		for i := range records {
			require.Contains(t, text, records[i].usageLine(), c.program)
			for _, f := range records[i].flags {
				require.Contains(t, text, "--"+f.name, c.program)
			}
		}
		for _, what := range []string{"EXIT STATUS", "NO_COLOR", "licensed engineer"} {
			require.Contains(t, text, what, c.program)
		}
	}
	if shown == 0 {
		t.Skip("neither man nor mandoc nor groff is installed")
	}
	require.Contains(t, printed(t, "man"), strings.ReplaceAll(strings.Join(report.Also(), ", "), "-", `\-`))
}
