package report

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"dryarc/audit"
)

// output is one file of a report.
type output struct {
	name  string
	write func(ctx context.Context, w io.Writer, r *audit.Result) error
	// last, where set, is what writes an output that vouches for the others, beside them. It returns what makes the start of it again, as long
	// as it was, once their hashes are known.
	last func(ctx context.Context, w io.Writer, r *audit.Result, others []Output) (again func(others []Output) []byte, err error)
	// asked, where set, is the name that asks for the output where the network is too large for it to be written by default.
	asked string
	// allNeeds tells that it has what every structure needs, whether exceptions are there or not.
	allNeeds bool
}

// Output is an output of a run that other files of the run vouch for.
type Output struct {
	File   string `json:"file"`
	SHA256 string `json:"sha256"` // of its bytes, hexadecimal
}

// WorkbookFile is the output in which people decide.
const WorkbookFile = "exceptions.xlsx"

// pageFile is the output that everybody opens first.
const pageFile = "audit.html"

// structuresFile is the output that has every structure for the GIS.
const structuresFile = "structures.geojson"

// AuditFile is the output that says what the others are, and what the next run compares with.
const AuditFile = "audit.json"

// outputs lists the files in the order in which they take their names. The workbook comes first, since it is the one
// that another program may hold open; audit.json comes last, so that who sees a new one finds the others new too.
func outputs(a *account) []output {
	return []output{
		{name: WorkbookFile, write: a.by(writeWorkbook)},
		{name: pageFile, write: a.by(writePage)},
		{name: structuresFile, write: a.by(writeStructures), asked: "structures"},
		{name: "exceptions.geojson", write: a.by(writeExceptions)},
		{name: historyFile, write: a.by(writeHistory)},
		{name: AuditFile, write: a.by(writeAudit), last: func(ctx context.Context, w io.Writer, r *audit.Result, others []Output) (func([]Output) []byte, error) {
			return writeJSON(ctx, w, r, a, others)
		}},
	}
}

// onRequest are the outputs that are written only where they are asked for, by the names that ask for them.
func onRequest(a *account) []requested {
	return []requested{
		{"csv", output{name: "exceptions.csv", write: a.by(writeExceptionsCSV)}},
		{"gpkg", output{name: "audit.gpkg", write: a.by(writeGeoPackage), allNeeds: true}},
		{"geoparquet", output{name: structuresParquet, write: a.by(writeStructuresParquet), allNeeds: true}},
		{"geoparquet", output{name: spansParquet, write: a.by(writeSpansParquet)}},
		{"geoparquet", output{name: exceptionsParquet, write: a.by(writeExceptionsParquet)}},
		{"kml", output{name: "exceptions.kml", write: a.by(writeKML)}},
		{"kml", output{name: "exceptions.kmz", write: a.by(writeKMZ)}},
		{"metrics", output{name: "audit.prom", write: a.by(writeMetrics)}},
		{"requirements", output{name: "requirements.csv", write: writeRequirementsCSV, allNeeds: true}},
		{"work", output{name: "work.csv", write: a.by(writeWorkCSV)}},
		{"work", output{name: "material.csv", write: a.by(writeMaterialCSV)}},
		{"styles", output{name: structuresStyle, write: a.writeStyle("structures", structureMembers)}},
		{"styles", output{name: exceptionsStyle, write: a.writeStyle(pointLayer.name, exceptionMembers)}},
		{"styles", output{name: alongStyle, write: a.writeStyle(wayLayer.name, exceptionMembers)}},
		{"remedied", output{name: remediedFile, write: a.by(func(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
			return writeRemedied(ctx, w, r, a, "run "+r.Run.ID)
		})}},
		{riskName, output{name: "risk.json", write: a.by(writeRiskJSON)}},
		{riskName, output{name: "risk.geojson", write: a.by(writeRiskLayer)}},
		{"brief", output{name: "brief.html", write: a.by(writeBrief)}},
		{"sensitivity", output{name: sensitivityFile, write: a.by(writeSensitivityCSV)}},
	}
}

// requested is an output on request and the name that asks for it.
type requested struct {
	asked string
	output
}

// Also lists the names of the outputs on request.
func Also() (names []string) {
	for _, o := range onRequest(&account{}) {
		if !slices.Contains(names, o.asked) { // one name may ask for several
			names = append(names, o.asked)
		}
	}
	for _, o := range outputs(&account{}) {
		if o.asked != "" {
			names = append(names, o.asked)
		}
	}
	return names
}

// UnknownOutput is the error of a run that is asked for an output that there is not.
type UnknownOutput struct{ Name string }

func (e *UnknownOutput) Error() string {
	return fmt.Sprintf("output %q is none of %s", e.Name, strings.Join(Also(), ", "))
}

// chosen lists the outputs of a run, with those that it asks for by name before audit.json, and without those that the account leaves out.
func chosen(a *account, also []string) ([]output, error) {
	all := outputs(a)
	list := slices.DeleteFunc(slices.Clone(all), func(o output) bool { return slices.Contains(outputNames(a.leftOut), o.name) })
	last := len(list) - 1
	a.sensitivity.asked = slices.Contains(also, "sensitivity") // which is a sheet of the workbook too
	for _, name := range also {
		known := slices.ContainsFunc(all, func(o output) bool { return o.asked == name }) // which stands in the list
		for _, o := range onRequest(a) {
			if o.asked != name {
				continue
			}
			known = true
			if !slices.ContainsFunc(list, func(have output) bool { return have.name == o.name }) {
				list = slices.Insert(list, last, o.output)
				last++
			}
		}
		if !known {
			return nil, &UnknownOutput{name}
		}
	}
	return list, nil
}
