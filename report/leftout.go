package report

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"dryarc/audit"
)

// mostWhole is how many structures a network may have of which the workbook lists each and every output is written by default (a choice of
// this program: beyond it a file of all structures is too large for most of those who open it).
const mostWhole = 100_000

// leftOut are the outputs that a run does not write since its network is too large for them, and that nobody asked for.
func leftOut(r *audit.Result, also []string) []output { return leftOutBeyond(r, also, mostWhole) }

func leftOutBeyond(r *audit.Result, also []string, most int) (left []output) {
	if r.Network.StructureCount() <= most {
		return nil
	}
	for _, o := range outputs(&account{}) {
		if o.asked != "" && !slices.Contains(also, o.asked) {
			left = append(left, o)
		}
	}
	return left
}

// scheduleWhatIsWritten keeps what structures need from being found where no output has it: beyond so many structures the workbook has
// those with exceptions alone, and tables of a database have all.
func scheduleWhatIsWritten(r *audit.Result, list []output, most int) {
	if r.Network.StructureCount() <= most || r.Project.Write != nil || slices.ContainsFunc(list, func(o output) bool { return o.allNeeds }) {
		return
	}
	counts := exceptionsByStructure(r)
	r.ScheduleOnly(func(structure int) bool { return counts[structure] > 0 })
}

func outputNames(list []output) (names []string) {
	for _, o := range list {
		names = append(names, o.name)
	}
	return names
}

// leftOutRecord is an output that a run did not write, and the name that asks for it.
type leftOutRecord struct {
	File string `json:"file"`
	Also string `json:"also"`
}

func leftOutRecords(left []output) (records []leftOutRecord) {
	for _, o := range left {
		records = append(records, leftOutRecord{o.name, o.asked})
	}
	return records
}

// leftOutInWords says of each output that was left out why, and how to get it or what has the same.
func leftOutInWords(left []output) (texts []string) {
	for _, o := range left {
		texts = append(texts, fmt.Sprintf("%s is left out, as there are more than %s structures: --also gpkg writes them as a layer of audit.gpkg or --also geoparquet as structures.parquet, which are recommended at this size, --also %s the file itself",
			o.name, grouped(mostWhole), o.asked))
	}
	return texts
}

// allStructures says which output has every structure.
func (a *account) allStructures() string {
	if a != nil && slices.Contains(outputNames(a.leftOut), structuresFile) {
		return "audit.gpkg (--also gpkg) and structures.parquet (--also geoparquet), recommended at this size, and " + structuresFile + " (--also structures) have all"
	}
	return structuresFile + " has all"
}

// outdated are those of some names under which an earlier run left an output: beside the new set it would be taken for one of it. What no
// run has written stays.
func (f folder) outdated(names []string) (found []string, err error) {
	for _, name := range names {
		switch info, err := f.disk.Lstat(f.path(name)); {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			return nil, &WriteError{name, err}
		case info.Mode().IsRegular() && runCarried(f.path(name)) != "":
			found = append(found, name)
		}
	}
	return found, nil
}

// writeLeftOut says in one line what the outputs do not hold of a network that is too large for it.
func writeLeftOut(b *strings.Builder, r *audit.Result, left []output) {
	n := r.Network.StructureCount()
	if n <= mostWhole {
		return
	}
	fmt.Fprintf(b, "left out, of %s structures: those without exceptions from sheet %s of %s", grouped(n), structuresSheet, WorkbookFile)
	for _, o := range left {
		fmt.Fprintf(b, "; %s (--also gpkg writes them as a layer of audit.gpkg or --also geoparquet as structures.parquet, which are recommended at this size, --also %s the file itself)", o.name, o.asked)
	}
	b.WriteString("\n")
}
