package main

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/scanner"
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// The variables that a changed package reads: the mutant that is on, and the file to note reached places in.
const (
	mutantVariable = "MUTATE_MUTANT"
	reachVariable  = "MUTATE_REACH"
)

// switchboard is added to every changed package. Places are noted when they are first reached, one write each, so that
// they are kept however the test ends.
const switchboard = `package %s

import (
	"fmt"
	"os"
	"strconv"
	"sync"
)

var mutantOnly, mutantReached = mutantStart()

type mutantNotes struct {
	sync.Mutex
	file *os.File
	seen map[int]bool
}

func mutantStart() (int, *mutantNotes) {
	only := -1
	if text := os.Getenv("` + mutantVariable + `"); text != "" {
		only, _ = strconv.Atoi(text)
	}
	path := os.Getenv("` + reachVariable + `")
	if path == "" {
		return only, nil
	}
	file, err := os.OpenFile(path, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
	if err != nil {
		panic(err)
	}
	return only, &mutantNotes{file: file, seen: map[int]bool{}}
}

func mutantOn(id int) bool {
	if mutantReached != nil {
		mutantReached.note(id)
	}
	return id == mutantOnly
}

func (n *mutantNotes) note(id int) {
	n.Lock()
	defer n.Unlock()
	if !n.seen[id] {
		n.seen[id] = true
		fmt.Fprintln(n.file, id)
	}
}
`

// switchboardName is the file of the switchboard in a package's folder, which exists only in the overlay.
const switchboardName = "mutant_switchboard.go"

// rendered is a file with the guards of its mutants.
type rendered struct {
	text  strings.Builder
	spans []span
}

// span is where a mutant's guard stands in a rendered file.
type span struct {
	mutant     *mutant
	start, end int
}

// render writes a file with the guards of its mutants around what they change. Guards nest as the places do.
func render(f *source, mutants []*mutant) *rendered {
	mutants = slices.Clone(mutants)
	slices.SortStableFunc(mutants, func(a, b *mutant) int { return cmp.Or(cmp.Compare(a.start, b.start), cmp.Compare(b.end, a.end)) })
	r := &rendered{}
	r.write(f.text, 0, len(f.text), mutants)
	return r
}

// write writes the text from start to end, within which all the mutants lie.
func (r *rendered) write(text []byte, start, end int, mutants []*mutant) {
	for len(mutants) > 0 {
		m := mutants[0]
		inner := 1
		for inner < len(mutants) && mutants[inner].end <= m.end && mutants[inner].start < m.end {
			inner++
		}
		r.text.Write(text[start:m.start])
		on := fmt.Sprintf("mutantOn(%d)", m.id)
		opened := r.text.Len()
		r.text.WriteString(strings.ReplaceAll(m.before, "ON", on))
		r.write(text, m.start, m.end, mutants[1:inner])
		r.text.WriteString(strings.ReplaceAll(m.after, "ON", on))
		r.spans = append(r.spans, span{m, opened, r.text.Len()})
		start, mutants = m.end, mutants[inner:]
	}
	r.text.Write(text[start:end])
}

// innermost is the mutant whose guard an offset of the rendered file lies in, nil where it lies in none.
func (r *rendered) innermost(offset int) *mutant {
	for _, s := range r.spans { // inner ones were closed first
		if s.start <= offset && offset < s.end {
			return s.mutant
		}
	}
	return nil
}

// ofFile are the mutants of one file.
func ofFile(mutants []*mutant, f *source) []*mutant {
	var of []*mutant
	for _, m := range mutants {
		if m.file == f {
			of = append(of, m)
		}
	}
	return of
}

// fitting leaves out the mutants with which a package does not compile.
func fitting(packages []*loaded, mutants []*mutant) ([]*mutant, error) {
	for _, p := range packages {
		for {
			unfit, err := p.unfit(mutants)
			if err != nil {
				return nil, err
			}
			if len(unfit) == 0 {
				break
			}
			mutants = slices.DeleteFunc(mutants, func(m *mutant) bool { return unfit[m] })
		}
	}
	return mutants, nil
}

// unfit checks the types of a package with the guards, and returns the mutants that errors lie in.
func (l *loaded) unfit(mutants []*mutant) (map[*mutant]bool, error) {
	set := token.NewFileSet()
	texts := map[string]*rendered{}
	unfit := map[*mutant]bool{}
	var strange error
	note := func(name string, offset int, err error) {
		if m := texts[name].innermost(offset); m != nil {
			unfit[m] = true
		} else if strange == nil {
			strange = fmt.Errorf("outside every guard: %w", err)
		}
	}
	var trees []*ast.File
	for _, f := range l.files {
		r := render(f, ofFile(mutants, f))
		texts[f.path] = r
		tree, err := parser.ParseFile(set, f.path, r.text.String(), parser.SkipObjectResolution)
		if list := (scanner.ErrorList)(nil); errors.As(err, &list) {
			note(f.path, list[0].Pos.Offset, err)
		} else if err != nil {
			return nil, err
		}
		trees = append(trees, tree)
	}
	if len(unfit) > 0 || strange != nil {
		return unfit, strange
	}
	board, err := parser.ParseFile(set, switchboardName, "package "+l.name+"\nfunc mutantOn(int) bool { return false }", parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	config := *l.config
	config.Error = func(err error) {
		if e := (types.Error{}); errors.As(err, &e) {
			at := set.Position(e.Pos)
			note(at.Filename, at.Offset, err)
		}
	}
	_, _ = config.Check(l.path, set, append(trees, board), nil) // every error went to config.Error
	if len(unfit) == 0 {
		return nil, strange
	}
	return unfit, nil
}

// overlay writes the changed files and the list of them that the go command takes.
func overlay(packages []*loaded, mutants []*mutant, folder string) (string, error) {
	replace := map[string]string{}
	put := func(path, text string) error {
		replace[path] = filepath.Join(folder, fmt.Sprintf("%d.go", len(replace)))
		return os.WriteFile(replace[path], []byte(text), 0o644)
	}
	for _, p := range packages {
		if err := put(filepath.Join(p.dir, switchboardName), fmt.Sprintf(switchboard, p.name)); err != nil {
			return "", err
		}
		for _, f := range p.files {
			if of := ofFile(mutants, f); len(of) > 0 {
				if err := put(f.path, render(f, of).text.String()); err != nil {
					return "", err
				}
			}
		}
	}
	list, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		return "", err
	}
	path := filepath.Join(folder, "overlay.json")
	return path, os.WriteFile(path, list, 0o644)
}
