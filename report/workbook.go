package report

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
	"time"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/xuri/excelize/v2"
	"golang.org/x/sync/errgroup"
)

// bookLimits are how many rows the long sheets take. What is beyond stays out, and the sheet and the overview say so;
// audit.json and the GeoJSON files hold all.
type bookLimits struct{ exceptions, structures, rows, worked int }

// writeWorkbook writes the workbook for the people who act.
func writeWorkbook(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	return writeBook(ctx, w, r, a, bookLimits{exceptions: 200_000, structures: mostWhole, rows: 200_000, worked: 5_000})
}

// book is the workbook being written.
type book struct {
	file    *excelize.File
	alone   sync.Mutex // guards file, looks and tables while tables are filled
	looks   looks
	turns   map[string]*turn // of the tables, by sheet; fixed before they are filled
	tables  []*table
	limits  bookLimits
	result  *audit.Result
	work    []workRow // of the jobs, in the order of doing
	changes *history.Changes
	decided *history.Decided // nil where the project names no file of decisions
	stock   *Stock           // nil where nothing was typed
	trend   []history.Point
	about   string          // what the workbook is; empty for an audit
	wholeAt string          // which output has every structure
	leftOut []string        // what is said of outputs that the run left out
	account *account        // of a run that tells more than its result; nil for none
	cut     func() []string // says which of its sheets do not hold all, and which outputs the run left out
	json    string          // which output programs read
	shown   bool            // its tables are tables of the spreadsheet, printed as large as they are shown

	scenarios []*ScopeOf // whose assumptions stand beside those of the result
}

// The sheets, in their order: those for who acts, then those for who checks.
const (
	overviewSheet   = "Overview"
	workSheet       = "Work"
	materialSheet   = "Material"
	exceptionsSheet = "Exceptions"
	clearedSheet    = "Cleared"
	decisionsSheet  = "Decisions"
	linesSheet      = "Lines"
	workingSheet    = "Working"
	structuresSheet = "Structures"
	levelsSheet     = "Levels"
	cohortsSheet    = "Cohorts"
	coverageSheet   = "Coverage"
	basisSheet      = "Basis"
	faultsSheet     = "Faults"
	runSheet        = "Run"
)

func writeBook(ctx context.Context, w io.Writer, r *audit.Result, a *account, limits bookLimits) (err error) {
	stock, err := a.inStock()
	if err != nil {
		return err
	}
	file := excelize.NewFile()
	defer func() {
		if closing := file.Close(); err == nil {
			err = closing
		}
	}()
	b := &book{file: file, looks: looks{file, map[look]int{}}, limits: limits, result: r, work: a.rows(r), changes: a.since(r), decided: a.decisions(), stock: stock, trend: a.runs().trend(r, a.since(r)), shown: true, wholeAt: a.allStructures(), account: a}
	b.cut, b.json = b.cutRemarks, AuditFile
	if a != nil {
		b.leftOut = leftOutInWords(a.leftOut)
	}
	pages := []sheet{{overviewSheet, tabOfActing, b.writeOverview}, {runSheet, tabOfChecking, b.writeRun}}
	tables := []sheet{
		{workSheet, tabOfActing, b.writeWork},
		{materialSheet, tabOfActing, b.writeMaterial},
		{exceptionsSheet, tabOfActing, b.writeExceptions},
		{clearedSheet, tabOfActing, b.writeCleared},
		{linesSheet, tabOfActing, b.writeLines},
		{workingSheet, tabOfChecking, b.writeWorking},
		{structuresSheet, tabOfChecking, b.writeStructures},
		{cohortsSheet, tabOfChecking, b.writeCohorts},
		{coverageSheet, tabOfChecking, b.writeCoverage},
		{basisSheet, tabOfChecking, b.writeBasis},
		{faultsSheet, tabOfChecking, b.writeFaults},
	}
	if a != nil && a.tellsRisk {
		after := slices.IndexFunc(tables, func(s sheet) bool { return s.name == linesSheet })
		tables = slices.Insert(tables, after+1, sheet{riskSheet, tabOfActing, b.writeRisk})
	}
	if b.decided != nil {
		tables = slices.Insert(tables, 4, sheet{decisionsSheet, tabOfActing, b.writeDecisions})
	}
	if r.Project.Inspections != nil {
		tables = append(tables, sheet{inspectionsSheet, tabOfChecking, b.writeInspections})
	}
	if tellsLevels(r) {
		after := slices.IndexFunc(tables, func(s sheet) bool { return s.name == structuresSheet })
		tables = slices.Insert(tables, after+1, sheet{levelsSheet, tabOfChecking, b.writeLevels})
	}
	if b.tellsSensitivity() {
		after := slices.IndexFunc(tables, func(s sheet) bool { return s.name == cohortsSheet })
		tables = slices.Insert(tables, after+1, sheet{sensitivitySheet, tabOfChecking, b.writeSensitivity})
	}
	sheets := slices.Concat(pages[:1], tables, pages[1:])
	if err := b.nameSheets(sheets); err != nil {
		return err
	}
	for _, s := range pages {
		if err := s.fill(ctx); err != nil {
			return err
		}
	}
	if err := b.fillTables(ctx, tables); err != nil {
		return err
	}
	for _, s := range sheets {
		if err := file.SetSheetProps(s.name, &excelize.SheetPropsOptions{TabColorRGB: &s.tab}); err != nil {
			return err
		}
	}
	if err := b.setProperties(); err != nil {
		return err
	}
	return b.writeTo(w)
}

// fillTables fills the tables beside each other, and then sets up what excelize knows of them in their order.
func (b *book) fillTables(ctx context.Context, tables []sheet) error {
	for _, l := range commonLooks() {
		if _, err := b.looks.number(l); err != nil {
			return err
		}
	}
	turns := takeTurns(len(tables))
	b.turns = map[string]*turn{}
	for i, s := range tables {
		b.turns[s.name] = turns[i]
	}
	group, filling := errgroup.WithContext(ctx)
	for i, s := range tables {
		group.Go(func() error {
			defer turns[i].finish()
			return s.fill(filling)
		})
	}
	if err := group.Wait(); err != nil {
		return err
	}
	slices.SortFunc(b.tables, func(x, y *table) int { return cmp.Compare(b.turns[x.sheet].place, b.turns[y.sheet].place) })
	for _, t := range b.tables {
		if err := t.layOut(b.file); err != nil {
			return fmt.Errorf("sheet %s: %w", t.sheet, err)
		}
	}
	return nil
}

// The colours of the tabs tell the sheets for who acts from those for who checks.
const (
	tabOfActing   = ochre
	tabOfChecking = blue
)

// sheet is one sheet of the workbook: its name, the colour of its tab, and what writes it.
type sheet struct {
	name, tab string
	write     func(context.Context) error
}

func (s sheet) fill(ctx context.Context) error {
	if err := s.write(ctx); err != nil {
		return fmt.Errorf("sheet %s: %w", s.name, err)
	}
	return nil
}

// nameSheets makes the sheets, in their order.
func (b *book) nameSheets(sheets []sheet) error {
	if err := b.file.SetDefaultFont(fontFamily); err != nil {
		return err
	}
	if err := b.file.SetSheetName("Sheet1", sheets[0].name); err != nil {
		return err
	}
	for _, s := range sheets {
		if _, err := b.file.NewSheet(s.name); err != nil { // one that is there already stays
			return err
		}
	}
	return nil
}

// setProperties names the document. Its dates are the date of the audit: the workbook knows no other clock.
func (b *book) setProperties() error {
	properties := &excelize.DocProperties{
		Title: cellText(b.title()), Creator: "dryarc", LastModifiedBy: "dryarc", Description: Caution,
		Identifier: "run " + b.result.Run.ID, Version: cellText(b.result.Run.Version),
	}
	if day, err := time.Parse(time.DateOnly, b.result.Run.AsOf); err == nil {
		properties.Created, properties.Modified = day.Format(time.RFC3339), day.Format(time.RFC3339)
	}
	return b.file.SetDocProps(properties)
}

func (b *book) title() string {
	about := cmp.Or(b.about, "Insulator audit")
	if b.result.Project.Title == "" {
		return about
	}
	return about + ": " + b.result.Project.Title
}

// layOut sets up a sheet for the screen and for paper: A4 landscape, as wide as the page, with the run in the footer.
func (b *book) layOut(sheet string, headed bool) error {
	var (
		a4, landscape, one, any = 9, "landscape", 1, 0
		yes, no                 = true, false
		side, top, bottom, edge = 0.4, 0.65, 0.6, 0.3
		line                    = float64(rowHeight)
	)
	if err := b.file.SetPageLayout(sheet, &excelize.PageLayoutOptions{Size: &a4, Orientation: &landscape, FitToWidth: &one, FitToHeight: &any}); err != nil {
		return err
	}
	if err := b.file.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &yes, DefaultRowHeight: &line, CustomHeight: &yes}); err != nil {
		return err
	}
	if err := b.file.SetPageMargins(sheet, &excelize.PageLayoutMarginsOptions{
		Left: &side, Right: &side, Top: &top, Bottom: &bottom, Header: &edge, Footer: &edge}); err != nil {
		return err
	}
	if err := b.file.SetSheetView(sheet, 0, &excelize.ViewOptions{ShowGridLines: &no}); err != nil {
		return err
	}
	font := `&"` + fontFamily + `,Regular"&9`
	if err := b.file.SetHeaderFooter(sheet, &excelize.HeaderFooterOptions{
		OddHeader: "&L" + font + marginText(b.title(), 100) + "&R" + font + "&A",
		OddFooter: "&L" + font + "dryarc " + marginText(b.result.Run.Version, 30) + ", run " + b.result.Run.ID + ", as of " +
			marginText(b.result.Run.AsOf, 10) + "&C" + font + "Screening only" + "&R" + font + "Page &P of &N",
	}); err != nil {
		return err
	}
	if !headed {
		return nil
	}
	return b.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: titled(sheet), Scope: sheet})
}

// marginText is text for a header or footer: there "&" begins a code, and the whole has 255 characters.
func marginText(text string, longest int) string {
	runes := []rune(cellText(strings.Join(strings.Fields(text), " ")))
	if len(runes) > longest {
		runes = append(runes[:longest-1], '…')
	}
	return strings.ReplaceAll(string(runes), "&", "&&")
}

// titled are the cells of the heading of a sheet, whose name stands in quotes where it has spaces.
func titled(sheet string) string {
	if strings.Contains(sheet, " ") {
		sheet = "'" + sheet + "'"
	}
	return sheet + "!$1:$1"
}
