package read

import (
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/goccy/go-yaml/ast"
)

func insulatorFactorKeys(f *audit.InsulatorFactor, low, high float64) section {
	keys := section{{"basis", textKey(&f.Basis)}}
	for _, word := range audit.FactorWords() {
		keys = append(keys, key{word.Text, floatKey(f.At(word.Value), low, high)})
	}
	return append(keys, key{"by", exactFactorsKey(&f.By, low, high)})
}

const exactFactorHint = "write a list of factors with what each is for: - {for: tension, case: high wind, material: porcelain, factor: 2.7, basis: own study}"

// exactFactorsKey reads the factors for some load cases, insulators or places.
func exactFactorsKey(to *[]audit.ExactFactor, low, high float64) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		list, ok := node.(*ast.SequenceNode)
		if !ok {
			return wrong(node, exactFactorHint, "%s %s is no list of factors", name, written(node))
		}
		for _, entry := range list.Values {
			read, problem := readExactFactor(entry, low, high)
			if problem != nil {
				return problem
			}
			if slices.ContainsFunc(*to, func(other audit.ExactFactor) bool { return other.IsAsExact(&read) }) {
				return wrong(entry, "state one factor for it, or say in what they differ", "two factors of insulator_factor are for the same: %s", &read)
			}
			*to = append(*to, read)
		}
		return nil
	}
}

func readExactFactor(node ast.Node, low, high float64) (e audit.ExactFactor, problem *ProjectFileError) {
	words := newWords(audit.FactorWords())
	keys := section{
		{"for", namesKey(func(text string) bool {
			of, known := words.find(text)
			if known && !slices.Contains(e.For, of) {
				e.For = append(e.For, of)
			}
			return known
		}, words.list)},
		{"case", anyNames(&e.Cases)},
		{"kind", anyNames(&e.Kinds)},
		{"material", anyNames(&e.Materials)},
		{"unit", anyNames(&e.Units)},
		{"installed_before", wholeKey(&e.InstalledBefore, 1850, 2200)},
		{"installed_from", wholeKey(&e.InstalledFrom, 1850, 2200)},
		{"at", namesKey(func(text string) bool {
			e.At = audit.AtTerminal
			return strings.EqualFold(strings.TrimSpace(text), audit.AtTerminal)
		}, audit.AtTerminal)},
		{"crossing", anyNames(&e.Crossings)},
		{"factor", floatKey(&e.Factor, low, high)},
		{"basis", textKey(&e.Basis)},
	}
	if problem = keys.read("by", node); problem != nil {
		return e, problem
	}
	ofFitting := slices.ContainsFunc(e.For, audit.FactorOf.OfFitting)
	switch e.Basis = strings.TrimSpace(e.Basis); {
	case len(e.For) == 0:
		problem = wrong(node, exactFactorHint, "a factor under by does not say what it is for, expected the key for with %s", words.list)
	case e.Factor == 0:
		problem = wrong(node, exactFactorHint, "a factor under by has no number, expected the key factor")
	case e.Basis == "":
		problem = wrong(node, exactFactorHint, "a factor under by names no basis, expected the key basis with the document that it follows")
	case e.IsBare():
		problem = wrong(node, "a factor for everything stands beside by: insulator_factor: {basis: own rule, tension: 2}", "a factor under by is for everything, expected case, kind, material, unit, installed_before, installed_from, at or crossing")
	case ofFitting && (len(e.Materials) > 0 || len(e.Units) > 0 || e.AsksInstalled()):
		problem = wrong(node, "fittings go by load case and place; material, unit and year are of insulators", "a factor under by is for fittings and names what insulators have")
	case e.InstalledBefore > 0 && e.InstalledFrom >= e.InstalledBefore:
		problem = wrong(node, "installed_from: 1970 and installed_before: 1985 are the years 1970 to 1984", "a factor under by is for no year: from %d on and before %d", e.InstalledFrom, e.InstalledBefore)
	}
	return e, problem
}

// anyNames reads one name or a list of names.
func anyNames(to *[]string) reader {
	return namesKey(func(text string) bool {
		if text = strings.TrimSpace(text); text == "" {
			return false
		}
		*to = append(*to, text)
		return true
	}, "a name or a list of names")
}

// namesKey reads one text or a list of texts, each taken or refused.
func namesKey(take func(text string) bool, expected string) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		values := []ast.Node{node}
		if list, ok := node.(*ast.SequenceNode); ok {
			values = list.Values
		}
		if len(values) == 0 {
			return wrong(node, exactFactorHint, "%s is an empty list, expected %s", name, expected)
		}
		for _, value := range values {
			if text, ok := scalar(value); !ok || !take(text) {
				return wrong(value, exactFactorHint, "%s %s is not known, expected %s", name, written(value), expected)
			}
		}
		return nil
	}
}

// checkFactors finds load cases and kinds of them that factors name and no criteria have: such a factor would hold nowhere, in silence.
func (f *projectFile) checkFactors(node ast.Node, c *audit.Criteria) *ProjectFileError {
	cases, kinds := f.loadCases(), f.caseKinds()
	same := func(known, name string) bool { return audit.IsSameLoadCase(known, name) }
	list, _ := under(node, "criteria", "insulator_factor", "by").(*ast.SequenceNode)
	for i := range c.InsulatorFactor.By {
		e, at := &c.InsulatorFactor.By[i], list.Values[i]
		for _, of := range [...]struct {
			key, what    string
			names, known []string
			same         func(known, name string) bool
		}{{"case", "load case", e.Cases, cases, same}, {"kind", "kind of load case", e.Kinds, kinds, strings.EqualFold}} {
			for _, name := range of.names {
				if slices.ContainsFunc(of.known, func(known string) bool { return of.same(known, name) }) {
					continue
				}
				hint := "load_cases has none; give each a name and, where factors go by it, a kind"
				if len(of.known) > 0 {
					hint = "the criteria have " + quotedList(of.known)
				}
				return wrong(under(at, of.key), hint, "a factor under by is for the %s %q, which load_cases does not have", of.what, name)
			}
		}
	}
	return nil
}

// caseKinds lists the kinds of load case of all criteria, as loadCases does the names.
func (f *projectFile) caseKinds() (kinds []string) {
	add := func(c *audit.Criteria) {
		for i := range c.LoadCases {
			kind := c.LoadCases[i].Kind
			if kind != "" && !slices.ContainsFunc(kinds, func(known string) bool { return strings.EqualFold(known, kind) }) {
				kinds = append(kinds, kind)
			}
		}
	}
	add(&f.criteria)
	for _, o := range slices.Concat(f.ofLines, f.scenarios) {
		add(&o.criteria)
	}
	return kinds
}

// under is the value of a key in a mapping, or of a key in that, and so on; nil where there is none.
func under(node ast.Node, keys ...string) ast.Node {
	for _, key := range keys {
		entries, _ := mapping(node)
		node = nil
		for _, entry := range entries {
			if text, _ := scalar(entry.Key); text == key {
				node = entry.Value
			}
		}
	}
	return node
}
