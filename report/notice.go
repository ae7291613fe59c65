package report

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"html"
	"io"
	"path/filepath"
	"slices"
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

// news are the two forms of a notice in their places, while those of the run before may still come back.
type news struct {
	folder         // in which they are
	ending  string // of the names of their staging folders, which tells them from those of other news there
	staging string // folder in it that holds the new ones and then the earlier ones
	members []swapMember
}

// placeNews puts the news of a run in their places, for a mailer: as text at a path, and as HTML at the same path with .html in place of its
// end. It is asked before the outputs are replaced, so that a run whose news cannot be written is no run; settle decides. Until then no
// other run may place the same news (lockNews). The error is a *WriteError, after which the news of the run before stand.
func placeNews(d disk, path string, r *audit.Result, c *history.Changes) (*news, error) {
	n := &news{folder: folder{d, filepath.Dir(path)}, ending: "-" + filepath.Base(NoticePage(path))}
	n.staging = stagingName() + n.ending
	n.clear()
	err := n.place(path, noticeOf(r, c))
	if err == nil {
		return n, nil
	}
	failed := &WriteError{path, err}
	if named := (*WriteError)(nil); errors.As(err, &named) {
		failed = &WriteError{n.path(named.File), named.Err}
	}
	failed.Err = fmt.Errorf("%w\n  hint: the outputs stay those of the run before too, so that no news is lost; put it right and run it again", failed.Err)
	return nil, errors.Join(failed, n.settle(false))
}

// clear removes what runs that ended early left of the same news, which their mark tells: where it has none yet, it is empty. What cannot be
// removed waits for the next run.
func (n *news) clear() {
	entries, _ := n.disk.ReadDir(n.dir)
	for _, entry := range entries {
		drawn, ours := strings.CutSuffix(entry.Name(), n.ending)
		if !ours || !entry.IsDir() || !stagingPattern.MatchString(drawn) {
			continue
		}
		if in, err := n.disk.ReadDir(n.path(entry.Name())); err == nil && (len(in) == 0 || isMarked(in)) {
			_ = n.removeStaging(entry.Name())
		}
	}
}

func (n *news) place(path string, told notice) error {
	if err := n.makeStaging(n.staging); err != nil {
		return err
	}
	for _, form := range []struct {
		path  string
		write func(io.Writer) error
	}{{path, told.plain}, {NoticePage(path), told.page}} {
		name := filepath.Base(form.path)
		if _, err := n.stage(context.Background(), n.staging, name, form.write); err != nil {
			return err
		}
		if err := n.freeName(name); err != nil {
			return &WriteError{name, err}
		}
		had, err := exists(n.disk, form.path)
		if err != nil {
			return &WriteError{name, err}
		}
		n.members = append(n.members, swapMember{Name: name, Had: had})
	}
	for _, member := range n.members {
		if err := n.swapOne(n.staging, member); err != nil {
			return err
		}
	}
	return n.disk.SyncFolder(n.dir)
}

// settle leaves the news where they are, or brings those of the run before back where its outputs stay.
func (n *news) settle(stand bool) error {
	if n == nil {
		return nil
	}
	if !stand {
		for _, member := range slices.Backward(n.members) {
			if err := n.undoOne(n.staging, member); err != nil {
				return &WriteError{n.path(member.Name), fmt.Errorf("it may tell of a run that was not written, and the earlier one is not back in its place: %w", err)}
			}
		}
	}
	_ = n.removeStaging(n.staging) // what is left of it the next run removes
	return nil
}

// lockNews waits until no other run has the same news, as how says, and keeps them for this one. The error is a *WriteError.
func lockNews(ctx context.Context, path, dir string, how How) (unlock func(), err error) {
	if SamePath(filepath.Dir(path), dir) {
		return nil, &WriteError{path, errors.New("it lies in the folder of the outputs; choose another folder for the news")}
	}
	if unlock, err = lock(ctx, filepath.Dir(path), newsLock(path), how); err != nil {
		return nil, &WriteError{path, err}
	}
	return unlock, nil
}

// newsLock is the lock of the news at a path, one for all texts whose HTML form is the same file.
func newsLock(path string) string {
	return filepath.Join(filepath.Dir(path), "."+filepath.Base(NoticePage(path))+".lock")
}

// sparesNews fails where the news would take the place of an input or of the file of decisions, or their lock would.
func sparesNews(path string, p *audit.Project) error {
	for _, path := range []string{path, NoticePage(path), newsLock(path)} {
		if input := inputsOf(p).at(path); input != "" || p.Decisions != "" && SamePath(path, p.Decisions) {
			return &WriteError{path, fmt.Errorf("it is %s; choose another file for the news", cmp.Or(input, "the file of decisions"))}
		}
	}
	return nil
}

// NoticePage is where the HTML form of a notice goes.
func NoticePage(path string) string { return strings.TrimSuffix(path, filepath.Ext(path)) + ".html" }
