package read

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"dryarc/audit"
)

// twice finds a word, a name or a structure number that is written otherwise when it is read by the words a second time, with its list;
// empty where there is none. A register with all jobs done may hold any name of the project and any word of a vocabulary.
func (h *houseWords) twice(p *audit.Project) string {
	for _, list := range slices.Sorted(maps.Keys(h.byList)) {
		for _, from := range slices.Sorted(maps.Keys(h.byList[list])) {
			if to := h.byList[list][from]; h.text(list, to) != to {
				return changedTwice(list, to)
			}
		}
		for _, word := range h.writtenOf(list, p) {
			if to := h.text(list, word); keyIn(list, to) != keyIn(list, word) {
				return changedTwice(list, word)
			}
		}
	}
	if !h.rewrites() {
		return ""
	}
	changed := func(at audit.TextAt) string {
		if number := p.Texts.Get(at); h.number(number) != number {
			return changedTwice(structureList, number)
		}
		return ""
	}
	for i := range p.Assemblies.Len() {
		if again := changed(p.Assemblies.At(i).Number); again != "" {
			return again
		}
	}
	for _, row := range p.Structures.All() {
		if again := changed(row.Number); again != "" {
			return again
		}
	}
	return ""
}

func changedTwice(list, word string) string { return fmt.Sprintf("%s %q", list, word) }

// writtenOf lists the names and words of a list that a register of the project may hold; nothing of lists that only layers have.
func (h *houseWords) writtenOf(list string, p *audit.Project) (written []string) {
	seen := map[string]bool{}
	add := func(text string) {
		if text != "" && !seen[text] {
			seen[text] = true
			written = append(written, text)
		}
	}
	switch list {
	case lineList:
		for _, row := range p.Structures.All() {
			add(p.Symbols.Text(row.Line))
		}
		for i := range p.Lines {
			add(p.Symbols.Text(p.Lines[i].Line))
		}
		for i := range p.Assemblies.Len() {
			add(p.Symbols.Text(p.Assemblies.At(i).Line))
		}
		for i := range p.Routes {
			add(p.Symbols.Text(p.Routes[i].Line))
		}
	case circuitList:
		for i := range p.Assemblies.Len() {
			add(p.Symbols.Text(p.Assemblies.At(i).Circuit))
		}
		most := 1
		for i := range p.Lines {
			most = max(most, p.Lines[i].Circuits)
		}
		for n := range most { // of which the register may have no row yet
			add(fmt.Sprint(n + 1))
		}
	case phaseList:
		phases := func(set audit.Phases) {
			if set == audit.EveryPhase || set == 0 {
				set, _ = audit.ParsePhases("ABC")
			}
			for _, name := range strings.Split(set.String(), ",") {
				add(name)
			}
		}
		for i := range p.Assemblies.Len() {
			phases(p.Assemblies.At(i).Phases)
		}
		for i := range p.Lines {
			phases(p.Lines[i].Phases)
		}
	case unitList:
		for i := range p.Units {
			add(p.Units[i].Name)
		}
		for i := range p.Makeups {
			add(p.Makeups[i].Text)
		}
	case conductorList:
		for i := range p.Conductors {
			add(p.Conductors[i].Name)
		}
		for i := range p.Lines {
			add(p.Symbols.Text(p.Lines[i].Conductor))
		}
	case sideList, dutyList, arrangement, mountingList, systemList, kindList:
		for _, l := range wordLists() {
			if l.name == list {
				for _, word := range strings.Split(l.choice, ", ") {
					add(word)
				}
			}
		}
	case stockedList:
		add("yes")
	}
	return written
}
