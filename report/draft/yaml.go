package draft

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// page is a YAML text on its way.
type page struct{ strings.Builder }

// add adds a line at a depth, with the reason beside it.
func (p *page) add(depth int, text, why string) {
	p.WriteString(strings.Repeat("  ", depth) + text)
	if why != "" {
		p.WriteString("   # " + oneLine(why))
	}
	p.WriteString("\n")
}

// ask adds a line that is commented out.
func (p *page) ask(depth int, text, why string) { p.add(depth, "# "+text, why) }

// remark adds a comment.
func (p *page) remark(depth int, text string) { p.add(depth, "# "+oneLine(text), "") }

// oneLine keeps what stands in inputs from ending a comment.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

var plainText = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_./-]*( [A-Za-z0-9_./-]+)*$`)

// quoted writes a text as YAML reads it: in quotes, where it could be taken for anything else.
func quoted(text string) string {
	reserved := []string{"y", "n", "yes", "no", "on", "off", "true", "false", "null"}
	if plainText.MatchString(text) && !slices.Contains(reserved, strings.ToLower(text)) {
		return text
	}
	return strconv.Quote(text)
}

// quotedPath writes a path as YAML reads it; one that leads out of its folder needs no quotes for that.
func quotedPath(text string) string {
	if strings.HasPrefix(text, "../") && plainText.MatchString(strings.TrimLeft(text, "./")) {
		return text
	}
	return quoted(text)
}

// named lists some texts in quotes, and how many more there are. How many are named is everywhere a choice of this program.
func named(texts []string, most int) string {
	var list []string
	for _, text := range texts[:min(most, len(texts))] {
		list = append(list, strconv.Quote(shortened(text)))
	}
	if more := len(texts) - most; more > 0 {
		return fmt.Sprintf("%s and %d more", strings.Join(list, ", "), more)
	}
	return strings.Join(list, ", ")
}

func shortened(text string) string {
	const longest = 50 // characters of a text that is named (a choice of this program)
	if runes := []rune(text); len(runes) > longest {
		return string(runes[:longest]) + "…"
	}
	return text
}
