package read

import (
	"github.com/goccy/go-yaml/ast"
)

// registerInput is the section register of the project file.
type registerInput struct {
	files []string
	// columns are the headings that the project file names, by sheet and column.
	columns map[string]map[string]property
	// sheets says which sheet a file of text is, by the file's name as written.
	sheets map[string]string
	// scheduleOnly leaves the assemblies unread: voltages, units and conductors serve the schedule of requirements.
	scheduleOnly bool
}

func (r *registerInput) keys() section {
	return section{
		{"file", filesKey(&r.files)},
		{"columns", r.readColumns},
		{"sheets", r.readSheets},
		{"schedule_only", boolKey(&r.scheduleOnly)},
	}
}

// readColumns reads the headings by sheet and column: {Assemblies: {Structure: "Pole no."}}.
func (r *registerInput) readColumns(_ string, node ast.Node) *ProjectFileError {
	r.columns = map[string]map[string]property{}
	var sheets section
	for _, sheet := range Sheets() {
		mapped := map[string]property{}
		r.columns[sheet.Name] = mapped
		var columns section
		for _, c := range sheet.Columns {
			columns = append(columns, key{c.Name, func(name string, node ast.Node) *ProjectFileError {
				p := measured("", c.measure)
				problem := propertyKey(&p)(name, node)
				mapped[c.Name] = p
				return problem
			}})
		}
		sheets = append(sheets, key{sheet.Name, columns.read})
	}
	return sheets.read("columns", node)
}

// readSheets reads which sheet a file of text is: {poles.csv: Assemblies}.
func (r *registerInput) readSheets(name string, node ast.Node) *ProjectFileError {
	const hint = "write file names and sheets: {poles.csv: Assemblies}"
	entries, ok := mapping(node)
	if !ok {
		return wrong(node, hint, "%s %s is no mapping of files to sheets", name, written(node))
	}
	r.sheets = map[string]string{}
	for _, entry := range entries {
		file, _ := scalar(entry.Key)
		text, _ := scalar(entry.Value)
		sheet, known := sheetNamed(text)
		if !known {
			return wrong(valueOrKey(entry), hint, "sheet %s is none of %s", written(entry.Value), quotedList(sheetNames[:]))
		}
		r.sheets[file] = sheet.Name
	}
	return nil
}
