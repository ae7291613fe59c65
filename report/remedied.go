package report

import (
	"context"
	"fmt"
	"io"
	"iter"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"

	"github.com/xuri/excelize/v2"
)

const remediedFile = "remedied.xlsx"

// mostRegisterRows is how many rows of the register one sheet takes; more go into another of its name with a number behind it.
const mostRegisterRows = 1_000_000

// writeRemedied writes the register as it is when all jobs are done, in the form in which it is read. The sheets Units and Conductors
// hold the catalogues too. Run says of which run the jobs are.
//
// It fails where the words of the project file would change its names again when it is read.
func writeRemedied(ctx context.Context, w io.Writer, r *audit.Result, a *account, run string, notes ...string) (err error) {
	if again := remediedAgain(r.Project, "remedied"); again != nil {
		return again
	}
	file := excelize.NewFile()
	defer func() {
		if closing := file.Close(); err == nil {
			err = closing
		}
	}()
	b := &book{file: file, looks: looks{file, map[look]int{}}, result: r}
	p := remedy.Apply(r.Project, a.work())
	unread := unreadTextsOf(r.Project)
	tables := append(b.assemblySheets(p, unread),
		sheet{linesSheet, blue, func(ctx context.Context) error { return writeLinesAsRead(ctx, b, p, unread) }},
		sheet{"Units", blue, func(ctx context.Context) error {
			return writeAsRead(ctx, b, "Units", unitCells(), len(p.Units), unread, func(i int) (*basis.Unit, registerRow) {
				return &p.Units[i], registerRow{faulty: audit.FaultsOf(p.UnitFaults, i), at: audit.SourceOf(p.UnitRows, i)}
			})
		}},
		sheet{"Conductors", blue, func(ctx context.Context) error {
			return writeAsRead(ctx, b, "Conductors", conductorCells(), len(p.Conductors), unread, func(i int) (*basis.Conductor, registerRow) {
				return &p.Conductors[i], registerRow{faulty: audit.FaultsOf(p.ConductorFaults, i), at: audit.SourceOf(p.ConductorRows, i)}
			})
		}})
	onNotes := sheet{notesSheet, slate, func(context.Context) error { return b.writeNotesOfRemedied(doing(a.work()), run, notes...) }}
	return b.writeAsRead(ctx, w, tables, onNotes)
}

// writeAsRead writes tables in the form that a register is read in, and notes behind them.
func (b *book) writeAsRead(ctx context.Context, w io.Writer, tables []sheet, notes sheet) error {
	if err := b.nameSheets(append(slices.Clone(tables), notes)); err != nil {
		return err
	}
	if err := b.fillTables(ctx, tables); err != nil {
		return err
	}
	if err := notes.fill(ctx); err != nil { // which tell what the tables could not hold
		return err
	}
	if err := b.setProperties(); err != nil {
		return err
	}
	return b.writeTo(w)
}

// remediedAgain is why a register of the project would be read otherwise than it is written, as which output asks; nil where it would not be.
func remediedAgain(p *audit.Project, asked string) error {
	if p.WordsTwice == "" {
		return nil
	}
	return fmt.Errorf("the words of the project file would change %s once more when it is read back; write words that leave alone what they give and what this program writes, or leave out %s", p.WordsTwice, asked)
}

// Refused tells before anything is judged which output on request cannot be written of a project; the error is a *WriteError.
func Refused(p *audit.Project, also []string) error {
	for _, o := range onRequest(nil) {
		if o.name != remediedFile || !slices.Contains(also, o.asked) {
			continue
		}
		if again := remediedAgain(p, o.asked); again != nil {
			return &WriteError{o.name, again}
		}
	}
	return nil
}

// doing is how many jobs change what hangs; of others it is not known what serves.
func doing(jobs []remedy.Job) (count int) {
	for i := range jobs {
		if len(jobs[i].Remedies) > 0 {
			count++
		}
	}
	return count
}

func (b *book) writeNotesOfRemedied(jobs int, run string, more ...string) error {
	return b.writeNotes(append([]string{
		fmt.Sprintf("The register as it would be with %s of %s done: name this file under register in the project file, without columns, sheets, fixed, only or units, and audit reads it in place of the register it was made from.",
			counted(jobs, "job", "jobs"), run),
		"It is a proposal, not the register: nothing in it is built before somebody has built it. What could not be read in the inputs is written as it stood, behind " + unreadableCell + " where it might be read as a value here, and is as unknown as it was, as long as a unit of what hangs there stays; so is what a string withstood when it was tested, once units are added.",
	}, append(b.ofInspections(), more...)...)...)
}

// ofInspections says what the register with the work done holds of inspections; nothing where the project has none.
func (b *book) ofInspections() []string {
	if b.result.Project.Inspections == nil {
		return nil
	}
	return []string{"Defective units are those that inspections tell, where they do, with their dates under Inspected. What the work changes of such rows is dated by the day of the audit, so that the same inspections, read beside this register, are of what hung there before."}
}

// namesOfCut names cells with a text that is cut, the first of them where there are many.
func namesOfCut(cells []string) string {
	const most = 100 // a choice of this program
	if more := len(cells) - most; more > 0 {
		return strings.Join(cells[:most], ", ") + fmt.Sprintf(" and %d more", more)
	}
	return strings.Join(cells, ", ")
}

// notesSheet is where a workbook that is read back says what it is.
const notesSheet = "Notes"

// writeNotes writes paragraphs, which texts the tables hold the beginning of only, and the caution below them.
func (b *book) writeNotes(texts ...string) error {
	var cut []string
	for _, t := range b.tables {
		cut = append(cut, t.cut...)
	}
	if len(cut) > 0 {
		texts = append(texts, fmt.Sprintf("A cell holds %s characters. Longer texts of the inputs, which end in … here, stand in %s: take them from the inputs.", grouped(longestCell), namesOfCut(cut)))
	}
	p := b.newPage(notesSheet, 110)
	p.put(1, 1, 1, b.title(), look{bold: true, size: 18, bare: true, middle: true})
	p.height(1, 30)
	for i, text := range append(texts, Caution) {
		p.paragraph(3+i, 1, 1, text, look{wrap: true, bare: true})
	}
	return p.finish()
}

// assemblySheets are the sheets of assemblies. Rows of a sheet that has no column Phase stay in one that has none.
func (b *book) assemblySheets(p *audit.Project, unread unreadTexts) (sheets []sheet) {
	var parts [2][]int // with a column Phase, and without
	for i := range p.Assemblies.Len() {
		a := p.Assemblies.At(i)
		k := 0
		if p.Tables[a.Source.Table].WithoutPhase && a.Phase == 0 && !a.Faulty.Has(audit.CellPhase) {
			k = 1
		}
		parts[k] = append(parts[k], i)
	}
	lost := p.Lost
	for k, rows := range parts {
		columns := carriedCells(p, assemblyCells(p), p.Assemblies.All(), func(a *audit.AssemblyRow) audit.Source { return a.Source })
		if k == 1 {
			columns = append(columns[:phaseColumn:phaseColumn], columns[phaseColumn+1:]...)
		}
		for first := true; len(rows) > 0 || first && k == 0; first = false {
			name := "Assemblies"
			if n := len(sheets) + 1; n > 1 {
				name += fmt.Sprintf(" %d", n)
			}
			own, names := rows[:min(len(rows), mostRegisterRows)], lost
			rows, lost = rows[len(own):], nil
			sheets = append(sheets, sheet{name, blue, func(ctx context.Context) error {
				return writeAsRead(ctx, b, name, columns, len(own)+len(names), unread, func(i int) (*audit.AssemblyRow, registerRow) {
					if i >= len(own) {
						l := &names[i-len(own)]
						return &audit.AssemblyRow{
								RowOwn:  audit.RowOwn{Line: l.Line, Number: l.Number, Defective: -1, Installed: audit.NoDay, Inspected: audit.NoDay},
								RowSaid: audit.RowSaid{UnitsPerString: -1},
							},
							registerRow{faulty: audit.Cells(0).With(audit.CellCircuits)}
					}
					a := p.Assemblies.At(own[i])
					return &a, registerRow{faulty: a.Unread(), at: a.Source, phase: p.Symbols.Text(a.Phase)}
				})
			}})
		}
	}
	return sheets
}

// phaseColumn is where the column Phase stands among those of assemblies.
const phaseColumn = 3

// writeLinesAsRead writes the sheet Lines, with a row for one that names no line.
func writeLinesAsRead(ctx context.Context, b *book, p *audit.Project, unread unreadTexts) error {
	n := len(p.Lines)
	nameless := audit.UnknownLineRow()
	nameless.Superseded = p.SupersededUnnamed
	rows := n
	if p.LinesUnnamed {
		rows++
	}
	columns := carriedCells(p, lineCells(p), slices.All(p.Lines), func(l *audit.LineRow) audit.Source { return l.Source })
	return writeAsRead(ctx, b, linesSheet, columns, rows, unread, func(i int) (*audit.LineRow, registerRow) {
		if i == n {
			return &nameless, registerRow{faulty: audit.Cells(0).With(audit.CellCircuits)}
		}
		of := registerRow{faulty: p.Lines[i].Faulty, at: p.Lines[i].Source}
		if set := p.Lines[i].Set; set != nil {
			of.faulty, of.taken = of.faulty&^set.Left, set.Taken
		}
		return &p.Lines[i], of
	})
}

// carriedCells adds to the columns of a sheet what its rows carry, under the headings that the project file names.
func carriedCells[R any](p *audit.Project, columns []registerColumn[R], rows iter.Seq2[int, R], at func(*R) audit.Source) []registerColumn[R] {
	carried := func(row *R, i int) string {
		source := at(row)
		if source.Row == 0 {
			return "" // it stood nowhere
		}
		return p.CarriedAt(source)[i]
	}
	for i, name := range p.Carried.Names {
		if slices.ContainsFunc(columns, func(c registerColumn[R]) bool { return strings.EqualFold(c.heading, name) }) {
			continue
		}
		for _, row := range rows {
			if carried(&row, i) != "" {
				columns = append(columns, registerColumn[R]{name, audit.CellRemarks, func(row *R) any { return carried(row, i) }})
				break
			}
		}
	}
	return columns
}

// registerRow is what is known of a row of the register beside its values: its faulty cells, where it stood, the phase that it names, and the
// columns, by heading without a unit, that a scenario alone made unreadable.
type registerRow struct {
	faulty audit.Cells
	at     audit.Source
	phase  string
	taken  map[string]bool
}

// writeAsRead writes a sheet of the register.
func writeAsRead[R any](ctx context.Context, b *book, name string, columns []registerColumn[R], rows int, unread unreadTexts, row func(int) (*R, registerRow)) error {
	heads := make([]column, len(columns))
	for i := range columns {
		heads[i] = column{columns[i].heading, 12, look{}}
	}
	t := b.newTable(ctx, name, min(2, len(columns)), heads)
	for i := range rows {
		own, of := row(i)
		cells := registerCells(columns, own, of.faulty, func(heading string) (string, bool) { return unread.of(of.at, heading, of.phase) })
		for i, value := range cells {
			if heading, _, _ := strings.Cut(columns[i].heading, " ("); of.taken[heading] {
				value, cells[i] = unreadableCell, unreadableCell
			}
			if text, is := value.(string); is {
				cells[i] = asRead(text)
			}
		}
		t.add(cells...)
	}
	return t.finish()
}
