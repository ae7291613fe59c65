package read

import (
	"context"
	"errors"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// register reads the workbooks of the register.
type register struct {
	*half
	project   *audit.Project
	workbooks []*workbook
	from1904  bool // dates of the workbook being read count from 1904
	// centuryTaken tells that a year of two digits was read.
	centuryTaken bool
	units        map[string]int
	unitRows     map[string]audit.Twin[basis.Unit] // the first row of a Units sheet for each unit that one gives
	// catalogue and catalogueConductors are what rows of Units and Conductors override.
	catalogue           []basis.Unit
	catalogueConductors []basis.Conductor
	// doubtedSpacing is the spacing that units state which is not believed, in mm.
	doubtedSpacing map[string]float64
	makeups        map[string]makeup
	lastUnit       string // the text of which the last makeup was asked
	lastMakeup     makeup
	summed         summedUp                    // of the last row that has units
	parted         map[string]uint32           // places of the makeups by their parts
	figuresAt      map[audit.FigureBits]uint32 // what Direct is of rows that state these

	// passes is how many rows of the audit a row of the sheet makes, pass which of them is read, and said what was said of it.
	passes, pass int
	said         []audit.Fault
	byPhase      []assembly // the rows that the row at hand makes, one for each phase
	ofPhases     []string   // the columns that the sheet at hand has for each phase

	beside         *besideCircuits      // of the sheet at hand; nil where one entry alone reads it
	unlikeCircuits string               // what of the strings of the circuits differs on the row at hand; empty for nothing
	sharedSaid     map[[3]string]uint16 // where it was said what circuits share, by file, sheet and column

	// blankBelow are line and structure of the row at hand where it leaves them blank and rows above it state them.
	blankBelow []string

	longTexts longTexts

	conductors    map[string]int
	conductorRows map[string]audit.Twin[basis.Conductor]
	// unitUnnamed and conductorUnnamed tell that a row names no unit or no conductor.
	unitUnnamed, conductorUnnamed bool

	rowsRead map[string]int // by the kind of their sheet

	circuitsStated map[string]int // by the sheet Lines, 0 where it does not tell; nil while nobody asked
	expanded       []expandedRows

	failed error
}

// readRegister reads the units and conductors of every workbook first, then what refers to them.
func readRegister(ctx context.Context, f *half, p *audit.Project) (err error) {
	if len(f.register.entries) == 0 {
		return nil
	}
	r := &register{half: f, project: p, units: map[string]int{}, unitRows: map[string]audit.Twin[basis.Unit]{}, doubtedSpacing: map[string]float64{}, makeups: map[string]makeup{}, parted: map[string]uint32{},
		conductors: map[string]int{}, conductorRows: map[string]audit.Twin[basis.Conductor]{}, rowsRead: map[string]int{},
		catalogue: slices.Clone(p.Units), catalogueConductors: slices.Clone(p.Conductors)}
	defer func() { err = errors.Join(err, r.close()) }()
	for i, unit := range p.Units {
		r.units[nameKey(unit.Name)] = i
	}
	for i, conductor := range p.Conductors {
		r.conductors[nameKey(conductor.Name)] = i
	}
	var trouble problems
	files := f.register.files()
	for i := range f.register.entries {
		entry := &f.register.entries[i]
		for _, name := range entry.files {
			w, err := openWorkbook(ctx, f, p, entry, name)
			if w != nil {
				r.workbooks = append(r.workbooks, w)
			}
			if err == nil && len(files) > mostOpen {
				err = w.held.problem(w.putAside())
			}
			if w != nil {
				w.unusable = err != nil
			}
			if trouble.stop(err) {
				return trouble.err()
			}
		}
	}
	// what comes but once is not opened again
	f.mergedFirst = f.mergedFirst || slices.ContainsFunc(r.workbooks, func(w *workbook) bool { return w.held != nil && w.held.own })
	if trouble.stop(r.checkSheets()) {
		return trouble.err()
	}
	kinds := []kindOfSheet{{unitsSheet, r.readUnits}, {conductorsSheet, r.readConductors}, {linesSheet, r.readLines}, {assembliesSheet, r.readAssemblies}}
	if f.register.scheduleOnly {
		kinds = kinds[:3]
	}
	for _, kind := range kinds {
		for _, w := range r.workbooks {
			if len(w.sheets[kind.name]) == 0 || w.unusable {
				continue
			}
			before := p.RowsRead
			err := r.readKind(ctx, kind, w)
			if err == nil && kind.name == assembliesSheet && p.RowsRead == before && len(w.sheets) == 1 && w.entry.from[w.name] != "" {
				err = emptyPart(w.name, w.entry.from[w.name], "rows under its headings")
			}
			if trouble.stop(err) {
				return trouble.err()
			}
		}
	}
	for _, w := range r.workbooks {
		if trouble.err() == nil {
			trouble.add(w.noteHash(p))
		}
	}
	if err := trouble.err(); err != nil {
		return err
	}
	r.keepDoubted()
	r.distrustCatalogue()
	r.assumeCentury()
	r.sayExpanded()
	r.adviseKinds()
	if p.RowsRead == 0 && !f.register.scheduleOnly {
		return &InputError{File: files[0], Message: "has no rows under the headings of its sheet Assemblies",
			Hint: "without assemblies, write register: {file: …, schedule_only: true} to get the schedule of requirements"}
	}
	return nil
}

// mostOpen is how many workbooks stay open. Of a register of more each is opened for each kind of its sheets: a process may
// often have no more than 256 files open.
const mostOpen = 64

// opensOnce tells whether a file is opened once and stays open until its rows are read.
func (r *registerInput) opensOnce(name string) bool {
	files, times := r.files(), 0
	for _, other := range files {
		if other == name {
			times++
		}
	}
	return times == 1 && len(files) <= mostOpen
}

// kindOfSheet is a sheet of the register and what reads those of a workbook.
type kindOfSheet struct {
	name string
	read func(context.Context, *workbook) error
}

// readKind reads the sheets of one kind of a workbook, which has some.
func (r *register) readKind(ctx context.Context, kind kindOfSheet, w *workbook) error {
	if err := w.takeUp(); err != nil {
		return err
	}
	r.from1904 = w.from1904
	err := kind.read(ctx, w)
	if changed := w.held.unchanged(); changed != nil {
		return changed
	}
	if err != nil || len(r.workbooks) <= mostOpen {
		return err
	}
	return w.held.problem(w.putAside())
}

func (r *register) close() error {
	var errs []error
	for _, w := range r.workbooks {
		errs = append(errs, w.close())
	}
	return errors.Join(errs...)
}

func (r *register) fault(at audit.Source, kind audit.FaultKind, column, value, expected string) {
	r.weighed(audit.Fault{Kind: kind, At: at, Column: column, Value: strings.Clone(excerpt(value)), Expected: expected})
}

func (r *register) weighed(f audit.Fault) {
	if !r.saidBefore(f) {
		r.project.Faults.Add(f)
	}
}

// house are the words of the house; nil where there is no project file.
func (r *register) house() *houseWords {
	if r.half == nil {
		return nil
	}
	return &r.words
}

// loadCases are the load cases that a cell may name, none where no project file was read.
func (r *register) loadCases() []string {
	if r.half == nil {
		return nil
	}
	return r.projectFile.loadCases()
}

// trouble records what is wrong with a cell: f tells its place, column, value and weight.
func (r *register) trouble(f audit.Fault, t *trouble) {
	f.Kind, f.Value, f.Expected, f.Asks = t.kind, strings.Clone(excerpt(f.Value)), t.expected, t.asks
	switch {
	case r.saidBefore(f):
	case t.gathered == "":
		r.project.Faults.Add(f)
	default:
		r.project.Faults.Gather(f, t.gathered)
	}
}

// leftOut counts a row that is left out.
func (r *register) leftOut(at audit.Source) { r.project.Tables[at.Table].LeftOut++ }

// nameless says that a row is left out since its name is blank, or faulty.
func (r *register) nameless(at audit.Source, column string, faulty bool) {
	if faulty {
		r.fault(at, audit.MissingValue, column, "", "is not readable; the row is left out")
		return
	}
	if slices.Contains(r.blankBelow, column) {
		t := &trouble{kind: audit.MissingValue, gathered: "below", expected: "is blank; the row is left out; where it is that of the rows above, say so in the project file, under register: fill_down: [" + strings.Join(r.blankBelow, ", ") + "]"}
		r.trouble(audit.Fault{At: at, Column: column}, t)
		return
	}
	r.fault(at, audit.MissingValue, column, "", "is blank; the row is left out")
}

// nameKey is the name of a unit or a conductor whatever its case and spaces.
func nameKey(name string) string {
	return strings.ToLower(strings.Join(strings.Fields(Composed(name)), ""))
}

// unitNames lists the units known so far.
func unitNames(units []basis.Unit) []string {
	names := make([]string, len(units))
	for i := range units {
		names[i] = units[i].Name
	}
	return names
}
