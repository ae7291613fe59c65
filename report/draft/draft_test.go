package draft

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit/read"

	"github.com/stretchr/testify/require"
)

// towers is a layer of two lines of eight structures, with more properties for each number of a structure.
func towers(line string, more func(number int) string, scale float64) string {
	var features []string
	for k, name := range []string{"HO-66", "KV-110"} {
		for i := 1; i <= 8; i++ {
			features = append(features, fmt.Sprintf(`{"type":"Feature","properties":{%q:%q,"Tower No.":%d%s},"geometry":{"type":"Point","coordinates":[%g,%g]}}`,
				line, name, i, more(i), scale*(10+0.003*float64(i)), scale*(50+0.01*float64(k))))
		}
	}
	return collection(features...)
}

func collection(features ...string) string {
	return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",\n") + `]}`
}

func nothing(int) string { return "" }

// rowsOf is a table with a row for each structure of a line; %d stands for the number.
func rowsOf(headings, row string) string {
	text := headings + "\n"
	for i := 1; i <= 8; i++ {
		text += strings.ReplaceAll(row, "%d", fmt.Sprint(i)) + "\n"
	}
	return text
}

// placed is a layer of points that have a name each.
func placed(property string, names ...string) string {
	var features []string
	for i, name := range names {
		features = append(features, fmt.Sprintf(`{"type":"Feature","properties":{%q:%q},"geometry":{"type":"Point","coordinates":[%g,50]}}`, property, name, 10+0.01*float64(i)))
	}
	return collection(features...)
}

const grid = "ncols 2\nnrows 2\nxllcenter 10\nyllcenter 50\ncellsize 0.1\n100 101\n102 103\n"

const plain = "Line,Tower No.,Duty,Insulator type,Discs"

// TestWhatIsToldOfFiles holds what is mapped, what is asked and what is left, one quirk of exports each. A line that is wanted stands in the
// project file as it is; one that is not wanted nowhere.
func TestWhatIsToldOfFiles(t *testing.T) {
	area := `"geometry":{"type":"Polygon","coordinates":[[[10,50],[10.1,50],[10.1,50.1],[10,50]]]}}`
	course := `"geometry":{"type":"LineString","coordinates":[[10,50],[10.1,50]]}}`
	for name, c := range map[string]struct {
		files      map[string]string
		want, not  []string
		unreadable bool // before it is answered
	}{
		"nothing to say": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain, "HO-66,%d,suspension,U70BL,5")},
			want: []string{"\n      a: Assemblies   #"}, not: []string{"?", "columns:", "properties:", "words:"}},
		"headings in two rows": {files: map[string]string{"t.geojson": towers("line", nothing, 1),
			"a.csv": rowsOf("Line,Tower No.,String,,Insulator type,Discs,\n,,Duty,Remarks,,Required,Installed", "HO-66,%d,suspension,seen,U70BL,9,5")},
			want: []string{"\n    headings: [1, 2]   #", `# Units per string: "?"   # which of "String Remarks", "Discs Required", "Discs Installed"?`}, unreadable: true},
		"headings over the phases": {files: map[string]string{"t.geojson": towers("line", nothing, 1),
			"a.csv": rowsOf("Line,Tower No.,Duty,Insulator type,Discs,,\n,,,,R,Y,B", "HO-66,%d,suspension,U70BL,5,5,5")},
			want: []string{"\n    headings: [1, 2]   #", "\n      Units per string: {R: Discs R, \"Y\": Discs Y, B: Discs B}"}},
		"the line by the names in the tables": {files: map[string]string{"t.geojson": towers("gis_line", nothing, 1), "a.csv": rowsOf(plain, "HO-66,%d,suspension,U70BL,5\nKV-110,%d,suspension,U70BL,5")},
			want: []string{"\n    line: gis_line   #"}, not: []string{"# line"}},
		"a line that one name in the tables has": {files: map[string]string{"t.geojson": strings.ReplaceAll(towers("gis_line", nothing, 1), "KV-110", "K 1"), "a.csv": rowsOf(plain, "HO-66,%d,suspension,U70BL,5")},
			want: []string{"\n    # line: gis_line   # which of \"gis_line\"?"}, not: []string{"\n    line:"}, unreadable: true},
		"a line that nothing tells": {files: map[string]string{"t.geojson": towers("GIS_CODE", nothing, 1)},
			want: []string{"\n    # line: GIS_CODE   # which of \"GIS_CODE\", \"Tower No.\"?", "\n  # fixed: {line: \"?\"}   # if all of it is one line"}, unreadable: true},
		"rasters": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "N50E010.hgt": strings.Repeat("\x00\x64", 1201*1201), "N50E011.hgt": strings.Repeat("\x00\x64", 1201*1201),
			"relief.asc": grid, "relief.prj": "PROJCS[]", "scan.tif": "II*\x00\x08\x00\x00\x00\x00\x00"},
			want: []string{"\nterrain:   # ground levels", "\n  - file:   # height file of 1201 by 1201 samples, the first\n      - N50E010.hgt\n      - N50E011.hgt\n    # positions in EPSG:4326\n    # vertical: \"?\"   # above which datum",
				"\n  # - file: relief.asc   # ASCII grid of 2 by 2 samples\n    # crs: EPSG:0   # which system", "\n    # accuracy_m: \"?\"", "\n    # surface: true", "\n# scan.tif: is not read as a raster of ground levels: "}, not: []string{"relief.prj"}},
		"rasters and no structures": {files: map[string]string{"N50E010.hgt": strings.Repeat("\x00\x64", 1201*1201)},
			want: []string{"\n# terrain:   #", "\n  # - file: N50E010.hgt"}, not: []string{"\nterrain:"}, unreadable: true},
		"X and Y in degrees": {files: map[string]string{"towers.csv": "line,structure,X,Y\nL1,1,60,15\nL1,2,60,15.005\n"},
			want: []string{"\n    # longitude: X   # or is it the latitude?", "\n    # latitude: \"Y\""}, unreadable: true},
		"positions in metres": {files: map[string]string{"t.geojson": towers("line", nothing, 10000)},
			want: []string{"\n  # crs: EPSG:0   # which system"}, unreadable: true},
		"positions in a system that is not read": {files: map[string]string{"t.geojson": strings.Replace(towers("line", nothing, 10000), "{", `{"crs":{"properties":{"name":"EPSG:27700"}},`, 1)},
			want: []string{"\nstructures:\n  file: t.geojson   # 16 points\n  # not read as it is: crs \"EPSG:27700\" is neither", "convert it, for example: ogr2ogr"}, not: []string{"crs: EPSG:0"}, unreadable: true},
		"positions in NAD83": {files: map[string]string{"t.geojson": strings.Replace(towers("line", nothing, 1), "{", `{"crs":{"properties":{"name":"EPSG:4269"}},`, 1)},
			want: []string{"\n  # positions, as the file says, in EPSG:4269, taken as WGS 84, with which its datum agrees within 4 m"}, not: []string{"?"}},
		"states of structures": {files: map[string]string{"t.geojson": towers("line", func(i int) string { return fmt.Sprintf(`,"Status":"%s"`, []string{"LIVE", "GONE"}[i/8]) }, 1)},
			want: []string{"\n  # only: {Status: [LIVE, GONE]}   #"}},
		"the same structures twice": {files: map[string]string{"s.geojson": towers("line", nothing, 1), "t.geojson": towers("line", nothing, 1)},
			want: []string{"\n  file: s.geojson   #", "\n# structures: {file: t.geojson}   # holds the same lines and structures as s.geojson"}},
		"areas and lines of every kind": {files: map[string]string{"t.geojson": towers("line", nothing, 1),
			"z.geojson": collection(`{"type":"Feature","properties":{"Pollution Level":"Heavy"},` + area), "x.geojson": collection(`{"type":"Feature","properties":{"kind":"river"},` + course),
			"r.geojson": collection(`{"type":"Feature","properties":{"line":"HO-66"},` + course)},
			want: []string{"\nzones:\n  file: z.geojson", "\ncrossings:\n  file: x.geojson", "\nroutes:\n  file: r.geojson"}, not: []string{"?"}},
		"areas of which nothing tells what they are": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "z.geojson": collection(`{"type":"Feature","properties":{"klass":"c","n":"x"},` + area)},
			want: []string{"\n# zones: {file: z.geojson, properties: {class: klass}}   # areas without a pollution class", `Candidates: "klass"`}, not: []string{"\nzones:"}},
		"figures of zones without a base": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "z.geojson": collection(`{"type":"Feature","properties":{"specific_creepage":31},` + area)},
			want: []string{"\n  # specific_creepage_base: Um/√3   # or Um?"}},
		"a line in the name of the file": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "poles HO-66.csv": rowsOf("Tower No.,Duty,Insulator type,Discs", "%d,suspension,U70BL,5")},
			want: []string{"\n    fixed:\n      Line: HO-66   #"}},
		"no line, and no name tells": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "poles.csv": rowsOf("Tower No.,Duty,Insulator type,Discs", "%d,suspension,U70BL,5")},
			want: []string{"\n      # Line: \"?\"   # which of"}, not: []string{"fixed:"}, unreadable: true},
		"columns for each phase": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf("Line,Tower No.,Duty,Insulator type,Discs R,Discs Y,Discs B", "HO-66,%d,suspension,U70BL,5,5,6")},
			want: []string{"\n      Units per string: {R: Discs R, \"Y\": Discs Y, B: Discs B}   #"}},
		"columns for each phase, with the word for it": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf("Line,Tower No.,Duty,Insulator type,Discs Fase A,Discs Fase B,Discs Fase C", "HO-66,%d,suspension,U70BL,5,5,6")},
			want: []string{"\n      Units per string: {A: Discs Fase A, B: Discs Fase B, C: Discs Fase C}   #"}},
		"columns that name a phase and nothing else": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf("Line,Tower No.,Duty,Insulator type,Fase A,Fase B,Fase C", "HO-66,%d,suspension,U70BL,5,5,6")},
			want: []string{"\n      # Units per string: {A: Fase A, B: Fase B, C: Fase C}   # is it?"}, not: []string{"\n      Units per string:"}, unreadable: true},
		"columns that are called by a phase alone": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf("Line,Tower No.,Duty,Insulator type,R,Y,B", "HO-66,%d,suspension,U70BL,5,5,6")},
			want: []string{"\n      # Units per string: {R: R, \"Y\": \"Y\", B: B}   # is it? Headings that name a phase and nothing else"}, not: []string{"which of"}, unreadable: true},
		"conductors in place of phases": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf("Line,Tower No.,Duty,Insulator type,Leiter L1,Leiter L2,Leiter L3", "HO-66,%d,suspension,U70BL,5,5,6")},
			want: []string{"\n      # Units per string: {L1: Leiter L1, L2: Leiter L2, L3: Leiter L3}   # is it?"}, unreadable: true},
		"phases of which one is missing": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf("Line,Tower No.,Duty,Insulator type,Faza L1,Faza L2", "HO-66,%d,suspension,U70BL,5,5")},
			not: []string{"Units per string: {"}, unreadable: true},
		"a serial number is no structure": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf("S/N,Line,Gantry,Duty,Insulator type,Discs", "%d,HO-66,%d,suspension,U70BL,5")},
			want: []string{`# Structure: "?"   # which of "S/N", "Gantry"?`}, unreadable: true},
		"the type of a tower is no duty": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf("Line,Tower No.,Tower type,Insulator type,Discs", "HO-66,%d,tension,U70BL,5")},
			want: []string{`# Duty: Tower type   # is it? Cells such as "tension"`}, unreadable: true},
		"a heading that is shortened, with words that are known": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain+",String config.", "HO-66,%d,tension,U70BL,5,Double")},
			want: []string{"\n      Arrangement: String config.   #"}},
		"a word in common says too little": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain+",Line configuration", "HO-66,%d,tension,U70BL,5,Double")},
			want: []string{"\n      # Arrangement: Line configuration   # is it?"}, not: []string{"\n      Arrangement:"}},
		"words under a heading that says nothing": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain+",Xyz", "HO-66,%d,tension,U70BL,5,Double")},
			want: []string{"\n      # Arrangement: Xyz   # is it?"}},
		"a figure is never told by itself": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf("Line,Tower No.,Duty,Insulator type,Pieces", "HO-66,%d,tension,U70BL,5")},
			want: []string{"\n      # Units per string: Pieces   # is it?"}, unreadable: true},
		"units that hung there before": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf("Line,Tower No.,Duty,Discs,Old kind", "HO-66,%d,tension,5,U70BL")},
			want: []string{"\n      # Unit: Old kind   # is it?"}, unreadable: true},
		"units that are to hang there": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf("Line,Tower No.,Duty,Discs,Recommended kind", "HO-66,%d,tension,5,U70BL")},
			want: []string{"\n      # Unit: Recommended kind   # is it?"}, unreadable: true},
		"units that are to hang there, in one word": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf("Line,Tower No.,Duty,Discs,ProposedKind", "HO-66,%d,tension,5,U70BL")},
			want: []string{"\n      # Unit: ProposedKind   # is it?"}, unreadable: true},
		"units that are to hang there, in brackets": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf("Line,Tower No.,Duty,Discs,Insulator type (required)", "HO-66,%d,tension,5,U70BL")},
			want: []string{"\n      # Unit: \"Insulator type (required)\"   # is it?"}, not: []string{"\n      Unit:"}, unreadable: true},
		"units by phase that are to hang there": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain[:len(plain)-len(",Discs")]+",Planned discs R,Planned discs Y,Planned discs B", "HO-66,%d,suspension,U70BL,5,5,6")},
			want: []string{"\n      # Units per string:"}, not: []string{"\n      Units per string:"}, unreadable: true},
		"units that lie in store": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf("Line,Tower No.,Duty,Discs,Spare kind", "HO-66,%d,tension,5,U70BL")},
			want: []string{"\n      # Unit: Spare kind   # is it?"}, unreadable: true},
		"units by their names": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf("Line,Tower No.,Duty,Discs,Fabrikat", "HO-66,%d,tension,5,U70BL")},
			want: []string{"\n      Unit: Fabrikat   # its values are units of the catalogue"}},
		"words that nobody knows": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain, "H 66,%d,Zugseil,U70BL,5")},
			want: []string{"\nwords:\n", "\n    # \"H 66\": \"?\"   # 8 rows; which of \"HO-66\", \"KV-110\"?", "\n    # \"Zugseil\": \"?\"   # 8 rows; is none of suspension, tension"}},
		"a unit of several that nobody knows": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain, "HO-66,%d,tension,4×U70BL + 1×XYZ 9,")},
			want: []string{"\n  Unit:\n    # \"XYZ 9\": \"?\"   # 8 rows; names \"XYZ 9\", which is no unit"}, not: []string{"# \"4×U70BL"}},
		"a number that two structures may have": {files: map[string]string{"t.csv": rowsOf("Line,Structure,lon,lat", "HO-66,%dA,10.00%d,50\nHO-66,%da,10.01%d,50"), "a.csv": rowsOf(plain, "HO-66,%d A,tension,U70BL,5")},
			want: []string{"\n  Structure:\n    # - {match: \"^1 A$\", as: \"?\"}   # 1 rows; is no structure of line \"HO-66\"; the row is left out; it may be \"1A\" or \"1a\""}},
		"a table that is none of the register": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "b.csv": "Line,Structure,Mass\nHO-66,1,4\n"},
			want: []string{"\n# b.csv: not read: 2 of its 3 headings are those of Assemblies, but none for"}, not: []string{"register:"}},
		"the same table twice": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain, "HO-66,%d,suspension,U70BL,5"), "b.tsv": strings.ReplaceAll(rowsOf(plain, "HO-66,%d,suspension,U70BL,5"), ",", "\t")},
			want: []string{"\n  # - file: b.tsv   # has the same values in every column as a.csv: is it another table?", "\n  #   sheets:\n  #     b: Assemblies   #"}, not: []string{"\n  - file: b.tsv"}},
		"like tables of two circuits": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a cct 1.csv": rowsOf(plain, "HO-66,%d,suspension,U70BL,5"), "a cct 2.csv": rowsOf(plain, "HO-66,%d,suspension,U70BL,5")},
			want: []string{"\n  - file: a cct 1.csv", "\n  - file: a cct 2.csv"}, not: []string{"?"}},
		"like tables of two lines": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a HO-66.csv": rowsOf("Tower No.,Duty,Insulator type,Discs", "%d,suspension,U70BL,5"), "b KV-110.csv": rowsOf("Tower No.,Duty,Insulator type,Discs", "%d,suspension,U70BL,5")},
			want: []string{"\n      Line: HO-66", "\n      Line: KV-110"}, not: []string{"?"}},
		"an encoding that is guessed": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain+",Remarks", "HO-66,%d,suspension,U70BL,5,S\xfcd")},
			want: []string{"\n    # encoding: Windows-1252   # which is what is guessed"}},
		"points that may part thousands, in a register": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": strings.ReplaceAll(rowsOf(plain+",Length (mm)", "HO-66,%d,suspension,U70BL,5,1.460"), ",", ";")},
			want: []string{"\n    # decimal: comma   # or point? 1.460 may be read in two ways"}, not: []string{"\n    decimal:"}},
		"points that surely part thousands, in a register": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": strings.ReplaceAll(strings.ReplaceAll(rowsOf(plain+",Length (mm),Creepage (mm)", "HO-66,%d,suspension,U70BL,5,1.460,1480|5"), ",", ";"), "|", ",")},
			want: []string{"\n    decimal: comma   # other numbers of the table"}},
		"points of a country of points": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain+",Length (m)", "HO-66,%d,suspension,U70BL,5,1.460")}, not: []string{"decimal:"}},
		"points that part thousands, in coordinates": {files: map[string]string{"t.csv": "Line;Structure;Easting;Northing;Cota\nHO-66;1;640.000,50;7.509.000,50;1.240\nHO-66;2;640.300,50;7.509.000,50;1.262\n"},
			want: []string{"\nstructures:\n  file: t.csv   # 2 points", "\n  # crs: EPSG:0", "\n  decimal: comma   # other numbers of the table"}, unreadable: true},
		"commas that may be of a list": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": strings.ReplaceAll(strings.ReplaceAll(rowsOf(plain+",Length (m),Cables", "HO-66,%d,suspension,U70BL,5,1.460,1|2"), ",", ";"), "|", ",")},
			want: []string{"\n    # decimal: comma   # or point? 1.460"}, not: []string{"\n    decimal:"}},
		"headings that would end a comment": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain+",\"x\ncriteria: {default_class: e}\"", "HO-66,%d,suspension,U70BL,5,7")},
			want: []string{`# "?": "x\ncriteria: {default_class: e}"   # cells such as "7"`}},
		"headings that stand for nothing are listed": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain+",Brand,Qty", "HO-66,%d,suspension,U70BL,5,Norrel %d,3")},
			want: []string{"\n    # columns:   # headings that stand for nothing as yet", "\n      # \"?\": Brand   # cells such as \"Norrel 1\", \"Norrel 2\", \"Norrel 3\" and 5 more\n      # \"?\": Qty   # cells such as \"3\"\n"}},
		"makes are carried": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain+",Hersteller", "HO-66,%d,suspension,U70BL,5,Norrel %d")},
			want: []string{"\n    carry: [Hersteller]   # the make"}, not: []string{`"?"`}},
		"a line in the first row alone": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": strings.Replace(strings.ReplaceAll(rowsOf(plain, "HO-66,%d,suspension,U70BL,5"), "HO-66", ""), ",1,", "HO-66,1,", 1)},
			want: []string{"\n    # fill_down: [Line]   # 1 of 8 rows state Line: does it hold"}},
		"marks for as above": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": strings.Replace(rowsOf(plain, "HO-66,%d,suspension,U70BL,5"), "8,suspension", "8,do.", 1)},
			want: []string{`# "Duty" has marks for the same as above`}},
		"a voltage in kV, a line by its name, a type of units": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain, "HO-66,%d,suspension,Disc,5"), "l.csv": "Line Name,kV,No of Ckts,BIL\nHO-66,66,1,350\n",
			"u.csv": "Tipo,Carga de rotura (kN),Paso (mm),Kriechweg\nDisc,70,146,295\n"},
			want: []string{"\n      Line: Line Name   # a guess", "\n      Nominal voltage: kV   # a guess", "\n      Unit: Tipo   # a guess"}},
		"conductors that are phases, a system that may be a circuit": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain+",Leiter,System", "HO-66,%d,suspension,U70BL,5,L1,Nord")},
			want: []string{"\n      Phase: Leiter   # a guess", "\n      # Circuit: System   # is it?"}},
		"conductors that are none": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain+",Conductor", "HO-66,%d,suspension,U70BL,5,Lynx")}, not: []string{"Phase"}},
		"a voltage that is none":   {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain, "HO-66,%d,suspension,U70BL,5"), "l.csv": "Line,kV,No of Ckts,BIL\nHO-66,66/33,1,350\n"}, not: []string{"Nominal voltage: kV   # a guess"}},
		"classes under a name of pollution": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "z.geojson": collection(`{"type":"Feature","properties":{"CONTAM_LVL":"HEAVY"},` + area)},
			want: []string{"\n    class: CONTAM_LVL   # its name"}},
		"districts that may be of ice": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "z.geojson": collection(`{"type":"Feature","properties":{"DISTRICT":"HEAVY"},` + area)},
			want: []string{"\n# zones: {file: z.geojson, properties: {class: DISTRICT}}   # areas without"}, not: []string{"\nzones:"}},
		"files of other formats": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain, "HO-66,%d,suspension,U70BL,5"), "z.kml": "<kml/>", "p.dxf": "0\nSECTION", "d.MDB": "\x00\x01"},
			want: []string{"\n# z.kml: a layer of the format kml is not read: export it as GeoPackage", "\n# p.dxf: a layer of the format dxf", "\n# d.MDB: a data base of the format mdb is not read: export each table", "\n      a: Assemblies"}},
		"circuits by Roman numbers": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "Ckt-II.csv": rowsOf(plain, "HO-66,%d,suspension,U70BL,5")},
			want: []string{"\n      Circuit: \"2\"   #", "\n      Ckt-II: Assemblies"}},
		"points in metres": {files: map[string]string{"t.csv": rowsOf("Line;Structure;Easting (m);Northing (m)", "A;%d;64010%d;7509000")},
			want: []string{"\nstructures:\n  file: t.csv   # 8 points", "\n  # crs: EPSG:0   # which system"}, not: []string{"properties:"}, unreadable: true},
		"points with points between thousands": {files: map[string]string{"t.csv": rowsOf("Line;Structure;Easting;Northing", "A;%d;640.10%d,00;7.509.000,00")},
			want: []string{"\n  file: t.csv   # 8 points", "\n  # crs: EPSG:0   # which system"}, not: []string{"properties:"}, unreadable: true},
		"points with names alone": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "p.geojson": placed("name", "Ostrade", "Quellmor", "Saint-Brack")},
			want: []string{"\n# places: {file: p.geojson}   # are these 3 points places that the maps may name? They have names such as \"Ostrade\", \"Quellmor\"", "\n  file: t.geojson"}, not: []string{"structures: {file: p.geojson", "\nplaces:"}},
		"names alone, and nothing else": {files: map[string]string{"p.geojson": placed("name", "Ostrade", "Quellmor", "Saint-Brack")},
			want: []string{"\n# structures: {file: \"?\"}", "\n# places: {file: p.geojson}"}, not: []string{"\nstructures:"}, unreadable: true},
		"names with numbers may be structures": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "p.geojson": placed("name", "T-1", "T-2", "T-3")},
			want: []string{"\n# structures: {file: p.geojson}"}, not: []string{"places:"}},
		"names that the tables have as lines": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "p.geojson": placed("name", "Ostrade", "North"), "a.csv": rowsOf(plain, "North,%d,suspension,U70BL,5")},
			not: []string{"places:"}},
		"points of which line and number are called otherwise": {files: map[string]string{"t.csv": rowsOf("Fil;Nr s;Easting;Northing", "A;%d;64010%d;7509000")},
			want: []string{"\n  file: t.csv   # 8 points", "\n    # line: Fil   # which of \"Fil\", \"Nr s\"? \"Fil\" has \"A\"; \"Nr s\" has \"1\", \"2\"", "\n    # structure: Fil   #"}, unreadable: true},
		"points whose headings say more than they are": {files: map[string]string{"t.csv": rowsOf("Line;Structure;Y (Right);X (Up)", "A;%d;64010%d;7509000")},
			want: []string{"\n    # easting: {from: \"X (Up)\", unit: m}   # which of \"X (Up)\", \"Y (Right)\"?", "\n    # northing: {from: \"Y (Right)\", unit: m}   #"}, unreadable: true},
		"points under headings that nobody knows": {files: map[string]string{"t.csv": rowsOf("Line;Structure;Koo A;Koo B", "A;%d;64010%d,5;7.509.00%d,00")},
			want: []string{"\n  file: t.csv   # 8 points", "\n    # easting: {from: Koo A, unit: m}   # which of \"Koo A\", \"Koo B\"?"}, unreadable: true},
		"no points at all": {files: map[string]string{"a.csv": rowsOf(plain, "HO-66,%d,suspension,U70BL,5")},
			want: []string{"\n# structures: {file: \"?\"}   # which layer or table", "\n      a: Assemblies"}, unreadable: true},
		"heights and more that nobody uses": {files: map[string]string{"t.csv": rowsOf("Line,Structure,lon,lat,Cota (m),Make", "HO-66,%d,10.00%d,50,\"43%d,0\",Norrel")},
			want: []string{"\n    # ground_m: \"Cota (m)\"   # is it the level of the ground", "values such as \"431,0\"", "\n    # \"?\": Make   # values such as \"Norrel\""}},
		"numbers that differ by a prefix": {files: map[string]string{"t.csv": rowsOf("Line,Structure,lon,lat", "HO-66,PB-00%d,10.00%d,50"), "a.csv": rowsOf(plain, "HO-66,%d,suspension,U70BL,5")},
			want: []string{"\n# words: {Structure: [{match: '^(?:PB-)?0*(\\d.*)$', as: '$1'}]}   # is it so?"}},
		"voltages are no count": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain, "HO-66,%d,suspension,U70BL,5"), "l.csv": "Line,System kV,BIL (kV),Conductor\nHO-66,66,350,Lynx\nKV-110,22,150,Lynx\n"},
			want: []string{"Nominal voltage: System kV   # a guess"}, not: []string{"Circuits:"}},
		"a code and a name that may both be the line": {files: map[string]string{"t.geojson": towers("line", nothing, 1), "a.csv": rowsOf(plain, "HO-66,%d,suspension,U70BL,5"), "l.csv": "Kode X,Name,Nominal voltage (kV),Conductor\nA-1,North,66,Lynx\nA-2,South,110,Lynx\n"},
			want: []string{"\n      # Line: \"?\"   # which of \"Name\", \"Kode X\"? \"Name\" has \"North\", \"South\"; \"Kode X\" has"}, not: []string{"\n      Line:"}, unreadable: true},
		"points in a table": {files: map[string]string{"t.csv": rowsOf("Line,Structure,lon,lat", "HO-66,%d,10.00%d,50"), "a.csv": rowsOf(plain, "HO-66,%d,suspension,U70BL,5")},
			want: []string{"\nstructures:\n  file: t.csv   # 8 points", "\n      a: Assemblies"}},
	} {
		t.Run(name, func(t *testing.T) {
			folder := t.TempDir()
			for file, content := range c.files {
				require.NoError(t, os.WriteFile(filepath.Join(folder, file), []byte(content), 0o600))
			}
			text, err := Text(context.Background(), folder, inOrder(t, folder))
			require.NoError(t, err)
			told, _, _ := strings.Cut(text, "\n# The rules of the audit.")
			_, told, _ = strings.Cut(told, "audits them\n")
			for _, want := range c.want {
				require.Contains(t, told, want)
			}
			for _, not := range c.not {
				require.NotContains(t, told, not)
			}
			_, _, err = read.UnderstoodText(context.Background(), filepath.Join(folder, ProjectFile), []byte(text))
			require.Equal(t, c.unreadable, err != nil, "%v\n%s", err, told)
			again, err := Text(context.Background(), folder, inOrder(t, folder))
			require.NoError(t, err)
			require.Equal(t, text, again)
		})
	}
}

func inOrder(t *testing.T, folder string) (files []string) {
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	for _, entry := range entries {
		files = append(files, filepath.Join(folder, entry.Name()))
	}
	return files
}

// A name with a number at its end is not in one whose number goes on.
func TestNamesInNames(t *testing.T) {
	for _, c := range []struct {
		text, name string
		is         bool
	}{{"poles ho66 2024", "ho66", true}, {"line12", "line1", false}, {"line12 and line1", "line1", true}, {"166", "66", false}, {"ho66kv", "ho66", true}, {"x", "y", false}} {
		require.Equal(t, c.is, containsName(c.text, c.name), c)
	}
}

// Tables whose values were not all looked at are not known to be the same.
func TestTwinsOfWhichNotAllIsKnown(t *testing.T) {
	table := func(cut bool) *entry {
		column := read.LookedColumn{Name: "Line", Rows: 2, Values: []read.LookedValue{{Text: "HO-66", Rows: 1}}, Cut: cut}
		return &entry{source: source{path: "a.csv"}, kind: assemblies, sheets: []sheetUse{{name: "a"}}, fit: &read.Fit{Columns: []read.LookedColumn{column}}}
	}
	for _, c := range []struct {
		one, other bool
		want       string
	}{{false, false, "a.csv"}, {true, true, ""}, {false, true, ""}, {true, false, ""}} {
		d := draft{entries: []*entry{table(c.one)}}
		require.Equal(t, c.want, d.twin(table(c.other)), c)
	}
}
