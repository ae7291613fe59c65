package read

import (
	"context"
	"errors"
	"io"

	"dryarc/audit/read/xlsx"
)

// textFile is a file of text that is one sheet. It is read from its start each time.
type textFile struct {
	*projectFile
	content *held
	stated  textEncoding
}

// records starts to read the file.
func (t *textFile) records(ctx context.Context) (*input, *recordReader, error) {
	in, err := t.content.again(ctx, t.largestUnpacked)
	if err != nil {
		return nil, nil, err
	}
	records, err := newRecordReader(in, t.stated)
	if err != nil {
		return nil, nil, recordProblem(in, err)
	}
	return in, records, nil
}

// recordProblem words why a file of text cannot be read on.
func recordProblem(in *input, err error) error {
	var known *recordError
	if errors.As(err, &known) {
		return &InputError{File: in.name, Message: known.message, Err: err, Hint: known.hint}
	}
	return in.problem(err)
}

func (t *textFile) rows(ctx context.Context, _ string) (rows, error) {
	in, records, err := t.records(ctx)
	if err != nil {
		return nil, err
	}
	return &textRows{in: in, records: records, content: t.content}, nil
}

func (t *textFile) merged(context.Context, string) []xlsx.Area { return nil }

func (t *textFile) mergedAcross(context.Context, string, uint32) []xlsx.Across { return nil }

func (t *textFile) unpacked(string) uint64 { return 0 }

func (t *textFile) close() error { return nil }

// textRows are the records of a file of text.
type textRows struct {
	in      *input
	records *recordReader
	content *held
	ahead   *recordsAhead // nil while each record is read when it is asked for
}

func (r *textRows) next(to *row) (bool, error) {
	var more bool
	var err error
	if r.ahead != nil {
		more, err = r.ahead.next(to)
	} else {
		more, err = r.records.take(to)
	}
	switch {
	case err != nil:
		return false, recordProblem(r.in, err)
	case to.number%1024 == 0 && r.in.ctx.Err() != nil:
		return false, r.in.ctx.Err()
	case more:
		return true, nil
	}
	if _, err := io.Copy(io.Discard, rawInput{r.in}); err != nil {
		return false, r.in.problem(err)
	}
	return false, r.content.whole(r.in.hash)
}

func (r *textRows) format(int) string { return "" }

func (r *textRows) isNumber(int) bool { return false }

func (r *textRows) merged() []xlsx.Area { return nil }

func (r *textRows) damage() error { return nil }

func (r *textRows) close() {}
