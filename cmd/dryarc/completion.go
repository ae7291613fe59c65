package main

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"dryarc/report"

	"github.com/alecthomas/kong"
)

type completionCommand struct {
	Shell string `arg:"" help:"Shell: ${shells}."`
}

// Run prints the script that has a shell complete the command line.
func (c *completionCommand) Run(at surroundings) error {
	write := shells[c.Shell]
	if write == nil {
		return noneOf("shell", c.Shell, shellNames())
	}
	records, err := commandRecords()
	if err != nil {
		return err
	}
	_, err = io.WriteString(at.data, write(records))
	return err
}

// shells are the shells for which there is a script, and what writes it.
var shells = map[string]func([]commandRecord) string{"bash": bashScript, "zsh": zshScript, "fish": fishScript, "powershell": powershellScript}

func shellNames() []string { return slices.Sorted(maps.Keys(shells)) }

// commandRecord is a command as the help, the completion and the manual page tell of it.
type commandRecord struct {
	name, help string
	flags      []valueRecord
	arguments  []valueRecord
}

// valueRecord is a flag or an argument of a command.
type valueRecord struct {
	name, help  string
	placeholder string // of what it takes; empty for a flag that takes nothing
	takes       taken
	optional    bool
	many        bool // values, of a flag with commas between them
}

// taken is what a flag or an argument takes: a file, a folder, or one of some words; something else where it is the zero value.
type taken struct {
	file, folder bool
	words        []string
}

// takes says what flags and arguments take, by command and name, or by name alone.
func takes() map[string]taken {
	file, folder := taken{file: true}, taken{folder: true}
	return map[string]taken{
		"project": file, "file": file, "workbook": file, "since": file, "notify": file, "out": folder, "dir": folder,
		"also": {words: report.Also()}, "scope also": {words: []string{report.AlsoRegister, report.AlsoLines}},
		"fail-on": {words: failLevels}, "scope fail-on": {words: failLevels[:severityLevels]},
		"format": {words: formats}, "log": {words: formats}, "id": {words: checkIDs()}, "shell": {words: shellNames()},
		"line": {}, "lines": {}, "structure": {}, "scenario": {}, "max-shortfalls": {}, "min-assessed": {}, "as-of": {}, "workers": {}, "wait": {},
	}
}

// commandRecords are the commands in the order of the help, from the same table.
func commandRecords() ([]commandRecord, error) {
	parser, err := newParser(&commands{}, io.Discard, io.Discard, func(int) {})
	if err != nil {
		return nil, err
	}
	known := takes()
	record := func(command string, v *kong.Value) valueRecord {
		what, own := known[command+" "+v.Name]
		if !own {
			what = known[v.Name]
		}
		return valueRecord{name: v.Name, help: v.Help, takes: what, optional: !v.Required, many: v.IsSlice()}
	}
	var records []commandRecord
	for _, node := range parser.Model.Children {
		c := commandRecord{name: node.Name, help: node.Help}
		for _, argument := range node.Positional {
			a := record(node.Name, argument)
			a.placeholder = strings.ToUpper(argument.Name)
			c.arguments = append(c.arguments, a)
		}
		for _, flag := range node.Flags {
			f := record(node.Name, flag.Value)
			if !flag.IsBool() {
				f.placeholder = flag.FormatPlaceHolder()
			}
			c.flags = append(c.flags, f)
		}
		c.flags = append(c.flags, valueRecord{name: "help", help: "Show the help of the command.", optional: true})
		records = append(records, c)
	}
	return records, nil
}

// usageLine is how a command is called.
func (c *commandRecord) usageLine() string {
	line := "dryarc " + c.name
	for _, a := range c.arguments {
		text := a.placeholder
		if a.many {
			text += " ..."
		}
		if a.optional {
			text = "[" + text + "]"
		}
		line += " " + text
	}
	return line + " [flags]"
}

func namesOf(records []commandRecord) (names []string) {
	for i := range records {
		names = append(names, records[i].name)
	}
	return names
}

// bashScript is the completion of bash, of version 3.2 on, which macOS has.
func bashScript(records []commandRecord) string {
	var b strings.Builder
	fmt.Fprintf(&b, `# Completion of dryarc for bash: source this file, or keep it as dryarc in the folder bash-completion/completions.
_dryarc_words() { local IFS=$' \t\n'; COMPREPLY=($(compgen -W "$1" -- "$word")); }
_dryarc_list() {
	local before= last=$word IFS=$' \t\n'
	case $word in *,*) before=${word%%,*}, last=${word##*,};; esac
	COMPREPLY=($(compgen -P "$before" -W "$1" -- "$last"))
	type compopt >/dev/null 2>&1 && compopt -o nospace 2>/dev/null
}
_dryarc_paths() {
	local path
	COMPREPLY=()
	while IFS= read -r path; do COMPREPLY+=("$path"); done < <(compgen "$1" -- "$word")
	type compopt >/dev/null 2>&1 && compopt -o filenames 2>/dev/null
}
_dryarc() {
	local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} command= place=0 i
	if [ "$word" = = ]; then word=; elif [ "$before" = = ]; then before=${COMP_WORDS[COMP_CWORD-2]}; fi
	COMPREPLY=()
	for ((i = 1; i < COMP_CWORD; i++)); do
		case ${COMP_WORDS[i]} in
		-*|=) ;;
		*) if [ -z "$command" ]; then command=${COMP_WORDS[i]}; elif [[ ${COMP_WORDS[i-1]} != --* && ${COMP_WORDS[i-1]} != = ]]; then place=$((place + 1)); fi;;
		esac
	done
	case $command in
	'') _dryarc_words '%s --help --version';;
`, strings.Join(namesOf(records), " "))
	call := func(v *valueRecord) string {
		switch {
		case v.takes.file:
			return "_dryarc_paths -f"
		case v.takes.folder:
			return "_dryarc_paths -d"
		case len(v.takes.words) > 0 && v.many:
			return "_dryarc_list '" + strings.Join(v.takes.words, " ") + "'"
		case len(v.takes.words) > 0:
			return "_dryarc_words '" + strings.Join(v.takes.words, " ") + "'"
		}
		return ":"
	}
	for i := range records {
		c := &records[i]
		fmt.Fprintf(&b, "\t%s)\n\t\tcase $before in\n", c.name)
		var flags []string
		for k := range c.flags {
			f := &c.flags[k]
			flags = append(flags, "--"+f.name)
			if f.placeholder != "" {
				fmt.Fprintf(&b, "\t\t--%s) %s; return;;\n", f.name, call(f))
			}
		}
		fmt.Fprintf(&b, "\t\tesac\n\t\tcase $word in -*) _dryarc_words '%s'; return;; esac\n\t\tcase $place in\n", strings.Join(flags, " "))
		for k := range c.arguments {
			place := fmt.Sprint(k)
			if c.arguments[k].many {
				place = "*"
			}
			fmt.Fprintf(&b, "\t\t%s) %s;;\n", place, call(&c.arguments[k]))
		}
		b.WriteString("\t\tesac;;\n")
	}
	b.WriteString("\tesac\n}\ncomplete -F _dryarc dryarc\n")
	return b.String()
}
