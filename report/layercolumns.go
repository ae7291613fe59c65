package report

import (
	"dryarc/audit"
	"dryarc/report/gpkg"
)

// columnText is what people are told of a column of the layers: its heading, with its unit, and what it is.
type columnText struct{ title, what string }

// columnTexts are told of the columns of the layers and of the properties of the GeoJSON outputs, by name.
var columnTexts = map[string]columnText{
	"line":          {"Line", "Name of the line"},
	"structure":     {"Structure", "Number of the structure on its line; of a span or section the one where it begins"},
	"structure_to":  {"To structure", "Number of the far structure of a span or section"},
	"chainage_m":    {"Chainage (m)", "Metres along the line from its first structure"},
	"span_back_m":   {"Span back (m)", "Metres to the structure before"},
	"span_ahead_m":  {"Span ahead (m)", "Metres to the structure behind"},
	"deviation_deg": {"Deviation (deg)", "Degrees by which the line turns, positive to the right"},
	"role":          {"Role", "What the structure is for its line: terminal, tee, angle or tangent"},
	"family":        {"Family", "Group of structures by deviation"},
	"requires":      {"Requires", "Duty that the structure asks for: tension or suspension; blank where a datum that may ask for tension is unknown"},
	"zone_class":    {"Pollution class", "Letter of the pollution class in force, a to f"},
	"ground_m":      {"Ground (m)", "Metres above sea level"},
	"exceptions":    {"Exceptions", "Count of exceptions here; blank where the line was not assessed"},
	"findings":      {"Findings", "Count of findings here, the phases and sides of one thing as one; blank where the line was not assessed"},
	"severity":      {"Severity", "Severity; of a structure that of its worst exception"},
	"severity_rank": {"Severity rank", "1 shortfall, 2 advisory, 3 note: the lower the graver"},
	"work_rank":     {"Place in the work", "Place of its job in the order of doing, from 1"},
	"remedy":        {"Remedy", "What to hang or to do, or what stops it"},
	"doubtful":      {"Doubtful", "Beside suspicious geometry"},

	"wind_span_m":        {"Wind span (m)", "Metres of span whose wind the structure bears"},
	"weight_span_cold_m": {"Weight span, cold (m)", "Metres of span whose weight the structure bears at the cold tension; below 0 it lifts"},

	"units_required":  {"Units required", "Units of the reference unit in a string, or of the structure's own posts, that the structure needs by all checks that size; blank where that is not known"},
	"units_installed": {"Units installed", "Units of the reference unit in a string as registered, the fewest of them; of an exception of one assembly its own; blank where other units hang"},
	"reference_unit":  {"Reference unit", "Unit in which the two are counted"},

	"length_m": {"Length (m)", "Metres from structure to structure along the ground"},
	"slope":    {"Slope", "Rise over run from attachment to attachment, positive upwards"},
	"crosses":  {"Crosses", "Kinds of crossing below the span"},

	"id":              {"Id", "The same in each run, whatever stands around it"},
	"check":           {"Check", "Check that found it"},
	"circuit":         {"Circuit", "Circuit as registered"},
	"phase":           {"Phase", "Phases as written, or those that are missing"},
	"side":            {"Side", "Side of the structure, seen in the direction of rising order"},
	"observed":        {"Observed", "What is there, as text: a figure without its unit, or a word"},
	"required":        {"Required", "What must be there, as text: a figure without its unit, or a word"},
	"observed_value":  {"Observed, figure", "What is there as a number, in the unit of Measure; blank for words"},
	"required_value":  {"Required, figure", "What must be there as a number, in the unit of Measure; blank for words"},
	"measure":         {"Measure", "Unit of observed and required"},
	"margin":          {"Margin (share)", "Observed over required less one, the other way round where less is better; below 0 falls short"},
	"margin_percent":  {"Margin (%)", "The same in per cent"},
	"reason":          {"What is wrong", "The finding as a sentence"},
	"state":           {"State", "What became of it since the earlier run"},
	"first_seen":      {"First seen", "Day of the run that first found it"},
	"hangs":           {"Hangs", "What hangs there"},
	"read_from":       {"Read from", "File, sheet and row that it goes back to"},
	"at":              {"Read from", "File, sheet and row that it goes back to"},
	"installed":       {"Installed", "Date of the register"},
	"inspected":       {"Inspected", "Date of the register"},
	"remarks":         {"Remarks", "Remarks of the register"},
	"decision":        {"Decision", "What was decided of it"},
	"decision_status": {"Decision stands", "What the decision is worth in this run"},
	"work_decision":   {"Decision on the work", "What was decided of the work"},
	"work_until":      {"Decided until", "Last day of that decision"},
	"work_by":         {"Decided by", "Who decided"},
	"Inspection":      {"Inspection", "The one by whose count of defective units it is judged"},
	"Photo":           {"Photo", "Address of that inspection's photo"},
	"link":            {"Link", "To the same on the page of this run, for a file beside it"},

	"specific_creepage_mm_per_kv": {"Specific creepage (mm/kV)", "What the zone asks for per kV to earth, where it is the same on all lines"},
	"label":                       {"Label", "Label of the zone as read"},

	"name":  {"Name", "What is stated"},
	"value": {"Value", "As what"},
}

// toldColumns are columns with what people are told of them. Of what is carried through from inputs its own name is.
func toldColumns(r *audit.Result, columns []gpkg.Column) []gpkg.Column {
	for i := range columns {
		c := &columns[i]
		text, known := columnTexts[c.Name]
		if !known {
			text = columnText{c.Name, "As the inputs have it"}
		}
		c.Title, c.Description = text.title, text.what
		switch c.Name {
		case "severity":
			c.Values = severityValues()
		case "check":
			for _, check := range r.Checks {
				c.Values = append(c.Values, gpkg.Value{Text: check.ID, Meaning: check.Title})
			}
		}
	}
	return columns
}

// severityValues are the severities and what each rests on.
func severityValues() []gpkg.Value {
	return []gpkg.Value{
		{Text: audit.Shortfall.String(), Meaning: "Shortfall: the basis says shall, or the project or the line states the rule"},
		{Text: audit.Advisory.String(), Meaning: "Advisory: common practice, or a default nobody confirmed"},
		{Text: audit.Note.String(), Meaning: "Note"},
	}
}
