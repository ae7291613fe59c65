package main

import (
	"fmt"
	"io"
	"strings"

	"dryarc/report"
)

type manCommand struct{}

// Run prints the manual page, for man -l or a folder man1.
func (manCommand) Run(at surroundings) error {
	records, err := commandRecords()
	if err != nil {
		return err
	}
	_, err = io.WriteString(at.data, manualPage(records))
	return err
}

// description is what the program is for, on one line and then as the help has it.
const (
	oneLine     = "screens the insulator assemblies of overhead lines"
	description = "Screens the insulator assemblies of overhead lines. A licensed engineer and the local code decide; " +
		"nothing it prints is an approach distance or leave to work live."
)

// exitCodes are what the exit codes mean.
var exitCodes = [...]struct {
	code int
	what string
}{
	{exitDone, "done"},
	{exitFound, "something at or above --fail-on, or less assessed than --min-assessed"},
	{exitFailed, "the program failed"},
	{exitUsage, "usage or project file"},
	{exitInputs, "inputs unusable"},
	{exitOutputs, "outputs not written"},
	{exitInterrupted, "interrupted"},
}

// manualPage is the manual page in the macros of man, from the same records as the help.
func manualPage(records []commandRecord) string {
	var b strings.Builder
	fmt.Fprintf(&b, ".TH DRYARC 1 \"\" \"%s\"\n.SH NAME\ndryarc \\- %s\n.SH SYNOPSIS\n", roff(programVersion), roff(oneLine))
	for i := range records {
		if i > 0 {
			b.WriteString(".br\n")
		}
		b.WriteString(roff(records[i].usageLine()) + "\n")
	}
	fmt.Fprintf(&b, ".SH DESCRIPTION\n%s\n.SH COMMANDS\n", roff(description))
	for i := range records {
		c := &records[i]
		fmt.Fprintf(&b, ".SS %s\n%s\n", roff(c.usageLine()), roff(c.help))
		for k := range c.arguments {
			a := &c.arguments[k]
			fmt.Fprintf(&b, ".TP\n.I %s\n%s\n", roff(a.placeholder), roff(a.help))
		}
		for k := range c.flags {
			f := &c.flags[k]
			fmt.Fprintf(&b, ".TP\n.B %s\n%s\n", roff(strings.TrimSuffix("--"+f.name+"="+f.placeholder, "=")), roff(f.help))
		}
	}
	b.WriteString(".SH EXIT STATUS\n")
	for _, e := range exitCodes {
		fmt.Fprintf(&b, ".TP\n.B %d\n%s\n", e.code, roff(e.what))
	}
	fmt.Fprintf(&b, ".SH ENVIRONMENT\n.TP\n.B NO_COLOR\n%s\n.TP\n.B TERM\n%s\n.SH CAUTION\n%s\n", roff("Where it is set and not empty the terminal gets no colours."),
		roff("Where it is dumb the terminal gets neither colours nor progress."), roff(report.Caution))
	return b.String()
}

// roff is a text as roff takes it: hyphens that are typed, no escapes, no line that looks like a request.
func roff(text string) string {
	text = strings.NewReplacer(`\`, `\e`, "-", `\-`, "\n", " ", "\u202f", " ").Replace(text)
	if strings.HasPrefix(text, ".") || strings.HasPrefix(text, "'") {
		text = `\&` + text
	}
	return text
}
