package main

import (
	"context"
	"io"
	"os"
	"os/exec"
	"runtime/debug"
	"testing"
)

// asProgram names the variable under which the test binary is the program itself.
const asProgram = "DRYARC_TEST_AS_PROGRAM"

// asYear is its value for a run of the year.
const asYear = "year"

func TestMain(m *testing.M) {
	switch os.Getenv(asProgram) {
	case "":
	case asYear:
		os.Exit(yearProgram(os.Args[1]))
	default:
		main()
	}
	if _, set := os.LookupEnv("GOGC"); !set {
		os.Setenv("GOGC", "400") // the runs of tests are small, and many; those in processes of their own have it too
		debug.SetGCPercent(400)
	}
	os.Exit(m.Run())
}

// program is the program as a process of its own.
func program(args ...string) *exec.Cmd {
	cmd := exec.Command(os.Args[0], args...)
	cmd.Env = append(os.Environ(), asProgram+"=1")
	return cmd
}

// run is the command line without anybody who could give it up.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	return runUntil(ctx, &ending{}, args, stdout, stderr)
}
