package main

import (
	"fmt"
	"strings"
)

// firstSentence is a help text in short.
func firstSentence(help string) string {
	for _, end := range []string{". ", "; ", ": ", " ("} {
		help, _, _ = strings.Cut(help, end)
	}
	return strings.TrimSuffix(help, ".")
}

// zshScript is the completion of zsh.
func zshScript(records []commandRecord) string {
	var b strings.Builder
	told := strings.NewReplacer("'", `'\''`, "[", `\[`, "]", `\]`, ":", `\:`).Replace
	action := func(v *valueRecord) string {
		switch words := strings.Join(v.takes.words, " "); {
		case v.takes.file:
			return "_files"
		case v.takes.folder:
			return "_files -/"
		case words != "" && v.many:
			return "_values -s , word " + words
		case words != "":
			return "(" + words + ")"
		}
		return " "
	}
	b.WriteString("#compdef dryarc\n# Completion of dryarc for zsh: keep this file as _dryarc in a folder of $fpath.\n_dryarc() {\n\tlocal curcontext=$curcontext state line\n\tlocal -a commands\n\tcommands=(\n")
	for i := range records {
		fmt.Fprintf(&b, "\t\t'%s:%s'\n", records[i].name, told(firstSentence(records[i].help)))
	}
	b.WriteString("\t)\n\t_arguments -C '--help[show the help]' '--version[print the version]' '1: :->command' '*:: :->rest'\n\tcase $state in\n\tcommand) _describe command commands;;\n\trest)\n\t\tcase $words[1] in\n")
	for i := range records {
		c := &records[i]
		fmt.Fprintf(&b, "\t\t%s) _arguments", c.name)
		for k := range c.flags {
			f := &c.flags[k]
			again, value := "", ""
			if f.many {
				again = "*"
			}
			if f.placeholder != "" {
				value = "="
			}
			fmt.Fprintf(&b, " \\\n\t\t\t'%s--%s%s[%s]", again, f.name, value, told(firstSentence(f.help)))
			if value != "" {
				fmt.Fprintf(&b, ":%s:%s", told(strings.ToLower(f.placeholder)), action(f))
			}
			b.WriteString("'")
		}
		for k := range c.arguments {
			a := &c.arguments[k]
			place := fmt.Sprint(k+1) + ":"
			switch {
			case a.many:
				place = "*:"
			case a.optional:
				place += ":"
			}
			fmt.Fprintf(&b, " \\\n\t\t\t'%s%s:%s'", place, a.name, action(a))
		}
		b.WriteString(";;\n")
	}
	b.WriteString("\t\tesac;;\n\tesac\n}\nif [ \"$funcstack[1]\" = _dryarc ]; then _dryarc \"$@\"; else compdef _dryarc dryarc; fi\n")
	return b.String()
}

// fishScript is the completion of fish.
func fishScript(records []commandRecord) string {
	var b strings.Builder
	quoted := func(text string) string { return "'" + strings.NewReplacer(`\`, `\\`, "'", `\'`).Replace(text) + "'" }
	b.WriteString("# Completion of dryarc for fish: keep this file as dryarc.fish in ~/.config/fish/completions.\ncomplete -c dryarc -f\n" +
		"complete -c dryarc -n __fish_use_subcommand -l version -d 'Print the version'\ncomplete -c dryarc -l help -d 'Show the help'\n")
	for i := range records {
		c := &records[i]
		fmt.Fprintf(&b, "complete -c dryarc -n __fish_use_subcommand -a %s -d %s\n", c.name, quoted(firstSentence(c.help)))
		when := "'__fish_seen_subcommand_from " + c.name + "'"
		for k := range c.flags {
			f := &c.flags[k]
			if f.name == "help" {
				continue
			}
			fmt.Fprintf(&b, "complete -c dryarc -n %s -l %s -d %s", when, f.name, quoted(firstSentence(f.help)))
			switch words := strings.Join(f.takes.words, " "); {
			case f.placeholder == "":
			case f.takes.file:
				b.WriteString(" -r -F")
			case f.takes.folder:
				b.WriteString(` -x -a '(__fish_complete_directories (string replace -r -- "^--[^=]*=" "" (commandline -ct)))'`) // behind --out= too
			case words != "" && f.many:
				fmt.Fprintf(&b, " -x -a '(__fish_complete_list , \"printf %%s\\\\\\\\n %s\")'", words)
			case words != "":
				fmt.Fprintf(&b, " -x -a %s", quoted(words))
			default:
				b.WriteString(" -x")
			}
			b.WriteString("\n")
		}
		for k := range c.arguments {
			a := &c.arguments[k]
			switch words := strings.Join(a.takes.words, " "); {
			case a.takes.file:
				fmt.Fprintf(&b, "complete -c dryarc -n %s -F\n", when)
			case a.takes.folder:
				fmt.Fprintf(&b, "complete -c dryarc -n %s -a '(__fish_complete_directories)'\n", when)
			case words != "":
				fmt.Fprintf(&b, "complete -c dryarc -n %s -a %s\n", when, quoted(words))
			}
		}
	}
	return b.String()
}

// powershellScript is the completion of PowerShell. Where it has no words the shell completes names of files by itself.
func powershellScript(records []commandRecord) string {
	var b strings.Builder
	quoted := func(text string) string { return "'" + strings.ReplaceAll(text, "'", "''") + "'" }
	list := func(words []string) string {
		out := make([]string, len(words))
		for i, word := range words {
			out[i] = quoted(word)
		}
		return "@(" + strings.Join(out, ", ") + ")"
	}
	b.WriteString("# Completion of dryarc for PowerShell: dot-source this file in $PROFILE.\nRegister-ArgumentCompleter -Native -CommandName dryarc -ScriptBlock {\n" +
		"  param($word, $ast, $position)\n  $said = @($ast.CommandElements | Select-Object -Skip 1 | ForEach-Object { $_.ToString() })\n" +
		"  if ($word -ne '' -and $said.Count -gt 0) { $said = @($said | Select-Object -SkipLast 1) }\n  $commands = [ordered]@{\n")
	for i := range records {
		fmt.Fprintf(&b, "    %s = %s\n", quoted(records[i].name), quoted(firstSentence(records[i].help)))
	}
	b.WriteString("  }\n  $flags = @{\n")
	for i := range records {
		var flags []string
		for k := range records[i].flags {
			flags = append(flags, "--"+records[i].flags[k].name)
		}
		fmt.Fprintf(&b, "    %s = %s\n", quoted(records[i].name), list(flags))
	}
	b.WriteString("  }\n  $values = @{\n")
	for i := range records {
		c := &records[i]
		for k := range c.flags {
			if words := c.flags[k].takes.words; len(words) > 0 {
				fmt.Fprintf(&b, "    %s = %s\n", quoted(c.name+" --"+c.flags[k].name), list(words))
			}
		}
		for k := range c.arguments {
			if words := c.arguments[k].takes.words; len(words) > 0 {
				fmt.Fprintf(&b, "    %s = %s\n", quoted(c.name), list(words))
			}
		}
	}
	b.WriteString("  }\n  $command = $said | Where-Object { $commands.Contains($_) } | Select-Object -First 1\n" +
		"  $before = if ($said.Count -gt 0) { $said[-1] } else { '' }\n" +
		"  $choices = if (-not $command) { @($commands.Keys) + '--help', '--version' }\n" +
		"    elseif ($values.ContainsKey(\"$command $before\")) { $values[\"$command $before\"] }\n" +
		"    elseif ($word -like '-*') { $flags[$command] }\n    elseif ($before -eq $command -and $values.ContainsKey($command)) { $values[$command] }\n    else { @() }\n" +
		"  $choices | Where-Object { $_ -like \"$word*\" } | ForEach-Object {\n" +
		"    $told = if ($commands.Contains($_)) { $commands[$_] } else { $_ }\n" +
		"    [System.Management.Automation.CompletionResult]::new($_, $_, 'ParameterValue', $told)\n  }\n}\n")
	return b.String()
}
