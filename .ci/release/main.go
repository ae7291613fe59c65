// Command release builds the program for the systems that it is made for, and packs each with its notices, manual page and completions, the README and
// the demo project that it shows.
//
//	go run ./.ci/release -out out/release
//
// It is run in the top folder of the sources. What is built is the commit that is checked out. Out come an archive for each target and
// SHA256SUMS. The same commit, tags and version of Go give the same bytes: there is no path and no time of the build in them; the times in
// the archives are that of the commit.
package main

import (
	"context"
	"crypto/sha256"
	"debug/buildinfo"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"regexp"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"syscall"
	"time"
)

// targets are the systems and processors that the program is made for.
var targets = []string{"darwin/amd64", "darwin/arm64", "linux/amd64", "linux/arm64", "windows/amd64", "windows/arm64"}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := run(ctx, os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, args []string, stdout io.Writer) error {
	flags := flag.NewFlagSet("release", flag.ContinueOnError)
	out := flags.String("out", filepath.Join("out", "release"), "folder for the archives, made where there is none")
	chosen := flags.String("targets", strings.Join(targets, ","), "systems and processors, with commas between them")
	twice := flags.Bool("twice", false, "build each once more, in another folder, and fail where a byte differs")
	cold := flags.Bool("cold", false, "with -twice: the second time compile everything anew")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if flags.NArg() > 0 {
		return fmt.Errorf("%q is no flag, and what stands behind it would be passed over; nothing is taken beside flags", flags.Arg(0))
	}
	list := strings.Split(*chosen, ",")
	for _, target := range list {
		if !slices.Contains(targets, target) {
			return fmt.Errorf("target %q is none of %s", target, strings.Join(targets, ", "))
		}
	}
	if below, err := output(gitHere(ctx, "rev-parse", "--show-prefix")); err != nil || strings.TrimSpace(below) != "" {
		return errors.Join(errors.New("it is to be run in the top folder of the sources, as git has them"), err)
	}
	work, err := os.MkdirTemp("", "release-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	first := &builder{sources: filepath.Join(work, "first"), work: filepath.Join(work, "built"), out: *out}
	sums, err := first.all(ctx, list)
	if err != nil {
		return err
	}
	for _, line := range sums {
		fmt.Fprintln(stdout, line)
	}
	if !*twice {
		return nil
	}
	again := &builder{sources: filepath.Join(work, "second", "time"), work: filepath.Join(work, "again"), out: filepath.Join(work, "out")}
	if *cold {
		again.cache = filepath.Join(work, "cache")
	}
	second, err := again.all(ctx, list)
	if err != nil {
		return err
	}
	if !slices.Equal(sums, second) {
		return fmt.Errorf("another build of the same sources gives other bytes:\n%s", strings.Join(second, "\n"))
	}
	fmt.Fprintln(stdout, "built twice, in two folders: the same bytes")
	return nil
}

// clone puts the commit that is checked out here into a folder of its own as it is stored, without what is not committed.
func clone(ctx context.Context, to string) error {
	head, err := output(gitHere(ctx, "rev-parse", "HEAD"))
	if err != nil {
		return err
	}
	if _, err = output(gitHere(ctx, "clone", "--quiet", "--no-checkout", "--template=", ".", to)); err != nil {
		return err
	}
	if _, err = output(gitOf(ctx, to, "checkout", "--quiet", strings.TrimSpace(head))); err != nil {
		return err
	}
	here, err := output(gitHere(ctx, "tag", "--points-at", "HEAD"))
	if err != nil {
		return err
	}
	there, err := output(gitOf(ctx, to, "tag", "--points-at", "HEAD"))
	if err == nil && there != here {
		err = fmt.Errorf("the tags of the commit are hidden by a setting of git, such as transfer.hideRefs: %q here, %q in a clone", strings.Fields(here), strings.Fields(there))
	}
	return err
}

// gitHere is git in the top folder of the sources, whatever repository the environment names, as it does within hooks.
func gitHere(ctx context.Context, args ...string) *exec.Cmd {
	command := exec.CommandContext(ctx, "git", args...)
	command.Env = withoutGit(os.Environ(), "GIT_CONFIG")
	return command
}

// gitOf is git in a clone, as no file of the one who builds changes it.
func gitOf(ctx context.Context, folder string, args ...string) *exec.Cmd {
	command := exec.CommandContext(ctx, "git", args...)
	command.Dir, command.Env = folder, ownGit(os.Environ())
	return command
}

// withoutGit is an environment without what it says to git, but for what begins so.
func withoutGit(environ []string, but ...string) []string {
	return slices.DeleteFunc(slices.Clone(environ), func(set string) bool {
		return strings.HasPrefix(set, "GIT_") && !slices.ContainsFunc(but, func(start string) bool { return strings.HasPrefix(set, start) })
	})
}

// ownGit is an environment in which git, by itself or for Go, has no settings but those of the repository: attributes, filters and hooks of the one
// who builds would change what is checked out.
func ownGit(environ []string) []string {
	return append(withoutGit(environ), "GIT_CONFIG_NOSYSTEM=1", "GIT_ATTR_NOSYSTEM=1", "GIT_CONFIG_GLOBAL="+os.DevNull,
		"GIT_CONFIG_COUNT=2", "GIT_CONFIG_KEY_0=core.attributesFile", "GIT_CONFIG_VALUE_0="+os.DevNull, "GIT_CONFIG_KEY_1=core.hooksPath", "GIT_CONFIG_VALUE_1="+os.DevNull)
}

// output is what a command prints; where it fails what it says is in the error.
func output(command *exec.Cmd) (string, error) {
	var said strings.Builder
	command.Stderr = &said
	out, err := command.Output()
	if err != nil {
		err = fmt.Errorf("%s: %w\n%s", strings.Join(command.Args, " "), err, said.String())
	}
	return string(out), err
}

// builder builds the commit in a folder of its own.
type builder struct {
	sources, work, out string // folders; the first is not there yet
	cache              string // of compiled packages; empty for the usual one
}

// all builds targets and returns their lines of SHA256SUMS. Archives and sums are written when all are built.
func (b *builder) all(ctx context.Context, list []string) (sums []string, err error) {
	if err := clone(ctx, b.sources); err != nil {
		return nil, err
	}
	for _, folder := range [...]string{b.work, b.out} {
		if err := os.MkdirAll(folder, 0o777); err != nil {
			return nil, err
		}
	}
	host := filepath.Join(b.work, "host")
	if err := b.build(ctx, runtime.GOOS+"/"+runtime.GOARCH, host); err != nil {
		return nil, err
	}
	info, err := buildinfo.ReadFile(host)
	if err != nil {
		return nil, err
	}
	if err := b.agrees(ctx, host, info); err != nil {
		return nil, err
	}
	beside, err := besides(ctx, host)
	if err != nil {
		return nil, err
	}
	for _, name := range [...]string{"README.md", "testdata/demo"} { // whose pictures and project the README leads to
		files, err := filesOf(os.DirFS(b.sources), name, "")
		if err != nil {
			return nil, err
		}
		beside = append(beside, files...)
	}
	before, err := b.archives(info.Main.Version)
	if err != nil {
		return nil, err
	}
	var built []member
	for _, target := range list {
		archive, err := b.target(ctx, target, info.Main.Version, committed(info), beside)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", target, err)
		}
		built = append(built, archive)
		sums = append(sums, sumLine(archive))
	}
	all := slices.Clone(sums)
	for _, archive := range before {
		if !slices.ContainsFunc(built, func(m member) bool { return m.name == archive.name }) {
			all = append(all, sumLine(archive))
		}
	}
	slices.SortFunc(all, func(a, b string) int { return strings.Compare(a[2*sha256.Size:], b[2*sha256.Size:]) })
	for _, file := range append(built, member{name: sumsFile, content: []byte(strings.Join(all, "\n") + "\n")}) {
		if err := os.WriteFile(filepath.Join(b.out, file.name), file.content, 0o666); err != nil {
			return nil, err
		}
	}
	return sums, nil
}

const sumsFile = "SHA256SUMS"

func sumLine(m member) string { return fmt.Sprintf("%x  %s", sha256.Sum256(m.content), m.name) }

// archives are those of a version that stand in the folder already, whose sums stay. One of another version is refused, since what is
// fetched from there is one release.
func (b *builder) archives(version string) (list []member, err error) {
	files, err := os.ReadDir(b.out)
	if err != nil {
		return nil, err
	}
	for _, file := range files {
		name := file.Name()
		if !strings.HasPrefix(name, "dryarc_") {
			continue
		}
		if !strings.HasPrefix(name, stem(version)) {
			return nil, fmt.Errorf("%s holds %s, which is not of %s; give another folder, or empty that one", b.out, name, version)
		}
		content, err := os.ReadFile(filepath.Join(b.out, name))
		if err != nil {
			return nil, err
		}
		list = append(list, member{name: name, content: content})
	}
	return list, nil
}

// stem is how the names of the archives of a version begin.
func stem(version string) string { return "dryarc_" + version + "_" }

// build builds the program. It has no symbols for debuggers, no paths and no id of the build.
func (b *builder) build(ctx context.Context, target, to string) error {
	command := exec.CommandContext(ctx, "go", "build", "-trimpath", "-buildvcs=true", "-ldflags=-s -w -buildid=", "-o", to, "./cmd/dryarc")
	command.Dir = b.sources
	command.Env = environment(target)
	if b.cache != "" {
		command.Env = append(command.Env, "GOCACHE="+b.cache)
	}
	_, err := output(command)
	return err
}

// environment is that of the one who builds, with all that changes what is built stated: what the builder or a file of his states for the
// programs that he builds for himself is not that of a release.
func environment(target string) []string {
	system, processor, _ := strings.Cut(target, "/")
	return append(ownGit(os.Environ()), "GOENV=off", "GOOS="+system, "GOARCH="+processor, "GOAMD64=v1", "GOARM64=v8.0", "CGO_ENABLED=0",
		"GOFLAGS=", "GOEXPERIMENT=", "GOFIPS140=off", "GOTOOLCHAIN=local", "GOWORK=off")
}

// target builds and packs one target.
func (b *builder) target(ctx context.Context, target, version string, at time.Time, beside []member) (archive member, err error) {
	program := "dryarc"
	pack, end := tarred, ".tar.gz"
	if strings.HasPrefix(target, "windows/") {
		program, pack, end = "dryarc.exe", zipped, ".zip"
	}
	path := filepath.Join(b.work, strings.ReplaceAll(target, "/", "-"))
	if err := b.build(ctx, target, path); err != nil {
		return archive, err
	}
	info, err := buildinfo.ReadFile(path)
	if err != nil {
		return archive, err
	}
	members, err := b.notices(info)
	if err != nil {
		return archive, err
	}
	content, err := os.ReadFile(path)
	if err != nil {
		return archive, err
	}
	name := stem(version) + strings.ReplaceAll(target, "/", "_")
	packed, err := pack(name, append(append(members, beside...), member{name: program, content: content, runs: true}), at)
	return member{name: name + end, content: packed}, err
}

// besides are what the program makes of itself: manual page, completions, and what its notices say before those of the libraries.
func besides(ctx context.Context, program string) (list []member, err error) {
	for _, of := range [...]struct {
		name string
		args []string
	}{
		{"notices/README.txt", []string{"version", "--notices"}},
		{"man/man1/dryarc.1", []string{"man"}},
		{"completion/dryarc.bash", []string{"completion", "bash"}},
		{"completion/_dryarc", []string{"completion", "zsh"}},
		{"completion/dryarc.fish", []string{"completion", "fish"}},
		{"completion/dryarc.ps1", []string{"completion", "powershell"}},
	} {
		text, err := output(exec.CommandContext(ctx, program, of.args...))
		if err != nil {
			return nil, err
		}
		if strings.HasPrefix(of.name, "notices/") {
			text, _, _ = strings.Cut(text, "\n====")
		}
		list = append(list, member{name: of.name, content: []byte(text)})
	}
	return list, nil
}

// notices are the licence texts of the libraries that a build links, which on another system are others than here.
func (b *builder) notices(info *debug.BuildInfo) (list []member, err error) {
	texts := os.DirFS(filepath.Join(b.sources, "cmd", "dryarc", "notices"))
	folders := []string{"go"}
	for _, module := range info.Deps {
		folders = append(folders, module.Path+"@"+module.Version)
	}
	for _, folder := range folders {
		files, err := filesOf(texts, folder, "notices/")
		if err != nil {
			return nil, fmt.Errorf("there is no licence text of %s: %w", folder, err)
		}
		list = append(list, files...)
	}
	return list, nil
}

// filesOf are a file, or those of a folder and below, each by its name behind what stands before it in the archive.
func filesOf(in fs.FS, name, before string) (list []member, err error) {
	err = fs.WalkDir(in, name, func(file string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		content, err := fs.ReadFile(in, file)
		list = append(list, member{name: before + file, content: content})
		return err
	})
	return list, err
}

// committed is when the sources were committed, for the times in archives; without a commit the first that a zip archive can state.
func committed(info *debug.BuildInfo) time.Time {
	for _, s := range info.Settings {
		if at, err := time.Parse(time.RFC3339, s.Value); s.Key == "vcs.time" && err == nil {
			return at.UTC().Truncate(2 * time.Second) // as zip archives have it
		}
	}
	return time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)
}

// agrees fails where the sources are not those of their commit, are tagged as another version than the program says of itself, or than Go makes of
// the tag, or may be so in the repository that they were fetched from.
func (b *builder) agrees(ctx context.Context, program string, info *debug.BuildInfo) error {
	built := info.Main.Version
	if slices.Contains(info.Settings, debug.BuildSetting{Key: "vcs.modified", Value: "true"}) {
		return errors.New("what is checked out of the commit is not as it is stored there: look at the attributes of the repository (.gitattributes)")
	}
	listed, err := output(gitOf(ctx, b.sources, "tag", "--points-at", "HEAD"))
	if err != nil {
		return err
	}
	tags := slices.DeleteFunc(strings.Fields(listed), func(tag string) bool { return !isVersion.MatchString(tag) })
	if len(tags) > 0 && !slices.Contains(tags, built) {
		return fmt.Errorf("the commit has the tag %s, and Go builds it as %s: the path of the module in go.mod ends in /v2 from v2 on, and in none before",
			strings.Join(tags, ", "), built)
	}
	if isPseudo.MatchString(built) {
		shallow, err := output(gitOf(ctx, b.sources, "rev-parse", "--is-shallow-repository"))
		if err == nil && strings.TrimSpace(shallow) == "true" {
			err = errors.New("the clone is shallow, so that the version of a commit without a tag cannot be known: git fetch --unshallow --tags")
		}
		return err
	}
	said, err := output(exec.CommandContext(ctx, program, "version"))
	if err != nil {
		return err
	}
	if of, _, _ := strings.Cut(said, ","); "v"+strings.TrimPrefix(of, "dryarc ") != built {
		return errors.New("the tag " + built + " is another version than the program says: " + strings.TrimSpace(said))
	}
	return nil
}

var (
	// isVersion tells tags of versions, pre-releases among them.
	isVersion = regexp.MustCompile(`^v\d+\.\d+\.\d+`)
	// isPseudo tells the version that Go makes of a commit without a tag: it ends in the time of the commit and its hash.
	isPseudo = regexp.MustCompile(`[-.]\d{14}-[0-9a-f]{12}$`)
)
