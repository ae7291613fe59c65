package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"time"

	"dryarc/audit"
	"dryarc/audit/history"
	"dryarc/audit/read"
	"dryarc/report"
)

// decide takes the decisions that people wrote into the workbook that the run replaces, and says what all of them are worth; nil where
// the project names no file of decisions.
func (c *auditCommand) decide(at surroundings, p *progress, r *audit.Result) func(context.Context, *history.Changes) (*report.Decisions, error) {
	workbook := filepath.Join(c.Out, report.WorkbookFile)
	if r.Project.Decisions == "" {
		return func(ctx context.Context, _ *history.Changes) (*report.Decisions, error) {
			return nil, noneUnkept(ctx, workbook)
		}
	}
	return func(ctx context.Context, changes *history.Changes) (_ *report.Decisions, err error) {
		file, store, err := openStore(ctx, r.Project.Decisions, report.How{Wait: c.Wait, NoLock: c.NoLock})
		if err != nil {
			return nil, err
		}
		defer func() {
			if err != nil {
				file.Close()
			}
		}()
		seen, err := report.See(workbook)
		if err != nil {
			return nil, &report.WriteError{File: report.WorkbookFile, Err: err}
		}
		if err := c.take(ctx, at, p, store, r); err != nil {
			return nil, err
		}
		worth := store.Decide(r, changes)
		if n := len(worth.Lost); n > 0 {
			return nil, &read.InputError{File: r.Project.Decisions, Message: fmt.Sprintf("does not have %s any more that the run before filled in from it, such as %s", counted(n, "decision", "decisions"), worth.Lost[0]),
				Hint: "bring back the version of the file before; where they are to go, empty their cells in the workbook, or move the workbook away"}
		}
		if removed := worth.RemovedInWords(); len(removed) > 0 && !c.Quiet {
			p.clear()
			sayRemoved(at, removed)
		}
		next := file.Text
		if len(store.Decisions) > 0 {
			next = store.Text()
		}
		if !c.Quiet {
			p.clear()
			sayUnreadableInFile(at, r, worth)
		}
		faultsOf(r, worth)
		return &report.Decisions{Decided: worth, Workbook: seen, File: file, Next: next}, nil
	}
}

// take takes what people wrote into the workbook in the folder of the outputs.
func (c *auditCommand) take(ctx context.Context, at surroundings, p *progress, store *history.Store, r *audit.Result) error {
	edits, err := editsOf(ctx, filepath.Join(c.Out, report.WorkbookFile))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return &report.WriteError{File: report.WorkbookFile, Err: fmt.Errorf("it may hold decisions, and %w; put it right or move it away", err)}
	}
	taken := store.Take(edits, r.Run.AsOf)
	if !c.Quiet {
		p.clear()
		sayTaken(at, taken, r.Project.Decisions)
		sayUnreadable(at, edits)
	}
	return nil
}

// rescue keeps what people wrote into the workbook of a run that was cut short, before that of the run before it is put back.
func (c *auditCommand) rescue(at surroundings, p *progress, r *audit.Result) func(context.Context) error {
	if r.Project.Decisions == "" {
		return func(ctx context.Context) error { return noneUnkept(ctx, filepath.Join(c.Out, report.WorkbookFile)) }
	}
	return func(ctx context.Context) error {
		file, store, err := openStore(ctx, r.Project.Decisions, report.How{Wait: c.Wait, NoLock: c.NoLock})
		if err != nil {
			return err
		}
		defer file.Close()
		if err := c.take(ctx, at, p, store, r); err != nil || len(store.Decisions) == 0 {
			return err
		}
		return file.Replace(store.Text())
	}
}

// noneUnkept fails where a workbook that is to be replaced holds decisions that no file would keep.
func noneUnkept(ctx context.Context, workbook string) error {
	edits, err := decidedRows(ctx, workbook)
	if err == nil && len(edits) > 0 { // those that the run had filled in too: their file may only have got another name
		return &report.WriteError{File: report.WorkbookFile, Err: fmt.Errorf("it holds %s kept nowhere else, such as in %s; name a file of decisions in the project (decisions: decisions.csv), or move it away",
			counted(len(edits), "decision that is", "decisions that are"), edits[0].Where)}
	}
	return ctx.Err()
}

// openStore opens a file of decisions and reads what it holds.
func openStore(ctx context.Context, path string, how report.How) (*report.DecisionFile, *history.Store, error) {
	file, err := report.OpenDecisions(ctx, path, how)
	if err != nil {
		return nil, nil, err
	}
	store, err := history.ParseStore(file.Text)
	if err != nil {
		file.Close()
		return nil, nil, &read.InputError{File: path, Message: err.Error(), Hint: "put it right, or bring back the version before; it is a CSV file with a heading", Err: err}
	}
	return file, store, nil
}

// editsOf are the rows of a workbook with decisions, or with none where the run had filled one in. A row that says of itself that it is
// two things is an *InputError, since to leave it out would lose what people wrote there.
func editsOf(ctx context.Context, workbook string) ([]history.Edit, error) {
	edits, err := decidedRows(ctx, workbook)
	if err != nil {
		return edits, err
	}
	var first *read.InputError
	wrong := 0
	for i := range edits {
		contradiction := edits[i].Contradiction()
		if contradiction == "" {
			continue
		}
		if wrong++; first == nil {
			first = &read.InputError{File: edits[i].Where, Message: fmt.Sprintf("cannot be told what the decision %q is of: %s", edits[i].Said, contradiction),
				Hint: "bring back the version before and sort whole rows, with the columns Id and As written (hidden); or empty Id and As written on the row, and it is of the line, structure and check that it names"}
		}
	}
	if wrong > 1 {
		first.Message += fmt.Sprintf("; so are %d more rows", wrong-1)
	}
	if first != nil {
		return nil, first
	}
	return edits, nil
}

// decidedRows are the rows of a workbook with decisions, as they are.
func decidedRows(ctx context.Context, workbook string) (edits []history.Edit, err error) {
	err = read.Decided(ctx, workbook, func(row read.DecidedRow) {
		said := history.Said{Word: row.Decision, Until: row.Until, By: row.By, Reason: row.Reason}
		if said != (history.Said{}) || history.Edited(said, row.Mark) {
			edits = append(edits, history.Edit{Exceptions: row.Exceptions,
				Place: history.Place{Line: row.Line, Structure: row.Structure, Check: row.Check, To: row.To, Circuit: row.Circuit, Phase: row.Phase, Side: row.Side}, Said: said, Mark: row.Mark, Where: row.Where})
		}
	})
	return edits, err
}

// sayTaken tells what was taken from workbooks.
func sayTaken(at surroundings, taken history.Taken, path string) {
	if n := taken.New + taken.Replaced + taken.Withdrawn + taken.Against; n > 0 {
		fmt.Fprintf(at.stderr, "decisions taken into %s: %d new, %d replaced, %d withdrawn, %d against another\n", path, taken.New, taken.Replaced, taken.Withdrawn, taken.Against)
	}
	const most = 20
	for _, remark := range taken.Remarks[:min(len(taken.Remarks), most)] {
		fmt.Fprintf(at.stderr, "  %s\n", report.Visible(remark))
	}
	if more := len(taken.Remarks) - most; more > 0 {
		fmt.Fprintf(at.stderr, "  and %d more\n", more)
	}
}

// sayUnreadableInFile names the rows of the file of decisions whose word is none.
func sayUnreadableInFile(at surroundings, r *audit.Result, d *history.Decided) {
	const most = 20
	more := -most
	for i := range d.Decisions {
		j := &d.Decisions[i]
		if j.Status != history.Unreadable {
			continue
		}
		if more++; more <= 0 {
			fmt.Fprintf(at.stderr, "%s\n", report.Visible(fmt.Sprintf("%s row %d: %s", filepath.Base(r.Project.Decisions), j.Row, j.Detail)))
		}
	}
	if more > 0 {
		fmt.Fprintf(at.stderr, "and %s, see the sheet Decisions\n", counted(more, "more decision that is none", "more decisions that are none"))
	}
}

// sayUnreadable names the rows of workbooks of which nobody can tell what was decided.
func sayUnreadable(at surroundings, edits []history.Edit) {
	const most = 20
	more := -most
	for i := range edits {
		if !edits[i].Unreadable() {
			continue
		}
		if more++; more <= 0 {
			fmt.Fprintf(at.stderr, "%s\n", report.Visible(fmt.Sprintf("%s: decision %q is none of %s; nothing is decided by it", edits[i].Where, edits[i].Word, strings.Join(history.Words(), ", "))))
		}
	}
	if more > 0 {
		fmt.Fprintf(at.stderr, "and %s\n", counted(more, "more decision that is none", "more decisions that are none"))
	}
}

// sayRemoved tells which decisions are not in the file any more.
func sayRemoved(at surroundings, removed []string) {
	const most = 20
	for _, text := range removed[:min(len(removed), most)] {
		fmt.Fprintf(at.stderr, "%s\n", report.Visible(text))
	}
	if more := len(removed) - most; more > 0 {
		fmt.Fprintf(at.stderr, "and %d more\n", more)
	}
}

// faultsOf adds the decisions that match nothing to the faults of the inputs. No verdict rests on them.
func faultsOf(r *audit.Result, d *history.Decided) {
	table := -1
	for i := range d.Decisions {
		j := &d.Decisions[i]
		undated := j.Until != "" && j.Status != history.Over && history.DateTrouble(j.Until) != ""
		if j.Status != history.Unmatched && j.Status != history.Unreadable && !undated {
			continue
		}
		if table < 0 {
			table = len(r.Project.Tables)
			r.Project.Tables = append(r.Project.Tables, audit.Table{File: filepath.Base(r.Project.Decisions)})
		}
		at := audit.Source{Table: uint16(table), Row: uint32(j.Row)}
		if undated {
			r.Project.Faults.Add(audit.Fault{Kind: audit.NotANumber, At: at, Column: "until", Value: j.Until, Expected: "is no date of which it can be told which is meant: " + history.DateTrouble(j.Until), Weight: audit.ByTheWay})
		}
		if j.Status != history.Unmatched && j.Status != history.Unreadable {
			continue
		}
		fault := audit.Fault{Kind: audit.UnknownWord, At: at, Column: "decision", Value: j.Word, Expected: j.Detail, Weight: audit.ByTheWay}
		if j.Status == history.Unmatched {
			fault.Kind, fault.Column, fault.Value = audit.NoSuchStructure, "", j.Said.String()
			fault.Expected = "is a decision on nothing: " + j.Detail
		} else {
			fault.Expected = "is none of accept, plan, data wrong, done"
		}
		r.Project.Faults.Add(fault)
	}
}

type collectCommand struct {
	Project   string        `arg:"" help:"Project file (YAML)."`
	Workbooks []string      `arg:"" name:"workbook" help:"Workbooks of audits of the project, with decisions written into them."`
	Wait      time.Duration `default:"10m" placeholder:"DURATION" help:"How long to wait for a run that has the file of decisions (default: ${default})."`
	NoLock    bool          `help:"Write without a lock, where the file system has none and no run has the file of decisions."`
	AsOf      string        `placeholder:"DATE" help:"Day on which they were decided, YYYY-MM-DD (default: today)."`
}

// Run takes the decisions of all workbooks, or where one cannot be read of none.
func (c *collectCommand) Run(at surroundings) error {
	day := c.AsOf
	if day == "" {
		day = time.Now().Format(time.DateOnly)
	} else if _, err := time.Parse(time.DateOnly, day); err != nil {
		return &usage{fmt.Sprintf("--as-of %q is no date, expected YYYY-MM-DD", day)}
	}
	path, err := read.DecisionsPath(c.Project)
	if err != nil {
		return err
	}
	var books []string
	for _, pattern := range c.Workbooks {
		found, err := read.MatchingBooks(pattern)
		if err != nil {
			return err
		}
		books = append(books, found...)
	}
	c.Workbooks = books
	var edits []history.Edit
	for _, workbook := range c.Workbooks {
		more, err := editsOf(at.ctx, workbook)
		if errors.Is(err, fs.ErrNotExist) {
			err = &read.InputError{File: workbook, Message: "does not exist", Hint: "give the path of a workbook that an audit wrote", Err: err}
		}
		if err != nil {
			return err
		}
		edits = append(edits, more...)
	}
	file, store, err := openStore(at.ctx, path, report.How{Wait: c.Wait, NoLock: c.NoLock})
	if err != nil {
		return err
	}
	defer file.Close()
	taken := store.Take(edits, day)
	if taken.New+taken.Replaced+taken.Withdrawn+taken.Against > 0 {
		if err := at.ending.replace(); err != nil {
			return err
		}
		if err := file.Replace(store.Text()); err != nil {
			return err
		}
	}
	fmt.Fprintf(at.stderr, "%s with decisions in %s, %d known already\n", counted(len(edits), "row", "rows"), counted(len(c.Workbooks), "workbook", "workbooks"), taken.Known)
	sayTaken(at, taken, path)
	sayUnreadable(at, edits)
	return c.sayStock(at)
}

// sayStock tells that what stands under In stock is not taken from workbooks that come back.
func (c *collectCommand) sayStock(at surroundings) error {
	for _, workbook := range c.Workbooks {
		count := 0
		err := read.Stock(at.ctx, workbook, func(row read.StockRow) {
			if row.Typed != "" {
				count++
			}
		})
		switch {
		case at.ctx.Err() != nil:
			return at.ctx.Err()
		case err != nil:
			fmt.Fprintf(at.stderr, "what stands under In stock is not taken: %s\n", report.Visible(err.Error()))
		case count > 0:
			fmt.Fprintf(at.stderr, "%s: In stock is not taken, which has %s filled in; a run takes it from the workbook that it replaces alone, so type it there\n", report.Visible(workbook), counted(count, "cell", "cells"))
		}
	}
	return nil
}
