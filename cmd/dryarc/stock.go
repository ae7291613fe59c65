package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"dryarc/audit/read"
	"dryarc/report"
)

// stocktaking takes over what people typed under In stock into the workbook that a run replaces.
type stocktaking struct {
	workbook string
	cut      []report.StockRow // that stood there before an interrupted run was put back
	stock    *report.Stock
	unread   []string // what could not be read
}

func (c *auditCommand) stocktaking() *stocktaking {
	return &stocktaking{workbook: filepath.Join(c.Out, report.WorkbookFile)}
}

// beforeRecovery looks at the workbook of a run that was cut short.
func (s *stocktaking) beforeRecovery(ctx context.Context) (err error) {
	s.cut, err = s.rows(ctx)
	return err
}

// take says what is in stock.
func (s *stocktaking) take(ctx context.Context) (*report.Stock, error) {
	seen, err := report.See(s.workbook)
	if err != nil {
		return nil, &report.WriteError{File: report.WorkbookFile, Err: err}
	}
	rows, err := s.rows(ctx)
	if err != nil {
		return nil, err
	}
	s.stock = report.TakeStock(rows, s.cut)
	s.stock.Workbook = seen
	if err := s.findColumns(ctx); err != nil {
		return nil, err
	}
	for _, text := range s.unread {
		s.stock.Lose(text)
	}
	return s.stock, nil
}

// findColumns looks which columns the workbook has, so that those that people added are not dropped without a word. Where it cannot be read that
// is told of the stock already, or here.
func (s *stocktaking) findColumns(ctx context.Context) error {
	if _, err := os.Lstat(s.workbook); errors.Is(err, fs.ErrNotExist) || len(s.unread) > 0 {
		return nil
	}
	found, sheets, err := read.FilledColumns(ctx, s.workbook, report.SheetsOfPeople()...)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		s.unread = append(s.unread, fmt.Sprintf("columns that people added could not be looked for: %v", err))
		return nil
	}
	columns := make([]report.FilledColumn, len(found))
	for i := range found {
		columns[i] = report.FilledColumn(found[i])
	}
	s.stock.Found(columns, sheets)
	return nil
}

// rows are the rows of Material. A workbook that cannot be read is told, since the outputs of tonight must not wait for it.
func (s *stocktaking) rows(ctx context.Context) (rows []report.StockRow, err error) {
	if _, err := os.Lstat(s.workbook); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	err = read.Stock(ctx, s.workbook, func(row read.StockRow) { rows = append(rows, report.StockRow(row)) })
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil {
		s.unread = append(s.unread, fmt.Sprintf("what stood under In stock is not taken over: %v", err))
		return nil, nil
	}
	return rows, nil
}

// say tells what is to be told of the stock, or only what is lost of it.
func (s *stocktaking) say(at surroundings, onlyLost bool) {
	const most = 20
	told := s.stock.Told()
	if onlyLost {
		told = s.stock.Lost()
	}
	told = append(slices.Clone(s.stock.Dropped()), told...)
	for _, text := range told[:min(len(told), most)] {
		fmt.Fprintln(at.stderr, report.Visible(text))
	}
	if more := len(told) - most; more > 0 {
		fmt.Fprintf(at.stderr, "and %d more of what is in stock, see the sheet Material\n", more)
	}
}
