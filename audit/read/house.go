package read

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/goccy/go-yaml/ast"
)

// houseWords are the words of the house: what the project file says that words of its inputs mean, in layers and in the register
// alike. Case, accents and blanks do not matter, nor do hyphens and points but in names.
type houseWords struct {
	byList     map[string]map[string]string // by the list they are of, by wordKey: the word meant, as stated
	structures []rewriting                  // of structure numbers, in order
}

// rewriting is a pattern of structure numbers and what those that match it are written as.
type rewriting struct {
	match *regexp.Regexp
	as    string
}

// wordList is a list of words of which the house may have its own.
type wordList struct {
	name   string            // as under words
	means  func(string) bool // whether a text is a word of the list; nil where any is
	choice string            // the words, for messages
}

// The lists that have columns or properties of several sheets are named once here.
const (
	lineList      = "Line"
	structureList = "Structure"
	circuitList   = "Circuit"
	phaseList     = "Phase"
	unitList      = "Unit"
	conductorList = "Conductor"
	sideList      = "Side"
	dutyList      = "Duty"
	arrangement   = "Arrangement"
	mountingList  = "Mounting"
	ringsList     = "Grading rings"
	systemList    = "System"
	kindList      = "Kind"
	stockedList   = "Stocked"
	classList     = "class"
	wallSideList  = "Wall side"
	roleList      = "role"
	continuesList = "continues"
	crossingList  = "kind"
)

// wordLists lists the vocabularies that the key words of the project file knows, beside structure numbers.
func wordLists() []wordList {
	kinds := strings.TrimPrefix(kindExpected(), "is none of ")
	return []wordList{
		{name: lineList}, {name: circuitList}, {name: unitList}, {name: conductorList}, {name: crossingList},
		{phaseList, func(text string) bool { _, ok := audit.ParsePhases(text); return ok }, "phases such as A or R,Y,B"},
		listOf(sideList, newWords(audit.SideWords(), moreSideWords()...)),
		listOf(dutyList, newWords(audit.DutyWords(), moreDutyWords()...)),
		listOf(arrangement, newWords(audit.ArrangementWords(), moreArrangementWords()...)),
		listOf(mountingList, newWords(audit.MountingWords(), moreMountingWords()...)),
		listOf(ringsList, newWords(audit.RingsWords(), moreRingsWords()...)),
		listOf(systemList, newWords(audit.SystemWords(), moreSystemWords()...)),
		listOf(stockedList, newWords(yesNoWords(), moreYesNoWords()...)),
		listOf(wallSideList, newWords(audit.WallSideWords())),
		listOf(roleList, newWords(audit.DeclaredRoleWords(), moreRoleWords()...)),
		listOf(continuesList, newWords(yesNoWords(), moreYesNoWords()...)),
		{kindList, func(text string) bool { _, ok := basis.ParseKind(text); return ok }, kinds},
		{classList, func(text string) bool { _, ok := basis.ParseClass(text); return ok }, "the classes a to f"},
	}
}

func listOf[V any](name string, known words[V]) wordList {
	return wordList{name, func(text string) bool { _, ok := known.find(text); return ok }, known.list}
}

const wordsHint = "write what stands in the inputs and what it means, by column: words: {Duty: {Strain: tension}}"

// read reads the section words of the project file.
func (h *houseWords) read(name string, node ast.Node) *ProjectFileError {
	h.byList = map[string]map[string]string{}
	lists := section{{structureList, h.readStructures}}
	for _, list := range wordLists() {
		lists = append(lists, key{list.name, func(name string, node ast.Node) *ProjectFileError { return h.readList(list, node) }})
	}
	return lists.read(name, node)
}

func (h *houseWords) readList(list wordList, node ast.Node) *ProjectFileError {
	entries, ok := mapping(node)
	if !ok {
		return wrong(node, wordsHint, "words of %s %s is no mapping of words to what they mean", list.name, written(node))
	}
	known := map[string]string{}
	h.byList[list.name] = known
	for _, entry := range entries {
		from, _ := scalar(entry.Key)
		to, isText := scalar(entry.Value)
		key := keyIn(list.name, strings.TrimSpace(from))
		before, twice := known[key]
		switch {
		case key == "":
			return wrong(entry.Key, wordsHint, "words of %s has a blank word, expected one that stands in the inputs", list.name)
		case !isText || strings.TrimSpace(to) == "":
			return wrong(valueOrKey(entry), wordsHint, "word %s of %s is no text", written(entry.Value), list.name)
		case list.means != nil && !list.means(to):
			return wrong(valueOrKey(entry), wordsHint, "word %s is none of %s: %s", written(entry.Value), list.name, list.choice)
		case twice && before != to:
			return wrong(entry.Key, "case, accents and blanks do not matter in words, nor do hyphens in those of a vocabulary",
				"word %s of %s stands twice, as %q and as %q", written(entry.Key), list.name, before, to)
		}
		known[key] = to
	}
	return nil
}

// readStructures reads how structure numbers are rewritten: a list of {match, as}.
func (h *houseWords) readStructures(name string, node ast.Node) *ProjectFileError {
	const hint = `write patterns and what their numbers become: Structure: [{match: '^0*(\d+)$', as: '$1'}]`
	list, ok := node.(*ast.SequenceNode)
	if !ok {
		return wrong(node, hint, "words of %s %s is no list of patterns", name, written(node))
	}
	for _, entry := range list.Values {
		var match, as string
		var given ast.Node
		problem := section{{"match", func(name string, node ast.Node) *ProjectFileError {
			given = node
			return textKey(&match)(name, node)
		}}, {"as", textKey(&as)}}.read(name, entry)
		if problem != nil {
			return problem
		}
		if match == "" || as == "" {
			return wrong(entry, hint, "a pattern of %s has no match or no as, expected both", name)
		}
		pattern, err := regexp.Compile(match)
		if err != nil {
			return wrong(given, hint, "match %s is no pattern: %s", written(given), err)
		}
		if group := groupNotThere(pattern, as); group != "" {
			return wrong(entry, "write ${1} where a letter or a digit follows the number of a group", "as %q of %s names a group %q that its pattern does not have", as, name, group)
		}
		h.structures = append(h.structures, rewriting{pattern, as})
	}
	return nil
}

// groupInTemplate is a group that a template names, or a dollar that stands for itself.
var groupInTemplate = regexp.MustCompile(`\$(?:\$|\{(\w+)\}|(\w+))`)

// groupNotThere finds a group that a template names and the pattern does not have; empty where there is none.
func groupNotThere(pattern *regexp.Regexp, template string) string {
	for _, found := range groupInTemplate.FindAllStringSubmatch(template, -1) {
		name := found[1] + found[2]
		number, err := strconv.Atoi(name)
		if name != "" && (err == nil && number > pattern.NumSubexp() || err != nil && pattern.SubexpIndex(name) < 0) {
			return name
		}
	}
	return ""
}

// text is what a text of a list means; itself where the house says nothing of it.
func (h *houseWords) text(list, text string) string {
	if h == nil || len(h.byList[list]) == 0 || text == "" {
		return text
	}
	if meant, ok := h.byList[list][keyIn(list, text)]; ok {
		return meant
	}
	return text
}

// list are the words of one list.
func (h *houseWords) list(name string) map[string]string {
	if h == nil {
		return nil
	}
	return h.byList[name]
}

// phases reads phases as the house names them: all of the text, else each phase of it by itself. Several that become one are not
// known.
func (h *houseWords) phases(text string) (audit.Phases, *trouble) {
	own := h.list(phaseList)
	meant, known := own[houseKey(text)]
	if !known {
		meant = text
	}
	plain, ok := audit.ParsePhases(meant)
	switch {
	case !ok:
		return 0, unknownWord(phaseList, "is no phase, expected names such as A, R,Y,B or ABC", text)
	case known || len(own) == 0:
		return plain, nil
	}
	names := strings.Split(plain.String(), ",")
	set, of := audit.Phases(0), map[audit.Phases]string{}
	for _, name := range names {
		one, _ := audit.ParsePhases(h.text(phaseList, name))
		for other, from := range of {
			if other&one != 0 {
				return 0, &trouble{kind: audit.Implausible, gathered: "phases " + houseKey(text), asks: audit.OpenWord{List: phaseList, Text: strings.Clone(excerpt(text))},
					expected: fmt.Sprintf("names fewer phases by the words of the project file than it has: %s and %s both become %s; which it means is not known, %s", from, name, (other & one).String(), sayWord(phaseList, text))}
			}
		}
		of[one] = name
		set |= one
	}
	return set, nil
}

// keyIn is the key of a text in a list. In names hyphens and points matter.
func keyIn(list, text string) string {
	switch list {
	case lineList, circuitList, unitList, conductorList, crossingList:
		return nameKey(withoutAccents(text))
	}
	return houseKey(text)
}

// houseKey is wordKey, of a text that is all signs the text.
func houseKey(text string) string {
	if key := wordKey(text); key != "" {
		return key
	}
	return text
}

// rewrites tells whether the house writes structure numbers otherwise.
func (h *houseWords) rewrites() bool { return h != nil && len(h.structures) > 0 }

// number is a structure number as the house writes it: by the first pattern that it matches.
func (h *houseWords) number(text string) string {
	text = Composed(text)
	if h == nil {
		return text
	}
	for _, r := range h.structures {
		if at := r.match.FindStringSubmatchIndex(text); at != nil {
			if number := Composed(text[:at[0]] + string(r.match.ExpandString(nil, r.as, text, at)) + text[at[1]:]); strings.TrimSpace(number) != "" {
				return number
			}
			return text // a pattern makes no number blank
		}
	}
	return text
}

// withHouse adds the words of the house to a vocabulary; they win over its own. Those that mean a word it does not have are of
// another vocabulary of the same list.
func withHouse[V any](w words[V], h *houseWords, list string) words[V] {
	w.of = list
	if h == nil {
		return w
	}
	meant := map[string]V{}
	for from, to := range h.byList[list] {
		if value, ok := w.byKey[wordKey(to)]; ok {
			meant[from] = value
		}
	}
	maps.Copy(w.byKey, meant)
	return w
}

// sayWord is the line of the project file that says what a word means.
func sayWord(list, word string) string {
	return fmt.Sprintf("say what it means in the project file: words: {%s: {%q: …}}", list, excerpt(word))
}

// withoutAccents drops the accents of letters.
func withoutAccents(text string) string { return audit.WithoutAccents(text) }

// reading is what the house says, as one text that is the same whatever the order in which it says so.
func (h *houseWords) reading() string {
	var b strings.Builder
	for _, list := range slices.Sorted(maps.Keys(h.byList)) {
		for _, from := range slices.Sorted(maps.Keys(h.byList[list])) {
			fmt.Fprintf(&b, "word %q %q %q\n", list, from, h.byList[list][from])
		}
	}
	for _, r := range h.structures {
		fmt.Fprintf(&b, "structure %q %q\n", r.match, r.as)
	}
	return b.String()
}
