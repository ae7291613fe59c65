package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"golang.org/x/sync/errgroup"
)

// suite are the test binaries of the changed program.
type suite struct {
	work     string
	binaries []*binary
}

// binary is the compiled tests of one package.
type binary struct {
	pkg, path string
	folder    string // where it runs: the package's folder in the copy of the module
	flags     []string
	tests     []*test
}

// test is one test function.
type test struct {
	in      *binary
	name    string
	takes   used         // unchanged
	reaches map[int]bool // the mutants whose places it executes
}

// build compiles the tests of the module with the guards of all mutants.
func build(ctx context.Context, o options, packages []*loaded, mutants []*mutant, work string, stderr io.Writer) (*suite, error) {
	list, err := overlay(packages, mutants, work)
	if err != nil {
		return nil, err
	}
	tested, err := golist(ctx, o.tests...)
	if err != nil {
		return nil, err
	}
	s := &suite{work: work}
	for _, p := range tested {
		if len(p.TestGoFiles)+len(p.XTestGoFiles) == 0 {
			continue
		}
		inModule, err := filepath.Rel(p.Module.Dir, p.Dir)
		if err != nil {
			return nil, err
		}
		if len(s.binaries) == 0 {
			if err := os.CopyFS(filepath.Join(work, "tree"), os.DirFS(p.Module.Dir)); err != nil {
				return nil, err
			}
		}
		b := &binary{pkg: p.ImportPath, path: filepath.Join(work, fmt.Sprintf("%d.test", len(s.binaries))), folder: filepath.Join(work, "tree", inModule)}
		if slices.Contains(append(p.TestImports, p.XTestImports...), "pgregory.net/rapid") {
			b.flags = []string{"-rapid.seed=1", "-rapid.nofailfile"}
		}
		fmt.Fprintf(stderr, "mutate: building the tests of %s\n", p.ImportPath)
		out, err := exec.CommandContext(ctx, "go", "test", "-c", "-vet=off", "-overlay", list, "-o", b.path, p.ImportPath).CombinedOutput()
		if err != nil {
			return nil, fmt.Errorf("building the tests of %s: %w\n%s", p.ImportPath, err, out)
		}
		s.binaries = append(s.binaries, b)
	}
	if len(s.binaries) == 0 {
		return nil, errors.New("no package with tests")
	}
	return s, nil
}

// memoryKB bounds what a changed program may take, as one that never stops growing would take the machine with it.
const memoryKB = 6_000_000

// limits bound a process: its time on a processor, which holds for a busy machine as well, and time by the clock for one
// that waits for ever.
type limits struct{ processor, clock time.Duration }

// used is what a process took.
type used struct{ processor, clock time.Duration }

// run runs some tests of a binary with one environment variable set, and gives what they said and took; an error unless
// all pass.
func (b *binary) run(ctx context.Context, work, variable, value string, l limits, arguments ...string) (string, used, error) {
	ctx, cancel := context.WithTimeout(ctx, l.clock)
	defer cancel()
	temporary, err := os.MkdirTemp(work, "tmp-")
	if err != nil {
		return "", used{}, err
	}
	defer os.RemoveAll(temporary)
	limited := fmt.Sprintf(`ulimit -v %d; ulimit -t %d; exec "$0" "$@"`, memoryKB, int(l.processor/time.Second)+1)
	command := exec.CommandContext(ctx, "/bin/sh", slices.Concat([]string{"-c", limited, b.path}, b.flags, arguments)...)
	command.Dir = b.folder
	command.Env = append(environment(), "TMPDIR="+temporary, variable+"="+value)
	command.WaitDelay = time.Second
	var said bytes.Buffer
	command.Stdout, command.Stderr = &said, &said
	began := time.Now()
	err = command.Run()
	took := used{clock: time.Since(began)}
	if command.ProcessState != nil {
		took.processor = command.ProcessState.UserTime() + command.ProcessState.SystemTime()
	}
	if err == nil {
		return said.String(), took, nil
	}
	if took.processor >= l.processor {
		err = errTooSlow
	} else if ctx.Err() != nil {
		err = ctx.Err()
	}
	return said.String(), took, err
}

var errTooSlow = errors.New("no end within the time on the processor")

// environment is the program's own, without what makes tests ask other programs or write what they expect.
func environment() []string {
	return slices.DeleteFunc(os.Environ(), func(entry string) bool {
		name, _, _ := strings.Cut(entry, "=")
		return slices.Contains([]string{"PATH", "CI", "DRYARC_AXE", "DRYARC_DUCKDB", "DRYARC_UPDATE", "TMPDIR", mutantVariable, reachVariable}, name)
	})
}

// testName matches what a test binary lists that runs without flags.
var testName = regexp.MustCompile(`^(Test|Fuzz|Example)`)

// longest is how long one unchanged test may take.
var longest = limits{5 * time.Minute, 10 * time.Minute}

// reach runs every test on its own without a change, and notes how long it takes and which places it executes.
func (s *suite) reach(ctx context.Context, o options) error {
	for _, b := range s.binaries {
		list, _, err := b.run(ctx, s.work, mutantVariable, "-1", longest, "-test.list", ".")
		if err != nil {
			return fmt.Errorf("listing the tests of %s: %w\n%s", b.pkg, err, list)
		}
		for name := range strings.Lines(list) {
			if name = strings.TrimSpace(name); testName.MatchString(name) && !o.skip.MatchString(name) {
				b.tests = append(b.tests, &test{in: b, name: name, reaches: map[int]bool{}})
			}
		}
	}
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(o.workers)
	for _, b := range s.binaries {
		for i, t := range b.tests {
			group.Go(func() error {
				return t.reach(ctx, s.work, fmt.Sprintf("%s.reach%d", b.path, i))
			})
		}
	}
	return group.Wait()
}

func (t *test) reach(ctx context.Context, work, notes string) error {
	said, took, err := t.in.run(ctx, work, reachVariable, notes, longest, "-test.run", only(t))
	if err != nil {
		return fmt.Errorf("%s of %s fails without a change: %w (-skip leaves it out)\n%s", t.name, t.in.pkg, err, said)
	}
	t.takes = took
	text, err := os.ReadFile(notes)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	} else if err != nil {
		return err
	}
	for _, place := range strings.Fields(string(text)) {
		id, err := strconv.Atoi(place)
		if err != nil {
			return fmt.Errorf("places that %s of %s reaches: %w", t.name, t.in.pkg, err)
		}
		t.reaches[id] = true
	}
	return nil
}

// only is the pattern that runs the given tests and no others.
func only(tests ...*test) string {
	names := make([]string, len(tests))
	for i, t := range tests {
		names[i] = t.name
	}
	return "^(" + strings.Join(names, "|") + ")$"
}
