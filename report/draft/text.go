package draft

import "dryarc/report/template"

const head = `# A project of dryarc, written for files that were there. Paths are relative to this file. Lines that start with # are comments.
# What could be told of the files is mapped, with the reason behind it: look whether it is right. What could be misread is a question:
# a line that is commented out. Take out its # where it is right, or put in what is.
# dryarc read audit.yaml    tells how the inputs are understood, and what is open
# dryarc audit audit.yaml   audits them
`

// text is the whole project file, with the words that are open.
func (d *draft) text(words string) string {
	var p page
	p.WriteString(head)
	for _, section := range []string{"structures", "routes", "zones", "crossings", "places"} {
		d.section(&p, section)
	}
	d.terrain(&p)
	d.entriesTo(&p)
	if len(d.left) > 0 {
		p.WriteString("\n")
		p.remark(0, "Files and sheets that are not read:")
		for _, what := range d.left {
			p.remark(0, what)
		}
	}
	if words != "" {
		p.WriteString("\n" + words)
	}
	p.WriteString("\n# The rules of the audit. What is not stated has the default that dryarc read shows, or leaves what needs it not assessed.\ncriteria:\n" + template.Criteria())
	return p.String()
}
