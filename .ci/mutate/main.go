// Command mutate tells how much of a wrong program the tests notice. It takes a seeded sample of small changes to the
// packages that derive and judge (a comparison turned, a term dropped, a reason forgotten), runs the tests against each,
// and prints which changes no test failed on.
//
//	go run ./.ci/mutate [-n 400] [-seed 1] [-packages ./geo,./audit] [-only TEXT] [-atleast 90]
//
// What enters: the packages to change, the tests of the module, and equivalent.txt, the changes that are known to make
// no difference, each with the reason. What leaves: the list of survivors and a summary on stdout, progress on stderr.
// The exit code is 0 where enough of the changes that make a difference were noticed, 1 where not, 2 where the run
// could not be made, for instance because a test fails without any change.
//
// All changes of the sample are compiled into the packages at once, each behind a condition that an environment
// variable decides, through the overlay of the go command; no file of the work tree is touched, and the tests run in a
// copy of it. So every test binary is built once, and a mutant costs only the run of the tests that reach it: each test
// is first run on its own, unchanged, and notes the places it executes. Tests run quickest first, until one fails.
//
// Left unchanged, since nothing could be learnt from them: String and Error methods (text), whatever builds a trace
// (it records a judgement and decides none; the workbook's own oracles recompute it), the worked examples of the checks
// (they are tests), the functions that only these call, arguments of panic, and capacities, which change no result. Text
// is never changed. A place where the language wants a constant (const declarations, lengths of arrays, keys of their
// literals) cannot be put behind a condition; the uses of the constants are changed instead.
//
// Oracles outside Go are not asked: the tests find no program on the PATH and skip them. A process that a test starts
// with an environment of its own runs without a change.
//
// Why not an existing tool: of those that the module proxy serves, gremlins v0.6.0 (December 2025) is maintained, but
// builds anew for every mutant, runs either the tests of the mutant's package or all of the module, has a dozen
// operators and takes no sample. At 10 s to build and up to 100 s to test, a sample of 400 would take half a day.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"syscall"
	"time"
)

// options are what the command line says.
type options struct {
	packages, tests []string
	n               int
	seed            uint64
	only            string
	skip            *regexp.Regexp
	known           string
	atLeast         float64
	workers         int
}

// judgingPackages derive and judge; those that are not there yet are passed over.
const judgingPackages = "./geo,./audit,./audit/basis,./audit/checks,./audit/remedy,./audit/history,./audit/scope"

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// run is the program: choose, build, reach, judge, tell.
func run(ctx context.Context, arguments []string, stdout, stderr io.Writer) int {
	o, err := parse(arguments, stderr)
	if err != nil {
		return 2
	}
	enough, err := mutate(ctx, o, stdout, stderr)
	switch {
	case err != nil:
		fmt.Fprintln(stderr, "mutate:", err)
		return 2
	case !enough:
		return 1
	}
	return 0
}

func parse(arguments []string, stderr io.Writer) (options, error) {
	var o options
	flags := flag.NewFlagSet("mutate", flag.ContinueOnError)
	flags.SetOutput(stderr)
	packages := flags.String("packages", judgingPackages, "packages to change, by commas")
	tests := flags.String("tests", "./...", "packages whose tests are run, by commas")
	// The first builds the program with the go command, the second compares whole runs for 11 s, the third counts
	// allocations, which the conditions add to, the fourth kind asks the go command, the last judge hundreds of runs.
	skip := flags.String("skip", "^(TestKilledRunLeavesAWholeRun|TestNights|TestFolderTakenAway|TestMutants|TestFewDescriptors|TestWorkersDoNotChangeTheResult|TestNeedsAreLookedUpWithoutAllocating|Test.*Notices.*|TestUnreadable.*)$", "tests to leave out")
	flags.IntVar(&o.n, "n", 400, "number of mutants")
	flags.Uint64Var(&o.seed, "seed", 1, "seed of the sample")
	flags.StringVar(&o.only, "only", "", "only mutants whose line in the list of survivors contains this text")
	flags.StringVar(&o.known, "equivalent", filepath.Join(".ci", "mutate", "equivalent.txt"), "file of changes that make no difference")
	flags.Float64Var(&o.atLeast, "atleast", 90, "per cent of the mutants that make a difference which must be killed")
	flags.IntVar(&o.workers, "workers", min(2, runtime.NumCPU()), "mutants at a time")
	if err := flags.Parse(arguments); err != nil {
		return o, err
	}
	o.packages, o.tests = strings.Split(*packages, ","), strings.Split(*tests, ",")
	var err error
	if o.skip, err = regexp.Compile(*skip); err == nil && flags.NArg() > 0 {
		err = fmt.Errorf("%q is not understood", flags.Arg(0))
	}
	if err != nil {
		fmt.Fprintln(stderr, "mutate:", err)
	}
	return o, err
}

// mutate makes the run.
func mutate(ctx context.Context, o options, stdout, stderr io.Writer) (enough bool, err error) {
	began := time.Now()
	known, err := readEquivalents(o.known)
	if err != nil {
		return false, err
	}
	packages, err := load(ctx, o.packages, stderr)
	if err != nil {
		return false, err
	}
	all := candidates(packages)
	sample, unfit, err := choose(packages, all, o)
	if err != nil {
		return false, err
	}
	fmt.Fprintf(stdout, "%d mutants of %d, seed %d; %d that do not compile were passed over\n", len(sample), len(all), o.seed, unfit)
	if len(sample) == 0 {
		return false, errors.New("no mutant")
	}
	work, err := os.MkdirTemp("", "mutate-")
	if err != nil {
		return false, err
	}
	defer os.RemoveAll(work)
	suite, err := build(ctx, o, packages, sample, work, stderr)
	if err != nil {
		return false, err
	}
	if err := suite.reach(ctx, o); err != nil {
		return false, err
	}
	fmt.Fprintf(stderr, "mutate: %s to build and to run every test once\n", time.Since(began).Round(time.Second))
	results, err := suite.judge(ctx, o, sample, stderr)
	if err != nil {
		return false, err
	}
	enough = tell(stdout, o, results, known, all)
	fmt.Fprintf(stderr, "mutate: %s\n", time.Since(began).Round(time.Second))
	return enough, nil
}
