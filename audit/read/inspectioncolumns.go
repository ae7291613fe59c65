package read

import "dryarc/audit"

// inspectionsSheet is what a table of inspections is called, in the project file and as a sheet of a workbook.
const inspectionsSheet = "Inspections"

// inspectionsKey is the section of the project file that names inspections.
const inspectionsKey = "inspections"

// InspectionsSheet describes the table of inspections, which stands in no register.
func InspectionsSheet() Sheet {
	return Sheet{inspectionsSheet, "one row for each observation of a string, or of all strings that its keys name", describe(inspectionColumns(&register{project: &audit.Project{}}))}
}

// brokenHeading is the one column without which a table says nothing of defects.
const brokenHeading = "Units broken"

// seenHeading is the column of how many units were looked at.
const seenHeading = "Units seen"

// flashedHeading is the column of how many units have marks of a flashover.
const flashedHeading = "Units flashed"

// shares are parts of a whole.
var shares = &measure{name: "of 1", units: []unitOfMeasure{
	{names: []string{"of 1", "0-1"}, factor: 1},
	{names: []string{"%", "percent", "per cent", "pct"}, factor: 0.01},
}}

// inspectionCells are the columns of which a cell that cannot be read may matter to a verdict.
var inspectionCells = map[string]audit.InspectionCell{
	lineList: audit.InspectedLine, structureList: audit.InspectedStructure, circuitList: audit.InspectedCircuit, "Phase": audit.InspectedPhase,
	"Side": audit.InspectedSide, "String": audit.InspectedString, "Date": audit.InspectedDate, seenHeading: audit.InspectedSeen,
	brokenHeading: audit.InspectedBroken, "Confidence": audit.InspectedConfidence, "Longitude": audit.InspectedPlace, "Latitude": audit.InspectedPlace,
}

// inspectionColumns are the columns of a table of inspections, and the properties of points of them.
func inspectionColumns(r *register) []column[audit.Inspection] {
	type row = audit.Inspection
	words := newWordsOfDuty(r.house())
	short := func(heading string, at func(*row) *audit.TextAt) column[row] {
		return text(heading, optional, audit.CellRemarks, r, at).ofAnyLength()
	}
	count := func(heading string, field audit.Cell, at func(*row) *int16) column[row] {
		return whole(heading, heading == brokenHeading, 0, 1000, field, func(i *row, n int) { *at(i) = int16(n) }).counting(countedUnits...).or(func(i *row, cell string) (*trouble, bool) {
			if !isNotSeen(cell) {
				return nil, false
			}
			if heading == seenHeading {
				*at(i) = 0
			}
			return nil, true
		})
	}
	return []column[row]{
		short("Inspection", func(i *row) *audit.TextAt { return &i.Name }).
			also("inspection id", "inspection no", "inspection number", "observation", "observation id", "finding id", "report", "report no").means("name or number of the inspection or of the finding"),
		withZone(date("Date", r, audit.CellDefective, func(i *row) *audit.Day { return &i.Date })).
			also("inspection date", "date inspected", "date of inspection", "inspected", "inspected on", "observed on", "date observed", "flight date", "date of flight").
			means("day, month or year of the observation; without one it is not known whether it is the latest"),
		short("Method", func(i *row) *audit.TextAt { return &i.Method }).
			also("inspection method", "inspection type", "type of inspection", "platform", "source").means("how it was seen, such as climbing, from the ground, from the air"),
		symbol(lineList, optional, audit.CellCircuits, r, func(i *row) *audit.Symbol { return &i.Line }).
			also(lineNames...).also("line name", "name of line").means("line, written as in the structures"),
		text(structureList, optional, audit.CellCircuits, r, func(i *row) *audit.TextAt { return &i.Number }).
			also(structureNames...).means("structure number, written as in the structures").notingNumbers(func(i *row, is bool) { i.Numeric = is }),
		symbol(circuitList, optional, audit.CellCircuits, r, func(i *row) *audit.Symbol { return &i.Circuit }).
			also("circuit no", "circuit number", "circuit id", "cct", "ckt").means("circuit; blank is any"),
		phases("Phase", audit.CellPhase, r.house(), func(i *row, text string, set audit.Phases) {
			i.Phase, i.Phases = r.project.Symbols.Number(text), set
		}).also("phases", "phase name").means("phase or phases that were looked at; blank is any"),
		word("Side", optional, audit.CellSide, words.sides, func(i *row) *audit.Side { return &i.Side }).
			also("side of structure", "span side").means("side of a tension assembly, seen in the direction of rising structure order; blank is any"),
		whole("String", optional, 1, mostStrings, audit.CellStrings, func(i *row, n int) { i.String = int16(n) }).
			also("string no", "string number", "leg").means("which of the strings side by side, from 1; blank is all of them, and what is broken is taken to be all in one"),
		count(seenHeading, audit.CellDefective, func(i *row) *int16 { return &i.UnitsSeen }).
			also("seen", "units visible", "visible units", "discs seen", "disks seen", "units counted", "units inspected", "units detected").
			means("units that were seen, of all strings that the row is of; other than the register has there, what is broken is not known"),
		count(brokenHeading, audit.CellDefective, func(i *row) *int16 { return &i.Broken }).
			also("broken", "broken units", "broken discs", "broken disks", "defective units", "defective", "damaged units", "shattered units", "punctured units", "missing units").
			means("units seen to be defective; blank is not seen, and not 0"),
		count(flashedHeading, audit.CellRemarks, func(i *row) *int16 { return &i.Flashed }).
			also("flashed", "flashed units", "flash marks", "units with flash marks", "flashover marks").means("units with marks of a flashover, which are told and not judged by"),
		number("Confidence", shares, 0, 1, audit.CellDefective, func(i *row) *float64 { return &i.Confidence }).
			also("score", "probability", "certainty").means("how sure the observation is, 0 to 1 or in per cent where the heading says so; blank is not in doubt in a table that states none"),
		short("Inspector", func(i *row) *audit.TextAt { return &i.Inspector }).
			also("inspected by", "observer", "seen by", "by").means("who saw it"),
		short("Photo", func(i *row) *audit.TextAt { return &i.Photo }).
			also("photos", "photograph", "image", "picture", "photo link", "image link", "url").means("web address (http, https) or relative path of a picture, to which page and workbook lead"),
		short("Remark", func(i *row) *audit.TextAt { return &i.Remark }).
			also("remarks", "note", "notes", "comment", "comments").means("any text"),
		number("Longitude", degrees, -180, 180, audit.CellDefective, func(i *row) *float64 { return &i.Lon }).
			also("lon", "long", "lng").means("of where it was seen, WGS 84; a row that names no structure is then proposed for the nearest"),
		number("Latitude", degrees, -90, 90, audit.CellDefective, func(i *row) *float64 { return &i.Lat }).
			also("lat").means("of where it was seen, WGS 84"),
	}
}

// isNotSeen tells whether words say that units were not seen, which is no number of what is broken or flashed.
func isNotSeen(cell string) bool {
	switch wordKey(cell) {
	case "notseen", "notvisible", "hidden", "obscured":
		return true
	}
	return false
}

// withZone notes of which zone the clock is that a date with a time is by.
func withZone(c column[audit.Inspection]) column[audit.Inspection] {
	read, readDate := c.read, c.readDate
	c.read = func(i *audit.Inspection, cell string, u unitOfMeasure) *trouble {
		i.Zone = zoneOf(cell)
		return read(i, cell, u)
	}
	c.readDate = func(i *audit.Inspection, cell string, form *dateForm) (dateTaken, *trouble) {
		i.Zone = zoneOf(cell)
		return readDate(i, cell, form)
	}
	return c
}
