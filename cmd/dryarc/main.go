// Command dryarc checks the insulator assemblies of overhead lines against their geometry, voltage and pollution.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"
	"syscall"

	"dryarc/audit"
	"dryarc/audit/read"
	"dryarc/report"

	"github.com/alecthomas/kong"
)

// version names the rules and formulas in force; it is part of a run's identity.
const version = "0.1.0"

// programVersion is what the program says of its version.
const programVersion = "dryarc " + version

// builtFrom is that and the version of the sources, where the build knows it: a tag, or the time and the name of a commit.
func builtFrom() string {
	build, ok := debug.ReadBuildInfo()
	if !ok || build.Main.Version == "" || build.Main.Version == "(devel)" {
		return programVersion
	}
	return programVersion + ", built from " + build.Main.Version
}

// The exit codes.
const (
	exitDone        = 0
	exitFound       = 1 // something at or above --fail-on, or less assessed than --min-assessed
	exitFailed      = 2 // the program failed
	exitUsage       = 3 // usage or project file
	exitInputs      = 4 // inputs unusable
	exitOutputs     = 5 // outputs not written
	exitInterrupted = 130
)

type commands struct {
	Audit     auditCommand     `cmd:"" help:"Audit a project and write the exceptions."`
	Scope     scopeCommand     `cmd:"" help:"Look at the scenarios of a project: what falls short in each, and what it takes."`
	Checks    checksCommand    `cmd:"" help:"List the checks, or print one with its basis, method and a worked example."`
	Explain   explainCommand   `cmd:"" help:"Print the derivation of every verdict on one structure, and what to hang there instead."`
	Read      readCommand      `cmd:"" help:"Tell how each input is understood, and what is wrong with it; audits nothing."`
	Verify    verifyCommand    `cmd:"" help:"Tell whether a folder of outputs is one whole run, unchanged since."`
	Collect   collectCommand   `cmd:"" help:"Take the decisions that people wrote into workbooks of audits, such as came back by mail."`
	New       newCommand       `cmd:"" help:"Write a new project to fill in: project file, register and sample layers."`
	Catalogue catalogueCommand `cmd:"" help:"List the units and conductors in force."`
	Version   versionCommand   `cmd:"" help:"Print the version."`

	Completion completionCommand `cmd:"" help:"Print the script that completes the command line of a shell."`
	Man        manCommand        `cmd:"" help:"Print the manual page, in roff."`

	ShowVersion kong.VersionFlag `name:"version" help:"Print the version."`
}

// surroundings are what a command works in.
type surroundings struct {
	ctx            context.Context
	stdout, stderr *talk     // for text
	data           io.Writer // the standard output, for what programs read
	nowhere        bool      // it may have been closed (leadsNowhere)
	screen         io.Writer // the standard error, for what moves on a terminal
	ending         *ending
}

func surroundingsOf(ctx context.Context, e *ending, stdout, stderr io.Writer) surroundings {
	data := &stream{w: stdout}
	return surroundings{ctx: ctx, stdout: &talk{w: data, screen: screenOf(stdout, os.Getenv)},
		stderr: &talk{w: &stream{w: stderr}, idle: true, screen: screenOf(stderr, os.Getenv)}, data: data, nowhere: leadsNowhere(stdout), screen: stderr, ending: e}
}

func main() {
	paceCollections()
	signal.Ignore(syscall.SIGPIPE) // else a reader that goes, as head does, would end a run before its outputs are written
	os.Exit(supervise(os.Args[1:], os.Stdout, os.Stderr))
}

// runUntil is the command line as a function: data to stdout, talk to stderr, an exit code. e is what it agrees on with
// those who interrupt it.
func runUntil(ctx context.Context, e *ending, args []string, stdout, stderr io.Writer) int {
	at := surroundingsOf(ctx, e, stdout, stderr)
	code, err := at.command(args)
	if failed := at.stdout.end(); failed != nil && (err == nil || errors.Is(err, failed)) {
		if err, code = nil, exitDone; !nobodyReads(failed) { // who has read enough is no error
			err, code = &report.WriteError{File: standardOutput, Err: failed}, exitOutputs
		}
	}
	code = tell(at.stderr, err, code)
	_ = at.stderr.end() // there is nobody left to tell
	return code
}

const standardOutput = "the standard output"

// command parses the command line and runs what it asks for. It returns the exit code and what to say of it.
func (at surroundings) command(args []string) (code int, err error) {
	var cli commands
	exited := -1
	parser, err := newParser(&cli, at.stdout, at.stderr, func(code int) { exited = code }, kong.ConfigureHelp(kong.HelpOptions{WrapUpperBound: at.stdout.screen.columns}))
	if err != nil {
		return exitFailed, err
	}
	command, err := parser.Parse(args)
	if exited >= 0 {
		return exited, nil
	}
	if err != nil {
		return exitUsage, fmt.Errorf("%w\n  hint: dryarc --help lists the commands and flags", err)
	}
	err = command.Run(at)
	return exitCode(err), err
}

// newParser reads command lines into commands. What it prints by itself, such as the help, goes to stdout, and where it ends the program it says so.
func newParser(cli *commands, stdout, stderr io.Writer, exit func(int), options ...kong.Option) (*kong.Kong, error) {
	return kong.New(cli, append(options,
		kong.Name("dryarc"),
		kong.Description(description),
		kong.Vars{"also": strings.Join(report.Also(), ", "), "shells": strings.Join(shellNames(), ", "), "version": builtFrom()},
		kong.Writers(stdout, stderr),
		kong.Exit(exit),
	)...)
}

// found is the error of a run that did its work and has something to fail for.
type found struct{ what string }

func (f *found) Error() string { return f.what }

func exitCode(err error) int {
	var (
		project   *read.ProjectFileError
		input     *read.InputError
		line      *audit.UnknownLine
		structure *audit.UnknownStructure
		output    *report.WriteError
		none      *report.NoRun
		use       *usage
		some      *found
	)
	switch {
	case err == nil:
		return exitDone
	case endedBy(err):
		return exitInterrupted
	case errors.As(err, &some):
		return exitFound
	case errors.As(err, &project), errors.As(err, &line), errors.As(err, &structure), errors.As(err, &use):
		return exitUsage
	case errors.As(err, &input), errors.As(err, &none):
		return exitInputs
	case errors.As(err, &output):
		return exitOutputs
	}
	return exitFailed
}

// noneOf is the error of a word on the command line that is none of some.
func noneOf(flag, word string, known []string) error {
	text := fmt.Sprintf("%s %q is none of %s", flag, word, strings.Join(known, ", "))
	if names := read.Nearest(word, known); len(names) > 0 {
		text += "\n  hint: " + meant(names)
	}
	return &usage{text}
}

// usage is the error of a command line that parses but cannot be meant.
type usage struct{ what string }

func (u *usage) Error() string { return u.what }

// tell prints an error with its hint and returns the exit code.
func tell(stderr io.Writer, err error, code int) int {
	if err == nil {
		return code
	}
	if code == exitInterrupted {
		fmt.Fprintln(stderr, interrupted)
		return code
	}
	for _, one := range read.Each(err) {
		fmt.Fprintf(stderr, "dryarc: %v\n", one)
		if hint := hintOf(one); hint != "" {
			fmt.Fprintf(stderr, "  hint: %s\n", hint)
		}
	}
	return code
}

// hintOf is what helps against an error of the inputs.
func hintOf(err error) string {
	var project *read.ProjectFileError
	var input *read.InputError
	var line *audit.UnknownLine
	var structure *audit.UnknownStructure
	switch {
	case errors.As(err, &line):
		return suggestion(line.Name, line.Known, "the lines")
	case errors.As(err, &structure):
		return suggestion(structure.Number, structure.Known, "the structures of the line")
	case errors.As(err, &project):
		return project.Hint
	case errors.As(err, &input):
		return input.Hint
	}
	return ""
}

type versionCommand struct {
	Notices bool `help:"Print the licences of the libraries in the program."`
}

// Run prints the version, or the notices of what is in it.
func (c versionCommand) Run(at surroundings) error {
	if c.Notices {
		return printNotices(at.data)
	}
	_, err := fmt.Fprintln(at.stdout, builtFrom())
	return err
}
