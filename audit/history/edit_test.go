package history

import (
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// workbook is what a run writes of the exceptions of a store: a row for each, with what is filled in.
func workbook(store *Store, r *audit.Result) map[string]Edit {
	d := store.Decide(r, Alone(r))
	rows := map[string]Edit{}
	for i, id := range r.ExceptionIDs() {
		said := d.Filled(i)
		key := r.Key(i)
		rows[key.Structure+key.Phase] = Edit{Exceptions: []string{id}, Place: placeOf(key), Said: said, Mark: d.Mark(said, []int{i}, placeOf(key)), Where: key.Structure + key.Phase}
	}
	for _, structure := range []string{"2", "3"} {
		said := d.FilledOfStructure("L", structure)
		rows[structure] = Edit{Place: Place{Line: "L", Structure: structure}, Said: said, Mark: d.MarkOfStructure(said, "L", structure), Where: structure}
	}
	return rows
}

func placeOf(key audit.Key) Place {
	return Place{Line: key.Line, Structure: key.Structure, Check: key.Check, To: key.To, Circuit: key.Circuit, Phase: key.Phase, Side: key.Side}
}

func (e Edit) saying(said Said) Edit {
	e.Said = said
	return e
}

// standing are the decisions that stand on an exception, as texts.
func standing(s *Store, of Edit) (texts []string) {
	for i := range s.Decisions {
		d := &s.Decisions[i]
		if d.stands() && (len(of.Exceptions) > 0 && d.Exception == of.Exceptions[0] || len(of.Exceptions) == 0 && d.Exception == "" && d.Structure == of.Structure) {
			texts = append(texts, d.Said.String())
		}
	}
	return texts
}

func TestEditsOfWorkbooks(t *testing.T) {
	r := strung{units: []int16{10, 8, 8, 10}}.result(t)
	accept, plan := Said{"accept", "2026-12-31", "KL", "old"}, Said{"plan", "", "MN", "soon"}
	for name, c := range map[string]struct {
		do   func(store *Store, row func() Edit) // row is that of a workbook written at this moment
		want []string
		all  int // decisions in the store
	}{
		"a new one": {func(s *Store, row func() Edit) { s.Take([]Edit{row().saying(accept)}, "2026-04-01") }, []string{"accept until 2026-12-31, KL: old"}, 1},
		"taken twice": {func(s *Store, row func() Edit) {
			e := row().saying(accept)
			s.Take([]Edit{e}, "2026-04-01")
			require.Equal(t, Taken{Known: 1}, s.Take([]Edit{e}, "2026-04-02"))
		}, []string{"accept until 2026-12-31, KL: old"}, 1},
		"changed": {func(s *Store, row func() Edit) {
			s.Take([]Edit{row().saying(accept)}, "2026-04-01")
			s.Take([]Edit{row().saying(plan)}, "2026-04-02")
		}, []string{"plan, MN: soon"}, 2},
		"withdrawn": {func(s *Store, row func() Edit) {
			s.Take([]Edit{row().saying(accept)}, "2026-04-01")
			taken := s.Take([]Edit{row().saying(Said{})}, "2026-04-02")
			require.Equal(t, 1, taken.Withdrawn)
			require.Contains(t, taken.Remarks[0], "withdrawn: accept until 2026-12-31, KL: old")
			require.Equal(t, "withdrawn 2026-04-02", s.Decisions[0].Ended)
		}, nil, 1},
		"withdrawn, with the rest left there": {func(s *Store, row func() Edit) {
			s.Take([]Edit{row().saying(accept)}, "2026-04-01")
			s.Take([]Edit{row().saying(Said{By: "KL", Reason: "old"})}, "2026-04-02")
		}, nil, 1},
		"withdrawn twice, as after a kill": {func(s *Store, row func() Edit) {
			s.Take([]Edit{row().saying(accept)}, "2026-04-01")
			e := row().saying(Said{})
			s.Take([]Edit{e}, "2026-04-02")
			s.Take([]Edit{e}, "2026-04-02")
		}, nil, 1},
		"two workbooks that say the same": {func(s *Store, row func() Edit) {
			a, b := row().saying(accept), row().saying(accept)
			s.Take([]Edit{a}, "2026-04-01")
			s.Take([]Edit{b}, "2026-04-02")
		}, []string{"accept until 2026-12-31, KL: old"}, 1},
		"two workbooks that differ": {func(s *Store, row func() Edit) {
			a, b := row().saying(accept), row().saying(plan)
			s.Take([]Edit{a}, "2026-04-01")
			require.Equal(t, 1, s.Take([]Edit{b}, "2026-04-02").Against)
		}, []string{"accept until 2026-12-31, KL: old", "plan, MN: soon"}, 2},
		"two rows of one workbook that differ": {func(s *Store, row func() Edit) {
			s.Take([]Edit{row().saying(accept), row().saying(plan)}, "2026-04-01")
		}, []string{"accept until 2026-12-31, KL: old", "plan, MN: soon"}, 2},
		"a contradiction that somebody settles": {func(s *Store, row func() Edit) {
			a, b := row().saying(accept), row().saying(plan)
			s.Take([]Edit{a, b}, "2026-04-01")
			require.Empty(t, row().Said, "neither is filled in")
			s.Take([]Edit{row().saying(plan)}, "2026-04-02")
		}, []string{"plan, MN: soon"}, 3},
		"an old workbook withdraws what is another by now": {func(s *Store, row func() Edit) {
			s.Take([]Edit{row().saying(accept)}, "2026-04-01")
			old := row().saying(Said{})
			s.Take([]Edit{row().saying(plan)}, "2026-04-02")
			taken := s.Take([]Edit{old}, "2026-04-03")
			require.Contains(t, taken.Remarks[0], "another by now")
		}, []string{"plan, MN: soon"}, 2},
		"an old workbook brings what was withdrawn": {func(s *Store, row func() Edit) {
			old := row().saying(accept)
			s.Take([]Edit{old}, "2026-04-01")
			s.Take([]Edit{row().saying(Said{})}, "2026-04-02")
			s.Take([]Edit{row().saying(plan)}, "2026-04-03")
			require.Contains(t, s.Take([]Edit{old}, "2026-04-04").Remarks[0], "not taken once more")
		}, []string{"plan, MN: soon"}, 2},
		"an old workbook brings what was withdrawn, where nothing stands": {func(s *Store, row func() Edit) {
			old := row().saying(accept)
			s.Take([]Edit{old}, "2026-04-01")
			s.Take([]Edit{row().saying(Said{})}, "2026-04-02")
			require.Contains(t, s.Take([]Edit{old}, "2026-04-03").Remarks[0], "not taken once more")
		}, nil, 1},
		"what was withdrawn is decided once more": {func(s *Store, row func() Edit) {
			s.Take([]Edit{row().saying(accept)}, "2026-04-01")
			s.Take([]Edit{row().saying(Said{})}, "2026-04-02")
			e := row().saying(accept)
			require.Equal(t, 1, s.Take([]Edit{e}, "2026-04-03").New)
			require.Equal(t, Taken{Known: 1}, s.Take([]Edit{e}, "2026-04-04"))
		}, []string{"accept until 2026-12-31, KL: old"}, 2},
		"an old workbook that nobody touched": {func(s *Store, row func() Edit) {
			s.Take([]Edit{row().saying(accept)}, "2026-04-01")
			old := row()
			s.Take([]Edit{row().saying(plan)}, "2026-04-02")
			require.Empty(t, s.Take([]Edit{old}, "2026-04-03").Remarks)
		}, []string{"plan, MN: soon"}, 2},
		"the mark was deleted, and nothing changed": {func(s *Store, row func() Edit) {
			s.Take([]Edit{row().saying(accept)}, "2026-04-01")
			e := row()
			e.Mark = ""
			require.Equal(t, Taken{Known: 1}, s.Take([]Edit{e}, "2026-04-02"))
		}, []string{"accept until 2026-12-31, KL: old"}, 1},
		"the mark was deleted, and it was changed": {func(s *Store, row func() Edit) {
			s.Take([]Edit{row().saying(accept)}, "2026-04-01")
			e := row().saying(plan)
			e.Mark = ""
			s.Take([]Edit{e}, "2026-04-02")
		}, []string{"accept until 2026-12-31, KL: old", "plan, MN: soon"}, 2},
		"a reason without a decision is kept": {func(s *Store, row func() Edit) {
			s.Take([]Edit{row().saying(Said{Reason: "look at it"})}, "2026-04-01")
		}, []string{": look at it"}, 1},
		"what was filled in stands in no file any more": {func(s *Store, row func() Edit) {
			s.Take([]Edit{row().saying(accept)}, "2026-04-01")
			e := row()
			s.Decisions = nil
			require.Contains(t, s.Take([]Edit{e}, "2026-04-02").Remarks[0], "does not have it any more")
		}, nil, 0},
		"the file was lost": {func(s *Store, row func() Edit) {
			s.Take([]Edit{row().saying(accept)}, "2026-04-01")
			e := row()
			*s = Store{empty: true}
			s.Take([]Edit{e}, "2026-04-02")
		}, []string{"accept until 2026-12-31, KL: old"}, 1},
	} {
		for _, of := range []string{"2A", "2"} { // an exception, and a structure
			t.Run(name+" of "+of, func(t *testing.T) {
				store := &Store{}
				row := func() Edit { return workbook(store, r)[of] }
				c.do(store, row)
				require.ElementsMatch(t, c.want, standing(store, workbook(store, r)[of]))
				require.Len(t, store.Decisions, c.all)
			})
		}
	}
}

// The figures are those that the person saw, and not those of the run that takes the decision.
func TestFiguresOfADecisionAreThoseOfItsWorkbook(t *testing.T) {
	r := strung{units: []int16{10, 8, 8, 10}}.result(t)
	seen := workbook(&Store{}, r)["2A"].saying(Said{Word: "accept"})
	changes, r := next(t, r, strung{units: []int16{10, 7, 8, 10}, asOf: "2026-04-01"})
	store := &Store{}
	store.Take([]Edit{seen}, "2026-04-01")
	d := store.Decide(r, changes)
	require.Equal(t, Lapsed, d.Decisions[0].Status)
	require.Contains(t, d.Decisions[0].Detail, "was 8 of 10 (shortfall), is 7 of 10")

	accepted := workbook(store, r)["2A"]
	require.Empty(t, accepted.Said, "what lapsed is not filled in")
	store.Take([]Edit{accepted.saying(Said{Word: "accept"})}, "2026-04-02")
	require.Equal(t, 0, store.Decide(r, changes).Count(Lapsed), "the same word once more, on what it is now")
}

func TestStoreAsAFile(t *testing.T) {
	const heads = "exception,line,structure,check,decision,until,by,reason,decided,ended,was"
	for name, c := range map[string]struct{ text, want, wrong string }{
		"nothing":            {text: "", want: heads + "\n"},
		"written by hand":    {text: "line,structure,exception,decision,Until, by ,reason,check,was,ended,decided\r\nL,2,,Accept\r\n", want: heads + "\n,L,2,,accept,,,,,,\n"},
		"semicolons":         {text: "\ufeffexception;line;structure;decision;until;by;reason;check;was;ended;decided\n;L;2;plan;2026/5/1\n", want: heads + "\n,L,2,,plan,2026-05-01,,,,,\n"},
		"other columns":      {text: "exception,line,decision,ticket,structure,check,until,by,reason,decided,ended,was\nab,L,plan,T-7\n\n", want: "exception,line,structure,check,decision,until,by,reason,decided,ended,was,ticket\nab,L,,,plan,,,,,,,T-7\n"},
		"a formula":          {text: "exception,line,decision,reason,structure,check,until,by,decided,ended,was\nab,L,plan,'=1+1\n", want: heads + "\nab,L,,,plan,,,'=1+1,,,\n"},
		"full width":         {text: heads + "\nab,L,,,plan,,,＝1+1,,,\n", want: heads + "\nab,L,,,plan,,,'＝1+1,,,\n"},
		"in natural order":   {text: heads + "\n,L,10,,plan\n,L,9,,plan\n", want: heads + "\n,L,9,,plan,,,,,,\n,L,10,,plan,,,,,,\n"},
		"no column":          {text: "line,structure,decision\n", wrong: `row 1: has no column "exception"`},
		"too many fields":    {text: heads + "\na,b,,,plan\na,b,c,d,e,f,g,h,i,j,k,l\n", wrong: "row 3: has 12 fields, expected 11"},
		"a quotation mark":   {text: "exception,line,decision\na,b\"c,d\n", wrong: "row 2"},
		"no text":            {text: "PK\x03\x04\x00", wrong: "no text"},
		"until renamed":      {text: strings.Replace(heads, "until", "valid until", 1) + "\nab,L,,,plan\n", wrong: `row 1: has no column "until", but "valid until"`},
		"ended renamed":      {text: strings.Replace(heads, "ended", "ended on", 1) + "\nab,L,,,plan\n", wrong: `row 1: has no column "ended", but "ended on"`},
		"structure renamed":  {text: strings.Replace(heads, "structure", "tower", 1) + "\n,L,2,,plan\n", wrong: `row 1: has no column "structure", but "tower"`},
		"ended cut":          {text: strings.Replace(heads, ",ended", "", 1) + "\nab,L,,,plan\n", wrong: `row 1: has no column "ended"; expected the headings ` + strings.ReplaceAll(heads, ",", ", ")},
		"one beside another": {text: heads + ",untill\nab,L,,,plan\n", wrong: `row 1: has a column "untill", which may be meant for "until"`},
		"until twice":        {text: heads + ",Until\nab,L,,,plan\n", wrong: `row 1: has two columns "until"`},
		"no rows":            {text: "exception,line,decision\n\n", want: heads + "\n"},
		"two columns of one": {text: "exception,line,decision,x,x\n", wrong: `two columns "x"`},
	} {
		t.Run(name, func(t *testing.T) {
			store, err := ParseStore([]byte(c.text))
			if c.wrong != "" {
				require.ErrorContains(t, err, c.wrong)
				return
			}
			require.NoError(t, err)
			text := string(store.Text())
			require.Equal(t, c.want, text)
			again, err := ParseStore([]byte(text))
			require.NoError(t, err)
			require.Equal(t, text, string(again.Text()))
		})
	}
}

// Whatever people write, the file that holds it can be read again.
func TestStoreHoldsAnyText(t *testing.T) {
	for _, text := range []string{"a\x00b", "\xff", "a\r\nb", "a \"b\", c; d", "'", "'=", "=1", "\ufeff", "\u2028", "-", "\x1b[31m", "''@"} {
		s := &Store{Decisions: []Decision{{Exception: "e", Line: text, Structure: text, Said: Said{text, text, text, text}}}}
		written := s.Text()
		read, err := ParseStore(written)
		require.NoError(t, err, "%q", text)
		require.Len(t, read.Decisions, 1, "%q", text)
		require.Equal(t, string(written), string(read.Text()), "%q", text)
		require.Equal(t, oneLine(text), read.Decisions[0].Reason)
	}
}

// A row that is of two things at once, as where the columns before its Id were sorted without it, is of neither.
func TestRowsThatContradictThemselves(t *testing.T) {
	r := strung{units: []int16{10, 8, 8, 10}}.result(t)
	rows := workbook(&Store{}, r)
	a, other, structure := rows["2A"], rows["3A"], rows["2"]
	require.NotEmpty(t, a.Mark)
	bare := func(e Edit) Edit { e.Mark = ""; return e }
	three := structure
	three.Structure = "3"
	elsewhere, sibling, wrongID, cut, spaced := a, a, a, a, a
	elsewhere.Place, sibling.Place, wrongID.Exceptions = other.Place, rows["2B"].Place, other.Exceptions
	cut.Place = Place{Line: "L", Check: "short-string"}
	spaced.Line = " L\n"
	earlier := a // of a version that noted no place
	earlier.Mark = a.Mark[:strings.LastIndex(a.Mark, "|")]
	require.Empty(t, earlier.Contradiction())
	earlier.Place = other.Place
	for name, c := range map[string]struct {
		row  Edit
		want string
	}{
		"as written":                      {a, ""},
		"of a structure":                  {structure, ""},
		"columns cut":                     {cut, ""},
		"with blanks":                     {spaced, ""},
		"without its mark":                {bare(a), ""},
		"of another structure":            {elsewhere, "As written is that of another row than line L, structure 3, short-string"},
		"of another phase":                {sibling, "As written is that of another row"},
		"the Id of another":               {wrongID, "its Id says"},
		"without its mark, of another Id": {bare(wrongID), "is that of another row than line L, structure 2"},
		"a structure of another":          {three, "As written is that of another row"},
		"of a version before, elsewhere":  {earlier, "is that of another row than line L, structure 3"},
	} {
		t.Run(name, func(t *testing.T) {
			got := c.row.Contradiction()
			if c.want == "" {
				require.Empty(t, got)
				return
			}
			require.Contains(t, got, c.want)
		})
	}
}
