package report

import (
	"cmp"
	"fmt"
	"html"
	"io"
	"os"
	"path/filepath"
	"strings"

	"dryarc/audit"
	"dryarc/audit/history"
)

// mostNoticed is how many exceptions a notice names (a choice of this program).
const mostNoticed = 10

// notice is the news of a run: paragraphs, and lists below them.
type notice struct {
	subject string
	parts   []noticed
}

type noticed struct {
	text  string
	items []string
}

// noticeOf says in short what a morning has to know: the changes, how the decisions stand, and the worst of what is new.
func noticeOf(r *audit.Result, c *history.Changes) notice {
	title := r.Project.Title
	if title == "" {
		title = r.Project.File
	}
	n := notice{subject: oneLineOf(fmt.Sprintf("%s, %s: %s", title, dayInWords(r.Run.AsOf), headline(c)))}
	totals := r.Totals()
	n.say(fmt.Sprintf("%s.", sentenceCase(headline(c))))
	n.say(fmt.Sprintf("Exceptions: %s, %s, %s. %.1f %% of what the project asks for could be judged.", counted(totals[audit.Shortfall], "shortfall", "shortfalls"),
		counted(totals[audit.Advisory], "advisory", "advisories"), counted(totals[audit.Note], "note", "notes"), r.AssessedPercent()))
	if text := decisionsInWords(c.Decided); text != "" {
		n.say(sentenceCase(text) + decidedOutInWords(r, c.Decided) + ".")
	}
	if c.Since != nil {
		n.list(r, c, "New, the worst first", func(i int) bool { return c.Exceptions[i].State == history.New })
		n.list(r, c, "Worse", func(i int) bool { return c.Exceptions[i].State == history.Worse })
	}
	n.decisions(r, c, "Still there though reported done", history.StillThere)
	n.decisions(r, c, "Decisions that lapsed", history.Lapsed)
	n.decisions(r, c, "Contradictory decisions, of which none is applied", history.Contradicted)
	n.texts("Decisions that are not in the file any more", removedInWords(c.Decided))
	n.texts("Other names where something stood, under which what is known is kept", renamedInWords(c))
	n.texts("What could not be told", c.Remarks)
	n.say(Caution)
	return n
}

func (n *notice) say(text string) { n.parts = append(n.parts, noticed{text: text}) }

// list names the findings of some exceptions.
func (n *notice) list(r *audit.Result, c *history.Changes, what string, of func(exception int) bool) {
	var chosen []int
	for i := range r.Exceptions {
		if of(i) {
			chosen = append(chosen, i)
		}
	}
	if len(chosen) == 0 {
		return
	}
	found := r.FindingsOf(chosen)
	if len(found) < len(chosen) {
		what += fmt.Sprintf(" (%s, the phases and sides of one thing together)", counted(len(chosen), "exception", "exceptions"))
	}
	n.worst(what, len(found), func(i int) string {
		e, rec := findingRecord(r, &found[i])
		where := "line " + rec.Line
		if rec.Structure != "" {
			where += ", structure " + rec.Structure
		}
		return fmt.Sprintf("%s (%s): %s", where, e.Verdict.Severity, rec.Reason)
	})
}

// worst adds a list of some things, of which it names the first.
func (n *notice) worst(what string, count int, item func(int) string) {
	part := noticed{text: what + ":"}
	for i := range min(count, mostNoticed) {
		part.items = append(part.items, oneLineOf(item(i)))
	}
	if more := count - mostNoticed; more > 0 {
		part.items = append(part.items, fmt.Sprintf("and %s more", grouped(more)))
	}
	n.parts = append(n.parts, part)
}

// texts lists some sentences.
func (n *notice) texts(what string, texts []string) {
	if len(texts) > 0 {
		n.worst(what, len(texts), func(i int) string { return texts[i] })
	}
}

// decisions lists the decisions of a status, each with what it is of and why, so that they are as many as the counts say.
func (n *notice) decisions(r *audit.Result, c *history.Changes, what string, status history.Status) {
	if c.Decided.Count(status) == 0 {
		return
	}
	var found []*history.Judged
	for i := range c.Decided.Decisions {
		if j := &c.Decided.Decisions[i]; j.Status == status {
			found = append(found, j)
		}
	}
	n.worst(fmt.Sprintf("%s (%s)", what, counted(len(found), "decision", "decisions")), len(found), func(i int) string {
		j := found[i]
		text := ofInWords(r, j) + ": " + j.Said.String()
		if j.Detail != "" {
			text += "; " + j.Detail
		}
		return text
	})
}

// plain writes a notice as text.
func (n *notice) plain(w io.Writer) error {
	var b strings.Builder
	for i, part := range n.parts {
		if i > 0 {
			b.WriteString("\n")
		}
		b.WriteString(plainText(part.text) + "\n")
		for _, item := range part.items {
			b.WriteString("  - " + plainText(item) + "\n")
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// page writes a notice as the HTML body of a mail: no style sheet, no outside request.
func (n *notice) page(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "<!DOCTYPE html>\n<html lang=\"en\">\n<head><meta charset=\"utf-8\"><title>%s</title></head>\n<body>\n", html.EscapeString(plainText(n.subject)))
	for _, part := range n.parts {
		fmt.Fprintf(&b, "<p>%s</p>\n", html.EscapeString(plainText(part.text)))
		if len(part.items) > 0 {
			b.WriteString("<ul>\n")
			for _, item := range part.items {
				fmt.Fprintf(&b, "<li>%s</li>\n", html.EscapeString(plainText(item)))
			}
			b.WriteString("</ul>\n")
		}
	}
	b.WriteString("</body>\n</html>\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// Notify writes the news of a run for a mailer: as text to a path, and as HTML to the same path with .html in place of its end. Each file
// is replaced as a whole. The error is a *WriteError.
func Notify(path string, r *audit.Result, c *history.Changes) error {
	n := noticeOf(r, c)
	for _, path := range []string{path, NoticePage(path)} {
		if input := inputsOf(r.Project).at(path); input != "" || SamePath(path, r.Project.Decisions) {
			return &WriteError{path, fmt.Errorf("it is %s; choose another file for the news", cmp.Or(input, "the file of decisions"))}
		}
	}
	for _, form := range []struct {
		path  string
		write func(io.Writer) error
	}{{path, n.plain}, {NoticePage(path), n.page}} {
		if err := replaceFile(form.path, form.write); err != nil {
			return &WriteError{form.path, err}
		}
	}
	return nil
}

// NoticePage is where the HTML form of a notice goes.
func NoticePage(path string) string { return strings.TrimSuffix(path, filepath.Ext(path)) + ".html" }

func replaceFile(path string, write func(io.Writer) error) error {
	file, err := os.CreateTemp(filepath.Dir(path), ".dryarc-notice-*")
	if err != nil {
		return err
	}
	err = write(file)
	if err == nil {
		err = file.Chmod(0o644)
	}
	if closing := file.Close(); err == nil {
		err = closing
	}
	if err == nil {
		err = rename(file.Name(), path)
	}
	if err != nil {
		_ = os.Remove(file.Name())
	}
	return err
}
