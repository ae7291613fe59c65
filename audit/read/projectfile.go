package read

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"dryarc/audit"
	"dryarc/audit/read/postgres"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
)

// projectFile is what the project file states.
type projectFile struct {
	folder      string // the paths in it are relative to this folder
	title       string
	structures  structureInput
	routes      routeInput
	zones       zoneInput
	crossings   crossingInput
	places      placeInput
	terrain     terrainInput
	register    registerInput
	inspections inspectionInput
	criteria    audit.Criteria
	ofLines     []*overlay // criteria of some lines, in every run
	scenarios   []*overlay
	forScope    bool // the zones files of scenarios are read too
	words       houseWords
	queries     map[string]queryInput // by the names that they have among the files
	queryOrder  []string              // those names
	databases   *postgres.Databases
	moments     string                // says that queries are of several moments; empty where they are not
	write       *audit.DatabaseOutput // nil for none
	decisions   string                // path of the file of decisions; empty for none
	stdin       io.Reader             // what the input "-" is

	largeSheet      uint64         // bytes of XML from which a sheet is one
	largestUnpacked int64          // bytes to which a compressed input may unpack
	mostRows        map[string]int // of the sheets of one kind in the whole register
}

// newProjectFile is a project file that states nothing.
func newProjectFile() *projectFile {
	return &projectFile{
		structures: newStructureInput(), routes: routeInput{line: called("line")}, zones: newZoneInput(),
		crossings: crossingInput{kind: called("kind")}, places: placeInput{name: called("name"), rank: called("rank")}, criteria: audit.DefaultCriteria(), stdin: os.Stdin, largeSheet: largeSheet, largestUnpacked: defaultUnpacked,
		mostRows: map[string]int{assembliesSheet: mostAssemblies, linesSheet: mostOthers, unitsSheet: mostOthers, conductorsSheet: mostOthers, inspectionsSheet: mostAssemblies},
	}
}

// keys lists every key of the project file: one line each.
func (f *projectFile) keys() section {
	return section{
		{"title", textKey(&f.title)},
		{"structures", f.structures.keys().read},
		{"routes", f.routes.keys().read},
		{"zones", f.zones.keys().read},
		{"crossings", f.crossings.keys().read},
		{"places", f.places.keys().read},
		{"terrain", f.terrain.read},
		{"register", f.register.read},
		{"inspections", f.inspections.read},
		{"words", f.words.read},
		{"decisions", decisionsKey(&f.decisions)},
		{"write", f.readWrite},
		{"largest_unpacked_gb", f.readUnpacked},
		{"criteria", criteriaKeys(&f.criteria).read},
		{"for", f.readFor},
		{"scenarios", f.readScenarios},
	}
}

// readUnpacked reads to how much a compressed input may unpack.
func (f *projectFile) readUnpacked(name string, node ast.Node) *ProjectFileError {
	var unpacked float64
	problem := floatKey(&unpacked, 0.001, float64(largestContent)/gigabyte)(name, node)
	if problem == nil {
		f.largestUnpacked = int64(unpacked * gigabyte)
	}
	return problem
}

// longestProjectFile keeps a workbook given by mistake away from the YAML parser.
const longestProjectFile = 1 << 20

// readProjectFile reads the project file strictly: an unknown key is an error.
func readProjectFile(path string) (*projectFile, error) {
	content, err := startOf(path, longestProjectFile+1)
	if err != nil {
		return nil, &ProjectFileError{File: path, Message: openProblem(err), Hint: projectHint}
	}
	f, problem := parseProjectFile(content)
	if problem != nil {
		problem.File = path
		return nil, problem
	}
	f.folder = filepath.Dir(path)
	return f, nil
}

// startOf reads a file up to a number of bytes.
func startOf(path string, most int64) ([]byte, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return io.ReadAll(io.LimitReader(file, most))
}

func parseProjectFile(content []byte) (f *projectFile, problem *ProjectFileError) {
	if problem := otherEncoding(content); problem != nil {
		return nil, problem
	}
	content = bytes.TrimPrefix(content, []byte("\xef\xbb\xbf"))
	content = bytes.ReplaceAll(content, []byte("\r\n"), []byte("\n"))
	if len(content) > longestProjectFile || !utf8.Valid(content) || bytes.IndexByte(content, 0) >= 0 {
		return nil, &ProjectFileError{Message: "is no project file, expected YAML text of less than 1 MB", Hint: projectHint}
	}
	defer func() {
		if p := recover(); p != nil {
			f, problem = nil, &ProjectFileError{Message: fmt.Sprintf("is no valid YAML: the parser failed on it (%v)", p), Hint: yamlHint}
		}
	}()
	tokens := lexer.Tokenize(string(content))
	if problem := tooDeep(tokens); problem != nil {
		return nil, problem
	}
	if problem := notPlain(tokens); problem != nil {
		return nil, problem
	}
	if problem := badEscape(string(content), tokens); problem != nil {
		return nil, problem
	}
	file, problem := parseYAML(tokens)
	if problem != nil {
		return nil, problem
	}
	f = newProjectFile()
	if len(file.Docs) > 1 {
		return nil, wrong(file.Docs[1].Body, "take out the line ---", "a second document starts here, expected one")
	}
	for _, doc := range file.Docs {
		if problem := f.keys().read("", doc.Body); problem != nil {
			return nil, problem
		}
	}
	if problem := f.nameQueries(); problem != nil {
		return nil, problem
	}
	if problem := f.check(); problem != nil {
		return nil, problem
	}
	for _, doc := range file.Docs {
		if problem := f.checkLoadCases(doc.Body); problem != nil {
			return nil, problem
		}
	}
	return f, nil
}

// check finds what single keys cannot tell.
func (f *projectFile) check() *ProjectFileError {
	if len(f.structures.files) == 0 && len(f.routes.files) == 0 {
		return &ProjectFileError{Message: "names neither structures nor routes, expected the key structures with a file",
			Hint: "structures: {file: structures.geojson}"}
	}
	if len(f.terrain.entries) > 0 && len(f.structures.files) == 0 {
		return &ProjectFileError{Message: "names terrain and no structures, expected structures whose ground levels it is to give", Hint: "structures: {file: structures.geojson}"}
	}
	fromPipe := 0
	inputs := [][]string{f.structures.files, f.routes.files, f.zones.files, f.crossings.files, f.places.files, f.terrain.files(), f.register.files(), f.inspections.files()}
	for _, s := range f.scenarios {
		if s.zones != nil {
			inputs = append(inputs, s.zones.in.files)
		}
	}
	for _, files := range inputs {
		for _, name := range files {
			if name == standardInput {
				fromPipe++
			}
		}
	}
	if fromPipe > 1 {
		return &ProjectFileError{Message: fmt.Sprintf("names the standard input %q for %d inputs, expected one at most", standardInput, fromPipe),
			Hint: "write the others into files"}
	}
	return f.checkPriority()
}

const (
	projectHint = "give the path of a project file, such as audit.yaml"
	yamlHint    = "look at the indentation, and put texts that hold any of : # [ ] { } in quotes"
)

// yamlProblem words what the parser said, with its place.
func yamlProblem(err error) *ProjectFileError {
	var at yaml.Error
	if !errors.As(err, &at) {
		return &ProjectFileError{Message: "is no valid YAML: " + err.Error(), Hint: yamlHint}
	}
	said := at.GetMessage()
	problem := &ProjectFileError{Message: "is no valid YAML: " + strings.ReplaceAll(said, "\t", `\t`), Hint: yamlHint}
	if strings.Contains(said, "\t") {
		problem.Hint = "indent with spaces; YAML does not take tabs"
	}
	if strings.Contains(said, "escape character") {
		problem.Hint = escapeHint
	}
	if token := at.GetToken(); token != nil && token.Position != nil {
		problem.Line, problem.Column = token.Position.Line, token.Position.Column
	}
	return problem
}
